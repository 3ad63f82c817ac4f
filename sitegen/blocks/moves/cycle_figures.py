"""One small figure for each cycle of a sequence, where arrows for all of them at once would be a tangle.

Knows marks, cycles and the words for them; knows nothing of how a sequence is written.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from markupsafe import Markup

from sitegen.effects.effect import Effect
from sitegen.effects.words import flips_of, listed, twists_of, way_round
from sitegen.figures.best_view import best_view
from sitegen.figures.draw import draw
from sitegen.figures.layout import Layout
from sitegen.figures.marks import covered
from sitegen.figures.marks.routes import crossings, routes, shown_best
from sitegen.figures.picture import Arrow, Mark, Picture, arrows_of
from sitegen.figures.trace import MOST_MARKED, every_slot
from sitegen.figures.views import layout
from sitegen.puzzles.puzzle import Puzzle, Turn

MOST_ARROWS = 4
"""Of more arrows than this that would cross each cycle is shown by itself."""
MOST_FIGURES = 6
"""Of more cycles than this the first are drawn."""
MOST_PIECES = 12
"""Where more pieces than this move no cycle is drawn: a few of so many would say nothing."""
TOO_MANY = "{} pieces move, more than arrows can show."

Told = tuple[str, tuple[Mark, ...]]
"""Marks, and what they say in words."""


@dataclass(frozen=True)
class CycleFigure:
    """The position before, with the marks of one cycle alone, or of all that is turned in place."""

    words: str
    view: str
    figure: Markup


@dataclass(frozen=True)
class ByCycle:
    """Figures of cycles, and which cycles have none, as a sentence; both empty where one figure shows all."""

    figures: tuple[CycleFigure, ...] = ()
    left_out: str = ""
    many: bool = False
    """Whether more pieces move than any figure has marks for: a small card has no room for these."""


def cycle_figures(before: Picture, effect: Effect, views: tuple[str, ...]) -> ByCycle:
    """Those of a position with all marks of an effect, in one of the views, or in what shows better."""
    count = len(_places(before.marks))
    if count > MOST_MARKED:
        told = _told_apart(before.marks, effect) if count <= MOST_PIECES else []
        drawn = [each for each in told if _clear(before.puzzle, each[1], views)][:MOST_FIGURES]
        others = [mark for each in told if each not in drawn for mark in each[1]]
        if not drawn:
            return undrawn(count)
        figures = tuple(_figure(before, each, views) for each in drawn)
        return ByCycle(figures, _left_out(effect, others), many=True)
    told = _told_apart(before.marks, effect) if _tangled_in_any(before, views) else []
    return ByCycle(tuple(_figure(before, each, views) for each in told) if len(told) > 1 else ())


def undrawn(count: int) -> ByCycle:
    """Nothing is drawn of so many pieces."""
    return ByCycle(left_out=TOO_MANY.format(count), many=True)


def _clear(puzzle: Puzzle, marks: tuple[Mark, ...], views: tuple[str, ...]) -> bool:
    """Whether marks by themselves can be followed with the eye."""
    arrows = arrows_of(marks)
    if len(arrows) > MOST_MARKED:
        return False
    plan = layout(puzzle, best_view(puzzle, marks, views))
    return not crossings(plan, routes(plan, arrows))


def _left_out(effect: Effect, marks: Sequence[Mark]) -> str:
    """`7 edges and 4 corners move too, without a figure.`"""
    kinds = Counter(effect.puzzle.piece_at(slot).kind for slot in _places(marks))
    counted = [f"{count} {kind}s" for kind, count in kinds.items()]
    return f"{listed(counted)} move too, without a figure." if counted else ""


def _places(marks: Iterable[Mark]) -> list[int]:
    """Of each piece that marks tell of a slot in which it begins."""
    begun = [(mark, _slots(mark)) for mark in marks]
    swapped = [mark.ends[0] for mark, _ in begun if isinstance(mark, Arrow) and mark.swap]
    return [*(slots[0] for _, slots in begun), *swapped]


def _tangled_in_any(before: Picture, views: tuple[str, ...]) -> bool:
    plans = [layout(before.puzzle, view) for view in views or [best_view(before.puzzle, before.marks)]]
    return any(_tangled(plan, before.marks) for plan in plans)


def _tangled(plan: Layout, marks: tuple[Mark, ...]) -> bool:
    """Whether marks cross whatever is done, or arrows only go out of their ways to keep off many others."""
    arrows = arrows_of(marks)
    if len(arrows) > MOST_ARROWS and crossings(plan, shown_best(plan, arrows)):
        return True
    return bool(crossings(plan, routes(plan, arrows))) or covered(plan, marks)


def _figure(before: Picture, told: Told, views: tuple[str, ...]) -> CycleFigure:
    (words, marks), puzzle = told, before.puzzle
    places = {slot for mark in marks for slot in _slots(mark)}
    alone = replace(before, title="", description="", marks=marks, muted=every_slot(puzzle) - places)
    view = best_view(puzzle, marks, views)
    return CycleFigure(words[0].upper() + words[1:], view, Markup(draw(alone, view)))


def _told_apart(marks: tuple[Mark, ...], effect: Effect) -> list[Told]:
    """The marks of what is turned in place, and those of each cycle.

    None where the figure shows other cycles, as it may of pieces that look alike.
    """
    piece_at = effect.puzzle.piece_at
    begun = {piece_at(_slots(mark)[0]).index: mark for mark in marks}
    turned = [twist for twist in effect.turned if twist.piece.index in begun]
    flips = flips_of(twist.piece for twist in turned if len(twist.piece.stickers) == 2)
    twists = twists_of(twist for twist in turned if len(twist.piece.stickers) > 2)
    parts = [("; ".join(filter(None, (flips, twists))), {twist.piece.index for twist in turned})]
    parts += [(way_round(each, effect), {piece_at(s).index for s in each.slots}) for each in effect.cycles]
    told = [
        (words, tuple(begun[index] for index in sorted(places & begun.keys()))) for words, places in parts
    ]
    return [each for each in told if each[1]] if sum(len(some) for _, some in told) == len(marks) else []


def _slots(mark: Mark) -> tuple[int, ...]:
    """Those that the mark of a piece takes in; those in which it begins come first."""
    assert not isinstance(mark, Turn)  # that is the mark of a layer
    return (*mark.starts, *mark.ends) if isinstance(mark, Arrow) else mark.stickers
