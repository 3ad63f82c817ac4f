"""Figures that a reader saves: they look alone as they looked on their page."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import pytest
from playwright.sync_api import Browser, Page
from sample_guide import guide_of
from sample_rendering import CHROMIUM, Grey, difference, needs

from sitegen.figures.raster import png
from sitegen.site.publish import publish

pytestmark = needs(chromium=CHROMIUM)
TEXT = "```moves lift\nmoves: F D' U L2 U2 D2 R U\nview: corner, net\nletters: yes\nfocus: U\n```\n"


@pytest.fixture(scope="module")
def output(tmp_path_factory) -> Path:
    folder = guide_of(tmp_path_factory.mktemp("guide"), lift=TEXT)
    publish(folder)
    return folder / "output"


@pytest.fixture
def page(browser: Browser, output: Path) -> Iterator[Page]:
    page = browser.new_page(viewport={"width": 1200, "height": 900}, color_scheme="light")
    page.goto((output / "sequences/lift.html").as_uri())
    page.get_by_text("Save figures").click()
    yield page
    page.close()


def saved(page: Page, name: str) -> tuple[str, bytes]:
    with page.expect_download() as download:
        page.get_by_role("button", name=name, exact=True).click()
    return download.value.suggested_filename, download.value.path().read_bytes()


def test_each_figure_has_buttons_that_say_what_they_save(page: Page) -> None:
    names = page.locator(".saving button").evaluate_all("all => all.map(each => each.ariaLabel)")
    figures = [f"{when}, {view}" for view in ("corner", "net") for when in ("before", "after")]
    assert names == [f"Save “{figure}” as {kind}" for figure in figures for kind in ("SVG", "PNG")]


def test_a_saved_figure_looks_as_it_did_on_the_page(page: Page) -> None:
    name, svg = saved(page, "Save “before, corner” as SVG")
    assert name == "lift-before-corner.svg"
    root = ElementTree.fromstring(svg)
    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    assert root.get("width") == "1920"
    assert not re.search(rb"var\(|class=|currentColor|<style", svg)
    name, pixels = saved(page, "Save “before, corner” as PNG")
    assert name == "lift-before-corner.png"
    assert Grey(pixels).width == 1920
    drawn = page.locator(".large svg.puzzle").first
    drawn.evaluate("figure => document.body.replaceChildren(figure)")
    shown = Grey(page.locator("body > svg").screenshot())
    assert difference(alike(pixels, shown), shown) < 3
    # Another program, which has no font for letters, sees the same but for these.
    page.locator("body > svg").evaluate("figure => figure.querySelector('.letters').remove()")
    bare = Grey(page.locator("body > svg").screenshot())
    without = re.sub(r"<text.*?</text>", "", svg.decode(), flags=re.DOTALL)
    assert difference(alike(png(without), bare), bare) < 3


def alike(pixels: bytes, other: Grey) -> Grey:
    """A picture on the ground that another one has, and of its size."""
    image = pytest.importorskip("PIL.Image")
    drawn = image.open(io.BytesIO(pixels)).convert("RGBA").resize((other.width, other.height))
    ground = image.new("RGBA", drawn.size, (*[other.image.getpixel((0, 0))] * 3, 255))
    put = io.BytesIO()
    image.alpha_composite(ground, drawn).save(put, "png")
    return Grey(put.getvalue())


def test_nothing_of_this_is_there_without_scripts(browser: Browser, output: Path) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((output / "sequences/lift.html").as_uri())
    assert page.get_by_text("Save figures").count() == 0
    context.close()
