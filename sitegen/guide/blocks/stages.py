"""The stages of a method as an author writes them: a goal, what may be used, and how."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sitegen.bench.goals import ORIENTED, Goal, check_alike, parse_goal
from sitegen.bench.plan import AnyTurns, Stage
from sitegen.bench.tools import Toolbox
from sitegen.bench.turns import Allowed, Turns, read_faces, read_layer, turns
from sitegen.effects.piece_sets import Pieces, parse_pieces
from sitegen.effects.words import listed
from sitegen.guide.blocks import keys
from sitegen.guide.blocks.applying import METRIC, read_hold, read_lead_in, read_number, read_tools, tool_of
from sitegen.guide.fields import Field, read_fields
from sitegen.guide.sequence import Book
from sitegen.moves.tree import Node
from sitegen.problems import Findings, Passage, Problem
from sitegen.puzzles.puzzle import Puzzle, Turn

APPLYING = ("lead-in", "layer turns", "hold")
"""How named sequences may be applied."""
STAGE_KEYS = ("stage", "goal", "one by one", "using", *APPLYING, "view", "say")
NEEDED = {
    "stage": ("its name", "Its name"),
    "goal": ("its goal", "edges of U placed"),
    "using": ("what may be used", "any turns up to 8"),
}
"""The keys without which a stage is none: what it does not say then, and how that is written."""
MOST_TURNS = 12
MOST_COMBINATIONS = 1_000_000
"""Ways of applying the sequences of a stage."""

ANY = re.compile(
    r"[Aa]ny\s+turns(?:\s+of\s+(?P<faces>.+?))?(?:,?\s+up\s+to\s+(?P<most>\S+))?", re.DOTALL | re.IGNORECASE
)
ANY_HINT = "write for example “any turns up to 8”, or “any turns of R, U and F up to 8”"
USING_HINT = "name sequences, as in “@flip-pair and @twist-pair'”; or write “any turns up to 8”"


@dataclass(frozen=True, eq=False)
class WrittenStage:
    """One stage, parsed; the sequences that it uses are known by name only."""

    passage: Passage
    fields: Mapping[str, Field]
    goals: tuple[Goal, ...]
    one_by_one: tuple[tuple[str, Pieces], ...]
    any_turns: AnyTurns | None
    tools: tuple[tuple[str, Node], ...]
    lead_in: tuple[Turns, int]
    layer: Turn | None
    hold: tuple[Turn, ...]
    views: tuple[str, ...]
    """How its cases are drawn; nothing where that is as in the whole method."""

    @property
    def title(self) -> str:
        return self.fields["stage"].text

    def text(self, key: str) -> str:
        """What stands behind a key, a list on one line."""
        items = self.fields[key].items if key in self.fields else []
        return "; ".join(" ".join(item.text.split()) for item in items)

    def stage(self, book: Book) -> Stage:
        """With the sequences that it uses. Raises Problem or Problems."""
        if self.any_turns:
            return Stage(self.title, self.goals, self.one_by_one, self.any_turns)
        findings = Findings()
        tools = [findings.attempt(None, tool_of, text, node, book) for text, node in self.tools]
        findings.settle()
        known = tuple(tool for tool in tools if tool)
        box = Toolbox(book.puzzle, known, *self.lead_in, self.layer, self.hold)
        if box.combinations > MOST_COMBINATIONS:
            message = f"these sequences can be applied in {box.combinations:,} ways, which is too many to try"
            hint = "allow a shorter lead-in, or fewer faces in it"
            raise Problem(message, self.fields["using"].value, hint)
        return Stage(self.title, self.goals, self.one_by_one, box)


def read_stages(field: Field, puzzle: Puzzle, findings: Findings) -> tuple[WrittenStage, ...]:
    """stages := ("- stage: TITLE" with its other keys below)+"""
    if not field.value.text.startswith("-"):
        findings.add(Problem("a stage begins with “- ”", field.value, "write “- stage: …” for each"))
        return ()
    found = [_read(passage, puzzle, findings) for passage in field.items]
    return tuple(stage for stage in found if stage)


def _read(passage: Passage, puzzle: Puzzle, findings: Findings) -> WrittenStage | None:
    fields = findings.attempt(None, read_fields, passage, STAGE_KEYS)
    if fields is None:
        return None
    own = Findings()
    for key, (what, hint) in NEEDED.items():
        if key not in fields:
            own.add(Problem(f"this stage does not say {what}", passage, f"write “{key}: {hint}”"))
    for field in fields.values():
        if not field.text:
            message = f"nothing is written for “{field.key.text}”"
            own.add(Problem(message, field.key, "write it, or take the key away"))
    if own.problems:
        findings.problems += own.problems
        return None
    hold = own.attempt((), read_hold, fields, puzzle)
    stage = WrittenStage(
        passage=passage,
        fields=fields,
        goals=own.attempt((), _goals, fields["goal"], puzzle),
        one_by_one=own.attempt((), _one_by_one, fields, puzzle),
        any_turns=own.attempt(None, _any_turns, fields["using"], hold, puzzle),
        tools=own.attempt((), _tools, fields["using"], puzzle),
        lead_in=own.attempt((turns(puzzle, Allowed(), METRIC), 0), read_lead_in, fields, puzzle),
        layer=own.attempt(None, _layer, fields, puzzle),
        hold=hold,
        views=keys.shown(fields, puzzle, own).views if "view" in fields else (),
    )
    if not own.problems:
        own.attempt(None, _check, stage, puzzle)
    findings.problems += own.problems
    return None if own.problems else stage


def _goals(field: Field, puzzle: Puzzle) -> tuple[Goal, ...]:
    """One a line, or with semicolons between them. Raises Problem or Problems."""
    findings = Findings()
    goals = [findings.attempt(None, parse_goal, passage, puzzle) for passage in keys.split(field, "[^;]+")]
    findings.settle()
    return tuple(goal for goal in goals if goal)


def _one_by_one(fields: Mapping[str, Field], puzzle: Puzzle) -> tuple[tuple[str, Pieces], ...]:
    """Pieces in order, with commas between them or one a line. Raises Problem or Problems."""
    if "one by one" not in fields:
        return ()
    findings = Findings()
    nothing: Pieces = frozenset()
    steps = [
        (" ".join(passage.text.split()), findings.attempt(nothing, parse_pieces, passage, puzzle))
        for passage in keys.split(fields["one by one"], "[^,]+")
    ]
    findings.settle()
    return tuple(steps)


def _any_turns(field: Field, hold: tuple[Turn, ...], puzzle: Puzzle) -> AnyTurns | None:
    """any := "any turns" ("of" faces)? "up to" NUMBER    Raises Problem."""
    if not field.text.lower().startswith("any "):
        return None
    found = ANY.fullmatch(field.value.text)
    if "@" in field.text:
        message = "any turns and named sequences exclude each other"
        raise Problem(message, field.value, "make two stages of this one")
    if not found or not found["most"]:
        raise Problem("it is not said how many turns are allowed", field.value, ANY_HINT)
    most = read_number(field.value.part(*found.span("most")), 1, MOST_TURNS, ANY_HINT)
    return AnyTurns(_turns(field.value, found, puzzle), most, hold)


def _turns(passage: Passage, found: re.Match[str], puzzle: Puzzle) -> Turns:
    """Those of the faces named, or of all. Raises Problem."""
    faces = read_faces(passage.part(*found.span("faces")), puzzle) if found["faces"] else ()
    allowed = turns(puzzle, Allowed(faces), METRIC)
    if allowed.moves_centres:
        place = passage.part(*found.span("faces"))
        raise Problem("turns of these move the centres", place, "name faces, so that the centres stay")
    return allowed


def _tools(field: Field, puzzle: Puzzle) -> tuple[tuple[str, Node], ...]:
    """Those named, where any turns may not be used. Raises Problem."""
    return () if field.text.lower().startswith("any ") else read_tools(field, puzzle, USING_HINT)


def _layer(fields: Mapping[str, Field], puzzle: Puzzle) -> Turn | None:
    if "layer turns" not in fields:
        return None
    passage = fields["layer turns"].value
    layer = read_layer(passage, puzzle)
    turned = puzzle.permutation(layer)
    if any(turned[slot] != slot for slot in puzzle.fixed_centres):
        raise Problem(
            "turns of this layer move the centres", passage, "name a face, so that the centres stay"
        )
    return layer


def _check(stage: WrittenStage, puzzle: Puzzle) -> None:
    """What the keys of a stage have to do with each other. Raises Problem."""
    sequences_only = APPLYING if puzzle.fixed_centres else APPLYING[:-1]
    if stage.any_turns and (key := next((key for key in sequences_only if key in stage.fields), "")):
        hint = "take it away, or name sequences under “using”"
        message = f"“{key}” is about named sequences, and here any turns may be used"
        raise Problem(message, stage.fields[key].key, hint)
    if not stage.one_by_one:
        return
    if any(goal.state == ORIENTED for goal in stage.goals):
        message = "one by one brings each piece to its own place, and oriented pieces may be in any"
        hint = "take “one by one” away, or write home in place of oriented"
        raise Problem(message, stage.fields["one by one"].key, hint)
    place = stage.fields["one by one"].value
    wanted: Pieces = frozenset().union(*(goal.pieces for goal in stage.goals))
    taken: set[int] = set()
    for name, pieces in stage.one_by_one:
        if twice := _names(pieces & taken, puzzle):
            raise Problem(f"{twice} stands here twice", place, "name each piece once")
        if other := _names(pieces - wanted, puzzle):
            hint = f"take {name} away, or put it into the goal"
            raise Problem(f"the goal does not ask for {other}", place, hint)
        check_alike(pieces, place, puzzle)
        taken |= pieces
    fixed = {puzzle.piece_at(slot).index for slot in puzzle.fixed_centres}
    if left := _names(wanted - taken - fixed, puzzle):
        raise Problem(f"the goal asks for {left}, too", place, "name all pieces in order")


def _names(pieces: Iterable[int], puzzle: Puzzle) -> str:
    return listed([puzzle.pieces[index].name for index in sorted(pieces)])
