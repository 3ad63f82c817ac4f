"""Turns that are played on a page: turning in a browser is turning here, and what is seen of it is right.

Needs the Chromium that the system provides; without it these tests are skipped, but not on a build server.
"""

from __future__ import annotations

import gzip
import json
import random
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page
from reading_paths import outlines
from sample_definitions import own_puzzles
from sample_guide import THOUGHT, write_guide
from sample_rendering import CHROMIUM, needs, without_faults

from sitegen.blocks.played import Played
from sitegen.figures.draw import draw
from sitegen.figures.of_position import palette, picture
from sitegen.figures.plane import distance, middle
from sitegen.figures.views import layout
from sitegen.moves.notation import write, write_all
from sitegen.moves.turning import permutation_of
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.site.publish import publish
from sitegen.site.turning_files import turning_files

pytestmark = needs(chromium=CHROMIUM)

TENT = Path(__file__).parents[2] / "content/puzzles/double-tent.yaml"
PUZZLES = {
    **{name: catalogue.puzzle(name) for name in catalogue.names()},
    **own_puzzles("double-tent", TENT.read_text(encoding="utf-8")),
}
SCRIPTS = "<script src='moves.js'></script><script src='turning.js'></script>"
GUIDE = """\
```moves lift-edge
title: Lift the front edge
moves: F E F2 E2 F E
```

"""
GUIDE += (
    THOUGHT
    + """
Text with `R U R'`{.moves} in it, and with `[@lift-edge, U]`{.moves}.
"""
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    texts = {"content/guide.yaml": "title: T\n", "content/index.md": GUIDE}
    folder = write_guide(tmp_path_factory.mktemp("guide"), texts)
    publish(folder)
    return folder / "output"


@pytest.fixture
def page(browser: Browser, folder: Path) -> Iterator[Page]:
    with without_faults(browser, folder / "index.html") as page:
        yield page


@pytest.fixture(scope="module")
def bare(browser: Browser, tmp_path_factory) -> Page:
    """A page with the script and every puzzle, and nothing to be played."""
    folder = tmp_path_factory.mktemp("bare")
    (folder / "turning").mkdir()
    for name, content in turning_files(PUZZLES.values(), {}):
        (folder / name).write_bytes(content)
    (folder / "bare.html").write_text(f"<!doctype html><title>x</title>{SCRIPTS}")
    page = browser.new_context(offline=True).new_page()
    page.goto((folder / "bare.html").as_uri())
    return page


def at_random(puzzle: Puzzle, count: int, rng: random.Random) -> list[Turn]:
    """Turns of whatever layers, by whatever amount."""
    found = []
    for _ in range(count):
        first, last = sorted(rng.choices(range(1, puzzle.layer_count + 1), k=2))
        found.append(Turn(rng.choice([*puzzle.axes]), first, last, rng.choice(puzzle.amounts)))
    return found


@pytest.mark.parametrize("name", PUZZLES)
def test_turning_in_a_browser_is_turning_here(bare: Page, name: str) -> None:
    """Turns of every kind in 2,000 sequences at random."""
    puzzle, rng = PUZZLES[name], random.Random(name)
    rows = [at_random(puzzle, rng.randint(1, 6), rng) for _ in range(2_000)]
    script = """async ([name, texts]) => {
      const of = await turning.puzzle(name);
      const after = (at, turn) => turning.turned(of, at, turn);
      return texts.map(text => turning.read(of, text).reduce(after, turning.solved(of)));
    }"""
    texts = [write_all(row, puzzle) for row in rows]
    turned = bare.evaluate(script, [name, texts])
    size = len(puzzle.stickers)
    assert turned == [[*permutation_of(tuple(row), puzzle)[:size]] for row in rows]


def test_every_turn_of_every_puzzle_can_be_read_by_the_script(bare: Page) -> None:
    for name, puzzle in PUZZLES.items():
        known = bare.evaluate("async name => Object.keys((await turning.puzzle(name)).turns)", name)
        assert {write(turn, puzzle) for turn in at_random(puzzle, 500, random.Random(1))} <= set(known)


def test_the_script_is_small() -> None:
    """12 kB compressed is the most that a reader is to load for it."""
    content = dict(turning_files([], {}))["turning.js"]
    assert len(gzip.compress(content)) < 12_000


SEEN = """() => [...document.querySelectorAll(".stage .stickers path")].map(path => [
  path.getAttribute("class"), path.getAttribute("d").split("Z").filter(Boolean).map(one => {
    const points = one.slice(1).split("L").map(point => point.split(" ").map(Number));
    return [0, 1].map(i => points.reduce((sum, point) => sum + point[i], 0) / points.length);
  })])"""


def seen(page: Page) -> dict[tuple[int, int], str]:
    """The colour of each sticker on the stage, by where its middle is, to 4 units of the figure."""
    return {
        (round(x / 4), round(y / 4)): colour for colour, middles in page.evaluate(SEEN) for x, y in middles
    }


def drawn(puzzle: Puzzle, position: perm.Permutation) -> dict[tuple[int, int], str]:
    """The same as a still figure has it, whose middle is elsewhere."""
    plan = layout(puzzle, "corner")
    assert plan.project is not None
    x, y = plan.project((0, 0, 0))
    colours = {face.name: face.colour for face in puzzle.faces}
    home = perm.inverse(position)
    return {
        (round((at[0] - x) / 4), round((at[1] - y) / 4)): colours[puzzle.stickers[home[slot]].face]
        for slot, at in plan.centres.items()
    }


def near(one: dict[tuple[int, int], str], other: dict[tuple[int, int], str]) -> bool:
    """Whether both have the same colours at the same places, to a step of rounding."""
    steps = [(a, b) for a in (-1, 0, 1) for b in (-1, 0, 1)]
    return len(one) == len(other) and all(
        colour in {other.get((x + a, y + b)) for a, b in steps} for (x, y), colour in one.items()
    )


@pytest.mark.parametrize("name", PUZZLES)
def test_what_is_played_ends_as_the_still_figure_has_it(bare: Page, name: str) -> None:
    puzzle, rng = PUZZLES[name], random.Random(f"{name} seen")
    turns = tuple(at_random(puzzle, 10, rng))
    before = permutation_of(tuple(at_random(puzzle, 5, rng)), puzzle)
    start = " ".join(map(str, before[: len(puzzle.stickers)]))
    bare.evaluate(
        """async ([name, said]) => {
          const of = await turning.puzzle(name);
          document.body.replaceChildren(turning.player(of, said, "a puzzle", () => {}).about);
        }""",
        [name, {"turns": write_all(turns, puzzle), "start": start}],
    )
    assert near(seen(bare), drawn(puzzle, before))
    bare.get_by_role("button", name="To the end").click()
    assert near(seen(bare), drawn(puzzle, perm.compose(before, permutation_of(turns, puzzle))))


def test_what_is_out_of_focus_is_muted_and_its_centres_keep_a_core_as_in_still_figures(bare: Page) -> None:
    """The cube is turned about, so that other centres come to where those were."""
    cube = catalogue.puzzle("cube-3")
    focus = frozenset([cube.piece_at(cube.slots["UF"]).index])
    said = {"turns": "x", "start": " ".join(map(str, cube.identity[:54])), "focus": " ".join(map(str, focus))}
    bare.evaluate(
        """async (said) => {
          const of = await turning.puzzle("cube-3");
          document.body.replaceChildren(turning.player(of, said, "a puzzle", () => {}).about);
        }""",
        said,
    )
    bare.get_by_role("button", name="To the end").click()
    played = bare.evaluate("() => document.querySelector('.stage svg').innerHTML")
    end = permutation_of((Turn("R", 1, 3, 1),), cube)
    still = draw(picture(cube, end, palette(cube), "", "", focus=focus), "corner")
    for figure in (played, still):
        cores = re.search(r'<g class="cores"[^>]*>(.*?)</g>', figure)
        assert cores
        assert sorted(re.findall(r'class="(\w+)"', cores[1])) == ["green", "red", "yellow"]


def play(page: Page, number: int = 0) -> None:
    page.get_by_role("button", name="Play the turns").nth(number).click()
    page.get_by_role("button", name="Pause").wait_for()


def current(page: Page) -> str:
    found = page.locator(".player [aria-current]")
    return (found.text_content() or "") if found.count() else ""


def test_a_sequence_plays_to_its_end_and_is_told_turn_by_turn(page: Page, cube3: Puzzle) -> None:
    page.evaluate("localStorage.setItem('turning-speed', '4')")
    play(page)
    assert page.locator(".player .turns-row button").all_text_contents() == ["F", "E", "F2", "E2", "F", "E"]
    page.get_by_role("button", name="Play", exact=True).wait_for()
    assert current(page) == "E"
    assert page.locator(".player .done").count() == 6
    assert page.locator(".player [aria-live]").text_content() == "E; at the end"
    turns = (("F", 1), ("D", 2), ("F", 1), ("D", 2), ("F", 1), ("D", 2))
    amounts = (1, 1, 2, 2, 1, 1)
    done = tuple(Turn(axis, at, at, by) for (axis, at), by in zip(turns, amounts, strict=True))
    assert near(seen(page), drawn(cube3, permutation_of(done, cube3)))


def test_one_turn_on_and_back_leave_the_puzzle_as_it_was(page: Page) -> None:
    page.emulate_media(reduced_motion="reduce")
    page.get_by_role("button", name="Play the turns").first.click()
    page.get_by_role("button", name="To the start").click()
    before = seen(page)
    page.get_by_role("button", name="One turn on").click()
    assert current(page) == "F"
    assert seen(page) != before
    page.get_by_role("button", name="One turn back").click()
    assert current(page) == ""
    assert seen(page) == before
    assert page.get_by_role("button", name="One turn back").is_disabled()


def test_layers_are_between_two_positions_while_they_turn(page: Page) -> None:
    """The stickers of a layer under way are nowhere that stickers are at rest, and the others are."""
    page.evaluate("localStorage.setItem('turning-speed', '0')")
    page.get_by_role("button", name="Play the turns").first.click()
    page.wait_for_timeout(900)
    places = set(seen(page))
    at_rest = {
        (x + a, y + b)
        for x, y in drawn(catalogue.puzzle("cube-3"), catalogue.puzzle("cube-3").identity)
        for a in (-1, 0, 1)
        for b in (-1, 0, 1)
    }
    assert len(places - at_rest) >= 9
    assert len(places & at_rest) >= 12


def test_with_reduced_motion_nothing_moves_between_positions(page: Page) -> None:
    page.emulate_media(reduced_motion="reduce")
    page.evaluate("localStorage.setItem('turning-speed', '4')")
    page.evaluate(
        """() => { window.ways = new Set(); new MutationObserver(() => {
          const bodies = document.querySelectorAll(".stage .body").length;
          if (bodies) ways.add(bodies);
        }).observe(document.body, {childList: true, subtree: true}) }"""
    )
    play(page)
    page.get_by_role("button", name="Play", exact=True).wait_for()
    assert page.evaluate("[...ways]") == [1]


def test_keys_play_and_turn_the_puzzle_about_and_put_it_back(page: Page) -> None:
    page.emulate_media(reduced_motion="reduce")
    page.get_by_role("button", name="Play the turns").first.click()
    page.get_by_role("button", name="To the start").click()
    stage = page.locator(".stage")
    stage.focus()
    before = seen(page)
    for key in ("ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown"):
        page.keyboard.press(key)
        assert seen(page) != before
        page.keyboard.press("Home")
        assert seen(page) == before
    page.keyboard.press(" ")
    page.get_by_role("button", name="Pause").wait_for()


def test_dragging_shows_the_back_and_one_button_too(page: Page) -> None:
    page.emulate_media(reduced_motion="reduce")
    page.get_by_role("button", name="Play the turns").first.click()
    page.get_by_role("button", name="To the start").click()
    assert set(seen(page).values()) == {"white", "green", "red"}
    page.get_by_role("button", name="From the other side").click()
    assert set(seen(page).values()) == {"yellow", "blue", "orange"}
    page.get_by_role("button", name="From the other side").click()
    box = page.locator(".stage").bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 60, box["y"] + 150)
    page.mouse.down()
    page.mouse.move(box["x"] + 60 + box["width"] * 0.75, box["y"] + 150, steps=5)
    page.mouse.up()
    assert "orange" in seen(page).values()


