"""What a block `find` has found, on the pages of a site."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from read_html import Document, Element
from sample_guide import write_guide
from sample_rendering import CHROMIUM, needs

from sitegen.site.publish import publish

FLIP = """\
```find
title: One edge alone
claims:
- flips UF
- keeps U except UF
most: 3
then: U
view: corner, top, net
say: None of them *stops* there.
```
"""
WORKINGS = {"content/guide.yaml": "title: T\nworkings: yes\n"}


def page_of(texts: dict[str, str], name: str = "index.html") -> Document:
    return Document.read(texts[name])


def shown(page: Document) -> Element:
    (card,) = page.root.all("section", class_="found")
    return card


def ways(card: Element) -> list[Element]:
    (listed,) = card.all("ol", class_="ways")
    return [child for child in listed.children if isinstance(child, Element)]


def sources(text: str) -> list[str]:
    """The blocks on a page, as they stand there."""
    return [
        unescape(block) for block in re.findall(r"<pre><code>(```moves .*?```)</code></pre>", text, re.DOTALL)
    ]


@pytest.fixture
def flip(published) -> Document:
    return page_of(published({"content/index.md": f"# Edges\n\n{FLIP}"}))


# The page -------------------------------------------------------------------------------------------------


def test_the_page_is_well_formed(flip) -> None:
    assert flip.faults == []
    ids = [e.attributes["id"] for e in flip.root.walk() if "id" in e.attributes]
    assert len(ids) == len(set(ids))
    known = {"div", "p", "ul", "ol", "dl", "dt", "dd", "li", "figure", "details", "summary", "pre", "code"}
    inside = {e.tag for e in shown(flip).walk() if not e.inside("svg")}
    assert inside <= known | {"span", "em", "svg"}
    assert all(child.tag == "li" for listed in shown(flip).all("ol") for child in elements(listed))
    assert all(
        child.tag in ("div", "dt", "dd") for listed in shown(flip).all("dl") for child in elements(listed)
    )
    assert all(elements(each)[0].tag == "summary" for each in shown(flip).all("details"))


def elements(element: Element) -> list[Element]:
    return [child for child in element.children if isinstance(child, Element)]


def test_it_says_what_was_asked_with_which_turns_and_how_many_there_are(flip) -> None:
    card = shown(flip)
    assert card.attributes["aria-label"] == "Found: One edge alone"
    assert card.all("p", class_="card-title")[0].text == "One edge alone"
    assert [item.text for item in card.all("ul", class_="claims")[0].all("li")] == [
        "flips UF",
        "keeps U except UF",
    ]
    assert "turns of outer layers" in card.text
    # By the same fact as everywhere: none has fewer than 8 turns.
    account = re.search(r"(\d+) sequences of 8 OBTM; none is shorter; the first 3 are shown\.", card.text)
    assert account
    assert int(account[1]) > 3
    assert len(ways(card)) == 3
    assert card.all("p", class_="say")[0].text == "None of them stops there."
    assert [e.text for e in card.all("em")] == ["stops"]


def test_each_way_has_its_moves_its_length_and_what_it_does(flip, cube3, turned) -> None:
    for way in ways(shown(flip)):
        moves = way.all("code", class_="moves")[0].text
        permutation = turned(moves, cube3)
        assert permutation[cube3.slots["UF"]] == cube3.slots["FU"]
        assert len(moves.split()) == 8
        assert way.all("span", class_="length")[0].text == "8 OBTM"
        assert "UF is flipped" in way.all("p", class_="effect")[0].text


def test_each_way_has_a_figure_in_each_view_and_is_heard_once(flip) -> None:
    for way in ways(shown(flip)):
        figures = way.all("figure")
        assert [figure.attributes["data-view"] for figure in figures] == ["corner", "top", "net"]
        (heard,) = (figure for figure in figures if not figure.is_silent)
        (svg,) = heard.all("svg")
        assert svg.attributes["role"] == "img"
        # What the moves do stands beside it in words.
        assert svg.all("title")[0].text == "after"
        assert not svg.all("desc")
        assert way.all("p", class_="effect")[0].heard.startswith("U F is flipped;")


def test_the_figure_shows_where_the_moves_have_brought_the_stickers(published) -> None:
    # By hand: U brings the right side of its layer to the front, the front to the left, and so on. From the
    # top are seen nine stickers, and in front, behind, at the left and at the right of them three each.
    texts = published(
        {"content/index.md": "```find\nclaims: cycles UF > UL > UB > UR\nview: top\nfocus: all\n```\n"}
    )
    letters = ways(shown(page_of(texts)))[0].all("svg")[0].all("g", class_="letters")[0].text
    assert letters == "U" * 9 + "RRR" + "LLL" + "FFF" + "BBB"


@pytest.mark.parametrize(
    ("body", "muted"),
    [
        # By hand: in the corner view three faces of nine stickers are seen. Of the layer U these are
        # 9 + 3 + 3, and of UF, between two of the faces, two. Where no piece is asked about none is muted.
        ("flips UF; keeps U except UF", 27 - 15),
        ("flips UF", 27 - 2),
        ("order 2", 0),
        ("claims: swaps UF with UB\nfocus: all", 0),
        ("claims: flips UF; keeps U except UF\nfocus: UF", 27 - 2),
    ],
)
def test_pieces_that_are_not_asked_about_are_muted(published, body: str, muted: int) -> None:
    texts = published({"content/index.md": f"```find\n{body}\n```\n"})
    for way in ways(shown(page_of(texts))):
        (stickers,) = way.all("g", class_="stickers")
        outlines = {
            path.attributes["class"]: path.attributes["d"].count("z") for path in stickers.all("path")
        }
        assert outlines.get("muted", 0) == muted
        assert sum(outlines.values()) == 27


def test_the_rows_of_commutators_say_what_comes_of_each(flip) -> None:
    # REFERENCES, common practice: [A, T] flips UF and the edge that T brings to its place.
    for way in ways(shown(flip)):
        (rows,) = way.all("dl", class_="commutators")
        assert {row.all("dt")[0].text: row.all("dd")[0].text for row in rows.all("div")} == {
            "[A, U]": "UF and UR are flipped; everything else is home.",
            "[A, U2]": "UF and UB are flipped; everything else is home.",
            "[A, U']": "UF and UL are flipped; everything else is home.",
        }
    assert "A stands for each of them" in shown(flip).text


def test_without_a_layer_to_turn_there_are_no_such_rows(published) -> None:
    card = shown(page_of(published({"content/index.md": "```find\nflips UF\n```\n"})))
    assert card.all("dl") == []
    assert "A stands for each" not in card.text


def test_a_block_without_a_title_is_called_by_what_was_asked(published) -> None:
    card = shown(page_of(published({"content/index.md": "```find\nswaps UF with UB\n```\n"})))
    assert card.attributes["aria-label"] == "Found: swaps U F with U B"
    assert card.all("p", class_="card-title") == []


def test_a_block_with_a_name_has_an_anchor(published) -> None:
    texts = published({"content/index.md": "```find x\nflips UF\n```\n"})
    assert shown(page_of(texts)).attributes["id"] == "find-x"


def test_of_what_moves_the_centres_it_is_said_what_it_is_with_the_puzzle_turned_back(published) -> None:
    body = "claims: cycles F > R > B > L; keeps U\nfaces: D\nwide: yes"
    (way,) = ways(shown(page_of(published({"content/index.md": f"```find\n{body}\n```\n"}))))
    moves, back = (code.text for code in way.all("code", class_="moves"))
    # By hand: Dw carries the middle to the side that D goes to; y brings it back, and U alone has moved.
    assert (moves, back) == ("Dw", "y")
    words = way.all("p", class_="effect")[0].text
    assert "The centres end moved; y at the end brings them home. Then: UFL goes to UBL" in words
    assert words.endswith("UR to UF; everything else is home.")


def test_lengths_are_shown_in_the_metric_that_was_searched(published) -> None:
    (way,) = ways(
        shown(
            page_of(published({"content/index.md": "```find\nclaims: swaps UF with UB\nmetric: QTM\n```\n"}))
        )
    )
    assert way.all("span", class_="length")[0].text == "2 QTM"  # a half turn is two quarter turns


def test_several_puzzles_of_a_guide_are_told_apart(published) -> None:
    small = "---\npuzzle: cube-2\n---\n```find\ntwists UFR clockwise\n```\n"
    texts = published({"content/small.md": small, "content/index.md": "```find\nflips UF\n```\n"})
    assert shown(page_of(texts, "small.html")).all("p", class_="which")[0].text == "2×2×2 cube"
    assert page_of(texts, "small.html").faults == []


def test_a_sequence_that_is_asked_about_and_the_page_lead_to_each_other(published) -> None:
    texts = published(
        {
            "content/index.md": "```find way-back\nundoes @there\n```\n",
            "content/later.md": "```moves there\nR U\n```\n",
        }
    )
    links = [a.attributes["href"] for a in shown(page_of(texts)).all("ul", class_="claims")[0].all("a")]
    assert links == ["sequences/there.html"]
    (used,) = page_of(texts, "sequences/there.html").root.all("ul", class_="used")
    assert "../index.html" in [a.attributes["href"].split("#")[0] for a in used.all("a")]


HOSTILE = 'a"><script>alert(1)</script><img src=x onerror=alert(1)>&amp;'


def test_hostile_texts_are_shown_not_run(published) -> None:
    body = f"title: {HOSTILE}\nclaims: flips UF\nsay: {HOSTILE}"
    page = page_of(published({"content/index.md": f"```find\n{body}\n```\n"}))
    card = shown(page)
    assert page.faults == []
    assert card.attributes["aria-label"] == f"Found: {HOSTILE}"
    assert {"script", "img"}.isdisjoint(e.tag for e in card.walk())
    assert not any(name.startswith("on") for e in card.walk() for name in e.attributes)


# The block to paste ---------------------------------------------------------------------------------------


def test_each_way_is_there_as_a_block_that_says_what_was_asked(published) -> None:
    texts = published({**WORKINGS, "content/index.md": FLIP})
    card = shown(page_of(texts))
    moves = [way.all("code", class_="moves")[0].text for way in ways(card)]
    assert [len(way.all("details", class_="source")) for way in ways(card)] == [1, 1, 1]
    for block, each in zip(sources(texts["index.html"]), moves, strict=True):
        head, title, *rest = block.splitlines()
        assert re.fullmatch(r"```moves [a-z][a-z0-9-]*", head)
        assert title.startswith("title: ")
        assert rest == [f"moves: {each}", "claims:", "- flips UF", "- keeps U except UF", "```"]


BLOCKS = {
    "flip": ("", FLIP),
    "block": ("", "```find\nclaims: cycles F > R > B > L\nfaces: D\nwide: yes\n```\n"),
    "slice": ("", "```find\nclaims: cycles U > F > D > B\nslices: yes\n```\n"),
    "reference": ("", "```find\nclaims: undoes @there\n```\n\n```moves there\nR U\n```\n"),
    "small": ("---\npuzzle: cube-2\n---\n", "```find\ntwists UFR clockwise\n```\n"),
    "order": ("", "```find\nclaims: order 2\nmost: 2\n```\n"),
    "named": ("", "```find flips-uf\nflips UF\n```\n"),
    "sequence": ("", "```find\nflips UF\n```\n\n```moves flips-uf\nU L F\n```\n"),
    "position": ("", "```find\nflips UF\n```\n\n```position flips-uf\nflips UF and UR\n```\n"),
    "elsewhere": ("", "```find\nswaps UFR with UBL\n```\n"),
}
OTHERS = {
    "elsewhere": {"content/small.md": "---\npuzzle: cube-2\n---\n```moves swaps-ufr-with-ubl\nU2\n```\n"},
}


@pytest.mark.parametrize("name", BLOCKS)
def test_a_block_can_be_pasted_into_its_guide_as_it_is(published, name: str) -> None:
    front, body = BLOCKS[name]
    others = OTHERS.get(name, {})
    page = f"{front}# Found\n\n{body}"
    blocks = sources(published({**WORKINGS, "content/found.md": page, **others})["found.html"])
    assert blocks
    texts = published({"content/found.md": f"{page}\n{blocks[0]}\n", **others})
    assert f"sequences/{blocks[0].splitlines()[0].split()[1]}.html" in texts


def test_all_the_ways_of_a_block_can_be_pasted_together(published) -> None:
    blocks = sources(published({**WORKINGS, "content/found.md": f"# Found\n\n{FLIP}"})["found.html"])
    names = {block.split()[1] for block in blocks}
    assert len(names) == len(blocks) == 3
    texts = published({"content/found.md": "\n\n".join(["# Found", FLIP, *blocks])})
    assert {f"sequences/{name}.html" for name in names} <= texts.keys()


# In a browser ---------------------------------------------------------------------------------------------


@needs(chromium=CHROMIUM)
def test_what_was_found_is_no_wider_than_a_telephone_or_the_paper(browser: Browser, tmp_path: Path) -> None:
    claim = "cycles UFR > UFL > UBL > UBR and UF > UL > UB > UR and DF > DL > DB > DR"
    long = f"```find\nclaims:\n- {claim}\nthen: R\n```\n"
    files = {**WORKINGS, "content/index.md": f"# Edges\n\n{FLIP}\n{long}"}
    publish(write_guide(tmp_path, files))
    page = browser.new_context(offline=True).new_page()
    page.goto((tmp_path / "output" / "index.html").as_uri())
    wide = "document.documentElement.scrollWidth"
    # 320 CSS pixels is the width of WCAG 2.2, 1.4.10.
    for width in (320, 380, 1280):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate(wide) <= width
        for summary in page.locator("details.source summary").all():
            summary.click()
        assert page.evaluate(wide) <= width
        assert all(pre.is_visible() for pre in page.locator("details.source pre").all())
        for summary in page.locator("details.source summary").all():
            summary.click()
    # A4 less 16 mm on either side is 178 mm; at 96 pixels an inch 673.
    page.set_viewport_size({"width": 673, "height": 900})
    page.emulate_media(media="print")
    assert page.evaluate(wide) <= 673
    assert all(figure.is_visible() for figure in page.locator(".found figure svg").all())
    assert all(row.is_visible() for row in page.locator(".found dl.commutators dd").all())
    seen = [card.locator("figure svg").count() for card in page.locator(".found").all()]
    # Three ways in three views each; by hand, U D' and nothing else of two turns does the other.
    assert seen == [3 * 3, 1]
    page.context.close()
