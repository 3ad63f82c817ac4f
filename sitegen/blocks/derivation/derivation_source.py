"""Derivations as text, ready to paste into a page: a way that was found, and the first thought that fails.

Each step that sets something aside is three: that, the turn, and what brings it back.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence

from sitegen.blocks.source import free, name_of, title_of
from sitegen.effects.piece_sets import Pieces
from sitegen.puzzles.puzzle import Puzzle
from sitegen.reports.step_report import ToldStep, told_steps
from sitegen.search.aim import Aim
from sitegen.search.clean_steps import CleanStep
from sitegen.search.step_ways import StepWay

FOUND, FIRST_THOUGHT, EXPLAINED = "-found", "-first-thought", "-explained"
"""How the names of blocks end, which begin with the name of what comes of a derivation."""
ASIDE = "aside"
"""What the first setting aside is called, for a later step to undo."""


def derivation_blocks(steps: Iterable[CleanStep], sought: Aim, name: str) -> Iterator[str]:
    """A block that fails, if the first thought does, and the block of the way."""
    told = list(told_steps(steps, sought.guard, sought.watch))
    title = title_of(sought.asked)
    number = next((number for number, step in enumerate(told) if step.thought), None)
    if number is not None:
        yield _failing(told[: number + 1], sought, f"{name}{FIRST_THOUGHT}", title)
    yield _found(told, sought, name, title)


def found_derivations(ways: Sequence[StepWay], sought: Aim, taken: Collection[str] = ()) -> Iterator[str]:
    """Some ways as blocks, none of which has a name that is taken."""
    used = set(taken)
    for way in ways:
        name = free_for_derivations(name_of(sought.asked), used)
        used.add(name)
        yield from derivation_blocks(way.steps, sought, name)


def free_for_derivations(name: str, taken: Collection[str]) -> str:
    """The name, or the name with a number: of what comes of a way, where its blocks' names are free too."""
    ends = (FOUND, FIRST_THOUGHT, EXPLAINED)
    blocks = {each.removesuffix(end) for each in taken for end in ends if each.endswith(end)}
    return free(name, {*taken, *blocks})


def derivation_body(steps: Iterable[CleanStep], sought: Aim) -> str:
    """What a block says that shows a way and names nothing."""
    told = told_steps(steps, sought.guard, sought.watch)
    return "\n".join([*_kept(sought), *_in_steps(told)])


def _kept(sought: Aim) -> list[str]:
    """What is guarded and watched."""
    marked = ["marked: yes"] * sought.query.marked
    return [f"guard: {sought.guarded}", f"watch: {sought.watched}", *marked]


def _head(sought: Aim, name: str, title: str) -> list[str]:
    return [f"```derivation {name}", f"title: {title}", *_kept(sought)]


def _failing(told: Sequence[ToldStep], sought: Aim, name: str, title: str) -> str:
    """The steps before, as they are, and the last one as one may think of it first."""
    *before, last = told
    lines = [*_head(sought, name, f"{title}: a first thought"), "fails: yes", "steps:"]
    lines += [f"- turn: {each.step}" for each in before]
    return fenced([*lines, f"- turn: {last.thought_moves}", f"  say: {last.thought}"])


def _found(told: Sequence[ToldStep], sought: Aim, name: str, title: str) -> str:
    lines = [*_head(sought, f"{name}{FOUND}", title), f"names: {name}", "claims:"]
    return fenced([*lines, *(f"- {claim}" for claim in sought.claims), *_in_steps(told)])


def _in_steps(told: Iterable[ToldStep]) -> Iterator[str]:
    yield "steps:"
    for number, each in enumerate(told, 1):
        yield from _steps(each, ASIDE if number == 1 else f"{ASIDE}-{number}")


def _steps(told: ToldStep, called: str) -> Iterator[str]:
    step = told.step
    if not step.aside:
        yield from (f"- turn: {step.turn_written}", "  guard: home", f"  say: {told.turned}")
        return
    yield from (f"- turn: {step.aside_written}", f"  as: {called}")
    if aside := set_aside_in_words(told.aside, step.puzzle):
        yield f"  set aside: {aside}"
    yield f"  say: {told.why}"
    yield from (f"- turn: {step.turn_written}", f"  say: {told.turned}")
    yield from (f"- undo: {called}", "  guard: home", f"  say: {told.back}")


def set_aside_in_words(pieces: Pieces, puzzle: Puzzle) -> str:
    """Pieces by their names, but for those whose name means a whole layer as well."""
    return ", ".join(
        puzzle.pieces[i].name for i in sorted(pieces) if puzzle.pieces[i].name not in puzzle.axes
    )


def fenced(lines: Sequence[str]) -> str:
    return "\n".join([*lines, "```"])
