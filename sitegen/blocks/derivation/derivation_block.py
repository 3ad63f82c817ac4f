"""The block `derivation`: how a sequence is found, step by step, with what is guarded and what is watched."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from sitegen.blocks import keys
from sitegen.blocks.block import Head, WrittenBlock, named_in
from sitegen.blocks.derivation.derivation import Derivation, DerivationStep
from sitegen.blocks.derivation.derivation_figures import stages
from sitegen.blocks.keys import NOTHING
from sitegen.blocks.kind import Kind, PageRenderer, Values
from sitegen.blocks.moves import moves_block as moves
from sitegen.blocks.moves.sequence import Sequence
from sitegen.blocks.scope import Scope
from sitegen.effects.claims import Claim, Placing
from sitegen.effects.effect import Effect
from sitegen.effects.fares import HOME, state
from sitegen.effects.piece_sets import Pieces
from sitegen.effects.words import brief, likeness, listed
from sitegen.moves.metrics import length
from sitegen.moves.notation import write_all
from sitegen.moves.parse import parse as parse_moves
from sitegen.moves.references import resolve_one
from sitegen.moves.simplify import simplify
from sitegen.moves.tree import Node, Repeat, Series, SingleTurn
from sitegen.moves.turning import expand, permutation, permutation_of
from sitegen.pages.block_body import body_of
from sitegen.pages.markdown import Fence, inline_prose
from sitegen.problems import Findings, Passage, Problem, written
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.settings import Setting

EVERYTHING = "all"
"""What is undone, where it is all steps so far."""
TABLE = keys.Table(
    {
        "title": keys.TEXT,
        "guard": keys.PIECES,
        "watch": keys.PIECES,
        "steps": keys.Meaning("steps"),
        "names": keys.Meaning("the name of the sequence that comes of it"),
        "claims": keys.CLAIMS,
        "marked": keys.YES,
        "fails": keys.YES,
        "view": keys.VIEW,
        "letters": keys.YES,
        "tags": keys.TEXT,
        **keys.SAID,
        **keys.ON_CARDS,
    },
    {
        "steps": {
            "turn": keys.MOVES,
            "undo": keys.Meaning("the name of a step, or all", lambda puzzle: [EVERYTHING]),
            "as": keys.Meaning("a name for this step"),
            "set aside": keys.PIECES,
            "guard": keys.one_of(HOME),
            "say": keys.TEXT,
        }
    },
)
STEPS_HINT = "write “steps:” and below it “- turn: …” for each step"


@dataclass(frozen=True)
class WrittenStep:
    """One step as written: the node of the tree that it adds, and what is asked of it."""

    passage: Passage
    node: Node
    name: str
    undoes: str
    aside: Pieces
    guard_home: bool
    say: Passage | None


@dataclass(frozen=True, eq=False, kw_only=True)
class DerivationBlock(WrittenBlock):
    """What was written, parsed but not turned yet."""

    tree: Series
    steps: tuple[WrittenStep, ...]
    guard: Pieces
    watch: Pieces
    fails: bool
    claims: tuple[tuple[Passage, Claim], ...]
    marked: bool


def parse(fence: Fence, head: Head, findings: Findings) -> DerivationBlock:
    """What was written; what cannot be read of it goes to the findings. Raises Problem or Problems."""
    puzzle = head.puzzle
    fields = TABLE.read(fence)
    if "steps" not in fields:
        raise Problem("the derivation has no steps", fence.info, STEPS_HINT)
    steps = _steps(fields["steps"], puzzle, findings)
    findings.problems += _stray_keys(fields, steps)
    findings.attempt(None, keys.refuse_without_page, fields, "names" in fields)
    defines = keys.value(fields, "names", _name, "", findings)
    return DerivationBlock(
        head=replace(head, name=head.name or defines),
        defines=defines,
        fields=fields,
        written=body_of(fence),
        tree=Series(fields["steps"].passage, tuple(step.node for step in steps)),
        steps=tuple(steps),
        guard=keys.pieces(fields, "guard", puzzle, findings),
        watch=keys.pieces(fields, "watch", puzzle, findings),
        fails=keys.value(fields, "fails", Setting.as_yes, False, findings),
        claims=keys.claims(fields, puzzle, findings, defines),
        marked=keys.marked(fields, puzzle, findings),
        shown=keys.shown(fields, head, findings, view=""),
    )


def _stray_keys(fields: Mapping[str, Setting], steps: list[WrittenStep]) -> Iterator[Problem]:
    """Keys that would say nothing without another one."""
    for key in ("claims", "tags"):
        if key in fields and "names" not in fields:
            hint = f"give it a name by “names: …”, or take the {key} away"
            message = f"{key} are about the sequence that a derivation names"
            yield Problem(message, fields[key].key, hint)
    if "guard" not in fields:
        asking = next((step.passage for step in steps if step.guard_home), None)
        place = fields["fails"].key if "fails" in fields else asking
        if place:
            yield Problem("nothing is guarded here", place, "say by “guard: …” which pieces are")
    if steps and steps[-1].aside:
        hint = "take “set aside” away, or put it in an earlier step"
        yield Problem("no step follows that could move what is set aside", steps[-1].passage, hint)


def _name(setting: Setting) -> str:
    keys.check_name(setting.as_text(), setting.passage)
    return setting.as_text()


def _steps(setting: Setting, puzzle: Puzzle, findings: Findings) -> list[WrittenStep]:
    steps: list[WrittenStep] = []
    if not setting.items:
        findings.add(setting.problem("a step begins with “- ”", STEPS_HINT))
    for item in setting.items:
        steps.append(findings.attempt(_unread(item), _step, item, steps, puzzle, findings))
    return steps


def _unread(item: Setting) -> WrittenStep:
    """What stands in for a step that cannot be read, under its name: undoing it is no second problem."""
    named = (item.entries or {}).get("as")
    name = named.text if named and named.text else ""
    return WrittenStep(item.passage, Series(item.passage, ()), name, "", NOTHING, False, None)


def _step(item: Setting, before: list[WrittenStep], puzzle: Puzzle, findings: Findings) -> WrittenStep:
    """step := "turn" moves | "undo" (NAME | "all"), and any of the other keys."""
    fields = item.entries or {}
    if ("turn" in fields) == ("undo" in fields):
        raise item.problem("a step has either turns or something to undo", "write “turn: …” or “undo: …”")
    name = fields["as"].as_text() if "as" in fields else ""
    if name and (name == EVERYTHING or any(step.name == name for step in before)):
        findings.add(fields["as"].problem(f"the name {name} is taken", "choose another name for this step"))
    if "guard" in fields and fields["guard"].as_text() != HOME:
        findings.add(fields["guard"].problem("what a step can ask of the guard is home", "write guard: home"))
    return WrittenStep(
        passage=item.passage,
        node=parse_moves(fields["turn"].said, puzzle)
        if "turn" in fields
        else _undone(fields["undo"], before),
        name=name,
        undoes=fields["undo"].as_text() if "undo" in fields else "",
        aside=keys.pieces(fields, "set aside", puzzle, findings),
        guard_home="guard" in fields,
        say=fields["say"].said if "say" in fields else None,
    )


def _undone(setting: Setting, before: list[WrittenStep]) -> Node:
    """The node that undoes an earlier step by its name, or all of them."""
    place, name = setting.said, setting.as_text()
    if name == EVERYTHING and not before:
        raise Problem("there is nothing to undo yet", place, "begin with “- turn: …”")
    if name == EVERYTHING:
        return Repeat(place, Series(place, tuple(step.node for step in before)), -1)
    for step in before:
        if step.name == name:
            return Repeat(place, step.node, -1)
    unnamed = [step.passage for step in before if not step.name and step.node.passage.text == name]
    if unnamed:
        hint = f"give the step in line {unnamed[0].line} a name by “as: …”, and write that here"
        raise Problem("a step is undone by its name, and this is what one turns", place, hint)
    names = [step.name for step in before if step.name]
    hint = f"steps with names so far: {', '.join(names)}" if names else "a step gets a name by “as: …”"
    raise Problem(f"no step before this one is named {name}", place, f"{hint}; or undo all")


def check(block: DerivationBlock, scope: Scope, findings: Findings) -> Derivation:
    """The steps, turned; what is not as the author says goes to the findings."""
    stages = _stages(block, scope)
    _check_asides(block, stages, findings)
    failure = _failure(block, stages, findings)
    turns = simplify((turn for stage in stages for turn in stage.turns), scope.puzzle)
    tree = Series(written(""), tuple(SingleTurn(written(""), turn) for turn in turns))
    turned = permutation_of(turns, scope.puzzle)
    effect = Effect(scope.puzzle, turned, block.marked)
    others = [
        name
        for name, p in scope.permutations.items()
        if Effect(scope.puzzle, p, block.marked).appearance == effect.appearance and name != block.defines
    ]
    return Derivation(
        head=block.head,
        shown=block.shown,
        stages=tuple(stages),
        turns=turns,
        effect=brief(effect),
        likeness=likeness(effect),
        length=length(tree, scope.puzzle).told(block.shown.metrics),
        named=_sequence(block, tree, turns, scope, findings),
        same_as=tuple(others),
        failure=failure,
        refers_to=named_in([block.tree]),
    )


def _stages(block: DerivationBlock, scope: Scope) -> list[DerivationStep]:
    stages = []
    position = scope.puzzle.identity
    findings = Findings()
    nodes = [findings.attempt(step.node, resolve_one, step.node, scope.trees) for step in block.steps]
    findings.settle()
    for number, (step, node) in enumerate(zip(block.steps, nodes, strict=True), 1):
        turns = expand(node)
        text = write_all(turns, scope.puzzle) if step.undoes else " ".join(step.node.passage.text.split())
        after = perm.compose(position, permutation(node, scope.puzzle))
        stages.append(
            DerivationStep(
                number=number,
                text=text,
                name=step.name,
                undoes=step.undoes,
                say=inline_prose(step.say, block.head.html) if step.say else None,
                turns=turns,
                before=position,
                after=after,
                puzzle=scope.puzzle,
                watch=block.watch,
                guard=block.guard,
                aside=step.aside,
                marked=block.marked,
            )
        )
        position = after
    return stages


def _check_asides(block: DerivationBlock, stages: list[DerivationStep], findings: Findings) -> None:
    """What was set aside must not be touched by the next step."""
    for step, stage, following in zip(block.steps, stages, stages[1:], strict=False):
        touched = [
            block.puzzle.pieces[i].name for i in sorted(step.aside) if _touched(i, stage.after, following)
        ]
        if touched:
            verb = "is" if len(touched) == 1 else "are"
            message = f"{listed(touched)} {verb} set aside here, but the next step moves {listed(touched)}"
            hint = f"the next step is {following.text}; set aside something else, or by other turns"
            findings.add(Problem(message, step.passage, hint))


def _touched(index: int, position: Permutation, following: DerivationStep) -> bool:
    """Whether any turn of a stage moves a piece."""
    puzzle = following.puzzle
    there = [position[slot] for slot in puzzle.pieces[index].stickers]
    return any(puzzle.permutation(turn)[at] != at for turn in following.turns for at in there)


def _failure(block: DerivationBlock, stages: list[DerivationStep], findings: Findings) -> str:
    """Which guarded pieces are not home at the end, where the block says so; a problem otherwise."""
    told = set()
    for step, stage in zip(block.steps, stages, strict=True):
        if step.guard_home and any(found != HOME for found in stage.states.values()):
            hint = "take “guard: home” away, or turn so that they are"
            message = f"not all guarded pieces are home after this step: {stage.guarded}"
            findings.add(Problem(message, step.passage, hint))
            told.add(stage.number)
    broken = [i for i, found in (stages[-1].states.items() if stages else ()) if found != HOME]
    if block.fails and not broken:
        message = "this derivation does not fail: every guarded piece is home at the end"
        findings.add(Problem(message, block.fields["fails"].passage, "take “fails: yes” away"))
    if broken and not block.fails:
        culprit = max(_last_moved(block.puzzle, i, stages) for i in broken)
        if culprit not in told:
            last = f"step {culprit}: {stages[culprit - 1].text}"
            hint = f"the last step that takes one of them from home is {last}"
            message = f"the guard is not home at the end: {stages[-1].guarded}"
            findings.add(Problem(message, block.steps[culprit - 1].passage, hint))
    return stages[-1].guarded if broken else ""


def _last_moved(puzzle: Puzzle, index: int, stages: list[DerivationStep]) -> int:
    """The number of the last step before which a piece was home and after which it is not."""
    piece = puzzle.pieces[index]
    left = [s.number for s in stages if state(piece, s.seen_before) == HOME != state(piece, s.seen_after)]
    return left[-1] if left else len(stages)


def _sequence(
    block: DerivationBlock,
    tree: Series,
    turns: tuple[Turn, ...],
    scope: Scope,
    findings: Findings,
) -> Sequence | None:
    """The sequence that the derivation defines, its moves being the turns in full."""
    if not block.defines:
        return None
    puzzle, focus = scope.puzzle, block.guard | block.watch
    told = (claim for _, claim in block.claims if isinstance(claim, Placing))
    claimed = {puzzle.piece_at(slot).index for claim in told for slot in claim.moved()}
    source = moves.MovesBlock(
        head=replace(block.head, name=block.defines),
        fields={key: field for key, field in block.fields.items() if key == "tags"},
        written=written(write_all(turns, scope.puzzle)),
        tree=tree,
        claims=block.claims,
        marked=block.marked,
        shown=replace(block.shown, focus=focus | claimed if focus else None),
    )
    sequence = moves.check(source, replace(scope, trees={}), findings)
    return replace(sequence, derived_at=f"{Derivation.ANCHOR}-{block.name}")


def show(derivation: Derivation, page: PageRenderer) -> Values:
    figures = stages(derivation, page.colours(derivation.puzzle))
    drawn = list(zip(derivation.stages, figures, strict=True))
    return {"derivation": derivation, "stages": drawn}


KIND = Kind(Derivation, TABLE, parse, check, show, wide=True)
