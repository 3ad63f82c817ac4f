"""Ways to reach a goal by clean steps, fewest first: all are counted, and those listed are turned.

What only a symmetry, or more set aside than is needed, makes another way is counted and not listed.
"""

from __future__ import annotations

from sitegen.effects.piece_sets import Pieces
from sitegen.progress import Progress, quiet
from sitegen.search.find import LONGEST, MEMORY, NEVER, OUT_OF_MEMORY, SHORTEST
from sitegen.search.query import Query
from sitegen.search.step_ways import StepWays

USUAL_ASIDE, LONGEST_ASIDE = 2, 3
"""How many turns may set something aside, if nothing else is said, and at most."""
MOST_STEPS = 6
"""No ways of more steps are looked for, whatever is asked."""


def derive(
    query: Query,
    guard: Pieces,
    found: StepWays,
    *,
    steps: int | None = None,
    longest: int | None = None,
    aside: int = USUAL_ASIDE,
    memory: int = MEMORY,
    progress: Progress = quiet,
) -> None:
    """Fills `found` with the ways of fewest clean steps that do what is asked, or of up to so many `steps`.

    `longest` is how many turns of the outer layers they may have, what cancels taken away; `aside` how many
    may set something aside; `memory` is in bytes. Whenever it is broken off, what was found by then is there.
    """
    found.aside, found.longest = aside, longest
    # These take long to load, and many who come here never search.
    from sitegen.search.asides import clean_steps
    from sitegen.search.step_search import StepSearch

    clean = clean_steps(query.turns, guard, aside, memory)
    if clean is None:
        found.ended = OUT_OF_MEMORY
        return
    search = StepSearch(query, clean, memory)
    for number in range(1, MOST_STEPS + 1):
        if number > (steps or MOST_STEPS):
            found.ended = LONGEST
        elif not search.reach(number):
            found.ended = OUT_OF_MEMORY
        elif search.hopeless:
            found.ended = NEVER
        else:
            search.take_all(number, found, longest, progress)
            found.close(number)
            if steps is None and (found.shortest is not None or found.longer):
                found.ended = SHORTEST
        if found.ended:
            return
    found.ended = LONGEST
