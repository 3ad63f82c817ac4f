"""cube-2 with one corner held: every position is found at its distance, and no mark says too much.

Distances are worked out here, breadth first from both ends; how many positions there are at each is held
against the published counts in `tests/puzzles/test_published_distances.py`, and for the near ones here.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from random import Random

import numpy as np
import pytest
from published_distances import HALF_TURN_1, HALF_TURN_2, all_turns, quarter_turns
from searching import ask, search
from turned_text import does

from sitegen.progress import quiet
from sitegen.puzzles.permutation import Permutation, compose
from sitegen.puzzles.puzzle import Puzzle
from sitegen.search import distances as room
from sitegen.search.distances import Distances
from sitegen.search.points import points
from sitegen.search.positions import position_row

FACES = "URF"
FARTHEST = {
    "obtm": "U F2 U' F' R F2 U' R' U F' R",
    "qtm": "U F U' F' U' F R' U' R' U R' F R U'",
}
"""Of the 2644 and the 276 positions that are farthest, one each: hardly ever met at random."""


class Near:
    """All positions up to half of the greatest distance, from which all other distances follow."""

    def __init__(self, puzzle: Puzzle, metric: str) -> None:
        self.puzzle = puzzle
        self.turns = {"obtm": all_turns, "qtm": quarter_turns}[metric](puzzle, FACES)
        self.published = {"obtm": HALF_TURN_1, "qtm": HALF_TURN_2}[metric]  # OEIS A079761, OEIS A079762

    @property
    def half(self) -> int:
        return len(self.published) // 2

    @cached_property
    def levels(self) -> list[set[Permutation]]:
        return list(self._levels(self.puzzle.identity, self.half))

    def _levels(self, start: Permutation, depth: int) -> Iterator[set[Permutation]]:
        before: set[Permutation] = set()
        now = {start}
        for _ in range(depth + 1):
            yield now
            reached = {compose(p, turn) for p in now for turn in self.turns}
            before, now = now, reached - now - before

    @cached_property
    def known(self) -> dict[Permutation, int]:
        return {p: distance for distance, level in enumerate(self.levels) for p in level}

    def distance(self, position: Permutation) -> int:
        """The turns from a position to the first known ones, which lie at the rim of what is known."""
        for steps, level in enumerate(self._levels(position, len(self.published))):
            met = [self.known[p] for p in level if p in self.known]
            if met:
                return steps + min(met)
        raise AssertionError("a position from which the start is not reached")

    def ways(self, position: Permutation) -> int:
        """How many shortest words lead to a known position, each turn of a face being one."""
        distance = self.known[position]
        if distance == 0:
            return 1
        before = {compose(position, turn) for turn in self.turns}
        return sum(self.ways(p) for p in before if self.known.get(p) == distance - 1)


@pytest.fixture(scope="module")
def near(cube2: Puzzle) -> dict[str, Near]:
    return {metric: Near(cube2, metric) for metric in FARTHEST}


METRIC = pytest.mark.parametrize("metric", list(FARTHEST))


@METRIC
def test_there_are_as_many_near_positions_as_are_published(metric: str, near: dict[str, Near]) -> None:
    table = near[metric]
    assert list(map(len, table.levels)) == table.published[: table.half + 1]


def drawn(table: Near, metric: str, each: int) -> dict[int, list[str]]:
    """Words whose positions are at every distance, mostly at random."""
    random, farthest = Random(8), len(table.published) - 1
    found: dict[int, list[str]] = {n: [] for n in range(farthest)}
    while any(len(words) < min(each, table.published[n]) for n, words in found.items()):
        short = next(n for n, words in found.items() if len(words) < min(each, table.published[n]))
        word = " ".join(
            random.choice(FACES) + random.choice(("", "2", "'"))
            for _ in range(short if short < farthest - 2 else 25)
        )
        at = table.distance(does(word, table.puzzle))
        if len(found.get(at, [])) < each and at < farthest and word not in found[at]:
            found[at].append(word)
    return {**found, farthest: [FARTHEST[metric]]}


@METRIC
def test_positions_at_every_distance_are_found_at_it(metric: str, near: dict[str, Near]) -> None:
    table = near[metric]
    words = drawn(table, metric, 3)
    assert table.distance(does(FARTHEST[metric], table.puzzle)) == len(table.published) - 1
    for distance, moves in words.items():
        for each in moves:
            asked = ask("same as @x", table.puzzle, FACES, metric=metric, others={"x": each})
            assert search(asked).shortest == distance


@METRIC
def test_positions_told_piece_by_piece_are_found_at_their_distance(
    metric: str, near: dict[str, Near]
) -> None:
    table = near[metric]
    for distance, moves in drawn(table, metric, 1).items():
        told = "; ".join(in_claims(does(moves[0], table.puzzle), table.puzzle))
        assert search(ask(told, table.puzzle, FACES, metric=metric)).shortest == distance


def in_claims(position: Permutation, puzzle: Puzzle) -> Iterator[str]:
    """Every piece told of, by where the sticker goes that names it, round and back to its piece."""
    seen: set[int] = set()
    for piece in puzzle.pieces:
        path = [piece.stickers[0], position[piece.stickers[0]]]
        while path[-1] not in piece.stickers:
            path.append(position[path[-1]])
        if piece.index in seen:
            continue
        seen.update(puzzle.stickers[slot].piece for slot in path)
        names = [puzzle.stickers[slot].name for slot in path]
        if len(path) > 2:
            yield f"cycles {' > '.join(names)}"
        elif path[0] == path[1]:
            yield f"keeps {names[0]}"
        else:
            # Stickers follow one another clockwise.
            turned = "clockwise" if piece.stickers.index(path[1]) == 1 else "anticlockwise"
            yield f"twists {names[0]} {turned}"


def test_each_near_position_is_found_by_all_its_shortest_words(near: dict[str, Near], cube2: Puzzle) -> None:
    """1 + 9 + 54 + 321 positions, OEIS A079761; the words to each are counted from neighbour to neighbour."""
    table = near["obtm"]
    turns = {face + amount: does(face + amount, cube2) for face in FACES for amount in ("", "2", "'")}
    words = {cube2.identity: ""}
    for distance in range(4):
        for position, word in list(words.items()):
            asked = ask("same as @x", cube2, FACES, others={"x": word})
            found = search(asked, 3)
            assert found.shortest == table.known[position]
            assert found.counts[found.shortest] == table.ways(position)
        if distance < 3:
            ends = {compose(p, turn): f"{w} {t}" for p, w in words.items() for t, turn in turns.items()}
            words = {p: word for p, word in ends.items() if table.known[p] == distance + 1}
            assert len(words) == HALF_TURN_1[distance + 1]


# Marks ----------------------------------------------------------------------------------------------------


@METRIC
@pytest.mark.parametrize("memory", [10**9, 2 * 10**6, 4 * 10**5])
@pytest.mark.parametrize("crowded", [False, True])
def test_marks_never_say_more_than_the_distance(
    metric: str, memory: int, crowded: bool, near: dict[str, Near], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also where many positions share a place of the table."""
    if crowded:
        monkeypatch.setattr(room, "LEAST_ROOM", 64)
        monkeypatch.setattr(room, "ROOM", 1)
    table = near[metric]
    asked = ask("keeps all", table.puzzle, FACES, metric=metric)
    turned = asked.turns.permutations
    shown = points(table.puzzle, asked.asked, list(turned))
    steps = [(shown.table(p), count) for p, count in zip(turned, asked.turns.lengths, strict=True)]
    found = Distances(shown.goal, steps, memory)
    found.reach(5, quiet)
    assert found.depth == 5 or found.closed
    exact = 0
    for distance in range(found.depth + 1):
        for position in table.levels[distance]:
            taken_to = shown.table(position)
            seen = position_row(bytes(taken_to[point] for point in shown.start))
            near = [left for left in (distance - 1, distance) if len(found.within(seen, np.array([left])))]
            assert distance in near
            exact += near == [distance]
    assert crowded or exact > 0.9 * sum(map(len, table.levels[: found.depth + 1]))


@pytest.mark.parametrize("claims", ["same as @x", "keeps D; cycles UFR > UBR > UFL", "keeps U"])
def test_a_crowded_table_changes_nothing_in_what_is_found(
    claims: str, cube2: Puzzle, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = ask(claims, cube2, FACES, others={"x": FARTHEST["obtm"]})
    roomy = search(asked, 9)
    monkeypatch.setattr(room, "LEAST_ROOM", 64)
    monkeypatch.setattr(room, "ROOM", 1)
    crowded = search(asked, 9)
    assert crowded.counts == roomy.counts
    assert [a.moves for a in crowded.answers] == [a.moves for a in roomy.answers]
