"""A site as any server serves it, on this machine alone."""

from __future__ import annotations

import gzip
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from http import HTTPStatus
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


class _Compressing(_Quiet):
    """Sends texts as hosts of sites do: by gzip (RFC 9110, 8.4.1.3)."""

    def do_GET(self) -> None:
        file = Path(self.translate_path(self.path))
        if file.suffix not in TEXTS or not file.is_file():
            super().do_GET()
            return
        content = gzip.compress(file.read_bytes())
        self.send_response(HTTPStatus.OK)
        self.send_header("Content-Type", self.guess_type(file))
        self.send_header("Content-Encoding", "gzip")
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)


TEXTS = (".html", ".css", ".js", ".svg")
AS_IT_IS, STRICT, COMPRESSED = _Quiet, _Strict, _Compressing
"""Ways to serve: `STRICT` is under a policy by which no script within a page runs."""


@contextmanager
def served(folder: Path, way: type[_Quiet] = AS_IT_IS) -> Iterator[str]:
    """The address of what is in a folder."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(way, directory=str(folder)))
    Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_port}/"
    finally:
        server.shutdown()
        server.server_close()
