"""Pages in a real browser: sorting, widths from telephone to desk, scripts off, paper.

Needs the Chromium that the system provides; without it these tests are skipped, but not on a build server.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page
from sample_guide import guide_of, small_guide, write_guide
from sample_rendering import CHROMIUM, WITHOUT_BUTTONS, needs

from sitegen.site.publish import publish

pytestmark = needs(chromium=CHROMIUM)

LONG = " ".join(["R U2 F' L D2 B"] * 8)
PAGES = [
    "index.html",
    "method/index.html",
    "effects.html",
    "isolating.html",
    "sequences/lift-edge.html",
    "sequences/slice.html",
    "sequences/long.html",
]
WIDE = {
    "code": "```text\n" + "a line of code that is much wider than a telephone " * 4 + "\n```\n",
    "word": "A word of its own: " + "donaudampfschifffahrt" * 6 + "\n",
    "link": "[" + "donaudampfschifffahrt" * 6 + "](index.md)\n",
    "inline": "Inline `" + "donaudampfschifffahrt" * 6 + "` and `" + LONG + "`{.moves}.\n",
    "heading": "# " + "Donaudampfschifffahrt" * 3 + "\n",
    "table": "| one | two | three | four | five | six |\n|---|---|---|---|---|---|\n"
    "| a longer cell | a longer cell | unbreakablecell | unbreakablecell | unbreakablecell | cell |\n",
}
"""What authors write that may be wider than a window."""
WIDTHS = [320, 360, 768, 1280]
"""320 CSS pixels is the width at which WCAG 2.2, 1.4.10, allows no scrolling in two directions."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    files = small_guide()
    files["content/other.md"] = f"```moves long\ntitle: A very long one\nmoves: {LONG}\n```\n"
    folder = write_guide(tmp_path_factory.mktemp("guide"), files)
    publish(folder)
    return folder / "output"


Windows = dict[bool, Page]


@pytest.fixture(scope="module")
def windows(browser: Browser) -> Windows:
    """Where pages are opened one after another, by whether scripts are on."""
    contexts = {on: browser.new_context(java_script_enabled=on, offline=True) for on in (True, False)}
    return {on: context.new_page() for on, context in contexts.items()}


def opened(windows: Windows, folder: Path, name: str, width: int = 1280, scripts: bool = True) -> Page:
    """The page as its reader opens it, from the file system; anything else that is asked for is refused."""
    page = windows[scripts]
    page.set_viewport_size({"width": width, "height": 900})
    page.emulate_media(media="null", color_scheme="null")
    page.goto((folder / name).as_uri())
    return page


@pytest.fixture
def page(windows: Windows, folder: Path) -> Page:
    return opened(windows, folder, "effects.html")


def column(page: Page, name: str) -> list[str]:
    cells = page.locator(f"table.effects tbody td[data-label='{name}']")
    return [text.strip() for text in cells.all_text_contents()]


def titles(page: Page) -> list[str]:
    return [text.strip() for text in page.locator("table.effects tbody [scope=row]").all_text_contents()]


def test_the_effect_table_sorts_by_the_head_that_is_pressed_and_back(page: Page) -> None:
    assert titles(page) == ["Lift the front edge", "Two flips", "The middle layer", "A very long one"]
    head = page.get_by_role("button", name="Turns")
    head.click()
    # As numbers, not as words: by hand 2 for M, 8, 18 and 48.
    assert column(page, "Turns") == ["2", "8", "18", "48"]
    assert page.locator("th", has=head).get_attribute("aria-sort") == "ascending"
    head.click()
    assert column(page, "Turns") == ["48", "18", "8", "2"]
    assert page.locator("th", has=head).get_attribute("aria-sort") == "descending"
    page.get_by_role("button", name="Sequence", exact=False).first.click()
    assert titles(page) == sorted(titles(page), key=str.lower)
    assert page.locator("th[aria-sort]").count() == 1


def test_the_table_sorts_by_keyboard_too(page: Page) -> None:
    page.get_by_role("button", name="Turns").focus()
    page.keyboard.press("Enter")
    assert column(page, "Turns") == sorted(column(page, "Turns"), key=int)
    assert page.evaluate("document.activeElement.textContent.trim()") == "Turns"


@pytest.mark.parametrize("width", [1030, 1280, 1920])
def test_the_effect_table_breaks_no_word_and_stays_within_its_window(
    windows: Windows, folder: Path, width: int
) -> None:
    page = opened(windows, folder, "effects.html", width=width)
    assert page.evaluate(BROKEN_WORDS) == []
    assert page.evaluate("(e => e.scrollWidth - e.clientWidth)(document.querySelector('.table'))") <= 0


