"""What the lines within stickers mean is said once on a page, where they are first met."""

from __future__ import annotations

import re

from sample_guide import THOUGHT

MOVES = "```moves lift-edge\nF E F2 E2 F E\n```\n\n"
SAYS = ["guarded, and home", "guarded, and away", "guarded, in its place but turned", "watched"]
AGAIN = THOUGHT.replace("thought", "again").replace("position flipped", "position turned")
PLAIN = "```derivation plain\nsteps:\n- turn: F\n```\n\n"


def legends(html: str) -> list[str]:
    return re.findall(r'<ul class="legend".*?</ul>', html, re.DOTALL)


def test_it_stands_in_the_first_block_that_has_lines(published) -> None:
    html = published({"content/index.md": MOVES + PLAIN + THOUGHT + AGAIN})["index.html"]
    assert [re.findall(r"</svg> ([^<]*)</li>", each) for each in legends(html)] == [SAYS]
    ids = ('id="derivation-thought"', 'class="legend"', 'id="derivation-again"')
    assert sorted(ids, key=html.index) == list(ids)


def test_each_page_has_its_own(published) -> None:
    pages = published({"content/index.md": MOVES + THOUGHT, "content/other.md": AGAIN})
    assert [len(legends(pages[name])) for name in ("index.html", "other.html")] == [1, 1]


def test_its_lines_are_those_of_the_figures(published) -> None:
    (legend,) = legends(published({"content/index.md": MOVES + THOUGHT})["index.html"])
    drawn = re.findall(r"<svg.*?</svg>", legend)
    assert [each.count('class="guard"') for each in drawn] == [1, 1, 1, 0]
    assert ["stroke-dasharray" in each for each in drawn] == [False, True, False, False]
    lines = [re.search(r'd="([^"]*)"[^>]*class="guard"', each) for each in drawn[:3]]
    assert [line and line[1].lower().count("z") for line in lines] == [1, 1, 2]
    assert [each.count('class="ring') for each in drawn] == [0, 0, 0, 2]


def test_what_is_watched_is_told_from_what_is_guarded_by_its_shape(published) -> None:
    (legend,) = legends(published({"content/index.md": MOVES + THOUGHT})["index.html"])
    *guarded, watched = re.findall(r'd="([^"]*)"[^>]*class="(?:guard|ring)"', legend)
    assert [bool(re.search("[qt]", d, re.IGNORECASE)) for d in (*guarded, watched)] == [False] * 3 + [True]


def test_where_nothing_is_guarded_or_watched_there_is_none(published) -> None:
    assert legends(published({"content/index.md": MOVES + PLAIN})["index.html"]) == []
