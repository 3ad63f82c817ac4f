"""The block `method`: stages with goals, and what may be used; every case gone through when publishing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache, partial

from sitegen.blocks import keys
from sitegen.blocks.block import Head, WrittenBlock, named_in
from sitegen.blocks.kind import Kind, PageRenderer, Values
from sitegen.blocks.method.alike import better_view, shown_as_one
from sitegen.blocks.method.case_figures import of_case
from sitegen.blocks.method.goal_figures import legend_of, of_goal
from sitegen.blocks.method.method import Method, StageShown, ToolShown
from sitegen.blocks.method.solved import Solved, solved
from sitegen.blocks.method.stages import MOST_TURNS, STAGE_KEYS, STAGES_HINT, WrittenStage, read_stages
from sitegen.blocks.method.tasks import task_of
from sitegen.blocks.method.terms import terms_told
from sitegen.blocks.played import Played
from sitegen.blocks.scope import Scope
from sitegen.effects.words import listed
from sitegen.figures.views import all_round
from sitegen.methods.cases import TooMany
from sitegen.methods.goals import gained
from sitegen.methods.mends import mend
from sitegen.methods.plan import AnyTurns, Plan, Step
from sitegen.methods.tools import Tool
from sitegen.pages.block_body import body_of
from sitegen.pages.markdown import Fence
from sitegen.problems import Findings, Problem
from sitegen.puzzles.puzzle import Puzzle
from sitegen.settings import Setting

TABLE = keys.Table(
    {
        "title": keys.TEXT,
        "stages": keys.Meaning("stages"),
        "open": keys.YES,
        "count": keys.NUMBER,
        "seed": keys.NUMBER,
        "view": keys.VIEW,
        "letters": keys.YES,
        "compact": keys.YES,
        **keys.SAID,
    },
    {"stages": STAGE_KEYS},
)
COUNT, MOST_COUNT = 1_000, 100_000
SEED, MOST_SEED = 1, 999_999_999
MOST_TOLD = 3
"""So many uncovered cases of a step are told one by one."""


@dataclass(frozen=True, eq=False, kw_only=True)
class MethodBlock(WrittenBlock):
    """What was written, parsed but not gone through yet."""

    stages: tuple[WrittenStage, ...]
    open: bool
    count: int
    seed: int
    compact: bool
    """Whether its cases stand in a close grid."""


def parse(fence: Fence, head: Head, findings: Findings) -> MethodBlock:
    """What was written; what cannot be read of it goes to the findings. Raises Problem or Problems."""
    puzzle = head.puzzle
    if not head.name:
        raise Problem(
            "a method needs a name", fence.info, "write “method our-way”; its case sheet is published as that"
        )
    fields = TABLE.read(fence)
    if "stages" not in fields:
        raise Problem("the method has no stages", fence.info, STAGES_HINT)
    return MethodBlock(
        head=head,
        fields=fields,
        written=body_of(fence),
        stages=findings.attempt((), read_stages, fields["stages"], puzzle, findings),
        open=keys.value(fields, "open", Setting.as_yes, False, findings),
        count=keys.value(fields, "count", lambda f: f.as_number(1, MOST_COUNT), COUNT, findings),
        seed=keys.value(fields, "seed", lambda f: f.as_number(0, MOST_SEED), SEED, findings),
        compact=keys.value(fields, "compact", Setting.as_yes, False, findings),
        shown=keys.shown(fields, head, findings, all_round(puzzle)),
    )


@lru_cache(maxsize=4)
def plan_of(block: MethodBlock, scope: Scope) -> Plan:
    """The plan of a method, with the sequences that it uses. Raises Problem or Problems."""
    findings = Findings()
    stages = [findings.attempt(None, stage.stage, scope) for stage in block.stages]
    findings.settle()
    return Plan(scope.puzzle, tuple(stage for stage in stages if stage))


def check(block: MethodBlock, scope: Scope, findings: Findings) -> Method:
    """The method with all its cases; those that are not covered go to the findings, if it is not open."""
    plan = plan_of(block, scope)
    try:
        found = solved(plan, block.count, block.seed, scope.cache)
    except TooMany as error:
        raise too_many(error, block, plan) from None
    method = Method(
        head=block.head,
        shown=block.shown,
        plan=plan,
        stages=tuple(
            _stage(block, plan, number, written, found) for number, written in enumerate(block.stages)
        ),
        trial=found.trial,
        left=found.left,
        open=block.open,
        compact=block.compact,
        refers_to=refers_to(block),
    )
    if block.open and method.covered == method.cases:
        hint = "take “open” away: it lets a case stay unsolved"
        findings.add(Problem("every case is covered", block.fields["open"].passage, hint))
    if not block.open:
        findings.problems += _missing(block, method)
    findings.problems += _alike(block, method)
    if method.covered == method.cases and (number := found.trial.first_stuck):
        message = f"position {number} of seed {block.seed} is not solved, though every case is"
        findings.add(
            Problem(message, block.written, "this should never be: please report it with this block")
        )
    return method


def refers_to(block: MethodBlock) -> tuple[str, ...]:
    """The names of the sequences that a method uses."""
    return named_in(node for stage in block.stages for _, node in stage.tools)


def _stage(block: MethodBlock, plan: Plan, number: int, written: WrittenStage, found: Solved) -> StageShown:
    stage, steps = plan.by_stage[number]
    reached = gained(steps[0].before, stage.goals, steps[-1].reached, plan.puzzle)
    return StageShown(
        number=number + 1,
        title=written.title,
        goal=written.text("goal"),
        gained=reached,
        task=task_of(written.named_goals, reached, len(steps), plan.puzzle),
        order=", ".join(name for name, _ in written.one_by_one),
        using=written.text("using"),
        tools=tuple(_tool(tool, plan.puzzle) for tool in stage.tools),
        terms=terms_told(stage.means, plan.puzzle),
        say=keys.said(written.fields, "say", block.head.html),
        views=written.views or block.shown.views,
        steps=tuple(step for step in found.coverage if step.stage == number),
        trial=found.trial.stages[number],
    )


def _tool(tool: Tool, puzzle: Puzzle) -> ToolShown:
    return ToolShown(tool.text, Played(puzzle=puzzle, parts=(tool.turns,), before=puzzle.identity))


def _alike(block: MethodBlock, method: Method) -> Iterator[Problem]:
    """A problem for each stage of which a chosen view shows different cases of a step as one."""
    for stage, written in zip(method.stages, block.stages, strict=True):
        chosen = keys.first_said("view", written.fields, block.fields, block.head.defaults)
        numbers = ((step, shown_as_one(step.drawn, stage.views, method.puzzle)) for step in stage.steps)
        step, number = next((pair for pair in numbers if pair[1]), (None, 0))
        if chosen and step:
            at = f"{stage.title}, {step.name}" if step.name else stage.title
            views = listed([f"“{view}”" for view in stage.views])
            message = f"{at}: {number} cases cannot be told apart as {views} shows them"
            view = better_view(step.drawn, method.puzzle) or all_round(method.puzzle)
            yield Problem(message, chosen.passage, f"write “view: {view}”, here or for this stage alone")


def _missing(block: MethodBlock, method: Method) -> Iterator[Problem]:
    """A problem for each step with cases that nothing in its stage solves; the first few are told."""
    plans = iter(method.plan.steps)
    for stage, written in zip(method.stages, block.stages, strict=True):
        for step, planned in zip(stage.steps, plans, strict=False):
            if number := step.uncovered.number:
                at = f"{stage.title}, {step.name}" if step.name else stage.title
                cases = "; or ".join(case.words for case in step.uncovered.drawn[:MOST_TOLD])
                are = "is" if number == 1 else "are"
                message = f"{at}: {number:,} of {step.cases:,} cases {are} not solved"
                hint = f"such as: {cases}; {_mended(planned)}, or write open: yes to publish it so"
                yield Problem(message, written.fields["using"].passage, hint)


def _mended(step: Step) -> str:
    """What to do about cases that are not solved: what was tried and helps, if anything did."""
    found = mend(step)
    if found is None:
        more = isinstance(step.stage.means, AnyTurns) and step.stage.means.longest < MOST_TURNS
        return "allow more turns" if more else "use further sequences that solve them"
    cases, left = len(step.cases.once), len(step.cases.once) - found.solved
    return f"write {found.text}, {f'and {left:,} of {cases:,} are left' if left else 'and all are solved'}"


def too_many(error: TooMany, block: MethodBlock, plan: Plan) -> Problem:
    """Which stage cannot be gone through, and what to do."""
    written = next(w for w, stage in zip(block.stages, plan.stages, strict=True) if stage is error.stage)
    return Problem(
        f"this stage cannot be gone through: {error.message}", written.fields["goal"].passage, error.hint
    )


def show(method: Method, page: PageRenderer) -> Values:
    colours = page.colours(method.puzzle)
    return {
        "method": method,
        "tiles": [(stage, of_goal(stage, method, colours)) for stage in method.stages],
        "legend": legend_of([stage.gained for stage in method.stages], colours),
        "case_figures": partial(of_case, method=method, colours=colours),
    }


KIND = Kind(Method, TABLE, parse, check, show, wide=True, takes_long=True)
