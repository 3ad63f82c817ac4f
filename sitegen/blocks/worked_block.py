"""The block `worked example`: one position, and how a method of the guide solves it, stage by stage."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from sitegen.blocks import keys
from sitegen.blocks.block import CheckedBlock, Head, Turned, WrittenBlock, named_in
from sitegen.blocks.drawn import Views, in_views
from sitegen.blocks.kind import Kind, PageRenderer, Values
from sitegen.blocks.method.goal_figures import legend_of, with_gained
from sitegen.blocks.method.method import UnknownMethod, case_sheet, stage_anchor
from sitegen.blocks.method.method_block import (
    MOST_COUNT,
    MOST_SEED,
    MethodBlock,
    plan_of,
    refers_to,
    too_many,
)
from sitegen.blocks.method.solved import method_inputs
from sitegen.blocks.played import Played
from sitegen.blocks.scope import Scope
from sitegen.effects.effect import Effect
from sitegen.effects.words import listed, where
from sitegen.figures.of_position import Palette, picture
from sitegen.figures.picture import Picture
from sitegen.figures.views import all_round, in_sight
from sitegen.methods.cases import TooMany
from sitegen.methods.goals import Gained, gained
from sitegen.methods.plan import Plan, Step
from sitegen.methods.trial import position_of, solve
from sitegen.moves.notation import on_one_line, write_all
from sitegen.moves.parse import parse as parse_moves
from sitegen.moves.references import resolve_one
from sitegen.moves.spoken import spelled
from sitegen.moves.tree import Node
from sitegen.moves.turning import expand, permutation, permutation_of
from sitegen.pages.block_body import body_of
from sitegen.pages.markdown import Fence
from sitegen.problems import Findings, Problem, shortened, written
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Turn
from sitegen.reports.trial_report import example_as_data, stuck_in_words

TABLE = keys.Table(
    {
        "title": keys.TEXT,
        "method": keys.Meaning("the name of a method"),
        "moves": keys.MOVES,
        "seed": keys.NUMBER,
        "position": keys.NUMBER,
        "view": keys.VIEW,
        "letters": keys.YES,
        **keys.SAID,
    },
    plain="moves",
)


@dataclass(frozen=True, eq=False, kw_only=True)
class WorkedBlock(WrittenBlock):
    """What was written, parsed but not solved yet."""

    moves: Node | None
    seed: int
    number: int


@dataclass(frozen=True)
class StepShown:
    """A step of a stage: what was done, why, and the position after it."""

    name: str
    """Empty where the stage is one step."""
    case: str
    """Where the pieces are that it is about, before it."""
    moves: tuple[str, ...]
    """One application after another, as they are written."""
    after: tuple[int, ...]
    reached: Gained
    """What is solved then."""


@dataclass(frozen=True)
class PartShown:
    """A stage of a worked example: what was done in its steps, and the position after it."""

    stage: int
    title: str
    length: int
    """In OBTM."""
    steps: tuple[StepShown, ...]
    """Those in which something was done."""
    idle: str
    """The names of the others, in words."""
    turns: tuple[Turn, ...]
    after: tuple[int, ...]

    @property
    def by_pieces(self) -> bool:
        """Whether several steps were done in it, each with a figure of its own."""
        return len(self.steps) > 1

    @property
    def anchor(self) -> str:
        """Its place on the case sheet of the method."""
        return stage_anchor(self.stage + 1)


@dataclass(frozen=True, eq=False, kw_only=True)
class WorkedExample(CheckedBlock):
    """One position, and how a method solves it."""

    ANCHOR = "example"
    LINK = "example"

    method: str
    """The name of the method."""
    method_title: str
    moves: str
    """Moves that lead to the position from the solved puzzle; empty where none are known."""
    seed: int | None
    """For a random position the seed, and its number."""
    number: int
    position: tuple[int, ...]
    parts: tuple[PartShown, ...]
    stuck: str
    """Where the method has nothing for the case, and which that is; empty where all goals are reached."""
    in_full: str
    """All turns, what cancels taken away."""
    length: int
    """In OBTM."""
    home: bool
    """Whether everything is home in the end."""

    @property
    def method_url(self) -> str:
        """The path of the method's case sheet below output/."""
        return case_sheet(self.method)

    @property
    def played(self) -> Played:
        """The solution as a page plays it, stage by stage."""
        return Played(
            puzzle=self.puzzle,
            parts=tuple(part.turns for part in self.parts),
            before=perm.from_images(self.position),
            letters=self.shown.letters,
        )

    @property
    def turned(self) -> Turned:
        return Turned(positions=0 if self.stuck else 1)


