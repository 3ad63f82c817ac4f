"""What the tests of methods share: stages from texts, goals by a rule of their own, states by turning."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from turned_text import does

from sitegen.effects.laws import laws_of
from sitegen.effects.piece_sets import parse_pieces
from sitegen.methods.cases import Cases
from sitegen.methods.goals import Goal, State, labels, parse_goal
from sitegen.methods.plan import AnyTurns, Means, Plan, Stage
from sitegen.methods.tools import Tool, Toolbox
from sitegen.moves.parse import parse
from sitegen.moves.turning import expand
from sitegen.problems import written
from sitegen.puzzles.permutation import Permutation, compose, inverse
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.search.turns import Allowed, turns

# Stages, as a guide would lay them out ---------------------------------------------------------------------


def goals(puzzle: Puzzle, text: str) -> tuple[Goal, ...]:
    """Goals with semicolons between them; an empty text for none."""
    return tuple(parse_goal(written(each), puzzle) for each in text.split(";") if each.strip())


def turns_of(moves: str, puzzle: Puzzle) -> tuple[Turn, ...]:
    return expand(parse(written(moves), puzzle))


def any_turns(puzzle: Puzzle, longest: int, faces: Sequence[str] = "", hold: str = "") -> AnyTurns:
    """Turns of the faces named, or of all, up to so many."""
    return AnyTurns(turns(puzzle, Allowed(tuple(faces)), "obtm"), longest, turns_of(hold, puzzle))


def toolbox(
    puzzle: Puzzle,
    *tools: str,
    layer: str = "",
    hold: str = "",
    lead_in: Sequence[str] = "",
    longest: int = 0,
) -> Toolbox:
    """Sequences written out as tools, so that what is written of an application can be turned."""
    allowed = turns(puzzle, Allowed(tuple(lead_in)), "obtm")
    turned = turns_of(layer, puzzle)[0] if layer else None
    named = tuple(Tool(text, turns_of(text, puzzle)) for text in tools)
    return Toolbox(puzzle, named, allowed, longest, turned, turns_of(hold, puzzle))


def stage(puzzle: Puzzle, text: str, means: Means, one_by_one: str = "") -> Stage:
    """`one_by_one` are names of places with commas between them."""
    names = [name.strip() for name in one_by_one.split(",") if name.strip()]
    pieces = tuple((name, parse_pieces(written(name), puzzle)) for name in names)
    return Stage(text, goals(puzzle, text), pieces, means)


def plan(puzzle: Puzzle, *stages: Stage) -> Plan:
    return Plan(puzzle, stages)


def cases(puzzle: Puzzle, before: str, wanted: str) -> Cases:
    """The cases of a step by the texts of its goals."""
    earlier = goals(puzzle, before)
    reached = labels(puzzle, (*earlier, *goals(puzzle, wanted)))
    return Cases(laws_of(puzzle, False), labels(puzzle, earlier), reached)


# Goals, by what they say of each piece ---------------------------------------------------------------------


def is_reached(goal: Goal, position: Permutation, puzzle: Puzzle) -> bool:
    """Piece by piece: its colours home, it placed whichever way round, or its sticker where such belongs."""
    pieces = [puzzle.pieces[index].stickers for index in goal.pieces]
    if goal.state == "home":
        back, face = inverse(position), [sticker.face for sticker in puzzle.stickers]
        return all(face[back[slot]] == face[slot] for stickers in pieces for slot in stickers)
    if goal.state == "placed":
        return all({position[slot] for slot in stickers} == set(stickers) for stickers in pieces)
    told = [_told_by(stickers, goal.by, puzzle) for stickers in pieces]
    return all(position[slot] in told for slot in told)


def _told_by(stickers: Iterable[int], by: Sequence[str], puzzle: Puzzle) -> int:
    """The sticker of the first of the faces that the piece has."""
    named = [face for face in by if face in [puzzle.stickers[slot].face for slot in stickers]]
    return next(slot for slot in stickers if puzzle.stickers[slot].face == named[0])


def are_reached(wanted: Iterable[Goal], position: Permutation, puzzle: Puzzle) -> bool:
    return all(is_reached(goal, position, puzzle) for goal in wanted)


# Every state, by turning -----------------------------------------------------------------------------------


def single_turns(puzzle: Puzzle) -> list[Permutation]:
    """Each layer turned once, as far as that keeps the middles of the faces."""
    all_turns = [puzzle.permutation(turn) for turn in puzzle.turns()]
    return [turn for turn in all_turns if all(turn[slot] == slot for slot in puzzle.fixed_centres)]


def all_states(puzzle: Puzzle, reached: State) -> dict[State, Permutation]:
    """Every state that turning leads to, each with a position that is in it."""
    found = {reached: puzzle.identity}
    tables = [(inverse(turn), turn) for turn in single_turns(puzzle)]
    waiting = [reached]
    for state in waiting:
        for back, turn in tables:
            there = compose(back, state)
            if there not in found:
                found[there] = compose(found[state], turn)
                waiting.append(there)
    return found


def distances(goal: State, tables: Sequence[Permutation]) -> dict[State, int]:
    """How many turns each state is from the goal, every turn being one that another undoes."""
    found = {goal: 0}
    waiting = [goal]
    for state in waiting:
        for table in tables:
            there = compose(table, state)
            if there not in found:
                found[there] = found[state] + 1
                waiting.append(there)
    return found


def in_every_amount(puzzle: Puzzle, faces: str) -> Iterator[tuple[str, Permutation]]:
    """The turns of the faces of a cube, with their names."""
    for face in faces:
        for amount in ("", "2", "'"):
            yield face + amount, does(face + amount, puzzle)
