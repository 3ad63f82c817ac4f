"""Relations, layers and isolating sequences on the pages of a site."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import PurePosixPath

import pytest
from read_html import Document, Element

GUIDE = """\
```moves lift-edge
title: Lift the front edge
moves: F D' U L2 U2 D2 R U
claims: flips UF
```

```moves lift-left
title: Lift it to the left
moves: F' D U' R2 U2 D2 L' U'
claims: mirrors @lift-edge
```

```moves put-back
moves: U' R' D2 U2 L2 U' D F'
claims: undoes @lift-edge
```

```moves two-flips
moves: [@lift-edge, U]
```

```moves slice-first
title: With a slice
moves: M F D' U L2 U2 D2 R U
```

```moves block
moves: Rw
```

```moves idle
moves: R R'
```
"""
WORKINGS = {"content/guide.yaml": "title: T\nworkings: yes\n"}


@pytest.fixture
def site(published) -> dict[str, Document]:
    texts = published({**WORKINGS, "content/index.md": GUIDE})
    return {name: Document.read(text) for name, text in texts.items() if name.endswith(".html")}


def related(page: Document) -> dict[str, list[tuple[str, str]]]:
    """What stands under each heading of the related sequences: where it leads, and what is said."""
    found: dict[str, list[tuple[str, str]]] = {}
    for group in [div for dl in page.root.all("dl", class_="related") for div in dl.all("div")]:
        lines = [(line.all("a")[0].attributes["href"], line.text) for line in group.all("dd")]
        found[group.all("dt")[0].text] = lines
    return found


def test_a_sequence_page_lists_what_is_related_and_how(site) -> None:
    assert related(site["sequences/lift-edge.html"]) == {
        "One undoes the other": [("put-back.html", "Put back")],
        "Mirror images": [("lift-left.html", "Lift it to the left, seen in a mirror between L and R")],
        "The same, but for turns of one layer": [("slice-first.html", "With a slice, with M' before")],
    }
    assert related(site["sequences/two-flips.html"])["Built from"] == [
        ("lift-edge.html", "Lift the front edge")
    ]
    assert site["sequences/lift-edge.html"].root.all("h2", id="related")


def test_what_is_related_to_nothing_has_no_such_section(site) -> None:
    page = site["sequences/idle.html"]
    assert related(page) == {}
    assert not page.root.all("h2", id="related")


def test_relations_lead_both_ways(site) -> None:
    for name in ("lift-left", "put-back", "slice-first"):
        lines = [line for lines in related(site[f"sequences/{name}.html"]).values() for line in lines]
        assert "lift-edge.html" in [href for href, _ in lines], name
    (used,) = site["sequences/lift-edge.html"].root.all("ul", class_="used")
    assert "two-flips.html" in [link.attributes["href"] for link in used.all("a")]


def cells(site) -> dict[str, Element]:
    """What each row says of others in the effect table, by the sequence's title."""
    (table,) = site["effects.html"].root.all("table")
    rows = table.all("tbody")[0].all("tr")
    return {row.all("th")[0].text: row.all("td", data_label="Related")[0] for row in map(labelled, rows)}


def labelled(row: Element) -> Element:
    """Attributes with a hyphen cannot be asked for by name."""
    for cell in row.all("td"):
        cell.attributes["data_label"] = cell.attributes["data-label"]
    return row


def test_the_effect_table_says_it_in_few_words_with_links(site) -> None:
    found = cells(site)
    lines = [span.text for span in found["Lift the front edge"].all("span")]
    assert lines == [
        "undoes Put back",
        "mirrors Lift it to the left",
        "but for a layer With a slice",
        "part of Two flips",
    ]
    links = [link.attributes["href"] for link in found["Put back"].all("a")]
    assert links[0] == "sequences/lift-edge.html"
    # That it is built from lift-edge stands in its moves, with a link.
    assert "built" not in found["Two flips"].text


def test_the_table_has_no_such_column_where_nothing_is_related(published) -> None:
    texts = published({"content/index.md": "```moves a\nR U\n```\n\n```moves b\nR U2 F D B L\n```\n"})
    (table,) = Document.read(texts["effects.html"]).root.all("table")
    assert "Related" not in [head.text for head in table.all("th")]


def test_many_of_the_same_effect_are_counted_in_the_table_and_the_first_listed_on_the_page(published) -> None:
    blocks = "".join(f"```moves s{i}\nmoves: R\n```\n\n" for i in range(20))
    texts = published({"content/index.md": blocks})
    table = Document.read(texts["effects.html"]).root.all("table")[0]
    cell = labelled(table.all("tbody")[0].all("tr")[0]).all("td", data_label="Related")[0]
    assert cell.text == "same as 19 others"
    (link,) = cell.all("a")
    assert link.attributes["href"] == "sequences/s0.html#related"
    page = Document.read(texts["sequences/s0.html"])
    assert [line.text for line in page.root.all("dl", class_="related")[0].all("dd")] == [
        *(f"S{i}" for i in range(1, 13)),
        "and 7 more; 19 in all",
    ]


def test_sequences_of_different_puzzles_are_not_compared(published) -> None:
    block = "```moves {0}\nmoves: R U\n```\n"
    texts = published(
        {
            "content/index.md": block.format("three"),
            "content/four.md": "---\npuzzle: cube-4\n---\n" + block.format("four"),
        }
    )
    assert related(Document.read(texts["sequences/three.html"])) == {}


