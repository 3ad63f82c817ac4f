"""What the server answers at all: requests to its own address, from its own pages, and of a bounded size.

Whatever runs in the same browser, such as a page of another site, can send requests to this machine. It must
neither read a guide nor set anything going. Knows requests; knows nothing of guides.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

OWN = "/.preview/"
"""What the preview adds is below this path: no file of a site is, since nothing hidden is published."""
MOST_BODY = 16_384
"""Bytes that may be sent."""
MOST_PATH = 2_048
SENT = "application/json"
HEADERS: Mapping[str, str] = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": "frame-ancestors 'self'",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
}
"""With every answer: nothing of it is kept, nor put into a page of another origin."""


class Refusal(NamedTuple):
    """An HTTP status (RFC 9110, section 15), and why."""

    status: int
    why: str


def refusal(method: str, path: str, headers: Headers, hosts: frozenset[str]) -> Refusal | None:
    """Why a request is not answered; None for one that is. `hosts` are the names of this server."""
    origins = {f"http://{host}" for host in hosts}
    origin, site = headers.get("origin"), headers.get("sec-fetch-site", "none")
    if headers.getlist("host") not in [[host] for host in hosts]:
        return Refusal(421, f"this server is {min(hosts)}")
    if len(path) > MOST_PATH:
        return Refusal(414, f"no path here has more than {MOST_PATH} characters")
    if origin is not None and origin not in origins:
        return Refusal(403, "this comes from a page of another origin")
    if path.startswith(OWN) and site not in ("same-origin", "none"):
        return Refusal(403, "this comes from a page of another origin")
    if method == "POST":
        return _refusal_of_sent(origin, headers)
    return None if method in ("GET", "HEAD") else Refusal(405, "this server knows GET, HEAD and POST")


def _refusal_of_sent(origin: str | None, headers: Headers) -> Refusal | None:
    """Why what is sent is not taken: that it is from a page of this server must be said."""
    length = headers.get("content-length", "")
    if origin is None:
        return Refusal(403, "say from which origin this comes")
    if headers.get("content-type", "").partition(";")[0].strip() != SENT:
        return Refusal(415, f"send {SENT}")
    if "transfer-encoding" in headers or not (length.isascii() and length.isdigit()):
        # Of two lengths it is the other one that counts (RFC 9112, section 6.3).
        return Refusal(411, "say how long it is")
    if len(length) > len(str(MOST_BODY)) or int(length) > MOST_BODY:
        return Refusal(413, f"send no more than {MOST_BODY} bytes")
    return None


class Guarded:
    """An application behind these guards, with their headers on all that it answers."""

    def __init__(self, app: ASGIApp, hosts: frozenset[str]) -> None:
        self.app, self.hosts = app, hosts

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                MutableHeaders(scope=message).update(HEADERS)
            await send(message)

        refused = refusal(scope["method"], scope["path"], Headers(scope=scope), self.hosts)
        if refused:
            answer = PlainTextResponse(f"{refused.why}\n", refused.status, {"Connection": "close"})
            await answer(scope, receive, with_headers)
        else:
            await self.app(scope, receive, with_headers)
