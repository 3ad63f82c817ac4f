"""The block `practice`: exercises from named sequences, the same with each seed; answers stand apart."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from sitegen.blocks import keys
from sitegen.blocks.applying import no_lead_in, read_hold, read_lead_in, read_tools, tool_of
from sitegen.blocks.block import Head, WrittenBlock, named_in
from sitegen.blocks.kind import Block, Kind, PageRenderer, Values
from sitegen.blocks.method.method_block import MOST_SEED
from sitegen.blocks.practice.exercise_figures import answers, exercises
from sitegen.blocks.practice.practice import FILL_IN, SOLVE, Ask, Practice, halves
from sitegen.blocks.practice.practice_hints import more, other_asks, too_few, why_unsuited
from sitegen.blocks.practice.variations import Difficulty
from sitegen.blocks.scope import Scope
from sitegen.effects.effect import Effect
from sitegen.figures.views import all_round
from sitegen.methods.tools import Tool
from sitegen.moves.references import resolve_one
from sitegen.moves.tree import Node
from sitegen.moves.turning import permutation_of
from sitegen.pages.markdown import Fence
from sitegen.problems import Findings, Problem
from sitegen.settings import Setting

TABLE = keys.Table(
    {
        "title": keys.TEXT,
        "from": keys.SEQUENCES,
        "count": keys.NUMBER,
        "seed": keys.NUMBER,
        "lead-in": keys.LEAD_IN,
        "mirror": keys.YES,
        "hold": keys.HOLD,
        "fill in": keys.one_of(*FILL_IN),
        "view": keys.VIEW,
        "letters": keys.YES,
        **keys.SAID,
    }
)
COUNT, MOST_COUNT = 6, 60
FROM_HINT = "name sequences with their @, as in “from: @flip-pair and @twist-pair”"


@dataclass(frozen=True, eq=False, kw_only=True)
class PracticeBlock(WrittenBlock):
    """What was written, parsed but not drawn from yet."""

    tools: tuple[tuple[str, Node], ...]
    how: Difficulty
    asks: tuple[Ask, ...]
    count: int
    seed: int


def parse(fence: Fence, head: Head, findings: Findings) -> PracticeBlock:
    """What was written; what cannot be read of it goes to the findings. Raises Problem or Problems."""
    puzzle = head.puzzle
    fields = TABLE.read(fence)
    if "from" not in fields:
        raise Problem("the block does not say what is practised", fence.info, FROM_HINT)
    solve: tuple[Ask, ...] = (SOLVE,)
    asks = keys.value(fields, "fill in", _asks, solve, findings)
    findings.problems += _of_no_use(fields, asks)
    lead_in, longest = findings.attempt(no_lead_in(puzzle), read_lead_in, fields, puzzle)
    mirror = keys.value(fields, "mirror", Setting.as_yes, False, findings)
    hold = findings.attempt((), read_hold, fields, puzzle)
    return PracticeBlock(
        head=head,
        fields=fields,
        written=fields["from"].passage,
        tools=findings.attempt((), read_tools, fields["from"], puzzle, FROM_HINT),
        how=Difficulty(lead_in, longest, mirror, hold),
        asks=asks,
        count=keys.value(fields, "count", lambda f: f.as_number(1, MOST_COUNT), COUNT, findings),
        seed=keys.value(fields, "seed", lambda f: f.as_number(0, MOST_SEED), 1, findings),
        shown=keys.shown(fields, head, findings, all_round(puzzle)),
    )


def _of_no_use(fields: Mapping[str, Setting], asks: Sequence[Ask]) -> Iterator[Problem]:
    """What would say nothing of exercises that have no figure, or that are about commutators alone."""
    plain = all(not ask.figure for ask in asks)
    halved = all(ask.halves for ask in asks)
    for key, idle, why in (
        ("view", plain, "have no figure"),
        ("letters", plain, "have no figure"),
        ("lead-in", halved, "are of commutators, which have no lead-in"),
    ):
        if asks and idle and key in fields:
            hint = "take it away, or ask for more, as in “fill in: undoing, effect”"
            yield Problem(f"these exercises {why}", fields[key].key, hint)


def _asks(setting: Setting) -> tuple[Ask, ...]:
    """asks := a list of kinds    Raises Problem or Problems."""
    findings = Findings()
    asks = [findings.attempt(None, _ask, item) for item in setting.as_list()]
    findings.settle()
    return tuple(ask for ask in asks if ask)


def _ask(item: Setting) -> Ask:
    return FILL_IN[item.as_choice(FILL_IN)]


def check(block: PracticeBlock, scope: Scope, findings: Findings) -> Practice:
    """What is to be practised; what is asked is chosen for a page at once. Raises Problem or Problems."""
    trees = _trees(block, scope)
    tools = {text: tool_of(text, node, scope) for text, node in block.tools}
    _refuse_idle(tools, block)
    found = {text: halves(tree) for text, tree in trees.items() if tools[text].text == text}
    practice = Practice(
        head=block.head,
        shown=block.shown,
        tools=tuple(tools.values()),
        commutators={text: each for text, each in found.items() if each},
        how=block.how,
        asks=block.asks,
        count=block.count,
        seed=block.seed,
        refers_to=named_in(node for _, node in block.tools),
    )
    if practice.count < len(practice.asks):
        message = f"of {len(practice.asks)} things to fill in, {practice.count} can be asked for here"
        hint = f"write “count: {len(practice.asks)}” or more, or leave some of them out"
        raise Problem(message, block.fields["fill in"].passage, hint)
    _refuse_unsuited(practice, block, scope)
    if practice.commutators and all(ask.halves for ask in practice.asks):
        for text, node in block.tools:
            if text not in practice.commutators:
                findings.add(_left_out(text, node, moved=bool(halves(trees[text]))))
    return practice


def _refuse_idle(tools: Mapping[str, Tool], block: PracticeBlock) -> None:
    """Raises Problem or Problems for the sequences that change nothing."""
    findings, nodes = Findings(), dict(block.tools)
    for text, tool in tools.items():
        if not Effect(block.puzzle, permutation_of(tool.turns, block.puzzle)).changed:
            findings.add(Problem(f"{text} changes nothing", nodes[text].passage, "practise other sequences"))
    findings.settle()


def _refuse_unsuited(practice: Practice, block: PracticeBlock, scope: Scope) -> None:
    """Raises Problem or Problems for what cannot be asked about a sequence."""
    findings = Findings()
    for ask in practice.asks:
        if unsuited := practice.unsuited(ask):
            message = why_unsuited(practice, ask, unsuited)
            findings.add(Problem(message, block.written, other_asks(practice, ask, unsuited, scope)))
    findings.settle()


def _left_out(text: str, node: Node, moved: bool) -> Problem:
    """A sequence of which nothing is asked, where all that is asked is about commutators."""
    why = "leaves the centres moved" if moved else "is not written as a commutator"
    instead = "" if moved else "write its moves as [A, B], "
    hint = f"take it away, {instead}or ask for more, as in “fill in: commutator, effect”"
    return Problem(f"nothing is asked about {text}, which {why}", node.passage, hint)


def settle(blocks: Sequence[Block], scope: Scope) -> None:
    """Chooses what the blocks of a page ask, so that nothing on it gives away an answer.

    A block that comes too short of others is given a problem.
    """
    earlier: tuple[Practice, ...] = ()
    for block in blocks:
        block.checked = replace(block.checked, earlier=earlier)
        block.findings.attempt(None, _enough, block.checked, block.parsed, scope)
        earlier += (block.checked,)


def _enough(practice: Practice, block: PracticeBlock, scope: Scope) -> None:
    """Raises Problem where there are too few exercises, or one that is not what its answer is to."""
    exercises = practice.exercises()
    for ask in practice.asks:
        made = sum(exercise.ask is ask for exercise in exercises)
        if made < practice.wanted(ask):
            message = too_few(practice, ask, made)
            raise Problem(message, block.written, more(practice, ask, scope))
    wrong = next((exercise for exercise in exercises if not exercise.true), None)
    if wrong:
        hint = "practise other sequences, or without the lead-in or the hold"
        message = f"{block.puzzle.name} has no way to write {wrong.made.text} that can be read again"
        raise Problem(message, block.written, hint)


def _trees(block: PracticeBlock, scope: Scope) -> dict[str, Node]:
    """The moves of each sequence named. Raises Problem or Problems for all that there are not."""
    findings = Findings()
    trees = {text: findings.attempt(None, resolve_one, node, scope.trees) for text, node in block.tools}
    findings.settle()
    return {text: tree for text, tree in trees.items() if tree}


def show(practice: Practice, page: PageRenderer) -> Values:
    return {
        "practice": practice,
        "exercises": exercises(practice, page),
        "answers": page.answers,
        "hints": page.hints,
    }


KIND = Kind(Practice, TABLE, parse, check, show, settle, answers, wide=True)