def test_the_guard_of_a_derivation_leaves_and_comes_home_and_the_trail_grows(page: Page) -> None:
    page.emulate_media(reduced_motion="reduce")
    page.get_by_role("button", name="Play the turns").nth(1).click()
    page.get_by_role("button", name="To the start").click()
    assert page.locator(".stage .guard:not(.under, [stroke-dasharray])").count() == 1
    assert page.locator(".stage .guard[stroke-dasharray]:not(.under)").count() == 0
    assert page.locator(".stage .ring").count() == 2
    assert all("Q" in (each.get_attribute("d") or "") for each in page.locator(".stage .ring").all()), "round"
    assert page.locator(".stage .went").count() == 0
    page.get_by_role("button", name="One turn on").click()
    assert page.locator(".stage .guard[stroke-dasharray]:not(.under)").count() == 1
    trails = [len("".join(each.get_attribute("d") or "" for each in page.locator(".stage .went").all()))]
    page.get_by_role("button", name="One turn on").click()
    trails.append(len("".join(each.get_attribute("d") or "" for each in page.locator(".stage .went").all())))
    assert 0 < trails[0] < trails[1]
    assert page.locator(".stage .muted").count() >= 1
    # The steps of the block are told apart.
    assert page.locator(".player .parting").count() == 3


