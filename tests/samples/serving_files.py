"""A site as any server serves it, on this machine alone."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread


class _Quiet(SimpleHTTPRequestHandler):
    policy = ""

    def log_message(self, *_: object) -> None:
        pass

    def end_headers(self) -> None:
        if self.policy:
            self.send_header("Content-Security-Policy", self.policy)
        super().end_headers()


class _Strict(_Quiet):
    policy = "script-src 'self'; object-src 'none'"


@contextmanager
def served(folder: Path, strict: bool = False) -> Iterator[str]:
    """The address of what is in a folder; `strict` is under a policy by which no script within one runs."""
    server = ThreadingHTTPServer(
        ("127.0.0.1", 0), partial(_Strict if strict else _Quiet, directory=str(folder))
    )
    Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()
