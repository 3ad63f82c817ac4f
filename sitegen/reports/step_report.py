"""What each clean step of a way is for, as turning shows it: drafts of what an author says of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from sitegen.effects.effect import Effect
from sitegen.effects.piece_sets import Pieces
from sitegen.effects.words import brief, listed
from sitegen.moves.notation import write_all
from sitegen.moves.turning import inverse_turns, permutation_of
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle
from sitegen.reports.effect_report import effect_data
from sitegen.search.clean_steps import CleanStep
from sitegen.search.find import NEVER, OUT_OF_MEMORY, OUT_OF_TIME, SHORTEST
from sitegen.search.step_ways import StepWay, StepWays


@dataclass(frozen=True)
class ToldStep:
    """A step in words, with moves set as Markdown sets them."""

    step: CleanStep
    why: str
    """What is set aside first, and what for; empty where nothing is."""
    turned: str
    """What the turn does."""
    back: str
    """What is brought back; empty where nothing was set aside."""
    aside: Pieces
    """The guarded pieces that are away meanwhile."""
    thought: str
    """What comes of setting nothing aside, or bringing nothing back; empty where no guarded piece suffers."""
    thought_moves: str

    def __str__(self) -> str:
        return " ".join(filter(None, (self.why, self.turned, self.back)))


def told_steps(steps: Iterable[CleanStep], guard: Pieces, watch: Pieces) -> Iterator[ToldStep]:
    """In words what each step is for, one after another."""
    before: Permutation | None = None
    for step in steps:
        puzzle = step.puzzle
        before = puzzle.identity if before is None else before
        yield _told(step, before, guard, watch)
        before = perm.compose(before, step.permutation)


def _told(step: CleanStep, before: Permutation, guard: Pieces, watch: Pieces) -> ToldStep:
    puzzle, turn, first = step.puzzle, puzzle_turn(step), permutation_of(step.aside, step.puzzle)
    there = perm.compose(before, first)
    turned = perm.compose(there, turn)
    after = perm.compose(before, step.permutation)
    aside = _changed(guard, puzzle.identity, first, puzzle)
    gone = _ways(_changed(guard, puzzle.identity, turn, puzzle), puzzle.identity, turn, puzzle)
    thought, moves = "", step.turn_written
    if gone:
        thought = f"This alone would carry {gone}."
    elif aside:
        moves = f"{step.aside_written} {moves}"
        led = _ways(_changed(watch, before, turned, puzzle), before, turned, puzzle)
        verb = "is" if len(aside) == 1 else "are"
        thought = f"This takes {led}, but {names_told(aside, puzzle)} {verb} not home." if led else ""
    return ToldStep(
        step=step,
        why=_why(step, before, there, aside, gone, watch) if step.aside else "",
        turned=_turn_told(step, there, turned, watch),
        back=_back(step, turned, after, aside, watch) if step.aside else "",
        aside=aside,
        thought=thought,
        thought_moves=moves,
    )


def _changed(pieces: Pieces, before: Permutation, after: Permutation, puzzle: Puzzle) -> Pieces:
    return frozenset(i for i in pieces if _moved(i, before, after, puzzle))


def _moves(text: str) -> str:
    """Moves within a sentence, to be set and read as such: a single turn is taken for one by itself."""
    return f"`{text}`{{.moves}}" if " " in text else f"`{text}`"


def puzzle_turn(step: CleanStep) -> Permutation:
    """What the turn of a step does by itself."""
    return step.puzzle.permutation(step.turn)


def _why(
    step: CleanStep, before: Permutation, there: Permutation, aside: Pieces, gone: str, watch: Pieces
) -> str:
    puzzle, turn, first = step.puzzle, _moves(step.turn_written), _moves(step.aside_written)
    along = names_told(aside, puzzle)
    turned = perm.compose(there, puzzle_turn(step))
    after = perm.compose(before, step.permutation)
    if gone:
        return f"Alone, {turn} would carry {gone}. So {first} sets {along} aside first."
    brought = _ways(_changed(watch, before, there, puzzle), before, there, puzzle)
    reached = any(_moved(i, before, perm.compose(before, puzzle_turn(step)), puzzle) for i in watch)
    need = "" if reached or not watch else f"Alone, {turn} would not reach {names_told(watch, puzzle)}. "
    takes = f"takes {along} along" if along else ""
    if brought:
        return f"{need}First {first} brings {brought}{f', and {takes}' if takes else ''}."
    later = _ways(_changed(watch, turned, after, puzzle), turned, after, puzzle)
    return f"{need}First {first} {takes or 'comes'}{f'; what undoes it will bring {later}' if later else ''}."


def _turn_told(step: CleanStep, there: Permutation, turned: Permutation, watch: Pieces) -> str:
    puzzle, turn = step.puzzle, _moves(step.turn_written)
    taken = _ways(_changed(watch, there, turned, puzzle), there, turned, puzzle)
    where = "it is" if len(watch) == 1 else "they are"
    stays = f"leaves {names_told(watch, puzzle)} where {where}" if watch else "is turned"
    does = f"takes {taken}" if taken else stays
    return f"Then {turn} {does}."


def _back(step: CleanStep, turned: Permutation, after: Permutation, aside: Pieces, watch: Pieces) -> str:
    puzzle = step.puzzle
    undone = _moves(write_all(inverse_turns(step.aside), puzzle))
    home = f"brings {names_told(aside, puzzle)} home" if aside else "undoes the first turns"
    taken = _ways(_changed(watch, turned, after, puzzle), turned, after, puzzle)
    return f"At last {undone} {home}{f', and takes {taken}' if taken else ''}."


def _moved(index: int, before: Permutation, after: Permutation, puzzle: Puzzle) -> bool:
    return any(before[slot] != after[slot] for slot in puzzle.pieces[index].stickers)


def _ways(pieces: Iterable[int], before: Permutation, after: Permutation, puzzle: Puzzle) -> str:
    """`UR to UF and UBR to UFR`: from which sticker's place to which; with its name where it is away."""
    found = []
    for index in sorted(pieces):
        piece = puzzle.pieces[index]
        start, end = (puzzle.stickers[position[piece.stickers[0]]].name for position in (before, after))
        found.append(f"{start} to {end}" if start == piece.name else f"{piece.name} from {start} to {end}")
    return listed(found) if found else ""


