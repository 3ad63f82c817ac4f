"""Claims in prose as a reader meets them, and what the foot of every page says that was checked."""

from __future__ import annotations

import re

import pytest
from read_html import Document
from sample_methods import EDGE, moves_blocks

from sitegen.blocks.block import Turned
from sitegen.blocks.method.method import Method
from sitegen.guide.load import read_guide
from sitegen.guide.printed import printed
from sitegen.site.pdf import page_of
from sitegen.site.render import Site
from sitegen.site.theme import load_theme

LIFT = "```moves lift-edge\nF E F2 E2 F E\n```\n\n"
TRUE = "`flips UF; keeps U except UF`{.claim of=lift-edge}"
FALSE = "`flips UR`{.claim of=lift-edge}"
ALL_KINDS = (
    "```moves\nmoves: R\nclaims: order 4\n```\n\nIt `flips UF`{.claim of=lift}.\n\n"
    "```position p\npieces: flips UF and UR\nsolve: [@lift, U]\n```\n\n"
    "```position q\npieces: flips UF\nimpossible: yes\n```\n\n"
    "```practice\nfrom: @lift\nview: net\ncount: 1\n```\n\n"
    "```worked example\nmoves: R\n```\n"
)


def foot(page: str) -> str:
    (found,) = Document.read(page).root.all("footer")
    return found.text


def claim(page: str):
    (found,) = Document.read(page).root.all("span", class_="claim")
    return found


def test_a_claim_in_prose_is_shown_in_plain_words_with_a_sign_that_says_so(published) -> None:
    shown = claim(published({"content/index.md": f"{LIFT}It {TRUE}.\n"})["index.html"])
    assert shown.text == "flips UF; keeps U except UF✓"
    (sign,) = shown.all("span", class_="checked")
    assert sign.heard == ", checked by turning Lift edge"
    assert sign.all("span")[0].attributes["title"] == "checked by turning Lift edge"


def test_the_sign_tells_the_title_of_a_sequence_and_says_its_places(published) -> None:
    titled = LIFT.replace("F E F2", "title: Lift UF & set it aside\nmoves: F E F2")
    shown = claim(published({"content/index.md": f"{titled}It {TRUE}.\n"})["index.html"])
    (sign,) = shown.all("span", class_="checked")
    assert sign.all("span")[0].attributes["title"] == "checked by turning Lift UF & set it aside"
    assert sign.heard == ", checked by turning Lift U F & set it aside"


def test_the_sign_tells_the_moves_that_were_turned(published) -> None:
    text = "`R U R' U'`{.moves} has `order 6`{.claim}.\n"
    (sign,) = claim(published({"content/index.md": text})["index.html"]).all("span", class_="checked")
    assert sign.all("span")[0].attributes["title"] == "checked by turning R U R' U'"


def test_a_sequence_named_in_a_claim_leads_to_its_page_but_not_from_within_a_link(published) -> None:
    text = "It `same as @lift-edge`{.claim of=lift-edge}."
    files = published({"content/index.md": f"{LIFT}{text}\n", "content/x.md": f"[{text}](index.md)\n"})
    (way,) = claim(files["index.html"]).all("a")
    assert way.attributes["href"] == "sequences/lift-edge.html"
    assert claim(files["x.html"]).text.startswith("same as Lift edge")
    assert claim(files["x.html"]).all("a") == []


def test_a_false_claim_has_no_sign_in_a_draft(published) -> None:
    page = published({"content/index.md": f"{LIFT}It {FALSE}.\n"}, draft=True)["index.html"]
    assert "fails" in claim(page).attributes["class"]
    assert not Document.read(page).root.all("span", class_="checked")
    assert (
        foot(page)
        == "T. Worked out or checked by turning in this guide: 1 sequence. The rest is its author’s word."
    )


def test_the_sign_stands_on_the_page_of_a_sequence_that_a_derivation_names_as_well(published) -> None:
    text = "```derivation\nnames: turn\nsay: It has `order 4`{.claim of=turn}.\nsteps:\n- turn: R\n```\n"
    files = published({"content/index.md": text})
    for page in ("index.html", "sequences/turn.html"):
        assert claim(files[page]).all("span", class_="checked"), page
    assert "1 claim and 1 sequence" in foot(files["index.html"])


def test_the_foot_tells_in_numbers_what_was_checked_and_no_more(tmp_path, published) -> None:
    """By hand: one claim in a block and one in prose; of positions the one solved, an exercise, an example
    and the five that the method is tried on, while nobody can turn to the impossible one.
    """
    files = published({"content/index.md": moves_blocks() + EDGE + ALL_KINDS})
    told = re.fullmatch(
        r"T\. Worked out or checked by turning in this guide: "
        r"2 claims, 4 sequences, 8 positions and (\d+) cases\. The rest is its author’s word\.",
        foot(files["index.html"]),
    )
    assert told, foot(files["index.html"])
    (method,) = read_guide(tmp_path).named(Method).values()
    assert int(told[1]) == sum(step.covered for stage in method.stages for step in stage.steps)


def test_every_page_has_the_same_foot(pages) -> None:
    assert len({foot_of.root.all("footer")[0].text for foot_of in pages.values()}) == 1


def test_a_guide_without_moves_vouches_for_nothing(published) -> None:
    assert foot(published({})["index.html"]) == "T."


def test_a_sheet_for_print_does_not_change_when_another_page_claims_more(tmp_path, published) -> None:
    texts = []
    for claims in ("Nothing.", TRUE):
        published({"content/x.md": "---\nkind: handout\n---\nHere.\n", "content/y.md": f"{LIFT}{claims}\n"})
        guide = read_guide(tmp_path)
        site = Site(guide, load_theme(guide.config, tmp_path))
        (sheet,) = (each for page in guide.pages for each in printed(page, guide))
        texts.append(page_of(site, sheet))
    assert texts[0] == texts[1]


@pytest.mark.parametrize(
    ("counts", "words"),
    [
        ((0, 0, 0, 0), ""),
        ((1, 0, 0, 0), "1 claim"),
        ((3, 1, 0, 0), "3 claims and 1 sequence"),
        ((1200, 2, 1, 1), "1,200 claims, 2 sequences, 1 position and 1 case"),
    ],
)
def test_numbers_are_told_in_plain_words(counts: tuple[int, ...], words: str) -> None:
    assert str(Turned(*counts)) == words


def test_moves_that_name_a_sequence_say_so_in_plain_words(published) -> None:
    text = "```moves lift-edge\nR U\n```\n\n`[@lift-edge, U]`{.moves} `keeps centres`{.claim}.\n"
    html = published({"content/index.md": text})["index.html"]
    assert 'title="checked by turning [lift edge, U]"' in html
    assert "@" not in re.sub(r"<style>.*?</style>", "", html)
