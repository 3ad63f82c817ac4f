"""The theme for the wall of a class: other than folio in all that is seen, and no less readable.

Needs the Chromium that the system provides; without it these tests are skipped, but not on a build server.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page
from sample_guide import small_guide, write_guide
from sample_rendering import CHROMIUM, needs, without_faults

from sitegen.site.publish import publish

pytestmark = needs(chromium=CHROMIUM)

PAGES = ["index.html", "method/index.html", "other.html", "effects.html", "sequences/lift-edge.html"]
BOX = (
    "each => { const box = each.getBoundingClientRect(); return [box.left, box.top, box.right, box.bottom] }"
)


@pytest.fixture(scope="module")
def outputs(tmp_path_factory) -> dict[str, Path]:
    """The same guide in both themes."""
    made = {}
    for theme in ("folio", "board"):
        files = small_guide()
        files["content/guide.yaml"] = f"{files['content/guide.yaml']}theme: {theme}\n"
        made[theme] = write_guide(tmp_path_factory.mktemp(theme), files)
        publish(made[theme])
    return {theme: folder / "output" for theme, folder in made.items()}


def box(page: Page, selector: str) -> list[float]:
    return page.locator(selector).first.evaluate(BOX)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1440])
@pytest.mark.parametrize("name", PAGES)
def test_nothing_is_found_on_a_page_and_none_is_wider_than_its_window(
    browser: Browser, outputs, name: str, width: int, scheme: str
) -> None:
    size = {"width": width, "height": 900}
    with without_faults(browser, outputs["board"] / name, viewport=size, color_scheme=scheme) as page:
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        assert [each["id"] for each in Axe().run(page).response["violations"]] == []


def test_words_stand_beside_their_figures_where_there_is_room(browser: Browser, outputs) -> None:
    beside = {}
    for theme in ("folio", "board"):
        with without_faults(
            browser, outputs[theme] / PAGES[1], viewport={"width": 1440, "height": 900}
        ) as page:
            figures, words = box(page, ".card.sequence .pairs"), box(page, ".card.sequence .effect")
            beside[theme] = words[0] >= figures[2] and words[1] < figures[3]
            page.locator(".card.sequence").first.get_by_role("button", name="Play the turns").click()
            page.locator(".player").wait_for()
            player, words = box(page, ".player"), box(page, ".card.sequence .effect")
            assert theme == "folio" or words[0] >= player[2]
    assert beside == {"folio": False, "board": True}


def test_contents_stand_behind_the_text_and_letters_have_no_serifs(browser: Browser, outputs) -> None:
    with without_faults(
        browser, outputs["board"] / "index.html", viewport={"width": 1440, "height": 900}
    ) as page:
        assert box(page, ".contents")[1] > box(page, "main")[3] - 1
        assert "Folio Plain" in page.evaluate("getComputedStyle(document.body).fontFamily")
