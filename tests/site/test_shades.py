"""One shade wherever it is asked for: on screen, as a browser prints it, in the PDF, and in a drawn file."""

from __future__ import annotations

import io
import subprocess
from pathlib import Path

import pytest
from click.testing import CliRunner
from playwright.sync_api import Browser
from sample_guide import write_guide
from sample_rendering import CHROMIUM, PDFTOPPM, PRINTER, needs

from sitegen.cli import main
from sitegen.figures.style import COLOURS
from sitegen.site.publish import handout

pytestmark = needs(chromium=CHROMIUM, pdftoppm=PDFTOPPM, weasyprint=PRINTER)
Image = pytest.importorskip("PIL.Image")
SHEET = "---\nkind: handout\n---\n```position\nmoves: R R'\nview: net\n```\n"
MINE, OTHER = "#12a4b8", "#c07a10"
THEME = "based on: folio\n"
PLACES = {
    "theme.yaml": ({"theme.yaml": f'{THEME}colours: {{red: "{MINE}"}}\n'}, MINE, MINE),
    "mine.css": ({"theme.yaml": THEME, "files/mine.css": f":root{{--red:{MINE}}}"}, MINE, MINE),
    "theme.yaml, and mine.css on paper": (
        {
            "theme.yaml": f'{THEME}colours: {{red: "{MINE}"}}\n',
            "files/mine.css": f"@media print{{:root{{--red:{OTHER}}}}}",
        },
        MINE,
        OTHER,
    ),
}


def shades(picture: bytes) -> set[str]:
    """Of the shades that this test knows those that a picture shows, each on more than a few pixels."""
    image = Image.open(io.BytesIO(picture)).convert("RGB")
    counted = {f"#{r:02x}{g:02x}{b:02x}": n for n, (r, g, b) in image.getcolors(1 << 24)}
    return {shade for shade in (MINE, OTHER, COLOURS["red"]) if counted.get(shade, 0) > 100}


def raster(pdf: bytes) -> bytes:
    """The first sheet of a PDF, in colour."""
    assert PDFTOPPM, "a build server must have poppler's pdftoppm"
    command = [PDFTOPPM, "-r", "150", "-png", "-singlefile", "-"]
    return subprocess.run(command, input=pdf, capture_output=True, check=True).stdout


@pytest.mark.parametrize("place", PLACES)
def test_a_shade_reaches_paper_as_it_reaches_the_screen(
    browser: Browser, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, place: str
) -> None:
    theme, on_screen, on_paper = PLACES[place]
    files: dict[str, str | bytes] = {
        "content/guide.yaml": "title: T\ntheme: mine\n",
        "content/index.md": "Home.\n",
        "content/sheet.md": SHEET,
        **{f"themes/mine/{name}": text for name, text in theme.items()},
    }
    handout(write_guide(tmp_path, files))
    page = browser.new_page(color_scheme="light")
    page.goto((tmp_path / "output/sheet.html").as_uri())
    screen = page.locator("svg.puzzle").screenshot()
    by_browser = page.pdf(prefer_css_page_size=True, print_background=True)
    page.close()
    assert shades(screen) == {on_screen}
    assert shades(raster(by_browser)) == {on_paper}
    assert shades(raster((tmp_path / "output/sheet.pdf").read_bytes())) == {on_paper}
    monkeypatch.chdir(tmp_path)
    for name in ("one.svg", "one.png"):
        done = CliRunner().invoke(main, ["draw", "R R'", "-o", name, "--view", "net"])
        assert (done.exit_code, done.output) == (0, "")
    assert shades((tmp_path / "one.png").read_bytes()) == {on_screen}
    assert on_screen in (tmp_path / "one.svg").read_text()


def test_a_guide_s_own_colours_are_those_of_files_drawn_in_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    config = f'title: T\ncolours: {{U: pink, D: grey, pink: "{MINE}"}}\n'
    write_guide(tmp_path, {"content/guide.yaml": config, "content/index.md": "Home.\n"})
    monkeypatch.chdir(tmp_path)
    assert CliRunner().invoke(main, ["draw", "R R'", "-o", "one.svg"]).exit_code == 0
    drawn = (tmp_path / "one.svg").read_text()
    assert MINE in drawn
    assert COLOURS["white"] not in drawn
