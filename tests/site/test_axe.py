"""Pages as axe-core sees them, a library of the trade that tries pages against WCAG: nothing is found.

Needs the Chromium that the system provides; without it these tests are skipped, but not on a build server.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page
from sample_guide import THOUGHT, small_guide, write_guide
from sample_methods import EDGE, moves_blocks
from sample_rendering import CHROMIUM, needs

from sitegen.site.publish import publish

pytestmark = needs(chromium=CHROMIUM)

MORE = """\
# More

"""
MORE += (
    THOUGHT
    + """
| turns | what they do |
|---|---|
| `R U R'`{.moves} | something |
"""
)

WAY = "# A way\n\n" + EDGE + moves_blocks(["lift"])


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    folder = write_guide(
        tmp_path_factory.mktemp("guide"), {**small_guide(), "content/more.md": MORE, "content/way.md": WAY}
    )
    publish(folder)
    return folder / "output"


def found(page: Page) -> list[str]:
    """What is wrong, each with the elements that it is about."""
    violations = Axe().run(page).response["violations"]
    return [f"{each['id']}: {[node['html'][:120] for node in each['nodes']]}" for each in violations]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize(
    "name", ["index.html", "more.html", "way.html", "effects.html", "sequences/lift-edge.html"]
)
def test_nothing_is_found_on_a_page(browser: Browser, folder: Path, name: str, scheme) -> None:
    page = browser.new_context(offline=True, color_scheme=scheme).new_page()
    page.goto((folder / name).as_uri())
    assert found(page) == []
    page.context.close()


@pytest.mark.parametrize("width", [1280, 360])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_is_found_where_turns_are_played_and_positions_tried(
    browser: Browser, folder: Path, scheme, width: int
) -> None:
    page = browser.new_context(offline=True, color_scheme=scheme, reduced_motion="reduce").new_page()
    page.set_viewport_size({"width": width, "height": 900})
    page.goto((folder / "more.html").as_uri())
    for name in ("Play the turns", "Try it", "Play R, U, R prime"):
        page.get_by_role("button", name=name).first.click()
    page.locator(".bench").wait_for()
    page.locator(".player").nth(2).wait_for()
    assert found(page) == []
    page.context.close()
