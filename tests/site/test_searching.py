"""Searching a published guide by words, by what moves do, and by any spelling of the same moves.

Needs the Chromium that the system provides; without it these tests are skipped, but not on a build server.
"""

from __future__ import annotations

import gzip
import random
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page
from sample_guide import write_guide
from sample_rendering import CHROMIUM, needs, without_faults
from serving_files import STRICT, served
from turned_text import does

from sitegen.effects.effect import Effect
from sitegen.effects.likeness import appearance
from sitegen.moves.notation import letters, outer_layers, write_all
from sitegen.moves.simplify import simplify
from sitegen.moves.turning import held, inverse_turns, mirror, permutation_of
from sitegen.puzzles import catalogue
from sitegen.puzzles import permutation as perm
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.site.index_files import finder
from sitegen.site.publish import publish
from sitegen.site.turning_files import turning_files

pytestmark = needs(chromium=CHROMIUM)

PUZZLES = ("cube-3", "pyraminx", "megaminx", "cube-4", "cube-2", "skewb", "twin")
TWIN = (
    "solid: octahedron\nnames: {A: F, B: R, C: B, D: L, E: Df, F: Dr, G: Db, H: Dl}\n"
    "axes: {F: F, R: R, B: B, L: L}\ndepths: [0]\nangle: 120\n"
    "colours: {F: white, R: yellow, B: pink, L: orange, Df: blue, Dr: green, Db: purple, Dl: red}\n"
)
"""An author's own puzzle."""
HAND = """\
---
title: Über two edges
tags: [début, "a/b", con]
---
## A heading to be found

Lead-in
: the turns before a tool

```moves pair
title: The plain pair
moves: [R, U]
tags: début, twists
```

```moves over
title: Two turned over
moves: [F E F2 E2 F E, U]
claims:
- flips UF and UR
- changes only UF and UR
```

```moves three
title: A round of corners
moves: [R' D' R, U]
claims: keeps edges
```

```moves once
title: Front edge up
moves: F E F2 E2 F E
claims: keeps U except UF
```

```moves built
title: Upon another
moves: [@over-twice, F]
```

```moves over-twice
title: No effect at all
moves: (R U R' U')6
```

```position wardrobe-start
title: The wardrobe, shut
moves: R U
```

```find wardrobe-doors
title: Doors of a wardrobe
claims: order 4
faces: R
longest: 1
```

```method wardrobe-way
title: A wardrobe put up
count: 1
stages:
- stage: A
  goal: UF placed
  using: any turns up to 2
```
"""


def turns_at_random(puzzle: Puzzle, count: int, rng: random.Random) -> tuple[Turn, ...]:
    """Turns of outer layers, as most sequences have them."""
    outer = [*outer_layers(puzzle).values()]
    return tuple(rng.choice(outer)._replace(amount=rng.choice(puzzle.amounts)) for _ in range(count))


Written = dict[str, list[tuple[Turn, ...]]]


@pytest.fixture(scope="module")
def puzzles() -> dict[str, Puzzle]:
    from sample_definitions import own_puzzles

    return {name: catalogue.puzzle(name) for name in PUZZLES if name != "twin"} | own_puzzles("twin", TWIN)


@pytest.fixture(scope="module")
def written(puzzles) -> Written:
    """Forty sequences of each puzzle, no two of which are alike however the puzzle is held."""
    rng = random.Random(20)
    return {
        name: [turns_at_random(puzzle, rng.randint(4, 9), rng) for _ in range(40)]
        for name, puzzle in puzzles.items()
    }


@pytest.fixture(scope="module")
def folder(tmp_path_factory, puzzles, written) -> Path:
    texts: dict[str, str | bytes] = {
        "content/guide.yaml": "title: T\npages:\n- index\n- Workshop talk: [hand]\n",
        "content/index.md": "# Home\n\nWords.\n",
        "content/hand.md": HAND,
        "content/puzzles/twin.yaml": TWIN,
    }
    for name, rows in written.items():
        blocks = (
            f"```moves at-random-{name}-{number}\nmoves: {write_all(row, puzzles[name])}\n```\n"
            for number, row in enumerate(rows)
        )
        texts[f"content/on-{name}.md"] = f"---\npuzzle: {name}\n---\n# On {name}\n\n" + "\n".join(blocks)
    folder = write_guide(tmp_path_factory.mktemp("guide"), texts)
    publish(folder)
    return folder / "output"


