"""What a file that stands alone promises: any program draws it as a browser draws the figure of a page."""

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
from sample_rendering import CHROMIUM, Grey, needs, on_screen
from test_draw import busy, solved

from sitegen.figures import plane as page
from sitegen.figures.cascade import SCREEN, Cascade
from sitegen.figures.draw import draw
from sitegen.figures.flat import SCALE, alone
from sitegen.figures.of_position import palette, picture
from sitegen.figures.picture import Picture
from sitegen.figures.raster import NoRaster, png
from sitegen.figures.style import COLOURS, css
from sitegen.figures.views import available, layout
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.puzzle import Puzzle

Image = pytest.importorskip("PIL.Image")
USUAL = Cascade([css()], SCREEN)
WIDTH = 700
EVERY_VIEW = [(name, view) for name in catalogue.names() for view in available(catalogue.puzzle(name))]
CAIRO = find_library("cairo")
RSVG, MAGICK = shutil.which("rsvg-convert"), shutil.which("convert")


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
    shown, plan = scrambled(puzzle), layout(puzzle, view)
    image = Image.open(io.BytesIO(program(alone(draw(shown, view), USUAL, WIDTH)))).convert("RGBA")
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


LETTERED = [
    ("cube-3", "corner with back", 900),
    ("cube-3", "net", 900),
    ("cube-6", "top", 1200),
    ("skewb", "corner with back", 900),
    ("pyraminx", "top", 800),
    ("megaminx", "net", 1800),
]


@needs(chromium=CHROMIUM, cairo=CAIRO)
@pytest.mark.parametrize(("name", "view", "width"), LETTERED)
def test_letters_stand_where_a_browser_sets_them(browser: Browser, name: str, view: str, width: int) -> None:
    puzzle = catalogue.puzzle(name)
    plan = layout(puzzle, view)
    shown = [draw(scrambled(puzzle, letters_shown=letters), view) for letters in (True, False)]
    by_browser = [on_screen(browser, figure, css(), width) for figure in shown]
    by_other = [Grey(_on_white(by_cairo(alone(figure, USUAL, width)))) for figure in shown]
    scale = width / plan.width
    for slot, (x, y) in plan.centres.items():
        reach = round(page.inner_radius(plan.shapes[slot]) * scale)
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


@pytest.mark.parametrize("letters", [True, False])
def test_it_needs_no_rules_no_fonts_and_nothing_from_elsewhere(letters: bool) -> None:
    file = alone(draw(replace(busy(catalogue.puzzle("cube-3")), letters_shown=letters), "corner"), USUAL)
    assert not re.search(r"var\(|<style|style=|currentColor|href|url\(|paint-order|dominant|\dem\"", file)
    root = ET.fromstring(file)
    paths = root.findall("{*}path")
    assert paths
    assert all(re.fullmatch(r"#[0-9a-f]{6}|none", path.get("fill", "")) for path in paths)
    # What a half turn is marked with is the one text; it is no letter on a sticker.
    assert [text.text for text in root.findall(".//{*}text")] == ["2", "2"]


def test_it_says_how_large_it_is_and_what_it_shows() -> None:
    cube = catalogue.puzzle("cube-3")
    root = ET.fromstring(alone(draw(solved(cube), "corner"), USUAL))
    plan = layout(cube, "corner")
    assert (root.get("width"), root.get("height")) == (
        str(round(plan.width * SCALE)),
        str(round(round(plan.width * SCALE) * plan.height / plan.width)),
    )
    assert root.get("viewBox") == f"0 0 {plan.width} {plan.height}"
    assert root.findtext("{*}title") == "Two edges of U & F"
    assert root.findtext("{*}desc") == "UF and UR are turned over; <all> else is home."


def test_the_same_picture_gives_the_same_bytes() -> None:
    figure = draw(solved(catalogue.puzzle("cube-3")), "corner")
    assert alone(figure, USUAL) == alone(figure, USUAL)
    assert png(alone(figure, USUAL)) == png(alone(figure, USUAL))


def test_shades_are_those_of_the_sheets() -> None:
    own = Cascade([css(), ":root{--white:#abcdef}", "@media print{:root{--white:#000001}}"], SCREEN)
    file = alone(draw(solved(catalogue.puzzle("cube-3")), "corner"), own)
    assert 'fill="#abcdef"' in file
    assert COLOURS["white"] not in file


def test_without_the_library_for_pixels_it_is_said_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(__import__("sys").modules, "resvg_py", None)
    with pytest.raises(NoRaster, match=r"not installed.*extra “png”"):
        png("<svg/>")
