"""What a plain figure promises: it needs no rules, and any program shows it as a browser shows the page's."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import xml.etree.ElementTree as ET
from collections.abc import Callable
from ctypes.util import find_library
from dataclasses import replace
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

import pytest
from playwright.sync_api import Browser
from sample_pictures import busy, solved
from sample_rendering import (
    CHROMIUM,
    PDFTOPPM,
    PRINTER,
    Grey,
    by_chromium,
    by_printer,
    difference,
    needs,
    on_screen,
)

from sitegen.figures import plane as page
from sitegen.figures.capitals import lettering
from sitegen.figures.chart import histogram
from sitegen.figures.draw import SCALE, draw, draw_alone
from sitegen.figures.of_position import palette, picture
from sitegen.figures.parts import PUZZLE, Figure, PartGroup, Text
from sitegen.figures.path_text import path_text
from sitegen.figures.picture import Picture
from sitegen.figures.raster import NoRaster, png
from sitegen.figures.self_contained import self_contained
from sitegen.figures.style import COLOURS, DARK, LIGHT, LOOKS, USUAL, Paints, css
from sitegen.figures.views import available, layout
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.puzzle import Puzzle

Image = pytest.importorskip("PIL.Image")
CUBE = catalogue.puzzle("cube-3")
SLOT = CUBE.slots
SCREEN = Paints(USUAL.light, on_paper=False)
PAPER = Paints(USUAL.paper, on_paper=True)
SEEN = {"light": SCREEN, "dark": Paints(USUAL.dark, on_paper=False), "paper": PAPER}

GUARDED = solved(
    CUBE,
    outlined=frozenset({SLOT["UB"], SLOT["UR"], SLOT["DB"]}),
    away=frozenset({SLOT["UF"], SLOT["BL"]}),
    disturbed=frozenset({SLOT["UFR"], SLOT["RUF"]}),
    muted=frozenset({SLOT["UB"], SLOT["DF"], SLOT["DL"]}),
)
PICTURES = {
    "corner with every mark": (busy(CUBE), "corner"),
    "top with every mark": (busy(CUBE), "top"),
    "guards and mirrors": (GUARDED, "corner with back"),
    "letters in a net": (solved(CUBE, letters_shown=True), "net"),
    "patterns": (replace(busy(CUBE), patterned=True), "corner"),
    "patterns in a net": (replace(solved(CUBE), patterned=True), "net"),
    "longer letters": (replace(solved(CUBE), letters=("BR", "Uf") + ("D",) * 52), "corner"),
    "small letters": (replace(solved(CUBE, letters_shown=True), letters=("f", "&", "r") * 18), "net"),
}
CHARTS = {
    "chart": {1: 6, 2: 13, 3: 4, 7: 1, 12: 1234},
    "chart of many": {n: n * n % 17 + 1 for n in range(60)},
}
FIGURES = [*PICTURES, *CHARTS]


def figure(name: str, paints: Paints | None = None, capitals: bool = True) -> str:
    """A figure for a page, or a plain one; without capital letters, which a plain one has as lines."""
    if name in CHARTS:
        return histogram(CHARTS[name], "Cases", "cases", "turns", paints)
    shown, view = PICTURES[name]
    letters = tuple("" if each.isupper() and not capitals else each for each in shown.letters)
    return draw(replace(shown, letters=letters, paints=paints), view)


def paths_and_texts(svg: str) -> list[ET.Element]:
    return [element for element in ET.fromstring(svg).iter() if element.tag in ("path", "text")]


# On a page, and plain -------------------------------------------------------------------------------------


@needs(chromium=CHROMIUM)
@pytest.mark.parametrize("seen", SEEN)
@pytest.mark.parametrize("name", FIGURES)
def test_but_for_capital_letters_a_browser_shows_a_plain_figure_as_that_of_the_page(
    browser: Browser, name: str, seen: str
) -> None:
    media = {
        "media": "print" if seen == "paper" else "screen",
        "color_scheme": "dark" if seen == "dark" else "light",
    }
    on_page = on_screen(browser, figure(name, capitals=False), css(), 700, **media)
    by_itself = on_screen(browser, figure(name, SEEN[seen], capitals=False), "", 700, **media)
    assert difference(by_itself, on_page) < 0.02
    # A control: without rules the page's figure is another picture.
    assert difference(on_screen(browser, figure(name, capitals=False), "", 700, **media), on_page) > 1


@pytest.mark.parametrize("name", FIGURES)
def test_what_it_says_and_its_size_are_those_of_the_page_s_figure(name: str) -> None:
    on_page, by_itself = (ET.fromstring(figure(name, paints)) for paints in (None, PAPER))
    for tag in ("title", "desc"):
        assert by_itself.findtext(tag) == on_page.findtext(tag) != ""
    for attribute in ("viewBox", "role", "class"):
        assert by_itself.get(attribute) == on_page.get(attribute) is not None


@needs(chromium=CHROMIUM)
@pytest.mark.parametrize("paints", [None, SCREEN])
@pytest.mark.parametrize("name", FIGURES)
def test_who_cannot_see_it_is_told_its_title_and_its_description(
    browser: Browser, name: str, paints: Paints | None
) -> None:
    svg = figure(name, paints)
    page = browser.new_page()
    page.set_content(f"<!doctype html><style>{css()}</style><p>Before it.</p>{svg}")
    tree = page.context.new_cdp_session(page).send("Accessibility.getFullAXTree")["nodes"]
    page.close()
    images = [node for node in tree if node.get("role", {}).get("value") in ("image", "img")]
    told = [(node["name"]["value"], node["description"]["value"]) for node in images]
    root = ET.fromstring(svg)
    assert told == [(root.findtext("title"), root.findtext("desc"))]


@pytest.mark.parametrize("name", FIGURES)
def test_every_kind_of_part_that_is_drawn_has_a_look(name: str) -> None:
    root = ET.fromstring(figure(name))
    kinds = {
        kind for element in root.iter() if element is not root for kind in element.get("class", "").split()
    }
    assert kinds
    assert kinds <= LOOKS[root.get("class", "")].keys()


@pytest.mark.parametrize("name", FIGURES)
def test_nothing_is_left_that_needs_a_rule(name: str) -> None:
    svg = figure(name, PAPER)
    assert not re.search(r"var\(|currentColor|\dem\"|paint-order|display|<style| style=", svg)
    assert [element.tag for element in ET.fromstring(svg).iter() if "class" in element.attrib] == ["svg"]
    for drawn in paths_and_texts(svg):
        paints = {drawn.get("fill", "none"), drawn.get("stroke", "none")}
        assert all(re.fullmatch(r"#[0-9a-f]{6}|none", paint) for paint in paints)
        assert paints != {"none"}, "it would not be seen"


def lettered(*texts: Text, size: int = 50) -> list[ET.Element]:
    """What is painted of some texts on stickers, in letters so high."""
    shown = Figure(PUZZLE, "T", "D", 99, 99, [PartGroup("letters shown", texts, size=size)])
    return paths_and_texts(self_contained(shown, SCREEN))


def test_capital_letters_are_lines_of_their_colour_each_at_its_place() -> None:
    halo, letters = lettered(Text("AB", (10, 30), (20, 40)))
    both = path_text([*lettering("A", 10, 20, 50), *lettering("B", 30, 40, 50)])
    assert halo.get("d") == letters.get("d") == both
    assert (halo.get("stroke"), letters.get("stroke")) == (LIGHT["figure-halo"], LIGHT["figure-mark"])
    # What is left at the last place is a word; smaller letters are smaller lines.
    assert lettered(Text("BR", (60,), (70,)))[1].get("d") == path_text(lettering("BR", 60, 70, 50))
    assert lettered(Text("R", (60,), (70,), 30))[1].get("d") == path_text(lettering("R", 60, 70, 30))


@pytest.mark.parametrize("size", [50, 30])
def test_a_halo_is_as_wide_as_its_share_of_the_usual_letters_height(size: int) -> None:
    # A group's em is its own letters' height: smaller letters in it have the same halo, .24 of 50.
    halo, letter = lettered(Text("A", (1,), (2,), size))
    assert float(halo.get("stroke-width", "")) - float(letter.get("stroke-width", "")) == pytest.approx(12)
    halo, letter = lettered(Text("a", (1,), (2,), size))
    assert (halo.get("stroke-width"), halo.get("font-size")) == ("12", str(size))
    assert "stroke" not in letter.attrib


@pytest.mark.parametrize("written", ["ab", "A&", "Ab", "12", "ÄÖ"])
def test_other_characters_stay_texts_each_at_its_place(written: str) -> None:
    drawn = lettered(Text(written, (1, 3), (2, 4)))
    # The halos of both, and both.
    first, last = ((written[0], "1", "2"), (written[1], "3", "4"))
    assert [(each.text, each.get("x"), each.get("y")) for each in drawn] == [first, last, first, last]


# By other programs ----------------------------------------------------------------------------------------

CAIRO = find_library("cairo")
RSVG, MAGICK = shutil.which("rsvg-convert"), shutil.which("convert")


@needs(chromium=CHROMIUM, weasyprint=PRINTER, pdftoppm=PDFTOPPM)
@pytest.mark.parametrize("name", FIGURES)
def test_a_simpler_renderer_prints_a_plain_figure_as_a_browser_does(
    browser: Browser, tmp_path: Path, name: str
) -> None:
    by_browser = by_chromium(browser, figure(name, PAPER), "", tmp_path)
    apart = difference(by_printer(figure(name, PAPER), "", tmp_path), by_browser)
    # Of 255 steps of grey. Edges fall on the pixels in other ways: measured 0.1 to 3.2 for plain figures, and
    # 13 times as much and more for those of a page.
    assert apart < 4
    assert difference(by_printer(figure(name), css(), tmp_path), by_browser) > 5 * apart


@needs(chromium=CHROMIUM, weasyprint=PRINTER, pdftoppm=PDFTOPPM)
@pytest.mark.parametrize("name", FIGURES)
def test_a_simpler_renderer_paints_no_stray_fragments(browser: Browser, tmp_path: Path, name: str) -> None:
    # On black paper white fragments are seen wherever they are. Several letters in one text, as a figure for
    # a page has them, come apart from it here.
    printed = by_printer(figure(name, PAPER), "@page{background:#000}", tmp_path)
    wanted = by_chromium(browser, figure(name, PAPER), "html{background:#000}", tmp_path)
    assert wanted.light() > 500, "the figure itself is there"
    assert printed.light(beyond=wanted) == 0


def by_cairo(svg: str) -> bytes:
    import cairosvg

    return bytes(cairosvg.svg2png(bytestring=svg.encode()))


def by_program(*command: str | None) -> Callable[[str], bytes]:
    """By a program that is told the two files."""

    def drawn(svg: str) -> bytes:
        with TemporaryDirectory() as folder:
            source, target = Path(folder, "figure.svg"), Path(folder, "figure.png")
            source.write_text(svg)
            whole = [{"IN": str(source), "OUT": str(target)}.get(part or "", part or "") for part in command]
            subprocess.run(whole, capture_output=True, check=True)
            return target.read_bytes()

    return drawn


PROGRAMS = [
    pytest.param(by_cairo, id="CairoSVG", marks=needs(cairo=CAIRO)),
    pytest.param(png, id="resvg"),
    pytest.param(by_program(RSVG, "-o", "OUT", "IN"), id="librsvg", marks=needs(librsvg=RSVG)),
    pytest.param(
        by_program(MAGICK, "-background", "none", "IN", "OUT"),
        id="ImageMagick",
        marks=needs(imagemagick=MAGICK),
    ),
]
WIDTH = 700
EVERY_VIEW = [(name, view) for name in catalogue.names() for view in available(catalogue.puzzle(name))]


def scrambled(puzzle: Puzzle, **more: object) -> Picture:
    position, random = puzzle.identity, Random(5)
    turns = list(puzzle.turns())
    for _ in range(12):
        position = perm.compose(position, puzzle.permutation(random.choice(turns)))
    return replace(picture(puzzle, position, palette(puzzle), "T", "D"), **more)


def rgb(shade: str) -> tuple[int, int, int]:
    return int(shade[1:3], 16), int(shade[3:5], 16), int(shade[5:7], 16)


@pytest.mark.parametrize("program", PROGRAMS)
@pytest.mark.parametrize(("name", "view"), EVERY_VIEW)
def test_every_program_shows_the_colour_of_every_sticker(
    name: str, view: str, program: Callable[[str], bytes]
) -> None:
    puzzle = catalogue.puzzle(name)
    shown, plan = scrambled(puzzle, paints=SCREEN), layout(puzzle, view)
    image = Image.open(io.BytesIO(program(draw_alone(shown, view, WIDTH)))).convert("RGBA")
    scale = WIDTH / plan.width
    assert image.size == (WIDTH, round(plan.height * scale))
    for slot, (x, y) in plan.centres.items():
        *colour, opaque = image.getpixel((int(x * scale), int(y * scale)))
        assert opaque == 255
        wanted = rgb(COLOURS[shown.colours[slot]])
        # A picture that is smaller than the figure mixes neighbouring pixels, but not at a sticker's middle.
        assert max(abs(a - b) for a, b in zip(colour, wanted, strict=True)) <= 2, puzzle.stickers[slot].name


def box(with_letters: Grey, without: Grey, left: int, top: int, right: int, bottom: int) -> list[int] | None:
    """What letters change of a part of a picture, by its sides."""
    chops = pytest.importorskip("PIL.ImageChops")
    parts = [grey.image.crop((left, top, right, bottom)) for grey in (with_letters, without)]
    changed = chops.difference(*parts).point(lambda value: 255 if value > 60 else 0)
    return changed.getbbox()


VIEWS_WITH_LETTERS = [
    ("cube-3", "corner with back", 900),
    ("cube-3", "net", 900),
    ("cube-6", "top", 1200),
    ("skewb", "corner with back", 900),
    ("pyraminx", "top", 800),
    ("megaminx", "net", 1800),
]


@needs(chromium=CHROMIUM, cairo=CAIRO)
@pytest.mark.parametrize(("name", "view", "width"), VIEWS_WITH_LETTERS)
def test_letters_stand_where_a_browser_sets_them(browser: Browser, name: str, view: str, width: int) -> None:
    puzzle = catalogue.puzzle(name)
    plan = layout(puzzle, view)
    shown = [scrambled(puzzle, letters_shown=letters) for letters in (True, False)]
    by_browser = [on_screen(browser, draw(each, view), css(), width) for each in shown]
    by_other = [
        Grey(_on_white(by_cairo(draw_alone(replace(each, paints=SCREEN), view, width)))) for each in shown
    ]
    scale = width / plan.width
    for slot, (x, y) in plan.centres.items():
        # In the corners of a square as wide as the sticker there may be the letter of another one.
        reach = round(0.85 * page.inner_radius(plan.shapes[slot]) * scale)
        crop = [round(at * scale) + way for at, way in ((x, -reach), (y, -reach), (x, reach), (y, reach))]
        ours, theirs = (box(*drawn, *crop) for drawn in (by_other, by_browser))
        assert (ours is None) == (theirs is None), slot
        if ours and theirs:
            # The letters of a font are of another shape, and broader or narrower; but they are in one place.
            middles = [[(b[i] + b[i + 2]) / 2 for i in (0, 1)] for b in (ours, theirs)]
            apart = [abs(a - b) / (plan.unit * scale) for a, b in zip(*middles, strict=True)]
            assert max(apart) < 0.06, (puzzle.stickers[slot].name, ours, theirs)


def _on_white(picture: bytes) -> bytes:
    image = Image.open(io.BytesIO(picture)).convert("RGBA")
    white = Image.new("RGBA", image.size, "white")
    white.alpha_composite(image)
    out = io.BytesIO()
    white.save(out, "PNG")
    return out.getvalue()


# As a file ------------------------------------------------------------------------------------------------


def test_a_file_says_how_large_it_is_and_of_which_language() -> None:
    root = ET.fromstring(draw_alone(solved(CUBE, paints=SCREEN), "corner"))
    plan = layout(CUBE, "corner")
    across = round(plan.width * SCALE)
    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    assert (root.get("width"), root.get("height")) == (
        str(across),
        str(round(across * plan.height / plan.width)),
    )


def test_the_same_picture_gives_the_same_bytes() -> None:
    one, other = (draw_alone(replace(busy(CUBE), paints=SCREEN), "corner") for _ in range(2))
    assert one == other
    assert png(one) == png(other)


def test_shades_are_those_that_are_given() -> None:
    own = Paints({**USUAL.light, "white": "#abcdef", "figure-halo": "none"}, on_paper=False)
    file = draw_alone(replace(busy(CUBE), paints=own), "corner")
    assert 'fill="#abcdef"' in file
    assert not {COLOURS["white"], DARK["figure-muted"], LIGHT["figure-halo"]} & set(
        re.findall("#[0-9a-f]{6}", file)
    )


def test_without_the_library_for_pixels_it_is_said_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(__import__("sys").modules, "resvg_py", None)
    with pytest.raises(NoRaster, match=r"not installed.*extra “png”"):
        png("<svg/>")
