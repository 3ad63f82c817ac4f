"""A YAML file to definitions: one puzzle, or one for each of its sizes.

Knows the keys of a definition and where each is written; builds nothing.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Mapping
from itertools import combinations, pairwise
from typing import Any

from sitegen.names import in_words
from sitegen.problems import Findings, Problem, Source, is_it, shortened
from sitegen.puzzles.definition import COLOURS, Definition, FaceDefinition, Turn, equal_layers
from sitegen.puzzles.geometry import EPSILON, Vector, add, contains, dot, unit
from sitegen.puzzles.numbers import read_number
from sitegen.puzzles.solids import SOLIDS, meeting
from sitegen.settings import Setting, read_settings

NEEDED = ("solid", "axes", "depths", "angle")
NAME = re.compile(r"[A-Z][a-z]{0,3}")
NAME_HINT = "a name is a capital letter, alone or with up to three small ones, as in Dr, and never ends in w"
NUMBER = re.compile(r"\bN\b")
"""What stands in a title for the number of layers."""
TURN_NAME = re.compile(r"(?:[A-Z][a-z]{0,3}|[a-z]{1,4})(?:\+\+|--)?")
MOST_CUTS = 12
"""More cuts on an axis than this leave stickers that nobody can see."""
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
ALL_AXES = ("faces", "edges", "vertices")
"""What axes may go through, all of them."""
WORDS = ("all", "and", "of", "face", "by", "in", "with", "core", "edge", "tip", "tips", "wing")
"""No turn is called so, since sets of pieces are told with these words."""
DEPTH_HINT = "write them as in [1/3, -1/3]; the faces are 1 away from the middle"
EQUAL = "equal layers"
"""What stands for the depths where sizes say how many layers there are."""
NotationCheck = Callable[[Setting, Definition], None]
"""Raises Problem for a notation that there is not, or that is not for such puzzles.

