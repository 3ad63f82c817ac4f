"""What of a guide was found true by turning, in numbers: the one count that its pages and commands tell."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from sitegen.blocks.derivation.derivation import Derivation
from sitegen.blocks.find.ways import Ways
from sitegen.blocks.method.method import Method, WorkedExample
from sitegen.blocks.moves.sequence import Sequence
from sitegen.blocks.position.position import Position
from sitegen.blocks.practice.practice import Practice
from sitegen.effects.words import listed
from sitegen.guide.guide import Block, Guide


@dataclass(frozen=True)
class Turned:
    claims: int
    """In blocks and in prose."""
    sequences: int
    """Those with a name."""
    positions: int
    """Those whose solution was turned: in blocks, exercises, worked examples and trials."""
    cases: int
    """Those of methods for which a solution was found."""

    def __str__(self) -> str:
        """As in `3 claims, 1 sequence and 2 positions`; empty where there is nothing."""
        return listed(
            [f"{n:,} {name.removesuffix('s') if n == 1 else name}" for name, n in asdict(self).items() if n]
        )


def turned(guide: Guide) -> Turned:
    blocks = [block for page in guide.pages for block in guide.blocks[page.name]]
    return Turned(
        claims=sum(map(_claims, blocks)) + sum(stated.claims for stated in guide.stated.values()),
        sequences=len(guide.sequences),
        positions=sum(map(_positions, blocks)),
        cases=sum(method.covered for method in guide.methods.values()),
    )


def _claims(block: Block) -> int:
    match block.checked:
        case Sequence(claims=claims) | Ways(claims=claims) | Derivation(sequence=Sequence(claims=claims)):
            return len(claims)
    return 0


def _positions(block: Block) -> int:
    match block.checked:
        case Position(solve=solve):
            return bool(solve) and not block.findings.problems
        case WorkedExample(stuck=stuck):
            return not stuck
        case Practice():
            return len(block.checked.exercises())
        case Method():
            return block.checked.trial.solved
    return 0
