"""What can be done in a stage that uses named sequences: each with a lead-in, turns of a layer, and a hold.

Of all that do the same the easiest are kept, and only what leaves the earlier goals reached. Knows nothing of
cases.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, reduce
from itertools import product
from operator import itemgetter

from sitegen.effects.effect import held_by
from sitegen.methods.goals import State, state_of
from sitegen.moves.notation import write_all
from sitegen.moves.shorthand import ByLetter, InShorthand, Row, Shorthand, shorthand_of
from sitegen.moves.simplify import simplify
from sitegen.moves.turning import held, inverse_turns, permutation_of
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.permutation import Permutation
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.search.ease import ease_of_row
from sitegen.search.turns import Turns, Word

Costs = tuple[int, ...]


MOST_LEAD_IN = 4
"""A lead-in has no more turns than this."""


@dataclass(frozen=True, eq=False)
class Application(InShorthand):
    """Something done in one go: how it is written, its turns with nothing left to cancel, what they do."""

    text: str
    permutation: Permutation
    back: Permutation
    """What undoes it."""


def application(text: str, row: Row, done: Permutation, puzzle: Puzzle) -> Application:
    """A row of turns as one application, with what follows from it; `done` is its permutation."""
    return Application(puzzle, row, shorthand_of(puzzle).length(row), text, done, perm.inverse(done))


@dataclass(frozen=True, eq=False)
class Tool:
    """A named sequence: how it is written, and its turns, at the end of which the centres are home."""

    text: str
    turns: tuple[Turn, ...]

    @property
    def undone(self) -> bool:
        """Whether it is the sequence undone: `@name'`, and what brings the centres home."""
        return self.text.split()[0].endswith("'")


@dataclass(frozen=True, eq=False)
class Core:
    """A sequence with a lead-in, `[LEAD-IN: SEQUENCE]`, as it stands between turns of a layer."""

    lead: tuple[Turn, ...]
    tool: Tool
    row: Row
    """The turns in shorthand, with nothing left to cancel."""
    permutation: Permutation


def core(lead: tuple[Turn, ...], tool: Tool, puzzle: Puzzle) -> Core:
    """A sequence with a lead-in, and what they come to."""
    turns = simplify((*lead, *tool.turns, *inverse_turns(lead)), puzzle)
    return Core(lead, tool, shorthand_of(puzzle).row(turns), permutation_of(turns, puzzle))


@dataclass(frozen=True, eq=False)
class Toolbox:
    """Named sequences, and how each may be applied: `[HOLD: LAYER [LEAD-IN: SEQUENCE] LAYER]`."""

    puzzle: Puzzle
    tools: tuple[Tool, ...]
    lead_in: Turns
    longest: int
    """A lead-in has at most so many turns."""
    layer: Turn | None
    """The layer that is turned freely before and after."""
    hold: tuple[Turn, ...]
    """Turns of the whole puzzle; each hold is made of them."""

    @property
    def combinations(self) -> int:
        """How many there are to go through, at most."""
        words: int = sum(len(self.lead_in.listed) ** n for n in range(self.longest + 1))
        return len(self.tools) * words * len(self._layer_turns) ** 2 * len(self.holds)

    def applications(self, before: State, matters: Sequence[int], alike: int) -> list[Application]:
        """Those that leave earlier goals reached, the shortest first.

        So many of those that do the same to the slots that matter, the easiest, one for each way to begin
        and to end: what begins or ends otherwise may cancel against its neighbours.
        """
        by_effect: dict[tuple[int, ...], dict[tuple[Row, Row], tuple[Costs, Application]]] = {}
        for made in self._made(before):
            same = by_effect.setdefault(tuple(map(made.permutation.__getitem__, matters)), {})
            ends, costs = (
                (made.row[:1], made.row[-1:]),
                (made.length, *ease_of_row(made.row, self._shorthand)),
            )
            if ends not in same or costs < same[ends][0]:
                same[ends] = (costs, made)
        by_effect.pop(tuple(matters), None)
        # What a lead-in has made longer can be saved again where its turns cancel at both ends.
        longer = 2 * self.longest + 2
        kept = [found for same in by_effect.values() for found in _worth(same.values(), alike, longer)]
        return [made for _, made in sorted(kept, key=itemgetter(0))]

    def _made(self, before: State) -> Iterator[Application]:
        """Every combination that leaves the earlier goals reached.

        Where turns of the layer do so alone, they are steps of their own, and not combined.
        """
        puzzle = self.puzzle
        free = {each.permutation for each in self.free(before)}
        yield from () if free else self._alone(before)
        for whole in self.holds:
            alone = [self._held_turn(turns, whole).permutation for turns in self._layer_turns[1:]]
            layers = [()] if free.issuperset(alone) else self._layer_turns
            seen = perm.compose(perm.inverse(whole), before)
            wanted: dict[State, list[int]] = {}
            for number, turns in enumerate(layers):
                undone = permutation_of(inverse_turns(turns), puzzle)
                wanted.setdefault(perm.compose(undone, seen), []).append(number)
            # What is turned before a core and after it is done to the goals: so a core is tried in one go.
            fits: dict[tuple[int, int], list[Core]] = {}
            for after, turns in enumerate(layers):
                there = perm.compose(permutation_of(turns, puzzle), seen)
                for core in self._cores:
                    for number in wanted.get(perm.compose(core.permutation, there), ()):
                        fits.setdefault((number, after), []).append(core)
            for (number, after), cores in sorted(fits.items(), key=itemgetter(0)):
                for core in cores:
                    yield self._application(whole, layers[number], core, layers[after])

    def _application(
        self, whole: Permutation, first: tuple[Turn, ...], core: Core, last: tuple[Turn, ...]
    ) -> Application:
        """A combination, made once for all steps that use it."""
        key = whole, first, core, last
        if key not in self._applications:
            puzzle, back = self.puzzle, perm.inverse(whole)
            shorthand = self._shorthand
            row = reduce(shorthand.join, (shorthand.row(first), core.row, shorthand.row(last)))
            row = "".join(map(self._held[whole].__getitem__, row))
            text = self._written(self.holds[whole], first, core.lead, core.tool.text, last)
            ahead, behind = permutation_of(first, puzzle), permutation_of(last, puzzle)
            done = reduce(perm.compose, (whole, ahead, core.permutation, behind, back))
            self._applications[key] = application(text, row, done, puzzle)
        return self._applications[key]

    @cached_property
    def _shorthand(self) -> Shorthand:
        return shorthand_of(self.puzzle)

    @cached_property
    def _held(self) -> Mapping[Permutation, ByLetter[str]]:
        """For each hold what the letter of a turn becomes."""

        def as_held(whole: Permutation) -> ByLetter[str]:
            return self._shorthand.by_letter(lambda t: self._shorthand.row(held((t,), self.puzzle, whole)))

        return {whole: as_held(whole) for whole in self.holds}

    @cached_property
    def _applications(self) -> dict[Hashable, Application]:
        """Those made so far."""
        return {}

    def free(self, before: State) -> list[Application]:
        """Turns of the layer alone, where these leave the earlier goals reached and make a group.

        They do not where the puzzle is held so that the layer becomes another one.
        """
        alone = self._alone(before)
        group = {self.puzzle.identity, *(each.permutation for each in alone)}
        closed = all(perm.compose(a, b) in group for a in group for b in group)
        return alone if closed else []

    def _alone(self, before: State) -> list[Application]:
        turned = [self._held_turn(*each) for each in product(self._layer_turns[1:], self.holds)]
        kept = [each for each in turned if state_of(each.permutation, before) == before]
        return list({each.permutation: each for each in reversed(kept)}.values())[::-1]

    def _held_turn(self, turns: tuple[Turn, ...], whole: Permutation) -> Application:
        """A turn of the layer, the puzzle being held so."""
        turned = held(turns, self.puzzle, whole)
        done = permutation_of(turned, self.puzzle)
        return application(write_all(turned, self.puzzle), self._shorthand.row(turned), done, self.puzzle)

    @cached_property
    def _cores(self) -> tuple[Core, ...]:
        """Each lead-in with each sequence."""
        led_in = product(map(self.lead_in.spelled, self._words()), self.tools)
        return tuple(core(lead, tool, self.puzzle) for lead, tool in led_in)

    def _words(self) -> list[Word]:
        """Every lead-in once, the shortest first."""
        found: list[Word] = [()]
        fresh: list[Word] = [()]
        for _ in range(self.longest):
            fresh = [
                (*word, turn) for word in fresh for turn in self.lead_in.following[word[-1] if word else -1]
            ]
            found += fresh
        return found

    @property
    def _layer_turns(self) -> list[tuple[Turn, ...]]:
        """No turn, and each turn of the layer."""
        turns = [self.layer.by(a) for a in self.puzzle.amounts] if self.layer else []
        return [(), *((turn,) for turn in turns)]

    @cached_property
    def holds(self) -> Mapping[Permutation, tuple[Turn, ...]]:
        """The ways in which the puzzle may be held, and how each is written."""
        return held_by(self.hold, self.puzzle)

    def _written(
        self,
        hold: tuple[Turn, ...],
        first: tuple[Turn, ...],
        lead: tuple[Turn, ...],
        tool: str,
        last: tuple[Turn, ...],
    ) -> str:
        """`[y: U2 [R: @name] U]`, or less."""
        if hold and not (first or last):
            return f"[{write_all((*hold, *lead), self.puzzle)}: {tool}]"
        inner = f"[{write_all(lead, self.puzzle)}: {tool}]" if lead else tool
        parts = [write_all(first, self.puzzle), inner, write_all(last, self.puzzle)]
        line = " ".join(filter(None, parts))
        return f"[{write_all(hold, self.puzzle)}: {line}]" if hold else line


def _worth(
    same: Iterable[tuple[Costs, Application]], number: int, longer: int
) -> list[tuple[Costs, Application]]:
    """The easiest of applications that do the same: at most `number`, at most `longer` than the shortest."""
    ordered = sorted(same, key=itemgetter(0))
    most = ordered[0][1].length + longer
    return [found for found in ordered if found[1].length <= most][:number]
