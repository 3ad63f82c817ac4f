"""HTML read into what the tests ask about: elements, their attributes and texts; strict about nesting."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path, PurePosixPath

VOID = {
    *("area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr")
}


@dataclass
class Element:
    tag: str
    attributes: dict[str, str]
    parent: Element | None = None
    children: list[Element | str] = field(default_factory=list)

    def walk(self) -> Iterator[Element]:
        for child in self.children:
            if isinstance(child, Element):
                yield child
                yield from child.walk()

    def all(self, tag: str, **attributes: str) -> list[Element]:
        """The elements inside with a tag, and with words in attributes (`class_` is `class`)."""
        wanted = {name.rstrip("_"): value for name, value in attributes.items()}
        return [
            element
            for element in self.walk()
            if element.tag == tag
            and all(value in element.attributes.get(name, "").split() for name, value in wanted.items())
        ]

    @property
    def text(self) -> str:
        """What is seen of it, and what images say."""
        return " ".join("".join(self._texts(lambda element: element.is_for_ears)).split())

    @property
    def written(self) -> str:
        """What is seen of moves, as an author writes it: sequences by their names."""
        named = [e for e in self.walk() if "by-name" in e.attributes.get("class", "").split()]
        text, at = self.text, 0
        for each in named:
            at = text.index(each.text, at)
            name = PurePosixPath(each.attributes.get("href", "")).stem or each.text.replace(" ", "-")
            text = f"{text[:at]}@{name}{text[at + len(each.text) :]}"
            at += len(name) + 1
        return text

    @property
    def heard(self) -> str:
        """What is heard of it."""
        return " ".join("".join(self._texts(lambda element: element.is_silent)).split())

    @property
    def is_for_ears(self) -> bool:
        return "heard" in self.attributes.get("class", "").split()

    @property
    def is_silent(self) -> bool:
        return self.attributes.get("aria-hidden") == "true"

    def _texts(self, left_out: Callable[[Element], bool]) -> Iterator[str]:
        for child in self.children:
            if isinstance(child, str):
                yield child
            elif not left_out(child):
                yield from child._texts(left_out)

    def inside(self, tag: str) -> bool:
        return self.parent is not None and (self.parent.tag == tag or self.parent.inside(tag))


class Document(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.root = self.at = Element("#document", {})
        self.faults: list[str] = []
        self.doctype = ""

    @classmethod
    def read(cls, text: str) -> Document:
        document = cls()
        document.feed(text)
        document.close()
        if document.at is not document.root:
            document.faults.append(f"<{document.at.tag}> is not closed")
        return document

    def handle_decl(self, decl: str) -> None:
        self.doctype = decl

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = [name for name, _ in attrs]
        if len(names) > len(set(names)):
            self.faults.append(f"<{tag}> has an attribute twice: {names}")
        if tag in ("p", "h1", "h2", "h3") and self.at.tag == "p":
            self.faults.append(f"<{tag}> stands in <p>")
        element = Element(tag, {name: value or "" for name, value in attrs}, self.at)
        self.at.children.append(element)
        if tag not in VOID:
            self.at = element

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.handle_endtag(tag)

    def handle_endtag(self, tag: str) -> None:
        if self.at.tag != tag:
            self.faults.append(f"</{tag}> closes <{self.at.tag}>")
        if self.at.parent is not None:
            self.at = self.at.parent

    def handle_data(self, data: str) -> None:
        self.at.children.append(data)


def unspelt(heard: str) -> str:
    """What is heard of places of a cube, as it is written: `U F is at U R` is `UF is at UR`."""
    return re.sub(r"\b([UDFBLR]) (?=[UDFBLR]\b)", r"\1", heard)


def documents(output: Path) -> dict[str, Document]:
    """Every page below a folder, by its path."""
    return {
        path.relative_to(output).as_posix(): Document.read(path.read_text(encoding="utf-8"))
        for path in sorted(output.rglob("*.html"))
    }
