"""The stages of a method as an author writes them: a goal, what may be used, and how."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sitegen.blocks import keys
from sitegen.blocks.applying import (
    METRIC,
    TURNS_OF,
    no_lead_in,
    read_faces_of,
    read_hold,
    read_lead_in,
    read_most,
    read_tools,
    tool_of,
)
from sitegen.blocks.scope import Scope
from sitegen.effects.piece_sets import Pieces, parse_pieces
from sitegen.effects.words import listed
from sitegen.methods.goals import ORIENTED, STATES, Goal, check_alike, goal_words, parse_goal
from sitegen.methods.plan import AnyTurns, Stage
from sitegen.methods.tools import Toolbox
from sitegen.moves.tree import Node
from sitegen.names import once
from sitegen.problems import Findings, Passage, Problem, shortened
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.search.turns import Allowed, Turns, check_faces, read_layer, turns
from sitegen.settings import Setting
from sitegen.tokenizer import Tokenizer, stretches

APPLYING = ("lead-in", "layer turns", "hold")
"""How named sequences may be applied."""
STAGE_KEYS: keys.Meanings = {
    "stage": keys.TEXT,
    "goal": keys.Meaning("goals", goal_words),
    "one by one": keys.PIECES,
    "using": keys.Meaning("named sequences, or any turns up to a number", lambda puzzle: ["any turns up to"]),
    "lead-in": keys.LEAD_IN,
    "layer turns": keys.LAYER,
    "hold": keys.HOLD,
    "view": keys.VIEW,
    "say": keys.TEXT,
}
NEEDED = {
    "stage": ("its name", "Its name"),
    "goal": ("its goal", "edges of U placed"),
    "using": ("what may be used", "any turns up to 8"),
}
"""The keys without which a stage is none: what it does not say then, and how that is written."""
STATE_BEHIND = re.compile(rf"\s+(?:{'|'.join(STATES)})\b")
MOST_TURNS = 12
MOST_COMBINATIONS = 1_000_000
"""Ways of applying the sequences of a stage."""

ANY_HINT = "write for example “any turns up to 8”, or “any turns of R, U and F up to 8”"
STAGES_HINT = "write “stages:” and below it “- stage: …” for each, its other keys set in"
USING_HINT = "name sequences, as in “@flip-pair and @twist-pair'”; or write “any turns up to 8”"


@dataclass(frozen=True, eq=False)
class WrittenStage:
    """One stage, parsed; the sequences that it uses are known by name only."""

    passage: Passage
    fields: Mapping[str, Setting]
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
        return self.fields["stage"].as_text()

    def text(self, key: str) -> str:
        """What stands behind a key, a list on one line."""
        return "; ".join(item.as_text() for item in self.fields[key].as_items())

    @property
    def named_goals(self) -> tuple[tuple[str, Goal], ...]:
        """Each goal behind the text that names its pieces."""
        texts = (text for text in self.text("goal").split(";") if text.strip())
        named = (STATE_BEHIND.split(text.strip())[0] for text in texts)
        return tuple(zip(named, self.goals, strict=True))

    def stage(self, scope: Scope) -> Stage:
        """With the sequences that it uses. Raises Problem or Problems."""
        if self.any_turns:
            return Stage(self.title, self.goals, self.one_by_one, self.any_turns)
        findings = Findings()
        tools = [findings.attempt(None, tool_of, text, node, scope) for text, node in self.tools]
        findings.settle()
        known = tuple(tool for tool in tools if tool)
        box = Toolbox(scope.puzzle, known, *self.lead_in, self.layer, self.hold)
        if box.combinations > MOST_COMBINATIONS:
            message = f"these sequences can be applied in {box.combinations:,} ways, which is too many to try"
            hint = "allow a shorter lead-in, or fewer faces in it"
            raise self.fields["using"].problem(message, hint)
        return Stage(self.title, self.goals, self.one_by_one, box)


def read_stages(setting: Setting, puzzle: Puzzle, findings: Findings) -> tuple[WrittenStage, ...]:
    """stages := ("- stage: TITLE" with its other keys below)+"""
    if not setting.items:
        findings.add(setting.problem("a stage begins with “- ”", STAGES_HINT))
    found = [_read(item, puzzle, findings) for item in setting.items]
    stages = tuple(stage for stage in found if stage)
    findings.attempt(None, _refuse_twins, stages)
    return stages


def _refuse_twins(stages: Iterable[WrittenStage]) -> None:
    """Raises Problem for a stage that is called as an earlier one, but for capitals at most."""
    taken: dict[str, str] = {}
    for stage in stages:
        if earlier := taken.get(stage.title.casefold()):
            message = f"a stage before this one is called {shortened(earlier)}"
            raise stage.fields["stage"].problem(message, "give this one another name")
        taken[stage.title.casefold()] = stage.title


def _read(item: Setting, puzzle: Puzzle, findings: Findings) -> WrittenStage | None:
    fields = item.entries or {}
    own = Findings()
    for key, (what, hint) in NEEDED.items():
        if key not in fields:
            own.add(item.problem(f"this stage does not say {what}", f"write “{key}: {hint}”"))
    if own.problems:
        findings.problems += own.problems
        return None
    hold = own.attempt((), read_hold, fields, puzzle)
    stage = WrittenStage(
        passage=item.passage,
        fields=fields,
        goals=own.attempt((), _goals, fields["goal"], puzzle),
        one_by_one=own.attempt((), _one_by_one, fields, puzzle),
        any_turns=own.attempt(None, _any_turns, fields["using"], hold, puzzle),
        tools=own.attempt((), _tools, fields["using"], puzzle),
        lead_in=own.attempt(no_lead_in(puzzle), read_lead_in, fields, puzzle),
        layer=own.attempt(None, _layer, fields, puzzle),
        hold=hold,
        views=keys.views(fields, puzzle, own, ()),
    )
    if not own.problems:
        own.attempt(None, _check, stage, puzzle)
    findings.problems += own.problems
    return None if own.problems else stage


def _goals(setting: Setting, puzzle: Puzzle) -> tuple[Goal, ...]:
    """One a line, or with semicolons between them. Raises Problem or Problems."""
    findings = Findings()
    places = [place for item in setting.as_lines() for place in stretches(item.said, findings)]
    findings.attempt(None, once, places)
    goals = [findings.attempt(None, parse_goal, place, puzzle) for place in places]
    findings.settle()
    return tuple(goal for goal in goals if goal)


def _one_by_one(fields: Mapping[str, Setting], puzzle: Puzzle) -> tuple[tuple[str, Pieces], ...]:
    """Pieces in order, with commas between them or one a line. Raises Problem or Problems."""
    if "one by one" not in fields:
        return ()
    findings = Findings()
    steps = [
        (item.as_text(), findings.attempt(keys.NOTHING, parse_pieces, item.said, puzzle))
        for item in fields["one by one"].as_list()
    ]
    findings.settle()
    return tuple(steps)


def _is_any(setting: Setting) -> bool:
    """Whether any turns may be used, and no named sequences."""
    return bool(setting.text) and Tokenizer(setting.said, TURNS_OF).check("any") is not None


def _any_turns(setting: Setting, hold: tuple[Turn, ...], puzzle: Puzzle) -> AnyTurns | None:
    """any := "any turns" ("of" faces)? ","? "up to" NUMBER    Raises Problem."""
    if not _is_any(setting):
        return None
    tokens = Tokenizer(setting.said, TURNS_OF)
    if "@" in tokens.text:
        message = "any turns and named sequences exclude each other"
        raise setting.problem(message, "make two stages of this one")
    tokens.read("any")
    tokens.expect("“turns”", "turns", hint=ANY_HINT)
    allowed = _turns(tokens, puzzle)
    tokens.read(",")
    if not tokens.read("up to"):
        raise setting.problem("it is not said how many turns are allowed", ANY_HINT)
    most = read_most(tokens, MOST_TURNS, ANY_HINT)
    tokens.expect_end("the end", ANY_HINT)
    return AnyTurns(allowed, most, hold)


def _turns(tokens: Tokenizer, puzzle: Puzzle) -> Turns:
    """Those of the faces named, or of all. Raises Problem."""
    named = read_faces_of(tokens, puzzle)
    allowed = turns(puzzle, Allowed(check_faces(named, puzzle)), METRIC)
    if allowed.moves_centres:
        place = named[0]._replace(end=named[-1].end) if named else tokens.passage
        raise Problem("turns of these move the centres", place, "name faces, so that the centres stay")
    return allowed


def _tools(setting: Setting, puzzle: Puzzle) -> tuple[tuple[str, Node], ...]:
    """Those named, where any turns may not be used. Raises Problem."""
    return () if _is_any(setting) else read_tools(setting, puzzle, USING_HINT)


def _layer(fields: Mapping[str, Setting], puzzle: Puzzle) -> Turn | None:
    if "layer turns" not in fields:
        return None
    passage = fields["layer turns"].said
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
    place = stage.fields["one by one"].passage
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