def test_a_derivation_has_two_steps_side_by_side_and_large_figures(page: Page) -> None:
    """260 px at least on a wide screen; on a telephone one below the other, as wide as there is room."""
    boxes = """() => [...document.querySelectorAll(".stages figure")].map(
      figure => [figure.offsetLeft, figure.offsetTop, figure.offsetWidth])"""
    page.set_viewport_size({"width": 1280, "height": 900})
    first, second, third, *_ = page.evaluate(boxes)
    assert min(first[2], second[2], third[2]) >= 260
    assert first[1] == second[1] < third[1]
    page.set_viewport_size({"width": 360, "height": 900})
    first, second, *_ = page.evaluate(boxes)
    assert first[0] == second[0]
    assert first[1] < second[1]
    assert first[2] >= 260


def test_the_watched_piece_has_a_ring_in_still_figures_wherever_it_is(folder: Path, cube3: Puzzle) -> None:
    """Read back from the paths: the rings lie on the stickers of UF, which goes UF, RF, BR, BR, RF."""
    html = (folder / "index.html").read_text(encoding="utf-8")
    steps = re.findall(r"<svg.*?</svg>", html[html.index('<ol class="stages">') :], re.DOTALL)
    plan = layout(cube3, "corner")
    for step, at in zip(steps, ("RF", "BR", "BR", "RF"), strict=False):
        (ring,) = [each for each in re.findall(r"<path[^>]*>", step) if 'class="ring"' in each]
        (drawn,) = re.findall(r' d="([^"]*)"', ring)
        middles = [
            middle([step[0] for step in each.steps if isinstance(step, tuple)]) for each in outlines(drawn)
        ]
        nearest = {min(plan.centres, key=lambda slot: distance(plan.centres[slot], at)) for at in middles}
        assert nearest == {cube3.slots[name] for name in (at, at[::-1])} & plan.shapes.keys()


