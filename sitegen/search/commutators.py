"""What comes of a sequence A, a turn T, and both undone: [A, T] = A T A' T'."""

from __future__ import annotations

from dataclasses import dataclass
from functools import reduce

from sitegen.effects.effect import Effect
from sitegen.moves.notation import write
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.puzzle import Turn


@dataclass(frozen=True)
class LayerCommutator:
    """`turn` is T as it is written."""

    turn: str
    moves: str
    effect: Effect


def commutators(moves: str, effect: Effect, layer: Turn) -> tuple[LayerCommutator, ...]:
    """One for each way to turn a layer. `moves` are those of A, which have the effect."""
    turns = [layer.by(amount) for amount in effect.puzzle.amounts]
    return tuple(_commutator(moves, effect, turn) for turn in turns)


def _commutator(moves: str, effect: Effect, turn: Turn) -> LayerCommutator:
    puzzle, text = effect.puzzle, write(turn, effect.puzzle)
    a, t = effect.permutation, puzzle.permutation(turn)
    done = reduce(perm.compose, [a, t, perm.inverse(a), perm.inverse(t)])
    return LayerCommutator(text, f"[{moves}, {text}]", Effect(puzzle, done, effect.marked))
