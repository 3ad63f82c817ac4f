"""Pages as axe-core sees them, a library of the trade that tries pages against WCAG: nothing is found.

Needs the Chromium that the system provides; without it these tests are skipped, but not on a build server.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

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
| `R U R'`{.case} | `@lift-edge`{.before} `@lift-edge`{.after} |

```position
pieces: flips UF and UR
caption: Two of them, by [](index.md).
```

Text[^one], and again[^one].

Guard
: what is kept

````example
Text[^shown].

[^shown]: Of the example.
````

[^one]: A note with `R U`{.moves}.
"""
)

WAY = "# A way\n\n" + EDGE + moves_blocks(["lift"])


NAMES = [
    "index.html",
    "more.html",
    "way.html",
    "effects.html",
    "isolating.html",
    "contents.html",
    "sequences/lift-edge.html",
]


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    folder = write_guide(
        tmp_path_factory.mktemp("guide"), {**small_guide(), "content/more.md": MORE, "content/way.md": WAY}
    )
    publish(folder)
    return folder / "output"


def found(page: Page) -> list[str]:
    """What is wrong, and what must be looked at, each with the element that it is about."""
    response = Axe().run(page).response
    every = [
        (each["id"], node)
        for kind in ("violations", "incomplete")
        for each in response[kind]
        for node in each["nodes"]
    ]
    return [f"{name}: {node['html'][:160]}" for name, node in every if not settled(page, name, node)]


def settled(page: Page, name: str, node: dict[str, Any]) -> bool:
    """Whether what the library leaves open is told elsewhere: it takes one sign for no text.

    Letters and numbers in figures have halos, whose contrast `tests/figures/test_style.py` measures. What is
    heard and not seen covers nothing, though it takes it for something in front of the text that it is in.
    """
    overlapped = "overlap" in " ".join(each["message"] for each in node["any"])
    if overlapped and page.locator(node["target"][0]).locator(".heard").count():
        return name == "color-contrast"
    messages = " ".join(each["message"] for each in node["any"])
    alone = "too short to determine" in messages or "only non-text characters" in messages
    return name == "color-contrast" and (alone or node["html"].startswith("<text"))


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", NAMES)
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