def test_a_position_plays_its_solution_from_there(page: Page, cube3: Puzzle) -> None:
    page.emulate_media(reduced_motion="reduce")
    page.get_by_role("button", name="Play the turns").nth(2).click()
    page.get_by_role("button", name="To the start").click()
    assert not near(seen(page), drawn(cube3, cube3.identity))
    page.get_by_role("button", name="To the end").click()
    assert near(seen(page), drawn(cube3, cube3.identity))


def test_what_is_said_of_a_step_stands_beside_the_puzzle_while_it_is_turned(page: Page) -> None:
    page.set_viewport_size({"width": 1440, "height": 900})
    derivation = page.locator(".card.derivation")
    derivation.get_by_role("button", name="Play the turns").click()
    derivation.locator(".player").wait_for()
    words = derivation.locator(".stages .stage-words").all_inner_texts()
    assert len(words) == 4
    derivation.get_by_role("button", name="To the start").click()
    for said in words:
        derivation.get_by_role("button", name="One turn on").click()
        page.wait_for_function(f"document.querySelector('.step-words').innerText === {json.dumps(said)}")
    puzzle, beside = (
        derivation.locator(f".player > .{name}").bounding_box() for name in ("stage", "step-words")
    )
    assert puzzle
    assert beside
    assert beside["x"] >= puzzle["x"] + puzzle["width"]


