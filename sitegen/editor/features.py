"""What a client may ask of the server or tell it, by the names of the protocol: all of it in one list."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from typing import Any

from lsprotocol import types as lsp

from sitegen.editor.completing import Completion, completions
from sitegen.editor.effects import effect_here
from sitegen.editor.leading import leads_to
from sitegen.editor.server import GuideServer, Texts

SIGNS = ("@", "`", "~", ":", " ", "=", ";")
"""Behind these something may follow that can be told without a letter of it."""
FILES = "**/content/**"
"""The files of guides. A change of any of them may make a statement true or false."""


def _begin(ls: GuideServer, params: lsp.InitializeParams) -> None:
    ls.loop = asyncio.get_running_loop()


async def _watch(ls: GuideServer, params: lsp.InitializedParams) -> None:
    """Asks to be told of files that change outside of the editor."""
    workspace = ls.client_capabilities.workspace
    watching = workspace.did_change_watched_files if workspace else None
    if watching and watching.dynamic_registration:
        options = lsp.DidChangeWatchedFilesRegistrationOptions([lsp.FileSystemWatcher(FILES)])
        files = lsp.Registration("files", lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES, options)
        await ls.client_register_capability_async(lsp.RegistrationParams([files]))


def _changed(
    ls: GuideServer,
    params: lsp.DidOpenTextDocumentParams
    | lsp.DidChangeTextDocumentParams
    | lsp.DidSaveTextDocumentParams
    | lsp.DidCloseTextDocumentParams,
) -> None:
    ls.changed(params.text_document.uri)


def _changed_elsewhere(ls: GuideServer, params: lsp.DidChangeWatchedFilesParams) -> None:
    ls.check_all()


async def _complete(ls: GuideServer, params: lsp.CompletionParams) -> lsp.CompletionList | None:
    place = ls.place(params.text_document.uri, params.position)
    if place is None:
        return None
    found = await asyncio.to_thread(completions, place)
    items = [_item(each, params.position, number) for number, each in enumerate(found)]
    return lsp.CompletionList(is_incomplete=False, items=items)


def _item(found: Completion, position: lsp.Position, number: int) -> lsp.CompletionItem:
    """In the order in which they were found. What is typed of a word is counted alike in all units."""
    begin = lsp.Position(position.line, position.character - found.typed)
    return lsp.CompletionItem(
        found.text.rstrip(": "),
        detail=found.what or None,
        sort_text=f"{number:04}",
        text_edit=lsp.TextEdit(lsp.Range(begin, position), found.text),
    )


async def _hover(ls: GuideServer, params: lsp.HoverParams) -> lsp.Hover | None:
    place = ls.place(params.text_document.uri, params.position)
    told = await asyncio.to_thread(effect_here, place) if place else ""
    return lsp.Hover(_shown(told, ls)) if told else None


def _shown(text: str, ls: GuideServer) -> lsp.MarkupContent:
    """A text whose columns stand one below the other, where the client can show such."""
    of_texts = ls.client_capabilities.text_document
    hover = of_texts.hover if of_texts else None
    if hover and lsp.MarkupKind.Markdown in (hover.content_format or ()):
        return lsp.MarkupContent(lsp.MarkupKind.Markdown, f"```text\n{text}\n```")
    return lsp.MarkupContent(lsp.MarkupKind.PlainText, text)


async def _lead(ls: GuideServer, params: lsp.DefinitionParams) -> lsp.Location | None:
    place = ls.place(params.text_document.uri, params.position)
    target = await asyncio.to_thread(leads_to, place) if place else None
    if not place or not place.around.folder or not target:
        return None
    return ls.location(target, Texts(place.around.folder, place.around.unsaved))


def _leave(ls: GuideServer, params: None) -> None:
    ls.left_in_peace = True


FEATURES: tuple[tuple[str, Callable[..., Any], Any], ...] = (
    (lsp.INITIALIZE, _begin, None),
    (lsp.INITIALIZED, _watch, None),
    (lsp.TEXT_DOCUMENT_DID_OPEN, _changed, None),
    (lsp.TEXT_DOCUMENT_DID_CHANGE, _changed, None),
    (lsp.TEXT_DOCUMENT_DID_SAVE, _changed, None),
    (lsp.TEXT_DOCUMENT_DID_CLOSE, _changed, None),
    (lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES, _changed_elsewhere, None),
    (lsp.TEXT_DOCUMENT_COMPLETION, _complete, lsp.CompletionOptions(trigger_characters=[*SIGNS])),
    (lsp.TEXT_DOCUMENT_HOVER, _hover, None),
    (lsp.TEXT_DOCUMENT_DEFINITION, _lead, None),
    (lsp.SHUTDOWN, _leave, None),
)
"""The messages that are answered or heard, what does so, and what a client is told of it beforehand."""


def serve() -> int:
    """Answers a client over standard input and output until it goes; 0 where it said so before."""
    log = logging.getLogger("pygls")  # What it has to say of a client goes to that client.
    log.addHandler(logging.NullHandler())
    log.propagate = False
    server = GuideServer()
    for message, answer, options in FEATURES:
        server.feature(message, options)(answer)
    server.start_io()
    return 0 if server.left_in_peace else 1
