"""The routes of the preview: what is answered at which path. What an answer is, other modules know."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect, Request
from starlette.responses import HTMLResponse, PlainTextResponse, Response, StreamingResponse
from starlette.routing import Route

from sitegen.figures.style import css
from sitegen.figures.views import DEFAULT_VIEW, VIEWS
from sitegen.guide.asked import Asking, asked_within
from sitegen.guide.guide import FILES
from sitegen.guide.printed import OUTPUT
from sitegen.preview.guards import OWN, Guarded
from sitegen.preview.other_process import LOOK, OtherProcess, ProcessEnded
from sitegen.preview.panel import filled, own_file, page_instead, panel
from sitegen.preview.republish import Outcome, Republisher, State, publish_once
from sitegen.preview.scratch import Paper, Scratch, answered, claims_in_a_row
from sitegen.preview.seek import MOST, SECONDS, SearchResult, seek
from sitegen.preview.site_files import INDEX, TYPES, file_of, served, with_script
from sitegen.preview.watching import watch
from sitegen.problems import Findings
from sitegen.search.find import LONGEST_SOUGHT
from sitegen.site.theme_folder import FIGURES

SLOWEST = 10.0
"""Seconds within which what is sent has to be here."""
ALIVE = 15.0
"""Seconds after which a page is told that there is no news; that shows whether it is still there."""
MOST_LISTENING = 64
"""So many pages are told of news at one time."""


@dataclass
class Desk:
    """What the routes share: the guide's folder, what was published of it, and where searches go on."""

    folder: Path
    tell: Callable[[Outcome], None] = lambda outcome: None
    publisher: OtherProcess = field(default_factory=OtherProcess)
    searcher: OtherProcess = field(default_factory=OtherProcess)
    search_over: asyncio.Event = field(default_factory=asyncio.Event)
    """Set when the search that began last is to end."""
    listening: int = 0

    def __post_init__(self) -> None:
        self.republisher = Republisher(lambda: self.publisher.ask(publish_once, self.folder), self.tell)
        self._paper, self._paper_of = Paper(self.folder), 0

    @property
    def output(self) -> Path:
        return self.folder / OUTPUT

    @property
    def state(self) -> State:
        return self.republisher.state

    @property
    def paper(self) -> Paper:
        """Another one as soon as something was saved."""
        if self._paper_of != self.state.begun:
            self._paper, self._paper_of = Paper(self.folder), self.state.begun
        return self._paper

    def leave(self) -> None:
        """Lets all go that wait for news or for a search, so that the server can end."""
        self.republisher.end()
        self.stop_search()

    def stop_search(self) -> None:
        """Ends the search that goes on, if one does."""
        self.search_over.set()

    @asynccontextmanager
    async def at_work(self, app: Starlette) -> AsyncIterator[None]:
        """Publishes and watches for as long as the server runs."""
        tasks = [
            asyncio.create_task(self.republisher.keep_up()),
            asyncio.create_task(watch(self.folder, self.republisher.saved)),
        ]
        try:
            yield
        finally:
            for task in tasks:
                task.cancel()
            self.publisher.end()
            self.searcher.end()
            await asyncio.gather(*tasks, return_exceptions=True)


def preview_app(desk: Desk, hosts: frozenset[str]) -> Guarded:
    """The preview of a guide, for requests to one of the hosts."""
    routes = [
        Route(f"{OWN}events", _events),
        Route(f"{OWN}panel", _panel),
        Route(f"{OWN}scratch", _scratch),
        Route(f"{OWN}scratch/answer", _answer, methods=["POST"]),
        Route(f"{OWN}scratch/find", _find, methods=["POST"]),
        Route(f"{OWN}scratch/stop", _stop, methods=["POST"]),
        Route(f"{OWN}figures.css", _figures),
        Route(f"{OWN}{{name}}", _own),
        Route("/{path:path}", _site),
    ]
    app = Starlette(routes=routes, lifespan=desk.at_work)
    app.state.desk = desk
    return Guarded(app, hosts)


def _desk(request: Request) -> Desk:
    desk: Desk = request.app.state.desk
    return desk


# Pages of the site -----------------------------------------------------------------------------------------


def _site(request: Request) -> Response:
    """A file of the site, as it was published last."""
    desk, path = _desk(request), request.scope["path"]
    state = desk.state  # before the file is read: should a newer one be read, it is loaded once too often
    found = served(desk.output, path, state.revision)
    if found is not None:
        return StreamingResponse(found.parts(), headers={"Content-Type": found.type})
    if file_of(desk.output, f"{path}/"):
        return Response(status_code=307, headers={"Location": f"{request.url.path}/"})
    return HTMLResponse(page_instead(state, state.revision), 404)


def _own(request: Request) -> Response:
    """What pages of the preview load."""
    name = request.path_params["name"]
    content = own_file(name)
    if content is None:
        return PlainTextResponse("There is nothing here.\n", 404)
    return Response(content, media_type=TYPES.guess_type(name)[0])