def parse(fence: Fence, head: Head, findings: Findings) -> WorkedBlock:
    """What was written; what cannot be read of it goes to the findings. Raises Problem or Problems."""
    puzzle = head.puzzle
    fields = TABLE.read(fence)
    if "moves" in fields and "seed" in fields:
        raise Problem("moves and seed exclude each other", fields["seed"].key, "keep one of the two")
    if "moves" not in fields and "seed" not in fields:
        hint = "write moves that lead to it, or “seed: 7” for a random one"
        raise Problem("it is not said which position is solved", fence.info, hint)
    if "position" in fields and "seed" not in fields:
        hint = "take it away, or write a seed in place of the moves"
        findings.add(Problem("“position” counts the random ones of a seed", fields["position"].key, hint))
    return WorkedBlock(
        head=head,
        fields=fields,
        written=body_of(fence),
        moves=keys.moves(fields, "moves", puzzle, findings),
        seed=keys.value(fields, "seed", lambda f: f.as_number(0, MOST_SEED), 0, findings),
        number=keys.value(fields, "position", lambda f: f.as_number(1, MOST_COUNT), 1, findings),
        shown=keys.shown(fields, head, findings, all_round(puzzle)),
    )


def check(block: WorkedBlock, scope: Scope, findings: Findings) -> WorkedExample:
    """The position, solved. Raises Problem where there is no such method, or it has too many cases."""
    method = _method(block, scope)
    plan = plan_of(method, scope)
    position, moves = _begin(block, scope, plan)
    names = [step.name for step in plan.steps]
    follows_from = {**method_inputs(plan), "example": list(position), "names": names}
    try:
        found = scope.cache.recall(follows_from, dict, lambda: example_as_data(solve(plan, position), plan))
    except TooMany as error:
        raise too_many(error, method, plan) from None
    parts = tuple(_parts(found["stages"], position, plan))
    findings.problems += _unseen(block, parts)
    return WorkedExample(
        head=block.head,
        shown=block.shown,
        method=method.name,
        method_title=method.title,
        moves=moves or found["set up by"],
        seed=None if block.moves else block.seed,
        number=block.number,
        position=_slots(position, plan),
        parts=parts,
        stuck=_stuck(found, plan),
        in_full=found["moves"],
        length=found["length"],
        home=found["home"],
        refers_to=tuple(dict.fromkeys([*named_in([block.moves]), *refers_to(method)])),
    )


def _unseen(block: WorkedBlock, parts: Iterable[PartShown]) -> Iterator[Problem]:
    """A problem with a chosen view in whose figure of a step nothing is seen of what the step solves."""
    puzzle, first = block.head.puzzle, block.shown.views[:1]
    chosen = keys.first_said("view", block.fields, block.head.defaults)
    steps = (step for part in parts if part.by_pieces for step in part.steps)
    hidden = (step for step in steps if step.reached.new.isdisjoint(in_sight(puzzle, first)))
    if chosen and (step := next(hidden, None)):
        message = f"“{first[0]}” shows nothing of what is solved in the step {step.name}"
        yield Problem(message, chosen.passage, f"write “view: {all_round(puzzle)}”")


def _parts(stages: Iterable[Mapping[str, Any]], at: Permutation, plan: Plan) -> Iterator[PartShown]:
    for number, found in enumerate(stages):
        stage, planned = plan.by_stage[number]
        steps = []
        for each in found["steps"]:
            at = perm.compose(at, permutation_of(_turns(each["turns"], plan), plan.puzzle))
            step = next(step for step in planned if step.name == each["step"])
            steps.append(
                StepShown(
                    step.name, each["case"], tuple(each["moves"]), _slots(at, plan), _reached(step, plan)
                )
            )
        done, turns = {step.name for step in steps}, _turns(found["turns"], plan)
        idle = listed([step.name for step in planned if step.name not in done])
        yield PartShown(number, stage.title, found["length"], tuple(steps), idle, turns, _slots(at, plan))