def test_moves_in_the_text_play_below_their_paragraph(page: Page) -> None:
    page.get_by_role("button", name="Play R, U, R prime").click()
    assert page.locator("p + .player .turns-row button").all_text_contents() == ["R", "U", "R'"]
    page.get_by_role("button", name="Close").click()
    assert page.locator(".player").count() == 0
    page.get_by_role("button", name="Play commutator: lift edge, then U").click()
    assert page.locator(".player .turns-row button").count() == 14


def test_the_figures_come_back_when_it_is_closed_and_with_them_the_focus(page: Page) -> None:
    play(page)
    assert not page.locator(".pairs").first.is_visible()
    page.get_by_role("button", name="Close").click()
    assert page.locator(".pairs").first.is_visible()
    assert page.evaluate("document.activeElement.textContent") == "Play the turns"


def settled(page: Page) -> int:
    """How many turns are done once nothing moves any more."""
    page.locator(".stage .body ~ .body").first.wait_for(state="detached")
    return page.locator(".player .done").count()


def test_turns_asked_for_quickly_are_all_done_and_the_last_way_counts(page: Page) -> None:
    page.evaluate("localStorage.setItem('turning-speed', '1')")
    play(page)
    page.get_by_role("button", name="To the end").click()
    back, on = (page.get_by_role("button", name=f"One turn {way}") for way in ("back", "on"))
    for _ in range(3):
        back.click()
    assert settled(page) == 3
    back.click()
    on.click()
    assert settled(page) == 3
    on.click()
    back.click()
    assert settled(page) == 3


def test_a_button_that_is_of_no_use_keeps_the_focus(page: Page) -> None:
    page.emulate_media(reduced_motion="reduce")
    page.get_by_role("button", name="Play the turns").first.click()
    page.get_by_role("button", name="To the start").click()
    page.get_by_role("button", name="One turn on").focus()
    for _ in range(8):
        page.keyboard.press("Enter")
    assert settled(page) == 6
    assert page.evaluate("document.activeElement.title") == "One turn on"
    page.keyboard.press("Escape")
    assert page.locator(".player").count() == 0
    assert page.evaluate("document.activeElement.textContent") == "Play the turns"


def test_the_player_opens_in_sight_and_closes_to_where_the_reader_was(page: Page) -> None:
    page.set_viewport_size({"width": 1200, "height": 800})
    place = page.get_by_role("button", name="Play the turns").first
    place.scroll_into_view_if_needed()
    place.click()
    page.locator(".player").wait_for()
    box = page.locator(".player").bounding_box()
    assert box is not None
    assert box["y"] >= 0
    assert box["y"] + box["height"] <= 801
    before = place.bounding_box()
    page.get_by_role("button", name="Close").click()
    after = place.bounding_box()
    assert before is not None
    assert after is not None
    assert abs(before["y"] - after["y"]) < 2


def test_what_cannot_be_loaded_is_said_and_tried_again(browser: Browser, folder: Path) -> None:
    page = browser.new_context(offline=True).new_page()
    page.route("**/turning/cube-3.js", lambda route: route.abort())
    page.goto((folder / "index.html").as_uri())
    place = page.get_by_role("button", name="Play the turns").first
    place.click()
    alert = page.get_by_role("alert")
    alert.wait_for()
    assert "What is known of cube-3 cannot be loaded" in (alert.text_content() or "")
    page.unroute("**/turning/cube-3.js")
    place.click()
    page.locator(".player").wait_for()
    assert alert.count() == 0
    page.context.close()


def test_no_button_stands_in_a_figure(page: Page, folder: Path) -> None:
    page.goto((folder / "sequences/lift-edge.html").as_uri())
    assert page.locator("svg path.turning").count() > 0
    assert page.locator("svg .turn-it").count() == 0
    assert page.get_by_role("button", name="Play the turns").count() == 1


