"""What each clean step of a way is for, as turning shows it: drafts of what an author says of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Protocol

from sitegen.effects.effect import Effect
from sitegen.effects.piece_sets import Pieces
from sitegen.effects.words import brief, listed
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.reports.effect_report import effect_data
from sitegen.search.find import NEVER, OUT_OF_MEMORY, OUT_OF_TIME, SHORTEST
from sitegen.search.step_ways import StepWay, StepWays

MOST_NAMED_HERE = 4
"""Of more pieces than this a sentence only says how many they are."""


class Aside(Protocol):
    """Something that is set aside, what is done then, and the first undone."""

    @property
    def puzzle(self) -> Puzzle: ...
    @property
    def aside(self) -> tuple[Turn, ...]: ...
    @property
    def aside_written(self) -> str: ...
    @property
    def back_written(self) -> str: ...
    @property
    def turn_written(self) -> str: ...
    @property
    def aside_alone(self) -> Permutation: ...
    @property
    def turn_alone(self) -> Permutation: ...
    @property
    def permutation(self) -> Permutation: ...


@dataclass(frozen=True)
class ToldStep:
    """A step in words, with moves set as Markdown sets them."""

    step: Aside
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


@dataclass(frozen=True)
class _Course:
    """A step from a position on, and the pieces that are followed meanwhile."""

    step: Aside
    before: Permutation
    guard: Pieces
    watch: Pieces

    @property
    def puzzle(self) -> Puzzle:
        return self.step.puzzle

    @cached_property
    def there(self) -> Permutation:
        """The position when something is set aside."""
        return perm.compose(self.before, self.step.aside_alone)

    @cached_property
    def turned(self) -> Permutation:
        """The position after the turn."""
        return perm.compose(self.there, self.step.turn_alone)

    @cached_property
    def after(self) -> Permutation:
        """The position at the end of the step."""
        return perm.compose(self.before, self.step.permutation)

    @cached_property
    def aside(self) -> Pieces:
        """The guarded pieces that setting aside moves."""
        return frozenset(self._moved(self.guard, self.before, self.there))

    @cached_property
    def clean(self) -> bool:
        """Whether the turn leaves all guarded pieces where they are then."""
        return not self._moved(self.guard, self.there, self.turned)

    @cached_property
    def home(self) -> list[int]:
        """Which of those set aside are home at the end."""
        away = self._moved(self.aside, self.puzzle.identity, self.after)
        return sorted(self.aside - frozenset(away))

    @cached_property
    def gone(self) -> str:
        """Where the turn alone would carry guarded pieces."""
        alone = perm.compose(self.before, self.step.turn_alone)
        moved = self._moved(self.guard, self.before, alone)
        if len(moved) > MOST_NAMED_HERE:
            return f"{len(moved)} guarded pieces away"
        return ways_told(moved, self.before, alone, self.puzzle)

    def led(self, start: Permutation, end: Permutation) -> str:
        """Where the watched pieces go from one position to another; empty where all of them stay."""
        return ways_told(self._moved(self.watch, start, end), start, end, self.puzzle)

    def _moved(self, pieces: Pieces, start: Permutation, end: Permutation) -> list[int]:
        return moved_between(pieces, start, end, self.puzzle)


def told_steps(steps: Iterable[Aside], guard: Pieces, watch: Pieces) -> Iterator[ToldStep]:
    """In words what each step is for, one after another."""
    before: Permutation | None = None
    for step in steps:
        before = before or step.puzzle.identity
        yield told_step(step, before, guard, watch)
        before = perm.compose(before, step.permutation)


def told_step(step: Aside, before: Permutation, guard: Pieces, watch: Pieces) -> ToldStep:
    """In words what one step is for, from a position on."""
    return _told(_Course(step, before, guard, watch))


def _told(course: _Course) -> ToldStep:
    step = course.step
    thought, moves = "", step.turn_written
    if course.gone:
        thought = f"This alone would carry {course.gone}."
    elif course.aside and (led := course.led(course.before, course.turned)):
        moves = f"{step.aside_written} {moves}"
        verb = "is" if len(course.aside) == 1 else "are"
        thought = f"This takes {led}, but {names_told(course.aside, step.puzzle)} {verb} not home."
    return ToldStep(
        step=step,
        why=_why(course) if step.aside else "",
        turned=_turn_told(course),
        back=_back(course) if step.aside else "",
        aside=course.aside,
        thought=thought,
        thought_moves=moves,
    )


def moves_told(text: str) -> str:
    """Moves within a sentence, to be set and read as such: a single turn is taken for one by itself."""
    return f"`{text}`{{.moves}}" if " " in text else f"`{text}`"


def _why(course: _Course) -> str:
    puzzle, step = course.puzzle, course.step
    turn, first = moves_told(step.turn_written), moves_told(step.aside_written)
    along = names_told(course.aside, puzzle)
    brought = course.led(course.before, course.there)
    if course.gone and course.clean:
        more = f", and brings {brought}" if brought else ""
        return f"Alone, {turn} would carry {course.gone}. So {first} sets {along} aside first{more}."
    reached = course.led(course.before, perm.compose(course.before, step.turn_alone))
    need = "" if reached else f"Alone, {turn} would not reach {names_told(course.watch, puzzle)}. "
    takes = f"takes {along} along" if along else ""
    if brought:
        return f"{need}First {first} brings {brought}{f', and {takes}' if takes else ''}."
    later = course.led(course.turned, course.after)
    return f"{need}First {first} {takes or 'comes'}{f'; what undoes it will bring {later}' if later else ''}."


def _turn_told(course: _Course) -> str:
    where = "it is" if len(course.watch) == 1 else "they are"
    stays = f"leaves {names_told(course.watch, course.puzzle)} where {where}"
    taken = course.led(course.there, course.turned)
    then = "Then " if course.step.aside or course.before != course.puzzle.identity else ""
    return f"{then}{moves_told(course.step.turn_written)} {f'takes {taken}' if taken else stays}."


def _back(course: _Course) -> str:
    puzzle = course.puzzle
    undone = moves_told(course.step.back_written)
    first = "the first turn" if len(course.step.aside) == 1 else "the first turns"
    home = f"brings {names_told(course.home, puzzle)} home" if course.home else f"undoes {first}"
    taken = course.led(course.turned, course.after)
    return f"Now {undone} {home}{f', and takes {taken}' if taken else ''}."


def ways_told(pieces: Iterable[int], before: Permutation, after: Permutation, puzzle: Puzzle) -> str:
    """`UR to UF and UBR to UFR`: from which sticker's place to which; with its name where it is away."""
    found = []
    for index in pieces:
        piece = puzzle.pieces[index]
        start, end = (puzzle.stickers[position[piece.stickers[0]]].name for position in (before, after))
        found.append(f"{start} to {end}" if start == piece.name else f"{piece.name} from {start} to {end}")
    return listed(found)


