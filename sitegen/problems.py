"""The one shape of an error: what is wrong, where it stands in what was written, and what to do.

Knows texts and places in them; knows nothing of puzzles, moves or Markdown.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from typing import NamedTuple, ParamSpec, TypeVar

EXCERPT = 96
"""An excerpt shows at most this many characters of a line."""


UNSEEN = frozenset(["Cc", "Cf", "Zs", "Zl", "Zp"])
"""The categories in Unicode of blanks and of characters that take no room."""


@dataclass(frozen=True)
class Source:
    """A text as it was written. `first_line` and `indent` say where it stands in a larger file."""

    name: str
    text: str
    first_line: int = 1
    indent: int = 0

    def passage(self, start: int = 0, end: int | None = None) -> Passage:
        """A stretch between two offsets; without them the whole text, or all from the first on."""
        return Passage(self, start, len(self.text) if end is None else end)

    def line_start(self, number: int) -> int:
        """The offset at which the line with this number in the file begins (the end, when past it)."""
        offset = 0
        for _ in range(number - self.first_line):
            found = self.text.find("\n", offset)
            if found < 0:
                return len(self.text)
            offset = found + 1
        return offset


class Passage(NamedTuple):
    """A stretch of a source, from offset `start` up to `end`."""

    source: Source
    start: int
    end: int

    @property
    def text(self) -> str:
        return self.source.text[self.start : self.end]

    def part(self, start: int, end: int) -> Passage:
        """The stretch between two offsets counted from the start of this one."""
        return Passage(self.source, self.start + start, self.start + end)

    def stripped(self) -> Passage:
        """Without the white space at both ends."""
        text = self.text
        lead = len(text) - len(text.lstrip())
        return self.part(lead, lead + len(text.strip()))

    @property
    def line(self) -> int:
        """Of its first character, counted from 1 in the file."""
        return self.source.first_line + self.source.text.count("\n", 0, self.start)

    @property
    def column(self) -> int:
        """Of its first character, counted from 1 in characters of the line."""
        return self.source.indent + self.start - self._line_start() + 1

    @property
    def after(self) -> Passage:
        """The place right behind it."""
        return Passage(self.source, self.end, self.end)

    def _line_start(self) -> int:
        return self.source.text.rfind("\n", 0, self.start) + 1

    def excerpt(self) -> str:
        """The line in which the passage begins, and under it a marker."""
        begin = self._line_start()
        line = self.source.text[begin:].split("\n", 1)[0].rstrip("\r")
        at = self.start - begin
        skip = max(0, at - EXCERPT // 2)
        shown = "".join(map(_in_place_of, line[skip : skip + EXCERPT]))
        width = max(1, min(self.end - self.start, len(line) - at, EXCERPT - (at - skip)))
        return f"    {shown}\n    {' ' * (at - skip)}{'^' * width}"


def shortened(text: str, most: int = 40) -> str:
    """A text as a message may quote it."""
    return text if len(text) <= most else f"{text[: most - 1]}…"


def visible(text: str) -> str:
    """A text with the numbers of characters that nobody would see, or would take for a common blank."""
    if text.isprintable():
        return text
    seen = (char in " \n" or unicodedata.category(char) not in UNSEEN for char in text)
    return "".join(
        char if is_seen else f"[U+{ord(char):04X}]" for char, is_seen in zip(text, seen, strict=True)
    )


def _in_place_of(char: str) -> str:
    """What an excerpt shows for a character: as wide as it is counted, and nothing that a terminal obeys."""
    if char == "\t":
        return " "
    return "\N{REPLACEMENT CHARACTER}" if unicodedata.category(char) in UNSEEN - {"Zs"} else char


def nearest(text: str, known: Iterable[str], cutoff: float = 0.6) -> list[str]:
    """The words that a text is most like, if it is like any: all that are as near."""
    matcher, best, near = SequenceMatcher(None, "", text), cutoff, list[str]()
    for word in known:
        matcher.set_seq1(word)
        # Two bounds that are found sooner leave most words out.
        if matcher.real_quick_ratio() >= best and matcher.quick_ratio() >= best:
            ratio = matcher.ratio()
            if ratio > best:
                best, near = ratio, []
            if ratio == best:
                near.append(word)
    return near


def is_it(text: str, known: Iterable[str], cutoff: float = 0.6) -> str:
    """Asks for the word that is nearest to a text, or for all that are as near; empty where none is near."""
    return meant(nearest(text, known, cutoff))


def meant(words: Sequence[str]) -> str:
    """Asks for a word, or for one of some; empty for none."""
    return f"is it {'' if len(words) == 1 else 'one of '}{', '.join(words)}?" if words else ""


def written(text: str, name: str = "moves") -> Passage:
    """A passage for a text that stands in no file, such as a command's argument."""
    return Source(name, text).passage()


class Problem(Exception):
    """Something that the person who wrote the text can mend.

    `message` says what is wrong, `passage` where, `hint` what to do.
    """

    def __init__(self, message: str, passage: Passage, hint: str = "") -> None:
        self.message = visible(message)
        super().__init__(self.message)
        self.passage = passage
        self.hint = visible(hint)

    def headline(self) -> str:
        """`content/page.md:3:1: message`"""
        name = visible(self.passage.source.name)
        return f"{name}:{self.passage.line}:{self.passage.column}: {self.message}"

    def __str__(self) -> str:
        parts = [self.headline()]
        if self.passage.source.text.strip():
            parts.append(self.passage.excerpt())
        if self.hint:
            parts.append(f"    hint: {self.hint}")
        return "\n".join(parts)

    @property
    def order(self) -> tuple[str, int, int, str]:
        """Sorts problems as a reader of the files meets them."""
        return self.passage.source.name, self.passage.line, self.passage.column, self.message


class Placeless(Exception):
    """Something to mend, found by what knows no texts: whoever has read one says where it was written."""

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint

    def at(self, passage: Passage) -> Problem:
        """The problem, now that its place is known."""
        return Problem(self.message, passage, self.hint)


class Note(Problem):
    """What an author may mean as it stands. The passage is the first of all `places` that it follows from."""

    def __init__(self, message: str, places: Sequence[Passage], hint: str) -> None:
        super().__init__(f"note: {message}", places[0], hint)
        self.places = tuple(places)


class Problems(Exception):
    """All the problems that were found, in reading order."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(problems, key=lambda problem: problem.order))
        super().__init__("\n".join(str(problem) for problem in self.problems))


P = ParamSpec("P")
T = TypeVar("T")


@dataclass
class Findings:
    """Gathers problems, so that one does not hide the next."""

    problems: list[Problem] = field(default_factory=list)

    def add(self, problem: Problem) -> None:
        self.problems.append(problem)

    def attempt(self, otherwise: T, job: Callable[P, T], *args: P.args, **named: P.kwargs) -> T:
        """What a job gives; where it finds problems, these are kept, and `otherwise` stands in."""
        try:
            return job(*args, **named)
        except Problem as problem:
            self.problems.append(problem)
        except Problems as found:
            self.problems.extend(found.problems)
        return otherwise

    def settle(self) -> None:
        """Raises what was found, if anything: Problem for one, Problems for more."""
        if len(self.problems) == 1:
            raise self.problems[0]
        if self.problems:
            raise Problems(self.problems)
