"""The effect table as files for programs: what stands in each row, by the names of its columns."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterable, Mapping, Sequence
from io import StringIO
from typing import Any

from sitegen.effects.relations import RelationGroup
from sitegen.moves.notation import write_all
from sitegen.moves.turning import MOST_EXACT, number_in_words
from sitegen.site.tables import BRIEFLY_OF, Row

METRICS = ("obtm", "qtm", "stm", "etm")
DOES = ("flips", "twists", "cycles", "keeps", "order", "parity")
COLUMNS = ("name", "title", "puzzle", "moves", "turns", *METRICS, *DOES, "tags", "page", "address", "related")
Facts = Mapping[str, Any]


def facts_of(row: Row, page: str, related: Iterable[RelationGroup]) -> Facts:
    """What stands in a row; `page` is the title of the page that its sequence stands on."""
    sequence = row.sequence
    return {
        "name": sequence.name,
        "title": sequence.title,
        "puzzle": sequence.puzzle.name,
        "moves": sequence.moves,
        "turns": write_all(sequence.turns, sequence.puzzle),
        **{metric: exactly(getattr(sequence.length, metric)) for metric in METRICS},
        "flips": row.flips,
        "twists": row.twists,
        "cycles": row.cycles,
        "keeps": row.keeps,
        "order": exactly(row.order),
        "parity": row.parity,
        "tags": list(sequence.tags),
        "page": page,
        "address": sequence.url,
        "related": [
            {"how": BRIEFLY_OF[group.kind], "count": group.count, "to": [each.name for each in group.listed]}
            for group in related
        ],
    }


def exactly(count: int) -> int | str:
    """A number, or about how large it is."""
    return count if count < MOST_EXACT else number_in_words(count)


def as_json(rows: Sequence[Facts]) -> str:
    """One row a line."""
    lines = ",\n".join(json.dumps(row, ensure_ascii=False) for row in rows)
    return f"[\n{lines}\n]\n" if rows else "[]\n"


def as_csv(rows: Sequence[Facts]) -> str:
    """RFC 4180, with the names of the columns at the head."""
    text = StringIO()
    writer = csv.writer(text)
    writer.writerow(COLUMNS)
    for row in rows:
        writer.writerow(_cell(row[column]) for column in COLUMNS)
    return text.getvalue()


def _cell(value: Any) -> str:
    if not isinstance(value, list):
        return str(value)
    return "; ".join(each if isinstance(each, str) else _group(each) for each in value)


def _group(group: Mapping[str, Any]) -> str:
    return f"{group['how']} {', '.join(_named(group))}"


def _named(group: Mapping[str, Any]) -> list[str]:
    """The sequences of a relation, and how many more there are than are named."""
    more = group["count"] - len(group["to"])
    return [*group["to"], *([f"{more} more"] if more else [])]
