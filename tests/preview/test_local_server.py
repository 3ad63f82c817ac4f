"""Connections on which nothing goes on are ended, so that they keep nobody out."""

from __future__ import annotations

import asyncio
import socket
import threading
import time
from collections.abc import Callable, Iterator

import pytest
import uvicorn

from sitegen.preview import local_server
from sitegen.preview.local_server import SETTINGS, _Impatient, listening

HEAD = b"GET / HTTP/1.1\r\nHost: x\r\n"
PATIENCE = 30.0


async def endless(scope, receive, send) -> None:
    """An answer without end."""
    await send({"type": "http.response.start", "status": 200, "headers": []})
    while True:
        await send({"type": "http.response.body", "body": b"a" * 2**16, "more_body": True})
        await asyncio.sleep(0)


async def prompt(scope, receive, send) -> None:
    """A short answer, at once."""
    await send({"type": "http.response.start", "status": 200, "headers": []})
    await send({"type": "http.response.body", "body": b"done"})


@pytest.fixture
def serving(monkeypatch) -> Iterator[Callable[..., tuple[uvicorn.Server, int]]]:
    """Serves an application with the connections of the preview, which wait for a moment only."""
    monkeypatch.setattr(local_server, "WAITED", 0.2)
    begun: list[tuple[uvicorn.Server, threading.Thread]] = []

    def serve(app) -> tuple[uvicorn.Server, int]:
        sock = listening(4950)
        server = uvicorn.Server(uvicorn.Config(app, http=_Impatient, lifespan="off", **SETTINGS))
        thread = threading.Thread(target=server.run, args=([sock],))
        thread.start()
        begun.append((server, thread))
        return server, sock.getsockname()[1]

    yield serve
    for server, thread in begun:
        server.force_exit = server.should_exit = True
        thread.join()


def come_to(there: Callable[[], object]) -> bool:
    end = time.monotonic() + PATIENCE
    while not there() and time.monotonic() < end:
        time.sleep(0.02)
    return bool(there())


def test_who_takes_nothing_of_an_answer_is_let_go(serving) -> None:
    server, port = serving(endless)
    with socket.create_connection(("127.0.0.1", port)) as sock:
        sock.sendall(HEAD + b"\r\n")
        assert come_to(lambda: server.server_state.connections)
        assert come_to(lambda: not server.server_state.connections)


def test_who_takes_an_answer_by_and_by_gets_it(serving) -> None:
    server, port = serving(endless)
    with socket.create_connection(("127.0.0.1", port)) as sock:
        sock.sendall(HEAD + b"\r\n")
        taken, end = 0, time.monotonic() + 10 * local_server.WAITED
        while time.monotonic() < end:
            taken += len(sock.recv(2**20))
            time.sleep(0.05)
        assert taken > 10 * 2**16
        assert server.server_state.connections


@pytest.mark.parametrize("app", [prompt, endless])
@pytest.mark.parametrize("pause", [0.0, 0.05])
@pytest.mark.parametrize("broken", [b"zz\r\n", b"2\r\n{}X\r\n"])
def test_what_is_no_http_while_an_answer_is_given_is_no_fault(
    serving, capfd, caplog, app, pause: float, broken: bytes
) -> None:
    server, port = serving(app)
    with socket.create_connection(("127.0.0.1", port)) as sock:
        head = HEAD + b"Transfer-Encoding: chunked\r\n\r\n"
        for sent in [head, broken] if pause else [head + broken]:
            sock.sendall(sent)
            time.sleep(pause)
        assert come_to(lambda: server.server_state.total_requests or not server.server_state.connections)
        assert come_to(lambda: not server.server_state.connections)
    assert "Traceback" not in capfd.readouterr().err
    assert [record for record in caplog.records if record.exc_info] == []