def test_a_sequence_page_says_how_many_pieces_of_each_layer_are_home(site) -> None:
    page = site["sequences/lift-edge.html"]
    (strip,) = page.root.all("ul", class_="layers")
    said = {item.all("b")[0].text: item for item in strip.all("li")}
    assert set(said) == set("UDFBLRESM")
    assert "8 of 9 home" in said["U"].text
    assert said["U"].text.endswith("all but UF")
    # As many pips as pieces, hollow for those that are not home.
    assert len(said["U"].all("i")) == 9
    assert len(said["U"].all("i", class_="away")) == 1
    assert "In the U layer only UF changed" in page.root.all("main")[0].text


def test_the_strip_of_what_does_nothing_says_that_all_is_home(site) -> None:
    (strip,) = site["sequences/idle.html"].root.all("ul", class_="layers")
    assert {re.sub(r"^\S+ ", "", item.text) for item in strip.all("li")} == {"all 9 home", "all 8 home"}


# Isolating sequences --------------------------------------------------------------------------------------


def test_isolating_sequences_have_a_page_with_a_way_there_and_back(site) -> None:
    page = site["isolating.html"]
    titles = [heading.text for heading in page.root.all("h3")]
    assert "Lift the front edge" in titles
    assert "Idle" not in titles
    (link,) = [
        a
        for a in site["sequences/lift-edge.html"].root.all("a")
        if a.attributes["href"] == "../isolating.html#of-lift-edge"
    ]
    assert link.text
    assert page.root.all("h3", id="of-lift-edge")[0].all("a")[0].attributes["href"] == (
        "sequences/lift-edge.html"
    )
    assert "isolating.html" in [a.attributes["href"] for a in site["effects.html"].root.all("a")]


def test_the_page_is_well_formed_and_its_links_arrive(site) -> None:
    page = site["isolating.html"]
    assert page.faults == []
    ids = [e.attributes["id"] for e in page.root.walk() if "id" in e.attributes]
    assert len(ids) == len(set(ids))
    for element in page.root.walk():
        assert set(element.attributes.get("aria-labelledby", "").split()) <= set(ids)
    levels = [int(e.tag[1]) for e in page.root.walk() if re.fullmatch("h[1-6]", e.tag)]
    assert all(after <= before + 1 for before, after in pairwise(levels))
    for link in page.root.all("a"):
        path = PurePosixPath(link.attributes["href"].split("#")[0] or "isolating.html").as_posix()
        assert path in site


def commutators(page: Document) -> dict[str, Element]:
    return {
        row.all("dt")[0].text: row.all("dd")[0]
        for rows in page.root.all("dl", class_="commutators")
        for row in rows.all("div")
    }


def test_each_commutator_says_what_comes_of_it(site) -> None:
    found = commutators(site["isolating.html"])
    # REFERENCES, common practice: [A, U] flips UF and the edge that U brings to its place; so do U2 and U'.
    for turn, other in (("U", "UR"), ("U2", "UB"), ("U'", "UL")):
        words = found[f"[lift edge, {turn}]"].text
        first, second = sorted(["UF", other], key=["UF", "UB", "UL", "UR"].index)
        assert words.startswith(f"{first} and {second} are flipped; everything else is home.")


def test_the_blocks_can_be_pasted_as_they_are_and_their_claims_hold(site, published) -> None:
    blocks = [code.text for code in site["isolating.html"].root.all("code") if not code.attributes]
    # Every commutator that does anything has one. Elements have their lines joined, so the text is read anew.
    pasted = source_blocks(published({**WORKINGS, "content/index.md": GUIDE})["isolating.html"])
    assert len(pasted) == len(blocks) > 20
    assert any("flips UF and UR" in block for block in pasted)
    assert any("cycles " in block for block in pasted)
    texts = published({**WORKINGS, "content/index.md": GUIDE, "content/pasted.md": "\n\n".join(pasted)})
    names = [block.split()[1] for block in pasted]
    assert {f"sequences/{name}.html" for name in names} <= texts.keys()
    # Pasted and published, the page offers names that are not taken yet.
    again = source_blocks(texts["isolating.html"])
    assert not {block.split()[1] for block in again} & {*names, "lift-edge"}


def test_a_sequence_that_moves_the_centres_is_pasted_without_more(published) -> None:
    # By hand: without the E' at its end this leaves the centres of the middle moved, and in U flips UF alone.
    text = published({**WORKINGS, "content/index.md": "```moves untidy\nF E F2 E2 F\n```\n"})[
        "isolating.html"
    ]
    assert "untidy<" in text
    block = next(block for block in source_blocks(text) if "[@untidy, U]" in block)
    assert "flips UF and UR" in block


def source_blocks(text: str) -> list[str]:
    found = re.findall(r"<pre><code>(```moves .*?```)</code></pre>", text, re.DOTALL)
    return [block.replace("&#39;", "'").replace("&gt;", ">").replace("&amp;", "&") for block in found]


def test_a_guide_without_an_isolating_sequence_has_no_such_page(published) -> None:
    texts = published({"content/index.md": "```moves both\nU D\n```\n"})
    assert "isolating.html" not in texts
    assert not any("isolating.html" in text for name, text in texts.items() if name.endswith(".html"))
