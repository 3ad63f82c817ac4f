"""Positions that a reader tries to solve on the page: any turns that solve one do, and what is left is told.

Needs the Chromium that the system provides; without it these tests are skipped, but not on a build server.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from sample_guide import guide_of, write_guide
from sample_rendering import CHROMIUM, needs, without_faults

from sitegen.effects.effect import Effect
from sitegen.moves.notation import write_all
from sitegen.moves.parse import parse
from sitegen.moves.turning import permutation, permutation_of
from sitegen.problems import written
from sitegen.puzzles.permutation import compose
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.site.publish import publish

pytestmark = needs(chromium=CHROMIUM)

GUIDE = """\
```moves lift-edge
moves: F E F2 E2 F E
claims:
- flips UF
- keeps U except UF
- length 9 OBTM
```

```position flipped
pieces: flips UF and UR
```

```position impossible
pieces: flips UF
impossible: yes
```

```moves three
moves: R U R' D R U' R' D'
```

```moves four
moves: R2 U2 R2 U2
```

```practice
from: @lift-edge
count: 1
```

```practice
from: @three
fill in: undoing
count: 1
```

```practice
from: @four
fill in: effect
count: 1
```

```position twice
pieces: flips UF and UR
solve: [@lift-edge, U]
```
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    files = {"content/guide.yaml": "title: T\n", "content/index.md": GUIDE}
    folder = write_guide(tmp_path_factory.mktemp("guide"), files)
    publish(folder)
    return folder / "output"


@pytest.fixture
def page(browser: Browser, folder: Path) -> Iterator[Page]:
    with without_faults(browser, folder / "index.html", reduced_motion="reduce") as page:
        yield page


def open_to_try(page: Page, number: int = 0) -> None:
    page.get_by_role("button", name="Try it").nth(number).click()
    page.locator(".bench").wait_for()


def turn(page: Page, moves: str) -> None:
    page.get_by_label("Or type turns").fill(moves)
    page.keyboard.press("Enter")


def state(page: Page) -> str:
    return page.locator(".bench .state").text_content() or ""


def test_what_can_be_solved_or_undone_can_be_tried_and_nothing_else(page: Page) -> None:
    assert page.get_by_role("button", name="Try it").count() == 4
    assert page.locator(".exercise.effect .trying").count() == 0
    assert page.locator("#position-impossible .trying").count() == 0


def test_what_is_tried_stands_in_the_place_of_its_figure(page: Page) -> None:
    for number in range(page.get_by_role("button", name="Try it").count()):
        place = page.get_by_role("button", name="Try it").nth(number)
        block = place.locator(
            "xpath=ancestor::*[contains(@class, 'exercise') or contains(@class, 'card')][1]"
        )
        before = block.locator("svg.puzzle").locator("visible=true").count()
        place.click()
        page.locator(".bench").wait_for()
        assert block.locator("svg.puzzle").locator("visible=true").count() == 1
        assert block.locator(".write").locator("visible=true").count() == 0, "nothing to write on beside it"
        page.get_by_role("button", name="Close").click()
        assert block.locator("svg.puzzle").locator("visible=true").count() == before


def test_a_figure_stays_away_as_long_as_anything_stands_in_its_place(page: Page) -> None:
    card = page.locator(".card.position:has(.turning):has(.trying)").first
    card.get_by_role("button", name="Play the turns").click()
    card.locator(".turning .player").wait_for()
    card.get_by_role("button", name="Try it").click()
    card.locator(".bench").wait_for()
    for which in (".bench", ".turning .player"):
        expect(card.locator(".views")).to_be_hidden()
        card.locator(which).get_by_role("button", name="Close").click()
    expect(card.locator(".views")).to_be_visible()


def test_an_exercise_that_is_tried_is_as_wide_as_all_exercises(page: Page) -> None:
    """Else there would be a hole beside it as high as the puzzle that turns."""
    page.set_viewport_size({"width": 1280, "height": 900})
    page.locator(".exercise .trying .turn-it").first.click()
    page.locator(".bench").wait_for()
    item, every = (page.locator(each).first.bounding_box() for each in ("li:has(.bench)", "ol.exercises"))
    assert item
    assert every
    assert item["width"] == every["width"]


