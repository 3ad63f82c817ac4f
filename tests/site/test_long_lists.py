"""Long lists in a browser: rows that are asked for, in parts, in two lines on telephones; names that differ.

Needs the Chromium that the system provides; without it these tests are skipped, but not on a build server.
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import unquote_plus

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from sample_guide import guide_of, write_guide
from sample_rendering import CHROMIUM, needs

from sitegen.effects.effect import Effect
from sitegen.guide.load import read_guide
from sitegen.site.around import MOST_ENTRIES, MOST_ROWS
from sitegen.site.publish import publish

pytestmark = needs(chromium=CHROMIUM)

CUBE = {
    "lift-edge": "F D' U L2 U2 D2 R U",
    "two-flips": "[@lift-edge, U]",
    "twist": "(R' D' R D)2",
    "two-twists": "[@twist, U]",
    "three-edges": "M2 U M U2 M' U M2",
    "swapping": "R2 U2 R2 U2 R2 U2",
    "quarter": "R",
    "idle": "R R'",
}
FOUR = {"wide": "Rw U", "slices": "[2R, U]"}
GUIDE = {
    "content/guide.yaml": "title: T\n",
    "content/index.md": "# Home\n\n"
    + "".join(
        f"```moves {name}\nmoves: {moves}\ntags: {name[0]}, all\n```\n\n" for name, moves in CUBE.items()
    ),
    "content/four.md": "---\npuzzle: cube-4\n---\n# Four layers\n\n"
    + "".join(f"```moves {name}\nmoves: {moves}\n```\n\n" for name, moves in FOUR.items()),
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    folder = write_guide(tmp_path_factory.mktemp("guide"), GUIDE)
    publish(folder)
    return folder


@pytest.fixture(scope="module")
def effects(folder: Path) -> dict[str, Effect]:
    """What each sequence does, by its title."""
    return {sequence.title: sequence.effect for sequence in read_guide(folder).sequences.values()}


@pytest.fixture
def page(browser: Browser, folder: Path) -> Iterator[Page]:
    page = browser.new_context(offline=True).new_page()
    page.goto((folder / "output" / "effects.html").as_uri())
    yield page
    page.context.close()


def shown(page: Page) -> set[str]:
    return {text.strip() for text in page.locator(".effects [scope=row]:visible").all_text_contents()}


def test_rows_are_found_by_what_turning_shows(page: Page, effects: dict[str, Effect]) -> None:
    """Told of the effects from where each piece goes, and not by what the page is made from."""

    def done(effect: Effect) -> set[tuple[str, str]]:
        p, pieces, found = effect.permutation, effect.puzzle.pieces, set()
        for piece in pieces:
            at = effect.puzzle.piece_at(p[piece.stickers[0]])
            there = [p[sticker] for sticker in piece.stickers]
            back = [p[slot] for slot in there]
            if at is piece and there != [*piece.stickers]:
                found.add(("flips" if len(piece.stickers) == 2 else "twists", piece.kind))
            elif at is not piece:
                found.add(("swaps" if back == [*piece.stickers] else "cycles", piece.kind))
        return found

    of_cube = {title: done(effect) for title, effect in effects.items() if effect.puzzle.name == "cube-3"}
    page.get_by_label("Puzzle").select_option("3×3×3 cube")
    assert shown(page) == of_cube.keys()
    met = set()
    for verb in ("flips", "twists", "cycles", "swaps"):
        page.get_by_label("What it does").select_option(verb)
        for kind in ("edge", "corner"):
            page.get_by_label("To which pieces").select_option(kind)
            wanted = {title for title, found in of_cube.items() if (verb, kind) in found}
            assert shown(page) == wanted, (verb, kind)
            met |= {(verb, kind)} if wanted else set()
        page.get_by_label("To which pieces").select_option("any")
        assert shown(page) == {title for title, found in of_cube.items() if verb in dict(found)}
    assert {("flips", "edge"), ("twists", "corner"), ("cycles", "edge"), ("swaps", "edge")} <= met


def test_rows_are_found_by_what_is_kept_by_length_tag_and_page(
    page: Page, effects: dict[str, Effect]
) -> None:
    keeps = page.get_by_label("Keeps")
    for layer in ("U", "D", "L", "corners"):
        keeps.select_option(layer)
        assert shown(page) == {title for title, effect in effects.items() if layer in effect.keeps}
    keeps.select_option("any")
    page.get_by_label("Turns, at most").fill("2")
    page.get_by_label("Turns, at most").blur()
    # By hand: R is one turn, R R' and Rw U two.
    assert shown(page) == {"Quarter", "Idle", "Wide"}
    page.get_by_label("Turns, at most").fill("")
    page.get_by_label("Tag").select_option("t")
    assert shown(page) == {"Two flips", "Twist", "Two twists", "Three edges"}
    page.get_by_role("combobox", name="Page").select_option("Four layers")
    assert shown(page) == set()
    page.get_by_label("Tag").select_option("any")
    assert shown(page) == {"Wide", "Slices"}
    assert page.locator(".group:visible th").all_text_contents() == ["4×4×4 cube"]


def test_how_many_rows_there_are_is_told_when_it_changes(page: Page) -> None:
    count = page.get_by_role("status").filter(has_text="sequence")
    expect(count).to_have_text("10 sequences")
    page.get_by_label("What it does").select_option("flips")
    expect(count).to_have_text(f"{len(shown(page))} of 10 sequences")
    page.get_by_label("Turns, at most").fill("0")
    page.keyboard.press("Enter")
    expect(count).to_have_text("None of 10 sequences")
    page.get_by_role("button", name="Show all").press("Enter")
    expect(count).to_have_text("10 sequences")
    assert len(shown(page)) == 10
    assert page.get_by_label("What it does").input_value() == ""


def test_what_is_asked_for_stands_in_the_address_and_is_taken_back(page: Page, browser: Browser) -> None:
    whole = page.url
    page.get_by_label("What it does").select_option("flips")
    flips, address = shown(page), page.url
    assert address == f"{whole}#does=flips"
    page.get_by_label("Keeps").select_option("D")
    fewer = shown(page)
    assert fewer < flips
    page.go_back()
    assert (shown(page), page.url) == (flips, address)
    assert page.get_by_label("Keeps").input_value() == ""
    page.go_back()
    assert (len(shown(page)), page.url) == (10, whole)
    page.go_forward()
    # A place on the page takes nothing back.
    page.evaluate("location.hash = 'main'")
    assert shown(page) == flips
    other = browser.new_context(offline=True).new_page()
    other.goto(f"{address}&keeps=D&nonsense=1&turns=many")
    assert shown(other) == fewer
    other.context.close()


def test_rows_that_are_asked_for_stay_so_when_they_are_sorted(page: Page) -> None:
    page.get_by_label("What it does").select_option("cycles")
    before = shown(page)
    page.get_by_role("button", name="Turns", exact=True).press("Enter")
    assert shown(page) == before
    groups = page.locator(".effects tbody").all()
    for group in groups:  # each puzzle by itself, below its name
        turns = [int(text) for text in group.locator("td.turns-of").all_text_contents()]
        assert turns == sorted(turns)
        assert group.locator("tr th").first.text_content().strip() in ("3×3×3 cube", "4×4×4 cube")


def test_all_columns_are_shown_when_asked_for_and_this_is_remembered(page: Page) -> None:
    def heads() -> int:
        return page.locator(".effects thead th:visible").count()

    assert heads() == 6  # the title, and five columns
    page.get_by_label("All columns").check()
    assert heads() == 15
    page.reload()
    assert heads() == 15
    page.get_by_label("All columns").uncheck()
    page.reload()
    assert heads() == 6


def test_without_scripts_all_columns_can_be_shown_and_nothing_is_filtered(
    browser: Browser, folder: Path
) -> None:
    page = browser.new_context(offline=True, java_script_enabled=False).new_page()
    page.goto((folder / "output" / "effects.html").as_uri() + "#does=flips")
    assert len(shown(page)) == 10
    assert page.locator("select:visible, .effects button:visible").count() == 0
    page.get_by_label("All columns").check()
    assert page.locator(".effects thead th:visible").count() == 15
    page.context.close()


@pytest.mark.parametrize("width", [360, 768, 1440])
def test_the_head_of_the_table_stays_in_sight_and_nothing_is_wider_than_the_window(
    page: Page, width: int
) -> None:
    page.set_viewport_size({"width": width, "height": 300})
    for columns in ("uncheck", "check"):
        getattr(page.get_by_label("All columns"), columns)()
        page.locator(".effects [scope=row]").last.scroll_into_view_if_needed()
        head, table = page.locator(".effects thead th").first, page.locator(".table.whole")
        top, above = head.bounding_box(), table.bounding_box()
        assert top
        assert above
        # Where the table scrolls by itself, its head stays at its own top.
        by_itself = table.evaluate("table => table.scrollTop > 0")
        assert by_itself == (columns == "check" and width > 360)
        assert 0 <= top["y"] - (above["y"] if by_itself else 0) <= 100
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_on_a_telephone_a_row_has_two_lines_and_is_sorted_by_its_heads(page: Page) -> None:
    page.set_viewport_size({"width": 360, "height": 800})
    for row in page.locator(".effects tr[data-sought]").all():
        tops = row.evaluate(
            "row => [...row.cells].filter(c => c.checkVisibility()).map(c => c.getBoundingClientRect().top)"
        )
        assert len({round(top / 8) for top in tops}) == 2, row.text_content()
        box = row.bounding_box()
        assert box is not None
        assert box["height"] < 65
    page.get_by_role("button", name="Turns", exact=True).press("Enter")
    turns = page.locator(".effects tbody").first.locator("td.turns-of").all_text_contents()
    assert [int(text) for text in turns] == sorted(int(text) for text in turns)


@pytest.mark.parametrize("width", [360, 768, 1440])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_is_found_where_rows_are_looked_for(
    browser: Browser, folder: Path, scheme, width: int
) -> None:
    page = browser.new_context(offline=True, color_scheme=scheme).new_page()
    page.set_viewport_size({"width": width, "height": 900})
    page.goto((folder / "output" / "effects.html").as_uri() + "#does=cycles")
    page.get_by_label("All columns").check()
    assert [each["id"] for each in Axe().run(page).response["violations"]] == []
    page.goto((folder / "output" / "isolating.html").as_uri())
    page.evaluate("document.querySelectorAll('main details').forEach(each => each.open = true)")
    assert [each["id"] for each in Axe().run(page).response["violations"]] == []
    page.context.close()


NAMED = """() => [...document.querySelectorAll("main :is(summary, button, a[href])")].map(each =>
  [each.href ?? "", each.textContent.replace(/\\s+/g, " ").trim()])"""


@pytest.mark.parametrize("name", ["effects.html", "isolating.html"])
def test_what_leads_elsewhere_is_called_otherwise(browser: Browser, folder: Path, name: str) -> None:
    page = browser.new_context(offline=True).new_page()
    page.goto((folder / "output" / name).as_uri())
    leading: dict[str, set[str]] = {}
    pressed: list[str] = []
    for href, said in page.evaluate(NAMED):
        if href:
            leading.setdefault(said, set()).add(href)
        else:
            pressed.append(said)
    assert len(pressed) == len(set(pressed)) > 5
    # A sequence is called by its title where its page is, and where it stands on this one.
    own = page.url
    several = {said: {href for href in to if not href.startswith(own)} for said, to in leading.items()}
    assert all(len(to) <= 1 for to in several.values()), several
    page.context.close()


# Parts ----------------------------------------------------------------------------------------------------

MANY = MOST_ROWS + 30


@pytest.fixture(scope="module")
def many(tmp_path_factory) -> Path:
    """More sequences than a page of the table has, each of which isolates pieces."""
    faces, turns = "RLFB", ["U", "U'", "U2"]
    blocks = "".join(
        f"```moves s{number}\nmoves: {faces[number % 4]} {turns[number % 3]} {faces[number % 4]}'\n```\n\n"
        for number in range(MANY)
    )
    four = "---\npuzzle: cube-4\n---\n```moves wide\nRw U\n```\n"
    settings = "title: T\npages: [four, index]\n"
    folder = guide_of(tmp_path_factory.mktemp("guide"), settings, index=f"# Home\n\n{blocks}", four=four)
    publish(folder)
    return folder / "output"


SEEN = """all => all.map(each => {
  const seen = each.cloneNode(true);
  seen.querySelectorAll(".heard").forEach(heard => heard.remove());
  return seen.textContent;
})"""


def test_a_table_that_is_too_long_is_cut_into_pages_that_lead_to_each_other(
    browser: Browser, many: Path
) -> None:
    page = browser.new_context(offline=True).new_page()
    page.goto((many / "effects.html").as_uri())
    seen: list[str] = []
    while True:
        rows = page.locator(".effects [scope=row]").evaluate_all(SEEN)
        assert len(rows) <= MOST_ROWS
        seen += [text.strip() for text in rows]
        after = page.get_by_role("navigation", name="Parts of the table", exact=True).get_by_role(
            "link", name="After"
        )
        if not after.count():
            break
        after.click()
        page.wait_for_load_state()
    assert sorted(seen) == sorted([*(f"S{number}" for number in range(MANY)), "Wide"])
    assert page.url.endswith("/effects/2.html")
    page.context.close()


def test_a_filter_reaches_across_the_parts_of_a_table_and_leads_to_what_it_finds_there(
    browser: Browser, many: Path
) -> None:
    """The first part has the one of the larger cube and all others that it has room for."""
    first, last = MOST_ROWS, MANY + 1 - MOST_ROWS
    # By hand: R U R' takes pieces round, and R U2 R' exchanges them two by two; Rw U takes pieces round too.
    goes_round = [True, *(number % 3 < 2 for number in range(MANY))]
    here, there = sum(goes_round[first:]), sum(goes_round[:first])
    page = browser.new_context(offline=True).new_page()
    page.goto((many / "effects/2.html").as_uri())
    count = page.get_by_role("status").filter(has_text="sequence")
    expect(count).to_have_text(f"{last} sequences on this page, {first} on others")
    page.get_by_label("What it does").select_option("cycles")
    expect(count).to_have_text(
        f"{here} of {last} sequences on this page; {there} of {first} on the others: 1–{first} ({there})"
    )
    # What none of its own rows has can be asked for too, once the others are known, and by the address.
    page.get_by_role("button", name="Show all").click()
    page.get_by_label("Puzzle").select_option("4×4×4 cube")
    none = f"None of {last} sequences on this page; 1 of {first} on the others: 1–{first} (1)"
    expect(count).to_have_text(none)
    page.reload()
    expect(count).to_have_text(none)
    expect(page.get_by_label("Puzzle")).to_have_value("4×4×4 cube")
    count.get_by_role("link").click()
    page.wait_for_url(lambda url: unquote_plus(url).endswith("/effects.html#puzzle=4×4×4 cube"))
    expect(page.locator(".effects tr[data-sought]:visible")).to_have_text(re.compile("Wide"))
    page.context.close()


def test_what_a_reader_enters_while_other_pages_are_looked_through_stays(
    browser: Browser, many: Path
) -> None:
    page = browser.new_context(offline=True).new_page()
    page.goto((many / "effects/2.html").as_uri())
    # The other pages come when they are told to.
    page.evaluate(
        "() => { window.late = []; const { loaded } = turning; turning.loaded = (...all) =>"
        " new Promise((go) => { late.push(go) }).then(() => loaded(...all)); }"
    )
    field = page.get_by_label("Turns, at most")
    field.focus()
    page.keyboard.type("2")
    assert page.evaluate("late.map((go) => go()).length") == 1
    page.get_by_label("Puzzle").wait_for()  # which all rows of this page are alike in
    expect(field).to_have_value("2")
    page.context.close()


def test_a_filter_says_where_it_cannot_look_through_other_pages(
    browser: Browser, many: Path, tmp_path: Path
) -> None:
    copy = tmp_path / "output"
    shutil.copytree(many, copy)
    (copy / "files/effects/2.js").unlink()
    page = browser.new_context(offline=True).new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.goto((copy / "effects.html").as_uri() + "#does=cycles")
    expect(page.get_by_role("status").filter(has_text="sequence")).to_have_text(
        re.compile(r"^\d+ of 250 sequences on this page; the others cannot be looked through$")
    )
    assert faults == []
    page.context.close()


def test_the_page_of_a_sequence_leads_to_the_part_on_which_it_isolates_pieces(many: Path) -> None:
    leading = re.compile(r'href="\.\./(isolating[^"#]*)#(of-[^"]+)"')
    found = {}
    for path in sorted((many / "sequences").glob("s*.html")):
        for at, place in leading.findall(path.read_text()):
            assert f'id="{place}"' in (many / at).read_text(), path
            found[place] = at
    assert len(set(found.values())) > 1
    assert all((many / at).read_text().count('class="entry"') <= MOST_ENTRIES for at in set(found.values()))


def test_what_rows_are_found_by_is_the_same_in_all_of_a_guide(folder: Path) -> None:
    text = (folder / "output" / "effects.html").read_text()
    found = [json.loads(each.replace("&#34;", '"')) for each in re.findall(r'data-sought="([^"]*)"', text)]
    assert len(found) == 10
    assert {each["puzzle"] for each in found} == {"3×3×3 cube", "4×4×4 cube"}
    assert all(each.keys() == {"puzzle", "does", "keeps", "length", "tags", "page"} for each in found)
