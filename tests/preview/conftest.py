"""A preview as a process, on a port of this machine."""

from __future__ import annotations

import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from http.client import HTTPConnection
from pathlib import Path

import pytest

COMMAND = [sys.executable, "-c", "from sitegen.cli import main; main()", "preview"]
PATIENCE = 60.0


@dataclass
class Running:
    """A preview that was started; `log` is a file of all that it has printed."""

    process: subprocess.Popen[bytes]
    folder: Path
    log: Path
    port: int = 0

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    @property
    def printed(self) -> str:
        return self.log.read_text()

    def until(self, there: Callable[[], object]) -> None:
        """Waits for something to be so."""
        end = time.monotonic() + PATIENCE
        while not there():
            assert time.monotonic() < end, self.printed
            assert self.process.poll() is None, self.printed
            time.sleep(0.05)

    def get(
        self, path: str, method: str = "GET", body: bytes | None = None, **headers: str
    ) -> tuple[int, str]:
        """The status and the text at a path."""
        connection = HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        connection.request(method, path, body, {k.replace("_", "-"): v for k, v in headers.items()})
        answer = connection.getresponse()
        text = answer.read().decode()
        connection.close()
        return answer.status, text

    def send(self, path: str, body: bytes) -> tuple[int, str]:
        """As a page of the preview itself sends something."""
        return self.get(path, "POST", body, Origin=self.address, Content_Type="application/json")

    def interrupt(self) -> int:
        """Ctrl-C; the exit status."""
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(PATIENCE)


@pytest.fixture(scope="module")
def previewing(tmp_path_factory) -> Iterator[Callable[..., Running]]:
    """Starts previews of folders, and ends them when all is done."""
    all_running: list[Running] = []

    def start(folder: Path, *options: str) -> Running:
        log = tmp_path_factory.mktemp("preview") / "log"
        with log.open("wb") as printed:
            process = subprocess.Popen(
                [*COMMAND, str(folder), *options], stdout=printed, stderr=subprocess.STDOUT
            )
        running = Running(process, folder, log)
        all_running.append(running)
        running.until(lambda: re.search(r"http://127\.0\.0\.1:(\d+)/", running.printed))
        found = re.search(r"http://127\.0\.0\.1:(\d+)/", running.printed)
        assert found
        running.port = int(found[1])
        return running

    yield start
    for each in all_running:
        if each.process.poll() is None:
            each.process.terminate()
            each.process.wait(PATIENCE)