def test_any_turns_that_solve_it_are_right(page: Page, cube3: Puzzle) -> None:
    """By the sequence of the guide, and by one that is longer and ends with the puzzle held otherwise."""
    lift = "F E F2 E2 F E"
    undone = "E' F' E2 F2 E' F'"
    for moves in (f"{lift} U {undone} U'", f"y y' {lift} U {undone} U' R L R' L' x y2"):
        open_to_try(page)
        assert state(page) == "24 of 26 pieces are home; UF and UR are turned."
        turn(page, moves)
        count = len(moves.split())
        assert state(page) == f"Solved in {count} turns. Everything is home."
        page.get_by_role("button", name="Close").click()


@pytest.mark.parametrize("seed", range(8))
def test_what_is_left_is_what_turning_here_leaves(page: Page, cube3: Puzzle, seed: int) -> None:
    """As many pieces as `Effect` finds changed with centres home, or fewer where it may be held otherwise."""
    rng = random.Random(seed)
    turns = tuple(Turn(rng.choice("UDFBLR"), 1, 1, rng.choice([1, 2, -1])) for _ in range(rng.randint(1, 6)))
    open_to_try(page)
    turn(page, write_all(turns, cube3))
    begun = permutation(parse(written("[F E F2 E2 F E, U]"), cube3), cube3)
    changed = len(Effect(cube3, compose(begun, permutation_of(turns, cube3))).changed)
    home = re.match(r"(\d+) of 26", state(page))
    assert home
    assert int(home[1]) >= 26 - changed
    named, more = re.findall(r"\b[UDFBLR]{1,3}\b", state(page)), re.search(r"(\d+) more", state(page))
    assert len(named) == min(8, 26 - int(home[1]))
    assert len(named) + (int(more[1]) if more else 0) == 26 - int(home[1])


def test_buttons_turn_and_are_undone_and_begun_again(page: Page) -> None:
    open_to_try(page)
    before = state(page)
    page.get_by_role("button", name="R", exact=True).click()
    page.get_by_role("button", name="U prime").click()
    assert page.locator(".bench .turns-row").text_content() == "R U'"
    page.get_by_role("button", name="Undo").click()
    assert page.locator(".bench .turns-row").text_content() == "R"
    page.get_by_role("button", name="Start again").click()
    assert page.locator(".bench .turns-row").text_content() == ""
    assert state(page) == before
    assert page.get_by_role("button", name="Undo").is_disabled()


def test_what_is_no_turn_is_said_and_stays_to_be_mended(page: Page) -> None:
    open_to_try(page)
    turn(page, "R Q U")
    assert state(page) == "Q is no turn of this puzzle: write turns with blanks between them."
    assert page.get_by_label("Or type turns").input_value() == "R Q U"
    assert page.locator(".bench .turns-row").text_content() == ""
    turn(page, "constructor")  # which every object of the script's language has
    assert state(page) == "constructor is no turn of this puzzle: write turns with blanks between them."


def test_what_was_solved_is_remembered_here_until_it_is_forgotten(page: Page) -> None:
    open_to_try(page)
    turn(page, "F E F2 E2 F E U E' F' E2 F2 E' F' U'")
    assert "Solved" in state(page)
    page.reload()
    assert page.locator(".trying").nth(0).text_content() == "Try it ✓ solved before Forget it"
    assert page.locator(".trying").nth(1).text_content() == "Try it"
    page.get_by_role("button", name="Forget it").click()
    page.reload()
    assert page.locator(".trying").nth(0).text_content() == "Try it"


def test_moves_that_are_to_be_undone_can_be_undone(page: Page) -> None:
    open_to_try(page, 2)
    moves = page.locator(".exercise.undoing code.moves [aria-hidden]").text_content() or ""
    ends = {"'": "", "2": "2"}
    undone = [each[0] + ends.get(each[1:], "'") for each in moves.split()]
    turn(page, " ".join(reversed(undone)))
    assert state(page).startswith("Solved")


