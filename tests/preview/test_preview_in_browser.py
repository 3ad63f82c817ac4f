"""The preview as an author sees it, in a real browser: pages that follow what is saved, and scratch paper."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from conftest import Running
from playwright.sync_api import Browser, Page, Route, expect
from sample_guide import small_guide, write_guide
from sample_rendering import CHROMIUM, needs

pytestmark = needs(chromium=CHROMIUM)

SOON = 30_000
LONG = "\n\n".join(f"Paragraph {number}." for number in range(120))
PAGE = f"""\
# A long page

{LONG}

## Here

```moves turned
title: Four turns
moves: R U R' U'
claims:
- order 6
```

```moves
M2
```

{LONG}
"""


@pytest.fixture(scope="module")
def preview(tmp_path_factory, previewing: Callable[..., Running]) -> Running:
    files = {**small_guide(), "content/long.md": PAGE}
    running = previewing(write_guide(tmp_path_factory.mktemp("guide"), files))
    running.until(lambda: "published: 5 pages" in running.printed)
    return running


@pytest.fixture
def writes(preview: Running) -> Iterator[Callable[[str, str], None]]:
    """Changes the long page, and puts it back."""
    file = preview.folder / "content/long.md"

    def change(old: str, new: str) -> None:
        assert old in file.read_text()
        file.write_text(file.read_text().replace(old, new))

    yield change
    if file.read_text() != PAGE:
        before = preview.printed.count("published")
        file.write_text(PAGE)
        preview.until(lambda: preview.printed.count("published") > before)


@pytest.fixture
def page(browser: Browser, writes: Callable[[str, str], None]) -> Iterator[Page]:
    """Closed before what was changed is put back, or it would be reloaded while it is closed."""
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    page = context.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.set_default_timeout(SOON)
    yield page
    context.close()
    assert faults == []


def offset(page: Page, element: str) -> float:
    return float(page.evaluate("id => document.getElementById(id).getBoundingClientRect().top", element))


def test_a_page_follows_what_is_saved_and_the_reader_stays_where_they_are(
    page: Page, preview: Running, writes: Callable[[str, str], None]
) -> None:
    page.goto(f"{preview.address}/long.html")
    page.evaluate("document.getElementById('here').scrollIntoView()")
    page.locator(".checked-claims").evaluate("each => { each.open = true; }")
    before = offset(page, "here")
    assert page.evaluate("scrollY") > 1000
    writes("Paragraph 3.\n\n", "Paragraph 3, and much more.\n\n" + "More of it.\n\n" * 30)
    expect(page.get_by_text("Paragraph 3, and much more.").first).to_be_attached(timeout=SOON)
    page.wait_for_load_state()
    assert abs(offset(page, "here") - before) < 3
    assert page.locator(".checked-claims").evaluate("each => each.open") is True


def test_a_false_claim_is_told_over_the_page_and_goes_when_it_is_mended(
    page: Page, preview: Running, writes: Callable[[str, str], None]
) -> None:
    page.goto(f"{preview.address}/long.html")
    expect(page.get_by_role("complementary").get_by_text("Preview")).to_be_visible()
    writes("- order 6", "- order 5")
    panel = page.get_by_role("region", name="Preview")
    expect(panel.get_by_text("content/long.md:", exact=False).first).to_be_visible(timeout=SOON)
    line = PAGE.split("\n").index("- order 6") + 1
    told = panel.inner_text()
    assert f"content/long.md:{line}:3" in told
    assert "this claim is false" in told
    assert re.search(r"- order 5\n +\^{7}", told)
    assert "what the moves do" in told
    assert page.locator("main").get_by_text("order 6").count() == 1, "the last good page stands"
    writes("- order 5", "- order 6")
    expect(panel.get_by_text("this claim is false")).to_have_count(0, timeout=SOON)


def test_a_click_on_a_card_tells_where_it_was_written(page: Page, preview: Running) -> None:
    page.goto(f"{preview.address}/long.html")
    expect(page.locator("aside summary")).to_be_visible()  # the places are known
    tag = page.locator("aside .tag")
    lines = PAGE.split("\n")
    cards = {"Sequence: Four turns": ("```moves turned", " @turned"), "Sequence: M 2": ("```moves", "")}
    for card, (opening, name) in cards.items():
        page.get_by_role("region", name=card).locator("figcaption").first.click()
        expect(tag).to_be_visible()
        expect(tag).to_have_text(f"content/long.md:{lines.index(opening) + 1}{name}")
        here, there = tag.bounding_box(), page.get_by_role("region", name=card).bounding_box()
        assert here
        assert there
        # It stands above the card, or at the top of the window where there is no room.
        assert here["y"] == pytest.approx(max(8, there["y"] - here["height"]), abs=1)
    page.keyboard.press("Escape")
    expect(tag).to_be_hidden()
    page.locator("h1").click()
    expect(tag).to_be_hidden()


def test_the_places_of_a_page_are_told_by_keyboard_too(page: Page, preview: Running) -> None:
    page.goto(f"{preview.address}/long.html")
    summary = page.locator("aside summary")
    expect(summary).to_be_visible()
    summary.focus()
    page.keyboard.press("Enter")
    expect(page.locator("aside .places li")).to_have_count(2)
    expect(page.locator("aside .places li").first).to_have_text(
        re.compile(r"content/long\.md:\d+ moves turned")
    )


def test_a_page_that_is_not_there_says_so_and_comes_when_it_is_written(page: Page, preview: Running) -> None:
    page.goto(f"{preview.address}/soon.html")
    expect(page.get_by_role("heading", name="There is no such page")).to_be_visible()
    file = preview.folder / "content/soon.md"
    file.write_text("# Now it is there\n")
    expect(page.get_by_role("heading", name="Now it is there")).to_be_visible(timeout=SOON)
    file.unlink()
    expect(page.get_by_role("heading", name="There is no such page")).to_be_visible(timeout=SOON)


# Scratch paper ---------------------------------------------------------------------------------------------


@pytest.fixture
def paper(page: Page, preview: Running) -> Page:
    page.goto(f"{preview.address}/.preview/scratch")
    return page


def test_scratch_paper_is_used_by_keyboard_alone(paper: Page) -> None:
    paper.get_by_role("textbox", name="Moves").focus()
    paper.keyboard.type("F D' U L2 U2 D2 R U")
    paper.keyboard.press("Tab")
    paper.keyboard.type("flips UF\nkeeps U except UF\nflips UR")
    expect(paper.locator("#does")).to_contain_text("UF is flipped")
    expect(paper.locator(".seen .true")).to_have_count(2)
    expect(paper.locator(".seen .false")).to_have_text(re.compile("flips UR.*UR stays home"))
    expect(paper.locator("#answer .pair svg")).to_have_count(2)
    expect(paper.get_by_role("link", name="Lift the front edge")).to_be_visible()
    expect(paper.locator("#spoken")).to_contain_text("Claims that do not hold: 1.")
    expect(paper.locator("#block")).to_have_text(
        re.compile(r"^```moves flips-uf\n.*- keeps U except UF\n```$", re.S)
    )
    for _ in range(30):
        if paper.evaluate("document.activeElement.textContent") == "Keep on the list":
            break
        paper.keyboard.press("Tab")
    paper.keyboard.press("Enter")
    expect(paper.locator("#kept li")).to_have_count(1)
    expect(paper.locator("#kept li")).to_contain_text("F D' U L2 U2 D2 R U")


def test_the_list_stays_in_the_browser_and_each_of_it_is_taken_back(paper: Page) -> None:
    for moves in ("M2", "R U"):
        paper.get_by_role("textbox", name="Moves").fill(moves)
        paper.get_by_role("button", name="Keep on the list").click()
    paper.reload()
    expect(paper.locator("#kept li")).to_have_count(2)
    paper.get_by_role("button", name="Write M2 above").click()
    expect(paper.get_by_role("textbox", name="Moves")).to_have_value("M2")
    expect(paper.locator("#block")).to_contain_text("moves: M2")
    paper.get_by_role("button", name="Take M2 off the list").click()
    expect(paper.locator("#kept li")).to_have_count(1)


def test_the_inverse_is_written_above(paper: Page) -> None:
    paper.get_by_role("textbox", name="Moves").fill("R U")
    paper.locator(".others").first.get_by_role("button", name="Write it above").click()
    expect(paper.get_by_role("textbox", name="Moves")).to_have_value("U' R'")
    expect(paper.get_by_role("textbox", name="Moves")).to_be_focused()


def test_what_is_typed_is_no_html(paper: Page) -> None:
    paper.get_by_role("textbox", name="Moves").fill("R <img src=x onerror=alert(1)>")
    paper.get_by_label("Claims").fill("<b>flips</b>")
    expect(paper.locator("#answer .problem")).to_contain_text("<img")
    paper.get_by_role("button", name="Keep on the list").click()
    expect(paper.locator("#kept li")).to_contain_text("<img")
    assert paper.locator("main img").count() == 0


def test_a_search_tells_what_it_finds_and_gives_blocks(paper: Page) -> None:
    paper.get_by_label("Claims").fill("cycles UFR > DFR\nkeeps U except UFR")
    paper.get_by_label("Turn only").fill("R, F, D")
    paper.get_by_role("button", name="Find", exact=True).click()
    expect(paper.locator("#found .effect")).to_contain_text("none is shorter", timeout=SOON)
    paper.locator("#found summary").first.click()
    expect(paper.locator("#block-1")).to_contain_text("- keeps U except UFR")


@pytest.mark.parametrize(
    ("label", "text"), [("Claims", "order 2"), ("Turn only", "U"), ("Up to so many", "-3")]
)
def test_what_was_found_goes_when_something_else_is_asked(paper: Page, label: str, text: str) -> None:
    paper.get_by_label("Claims").fill("order 4; keeps U")
    paper.get_by_role("button", name="Find", exact=True).click()
    expect(paper.locator("#found .effect")).to_be_visible(timeout=SOON)
    paper.get_by_label(label).fill(text)
    expect(paper.locator("#found .effect")).to_have_count(0)
    expect(paper.locator("#seeking")).to_have_text("")


def test_a_search_is_stopped(paper: Page) -> None:
    paper.get_by_label("Claims").fill("order 1260; changes only edges")
    paper.get_by_role("button", name="Find", exact=True).click()
    paper.get_by_role("button", name="Stop").click()
    expect(paper.locator("#found .effect")).to_contain_text("stopped while searching", timeout=SOON)
    expect(paper.get_by_role("button", name="Stop")).to_be_disabled()


def test_a_search_is_stopped_though_it_has_not_begun(paper: Page) -> None:
    """Two requests may overtake each other on their way."""
    on_its_way: list[Route] = []
    paper.route("**/scratch/find", lambda route: on_its_way.append(route))
    paper.get_by_label("Claims").fill("order 1260; changes only edges")
    paper.get_by_role("button", name="Find", exact=True).click()
    with paper.expect_response("**/scratch/stop"):
        paper.get_by_role("button", name="Stop").click()
    on_its_way[0].continue_()
    expect(paper.locator("#found .effect")).to_contain_text("stopped while searching", timeout=SOON / 2)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_it_fits_a_telephone_by_day_and_by_night(browser: Browser, preview: Running, scheme: str) -> None:
    context = browser.new_context(viewport={"width": 360, "height": 740}, color_scheme=scheme)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto(f"{preview.address}/.preview/scratch")
    page.get_by_role("textbox", name="Moves").fill("[@lift-edge, U] " + "R U R' U' " * 12)
    expect(page.locator("#block")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    ground, ink = page.evaluate(
        "[getComputedStyle(document.body).backgroundColor, getComputedStyle(document.body).color]"
    )
    lightness = [sum(map(int, re.findall(r"\d+", each)[:3])) for each in (ground, ink)]
    assert (lightness[0] > lightness[1]) == (scheme == "light")
    page.screenshot(path=str(Path(preview.log.parent) / f"scratch-{scheme}.png"), full_page=True)
    context.close()