def _figures(request: Request) -> Response:
    """The sheet for figures, with the shades of the guide as soon as it was published."""
    found = served(_desk(request).output, f"/{FILES}/{FIGURES}", "")
    return StreamingResponse(found.parts() if found else iter([css()]), media_type="text/css")


# News ------------------------------------------------------------------------------------------------------


async def _events(request: Request) -> Response:
    """News as server-sent events (HTML Living Standard, section 9.2): first what is, then what comes."""
    desk = _desk(request)
    if desk.listening >= MOST_LISTENING:
        return PlainTextResponse("Too many pages are open.\n", 503)

    async def news() -> AsyncIterator[str]:
        desk.listening += 1
        try:
            state = desk.state
            while not state.over:
                data = {"step": state.step, "revision": state.revision, "busy": state.busy}
                yield f"data: {json.dumps(data)}\n\n"
                step = state.step
                while state.step == step:
                    try:
                        state = await asyncio.wait_for(desk.republisher.after(step), ALIVE)
                    except TimeoutError:
                        yield ": nothing new\n\n"
        finally:
            desk.listening -= 1

    return StreamingResponse(news(), media_type="text/event-stream")


def _panel(request: Request) -> Response:
    """What the preview says on a page of the site."""
    desk, page = _desk(request), request.query_params.get("page", "").removeprefix("/")
    places = desk.paper.places.get(f"{page}{INDEX}" if page.endswith("/") or not page else page)
    return HTMLResponse(panel(desk.state, places))


# Scratch paper ---------------------------------------------------------------------------------------------


def _scratch(request: Request) -> Response:
    desk = _desk(request)
    page = filled(
        "scratch.html",
        puzzles=desk.paper.puzzles,
        views=list(VIEWS),
        view=DEFAULT_VIEW,
        longest=LONGEST_SOUGHT,
        seconds=round(SECONDS),
        guide=str(desk.folder.resolve()),
    )
    return HTMLResponse(with_script(page.encode(), desk.state.revision))


async def _answer(request: Request) -> Response:
    """What is to be said of moves and claims."""
    sent = await _sent(request)
    if sent is None:
        return _not_understood()
    scratch = Scratch(
        moves=_text(sent, "moves"),
        claims=_text(sent, "claims"),
        puzzle=_text(sent, "puzzle") or None,
        view=_text(sent, "view"),
        marked=sent.get("marked") is True,
    )
    return HTMLResponse(await run_in_threadpool(answered, scratch, _desk(request).paper))


async def _find(request: Request) -> Response:
    """What a search finds; it ends when it is told to, when nobody waits for it, or after a while."""
    desk, sent = _desk(request), await _sent(request)
    if sent is None:
        return _not_understood()
    desk.stop_search()  # one at a time: who asks anew does not want the other any more
    # From now on it can be stopped, since to see what is wrong may take as long as to read the guide.
    over = desk.search_over = asyncio.Event()
    asking = _asking(sent)
    if problems := await run_in_threadpool(_problems_of, asking, desk.paper):
        return HTMLResponse(filled("unread.html", problems=problems))
    search = asyncio.create_task(desk.searcher.ask(seek, desk.folder, asking, until=over))
    end = asyncio.get_running_loop().time() + SECONDS
    while not (await asyncio.wait([search], timeout=LOOK))[0]:
        if asyncio.get_running_loop().time() > end or await request.is_disconnected():
            over.set()
    try:
        found = search.result()
    except ProcessEnded:
        found = SearchResult(account="The search was ended.")
    if found.problems:
        return HTMLResponse(filled("unread.html", problems=found.problems))
    return HTMLResponse(filled("found.html", found=found, most=MOST))


async def _stop(request: Request) -> Response:
    _desk(request).stop_search()
    return Response(status_code=204)


def _asking(sent: dict[str, Any]) -> Asking:
    longest = sent.get("longest")
    return Asking(
        claims=claims_in_a_row(_text(sent, "claims")),
        puzzle=_text(sent, "puzzle") or None,
        faces=_text(sent, "faces").strip() or None,
        slices=sent.get("slices") is True,
        wide=sent.get("wide") is True,
        marked=sent.get("marked") is True,
        longest=max(0, min(longest, LONGEST_SOUGHT)) if type(longest) is int else None,
    )


def _problems_of(asking: Asking, paper: Paper) -> list[str]:
    """What is wrong with what is asked, seen at once and not when a process has begun."""
    findings = Findings()
    findings.attempt(None, lambda: asked_within(paper.around, paper.puzzle(asking.puzzle), asking))
    return [str(problem) for problem in findings.problems]


async def _sent(request: Request) -> dict[str, Any] | None:
    """What was sent, an object of JSON; None for anything else, or what does not come."""
    try:
        sent = json.loads(await asyncio.wait_for(request.body(), SLOWEST))
    except (ValueError, RecursionError, TimeoutError, ClientDisconnect):
        return None
    return sent if isinstance(sent, dict) else None


def _text(sent: dict[str, Any], name: str) -> str:
    text = sent.get(name)
    return text.replace("\r\n", "\n") if isinstance(text, str) else ""


def _not_understood() -> Response:
    return PlainTextResponse("An object of JSON is wanted here.\n", 400)
