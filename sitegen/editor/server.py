"""The texts that a client has open, as files of guides, and what it is shown of these guides.

Here places go by lines and characters; there by the units in which the client counts (LSP 3.17, “Position”).
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from importlib.metadata import version
from pathlib import Path
from typing import Any, TypeVar

from lsprotocol import types as lsp
from pygls.lsp.server import LanguageServer
from pygls.uris import from_fs_path, to_fs_path
from pygls.workspace import ServerTextPosition, ServerTextRange, TextDocument

from sitegen.editor.checker import Checked, Checker
from sitegen.editor.place import Place
from sitegen.guide.enclosing import Enclosing, guide_above
from sitegen.pages.config import Unsaved, read_source
from sitegen.problems import Findings, Passage, Problem
from sitegen.reports.problem_report import NOTE

T = TypeVar("T")


@dataclass
class Texts:
    """The lines of the files of a guide, each read once."""

    folder: Path
    unsaved: Unsaved
    _known: dict[str, list[str]] = field(default_factory=dict)

    def lines(self, name: str) -> list[str]:
        """Those of one file; none where it cannot be read."""
        if name not in self._known:
            source = Findings().attempt(None, read_source, self.folder, name, self.unsaved)
            self._known[name] = source.text.split("\n") if source else []
        return self._known[name]


def _text(document: TextDocument) -> str:
    """A text as it would be read from a file in UTF-8: halves of characters cannot be written there."""
    units = str(document.source).encode("utf-16-le", "surrogatepass")
    text = units.decode("utf-16-le", "replace").removeprefix("\ufeff")
    return text.replace("\r\n", "\n").replace("\r", "\n")


class GuideServer(LanguageServer):
    """The texts that are open, and what clients are shown of the guides that they belong to."""

    def __init__(self) -> None:
        super().__init__("turnfolio", version("turnfolio"), lsp.TextDocumentSyncKind.Full)
        self.checker = Checker(self._from_thread(self.show), self._from_thread(self.fail))
        self.loop: asyncio.AbstractEventLoop | None = None
        self.left_in_peace = False
        """Whether the client has said that it is going."""
        self._outlines: dict[Path, Enclosing] = {}
        self._shown: dict[Path, frozenset[str]] = {}
        """Which files of each guide have problems that are shown, by their URIs."""

    def _from_thread(self, job: Callable[[T], None]) -> Callable[[T], None]:
        """The job, done where all that concerns the client is done."""

        def call(told: T) -> None:
            with suppress(RuntimeError):  # There is nobody any more to be told.
                if self.loop:
                    self.loop.call_soon_threadsafe(job, told)

        return call

    def guide_of(self, uri: str) -> tuple[Path, str] | None:
        """The folder of the guide to which a file belongs, and its path there; None where it is of none."""
        path = Path(to_fs_path(uri) or "")
        folder = guide_above(path.parent) if path.is_absolute() else None
        name = path.relative_to(folder).as_posix() if folder else ""
        return (folder, name) if folder and name.startswith("content/") else None

    def _documents(self, folder: Path) -> dict[str, TextDocument]:
        """The texts of a guide that are open, by their paths there, each with the URI that the client has."""
        placed = [(self.guide_of(each.uri), each) for each in self.workspace.text_documents.values()]
        return {place[1]: each for place, each in placed if place and place[0] == folder}

    def unsaved(self, folder: Path) -> Unsaved:
        """The texts of a guide that are open, read as files are."""
        return {name: _text(document) for name, document in self._documents(folder).items()}

    def changed(self, uri: str) -> None:
        """A text has changed, or has been opened, closed or saved."""
        if place := self.guide_of(uri):
            self.check(place[0])

    def check(self, folder: Path) -> None:
        """Checks a guide anew."""
        self._outlines.pop(folder, None)
        self.checker.ask(folder, self.unsaved(folder))

    def check_all(self) -> None:
        """Checks every guide anew that anything was asked of."""
        for folder in {*self._outlines, *self._shown}:
            self.check(folder)

    def place(self, uri: str, position: lsp.Position) -> Place | None:
        """A place in a file of a guide; None where it is in none."""
        folder, file = self.guide_of(uri) or (None, "")
        document = self._documents(folder).get(file) if folder else None
        if not folder or not document:
            return None
        around = self._outlines.setdefault(folder, Enclosing(folder, self.unsaved(folder)))
        text = _text(document)
        lines = text.split("\n")
        line = min(position.line, len(lines) - 1)
        codec = self.workspace.position_codec
        units = min(position.character, codec.client_num_units(lines[line]))
        at = codec.position_from_client_units(lines, lsp.Position(line, units))
        return Place(around, file, text, at.line + 1, at.character + 1)

    def show(self, checked: Checked) -> None:
        """Shows what was found in a guide, and takes back what was shown before and is mended."""
        by_file: dict[str, list[lsp.Diagnostic]] = {}
        texts = Texts(checked.folder, checked.unsaved)
        for kind, problem in checked.found:
            place = self.location(problem.passage, texts)
            by_file.setdefault(place.uri, []).append(self._diagnostic(kind, problem, place.range))
        for uri in sorted(self._shown.get(checked.folder, frozenset()) | set(by_file)):
            told = lsp.PublishDiagnosticsParams(uri, by_file.get(uri, []))
            self.text_document_publish_diagnostics(told)
        self._shown[checked.folder] = frozenset(by_file)

    def _diagnostic(self, kind: str, problem: Problem, where: lsp.Range) -> lsp.Diagnostic:
        return lsp.Diagnostic(
            where,
            "\n".join(filter(None, [problem.message, problem.hint and f"hint: {problem.hint}"])),
            severity=lsp.DiagnosticSeverity.Information if kind == NOTE else lsp.DiagnosticSeverity.Error,
            source=self.name,
        )

    def location(self, passage: Passage, texts: Texts) -> lsp.Location:
        """Where a passage of a guide is, in the client's words and units."""
        name = passage.source.name
        document = self._documents(texts.folder).get(name)
        uri = document.uri if document else from_fs_path(str(texts.folder / name))
        ends = (ServerTextPosition(each.line - 1, each.column - 1) for each in (passage, passage.after))
        codec = self.workspace.position_codec
        return lsp.Location(str(uri), codec.range_to_client_units(texts.lines(name), ServerTextRange(*ends)))

    def fail(self, error: Exception) -> None:
        """Tells of a fault of ours."""
        message = f"Turnfolio has a fault, and could not check this guide: please report {error!r}"
        self.window_show_message(lsp.ShowMessageParams(lsp.MessageType.Error, message))

    def report_server_error(self, error: Exception, source: Any) -> None:
        """What a client has said that cannot be understood goes to its log, and to no window."""
        message = f"this message was not understood: {error}"
        self.window_log_message(lsp.LogMessageParams(lsp.MessageType.Warning, message))