@pytest.fixture
def page(browser: Browser, folder: Path) -> Iterator[Page]:
    with without_faults(browser, folder / "hand.html") as page:
        yield page


@pytest.fixture(scope="module")
def found(browser: Browser, folder: Path) -> Callable[..., list[dict[str, Any]]]:
    """All that is found by what is typed, from the file system."""
    page = browser.new_context(offline=True).new_page()
    page.goto((folder / "hand.html").as_uri())

    def search(text: str, most: int = 100) -> list[dict[str, Any]]:
        script = "async ([text, most]) => (await searching.search(text, most)).list"
        hits: list[dict[str, Any]] = page.evaluate(script, [text, most])
        return hits

    return search


def titles(hits: list[dict[str, Any]], kind: str = "Sequence") -> list[str]:
    return [hit["title"] for hit in hits if hit["kind"] == kind]


def by_moves(hits: list[dict[str, Any]], name: str) -> dict[str, str]:
    """Why each sequence of a puzzle was found by moves, by its number."""
    begin = f"At random {name} ".replace("-", " ").lower()
    return {
        hit["title"].lower().removeprefix(begin): hit["why"]
        for hit in hits
        if hit["why"] and hit["title"].lower().startswith(begin)
    }


# Moves ----------------------------------------------------------------------------------------------------


def spelled_otherwise(row: tuple[Turn, ...], puzzle: Puzzle, rng: random.Random) -> str:
    """The same turns with brackets, and with turns between them that undo each other."""
    at = rng.randint(1, len(row) - 1)
    a, b = row[:at], row[at:]
    extra = turns_at_random(puzzle, 2, rng)
    text = partial(write_all, puzzle=puzzle)
    lead = text(a)
    ways = (
        f"({lead}) ({text(b)})",
        f"({text(inverse_turns(row))})'",
        f"[{lead}: {text(b + a)}]",
        f"{lead} {text(extra)} ({text(extra)})' {text(b)}",
        f"[{lead}, {text(b)}] ({text(b)} {lead})",
        f"({text(row)})2 ({text(row)})'",
        text(simplify(row, puzzle)) or f"{lead} ({lead})'",
    )
    return rng.choice(ways)


@pytest.mark.parametrize("name", PUZZLES)
def test_any_spelling_of_the_same_moves_finds_them(found, puzzles, written, name: str) -> None:
    puzzle, rng = puzzles[name], random.Random(name)
    effects = [permutation_of(row, puzzle) for row in written[name]]
    for number, row in enumerate(written[name]):
        text = spelled_otherwise(row, puzzle, rng)
        like = [
            str(other)
            for other, effect in enumerate(effects)
            if appearance(puzzle, effect) == appearance(puzzle, effects[number])
        ]
        why = by_moves(found(text), name)
        assert [other for other, words in why.items() if words == "the same effect"] == like, text


@pytest.mark.parametrize("name", PUZZLES)
def test_turned_moves_and_those_in_a_mirror_are_found_and_say_so(found, puzzles, written, name: str) -> None:
    puzzle, rng = puzzles[name], random.Random(f"{name} turned")
    told = set()
    for number, row in enumerate(written[name]):
        hold = rng.choice([each for each in puzzle.rotations if each != puzzle.identity])
        turned = held(row, puzzle, hold)
        planes = [*puzzle.mirrors.values()]
        ways = {"turned": turned}
        if planes:
            ways["in a mirror"] = mirror(row, puzzle, rng.choice(planes))
        for word, other in ways.items():
            why = by_moves(found(write_all(other, puzzle)), name)[str(number)]
            # What looks the same turned or mirrored is the same.
            assert why == expected(row, other, puzzle), (write_all(other, puzzle), word)
            told.add(why)
    assert {"turned", "in a mirror"} - {"in a mirror" if not puzzle.mirrors else ""} <= told


def expected(row: tuple[Turn, ...], typed: tuple[Turn, ...], puzzle: Puzzle) -> str:
    """By going through all symmetries, and what each makes of what is typed."""
    look = appearance(puzzle, permutation_of(row, puzzle))
    effect = permutation_of(typed, puzzle)
    hit = [
        each
        for each in puzzle.symmetries
        if appearance(puzzle, perm.compose(perm.compose(perm.inverse(each), effect), each)) == look
    ]
    if puzzle.identity in hit:
        return "the same effect"
    if any(each in puzzle.rotations for each in hit):
        return "turned"
    return "in a mirror" if any(each in puzzle.mirrors.values() for each in hit) else "in a mirror and turned"


