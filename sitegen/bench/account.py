"""What a search has found, in words: how many sequences of which length, and up to where that is certain."""

from __future__ import annotations

from sitegen.bench.find import NEVER, OUT_OF_MEMORY, SHORTEST, Found


def account(found: Found, metric: str) -> str:
    """“8 sequences of 8 OBTM; none is shorter.”"""
    unit = metric.upper()
    lengths = [(length, number) for length, number in found.counts.items() if number]
    numbers = [f"{number:,} {'sequence' if number == 1 else 'sequences'}" for _, number in lengths]
    parts = [f"{number} of {length} {unit}" for number, (length, _) in zip(numbers, lengths, strict=True)]
    sure = f"up to {found.searched} {unit}" if found.searched >= 0 else ""
    if found.shortest is not None:
        parts.append("none is shorter" if found.ended == SHORTEST else f"none is shorter; searched {sure}")
    elif found.ended == NEVER:
        parts.append("no sequence of these turns does this, however long")
    elif sure:
        parts.append(f"no sequence of {sure} does this")
    if found.ended == OUT_OF_MEMORY:
        parts.append(f"{found.searched + 1} {unit} was not searched: it takes more memory than is allowed")
    elif not found.ended:
        some = f", {found.partly:,} found so far" if found.partly else ""
        parts.append(f"stopped while searching {found.searched + 1} {unit}{some}")
    total = sum(found.counts.values()) + found.partly
    if total > len(found.answers):
        shown = len(found.answers)
        parts.append("one of them is shown" if shown == 1 else f"the first {shown} are shown")
    return "; ".join(parts) + "."
