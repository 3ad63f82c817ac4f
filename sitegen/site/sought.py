"""What the rows of the effect table are filtered by: on a page, and by a script those of its other pages."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sitegen.blocks.moves.sequence import Sequence
from sitegen.moves.turning import MOST_EXACT
from sitegen.site.list_parts import ListPart
from sitegen.site.script_files import as_script
from sitegen.site.tables import done_to

FOLDER = "effects"
"""Where these scripts are, below the folder of what pages load."""


def sought(sequence: Sequence, page: str) -> dict[str, Any]:
    """What its row is found by; `page` is the title of the page that it stands on."""
    done = [f"{verb} {kind}" for verb, kind in done_to(sequence.effect)]
    return {
        "puzzle": sequence.puzzle.title,
        "does": [*dict.fromkeys(done)],
        "keeps": sequence.effect.keeps,
        "length": min(sequence.length.obtm, MOST_EXACT),
        "tags": sequence.tags,
        "page": page,
    }


def sought_path(part: ListPart) -> str:
    return f"{FOLDER}/{part.number}.js"


def sought_in(part: ListPart, titles: Mapping[str, str]) -> str:
    """The script that says it of all rows of a part; `titles` are those of pages by name."""
    rows = [sought(each, titles[each.page]) for each in part.sequences]
    return as_script({"path": part.path, "first": part.first, "last": part.last, "rows": rows})