BROKEN_WORDS = """() => {
  const found = [], range = document.createRange();
  const walker = document.createTreeWalker(document.querySelector("table.effects"), NodeFilter.SHOW_TEXT);
  while (walker.nextNode()) {
    const text = walker.currentNode;
    for (const word of text.data.matchAll(/[^\\s-]+/g)) {
      range.setStart(text, word.index);
      range.setEnd(text, word.index + word[0].length);
      if (new Set([...range.getClientRects()].map(box => Math.round(box.top))).size > 1) found.push(word[0]);
    }
  }
  return found;
}"""


def test_the_effect_table_is_a_table_where_its_rows_are_laid_out_as_lines_too(
    windows: Windows, folder: Path
) -> None:
    page = opened(windows, folder, "effects.html", width=360)
    table = page.get_by_role("table", name="What each sequence does")
    heads = table.get_by_role("columnheader").all_text_contents()
    assert [head.strip() for head in heads if head.strip()] == ["Sequence", "Moves", "Effect", "Turns"]
    rows = table.get_by_role("row")
    assert rows.count() == 5
    first = rows.nth(1)
    assert first.get_by_role("rowheader").count() == 1
    assert first.get_by_role("cell", name="F, D prime, U, L 2").count() == 1


def test_where_all_that_a_row_says_stands_in_lines_it_stands_beside_its_label(
    windows: Windows, tmp_path: Path
) -> None:
    """A sequence that is several things to others says each of them below the one before."""
    moves = {"a": "R U", "b": "R U x", "c": "@a x"}
    blocks = "".join(f"```moves {name}\n{text}\n```\n\n" for name, text in moves.items())
    publish(guide_of(tmp_path, index=blocks))
    page = opened(windows, tmp_path / "output", "effects.html", width=380)
    page.get_by_label("All columns").check()
    page.evaluate("localStorage.clear()")
    cells = page.locator("td[data-label='Related']").all()
    said = [[each.bounding_box() for each in cell.locator(".relation").all()] for cell in cells]
    several = [boxes for boxes in said if len(boxes) > 1]
    assert several
    for boxes in several:
        assert len({box["x"] for box in boxes if box}) == 1
        assert [box["y"] for box in boxes if box] == sorted({box["y"] for box in boxes if box})


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_sign_for_sorting_is_seen_and_not_read_out(page: Page, scheme: str) -> None:
    page.emulate_media(color_scheme=scheme)
    assert page.get_by_role("button", name="Turns", exact=True).count() == 1
    assert page.evaluate(SIGN) >= 3  # WCAG 2.2, 1.4.11 (AA)


SIGN = """() => {
  const linear = v => v / 255 <= .04045 ? v / 255 / 12.92 : ((v / 255 + .055) / 1.055) ** 2.4;
  const light = text => {
    const [r, g, b] = text.match(/[\\d.]+/g).map(Number);
    return .2126 * linear(r) + .7152 * linear(g) + .0722 * linear(b) + .05;
  };
  const sign = light(getComputedStyle(document.querySelector("th button"), "::after").color);
  const ground = light(getComputedStyle(document.body).backgroundColor);
  return Math.max(sign, ground) / Math.min(sign, ground);
}"""


def test_moves_in_a_table_of_the_text_stay_on_a_line_while_there_is_room(
    windows: Windows, tmp_path: Path
) -> None:
    words = "a long explanation that would take the whole width if it only could, and then some more " * 2
    rows = [f"| `{moves}`{{.moves}} | {words}|\n" for moves in ("R U R' U'", LONG)]
    table = "| moves | what for |\n|---|---|\n" + "".join(rows)
    publish(write_guide(tmp_path, {"content/guide.yaml": "title: T\n", "content/index.md": table}))
    page = opened(windows, tmp_path / "output", "index.html")
    short, long = (code.bounding_box()["height"] for code in page.locator("td code.moves").all())
    assert long >= 3 * short
    assert short < 30


@pytest.mark.parametrize("name", [*PAGES, "other.html"])
def test_no_page_is_wider_than_its_window(windows: Windows, folder: Path, name: str) -> None:
    page = opened(windows, folder, name)
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 800})
        found = page.evaluate("document.documentElement.scrollWidth")
        assert found <= width, f"{name} is {found} wide in a window of {width}"


@pytest.mark.parametrize("what", WIDE)
def test_what_is_wider_than_a_window_stays_within_it(windows: Windows, tmp_path: Path, what: str) -> None:
    publish(write_guide(tmp_path, {"content/guide.yaml": "title: T\n", "content/index.md": WIDE[what]}))
    page = opened(windows, tmp_path / "output", "index.html", width=320)
    assert page.evaluate("document.documentElement.scrollWidth") <= 320


