"""What pages say of moves that leave the centres moved: what was turned, and what brings them home."""

from __future__ import annotations

import pytest
from read_html import Document

PAGE = """\
```moves slice
moves: M
```

```moves sides
moves: R L'
```

```moves
moves: L x
```

```position
moves: D x
```
"""


@pytest.fixture
def pages(published) -> dict[str, Document]:
    texts = published({"content/index.md": PAGE})
    return {name: Document.read(text) for name, text in texts.items() if name.endswith(".html")}


def effects(page: Document) -> list[str]:
    return [words.text for words in page.root.all("p", class_="effect")]


def test_a_figure_and_its_words_are_of_the_moves_as_turned(pages) -> None:
    # By hand: M follows L, which takes U to F; no other centre comes there, and nothing of R or L moves.
    card = effects(pages["index.html"])[0]
    assert card.startswith(
        "UF goes to FD, FD to DB, DB to BU and BU to UF; U goes to F, F to D, D to B and B to U;"
    )
    assert card.endswith("The centres end moved; x at the end brings them home.")
    first, then = pages["sequences/slice.html"].root.all("ol", class_="steps")[0].all("svg")
    assert "U to F" in first.all("desc")[0].text
    assert then.all("title")[0].text == "at the end"


def test_what_comes_of_turning_back_is_on_the_page_of_a_sequence_and_below_one_without_a_name(pages) -> None:
    text = " ".join(p.text for p in pages["sequences/slice.html"].root.all("p"))
    assert "The centres end moved; x at the end brings them home. Then: UFL goes to BUL" in text
    assert "The centres end moved" not in pages["sequences/sides.html"].root.text
    # By hand: L x has turned both of the other two layers up; x' brings these back, and L alone is turned.
    unnamed = effects(pages["index.html"])[2]
    assert "x' at the end brings them home. Then: UFL goes to FDL" in unnamed


def test_the_slice_and_its_two_sides_are_listed_as_the_same_but_for_a_turning(pages) -> None:
    for name, other in (("slice", "Sides, with x' at the end"), ("sides", "Slice, with x at the end")):
        (groups,) = pages[f"sequences/{name}.html"].root.all("dl", class_="related")
        headings = [heading.text for heading in groups.all("dt")]
        assert headings == ["The same, but for a turning of the whole puzzle at the end"]
        assert [line.text for line in groups.all("dd")] == [other]


def test_a_position_is_told_as_it_stands_and_as_it_is_with_the_centres_home(pages) -> None:
    position = effects(pages["index.html"])[-1]
    assert "4 centres" in position.split(" The centres are moved")[0]  # by hand: x takes four of them round
    assert "The centres are moved; x' brings them home. Then: DFL is at DFR" in position
    assert position.endswith("DL at DF; everything else is home.")
