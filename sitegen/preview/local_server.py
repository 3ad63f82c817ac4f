"""The preview as a server on this machine: its port, its connections, and how it begins and ends."""

from __future__ import annotations

import asyncio
import gc
import socket
import sys
from collections.abc import Callable
from contextlib import suppress
from errno import EADDRINUSE
from types import FrameType
from typing import Any

import uvicorn
from h11 import LocalProtocolError
from uvicorn.protocols.http.h11_impl import H11Protocol, RequestResponseCycle

from sitegen.preview.serving import Desk, preview_app

ADDRESS = "127.0.0.1"
"""Of this machine alone: nobody else reaches it."""
NAMES = (ADDRESS, "localhost")
PORT = 4870
LAST_PORT = 65_535
TRIED = 100
"""So many ports are tried, one after another."""
MOST_HEAD = 16_384
"""Bytes of a request's first lines."""
WAITED = 10.0
"""Seconds within which something has to be asked on a connection, and something of an answer taken."""
USUAL = (700, 10, 10)
"""How many objects come to be before Python looks for what nobody uses, where nobody says otherwise."""
SETTINGS: dict[str, Any] = {
    "ws": "none",
    "proxy_headers": False,
    "server_header": False,
    "access_log": False,
    "log_level": "error",
    "h11_max_incomplete_event_size": MOST_HEAD,
    "timeout_keep_alive": 5,
    "timeout_graceful_shutdown": 1,
}


class NoPort(Exception):
    """Why no port can be had."""


class _Impatient(H11Protocol):
    """Closes connections on which nothing is asked or nothing taken, so that these do not keep others out."""

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        super().connection_made(transport)
        self._seen: RequestResponseCycle | None = None
        self._left, self._taken = 0, True
        self._wait()

    def _wait(self) -> None:
        self._waiting = asyncio.get_running_loop().call_later(WAITED, self._look)

    def _look(self) -> None:
        """Ends it where nothing was asked since it was looked at last, and nothing is being answered.

        What is left to send is still sent, unless nothing of that was taken either.
        """
        left = self.transport.get_write_buffer_size()
        if 0 < left == self._left and not self._taken:
            self.transport.abort()
            return
        self._left, self._taken = left, False
        answering = self.cycle is not None and not self.cycle.response_complete
        if self.cycle is self._seen and not answering:
            self.transport.close()
        self._seen = self.cycle
        self._wait()

    def resume_writing(self) -> None:
        self._taken = True
        super().resume_writing()

    def send_400_response(self, msg: str) -> None:
        """Ends a connection on which no HTTP comes any more, with an answer where none has begun."""
        if self.cycle is not None:
            self.cycle.disconnected = True
        with suppress(LocalProtocolError):
            super().send_400_response(msg)
        self.transport.close()

    def connection_lost(self, exc: Exception | None) -> None:
        self._waiting.cancel()
        super().connection_lost(exc)


class _Server(uvicorn.Server):
    """Sends away those who wait, when it is told to end."""

    def __init__(self, config: uvicorn.Config, leave: Callable[[], None]) -> None:
        super().__init__(config)
        self._leave = leave

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        self._leave()
        super().handle_exit(sig, frame)


def listening(port: int) -> socket.socket:
    """A socket on this port, or on the first free one after it. Raises NoPort."""
    for each in range(port, min(port + TRIED, LAST_PORT + 1)):
        found = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        # A port that was ours a moment ago is free; elsewhere this would take one that somebody else has.
        if sys.platform != "win32":
            found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            found.bind((ADDRESS, each))
            found.listen()
        except OSError as error:
            found.close()
            if error.errno != EADDRINUSE:
                raise NoPort(f"port {each} cannot be had: {error.strerror}") from None
        else:
            return found
    raise NoPort(f"no port from {port} on is free; give another with --port")


def keep_serving(desk: Desk, sock: socket.socket, begun: Callable[[], None] = lambda: None) -> None:
    """Serves until it is interrupted."""
    port = sock.getsockname()[1]
    app = preview_app(desk, hosts(port))
    server = _Server(uvicorn.Config(app, http=_Impatient, **SETTINGS), desk.leave)
    begun()
    # Connections are let go of by looking for what nobody uses, as often as that is usually done.
    gc.set_threshold(*USUAL)
    try:
        server.run(sockets=[sock])
    except KeyboardInterrupt:
        pass
    finally:
        sock.close()


def hosts(port: int) -> frozenset[str]:
    """How requests name this server: without the port where it is the usual one (RFC 9110, section 4.2.3)."""
    return frozenset(name if port == 80 else f"{name}:{port}" for name in NAMES)
