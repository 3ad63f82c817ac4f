"""What a flat figure promises: no rules, and the picture that the rules give on paper."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest
from playwright.sync_api import Browser
from sample_rendering import (
    CHROMIUM,
    PDFTOPPM,
    PRINTER,
    by_chromium,
    by_printer,
    chromium,
    difference,
    needs,
)
from test_draw import busy, solved

from sitegen.figures.chart import histogram
from sitegen.figures.draw import draw
from sitegen.figures.flat import INK, flat
from sitegen.figures.style import COLOURS, LIGHT, PRINT, css
from sitegen.puzzles import catalogue

CUBE = catalogue.puzzle("cube-3")
SLOT = CUBE.slots


def guarded() -> str:
    """All kinds of guards, and stickers out of focus, before and behind."""
    picture = solved(
        CUBE,
        outlined=frozenset({SLOT["UB"], SLOT["UR"], SLOT["DB"]}),
        away=frozenset({SLOT["UF"], SLOT["BL"]}),
        disturbed=frozenset({SLOT["UFR"], SLOT["RUF"]}),
        muted=frozenset({SLOT["UB"], SLOT["DF"], SLOT["DL"]}),
    )
    return draw(picture, "corner with back")


FIGURES = {
    "corner with every mark": draw(busy(CUBE), "corner"),
    "top with every mark": draw(busy(CUBE), "top"),
    "guards and mirrors": guarded(),
    "letters in a net": draw(solved(CUBE), "net"),
    "patterns": draw(replace(busy(CUBE), patterned=True), "corner"),
    "patterns in a net": draw(replace(solved(CUBE), patterned=True), "net"),
    "longer letters": draw(replace(solved(CUBE), letters=("BR", "Uf") + ("D",) * 52), "corner"),
    "chart": histogram({1: 6, 2: 13, 3: 4, 7: 1, 12: 1234}, "Cases", "cases", "turns"),
    "chart of many": histogram({n: n * n % 17 + 1 for n in range(60)}, "Cases", "cases", "turns"),
}
SHAPES = {"path", "text"}


def leaves(svg: str) -> list[dict[str, str]]:
    """The shapes and texts from the lowest up, each with what it has from those it is in."""
    found = []

    def walk(element: ElementTree.Element, inherited: dict[str, str]) -> None:
        own = {**inherited, **element.attrib}
        if element.tag in SHAPES:
            found.append({**own, "written": element.text or ""})
        for child in element:
            walk(child, own)

    walk(ElementTree.fromstring(svg), {})
    return found


@pytest.mark.parametrize("name", FIGURES)
def test_nothing_is_left_that_needs_a_rule(name: str) -> None:
    svg = flat(FIGURES[name], {})
    assert not re.search(r"var\(|currentColor|\dem\"|paint-order|display|<style| style=", svg)
    root = ElementTree.fromstring(svg)
    assert [element.tag for element in root.iter() if "class" in element.attrib] == ["svg"]
    for leaf in leaves(svg):
        paints = {leaf.get("fill", "none"), leaf.get("stroke", "none")}
        assert all(re.fullmatch(r"#[0-9a-f]{6}|none", paint) for paint in paints)
        assert paints != {"none"}, "it would not be seen"


@pytest.mark.parametrize("name", FIGURES)
def test_what_it_says_and_its_size_stay(name: str) -> None:
    before, after = ElementTree.fromstring(FIGURES[name]), ElementTree.fromstring(flat(FIGURES[name], {}))
    for tag in ("title", "desc"):
        assert after.findtext(tag) == before.findtext(tag) != ""
    for attribute in ("viewBox", "role", "aria-label", "class"):
        assert after.get(attribute) == before.get(attribute) is not None


def test_the_same_figure_gives_the_same_bytes() -> None:
    for figure in FIGURES.values():
        assert flat(figure, {}) == flat(figure, {})


def test_what_is_no_figure_stays_as_it_is() -> None:
    icon = '<svg class="icon" viewBox="0 0 9 9"><circle r="3" class="bar"/></svg>'
    assert flat(icon, {}) == icon


def test_colours_are_those_of_paper_and_of_whoever_gives_their_own() -> None:
    fills = {leaf["fill"] for leaf in leaves(flat(guarded(), {}))}
    assert {COLOURS["red"], LIGHT["figure-body"], PRINT["figure-muted"]} <= fills
    assert LIGHT["figure-muted"] not in fills, "that is for a screen"
    own = {leaf["fill"] for leaf in leaves(flat(guarded(), {"red": "#aa0011", "figure-muted": "#ffeedd"}))}
    assert {"#aa0011", "#ffeedd"} <= own
    assert not {COLOURS["red"], PRINT["figure-muted"]} & own


def test_a_muted_sticker_s_line_is_as_thin_as_on_paper() -> None:
    (muted,) = [leaf for leaf in leaves(flat(guarded(), {})) if leaf["fill"] == PRINT["figure-muted"]]
    assert muted["stroke-width"] == "4"
    assert ".puzzle .muted{stroke-width:4}" in css().rpartition("@media print")[2]


def test_a_chart_is_written_in_the_ink_of_the_page() -> None:
    written = [leaf for leaf in leaves(flat(FIGURES["chart"], {})) if leaf["written"]]
    assert {leaf["fill"] for leaf in written} == {INK}
    assert {leaf["text-anchor"] for leaf in written} == {"middle"}


@pytest.mark.parametrize("name", ["corner with every mark", "letters in a net", "patterns"])
def test_a_halo_lies_below_what_it_is_round(name: str) -> None:
    drawn = leaves(flat(FIGURES[name], {}))
    found = 0
    for number, leaf in enumerate(drawn):
        same = [i for i, other in enumerate(drawn) if _place(other) == _place(leaf)]
        if leaf.get("stroke", "none") != "none" and leaf["fill"] == "none" and len(same) > 1:
            halo, filled = same
            assert number == halo < filled
            assert drawn[filled].get("stroke", "none") == "none" != drawn[filled]["fill"]
            found += 1
    # Each mark and each letter has one.
    marked = re.search(r'<g class="marks">.*?</g>', FIGURES[name])
    marks = len(re.findall("<path|<text", marked.group())) if marked else 0
    lettered = re.search(r'<g class="letters".*?</g>', FIGURES[name])
    assert lettered
    assert found == marks + sum(map(len, re.findall(r">([^<]*)</text>", lettered.group())))


def _place(leaf: dict[str, str]) -> tuple[str | None, ...]:
    return leaf.get("d"), leaf.get("x"), leaf.get("y")


def test_a_halo_is_as_wide_as_its_share_of_the_letters_height() -> None:
    # A group's em is its own letters' height: smaller letters in it have the same halo.
    svg = (
        '<svg class="puzzle" viewBox="0 0 9 9"><g class="letters shown" font-size="50">'
        '<text x="1" y="2">A</text><text x="3" y="4" font-size="30">B</text></g></svg>'
    )
    halos = [leaf for leaf in leaves(flat(svg, {})) if leaf["fill"] == "none"]
    assert [(leaf["font-size"], leaf["stroke-width"]) for leaf in halos] == [("50", "12"), ("30", "12")]


def test_every_letter_with_a_place_of_its_own_is_a_text() -> None:
    svg = (
        '<svg class="puzzle" viewBox="0 0 9 9"><g class="letters" font-size="5">'
        '<text x="1 3" y="2 4">A&amp;</text><text x="5" y="6">BR</text></g></svg>'
    )
    filled = [leaf for leaf in leaves(flat(svg, {})) if leaf["fill"] != "none"]
    assert [(leaf["written"], leaf["x"], leaf["y"]) for leaf in filled] == [
        ("A", "1", "2"),
        ("&", "3", "4"),
        ("BR", "5", "6"),
    ]


def test_the_rule_with_more_classes_is_the_stronger_one_and_what_is_hidden_on_paper_is_left_out(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    rules = {"kind": {".a.b": {"fill": "#aaaaaa"}, ".a": {"fill": "#bbbbbb"}, ".b": {"fill": "#cccccc"}}}
    paper = {"kind": {".b": {"fill": "#dddddd"}, ".gone": {"display": "none"}}}
    monkeypatch.setattr("sitegen.figures.flat.RULES", rules)
    monkeypatch.setattr("sitegen.figures.flat.PRINT_RULES", paper)
    svg = (
        '<svg class="kind"><path d="M1 1" class="b a"/><path d="M2 2" class="b"/>'
        '<g class="gone"><path d="M3 3" class="a"/></g><path d="M4 4" class="a c"/></svg>'
    )
    # By the cascade of CSS, worked out by hand.
    assert [(leaf["d"], leaf["fill"]) for leaf in leaves(flat(svg, {}))] == [
        ("M1 1", "#aaaaaa"),
        ("M2 2", "#dddddd"),
        ("M4 4", "#bbbbbb"),
    ]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with chromium() as browser:
        yield browser


@needs(chromium=CHROMIUM, pdftoppm=PDFTOPPM)
@pytest.mark.parametrize("name", FIGURES)
def test_a_browser_prints_a_flat_figure_as_it_prints_the_figure(
    browser: Browser, tmp_path: Path, name: str
) -> None:
    figure = FIGURES[name]
    styled = by_chromium(browser, figure, css(), tmp_path)
    assert difference(by_chromium(browser, flat(figure, {}), "", tmp_path), styled) < 0.02
    # A control: without rules, and not flat, it is another picture.
    assert difference(by_chromium(browser, figure, "", tmp_path), styled) > 1


@needs(chromium=CHROMIUM, weasyprint=PRINTER, pdftoppm=PDFTOPPM)
@pytest.mark.parametrize("name", FIGURES)
def test_a_simpler_renderer_prints_a_flat_figure_as_a_browser_does(
    browser: Browser, tmp_path: Path, name: str
) -> None:
    figure = FIGURES[name]
    styled = by_chromium(browser, figure, css(), tmp_path)
    printed = by_printer(flat(figure, {}), "", tmp_path)
    raw = by_printer(figure, css(), tmp_path)
    # Of 255 steps of grey. Edges fall on the pixels in other ways: measured 0.1 to 3.2 for flat figures, and
    # 13 times as much and more where they are not flat.
    apart = difference(printed, styled)
    assert apart < 4
    assert difference(raw, styled) > 5 * apart


@needs(chromium=CHROMIUM, weasyprint=PRINTER, pdftoppm=PDFTOPPM)
@pytest.mark.parametrize("name", FIGURES)
def test_a_simpler_renderer_paints_no_stray_fragments(browser: Browser, tmp_path: Path, name: str) -> None:
    # On black paper white fragments are seen wherever they are. Several letters in one text, as a figure for
    # a page has them, come apart from it here.
    figure = flat(FIGURES[name], {})
    printed = by_printer(figure, "@page{background:#000}", tmp_path)
    wanted = by_chromium(browser, figure, "html{background:#000}", tmp_path)
    assert wanted.light() > 500, "the figure itself is there"
    assert printed.light(beyond=wanted) == 0