Notations are no business of puzzles: whoever knows them gives this in.
"""


def read_definitions(
    name: str, source: Source, check_notation: NotationCheck | None = None
) -> dict[str, Definition]:
    """The puzzles of one file, by name; `name` is that of the file. Raises Problems.

    Without a check any notation is let through, as for the puzzles that ship.
    """
    findings = Findings()
    settings = findings.attempt({}, read_settings, source.passage(), KEYS, findings)
    missing = [key for key in NEEDED if key not in settings]
    if missing and not findings.problems:
        hint = f"a definition says {', '.join(NEEDED)}, and may say {', '.join(KEYS[len(NEEDED) :])}"
        findings.add(Problem(f"the definition lacks {', '.join(missing)}", source.passage(0, 0), hint))
    findings.settle()
    sizes = findings.attempt((), _sizes, settings) if "sizes" in settings else ()
    findings.settle()
    title = findings.attempt("", _title, settings["title"], sizes) if "title" in settings else ""
    found: dict[str, Definition] = {}
    for size in sizes or (0,):
        each, called = (f"{name}-{size}", NUMBER.sub(str(size), title)) if size else (name, title)
        definition = _definition(each, called or in_words(each), size, settings, findings)
        if definition and check_notation and "notation" in settings:
            findings.attempt(None, check_notation, settings["notation"], definition)
        if findings.problems or not definition:  # which other sizes would mostly have too
            break
        found[each] = definition
    findings.settle()
    return found


def _definition(
    name: str, title: str, size: int, settings: Mapping[str, Setting], findings: Findings
) -> Definition | None:
    def read(key: str, reader: Callable[..., Any], *others: Any) -> Any:
        return findings.attempt(None, reader, settings[key], *others) if key in settings else None

    solid = read("solid", lambda setting: setting.as_choice(SOLIDS))
    angle = read("angle", _angle)
    depths = equal_layers(size) if size else read("depths", _depths)
    if solid is None or angle is None or depths is None:
        return None
    named = findings.attempt(None, _names, settings.get("names"), solid)
    if named is None:
        return None
    axes = read("axes", _axes, named)
    colours = findings.attempt(None, _colours, settings.get("colours"), named)
    if axes is None or colours is None:
        return None
    faces = tuple(FaceDefinition(face, towards, colours[face]) for face, towards in named.items())
    turns = read("turns", _turns, axes, len(depths) + 1, 360 // angle) or {}
    notation = read("notation", Setting.as_text) or ""
    if notation and turns:
        hint = "take “turns” away, or “notation”"
        message = f"the notation {shortened(notation)} has names for all turns"
        findings.add(settings["turns"].problem(message, hint))
    written = "colours" in settings
    return Definition(name, solid, faces, axes, depths, angle, notation, turns, title, written)


# Each key -------------------------------------------------------------------------------------------------


def _sizes(settings: Mapping[str, Setting]) -> tuple[int, ...]:
    """Numbers of layers, which are equal between faces that lie opposite each other."""
    setting, solid = settings["sizes"], settings["solid"]
    hint = "write how many layers there are, as in [2, 3]"
    sizes = tuple(item.as_number(2, MOST_CUTS + 1, hint) for item in setting.as_list())
    if len(set(sizes)) < len(sizes):
        raise setting.problem("sizes are different numbers", hint)
    if settings["depths"].text != EQUAL:
        hint = f"write depths: {EQUAL}, or leave sizes out"
        raise settings["depths"].problem("sizes go with equal layers alone", hint)
    if settings["axes"].text != "faces" or not _has_opposites(SOLIDS.get(solid.text or "", {}).values()):
        hint = "write axes: faces, or give the depths and leave sizes out"
        raise setting.problem("sizes go with axes through faces that have one opposite alone", hint)
    return sizes


def _has_opposites(faces: Iterable[Vector]) -> bool:
    """Whether another face lies opposite each."""
    listed = list(faces)
    return all(any(dot(a, b) < EPSILON - 1 for b in listed) for a in listed)


def _title(setting: Setting, sizes: Collection[int]) -> str:
    """What readers know a puzzle by; of several sizes with N for the number of layers."""
    title = setting.as_plain()
    if sizes and not NUMBER.search(title):
        hint = f"write N for its number of layers, as in “{shortened(title)} with N layers”"
        raise setting.problem("each size would have the same title", hint)
    return title


def _angle(setting: Setting) -> int:
    hint = "write 90, 120, 72 or 180: by so much the smallest turn turns"
    angle = setting.as_number(1, 360, hint)
    if 360 % angle or angle == 360:
        raise setting.problem("the angle is a whole number of degrees that divides 360", hint)
    return angle


def _depths(setting: Setting) -> tuple[float, ...]:
    if setting.text == EQUAL:
        raise setting.problem(f"without sizes “{EQUAL}” does not say how many", DEPTH_HINT)
    items = setting.as_list()
    if len(items) > MOST_CUTS:
        raise setting.problem(f"there are 1 to {MOST_CUTS} depths", DEPTH_HINT)
    found = sorted((_number(item) for item in items), reverse=True)
    if any(a - b < 1e-3 for a, b in pairwise(found)):
        raise setting.problem("two depths are the same", "write each cut once")
    return tuple(found)


def _number(setting: Setting) -> float:
    """Read where it stands, without the quotation marks that may be round it."""
    text = setting.as_text()
    at = max(0, setting.passage.text.find(text))
    return read_number(setting.passage.part(at, at + len(text)))


def _names(setting: Setting | None, solid: str) -> dict[str, Vector]:
    """The faces by the names that the author gives them, in the solid's order; without one its own."""
    own = SOLIDS[solid]
    one, two, *_ = own
    example = f"{{{one}: X, {two}: Y}}"
    given = setting.as_mapping("faces with a name of your own", example) if setting else {}
    for face in given:
        if face not in own:
            entry = (setting.entries or {})[face] if setting else None
            assert entry
            raise Problem(f"the {solid} has no face {face}", entry.key, f"its faces are {', '.join(own)}")
    renamed = {given.get(face, face): towards for face, towards in own.items()}
    for name in renamed:
        if setting and not _can_name(name):
            raise setting.problem(f"“{name}” cannot name a face", NAME_HINT)
    if setting and len(renamed) < len(own):
        raise setting.problem("two faces have the same name", "name both, or give another name")
    return renamed


def _can_name(name: str) -> bool:
    return bool(NAME.fullmatch(name)) and not name.endswith("w")


def _colours(setting: Setting | None, faces: Iterable[str]) -> dict[str, str]:
    """A colour for each face; those without one get what is left, in order."""
    given = setting.as_mapping("faces with a colour", "{U: white, D: yellow}") if setting else {}
    entries = (setting.entries if setting else None) or {}
    for face, entry in entries.items():
        if face not in faces:
            raise Problem(f"there is no face {face}", entry.key, f"faces are {', '.join(faces)}")
        entry.as_choice(COLOURS)
    for one, other in combinations(given, 2):
        if given[one] == given[other]:
            message, hint = f"{one} and {other} have the same colour", "give each face a colour of its own"
            raise Problem(message, entries[other].passage, hint)
    left = iter(colour for colour in COLOURS if colour not in given.values())
    return {face: given[face] if face in given else next(left) for face in faces}


