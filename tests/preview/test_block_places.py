"""Each block that a page shows is told by the file and the line where it opens."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from sample_guide import guide_of, small_guide, write_guide

from sitegen.blocks.kind import Block
from sitegen.guide.guide import Guide
from sitegen.guide.load import read_guide
from sitegen.preview.block_places import PagePlaces, page_places, sequence_links
from sitegen.site.publish import publish

MANY = """\
---
title: Many
---
A first paragraph.

```moves one
R U
```

> ```moves
> R U R' U'
> ```

- In a list:

  ```position two
  pieces: flips UF and UR
  ```

```python
print("no block")
```

```derivation three
steps:
- turn: R
```
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    folder = write_guide(tmp_path_factory.mktemp("guide"), small_guide())
    (folder / "content/many.md").write_text(MANY)
    return folder


@pytest.fixture(scope="module")
def guide(folder: Path) -> Guide:
    publish(folder)
    return read_guide(folder)


def blocks_of(guide: Guide) -> list[Block]:
    return [block for page in guide.pages for block in guide.blocks[page.name]]


def places_of(guide: Guide) -> dict[str, PagePlaces]:
    return page_places(guide.pages, blocks_of(guide))


def line(folder: Path, file: str, number: int) -> str:
    return (folder / file).read_text().split("\n")[number - 1]


def test_each_block_is_found_where_it_opens(folder: Path, guide: Guide) -> None:
    seen = 0
    for places in places_of(guide).values():
        for place in places.blocks:
            assert f"```{place.opening}" in line(folder, place.file, place.line)
            seen += 1
    assert seen > 8


def test_blocks_stand_in_the_order_of_the_page_and_those_with_a_name_have_an_anchor(guide: Guide) -> None:
    blocks = places_of(guide)["many.html"].blocks
    assert [(each.opening, each.anchor) for each in blocks] == [
        ("moves one", "sequence-one"),
        ("moves", ""),
        ("position two", "position-two"),
        ("derivation three", "derivation-three"),
    ]


def test_anchors_and_pages_are_those_that_were_published(folder: Path, guide: Guide) -> None:
    for url, places in places_of(guide).items():
        page = (folder / "output" / url).read_text()
        if url == f"{places.file.removeprefix('content/').removesuffix('.md')}.html":
            for place in places.blocks:
                assert not place.anchor or f'id="{place.anchor}"' in page


def test_the_page_of_a_sequence_is_told_by_its_block(folder: Path, guide: Guide) -> None:
    (place,) = places_of(guide)["sequences/two-flips.html"].blocks
    assert line(folder, place.file, place.line) == "```moves two-flips"
    link = sequence_links(blocks_of(guide))["two-flips"]
    assert (link.title, link.url) == ("Two flips", "sequences/two-flips.html")


def test_answers_are_told_by_their_exercises(tmp_path: Path) -> None:
    page = (
        "---\nkind: exercises\nanswers: published\n---\n# Sheet\n\n```moves lift\nR U R' U'\n```\n\n"
        "```practice first\nfrom: @lift\ncount: 1\n```\n"
    )
    publish(guide_of(tmp_path, sheet=page))
    guide = read_guide(tmp_path)
    (url,) = [each for each in places_of(guide) if "answers" in each]
    assert (tmp_path / "output" / url).is_file()
    assert [each.opening for each in places_of(guide)[url].blocks] == ["practice first"]


def test_each_card_of_a_page_has_its_block(folder: Path, guide: Guide) -> None:
    """Cards without a name are told by their order: on a page there are as many cards as blocks."""
    for page in guide.pages:
        html = (folder / "output" / page.url).read_text()
        cards = re.findall(r'<section class="(?:card |practice)', html)
        assert len(cards) == len(places_of(guide)[page.url].blocks)
