"""What to do where exercises cannot be made: whatever is advised has been tried.

Knows practice and the other sequences of a guide; knows nothing of texts and places.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import islice

from sitegen.blocks.applying import read_hold, tool_of, two_holds
from sitegen.blocks.practice.practice import FILL_IN, Ask, Practice, halves
from sitegen.blocks.scope import Scope
from sitegen.effects.effect import Effect
from sitegen.effects.words import listed
from sitegen.figures.trace import MOST_MARKED
from sitegen.figures.views import available
from sitegen.methods.tools import MOST_LEAD_IN, Tool
from sitegen.moves.turning import permutation_of
from sitegen.problems import written
from sitegen.settings import Setting

MOST_NAMED, MOST_TRIED = 2, 20
"""So many other sequences are named, and tried before that."""
TRIES = 100
"""Enough to see whether something helps."""


def why_unsuited(practice: Practice, ask: Ask, tool: Tool) -> str:
    """Why something cannot be asked about a sequence."""
    views = listed([f"“{view}”" for view in practice.shown.views])
    changed = len(Effect(practice.puzzle, permutation_of(tool.turns, practice.puzzle)).changed)
    if ask.marked and changed > MOST_MARKED:
        return f"{tool.text} changes {changed} pieces, and {MOST_MARKED} at most can have an arrow or a mark"
    return f"the view {views} does not show all that {tool.text} changes"


def other_asks(practice: Practice, ask: Ask, tool: Tool, scope: Scope) -> str:
    """Other views, sequences or questions, as far as there are any."""
    alone = replace(practice, tools=(tool,))
    views = (view for view in available(practice.puzzle) if not _seen_by(view, alone).unsuited(ask))
    advice = [f"write “view: {view}”" for view in views][:1]
    others = _others(practice, scope)
    if len(practice.tools) > 1:
        advice.append(f"leave {tool.text} out")
    elif others:
        advice.append(f"name other sequences, such as {' and '.join(others)}")
    if len(practice.asks) > 1:
        advice.append(f"leave “{ask.name}” out")
    else:
        advice.append(f"write “fill in: {FILL_IN['undoing'].name}”")
    return ", or ".join(advice)


def too_few(practice: Practice, ask: Ask, made: int) -> str:
    """What is wrong where so many exercises can be made, and no more."""
    if ask.halves and not practice.commutators:
        return "none of these sequences is a commutator"
    what = f" with “{ask.name}”" if len(practice.asks) > 1 else ""
    number = f"only {made} different" if made else "no"
    return (
        f"{number} {'exercise' if made == 1 else 'exercises'}{what} can be made from these"
        " so that nothing on the page gives an answer away"
    )


def more(practice: Practice, ask: Ask, scope: Scope) -> str:
    """How there would be enough exercises, or if nothing does that alone, a few more."""
    reached = practice.reached()
    fewer = f"ask for fewer, as in “count: {reached}”" if reached else "take the block away"
    if reached < len(practice.asks) > 1:
        fewer = f"leave “{ask.name}” out"
    found = {text: replace(mended, tries=TRIES).reached() for text, mended in _mends(practice, ask)}
    helping = [f"“{text}”" for text, number in found.items() if number > reached]
    enough = [f"“{text}”" for text, number in found.items() if number == practice.count]
    others = _others(practice, scope, ask)
    if ask.halves and not practice.commutators:
        return f"name one that is written [A, B]{', such as ' + others[0] if others else ''}; or {fewer}"
    advice = []
    if helping:
        advice.append(f"write {listed(enough or helping, 'or')}{'' if enough else ' for more of them'}")
    if others:
        advice.append(f"name other sequences too, such as {' and '.join(others)}")
    return ", or ".join([fewer, *(advice or ["name other sequences too"])])


def _mends(practice: Practice, ask: Ask) -> Iterator[tuple[str, Practice]]:
    """What else may be allowed, by the line that says so."""
    how = practice.how
    if not how.mirror:
        yield "mirror: yes", replace(practice, how=replace(how, mirror=True))
    if how.longest < MOST_LEAD_IN and not ask.halves:
        longest = how.longest + 1
        named = how.lead_in.allowed.faces
        of = f" of {', '.join(named)}" if named else ""
        turns = f"{longest} turn{'s' if longest > 1 else ''}{of}"
        yield f"lead-in: {turns}", replace(practice, how=replace(how, longest=longest))
    if not how.hold:
        text = " and ".join(two_holds(practice.puzzle))
        hold = Setting(written("hold"), written(text), text)
        yield (
            f"hold: {text}",
            replace(practice, how=replace(how, hold=read_hold({"hold": hold}, practice.puzzle))),
        )
    for view in available(practice.puzzle) if ask.figure and not practice.shows_all else ():
        if view not in practice.shown.views:
            yield f"view: {view}", _seen_by(view, practice)


def _seen_by(view: str, practice: Practice) -> Practice:
    return replace(practice, shown=replace(practice.shown, views=(view,)))


def _others(practice: Practice, scope: Scope, ask: Ask | None = None) -> list[str]:
    """A few other sequences about which all can be asked, and of which this would give one more exercise."""
    used = {tool.text.split()[0].rstrip("'") for tool in practice.tools}
    found: list[str] = []
    for name, tree in islice(scope.trees.items(), MOST_TRIED):
        if len(found) == MOST_NAMED:
            break
        text = f"@{name}"
        if text in used:
            continue
        tool = tool_of(text, tree, scope)
        split = halves(tree) if tool.text == text else None
        other = replace(
            practice,
            tools=(tool,),
            commutators={text: split} if split else {},
            asks=(ask,) if ask else practice.asks,
            count=1,
            earlier=(*practice.earlier, practice),
            tries=TRIES,
        )
        if not any(other.unsuited(each) for each in practice.asks) and other.exercises():
            found.append(text)
    return found
