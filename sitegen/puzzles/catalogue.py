"""The puzzles that ship, and those that an author defines; each is read and built when it is first asked for.

Knows files of definitions; knows nothing of guides.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from importlib.resources import files

from sitegen.problems import Passage, Problem, Problems, Source
from sitegen.puzzles.build import build
from sitegen.puzzles.definition import Definition, DefinitionError
from sitegen.puzzles.puzzle import Puzzle
from sitegen.puzzles.reading import NotationCheck, read_definitions
from sitegen.puzzles.validate import validate


@cache
def definitions() -> dict[str, Definition]:
    """Those that ship, by name."""
    folder = files("sitegen.puzzles").joinpath("definitions")
    found: dict[str, Definition] = {}
    for entry in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if entry.name.endswith(".yaml"):
            source = Source(entry.name, entry.read_text(encoding="utf-8"))
            found.update(read_definitions(entry.name.removesuffix(".yaml"), source))
    return found


def names() -> list[str]:
    """Of the puzzles that ship, in the order in which they are listed."""
    return list(definitions())


@cache
def puzzle(name: str) -> Puzzle:
    """The shipped puzzle with this name; KeyError where none is called so."""
    return build(replace(definitions()[name], coloured=False))


def read_puzzles(
    name: str, source: Source, check_notation: NotationCheck, others: Iterable[Puzzle] = ()
) -> dict[str, Puzzle]:
    """The puzzles that an author's file defines, built and found to turn. Raises Problem or Problems.

    None has the title of one that ships, or of `others` that the author has defined.
    """
    taken = {each.title: each.name for each in definitions().values()}
    taken |= {each.title: each.name for each in others}
    try:
        defined = read_definitions(name, source, check_notation)
        built = {each: build(definition) for each, definition in defined.items()}
        for each in built.values():
            validate(each)
            if taken.get(each.title, each.name) != each.name:
                message = f"{taken[each.title]} is called “{each.title}” too"
                raise DefinitionError(message, "give it another title, by which readers know it", "title")
    except DefinitionError as error:
        raise error.at(_place(error.key, source)) from None
    return built


def _place(key: str, source: Source) -> Passage:
    """The line of a key."""
    found = re.search(rf"^{key}\b.*$", source.text, re.MULTILINE) if key else None
    return source.passage(*found.span()) if found else source.passage(0, 0)


@dataclass(frozen=True)
class Catalogue:
    """All puzzles that a guide can be about."""

    own: Mapping[str, Puzzle] = field(default_factory=dict)
    broken: Mapping[str, tuple[Problem, ...]] = field(default_factory=dict)
    """What is wrong with files that define none, by the names of these."""

    def names(self) -> list[str]:
        """Of all puzzles that can be built, the shipped ones first."""
        return [*names(), *self.own]

    @property
    def titles(self) -> dict[str, str]:
        """What readers know them by, by their names."""
        shipped = {name: definition.title for name, definition in definitions().items()}
        return shipped | {name: puzzle.title for name, puzzle in self.own.items()}

    @property
    def problems(self) -> list[Problem]:
        """All that is wrong with files that define none."""
        return [problem for problems in self.broken.values() for problem in problems]

    def problems_of(self, name: str) -> tuple[Problem, ...]:
        """Why there is no puzzle of this name, where a file would define it, or several sizes of it."""
        if name in self.names():
            return ()
        return self.broken.get(name) or self.broken.get(re.sub("-[0-9]+$", "", name), ())

    def puzzle(self, name: str) -> Puzzle:
        """The puzzle with this name; KeyError where none is called so, Problems where its file is broken."""
        if problems := self.problems_of(name):
            raise Problems(problems)
        return self.own[name] if name in self.own else puzzle(name)