def hint(page: Page) -> str:
    page.get_by_role("button", name="Hint").click()
    return page.locator(".bench .state").evaluate("state => state.querySelector('code')?.textContent ?? ''")


def test_a_hint_is_the_next_step_of_the_way_that_is_known_as_long_as_the_reader_is_on_it(page: Page) -> None:
    open_to_try(page, 3)
    lift = "F E F2 E2 F E"
    for wanted in (lift, "U", "E' F' E2 F2 E' F'"):
        assert hint(page) == wanted
        turn(page, wanted)
    turn(page, "R")
    assert hint(page) == ""
    assert state(page) == "This is off the way that is known. Undo, or start again, and ask then."
    page.get_by_role("button", name="Undo").click()
    turn(page, hint(page))
    assert state(page).startswith("Solved in 14 turns.")
    assert hint(page) == ""
    assert state(page).startswith("Solved in 14 turns.")


def test_every_layer_that_a_hint_turns_has_buttons(page: Page) -> None:
    open_to_try(page, 3)
    buttons = page.locator(".bench .hand button").all_text_contents()
    assert buttons[-2:] == ["E", "E'"]
    for part in hint(page).split():
        assert part.rstrip("2'") in buttons
    page.get_by_role("button", name="E prime").click()
    assert page.locator(".bench .typed ~ p").first.text_content() == "E'"


def test_within_a_step_a_hint_is_what_is_left_of_it(page: Page) -> None:
    open_to_try(page, 3)
    turn(page, "F E F2")
    assert hint(page) == "E2 F E"


def test_an_exercise_is_solved_by_its_hints_where_answers_are_published(
    browser: Browser, tmp_path: Path
) -> None:
    publish(guide_of(tmp_path, index=f"---\nanswers: published\n---\n{GUIDE}"))
    with without_faults(browser, tmp_path / "output/index.html", reduced_motion="reduce") as page:
        for exercise in ("solve", "undoing"):
            page.locator(f".exercise.{exercise}").get_by_role("button", name="Try it").click()
            page.locator(".bench").wait_for()
            for _ in range(20):
                turn(page, hint(page))
                if state(page).startswith("Solved"):
                    break
            assert state(page).startswith("Solved"), exercise
            page.get_by_role("button", name="Close").click()


def test_where_a_page_knows_no_way_there_are_no_hints(page: Page) -> None:
    for number in range(3):  # a position without one, and exercises whose answers are not published
        open_to_try(page, number)
        assert page.get_by_role("button", name="Hint").count() == 0
        page.get_by_role("button", name="Close").click()


def test_turns_of_the_readers_own_are_right_if_all_claims_hold_of_them(
    browser: Browser, folder: Path
) -> None:
    with without_faults(browser, folder / "sequences/lift-edge.html", reduced_motion="reduce") as page:
        page.get_by_role("button", name="Find turns of your own").click()
        page.locator(".bench").wait_for()
        marked = (
            "() => [...document.querySelectorAll('.followed li')].map(li => [li.textContent, li.className])"
        )
        assert page.evaluate(marked) == [["flips UF", ""], ["keeps U except UF", "holds"]]
        assert state(page) == "1 of 2 claims about places holds. Everything is home."
        turn(page, "F")
        assert state(page).startswith("0 of 2 claims about places hold. ")
        page.get_by_role("button", name="Undo").click()
        # The mirror image, which is another sequence.
        turn(page, "F' E' F2 E2 F' E'")
        assert page.evaluate(marked) == [["flips UF", "holds"], ["keeps U except UF", "holds"]]
        assert state(page).startswith("2 of 2 claims about places hold. Found, in 6 turns. ")
        page.reload()
        page.get_by_text("found before").wait_for()


def test_where_no_claim_can_be_followed_nothing_is_to_be_found(folder: Path) -> None:
    assert "data-claims" not in (folder / "sequences/three.html").read_text(encoding="utf-8")