@pytest.mark.parametrize("name", PAGES)
def test_a_page_opens_from_the_file_system_without_a_fault(browser: Browser, folder: Path, name: str) -> None:
    context = browser.new_context(offline=True)
    page, faults, asked = context.new_page(), [], []
    page.on("console", lambda message: faults.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("requestfailed", lambda request: faults.append(request.url))
    page.on("request", lambda request: asked.append(request.url))
    page.goto((folder / name).as_uri())
    assert faults == []
    assert asked
    assert all(url.startswith(folder.as_uri()) for url in asked)
    context.close()


@pytest.mark.parametrize("name", PAGES)
def test_a_page_says_the_same_with_scripts_off(windows: Windows, folder: Path, name: str) -> None:
    texts = []
    for scripts in (True, False):
        page = opened(windows, folder, name, scripts=scripts)
        texts.append(re.sub(r"\s+", "", page.evaluate(WITHOUT_BUTTONS)))
    assert texts[0] == texts[1]


def test_links_lead_from_page_to_page(windows: Windows, folder: Path) -> None:
    page = opened(windows, folder, "index.html")
    page.get_by_role("link", name="how to lift").click()
    assert page.url.endswith("/method/index.html#the-lift")
    page.locator("#sequence-two-flips").get_by_role("link", name="Two flips").click()
    assert page.locator("h1").text_content() == "Two flips"


def test_a_claim_leads_to_the_sequence_that_it_names_and_each_puzzle_is_told(
    windows: Windows, tmp_path: Path
) -> None:
    block = "```moves {name}\ntitle: {name}\nmoves: R2\nclaims: undoes @{name}\n```\n"
    files = {
        "content/guide.yaml": "title: T\n",
        "content/index.md": block.format(name="small"),
        "content/big.md": "---\ntitle: Big\npuzzle: cube-5\n---\n" + block.format(name="large"),
    }
    publish(write_guide(tmp_path, files))
    page = opened(windows, tmp_path / "output", "big.html")
    assert page.locator(".card .which").text_content() == "5×5×5 cube"
    page.locator(".checked-claims summary").click()
    page.locator(".claims").get_by_role("link", name="large").click()
    assert page.url.endswith("/sequences/large.html")
    assert page.locator("h1 + .which").text_content() == "5×5×5 cube"
    page.get_by_role("link", name="Effect table").first.click()
    groups = page.locator("table .group")
    assert groups.locator("th").all_text_contents() == ["3×3×3 cube", "5×5×5 cube"]
    assert groups.locator("td").all_text_contents() == ["1 sequence", "1 sequence"]


def test_a_figure_has_a_name_for_who_cannot_see_it(windows: Windows, folder: Path) -> None:
    page = opened(windows, folder, "sequences/two-flips.html")
    assert page.get_by_role("img", name="Two flips: before").count() >= 1


# Paper ----------------------------------------------------------------------------------------------------


def pdf_of(windows: Windows, folder: Path, name: str) -> bytes:
    return opened(windows, folder, name).pdf(prefer_css_page_size=True)


def streams(pdf: bytes) -> Iterator[bytes]:
    for found in re.finditer(rb"stream\r?\n(.*?)endstream", pdf, re.DOTALL):
        try:
            yield zlib.decompressobj().decompress(found.group(1))
        except zlib.error:
            continue


def sheets(pdf: bytes) -> list[tuple[int, int]]:
    """Width and height of each sheet, in points."""
    boxes = re.findall(rb"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]", pdf)
    return [(round(float(width)), round(float(height))) for width, height in boxes]


@pytest.mark.parametrize("name", PAGES)
def test_a_page_prints_on_the_paper_of_the_guide(windows: Windows, folder: Path, name: str) -> None:
    found = sheets(pdf_of(windows, folder, name))
    assert found
    for width, height in found:  # ISO 216: A4 is 210 mm by 297 mm, 595.3 by 841.9 points
        short, long = (height, width) if name == "effects.html" else (width, height)  # the table lies across
        assert max(abs(short - 595), abs(long - 842)) <= 1


def test_letter_paper_is_letter(windows: Windows, tmp_path: Path) -> None:
    files = small_guide()
    files["content/guide.yaml"] = "title: T\npaper: Letter\n"
    publish(write_guide(tmp_path, files))
    # ANSI Y14.1: 8.5 by 11 inches, 72 points each.
    assert set(sheets(pdf_of(windows, tmp_path / "output", "method/index.html"))) == {(612, 792)}


def test_what_is_for_the_screen_alone_is_not_printed(windows: Windows, folder: Path) -> None:
    page = opened(windows, folder, "method/index.html")
    page.emulate_media(media="print")
    for selector in (".contents", ".neighbours", ".skip", ".foot"):
        assert not page.locator(selector).first.is_visible()
    assert page.locator("h1").is_visible()
    assert page.locator("figure svg").first.is_visible()


def test_the_views_of_a_card_stand_side_by_side_on_paper(windows: Windows, folder: Path) -> None:
    page = opened(windows, folder, "method/index.html", width=673)
    page.emulate_media(media="print")
    # This block has two views that are not the same height; they stand on one line.
    pairs = [pair.bounding_box() for pair in page.locator("#sequence-lift-edge .pair").all()]
    assert len(pairs) == 2
    assert abs(sum(pairs[0][k] for k in ("y", "height")) - sum(pairs[1][k] for k in ("y", "height"))) < 1
    assert pairs[0]["x"] + pairs[0]["width"] <= pairs[1]["x"]


def test_the_effect_table_on_paper_is_a_table_with_its_heads(windows: Windows, folder: Path) -> None:
    page = opened(windows, folder, "effects.html", width=1000)  # A4 across less 16 mm on either side
    for columns, count in (("uncheck", 6), ("check", 15)):
        page.emulate_media(media="screen")
        getattr(page.get_by_label("All columns"), columns)()
        page.emulate_media(media="print")
        heads = page.locator("table.effects thead th:visible").all()
        assert len(heads) == count
        assert len({head.bounding_box()["y"] for head in heads}) == 1
        assert page.evaluate("document.documentElement.scrollWidth") <= 1000
    assert (
        page.locator("table.effects thead").evaluate("e => getComputedStyle(e).display")
        == "table-header-group"
    )
    assert page.evaluate(BROKEN_WORDS) == []
    page.evaluate("localStorage.clear()")


def test_letters_are_seen_in_print_though_not_on_the_screen(windows: Windows, folder: Path) -> None:
    page = opened(windows, folder, "method/index.html")
    figure = page.locator("#sequence-two-flips figure").first  # this block does not ask for letters
    assert figure.evaluate(LETTERS_SEEN) == 0
    page.emulate_media(media="print")
    # DESIGN, section 8: sticker letters are on by default in print. Seen from the top are nine stickers and
    # the three at each of its sides.
    assert figure.evaluate(LETTERS_SEEN) == 9 + 12


LETTERS_SEEN = """figure => [...figure.querySelectorAll("svg text")]
  .filter(e => e.getClientRects().length && getComputedStyle(e).visibility === "visible")
  .reduce((count, e) => count + e.textContent.replace(/\\s/g, "").length, 0)"""


def test_nothing_printed_is_wider_than_the_paper(windows: Windows, folder: Path) -> None:
    # A4 less 16 mm on either side is 178 mm, and 265 mm across; at 96 pixels an inch 673 and 1001.
    for name in [*PAGES, "other.html"]:
        width = 1001 if name == "effects.html" else 673
        page = opened(windows, folder, name, width=width)
        page.emulate_media(media="print")
        assert page.evaluate("document.documentElement.scrollWidth") <= width, name


# Contrast -------------------------------------------------------------------------------------------------

CONTRAST = """() => {
  const linear = v => v / 255 <= .04045 ? v / 255 / 12.92 : ((v / 255 + .055) / 1.055) ** 2.4;
  const light = ([r, g, b]) => .2126 * linear(r) + .7152 * linear(g) + .0722 * linear(b);
  const rgb = text => text.match(/[\\d.]+/g).map(Number);
  const behind = e => {
    for (; e; e = e.parentElement) {
      const colour = rgb(getComputedStyle(e).backgroundColor);
      if (colour.length < 4 || colour[3] > 0) return colour;
    }
    return [255, 255, 255];
  };
  const found = [];
  for (const e of document.querySelectorAll("body *")) {
    const own = [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim());
    if (!own || e.closest("svg") || !e.getClientRects().length) continue;
    const [a, b] = [light(rgb(getComputedStyle(e).color)), light(behind(e))];
    const ratio = (Math.max(a, b) + .05) / (Math.min(a, b) + .05);
    if (ratio < 4.5) found.push(`${e.tagName} ${e.className}: ${ratio.toFixed(2)}`);
  }
  return found;
}"""
"""The contrast of every text with what is behind it: WCAG 2.2, relative luminance and contrast ratio."""


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("name", ["method/index.html", "effects.html", "sequences/lift-edge.html"])
def test_text_stands_out_from_its_ground(windows: Windows, folder: Path, name: str, scheme: str) -> None:
    page = opened(windows, folder, name)
    page.emulate_media(color_scheme=scheme)
    assert page.evaluate(CONTRAST) == []  # WCAG 2.2, 1.4.3 (AA): at least 4.5 to 1