def test_a_finger_that_scrolls_past_leaves_the_puzzle_as_it_was(page: Page) -> None:
    page.emulate_media(reduced_motion="reduce")
    page.get_by_role("button", name="Play the turns").first.click()
    page.get_by_role("button", name="To the start").click()
    before = seen(page)
    page.evaluate(
        """() => {
          const stage = document.querySelector(".stage");
          stage.setPointerCapture = () => {};
          const send = (kind, x, y) => stage.dispatchEvent(new PointerEvent(kind,
            {pointerId: 1, pointerType: "touch", button: 0, clientX: x, clientY: y}));
          send("pointerdown", 100, 100);
          send("pointermove", 112, 60);
          send("pointercancel", 112, 60);
        }"""
    )
    assert seen(page) == before


def test_on_paper_there_are_figures_and_nothing_to_press(page: Page) -> None:
    play(page)
    page.emulate_media(media="print")
    assert page.locator(".pairs").first.is_visible()
    assert not page.locator(".player").is_visible()
    assert not page.locator(".turn-it").first.is_visible()


def letters_seen(page: Page) -> int:
    return sum(each.is_visible() for each in page.locator(".pairs svg .letters text").all())


def test_letters_are_switched_on_for_all_figures_and_remembered(page: Page) -> None:
    switch = page.get_by_role("button", name="Letters on stickers")
    assert letters_seen(page) == 0
    assert switch.get_attribute("aria-pressed") == "false"
    switch.click()
    assert letters_seen(page) > 0
    page.reload()
    assert letters_seen(page) > 0
    page.emulate_media(reduced_motion="reduce")
    page.get_by_role("button", name="Play the turns").first.click()
    page.locator(".stage .letters text").first.wait_for()
    assert page.locator(".stage .letters text").count() == 27
    switch.click()
    assert page.locator(".stage .letters text").count() == 0
    page.reload()
    assert letters_seen(page) == 0


@pytest.mark.parametrize("asked", [{"contrast": "more"}, {"forced_colors": "active"}])
def test_letters_are_there_by_themselves_where_a_system_asks_for_contrast(page: Page, asked) -> None:
    page.emulate_media(**asked)
    assert letters_seen(page) > 0


def test_without_scripts_nothing_of_it_is_seen(browser: Browser, folder: Path) -> None:
    page = browser.new_context(offline=True, java_script_enabled=False).new_page()
    page.goto((folder / "index.html").as_uri())
    assert page.locator(".turning").count() == 3
    assert page.get_by_role("button").count() == 0
    assert page.locator(".pairs svg").first.is_visible()
    page.context.close()


def test_what_nobody_would_watch_is_not_played(cube3: Puzzle) -> None:
    turn = Turn("U", 1, 1, 1)
    assert "data-turns" in Played(puzzle=cube3, parts=[[turn] * 400], before=cube3.identity).attributes
    assert Played(puzzle=cube3, parts=[[turn] * 401], before=cube3.identity).attributes == ""
    assert Played(puzzle=cube3, parts=[[]], before=cube3.identity).attributes == ""


def test_a_guide_loads_what_is_known_of_its_own_puzzles_alone(folder: Path) -> None:
    assert [path.name for path in (folder / "files/turning").iterdir()] == ["cube-3.js"]


def test_what_is_said_to_the_script_is_plain_text_in_attributes(folder: Path) -> None:
    html = (folder / "index.html").read_text(encoding="utf-8")
    assert re.findall(r'class="turning" data-puzzle="cube-3" data-turns="([^"]*)"', html) == [
        "F E F2 E2 F E",
        "F | E | F' | E'",
        "F E F2 E2 F E | U | E' F' E2 F2 E' F' | U'",
    ]


