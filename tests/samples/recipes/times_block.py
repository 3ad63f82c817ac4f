"""The block `times`: moves, and how often they are done until every piece is home again."""

from __future__ import annotations

from dataclasses import dataclass

from sitegen.blocks import keys
from sitegen.blocks.block import CheckedBlock, Head, Turned, WrittenBlock, named_in
from sitegen.blocks.drawn import in_views
from sitegen.blocks.kind import Kind, PageRenderer, Values
from sitegen.blocks.scope import Scope
from sitegen.effects.effect import Effect
from sitegen.figures.of_position import picture
from sitegen.moves.parse import parse as parse_moves
from sitegen.moves.references import resolve_one
from sitegen.moves.tree import Node
from sitegen.moves.turning import permutation
from sitegen.pages.markdown import Fence
from sitegen.problems import Findings, Problem

TABLE = keys.Table(
    {"title": keys.TEXT, "moves": keys.MOVES, "times": keys.NUMBER, **keys.DRAWN, "say": keys.TEXT}
)
MOST = 1260


@dataclass(frozen=True, eq=False, kw_only=True)
class TimesBlock(WrittenBlock):
    tree: Node
    times: int


@dataclass(frozen=True, eq=False, kw_only=True)
class Times(CheckedBlock):
    ANCHOR = "times"
    LINK = "times"

    moves: str
    effect: Effect

    @property
    def turned(self) -> Turned:
        return Turned(claims=1)


def parse(fence: Fence, head: Head, findings: Findings) -> TimesBlock:
    """What was written; what cannot be read of it goes to the findings. Raises Problem or Problems."""
    fields = TABLE.read(fence)
    if missing := [key for key in ("moves", "times") if key not in fields]:
        raise Problem(f"the block lacks {missing[0]}", fence.info, f"write a line “{missing[0]}: …”")
    return TimesBlock(
        head=head,
        fields=fields,
        written=fields["times"].passage,
        tree=parse_moves(fields["moves"].said, head.puzzle),
        times=keys.value(fields, "times", lambda setting: setting.as_number(1, MOST), 1, findings),
        shown=keys.shown(fields, head, findings),
    )


def check(block: TimesBlock, scope: Scope, findings: Findings) -> Times:
    effect = Effect(scope.puzzle, permutation(resolve_one(block.tree, scope.trees), scope.puzzle))
    if effect.order != block.times:
        raise Problem(f"all is home after {effect.order} times", block.written, f"write {effect.order}")
    return Times(
        head=block.head,
        shown=block.shown,
        refers_to=named_in([block.tree]),
        moves=block.fields["moves"].as_text(),
        effect=effect,
    )


def show(times: Times, page: PageRenderer) -> Values:
    colours = page.colours(times.puzzle)
    once = picture(times.puzzle, times.effect.permutation, colours, times.title, "The moves done once.")
    return {"times": times, "figures": in_views(once, times.shown.views)}


KIND = Kind(Times, TABLE, parse, check, show)