@pytest.mark.parametrize("name", PUZZLES)
def test_other_moves_find_nothing(found, puzzles, written, name: str) -> None:
    puzzle, rng = puzzles[name], random.Random(f"{name} others")
    families = {family(row, puzzle) for row in written[name]}
    tried = 0
    for _ in range(40):
        row = turns_at_random(puzzle, 7, rng)
        if family(row, puzzle) not in families:
            tried += 1
            assert by_moves(found(write_all(row, puzzle)), name) == {}
    assert tried > 20


def family(row: tuple[Turn, ...], puzzle: Puzzle) -> Any:
    """Something that effects share just when a symmetry makes one of the other, with centres home."""
    effect = Effect(puzzle, permutation_of(row, puzzle)).turned_back.permutation
    return min(
        appearance(puzzle, perm.compose(perm.compose(perm.inverse(each), effect), each))
        for each in puzzle.symmetries
    )


def test_a_turning_of_the_whole_puzzle_at_the_end_is_told(found, puzzles, written) -> None:
    for number, row in enumerate(written["cube-3"][:10]):
        why = by_moves(found(f"{write_all(row, puzzles['cube-3'])} x y"), "cube-3")
        assert why[str(number)] == "the same effect, but for a turning of the whole puzzle at the end"


def test_commutators_are_found_by_their_turns_and_these_by_commutators(found) -> None:
    for text in ("R U R' U'", "[R, U]", "[R,U]", "RUR'U'", "(U R U′ R’)'", "[R: U] U'", "R U2 U' R' U'"):
        assert titles(found(text))[0] == "The plain pair", text
        assert found(text)[0]["why"] == "the same effect"
    mirrored = {hit["title"]: hit["why"] for hit in found("L' U' L U")}
    assert mirrored["The plain pair"] == "in a mirror"
    turned = {hit["title"]: hit["why"] for hit in found("y R U R' U' y'")}
    assert turned["The plain pair"] == "turned"


def test_what_does_nothing_is_found_by_what_does_nothing(found) -> None:
    hits = {hit["title"]: hit["why"] for hit in found("R R'")}
    assert hits["No effect at all"] == "the same effect"


@pytest.mark.parametrize("text", ["[R, U", "R U)", "[R]", "(R U)99999999", "R Q", "R,U", "[R: U: F]", "R ]"])
def test_what_is_no_moves_finds_no_moves(found, text: str) -> None:
    assert [hit["why"] for hit in found(text) if hit["why"]] == []


@pytest.fixture(scope="module")
def bare(browser: Browser, tmp_path_factory, puzzles) -> Page:
    """A page with the scripts that read and turn, and nothing else."""
    folder = tmp_path_factory.mktemp("bare")
    (folder / "turning").mkdir()
    for name, content in turning_files(puzzles.values(), {}):
        (folder / name).write_bytes(content)
    scripts = "<script src='moves.js'></script><script src='turning.js'></script>"
    (folder / "bare.html").write_text(f"<!doctype html><title>x</title>{scripts}")
    page = browser.new_context(offline=True).new_page()
    page.goto((folder / "bare.html").as_uri())
    return page


@pytest.mark.parametrize("name", PUZZLES)
def test_every_way_to_write_a_turn_is_read_as_it_is_here(bare: Page, puzzles, name: str) -> None:
    puzzle = puzzles[name]
    marks = ("", "'", "2", "2'") if puzzle.full_turn > 3 else ("", "'")
    texts = [text + mark for text, turn in letters(puzzle).items() if turn.amount == 1 for mark in marks]
    script = """async ([name, texts]) => {
      const of = await turning.puzzle(name);
      const after = (at, turn) => turning.turned(of, at, turn);
      return texts.map(text => moves.read(of, text).reduce(after, turning.solved(of)));
    }"""
    size = len(puzzle.stickers)
    assert bare.evaluate(script, [name, texts]) == [[*does(text, puzzle)[:size]] for text in texts]


# Words ----------------------------------------------------------------------------------------------------


def test_what_moves_do_is_found_by_saying_it(found) -> None:
    for text in (
        "flips two edges",
        "flipped edges",
        "UF and UR are flipped",
        "two edges flipped",
        "flips UF UR",
        "flips uf",
    ):
        assert "Two turned over" in titles(found(text)), text
        assert "A round of corners" not in titles(found(text)), text
    assert "A round of corners" in titles(found("cycles three corners"))
    assert "Two turned over" not in titles(found("cycles three corners"))
    assert "Front edge up" not in titles(found("flips two edges"))


