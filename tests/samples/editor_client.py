"""A client of the Language Server Protocol, and `turnfolio editor` in a process of its own that it speaks to.

The client is that of pygls; its messages are those of lsprotocol, made from the protocol's own description.
"""

from __future__ import annotations

import asyncio
import sys
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any
from urllib.parse import unquote

from beside_a_browser import in_a_thread
from lsprotocol import types as lsp
from pygls.lsp.client import LanguageClient

COMMAND = (sys.executable, "-c", "from sitegen.cli import main; main()", "editor")
PATIENCE = 60.0
"""No answer takes so many seconds, on whatever machine."""
HERE = "‸"
"""Stands in a text for the place that is asked about."""


def units(text: str) -> int:
    """How long a text is in the units of UTF-16."""
    return len(text.encode("utf-16-le")) // 2


def position(text: str, at: int) -> lsp.Position:
    """Of an offset in a text: lines from 0, and units of UTF-16."""
    before = text[:at]
    return lsp.Position(before.count("\n"), units(before.rpartition("\n")[2]))


def range_of(words: str, text: str) -> lsp.Range:
    """Where words stand in a text that has them once."""
    assert text.count(words) == 1
    at = text.index(words)
    return lsp.Range(position(text, at), position(text, at + len(words)))


class Editing:
    """Somebody who edits the files of a guide, and what is shown meanwhile."""

    def __init__(self, folder: Path, client: LanguageClient) -> None:
        self.folder, self.client = folder, client
        self.shown: dict[str, list[lsp.Diagnostic]] = {}
        """The problems of each file, as they were shown last; files that never had any are left out."""
        self.addresses: set[str] = set()
        """Of these files, as they were written."""
        self.told: list[str] = []
        """What was said in a window or put into a log."""
        self.texts: dict[str, str] = {}
        self._versions: dict[str, int] = {}

    def uri(self, name: str) -> str:
        return (self.folder / name).as_uri()

    def open(self, name: str, text: str | None = None) -> None:
        """Opens a file, or writes a new one that is not saved."""
        self.texts[name] = (self.folder / name).read_text() if text is None else text
        item = lsp.TextDocumentItem(self.uri(name), "markdown", 1, self.texts[name])
        self.client.text_document_did_open(lsp.DidOpenTextDocumentParams(item))

    def change(self, name: str, text: str) -> None:
        self.texts[name] = text
        self._versions[name] = self._versions.get(name, 1) + 1
        document = lsp.VersionedTextDocumentIdentifier(self._versions[name], self.uri(name))
        whole = lsp.TextDocumentContentChangeWholeDocument(text)
        self.client.text_document_did_change(lsp.DidChangeTextDocumentParams(document, [whole]))

    def close(self, name: str) -> None:
        document = lsp.TextDocumentIdentifier(self.uri(name))
        self.client.text_document_did_close(lsp.DidCloseTextDocumentParams(document))

    async def until(self, seen: Callable[[], Any]) -> None:
        """Waits until something is the case."""
        for _ in range(int(PATIENCE * 20)):
            if seen():
                return
            await asyncio.sleep(0.05)
        raise AssertionError(f"this never came to be; shown {self.shown}, told {self.told}")

    async def problems(self, name: str, *messages: str) -> list[lsp.Diagnostic]:
        """The problems of a file, once these messages and no others are shown in it."""
        seen = [message.partition("\n")[0] for message in messages]
        await self.until(
            lambda: [each.message.partition("\n")[0] for each in self.shown.get(name, [])] == seen
        )
        return self.shown.get(name, [])

    def _asked(self, name: str, text: str) -> tuple[lsp.TextDocumentIdentifier, lsp.Position]:
        """Writes a text in which a place is marked, and asks about that place."""
        at = text.index(HERE)
        written = text.replace(HERE, "")
        (self.change if name in self.texts else self.open)(name, written)
        return lsp.TextDocumentIdentifier(self.uri(name)), position(written, at)

    async def completions(self, name: str, text: str) -> list[lsp.CompletionItem]:
        """What may be written at the marked place."""
        answer = await self.client.text_document_completion_async(
            lsp.CompletionParams(*self._asked(name, text))
        )
        return list(answer.items) if isinstance(answer, lsp.CompletionList) else list(answer or ())

    async def completed(self, name: str, text: str) -> list[str]:
        """The line of the marked place with each of the texts put in that may be written there."""
        lines = []
        for item in await self.completions(name, text):
            edit = item.text_edit
            assert isinstance(edit, lsp.TextEdit)
            line = text.replace(HERE, "").split("\n")[edit.range.start.line].encode("utf-16-le")
            start, end = 2 * edit.range.start.character, 2 * edit.range.end.character
            lines.append((line[:start] + edit.new_text.encode("utf-16-le") + line[end:]).decode("utf-16-le"))
        return lines

    async def hover(self, name: str, text: str) -> str:
        answer = await self.client.text_document_hover_async(lsp.HoverParams(*self._asked(name, text)))
        if answer is None:
            return ""
        assert isinstance(answer.contents, lsp.MarkupContent)
        return answer.contents.value

    async def definition(self, name: str, text: str) -> tuple[str, int] | None:
        """The file to which the marked place leads, and the line there, counted from 1."""
        answer = await self.client.text_document_definition_async(
            lsp.DefinitionParams(*self._asked(name, text))
        )
        if answer is None:
            return None
        assert isinstance(answer, lsp.Location)
        assert answer.uri.startswith(self.folder.as_uri())
        return unquote(answer.uri.removeprefix(self.folder.as_uri() + "/")), answer.range.start.line + 1


def edited(
    folder: Path,
    doing: Callable[[Editing], Awaitable[None]],
    capabilities: lsp.ClientCapabilities | None = None,
    goes: bool = True,
) -> int:
    """The exit status of a server with which somebody has edited a guide; they may go without saying so."""

    async def run() -> int:
        client = LanguageClient("a test", "1")
        editing = Editing(folder, client)

        @client.feature(lsp.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
        def show(params: lsp.PublishDiagnosticsParams) -> None:
            name = unquote(params.uri).removeprefix(unquote(folder.as_uri()) + "/")
            editing.shown[name] = list(params.diagnostics)
            editing.addresses.add(params.uri)

        @client.feature(lsp.WINDOW_LOG_MESSAGE)
        @client.feature(lsp.WINDOW_SHOW_MESSAGE)
        def tell(params: lsp.ShowMessageParams) -> None:
            editing.told.append(params.message)

        await client.start_io(*COMMAND)
        server = client._server
        assert server is not None
        assert server.stderr is not None
        try:
            await client.initialize_async(
                lsp.InitializeParams(capabilities or lsp.ClientCapabilities(), root_uri=folder.as_uri())
            )
            client.initialized(lsp.InitializedParams())
            await asyncio.wait_for(doing(editing), PATIENCE * 2)
            if goes:
                await client.shutdown_async(None)
            client.exit(None)
            status = await asyncio.wait_for(server.wait(), PATIENCE)
        finally:
            if server.returncode is None:
                server.kill()
        await client.stop()
        assert (await server.stderr.read()).decode() == ""
        return status

    status: int = in_a_thread(run())
    return status
