"""Small figures that inline code asks for: of moves, or of a sequence or a position that has a name.

Knows what is drawn of a block; which code asks for it, and where it may, is for others.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from markupsafe import Markup

from sitegen.blocks import keys
from sitegen.blocks.block import Head
from sitegen.blocks.moves.moves_block import MovesBlock, check
from sitegen.blocks.moves.sequence import Sequence
from sitegen.blocks.moves.sequence_figures import after_alone, before_alone, says_nothing
from sitegen.blocks.position_block import Position, of_position
from sitegen.blocks.scope import Scope
from sitegen.figures.of_position import Palette
from sitegen.moves.references import resolve_one
from sitegen.moves.tree import Node
from sitegen.problems import Findings, Passage
from sitegen.puzzles import permutation as perm

CASE, BEFORE, AFTER = "case", "before", "after"
FIGURES = (CASE, BEFORE, AFTER)
"""What may be drawn of moves: the position that they solve, that before them, and that after."""


@dataclass(frozen=True, eq=False)
class CellFigure:
    """What is drawn, and which of its figures."""

    of: Sequence | Position
    which: str

    @property
    def says_nothing(self) -> bool:
        """Whether it is a solved puzzle without arrows, whatever the moves do."""
        return self.which == BEFORE and isinstance(self.of, Sequence) and says_nothing(self.of)

    def drawn(self, colours: Palette) -> Markup:
        """The figure as `<svg>`, in the first of its views."""
        if isinstance(self.of, Position):
            return of_position(self.of, colours)[0][1]
        return (after_alone if self.which == AFTER else before_alone)(self.of, colours)


def of_moves(moves: Passage, tree: Node, head: Head, which: str, scope: Scope) -> CellFigure:
    """A figure of moves as a block of these would show it on its page. Raises Problem or Problems."""
    findings = Findings()
    block = MovesBlock(
        head=head,
        fields={},
        written=moves,
        tree=resolve_one(tree, scope.trees),
        ends=which == CASE,
        claims=(),
        shown=keys.shown({}, head, findings, view=""),
    )
    findings.settle()
    return CellFigure(check(block, scope, findings), which)


def of_sequence(sequence: Sequence, which: str) -> CellFigure:
    """A figure of a sequence as its block draws it; for its case it ends solved."""
    if which == CASE:
        sequence = replace(sequence, before=perm.inverse(sequence.effect.permutation))
    return CellFigure(sequence, which)