def test_what_is_kept_is_found_and_what_is_kept_but_for_a_piece_is_not(found) -> None:
    assert "Two turned over" not in titles(found("keeps U"))
    assert "Two turned over" in titles(found("keeps D"))
    assert "Front edge up" not in titles(found("keeps U"))
    assert titles(found("keeps U except UF")) == ["Front edge up"]
    assert "A round of corners" in titles(found("keeps edges"))


def test_each_claim_that_sequences_keep_layers_by_is_true_of_what_is_found(found, puzzles, written) -> None:
    for name in ("cube-3", "pyraminx"):
        keeps = [Effect(puzzles[name], permutation_of(row, puzzles[name])).keeps for row in written[name]]
        for layer in ("D", "U", "L", "R"):
            begin = f"At random {name} ".replace("-", " ").capitalize()
            there = {
                title.removeprefix(begin)
                for title in titles(found(f"keeps {layer}", 400))
                if title.startswith(begin)
            }
            assert there == {str(number) for number, kept in enumerate(keeps) if layer in kept}


def test_capitals_say_nothing_where_words_are_known_without_them(found) -> None:
    for text in ("flips two edges", "keeps corners"):
        for typed in (text.title(), text.upper()):
            assert titles(found(typed)) == titles(found(text)) != []


def test_pages_headings_tags_sequences_and_other_blocks_are_found_by_their_words(found) -> None:
    assert titles(found("uber two"), "Page") == ["Über two edges"]
    assert titles(found("workshop"), "Part") == ["Workshop talk"]
    assert titles(found("heading found"), "Heading") == ["A heading to be found"]
    assert titles(found("lead in"), "Term") == ["Lead-in"]
    assert titles(found("debut"), "Tag") == ["début"]
    assert titles(found("debut"), "Page") == ["Über two edges"]
    assert titles(found("debut")) == ["The plain pair"]
    assert titles(found("over-twice")) == ["No effect at all"]
    assert titles(found("plai")) == ["The plain pair"]
    assert titles(found("wardrobe"), "Position") == ["The wardrobe, shut"]
    assert titles(found("wardrobe"), "Sequences found") == ["Doors of a wardrobe"]
    assert titles(found("wardrobe"), "Method") == ["A wardrobe put up"]
    assert found("constructor") == found("zzz") == found("__proto__") == []


def test_every_hit_leads_to_something(browser: Browser, folder: Path, found) -> None:
    page = browser.new_context(offline=True).new_page()
    for hit in (
        *found("heading"),
        *found("lead-in"),
        *found("debut"),
        *found("a/b"),
        *found("con"),
        *found("plain pair"),
        *found("wardrobe"),
    ):
        page.goto(hit["url"])
        anchor = hit["url"].partition("#")[2]
        assert page.locator(f"[id='{anchor}']" if anchor else "h1").count() == 1
        heading = page.locator(f"[id='{anchor}']" if anchor else "h1").inner_text()
        assert heading.startswith(hit["title"])
    page.context.close()


# The field ------------------------------------------------------------------------------------------------


def typed(page: Page, text: str) -> list[str]:
    """What is listed for it."""
    page.fill(".search input", text)
    page.wait_for_function(
        "text => document.querySelector('.found-here .state').textContent.includes(text)", arg="ound"
    )
    return [" ".join(each.split()) for each in page.locator(".found-here li").all_inner_texts()]


def test_a_hit_says_what_it_is_and_why_it_is_found(page: Page) -> None:
    hits = typed(page, "L' U' L U")
    assert "The plain pair Sequence (3×3×3 cube) [R, U] commutator: R, then U in a mirror" in hits
    assert page.locator(".found-here code").first.get_attribute("aria-hidden") == "true"


def test_sequences_within_moves_are_called_by_their_names(found) -> None:
    assert [hit["moves"] for hit in found("upon another")] == ["[over twice, F]"]


def test_arrows_go_through_what_is_found_and_escape_closes_it(page: Page) -> None:
    typed(page, "two")
    here = "document.activeElement.textContent"
    page.keyboard.press("ArrowDown")
    first = page.evaluate(here)
    page.keyboard.press("ArrowDown")
    assert page.evaluate(here) != first
    page.keyboard.press("ArrowUp")
    assert page.evaluate(here) == first
    page.keyboard.press("ArrowUp")
    assert page.evaluate("document.activeElement.type") == "search"
    page.keyboard.press("Escape")
    assert not page.locator(".found-here").is_visible()
    assert page.evaluate("document.activeElement.type") == "search"