def names_told(pieces: Iterable[int], puzzle: Puzzle) -> str:
    """Pieces in words; one that is called as its whole layer is says that it is a centre."""
    found = [puzzle.pieces[index] for index in sorted(pieces)]
    return (
        listed([f"the centre {p.name}" if p.name in puzzle.axes else p.name for p in found]) if found else ""
    )


def plainly(said: str) -> str:
    """A sentence without what sets its moves."""
    return said.replace("{.moves}", "").replace("`", "")


def way_in_words(way: StepWay, guard: Pieces, watch: Pieces) -> Iterator[str]:
    """Line by line a way: its steps, each with what it is for, and what comes of it."""
    yield str(way)
    for number, told in enumerate(told_steps(way.steps, guard, watch), 1):
        yield f"  step {number}    {plainly(str(told))}"
    yield f"  in full   {way.moves}"
    yield f"  does      {brief(way.effect)}"
    yield f"  length    {way.length}"


def way_as_data(way: StepWay) -> dict[str, Any]:
    """A way for programs."""
    effect: Effect = way.effect
    return {
        "steps": [{"aside": step.aside_written, "turn": step.turn_written} for step in way.steps],
        "moves": way.moves,
        "length": way.length._asdict(),
        "effect": {"order": effect.order, **effect_data(effect)},
    }


def account_of_ways(found: StepWays, shown: int) -> str:
    """“Asides of up to 2 turns: 154 ways of 2 steps; none has fewer; 522 more differ only by …”"""
    parts = [
        f"{number:,} {'way' if number == 1 else 'ways'} of {_steps(steps)}"
        for steps, number in found.counts.items()
        if number
    ]
    most = max(found.counts, default=0)
    if found.fewest is not None:
        parts.append("none has fewer")
        parts += [] if found.ended == SHORTEST else [f"looked at up to {_steps(most)}"]
    elif found.ended == NEVER:
        parts.append("no clean steps of these turns do this, however many")
    elif most:
        parts.append(f"no {most} clean steps or fewer do this" if most > 1 else "no clean step does this")
    if found.fewest is not None and found.others:
        parts.append(f"{found.others:,} more differ only by a symmetry or by more that is set aside")
    after, some = _steps(most + 1), f", {found.partly:,} found so far" if found.partly else ""
    end = {
        OUT_OF_MEMORY: f"ways of {after} were not looked at: it takes more memory than is allowed",
        OUT_OF_TIME: f"ways of {after} were not looked at to the end: the time is over{some}",
        "": f"stopped while looking at ways of {after}{some}",
    }
    if found.ended in end:
        parts.append(end[found.ended])
    if sum(found.counts.values()) + found.partly > shown:
        parts.append("one of them is shown" if shown == 1 else f"the first {shown} are shown")
    asides = "1 turn" if found.aside == 1 else f"up to {found.aside} turns"
    return f"Asides of {asides}: {'; '.join(parts)}."


def _steps(number: int) -> str:
    return "1 step" if number == 1 else f"{number} steps"