FRAMES = """async ([name, scenes]) => {
  const of = await turning.puzzle(name);
  const host = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  const look = {muted: new Set(), guard: [], watch: [], marked: false, letters: false};
  const drawn = scene => {
    const seen = {of, look, view: of.rows, positions: [scene.position], done: 0, turns: []};
    host.innerHTML = turning.frame({...seen, ...scene});
    const said = kind => [...host.querySelectorAll(kind)];
    return {
      bodies: said(".body").map(path => path.getAttribute("d")),
      stickers: said(".stickers path").flatMap(path => path.getAttribute("d").split("Z").filter(Boolean)
        .map(one => path.getAttribute("class") + one)).sort(),
    };
  };
  return scenes.map(([start, text, share]) => {
    const turns = turning.read(of, text), position = start ?? turning.solved(of);
    return drawn(share === null
      ? {position: turns.reduce((at, turn) => turning.turned(of, at, turn), position), turn: null, share: 0}
      : {position, turn: turns[0], share});
  });
}"""


def middles(stickers: list[str]) -> set[tuple[str, int, int]]:
    """The colour of each sticker with its middle, to 8 units of the figure."""
    found = set()
    for each in stickers:
        colour, _, corners = each.partition("M")
        points = [tuple(map(float, point.split())) for point in corners.split("L")]
        x, y = (sum(axis) / len(points) / 8 for axis in zip(*points, strict=True))
        found.add((colour, round(x), round(y)))
    return found


@pytest.mark.parametrize("name", PUZZLES)
def test_a_layer_arrives_where_its_turn_takes_it(bare: Page, name: str) -> None:
    """So it turns the right way: at the end of its way the stickers lie as they do after the turn."""
    puzzle, rng = PUZZLES[name], random.Random(f"{name} arrives")
    texts = [write(turn, puzzle) for turn in at_random(puzzle, 20, rng)]
    scenes = [[None, text, share] for text in texts for share in (1, None)]
    drawn = bare.evaluate(FRAMES, [name, scenes])
    for under_way, after in zip(drawn[::2], drawn[1::2], strict=True):
        there, wanted = middles(under_way["stickers"]), middles(after["stickers"])
        close = [(c, x + a, y + b) for c, x, y in there for a in (-1, 0, 1) for b in (-1, 0, 1)]
        assert len(under_way["stickers"]) == len(after["stickers"])
        assert wanted <= set(close)


@pytest.mark.parametrize(
    ("turns", "at"), [("R U F", 1), ("L D B", 0), ("M E S", 1)], ids=["near", "far", "between"]
)
def test_layers_that_are_nearer_are_painted_over_those_behind(bare: Page, turns: str, at: int) -> None:
    """The reader stands before the corner of U, F and R, so that these layers are the nearest."""
    for text in turns.split():
        begin, under_way = bare.evaluate(FRAMES, ["cube-3", [[None, text, 0], [None, text, 0.5]]])
        pairs = zip(begin["bodies"], under_way["bodies"], strict=True)
        assert [number for number, (one, other) in enumerate(pairs) if one != other] == [at]
        assert len(begin["bodies"]) == (3 if text in "MES" else 2)


def test_the_way_of_a_watched_piece_ends_where_it_is(page: Page, cube3: Puzzle) -> None:
    """U takes UF to UL, and both are in sight on top."""
    page.emulate_media(reduced_motion="reduce")
    said = {"turns": "U", "watch": str(cube3.piece_at(cube3.slots["UF"]).index)}
    page.evaluate(
        """async said => {
          const player = turning.player(await turning.puzzle("cube-3"), said, "a cube", () => {});
          document.body.replaceChildren(player.about);
          player.begin();
        }""",
        said,
    )
    way = page.locator(".stage .went:not(.under)").get_attribute("d") or ""
    under, over = (
        float(page.locator(each).evaluate("way => getComputedStyle(way).strokeWidth.replace('px', '')"))
        for each in (".stage .went.under", ".stage .went:not(.under)")
    )
    assert under > 1.5 * over > 0  # so that it is read whatever lies below it
    plan = layout(cube3, "corner")
    assert plan.project is not None
    x, y = plan.project((0, 0, 0))
    first, last = (tuple(map(float, way.replace("M", "L").split("L")[at].split())) for at in (1, -1))
    for point, name in ((first, "UF"), (last, "UL")):
        at = plan.centres[cube3.slots[name]]
        assert distance((point[0] + x, point[1] + y), at) < 20
