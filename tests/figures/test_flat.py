"""What a flat figure promises: no rules, and the picture that the rules give on paper."""

from __future__ import annotations

import re
from dataclasses import replace
from html import escape
from pathlib import Path
from xml.etree import ElementTree

import pytest
from cssselect2 import ElementWrapper
from playwright.sync_api import Browser
from sample_rendering import (
    CHROMIUM,
    PDFTOPPM,
    PRINTER,
    by_chromium,
    by_printer,
    difference,
    needs,
)
from test_draw import busy, solved

from sitegen.figures.capitals import lettering
from sitegen.figures.cascade import PRINT as PAPER
from sitegen.figures.cascade import Cascade
from sitegen.figures.chart import histogram
from sitegen.figures.draw import draw
from sitegen.figures.flat import flat as flattened
from sitegen.figures.flat import is_figure
from sitegen.figures.style import COLOURS, DARK, LIGHT, PRINT, css
from sitegen.puzzles import catalogue

INK = "#000000"
"""What has the colour of the text, where nobody says which that is."""
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
    "small letters": draw(replace(solved(CUBE), letters=("f", "&", "r") * 18), "net"),
    "chart": histogram({1: 6, 2: 13, 3: 4, 7: 1, 12: 1234}, "Cases", "cases", "turns"),
    "chart of many": histogram({n: n * n % 17 + 1 for n in range(60)}, "Cases", "cases", "turns"),
}
SHAPES = {"path", "text"}


def figures(page: str) -> list[ElementWrapper]:
    root = ElementWrapper.from_html_root(ElementTree.fromstring(page))
    return [element for element in root.iter_subtree() if is_figure(element)]


def flat(svg: str, *own: str, rules: str | None = None) -> str:
    """A figure as it is on paper, on a page with nothing else; `own` are sheets behind the usual rules."""
    (figure,) = figures(f"<html><body>{svg}</body></html>")
    sheets = [css() if rules is None else rules, *own]
    return ElementTree.tostring(flattened(figure, Cascade(sheets, PAPER)), encoding="unicode")


def without_capitals(figure: str) -> str:
    """A figure without the texts that become lines."""
    return re.sub(r"<text[^>]*>[A-Z]+</text>", "", figure)


LETTERED = [name for name, figure in FIGURES.items() if without_capitals(figure) != figure]


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
    svg = flat(FIGURES[name])
    assert not re.search(r"var\(|currentColor|\dem\"|paint-order|display|<style| style=", svg)
    root = ElementTree.fromstring(svg)
    assert [element.tag for element in root.iter() if "class" in element.attrib] == ["svg"]
    for leaf in leaves(svg):
        paints = {leaf.get("fill", "none"), leaf.get("stroke", "none")}
        assert all(re.fullmatch(r"#[0-9a-f]{6}|none", paint) for paint in paints)
        assert paints != {"none"}, "it would not be seen"


@pytest.mark.parametrize("name", FIGURES)
def test_what_it_says_and_its_size_stay(name: str) -> None:
    before, after = ElementTree.fromstring(FIGURES[name]), ElementTree.fromstring(flat(FIGURES[name]))
    for tag in ("title", "desc"):
        assert after.findtext(tag) == before.findtext(tag) != ""
    for attribute in ("viewBox", "role", "aria-label", "class"):
        assert after.get(attribute) == before.get(attribute) is not None


def test_the_same_figure_gives_the_same_bytes() -> None:
    for figure in FIGURES.values():
        assert flat(figure) == flat(figure)


@pytest.mark.parametrize(
    "own", ['<svg class="icon"><path d="M0 0"/></svg>', '<svg class="puzzle"><circle r="3"/></svg>', "<svg/>"]
)
def test_an_author_s_own_drawing_is_no_figure(own: str) -> None:
    assert figures(f"<html><body>{own}</body></html>") == []


def test_colours_are_those_of_paper_and_of_whoever_gives_their_own() -> None:
    fills = {leaf["fill"] for leaf in leaves(flat(guarded()))}
    assert {COLOURS["red"], LIGHT["figure-body"], PRINT["figure-muted"]} <= fills
    assert DARK["figure-muted"] not in fills, "that is for a screen"
    own = {leaf["fill"] for leaf in leaves(flat(guarded(), ":root{--red:#a01; --figure-muted:#ffeedd}"))}
    assert {"#aa0011", "#ffeedd"} <= own
    assert not {COLOURS["red"], PRINT["figure-muted"]} & own


