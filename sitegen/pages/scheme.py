"""The colours that a guide gives to faces: whether a puzzle can look so.

Knows guide.yaml, and the ways to hold a solid and to see it in a mirror.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import combinations

from sitegen.figures.of_position import faces_coloured
from sitegen.pages.config import MIRRORED, Config
from sitegen.problems import Problem
from sitegen.puzzles.definition import COLOURS
from sitegen.puzzles.geometry import Vector, apply, determinant, dot, symmetries
from sitegen.puzzles.puzzle import Puzzle

Scheme = Mapping[str, str]
"""The colour of each face."""


def scheme_problems(config: Config, puzzles: Iterable[Puzzle]) -> list[Problem]:
    """What cannot be of the colours that a guide gives to faces, on the puzzles that it is about.

    Nothing is told while a setting cannot be read: these, or that they are mirrored, may be what it says.
    """
    if config.problems:
        return []
    given = {name: colour for name, colour in config.colours.items() if name not in COLOURS}
    having = [puzzle for puzzle in puzzles if given.keys() & _faces(puzzle)]
    uncoloured = [puzzle for puzzle in having if not puzzle.coloured]
    about = [puzzle for puzzle in uncoloured if given.keys() <= _faces(puzzle)]
    faces = {name for puzzle in uncoloured for name in _faces(puzzle)}
    # While a puzzle's file cannot be read, nobody knows its faces.
    others = [name for name in given if name not in faces and not config.puzzles.broken]
    found = [_unknown(name, having, config) for name in others]
    if uncoloured and not about and not others:
        found.append(_scattered(uncoloured, config))
    found += [problem for puzzle in about for problem in _twins(puzzle, given, config)]
    if found:
        return found
    mirrored = [puzzle for puzzle in about if is_mirrored(puzzle, faces_coloured(puzzle, given))]
    if config.mirrored and not mirrored:
        message = "these are not the colours of a mirror image"
        return [Problem(message, config.places[MIRRORED], f"take the line “{MIRRORED}” away")]
    return [] if config.mirrored else [_mirrored(puzzle, given, config) for puzzle in mirrored[:1]]


def colour_problems(config: Config, puzzle: Puzzle) -> list[Problem]:
    """What cannot be of the colours that a guide gives to the faces of one puzzle, whatever it is about."""
    given = {name: colour for name, colour in config.colours.items() if name not in COLOURS}
    if puzzle.coloured:
        return []
    if twins := list(_twins(puzzle, given, config)):
        return twins
    mirrored = not config.mirrored and is_mirrored(puzzle, faces_coloured(puzzle, given))
    return [_mirrored(puzzle, given, config)] if mirrored else []


def _faces(puzzle: Puzzle) -> frozenset[str]:
    return frozenset(face.name for face in puzzle.faces)


def _scattered(puzzles: Sequence[Puzzle], config: Config) -> Problem:
    """What is wrong with faces of which no puzzle has all."""
    faces = "; ".join(f"{each.name} has {', '.join(face.name for face in each.faces)}" for each in puzzles)
    message = "no puzzle that this guide is about has all these faces"
    return Problem(message, config.places["colours"], f"name faces of one puzzle: {faces}")


def _unknown(name: str, coloured: Iterable[Puzzle], config: Config) -> Problem:
    """What is wrong with a face that no puzzle has but some whose own files say their colours."""
    having = next((p.name for p in coloured if name in _faces(p)), "")
    message = f"no puzzle that this guide is about has a face {name}"
    if having:
        message = f"the colours of {having} are those in its own file, and no other puzzle has a face {name}"
    return Problem(message, config.places[f"colours.{name}"], "take it away")


def _mirrored(puzzle: Puzzle, given: Scheme, config: Config) -> Problem:
    held = _written(_turned(puzzle, given), puzzle, given)
    hint = f"held another way it has the colours {held}; if a mirror image is meant, write {MIRRORED}: yes"
    message = f"so {puzzle.name} would be coloured like its own mirror image"
    return Problem(message, config.places["colours"], hint)


def _twins(puzzle: Puzzle, given: Scheme, config: Config) -> Iterator[Problem]:
    """The first two faces of one colour."""
    colours = faces_coloured(puzzle, given)
    given = {face: colour for face, colour in given.items() if face in colours}
    for one, other in combinations(colours, 2):
        if colours[one] == colours[other]:
            kept = other if other not in given else one
            message = f"{one} and {other} of {puzzle.name} would both be {colours[one]}"
            seen = _turned(puzzle, given)
            hint = f"give {kept} another colour"
            if given.items() <= seen.items():
                hint += f"; held another way {puzzle.name} has the colours {_written(seen, puzzle)}"
            yield Problem(message, config.places["colours"], hint)
            return


def is_mirrored(puzzle: Puzzle, colours: Scheme) -> bool:
    """Whether the solid has the colours that it has in a mirror, and is not only held another way."""
    found = {mirror for mirror, seen in _ways(puzzle) if seen == dict(colours)}
    return found == {True}


@lru_cache(maxsize=64)
def _ways(puzzle: Puzzle) -> tuple[tuple[bool, Scheme], ...]:
    """The colours of the faces in each way to hold the puzzle, and to see it in a mirror (True)."""
    return tuple(
        (
            determinant(matrix) < 0,
            {_face(apply(matrix, face.towards), puzzle): face.colour for face in puzzle.faces},
        )
        for matrix in symmetries([face.towards for face in puzzle.faces])
    )


def _face(towards: Vector, puzzle: Puzzle) -> str:
    return max(puzzle.faces, key=lambda face: dot(face.towards, towards)).name


def _turned(puzzle: Puzzle, given: Scheme) -> Scheme:
    """The way to hold the puzzle that comes nearest to the colours given, and leaves most other faces."""
    usual = {face.name: face.colour for face in puzzle.faces}

    def near(seen: Scheme) -> list[int]:
        asked = [seen[face] == given[face] for face in usual if face in given]
        rest = [seen[face] == usual[face] for face in usual]
        return [sum(asked), *asked, sum(rest), *rest]

    return max((seen for mirror, seen in _ways(puzzle) if not mirror), key=near)


def _written(colours: Scheme, puzzle: Puzzle, given: Iterable[str] = ()) -> str:
    """The faces given, and those whose colour is not the usual one, as guide.yaml says them."""
    told = [face.name for face in puzzle.faces if face.name in given or colours[face.name] != face.colour]
    return f"{{{', '.join(f'{name}: {colours[name]}' for name in told)}}}"
