"""What the tests of finding share: asking in text, and every word there is, made by rules of their own.

A word is written here as its runs: turns about one line that stand together commute, so a run is the set of
them, whatever their order. Nothing of how a search numbers, orders or counts turns is used.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, cached_property, reduce
from itertools import combinations, groupby

from turned_text import does

from sitegen.effects.claims import Subject, parse_claims
from sitegen.effects.effect import Effect
from sitegen.moves.metrics import Length, length
from sitegen.moves.parse import parse
from sitegen.problems import Findings, written
from sitegen.puzzles.permutation import Permutation, compose
from sitegen.puzzles.puzzle import Puzzle
from sitegen.search.find import Found, find
from sitegen.search.query import Query, query
from sitegen.search.turns import Allowed, turns

Run = frozenset[str]
Word = tuple[Run, ...]
ALL = 10**6
"""So many answers are kept that none is lost."""


def ask(
    claims: str,
    puzzle: Puzzle,
    faces: str = "",
    *,
    slices: bool = False,
    wide: bool = False,
    metric: str = "obtm",
    others: Mapping[str, str] | None = None,
    marked: bool = False,
) -> Query:
    """The query for claims with semicolons between them; `faces` is one letter each. Raises Problem."""
    passage, findings = written(claims, "claims"), Findings()
    read = parse_claims([passage], puzzle, findings)
    findings.settle()
    known = {name: does(moves, puzzle) for name, moves in (others or {}).items()}
    allowed = turns(puzzle, Allowed(tuple(faces), slices, wide), metric)
    return query(read, allowed, known, passage, marked)


def search(asked: Query, longest: int | None = None, memory: int = 10**9, most: int = ALL) -> Found:
    found = Found(most)
    find(asked, found, longest, memory)
    return found


def moves_of(found: Found) -> list[str]:
    return [answer.moves for answer in found.answers]


# Words, by rules of their own -----------------------------------------------------------------------------


@dataclass(frozen=True)
class Kit:
    """The turns that words are made of: for each line the layers turned about it, how far, at what cost."""

    puzzle: Puzzle
    lines: tuple[tuple[str, ...], ...]
    """For each line the names of what is turned about it, as `R`, `L`, `M`, `Rw`."""
    amounts: tuple[str, ...]
    cost: Callable[[str, str], int]
    """How much a turn counts, by its name and its amount."""

    def runs(self, longest: int) -> list[list[tuple[Run, Permutation, int]]]:
        """For each line every set of turns about it, each layer at most once; what counts least first."""
        return [sorted(self._runs(names, longest), key=lambda run: run[2]) for names in self.lines]

    def _runs(self, names: tuple[str, ...], longest: int) -> Iterator[tuple[Run, Permutation, int]]:
        turns = [(name + amount, self.cost(name, amount)) for name in names for amount in self.amounts]
        for size in range(1, min(longest, len(names)) + 1):
            for chosen in combinations(turns, size):
                run, cost = frozenset(text for text, _ in chosen), sum(cost for _, cost in chosen)
                if cost <= longest and len({text.rstrip("'2") for text in run}) == size:
                    yield run, does(" ".join(run), self.puzzle), cost

    def words(self, longest: int) -> Iterator[tuple[Word, Permutation, int]]:
        """Every word up to a length, with what it does and how long it is."""
        lines = list(enumerate(self.runs(longest)))
        stack: list[tuple[Word, Permutation, int, int]] = [((), self.puzzle.identity, 0, -1)]
        while stack:
            word, done, count, last = stack.pop()
            yield word, done, count
            for line, runs in lines:
                if line == last:
                    continue
                for run, turned, cost in runs:
                    if count + cost > longest:
                        break
                    stack.append(((*word, run), compose(done, turned), count + cost, line))

    def word(self, moves: str) -> Word:
        """A sequence as its runs. A layer may have other names than here, as 2L of four layers is 3R'."""
        turns = [self._known(turn) for turn in moves.split()]
        runs = groupby(turns, key=lambda turn: self._line_of[turn.rstrip("'2")])
        return tuple(frozenset(run) for _, run in runs)

    def _known(self, turn: str) -> str:
        """A turn by the name that it has here."""
        return turn if turn.rstrip("'2") in self._line_of else self._by_effect[does(turn, self.puzzle)]

    @cached_property
    def _by_effect(self) -> dict[Permutation, str]:
        texts = [name + amount for name in self._line_of for amount in self.amounts]
        return {does(text, self.puzzle): text for text in texts}

    @cached_property
    def _line_of(self) -> dict[str, int]:
        return {name: line for line, names in enumerate(self.lines) for name in names}


def text_of(word: Word) -> str:
    return " ".join(turn for run in word for turn in sorted(run))


QUARTERS = ("", "2", "'")


