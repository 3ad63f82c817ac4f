"""Pages as axe-core sees them, a library of the trade that tries pages against WCAG: nothing is found.

Needs the Chromium that the system provides; without it these tests are skipped, but not on a build server.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from contrast import contrast
from playwright.sync_api import Browser, Page
from sample_guide import THOUGHT, small_guide, write_guide
from sample_methods import EDGE, moves_blocks
from sample_rendering import CHROMIUM, needs
from sample_sheets import SHEETS, sheet_guide

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


MANY = """\
---
title: Of every kind
puzzle: pyraminx
tags: first things
---

::: note
A word to [the reader](https://club.example/).
:::

::: warning
Turn `U`, then look.
:::

## A heading {#here}

- See [](sequence:two-flips).

```moves of-the-tip
moves: u
tags: first things
```

```position lost
moves: R U
solve: U' R'
```

```find short
claims: flips FL and FR
most: 1
```
"""
OTHER_KINDS = [
    *SHEETS,
    "many.html",
    "tags.html",
    "tags/first-things.html",
    "effects.html",
    "embed/two-flips.html",
    "embed/lost.html",
    "methods/small.html",
]
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
    response = Axe().run(page, options={"resultTypes": ["violations", "incomplete"]}).response
    every = [
        (each["id"], node)
        for kind in ("violations", "incomplete")
        for each in response[kind]
        for node in each["nodes"]
    ]
    return [f"{name}: {node['html'][:160]}" for name, node in every if not settled(page, name, node)]


def settled(page: Page, name: str, node: dict[str, Any]) -> bool:
    """Whether what the library leaves open is told elsewhere, or by the colours of text and ground.

    It takes one sign for no text. Letters and numbers in figures have halos, whose contrast
    `tests/figures/test_style.py` measures. Where something lies in front of a text, or the text has to be
    scrolled to, it cannot tell what is behind.
    """
    messages = " ".join(each["message"] for each in node["any"])
    alone = "too short to determine" in messages or "only non-text characters" in messages
    if name != "color-contrast" or alone or node["html"].startswith("<text"):
        return name == "color-contrast"
    ink, ground = page.locator(node["target"][0]).evaluate(INK_AND_GROUND)
    return contrast(in_hexadecimal(ink), in_hexadecimal(ground)) >= 4.5


INK_AND_GROUND = """element => {
  const ground = (each) => getComputedStyle(each).backgroundColor;
  let behind = element;
  while (ground(behind) === "rgba(0, 0, 0, 0)" && behind.parentElement) behind = behind.parentElement;
  return [getComputedStyle(element).color, ground(behind)];
}"""


def in_hexadecimal(colour: str) -> str:
    """`rgb(1, 2, 3)`, and nothing that lets through what is behind, as `#010203`."""
    found = re.fullmatch(r"rgb\((\d+), (\d+), (\d+)\)", colour)
    assert found, colour
    return "#" + "".join(f"{int(channel):02x}" for channel in found.groups())


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_found_on_a_page(browser: Browser, folder: Path, name: str, scheme) -> None:
    page = browser.new_context(offline=True, color_scheme=scheme).new_page()
    page.goto((folder / name).as_uri())
    assert found(page) == []
    page.context.close()


@pytest.fixture(scope="module")
def of_every_kind(tmp_path_factory) -> Path:
    texts = sheet_guide(address="https://club.example/guide/")
    folder = write_guide(
        tmp_path_factory.mktemp("kinds"),
        {
            **texts,
            "content/guide.yaml": f"{texts['content/guide.yaml']}embed: yes\npicture cards: no\n",
            "content/many.md": MANY,
        },
    )
    publish(folder)
    return folder / "output"


@pytest.mark.parametrize("name", OTHER_KINDS)
def test_nothing_is_found_on_other_kinds_of_pages(browser: Browser, of_every_kind: Path, name: str) -> None:
    page = browser.new_context(offline=True, color_scheme="dark").new_page()
    page.set_viewport_size({"width": 360, "height": 900})
    page.goto((of_every_kind / name).as_uri())
    assert found(page) == []
    page.context.close()


def test_nothing_is_found_while_a_reader_searches(browser: Browser, of_every_kind: Path) -> None:
    page = browser.new_context(offline=True).new_page()
    page.goto((of_every_kind / "many.html").as_uri())
    page.get_by_role("searchbox").fill("flips two edges")
    page.locator(".finder li").first.wait_for()
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