def _axes(setting: Setting, faces: Mapping[str, Vector]) -> dict[str, Vector]:
    """Through the faces, the edges or the vertices; or names, each with the faces that meet at it."""
    if setting.text in ALL_AXES:
        return _all_axes(setting.text, faces)
    meaning = "“faces”, “edges”, “vertices”, or names, each with the faces that meet there"
    if near := is_it(setting.text or "", ALL_AXES):
        raise setting.problem(f"axes are {meaning}", near)
    vertex = " ".join(name for name, towards in faces.items() if towards in meeting(tuple(faces.values()))[0])
    setting.as_mapping(meaning, f"{{A: {vertex}}}")
    axes: dict[str, Vector] = {}
    for name, entry in (setting.entries or {}).items():
        if not _can_name(name):
            raise Problem(f"“{name}” cannot name an axis", entry.key, NAME_HINT)
        towards = _towards(entry, faces)
        if contains(axes.values(), towards):
            raise Problem("two axes point the same way", entry.passage, "write each axis once")
        axes[name] = towards
    return axes


def _all_axes(through: str, faces: Mapping[str, Vector]) -> dict[str, Vector]:
    """Those through the faces are called as these; others by letters, in the order of their faces."""
    if through == "faces":
        return dict(faces)
    groups = meeting(tuple(faces.values()))
    if through == "edges":
        groups = [pair for pair in combinations(faces.values(), 2) if _is_edge(pair, groups)]
    directions = [unit(_sum(group)) for group in groups]
    names = LETTERS if len(directions) <= len(LETTERS) else [a + b for a in LETTERS for b in "abcd"]
    return dict(zip(names, directions, strict=False))


def _is_edge(pair: tuple[Vector, ...], groups: Iterable[tuple[Vector, ...]]) -> bool:
    """Whether two faces share the vertices at both ends of an edge."""
    return sum(all(face in group for face in pair) for group in groups) == 2


def _towards(setting: Setting, faces: Mapping[str, Vector]) -> Vector:
    hint = f"faces are {', '.join(faces)}; write those that meet at the axis, with spaces between"
    named = setting.as_names("a face", hint)
    for name in named:
        if name.text not in faces:
            raise Problem(f"there is no face {name.text}", name, hint)
    there = [faces[name.text] for name in named]
    hint = "name one face, the two at an edge, or those that meet at a vertex, each once"
    if not any(set(there) <= set(group) for group in meeting(tuple(faces.values()))):
        meeting_not = " and ".join(name.text for name in named)
        raise setting.problem(f"{meeting_not} meet nowhere", hint)
    return unit(_sum(there))


def _sum(vectors: Iterable[Vector]) -> Vector:
    total: Vector = (0.0, 0.0, 0.0)
    for vector in vectors:
        total = add(total, vector)
    return total


def _turns(setting: Setting, axes: Mapping[str, Vector], layers: int, full: int) -> dict[str, Turn]:
    """What the names of turns mean: `{axis: U, layers: 1-2}`, and `times: 2` where it turns further."""
    if not setting.entries:
        hint = "write them as in {u: {axis: U, layers: 1}}"
        raise setting.problem("turns are names, each with an axis and layers", hint)
    return {name: _turn(name, entry, axes, layers, full) for name, entry in setting.entries.items()}


def _turn(name: str, setting: Setting, axes: Mapping[str, Vector], layers: int, full: int) -> Turn:
    if name in WORDS:
        hint = "choose another: sets of pieces are told with this word"
        raise Problem(f"“{name}” cannot name a turn", setting.key, hint)
    if not TURN_NAME.fullmatch(name) or (len(name) > 1 and name.endswith("w")):
        raise Problem(f"“{name}” cannot name a turn", setting.key, f"{NAME_HINT}; or small letters alone")
    parts = setting.entries or {}
    if not {"axis", "layers"} <= parts.keys() <= {"axis", "layers", "times"}:
        hint = "write {axis: U, layers: 1-2}, and times: 2 where it turns further"
        raise setting.problem(f"the turn {name} has an axis and layers, and may have times", hint)
    axis = parts["axis"].as_choice(axes)
    first, last = _span(parts["layers"], layers)
    amount = 1
    if "times" in parts:
        amount = parts["times"].as_number(-9, 9, "by how many of the smallest turns it turns, as 2 or -2")
    if amount % full == 0:
        raise setting.problem(f"the turn {name} would turn nothing", f"{full} of the smallest turns go round")
    if name in axes and (axis, first, amount) != (name, 1, 1):
        message = f"the turn {name} is not one of the axis {name}, from its outermost layer on"
        raise setting.problem(message, "give the turn another name")
    forth = amount % full
    return Turn(axis, first, last, forth if 2 * forth <= full else forth - full)


def _span(setting: Setting, layers: int) -> tuple[int, int]:
    found = re.fullmatch(r"([0-9]{1,2})(?:-([0-9]{1,2}))?", setting.as_text())
    first, last = (int(found[1]), int(found[2] or found[1])) if found else (0, 0)
    if not 1 <= first <= last <= layers:
        raise setting.problem(f"layers are numbers from 1 to {layers}, outermost first", "write 1, or 1-2")
    return first, last


KEYS = (*NEEDED, "title", "names", "colours", "turns", "notation", "sizes")