def cube_kit(
    puzzle: Puzzle, metric: str = "obtm", faces: str = "UDFBLR", blocks: Mapping[str, str] | None = None
) -> Kit:
    """Face turns of a cube, and for each line U, F or R, where given, the other `blocks` about it."""
    faced = [[face for face in pair if face in faces] for pair in ("UD", "FB", "RL")]
    more = [(blocks or {}).get(line, "").split() for line in "UFR"]
    lines = tuple(tuple(faces + others) for faces, others in zip(faced, more, strict=True))
    return Kit(puzzle, lines, QUARTERS, lambda name, amount: cube_cost(name, amount, metric))


def cube_cost(name: str, amount: str, metric: str) -> int:
    """WCA 12a5 and 12a6, and common practice: an inner slice is two turns of outer blocks, a half turn two
    quarter turns; where turns of any block are counted, and turns as carried out, each is one."""
    inner = name in "MES" or (name[0].isdigit() and not name.endswith("w"))
    if metric in ("stm", "etm"):
        return 1
    return (2 if inner else 1) * (2 if metric == "qtm" and amount == "2" else 1)


def solid_kit(puzzle: Puzzle) -> Kit:
    """The outermost layer of every axis of another solid; opposite axes are on one line."""
    lines: dict[str, list[str]] = {}
    for name, towards in puzzle.axes.items():
        away = [
            other
            for other, axis in puzzle.axes.items()
            if sum(a * b for a, b in zip(towards, axis, strict=True)) < -0.999
        ]
        lines.setdefault(min(name, *away, name), []).append(name)
    amounts = {3: ("", "'"), 4: QUARTERS, 5: ("", "2", "2'", "'")}[puzzle.full_turn]
    return Kit(puzzle, tuple(map(tuple, lines.values())), amounts, lambda name, amount: 1)


# What is found, and what there is -------------------------------------------------------------------------


ByLength = dict[int, set[Word]]


def listed_by_length(found: Found, kit: Kit, metric: str = "obtm") -> ByLength:
    """The answers as runs. No word may be told twice, and as many must be there as were counted."""
    by_length: dict[int, list[Word]] = {length: [] for length in found.counts}
    for answer in found.answers:
        by_length[getattr(answer.length, metric)].append(kit.word(answer.moves))
    assert {length: len(words) for length, words in by_length.items()} == found.counts
    twice = [word for words in by_length.values() for word, count in Counter(words).items() if count > 1]
    assert not twice
    return {length: set(words) for length, words in by_length.items()}


Done = tuple[Word, int, Effect, Length]
"""A word, how long it is in the metric, what it does, and how long it is in all metrics."""


def all_done(kit: Kit, longest: int) -> list[Done]:
    """Every word up to a length, turned."""
    counted = cache(lambda run: length(parse(written(" ".join(run)), kit.puzzle), kit.puzzle))
    return [
        (word, count, Effect(kit.puzzle, done), reduce(Length.plus, map(counted, word), Length()))
        for word, done, count in kit.words(longest)
    ]


def true_words(asked: Query, everything: Iterable[Done]) -> ByLength:
    """The words of which all claims hold, each held against them."""
    by_length: ByLength = {}
    for word, count, effect, counted in everything:
        case = Subject(effect, counted, asked.others)
        if not any(claim.fault(case) for _, claim in asked.claims):
            by_length.setdefault(count, set()).add(word)
    return by_length


Test = Callable[[Permutation], bool]


def goes(puzzle: Puzzle, pairs: str) -> Test:
    """Whether stickers go where `UF>UR FU>RU` says; one of each piece is enough."""
    told = [pair.split(">") for pair in pairs.split()]
    starts = bytes(puzzle.slots[start] for start, _ in told)
    ends = bytes(puzzle.slots[end] for _, end in told)
    return lambda p: starts.translate(p) == ends


def stays(puzzle: Puzzle, names: str) -> Test:
    return goes(puzzle, " ".join(f"{name}>{name}" for name in names.split()))


def comes_to(puzzle: Puzzle, pairs: str) -> Test:
    """Whether pieces of a cube come to places, lying in any way: a place is the letters of its name."""
    told = [pair.split(">") for pair in pairs.split()]
    letters = [frozenset(sticker.name) for sticker in puzzle.stickers]
    wanted = [(puzzle.slots[start], frozenset(end)) for start, end in told]
    return lambda p: all(letters[p[slot]] == place for slot, place in wanted)


def all_of(*tests: Test) -> Test:
    return lambda p: all(test(p) for test in tests)


def sweep(words: Iterable[tuple[Word, Permutation, int]], tests: Mapping[str, Test]) -> dict[str, ByLength]:
    """For each test the words that pass it, by length: one pass over all words."""
    found: dict[str, ByLength] = {name: {} for name in tests}
    for word, done, count in words:
        for name, test in tests.items():
            if test(done):
                found[name].setdefault(count, set()).add(word)
    return found