def test_enter_leads_to_the_first(page: Page) -> None:
    page.focus(".search input")
    page.keyboard.type("plain pair")
    page.keyboard.press("Enter")
    page.wait_for_url("**/sequences/pair.html")


def test_a_page_loads_nothing_to_search_through_before_it_is_asked(browser: Browser, folder: Path) -> None:
    with served(folder) as address:
        page = browser.new_context().new_page()
        asked: list[str] = []
        page.on("request", lambda request: asked.append(request.url))
        page.goto(f"{address}hand.html", wait_until="networkidle")
        assert not [url for url in asked if "/files/search/" in url or "/files/turning/" in url]
        page.focus(".search input")
        page.wait_for_load_state("networkidle")
        assert [url.removeprefix(address) for url in asked if "/files/search/" in url] == [
            "files/search/head.js"
        ]
        page.context.close()


def test_a_server_that_allows_no_script_within_pages_is_searched_likewise(
    browser: Browser, folder, found
) -> None:
    with served(folder, STRICT) as address:
        page = browser.new_context().new_page()
        faults: list[str] = []
        page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.goto(f"{address}sequences/pair.html")
        for text in ("R U R' U'", "flips two edges"):
            script = "async text => (await searching.search(text, 100)).list"
            there = page.evaluate(script, text)
            assert [hit["title"] for hit in there] == [hit["title"] for hit in found(text)]
            assert all(hit["url"].startswith(address) for hit in there)
        assert [fault for fault in faults if "favicon" not in fault and "404" not in fault] == []
        page.context.close()


def test_a_part_that_cannot_be_loaded_is_told_and_tried_again(browser: Browser, folder: Path) -> None:
    with served(folder) as address:
        page = browser.new_context().new_page()
        page.goto(f"{address}hand.html")
        page.route("**/files/search/**", lambda route: route.abort())
        page.fill(".search input", "plain")
        page.wait_for_function(
            "document.querySelector('.found-here .state').textContent.includes('cannot be loaded')"
        )
        page.unroute("**/files/search/**")
        assert typed(page, "plain pair")
        page.context.close()


def test_without_scripts_there_is_no_field(browser: Browser, folder: Path) -> None:
    page = browser.new_context(java_script_enabled=False, offline=True).new_page()
    page.goto((folder / "hand.html").as_uri())
    assert page.locator("input").count() == 0
    assert page.locator(".finder").bounding_box()["height"] == 0
    page.context.close()


def test_the_field_moves_nothing_when_it_comes(browser: Browser, folder: Path) -> None:
    for width in (320, 768, 1280):
        heights = set()
        for blocked in (True, False):
            context = browser.new_context(offline=True, viewport={"width": width, "height": 800})
            page = context.new_page()
            if blocked:
                page.route("**/search.js", lambda route: route.abort())
            page.goto((folder / "hand.html").as_uri())
            heights.add(page.locator(".finder").bounding_box()["height"])
            context.close()
        assert len(heights) == 1


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [320, 1280])
def test_what_is_found_fits_and_can_be_read(browser: Browser, folder: Path, width: int, scheme) -> None:
    view = {"width": width, "height": 800}
    with without_faults(browser, folder / "hand.html", viewport=view, color_scheme=scheme) as page:
        typed(page, "edges two")
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        box = page.locator(".found-here").bounding_box()
        assert box["x"] >= 0
        assert box["x"] + box["width"] <= width
        response = Axe().run(page, context=".band").response
        assert [each["id"] for each in response["violations"]] == []


def test_the_script_is_small() -> None:
    """5 kB compressed is the most that a reader is to load for it."""
    assert len(gzip.compress(finder())) < 5_000


# Tags -----------------------------------------------------------------------------------------------------


def test_tags_lead_to_all_that_has_them(page: Page, folder: Path) -> None:
    page.click(".tags >> text=début")
    assert page.locator("h1").inner_text() == "début"
    assert page.locator("main ul a").all_inner_texts() == ["Über two edges", "The plain pair"]
    page.click("text=Tags")
    assert page.locator(".all-tags a").all_inner_texts() == ["a/b", "con", "début", "twists"]


def test_tags_that_are_no_names_of_files_have_pages_all_the_same(folder: Path) -> None:
    names = {path.name for path in (folder / "tags").iterdir()}
    assert names == {"a-b.html", "con-2.html", "début.html", "twists.html"}