def _turns(text: str, plan: Plan) -> tuple[Turn, ...]:
    return expand(parse_moves(written(text), plan.puzzle))


def _reached(step: Step, plan: Plan) -> Gained:
    wanted = dict(step.stage.steps)[step.name]
    return gained(step.before, wanted, step.reached, plan.puzzle)


def _stuck(found: Mapping[str, Any], plan: Plan) -> str:
    """Where the method ends, if it does: in the stage after those gone through, as it is called now."""
    if not found["stuck"]:
        return ""
    return stuck_in_words(**{**found["stuck"], "stage": plan.stages[len(found["stages"])].title})


def _slots(position: Permutation, plan: Plan) -> tuple[int, ...]:
    return tuple(position[: len(plan.puzzle.stickers)])


def _method(block: WorkedBlock, scope: Scope) -> MethodBlock:
    """The one that is named, or the only one that there is. Raises Problem."""
    known = {name: each for name, each in scope.parsed.items() if isinstance(each, MethodBlock)}
    names = ", ".join(known)
    if "method" not in block.fields:
        if len(known) == 1:
            return next(iter(known.values()))
        hint = f"write “method: …” with one of {names}" if known else "write a block “method” first"
        raise UnknownMethod("it is not said by which method", "", block.written, hint)
    setting = block.fields["method"]
    name = setting.as_text()
    if name not in known:
        hint = f"methods are {names}" if known else f"the guide has no method for {scope.puzzle.name}"
        raise UnknownMethod(f"no method is named {shortened(name)}", name, setting.said, hint)
    return known[name]


def _begin(block: WorkedBlock, scope: Scope, plan: Plan) -> tuple[Permutation, str]:
    """The position that the author's moves lead to, centres home, and the moves to that.

    Or a random one, to which no moves are known.
    """
    if block.moves is None:
        return position_of(plan, block.number, block.seed), ""
    done = Effect(scope.puzzle, permutation(resolve_one(block.moves, scope.trees), scope.puzzle))
    moves = on_one_line(block.fields["moves"].said.text)
    return done.turned_back.permutation, f"{moves} {write_all(done.turning_back, scope.puzzle)}".strip()


def of_example(example: WorkedExample, colours: Palette) -> list[Views]:
    """Each view of the position, and of what it is after each stage."""
    sights = [("to begin with", example.position)]
    sights += [(f"after {part.title}", part.after) for part in example.parts]
    return [in_views(_sight(example, *each, colours), example.shown.views) for each in sights]


def of_steps(example: WorkedExample, colours: Palette) -> list[list[Views]]:
    """For each stage of several steps the figure after each: in colour what is solved by then."""
    first = example.shown.views[:1]
    return [
        [in_views(_after(example, step, colours), first) for step in part.steps] if part.by_pieces else []
        for part in example.parts
    ]


def _after(example: WorkedExample, step: StepShown, colours: Palette) -> Picture:
    """Of which nothing is told but when it is: what is solved stands beside it."""
    sight = _sight(example, f"after {step.name}", step.after, colours)
    return replace(with_gained(step.reached, sight), description="")


def _sight(example: WorkedExample, title: str, slots: tuple[int, ...], colours: Palette) -> Picture:
    puzzle, position = example.puzzle, perm.from_images(slots)
    return picture(
        puzzle,
        position,
        colours,
        spelled(title, puzzle),
        spelled(where(Effect(puzzle, position)), puzzle),
        letters_shown=example.shown.letters,
    )


def show(example: WorkedExample, page: PageRenderer) -> Values:
    colours = page.colours(example.puzzle)
    by_step = of_steps(example, colours)
    solved = [step.reached for part in example.parts if part.by_pieces for step in part.steps]
    return {
        "example": example,
        "drawn": of_example(example, colours),
        "by_step": by_step,
        "legend": legend_of(solved, colours),
    }


KIND = Kind(WorkedExample, TABLE, parse, check, show, wide=True)
