"""A site from a server is what it is from the file system; and nothing on it jumps while it is loaded.

Needs the Chromium that the system provides; without it these tests are skipped, but not on a build server.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from sample_guide import guide_of
from sample_rendering import CHROMIUM, needs, without_faults
from serving_files import served

from sitegen.site.publish import publish

pytestmark = needs(chromium=CHROMIUM)

GUIDE = """\
# One edge

Words about `R U R'`{.moves}, which are long enough to be set in lines, so that other letters would break them
otherwise.

```moves lift-edge
title: Lift the edge
moves: F E F2 E2 F E
claims:
- flips UF
```

```position twice
pieces: flips UF and UR
solve: [@lift-edge, U]
```

## A heading

More words, below the figures, which would be moved by whatever comes late above them.
"""
NAMES = ("index.html", "sequences/lift-edge.html", "effects.html")
SHIFTS = """
window.shifted = 0;
new PerformanceObserver((list) => {
  for (const entry of list.getEntries()) window.shifted += entry.value;
}).observe({ type: "layout-shift", buffered: true });
"""
SLOW = {"offline": False, "latency": 150, "downloadThroughput": 200_000, "uploadThroughput": 94_000}
"""A slow telephone line: bytes a second, and milliseconds until the first."""
STEADY = 0.02
"""Of a shift that people are said to notice this is a fifth (Web Vitals: 0.1 is good; from memory)."""


@pytest.fixture(scope="module")
def address(tmp_path_factory) -> Iterator[str]:
    folder = guide_of(tmp_path_factory.mktemp("guide"), index=GUIDE)
    publish(folder)
    with served(Path(folder) / "output") as address:
        yield address


def test_turns_are_played_from_a_server(browser: Browser, address: str) -> None:
    with without_faults(browser, f"{address}index.html", reduced_motion="reduce") as page:
        page.get_by_role("button", name="Play the turns").first.click()
        page.locator(".player").wait_for()
        page.get_by_role("button", name="To the end").click()
        assert page.locator(".player .turns-row .done").count() == 6


def test_positions_are_tried_from_a_server(browser: Browser, address: str) -> None:
    with without_faults(browser, f"{address}index.html", reduced_motion="reduce") as page:
        page.get_by_role("button", name="Try it").click()
        page.locator(".bench").wait_for()
        page.get_by_label("Or type turns").fill("[F E F2 E2 F E, U]")
        page.keyboard.press("Enter")
        assert (page.locator(".bench .state").text_content() or "").startswith("Solved in 14 turns.")


@pytest.mark.parametrize("width", [360, 1440])
@pytest.mark.parametrize("name", NAMES)
def test_nothing_jumps_while_a_page_comes_over_a_slow_line(
    browser: Browser, address: str, name: str, width: int
) -> None:
    """Fonts, the field for searching and buttons come late, and find their places kept."""
    page = browser.new_context(viewport={"width": width, "height": 740}).new_page()
    session = page.context.new_cdp_session(page)
    session.send("Network.enable")
    session.send("Network.emulateNetworkConditions", SLOW)
    page.add_init_script(SHIFTS)
    page.goto(f"{address}{name}", wait_until="networkidle")
    page.wait_for_function("document.fonts.status === 'loaded'")
    page.evaluate("new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
    assert page.locator(".finder input").count() == 1
    assert page.evaluate("shifted") < STEADY
    page.context.close()