def test_a_muted_sticker_s_line_is_as_thin_as_on_paper() -> None:
    (muted,) = [leaf for leaf in leaves(flat(guarded())) if leaf["fill"] == PRINT["figure-muted"]]
    assert muted["stroke-width"] == "4"
    assert ".puzzle .muted{stroke-width:4}" in css().rpartition("@media print")[2]


def test_a_chart_is_written_in_the_ink_of_the_page() -> None:
    written = [leaf for leaf in leaves(flat(FIGURES["chart"])) if leaf["written"]]
    assert {leaf["fill"] for leaf in written} == {INK}
    assert {leaf["text-anchor"] for leaf in written} == {"middle"}


@pytest.mark.parametrize("name", ["corner with every mark", "longer letters", "patterns", "small letters"])
def test_a_halo_lies_below_what_it_is_round(name: str) -> None:
    drawn = leaves(flat(FIGURES[name]))
    places = [(leaf.get("d"), leaf.get("x"), leaf.get("y")) for leaf in drawn]
    found = 0
    for place in {place for place in places if places.count(place) > 1}:
        halo, over = (leaf for leaf, own in zip(drawn, places, strict=True) if own == place)
        assert halo["fill"] == "none" != halo["stroke"]
        assert halo["stroke"] not in (over["fill"], over.get("stroke")), "another colour"
        if over["fill"] == "none":
            assert float(halo["stroke-width"]) > float(over["stroke-width"]), "it is seen on both sides"
        found += 1
    # Each mark has one, all capitals of one text together, and each other character at a place of its own.
    figure = ElementTree.fromstring(FIGURES[name])
    groups = {group.get("class", "").split()[0]: group for group in figure.iter("g")}
    texts = [(text.text or "", len(text.get("x", "").split())) for text in groups["letters"]]
    assert texts
    assert found == len(groups.get("marks", ())) + sum(
        1 if re.fullmatch("[A-Z]+", text) else places for text, places in texts
    )


def lettered(texts: str) -> list[dict[str, str]]:
    """The leaves of a figure with these texts on its stickers, 50 high where they do not say."""
    group = f'<g class="letters shown" font-size="50">{texts}</g>'
    return leaves(flat(f'<svg class="puzzle" viewBox="0 0 99 99">{group}</svg>'))


def test_a_halo_is_as_wide_as_its_share_of_the_letters_height() -> None:
    # A group's em is its own letters' height: smaller letters in it have the same halo, .24 of 50.
    for size in (50, 30):
        halo, letter = lettered(f'<text x="1" y="2" font-size="{size}">A</text>')
        assert float(halo["stroke-width"]) - float(letter["stroke-width"]) == pytest.approx(12)
        halo, letter = lettered(f'<text x="1" y="2" font-size="{size}">a</text>')
        assert (halo["stroke-width"], halo["font-size"]) == ("12", str(size))
        assert "stroke" not in letter


def test_capital_letters_are_lines_of_their_colour_each_at_its_place() -> None:
    halo, letters = lettered('<text x="10 30" y="20 40">AB</text>')
    assert halo["d"] == letters["d"] == lettering("A", 10, 20, 50) + lettering("B", 30, 40, 50)
    assert (halo["stroke"], letters["stroke"]) == (LIGHT["figure-halo"], LIGHT["figure-mark"])
    # What is left at the last place is a word; smaller letters are smaller lines.
    assert lettered('<text x="60" y="70">BR</text>')[1]["d"] == lettering("BR", 60, 70, 50)
    assert lettered('<text x="60" y="70" font-size="30">R</text>')[1]["d"] == lettering("R", 60, 70, 30)


@pytest.mark.parametrize("written", ["ab", "A&", "Ab", "12", "ÄÖ"])
def test_other_characters_stay_texts_each_at_its_place(written: str) -> None:
    drawn = lettered(f'<text x="1 3" y="2 4">{escape(written)}</text>')
    # The halos of both, and both.
    first, last = ((written[0], "1", "2"), (written[1], "3", "4"))
    assert [(leaf["written"], leaf["x"], leaf["y"]) for leaf in drawn] == [first, last, first, last]


def test_texts_of_an_author_s_own_may_leave_out_where_they_are_and_how_high() -> None:
    # By SVG 2, x and y are 0 where they are not said; how high letters are is then not known here.
    (text,) = leaves(flat('<svg class="puzzle" viewBox="0 0 9 9"><text y="9">AB</text></svg>'))
    assert (text["written"], text["x"], text["y"]) == ("AB", "0", "9")