def moved_between(pieces: Pieces, before: Permutation, after: Permutation, puzzle: Puzzle) -> list[int]:
    """Those that are not where, or not as, they were."""
    stickers = {index: puzzle.pieces[index].stickers for index in sorted(pieces)}
    return [index for index, slots in stickers.items() if any(before[s] != after[s] for s in slots)]


def names_told(pieces: Iterable[int], puzzle: Puzzle) -> str:
    """Pieces in words; one that is called as its whole layer is says that it is a centre."""
    found = [puzzle.pieces[index].name for index in sorted(pieces)]
    return listed([f"the centre {name}" if name in puzzle.axes else name for name in found])


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
    most = max(found.searched, 0)
    short = f" with up to {found.longest} turns" if found.longest is not None else ""
    if found.shortest is not None:
        parts.append(f"none{short} has fewer")
        parts += [] if found.ended == SHORTEST else [f"looked at up to {_steps(most)}"]
    elif found.ended == NEVER:
        parts.append("no clean steps of these turns do this, however many")
    elif most:
        parts.append(
            f"no {most} clean steps or fewer{short} do this"
            if most > 1
            else f"no clean step{short} does this"
        )
    if found.longer:
        parts.append(f"{found.longer:,} {'way has' if found.longer == 1 else 'ways have'} more turns")
        parts += (
            ["ways of more steps were not looked at"] if found.ended == SHORTEST and not found.total else []
        )
    if found.shortest is not None and found.others:
        parts.append(f"{found.others:,} more differ only by a symmetry or by more that is set aside")
    after, some = _steps(most + 1), f", {found.partly:,} found so far" if found.partly else ""
    end = {
        OUT_OF_MEMORY: f"ways of {after} were not looked at: it takes more memory than is allowed",
        OUT_OF_TIME: f"ways of {after} were not looked at to the end: the time is over{some}",
        "": f"stopped while looking at ways of {after}{some}",
    }
    if found.ended in end:
        parts.append(end[found.ended])
    if found.total > shown:
        parts.append("one of them is shown" if shown == 1 else f"the first {shown} are shown")
    asides = "1 turn" if found.aside == 1 else f"up to {found.aside} turns"
    return f"Asides of {asides}: {'; '.join(parts)}."


def _steps(number: int) -> str:
    return "1 step" if number == 1 else f"{number} steps"
