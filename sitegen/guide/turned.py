"""What of a guide was found true by turning, in numbers: the one count that its pages and commands tell."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from sitegen.effects.words import listed
from sitegen.guide.guide import Guide


@dataclass(frozen=True)
class Turned:
    """How many things of each sort were found true."""

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
    """The count of a whole guide."""
    checked = guide.checked
    return Turned(
        claims=sum(each.claims_held for each in checked) + sum(each.claims for each in guide.stated.values()),
        sequences=len(guide.sequences),
        positions=sum(each.positions_solved for each in checked),
        cases=sum(each.cases_solved for each in checked),
    )