def test_the_rule_with_more_classes_is_the_stronger_one_and_what_is_hidden_on_paper_is_left_out() -> None:
    rules = (
        ".a.b{fill:#aaaaaa} .a{fill:#bbbbbb} .b{fill:#cccccc}"
        "@media print{.b{fill:#dddddd} .gone{display:none}} @media screen{path{display:none}}"
    )
    svg = (
        '<svg class="chart"><path d="M1 1" class="b a"/><path d="M2 2" class="b"/>'
        '<g class="gone"><path d="M3 3" class="a"/></g><path d="M4 4" class="a c"/></svg>'
    )
    # By the cascade of CSS, worked out by hand.
    assert [(leaf["d"], leaf["fill"]) for leaf in leaves(flat(svg, rules=rules))] == [
        ("M1 1", "#aaaaaa"),
        ("M2 2", "#dddddd"),
        ("M4 4", "#bbbbbb"),
    ]


@needs(chromium=CHROMIUM, pdftoppm=PDFTOPPM)
@pytest.mark.parametrize("name", FIGURES)
def test_but_for_capital_letters_a_browser_prints_a_flat_figure_as_it_prints_the_figure(
    browser: Browser, tmp_path: Path, name: str
) -> None:
    figure = without_capitals(FIGURES[name])
    styled = by_chromium(browser, figure, css(), tmp_path)
    assert difference(by_chromium(browser, flat(figure), "", tmp_path), styled) < 0.02
    # A control: without rules, and not flat, it is another picture.
    assert difference(by_chromium(browser, figure, "", tmp_path), styled) > 1


@needs(chromium=CHROMIUM, pdftoppm=PDFTOPPM)
@pytest.mark.parametrize("name", LETTERED)
def test_capital_letters_as_lines_look_like_those_of_a_font(
    browser: Browser, tmp_path: Path, name: str
) -> None:
    figure = FIGURES[name]
    styled = by_chromium(browser, figure, css(), tmp_path)

    def apart(figure: str, rules: str = "") -> float:
        return difference(by_chromium(browser, figure, rules, tmp_path), styled)

    # Lines are thinner than bold type: with DejaVu Sans, they are measured to be 0.53 to 0.74 as far apart
    # from it as no letters at all.
    missing = apart(flat(without_capitals(figure)))
    assert apart(flat(figure)) < 0.85 * missing
    # Controls: letters that are not in their places, measured 1.55 and more; and what is not flat.
    assert apart(flat(_shifted(figure))) > missing
    assert apart(figure) > missing


def _shifted(figure: str) -> str:
    """A figure whose letters stand lower by two thirds of their height."""
    size = int(re.findall(r'<g class="letters[^>]*font-size="(\d+)"', figure)[0])
    return re.sub(
        r'(<text[^>]* y=")([^"]*)',
        lambda found: found[1] + " ".join(str(int(y) + size // 2) for y in found[2].split()),
        figure,
    )


@needs(chromium=CHROMIUM, weasyprint=PRINTER, pdftoppm=PDFTOPPM)
@pytest.mark.parametrize("name", FIGURES)
def test_a_simpler_renderer_prints_a_flat_figure_as_a_browser_does(
    browser: Browser, tmp_path: Path, name: str
) -> None:
    figure = FIGURES[name]
    by_browser = by_chromium(browser, flat(figure), "", tmp_path)
    apart = difference(by_printer(flat(figure), "", tmp_path), by_browser)
    # Of 255 steps of grey. Edges fall on the pixels in other ways: measured 0.1 to 3.2 for flat figures, and
    # 13 times as much and more where they are not flat.
    assert apart < 4
    assert difference(by_printer(figure, css(), tmp_path), by_browser) > 5 * apart


@needs(chromium=CHROMIUM, weasyprint=PRINTER, pdftoppm=PDFTOPPM)
@pytest.mark.parametrize("name", FIGURES)
def test_a_simpler_renderer_paints_no_stray_fragments(browser: Browser, tmp_path: Path, name: str) -> None:
    # On black paper white fragments are seen wherever they are. Several letters in one text, as a figure for
    # a page has them, come apart from it here.
    figure = flat(FIGURES[name])
    printed = by_printer(figure, "@page{background:#000}", tmp_path)
    wanted = by_chromium(browser, figure, "html{background:#000}", tmp_path)
    assert wanted.light() > 500, "the figure itself is there"
    assert printed.light(beyond=wanted) == 0
