"""A small guide with pages in a folder, sequences built from one another, a picture and a file."""

from __future__ import annotations

from pathlib import Path

LIFT = "F D' U L2 U2 D2 R U"
CONFIG = """\
title: A short handbook
language: en
pages: [index, method/index]
"""
INDEX = """\
---
title: Welcome
summary: How to begin.
tags: [start]
---
Read [how to lift](method/index.md#the-lift), [](sequence:two-flips), [the table](effects.html) and
[the notes](notes.txt). Try `R U R' U'`{.moves} or `[@lift-edge, U]`{.moves}.

![A small square](square.png)

```python
print("no block")
```

| turn | sense |
|------|-------|
| R    | right |
"""
METHOD = f"""\
# The method

## The lift

```moves lift-edge
title: Lift the front edge
moves: {LIFT}
claims:
- flips UF
- keeps U except UF
view: corner, top
focus: U
say: The edge comes down and *goes back*, see [the start](../index.md).
```

## Two at once

```moves two-flips
moves: [@lift-edge, U]
ends: solved
view: top, net
claims: changes only UF and UR
```

## Without a name

```moves
R U R' U'
```

```moves slice
title: The middle layer
moves: M
letters: yes
```
"""
SQUARE = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108060000001f15c4890000000d49444154789c6360606060000000050001"
    "5e3c8c0d0000000049454e44ae426082"
)
"""A picture of one pixel."""


THOUGHT = """\
```derivation thought
guard: U except UF
watch: UF
steps:
- turn: F
- turn: E
- turn: F'
- turn: E'
```

```position flipped
pieces: flips UF and UR
solve: [@lift-edge, U]
```

"""
"""A derivation, and a position that the sequence `lift-edge` of a guide helps to solve."""


def write_guide(folder: Path, files: dict[str, str | bytes]) -> Path:
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
    return folder


def guide_of(folder: Path, config: str = "title: T\n", **pages: str) -> Path:
    """Writes a guide of pages by name, which has a first page in any case."""
    texts = {f"content/{name}.md": text for name, text in {"index": "Home.\n", **pages}.items()}
    return write_guide(folder, {"content/guide.yaml": config, **texts})


def small_guide() -> dict[str, str | bytes]:
    return {
        "content/guide.yaml": CONFIG,
        "content/index.md": INDEX,
        "content/method/index.md": METHOD,
        "content/method/more.md": "# More\n\nBack to [the method](index.md) and [](sequence:lift-edge).\n",
        "content/other.md": "# Other things\n\n1. One\n2. Two\n\n> A quotation.\n",
        "content/notes.txt": "Notes.\n",
        "content/square.png": SQUARE,
    }
