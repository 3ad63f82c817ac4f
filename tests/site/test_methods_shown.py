"""Methods, their case sheets and worked examples on the pages of a site."""

from __future__ import annotations

import re
from collections import Counter
from itertools import permutations, product
from pathlib import Path, PurePosixPath

import pytest
from playwright.sync_api import Browser
from read_html import Document, Element, documents
from sample_guide import write_guide
from sample_methods import CORNER_STAGES, SEQUENCES, moves_blocks
from sample_rendering import CHROMIUM, WITHOUT_BUTTONS, needs

from sitegen.blocks.method.method import Method
from sitegen.figures.views import layout
from sitegen.guide.guide import Guide
from sitegen.guide.load import read_guide
from sitegen.methods.trial import positions
from sitegen.problems import Problems
from sitegen.puzzles.permutation import Permutation, compose, inverse
from sitegen.puzzles.puzzle import Puzzle
from sitegen.site.publish import publish

EDGE = """\
```method edge
title: The front edge
say: First *its place*.
count: 40
view: net
letters: yes
stages:
- stage: To its place
  goal: UF placed
  using: any turns up to 2
- stage: Over
  goal: UF oriented by U
  using: @lift
  say: Only *once*.
```

"""
OPEN = """\
```method not-all
title: Not every edge
view: corner with back
open: yes
count: 40
stages:
- stage: To its place
  goal: UF placed
  using: any turns up to 2
- stage: Over
  goal: UF oriented by U
  using: @far-flips
  view: net
letters: yes
```

```worked example stuck
method: not-all
moves: F R U
view: net
letters: yes
```

"""
CORNERS = f"""\
```method corners
count: 40
view: net
letters: yes
{CORNER_STAGES}```

```worked example shelf
title: From the shelf
moves: R U R' U' L' U L
view: net
letters: yes
say: Like *this*.
```

```worked example
seed: 5
position: 3
```
"""
FILES: dict[str, str | bytes] = {
    "content/guide.yaml": "title: T\npages: [index, tools/index, edge, open, small]\n",
    "content/index.md": "See [](method:edge), [the corners](method:corners) and [](tools/index.md).\n",
    "content/tools/index.md": "# Tools\n\nFor [](method:edge).\n\n" + moves_blocks(["lift", "far-flips"]),
    "content/edge.md": f"# The edge\n\n{EDGE}",
    "content/open.md": f"# Not all\n\n{OPEN}",
    "content/small.md": "---\npuzzle: cube-2\n---\n# Small\n\n"
    + (CORNERS + "\n" + moves_blocks(["three-up", "twist-pair"])),
}
SHOWN = ["index.html", "edge.html", "open.html", "small.html"]
SHEETS = ["methods/edge.html", "methods/not-all.html", "methods/corners.html"]


pytestmark = pytest.mark.usefixtures("counted_soon", "kept_in_module")


@pytest.fixture(scope="module")
def made(tmp_path_factory) -> tuple[Path, Guide]:
    """The output of a guide with three methods, and the guide."""
    folder = write_guide(tmp_path_factory.mktemp("guide"), FILES)
    publish(folder)
    guide = read_guide(folder)
    return folder / "output", guide


@pytest.fixture(scope="module")
def pages(made) -> dict[str, Document]:
    return documents(made[0])


def elements(element: Element) -> list[Element]:
    return [child for child in element.children if isinstance(child, Element)]


def only(found: list[Element]) -> Element:
    (element,) = found
    return element


def card(page: Document, of: str) -> Element:
    return page.root.all("section", class_=of)[0]


def rows(table: Element) -> list[list[str]]:
    """The rows of a table below its head, cell by cell."""
    found = [row for row in table.all("tr") if not row.inside("thead")]
    return [[cell.text for cell in elements(row)] for row in found]


def column(table: Element, head: str) -> list[str]:
    """The cells below a word of the last row of the head."""
    heads = [cell.text for cell in elements(table.all("thead")[0].all("tr")[-1])]
    return [row[heads.index(head)] for row in rows(table)]


ANY_TWO = "Any turns may be done, 2 at most: here are as few as can be."
FEWEST = "Here are as few of these as can be, and of such ways one in few turns."


def terms(element: Element) -> str:
    return element.all("p", class_="terms")[0].text


def moves_of(element: Element) -> list[str]:
    """The lines of moves of a case, without its turns in full."""
    return [line.all("code", class_="moves")[0].written for line in element.all("p", class_="line")]


def cases(section: Element) -> list[Element]:
    return [case for listed in section.all("ul", class_="cases") for case in elements(listed)]


# Figures --------------------------------------------------------------------------------------------------


def seen(figure: Element, puzzle: Puzzle) -> dict[int, str]:
    """In a net with letters: for each slot that is in colour the letter of the sticker that is there."""
    centres = layout(puzzle, "net").centres
    found: dict[int, str] = {}
    for text in figure.all("g", class_="letters")[0].all("text"):
        places = zip(*(map(int, text.attributes[axis].split()) for axis in "xy"), strict=True)
        for (x, y), letter in zip(places, text.text, strict=True):
            near = {slot: abs(x - cx) + abs(y - cy) for slot, (cx, cy) in centres.items()}
            slot = min(near, key=near.__getitem__)
            assert near[slot] < 30
            found[slot] = letter
    outlines = {p.attributes["class"]: p.attributes["d"].count("z") for p in stickers(figure).all("path")}
    assert sum(outlines.values()) == len(puzzle.stickers)
    assert len(found) == len(puzzle.stickers) - outlines.get("muted", 0)
    return found


def stickers(figure: Element) -> Element:
    return only(figure.all("g", class_="stickers"))


def after(letters: dict[int, str], done: Permutation) -> dict[int, str]:
    return {done[slot]: letter for slot, letter in letters.items()}


def at_home(letters: dict[int, str], piece: str, puzzle: Puzzle) -> bool:
    slots = [sticker for sticker in puzzle.stickers if {*sticker.name} == {*piece}]
    return all(letters.get(sticker.index) == sticker.face for sticker in slots)


def in_place(letters: dict[int, str], piece: str, puzzle: Puzzle) -> bool:
    slots = [sticker.index for sticker in puzzle.stickers if {*sticker.name} == {*piece}]
    return {letters.get(slot, "") for slot in slots} == {*piece}


LOWER, UPPER = ("DFR", "DBR", "DBL", "DFL"), ("UFR", "UBR", "UBL", "UFL")


# The page -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", [*SHOWN, *SHEETS])
def test_a_page_is_well_formed(pages, name: str) -> None:
    page = pages[name]
    assert page.faults == []
    ids = [e.attributes["id"] for e in page.root.walk() if "id" in e.attributes]
    assert len(ids) == len(set(ids))
    main = page.root.all("main")[0]
    assert all(child.tag == "li" for tag in ("ul", "ol") for e in main.all(tag) for child in elements(e))
    assert all(child.tag in ("div", "dt", "dd") for e in main.all("dl") for child in elements(e))
    assert all(
        child.tag == "tr"
        for tag in ("thead", "tbody", "tfoot")
        for e in main.all(tag)
        for child in elements(e)
    )
    assert all(child.tag in ("th", "td") for row in main.all("tr") for child in elements(row))
    widths = {
        sum(int(cell.attributes.get("colspan", "1")) for cell in elements(row))
        for table in main.all("table")
        for row in table.all("tr")
        if row.inside("tbody") and table.all("caption")[0].text.startswith("Cases")
    }
    assert len(widths) <= 1


@pytest.mark.parametrize("name", [*SHOWN, *SHEETS])
def test_every_link_arrives_at_a_page_and_an_anchor(made, pages, name: str) -> None:
    folder, _ = made
    links = [a.attributes["href"] for a in pages[name].root.all("a")]
    assert links
    for link in links:
        path, _, anchor = link.partition("#")
        target = ((folder / PurePosixPath(name).parent / path) if path else folder / name).resolve()
        assert target.is_file(), link
        page = pages[target.relative_to(folder.resolve()).as_posix()]
        assert not anchor or anchor in [e.attributes.get("id") for e in page.root.walk()], link


def test_the_card_says_what_each_stage_wants_and_what_may_be_used(pages) -> None:
    method = card(pages["edge.html"], "method")
    assert method.attributes["id"] == "method-edge"
    assert "The front edge" in method.attributes["aria-label"]
    assert method.all("p", class_="card-title")[0].text == "The front edge"
    first, second = elements(method.all("ol", class_="method-stages")[0])
    assert [first.all("p", class_=name)[0].text for name in ("stage-title", "task", "terms")] == [
        "To its place",
        "Bring UF to its place, whichever way round.",
        ANY_TWO,
    ]
    assert terms(second) == f"Turn UF the right way round. {FEWEST}"
    assert [p.text for p in method.all("p", class_="say")] == ["First its place.", "Only once."]
    lower, places, _ = elements(card(pages["small.html"], "method").all("ol", class_="method-stages")[0])
    assert terms(lower) == (
        "They come in this order: DFR, DBR, DBL, DFL. "
        "Any turns may be done, 6 at most: here are as few as can be."
    )
    assert terms(places) == (
        f"{FEWEST} U may be turned before that and after it. "
        "The puzzle may be held as y leads to, and is then held as before."
    )


def tiles(page: Document) -> list[Element]:
    return elements(card(page, "method").all("ol", class_="method-stages")[0])


def lines(tile: Element) -> list[int]:
    """How many outlines each kind of line within stickers has in a figure; each lies on a light one."""
    kinds = [(path.attributes["class"], path.attributes["d"]) for path in tile.all("path", class_="guard")]
    under = [outlines for kind, outlines in kinds if "under" in kind.split()]
    assert under == [outlines for kind, outlines in kinds if "under" not in kind.split()]
    return [outlines.count("z") for outlines in under]


def test_each_stage_is_a_tile_with_what_is_solved_by_then_in_colour(pages, cube3, cube2) -> None:
    """By hand: an edge has two stickers, and a corner of the small cube has three."""
    place, over = tiles(pages["edge.html"])
    for tile in (place, over):
        letters = seen(only(tile.all("figure", class_="goal")), cube3)
        assert sorted(letters.values()) == sorted("UDFBLR" + "UF")
        assert all(cube3.stickers[slot].face == letter for slot, letter in letters.items())
    # Whichever way round it may lie in its place: a double line; then a single one.
    assert (lines(place), lines(over)) == ([2 * 2], [2])
    lower, places, twisted = tiles(pages["small.html"])
    by_number = [len(seen(only(tile.all("svg")), cube2)) for tile in (lower, places, twisted)]
    assert by_number == [4 * 3, 8 * 3, 8 * 3]
    assert [lines(tile) for tile in (lower, places, twisted)] == [[4 * 3], [2 * 4 * 3], [4 * 3]]


FOLLOWS = (
    CORNERS.partition("```worked")[0]
    .replace("corners of U placed", "UFR, UFL and UBL placed")
    .replace("corners of U oriented", "UFR, UFL and UBL oriented")
)


def test_what_is_solved_by_law_is_in_colour_in_the_last_tile(published, cube2) -> None:
    """By hand: where three of four corners are right the last one is, by its place and its twist."""
    files = {
        "content/index.md": f"---\npuzzle: cube-2\n---\n{FOLLOWS}\n{moves_blocks(['three-up', 'twist-pair'])}"
    }
    page = Document.read(published(files)["index.html"])
    found = [len(seen(only(tile.all("svg")), cube2)) for tile in tiles(page)]
    assert found == [4 * 3, 7 * 3, 8 * 3]
    assert lines(tiles(page)[-1]) == [3 * 3]


def test_a_tile_says_what_is_done_in_the_authors_words_or_in_words_of_its_own(pages) -> None:
    said = [
        [p.text for p in tile.all("p", class_=of)]
        for name in ("edge.html", "small.html")
        for tile in tiles(pages[name])
        for of in ("say", "task")
    ]
    assert said == [
        *([], ["Bring UF to its place, whichever way round."]),
        *(["Only once."], []),
        *([], ["Bring the corners of D home, in 4 steps."]),
        *([], ["Bring the corners of U to their places, whichever way round."]),
        *([], ["Turn the corners of U the right way round."]),
    ]


def test_a_tile_shows_its_tools_with_their_turns_and_leads_to_its_cases(pages, cube2, turned_by_text) -> None:
    place, over = tiles(pages["edge.html"])
    assert [p.text for p in place.all("p", class_="tool")] == ["Any turns up to 2"]
    assert [p.text for p in tiles(pages["small.html"])[0].all("p", class_="tool")] == [
        "Any turns up to 6 for each step"
    ]
    named, turns = only(over.all("p", class_="tool")).all("code")
    assert (named.text, only(named.all("a")).attributes["href"]) == ("Lift", "sequences/lift.html")
    assert turns.text == SEQUENCES["lift"]
    named, turns = only(tiles(pages["small.html"])[2].all("p", class_="tool")).all("code")
    assert re.fullmatch("[UDFBLR'2 ]+", turns.text)
    assert turned_by_text(turns.text, cube2) == turned_by_text(named.written, cube2)
    assert turns.attributes["data-turns"] == turns.text
    for page, number, cases_of in (("edge", 1, "12 cases"), ("edge", 2, "2 cases"), ("small", 1, "55 cases")):
        link = only(tiles(pages[f"{page}.html"])[number - 1].all("p", class_="to-cases")[0].all("a"))
        sheet = {"edge": "edge", "small": "corners"}[page]
        assert (link.text, link.attributes["href"]) == (
            f"Its {cases_of}",
            f"methods/{sheet}.html#stage-{number}",
        )
    missing = only(tiles(pages["open.html"])[1].all("p", class_="to-cases"))
    assert missing.text == "Its 2 cases, 1 not solved"


def test_a_sequence_that_is_too_long_for_a_tile_is_only_named(published) -> None:
    """With 41 turns; one with 40 is shown."""
    long = {40: "(R U)20", 41: "(R U)20 F"}
    for number, moves in long.items():
        method = (
            "```method m\nopen: yes\ncount: 2\nstages:\n- stage: A\n  goal: UF placed\n  using: @long\n```\n"
        )
        text = f"{method}\n```moves long\n{moves}\n```\n"
        tool = only(
            tiles(Document.read(published({"content/index.md": text})["index.html"]))[0].all(
                "p", class_="tool"
            )
        )
        assert len(tool.all("code")) == (2 if number == 40 else 1)


ONE_STAGE = """\
```method m
open: yes
count: 2
stages:
- stage: A
  goal: UF home
  using: any turns up to 1
```
"""


def test_the_legend_says_what_the_lines_in_goals_mean_where_there_are_any(pages, published) -> None:
    def legend(page: Document) -> list[str]:
        return [li.text for li in elements(only(card(page, "method").all("ul", class_="legend")))]

    all_three = ["solved before", "new", "new, whichever way round"]
    assert legend(pages["small.html"]) == all_three
    assert legend(Document.read(published({"content/index.md": ONE_STAGE})["index.html"])) == ["new"]


def test_what_is_counted_is_folded_but_where_something_is_missing(pages) -> None:
    for name, opened in (("edge.html", False), ("open.html", True)):
        method = card(pages[name], "method")
        folds = method.all("details", class_="counted")
        assert [fold.all("summary")[0].text for fold in folds] == [
            *["What is done, and with what"] * 2,
            "The cases counted",
            "The turns that they took",
        ]
        assert ["open" in fold.attributes for fold in folds] == [False, False, opened, False]
        folded = {table.all("caption")[0].text for fold in folds for table in fold.all("table")}
        assert folded == {"Cases of each stage, and what their solutions take", "Turns that each stage took"}


def test_sequences_stages_and_the_method_are_links(pages) -> None:
    method = card(pages["edge.html"], "method")
    links = {a.text: a.attributes["href"] for a in method.all("a")}
    assert links["Lift"] == "sequences/lift.html"
    assert links["The front edge"] == links["The case sheet"] == "methods/edge.html"
    assert links["To its place"] == "methods/edge.html#stage-1"
    assert links["Over"] == "methods/edge.html#stage-2"


@pytest.mark.parametrize(
    ("page", "table"),
    [
        (
            "edge.html",
            # By hand: of the twelve places six are a turn away, UL, UB, UR, FL, FR and DF, and five are two.
            # (6 + 2 * 5) / 12 is 1.33. Of two cases one takes the sequence and its eight turns.
            [
                ["To its place", "12", "all", "–", "–", "1.3", "2"],
                ["Over", "2", "all", "0.5", "1", "4.0", "8"],
            ],
        ),
        (
            "open.html",
            # The same, and of the two cases the one with nothing to do.
            [
                ["To its place", "12", "all", "–", "–", "1.3", "2"],
                ["Over", "2", "1", "0.0", "0", "0.0", "0"],
            ],
        ),
    ],
)
def test_the_table_tells_of_each_stage_its_cases_and_what_they_take(pages, page: str, table) -> None:
    method = card(pages[page], "method")
    assert rows(method.all("table", class_="coverage")[0]) == table


def test_steps_stand_in_the_table_below_their_stage(pages) -> None:
    table = rows(card(pages["small.html"], "method").all("table", class_="coverage")[0])
    # By hand: one corner by which the cube is picked up; 7, 6 and 5 places for the next in 3 ways each, 4!
    # orders, 3^3 twists.
    assert [row[:3] for row in table] == [
        ["The lower ones", "4 steps"],
        ["DFR", "1", "all"],
        ["DBR", "21", "all"],
        ["DBL", "18", "all"],
        ["DFL", "15", "all"],
        ["To their places", "24", "all"],
        ["Twisted", "27", "all"],
    ]


def test_the_verdict_says_what_was_gone_through_and_what_is_left(pages, published) -> None:
    def verdict(page: Document) -> str:
        return card(page, "method").all("div", class_="verdict")[0].text

    assert "14 in all" in verdict(pages["edge.html"])  # 12 and 2
    assert "great many ways" in verdict(pages["edge.html"])
    assert "106 in all" in verdict(pages["small.html"])  # 1 + 21 + 18 + 15 + 24 + 27
    assert "the puzzle is solved" in verdict(pages["small.html"])
    # Without its last stage the four upper corners can be twisted in 3^3 ways.
    two = re.sub(r"- stage: Twisted(\n  .*)+", "", CORNERS)
    files = {"content/index.md": f"---\npuzzle: cube-2\n---\n{two}\n{moves_blocks(['three-up'])}"}
    assert "in 27 ways" in verdict(Document.read(published(files)["index.html"]))


def test_what_is_not_solved_is_told_and_drawn_with_its_words(pages, cube3) -> None:
    method = card(pages["open.html"], "method")
    verdict = method.all("div", class_="verdict")[0].text
    assert "1 of 14 cases" in verdict
    assert "is open" in verdict
    missing = only(method.all("div", class_="uncovered"))
    assert "Over: not solved" in missing.text
    assert "among others" not in missing.text
    case = only(cases(missing))
    assert case.all("p", class_="note")[0].text == "UF is at FU"
    assert only(case.all("title")).text == "Case"
    letters = seen(only(case.all("svg")), cube3)
    assert (letters[cube3.slots["FU"]], letters[cube3.slots["UF"]]) == ("U", "F")
    for name in ("edge.html", "small.html"):
        assert pages[name].root.all("div", class_="uncovered") == []


def test_the_trial_is_told_in_words_in_a_picture_and_in_a_table(made, pages) -> None:
    _, guide = made
    trial = card(pages["edge.html"], "method").all("div", class_="trial")[0]
    assert "40 tried, 40 solved" in trial.text
    assert "Seed 1" in trial.text
    chart = only(trial.all("svg", class_="chart"))
    assert chart.all("title")[0].text
    told = re.findall(r"([\d,]+) of (\d+)", chart.all("desc")[0].text)
    assert sum(int(many) for many, _ in told) == 40
    mean = sum(int(many) * int(turns) for many, turns in told) / 40
    assert f"in {mean:.1f} turns" in trial.text
    longest = max(int(turns) for _, turns in told)
    assert f"the longest took {longest}" in trial.text
    table = only(trial.all("table"))
    assert column(table, "Stage") == ["To its place", "Over", "In all"]
    assert column(table, "Longest")[-1] == str(longest)
    assert column(table, "Mean")[-1] == f"{mean:.1f}"
    # Of the first stage: by hand, six places are a turn away, and five are two.
    puzzle = guide.named(Method)["edge"].puzzle
    far = {frozenset(a): 2 for a in ("DR", "DB", "DL", "BR", "BL")}
    far |= {frozenset(a): 1 for a in ("UR", "UB", "UL", "FR", "FL", "DF")} | {frozenset("UF"): 0}
    at = [p[puzzle.slots["UF"]] for p in positions(guide.named(Method)["edge"].plan, 40, 1)]
    taken = sorted(far[frozenset(puzzle.piece_at(slot).name)] for slot in at)
    first = rows(table)[0]
    assert [column(table, head)[0] for head in ("Mean", "Half in", "95 of 100 in", "Longest")] == [
        f"{sum(taken) / 40:.1f}",
        str(taken[20 - 1]),  # 20 of 40 in so many
        str(taken[38 - 1]),  # and 38
        str(taken[-1]),
    ]
    assert "all" in first


def test_of_a_trial_where_not_all_are_solved_it_is_told_how_many(made, pages) -> None:
    trial = card(pages["open.html"], "method").all("div", class_="trial")[0]
    told = re.search(r"40 tried, (\d+) solved", trial.text)
    assert told
    assert 0 < int(told[1]) < 40
    solved = column(only(trial.all("table")), "Solved")
    assert solved == ["all", f"{told[1]} of 40", f"{told[1]} of 40"]
    counts = re.findall(r"([\d,]+) of (\d+)", only(trial.all("desc")).text)
    assert sum(int(many) for many, _ in counts) == int(told[1])
    assert {int(turns) for _, turns in counts} <= {0, 1, 2}  # where nothing is to be turned over


def test_a_method_that_solves_no_position_says_so_and_draws_no_picture_of_it(published) -> None:
    # By hand: DB is in its place in one of twelve positions; no turn of U moves it.
    stage = "stages:\n- stage: A\n  goal: DB placed\n  using: @u\n"
    for seed in range(20):
        block = f"```method none\nopen: yes\ncount: 1\nseed: {seed}\n{stage}```\n\n"
        files = {"content/index.md": f"{block}```moves u\nU\n```\n"}
        page = Document.read(published(files)["index.html"])
        trial = card(page, "method").all("div", class_="trial")[0]
        if "1 tried, 0 solved" in trial.text:
            assert (trial.all("svg"), trial.all("table")) == ([], [])
            assert page.faults == []
            return
    raise AssertionError("not one of twenty positions is unsolved")


# The case sheet -------------------------------------------------------------------------------------------


def sections(page: Document) -> list[Element]:
    return [e for e in page.root.all("section") if not e.attributes.get("class")]


def test_a_sheet_names_its_method_its_page_and_its_stages(pages) -> None:
    page = pages["methods/edge.html"]
    assert "The front edge" in only(page.root.all("h1")).text
    assert "The front edge" in only(page.root.all("head")).all("title")[0].text
    trail = only([e for e in page.root.all("nav") if "trail" in e.attributes.get("class", "")])
    assert [a.attributes["href"] for a in trail.all("a")] == ["../index.html", "../edge.html#method-edge"]
    assert [h.text for h in page.root.all("h2")] == ["1. To its place", "2. Over"]
    assert [terms(section) for section in sections(page)] == [
        f"Bring UF to its place, whichever way round. {ANY_TWO}",
        f"Turn UF the right way round. It is done with Lift. {FEWEST}",
    ]
    lower, *_ = sections(pages["methods/corners.html"])
    assert [h.text for h in lower.all("h3")] == ["DFR", "DBR", "DBL", "DFL"]


def test_a_chart_tells_how_many_cases_take_how_many_turns(pages) -> None:
    first, second = sections(pages["methods/edge.html"])
    # By hand, as in the table.
    assert only(first.all("desc")[:1]).text.endswith("1 of 0, 6 of 1, 5 of 2.")
    assert only(second.all("desc")[:1]).text.endswith("1 of 0, 1 of 8.")
    for section in (first, second):
        chart = only(section.all("svg", class_="chart"))
        assert chart.attributes["role"] == "img"
        assert chart.all("title")[0].text
        assert len(section.all("figcaption")) == 1


def test_each_case_is_solved_by_the_moves_that_stand_beside_it(pages, cube3, turned_by_text) -> None:
    place, over = sections(pages["methods/edge.html"])
    # By hand: eleven places are not its own; turned about FU, the cube has all of them but DB, UR with FL …
    assert (len(cases(place)), len(cases(over))) == (6, 1)
    for section, solved in ((place, in_place), (over, at_home)):
        for case in cases(section):
            figure = only(case.all("svg"))
            letters = seen(figure, cube3)
            # In colour are six middles and the two stickers of the edge.
            assert sorted(letters.values()) == sorted("UDFBLR" + "UF")
            assert not solved(letters, "UF", cube3)
            done = turned_by_text(" ".join(moves_of(case)), cube3)
            assert solved(after(letters, done), "UF", cube3)
            for in_full in case.all("p", class_="in-full"):
                assert turned_by_text(in_full.text, cube3) == done


def test_a_case_calls_a_sequence_by_its_title(pages) -> None:
    _, over = sections(pages["methods/edge.html"])
    (case,) = cases(over)
    assert [a.text for a in case.all("a", class_="by-name")] == ["Lift"]


def test_each_case_of_the_small_cube_is_solved_with_what_was_reached_before(
    pages, cube2, turned_by_text
) -> None:
    def done_before(stage: int, step: int) -> tuple[str, ...]:
        return LOWER[:step] if stage == 0 else LOWER

    drawn = 0
    for stage, section in enumerate(sections(pages["methods/corners.html"])):
        # The first corner is home as soon as the cube is picked up, and has no list.
        for step, listed in enumerate(section.all("ul", class_="cases"), 1 if stage == 0 else 0):
            for case in elements(listed):
                letters = seen(only(case.all("svg")), cube2)
                end = after(letters, turned_by_text(" ".join(moves_of(case)), cube2))
                kept = done_before(stage, step)
                assert all(at_home(letters, piece, cube2) for piece in kept)
                assert all(at_home(end, piece, cube2) for piece in kept)
                if stage == 0:
                    # In colour are the corner of the step and those before it, and nothing else.
                    assert len(letters) == 3 * (step + 1)
                    assert not at_home(letters, LOWER[step], cube2)
                    assert at_home(end, LOWER[step], cube2)
                else:
                    test = in_place if stage == 1 else at_home
                    assert not all(test(letters, piece, cube2) for piece in UPPER)
                    assert all(test(end, piece, cube2) for piece in UPPER)
                for in_full in case.all("p", class_="in-full"):
                    assert after(letters, turned_by_text(in_full.text, cube2)) == end
                drawn += 1
    assert drawn > 40


def held(case: Element) -> list[str]:
    """The turns of the whole puzzle by which it solves more, as they stand below it; and as many are told."""
    below = [e for e in case.walk() if "held" in e.attributes.get("class", "").split()]
    named = [code.written for e in below for code in e.all("code")]
    told = [int(number) for e in below for number in re.findall(r"(\d+) more", e.text)]
    assert told == ([len(named)] if named else [])
    return named


def told_in_words(section: Element) -> list[tuple[str, int, list[str]]]:
    """Of the cases that are not drawn: the moves, their length, and the holds."""
    found = []
    for row in (row for table in section.all("details", class_="in-words") for row in rows_of(table)):
        _, moves, length, holds = elements(row)
        lines = [code.written for code in moves.all("code")]
        found.append((" ".join(lines), int(length.text), [code.written for code in holds.all("code")]))
    return found


def rows_of(table: Element) -> list[Element]:
    return [row for row in table.all("tr") if not row.inside("thead")]


def solutions(section: Element) -> list[tuple[str, int, list[str]]]:
    """All that a section shows: moves, the length that is told, and how they are held besides."""
    drawn = []
    for case in cases(section):
        said = re.match(r"(\d+) OBTM", case.all("p", class_="note")[0].text)
        if said:
            drawn.append((" ".join(moves_of(case)), int(said[1]), held(case)))
    return drawn + told_in_words(section)


def where_they_lead(moves: str, holds: list[str], puzzle: Puzzle, turned_by_text) -> list[Permutation]:
    """What is solved by some moves: as they stand, and held in each way."""
    return [inverse(turned_by_text(f"[{hold}: {moves}]" if hold else moves, puzzle)) for hold in ["", *holds]]


def test_all_numbers_on_a_sheet_are_those_of_the_places_of_one_edge(pages, cube3, turned_by_text) -> None:
    """By hand: an edge is in one of twelve places, and each but its own is the case of one solution."""
    place, over = sections(pages["methods/edge.html"])
    at = [
        cube3.piece_at(position[cube3.slots["UF"]]).name
        for moves, _, holds in solutions(place)
        for position in where_they_lead(moves, holds, cube3, turned_by_text)
    ]
    assert sorted(at) == sorted(p.name for p in cube3.pieces if len(p.name) == 2 and p.name != "UF")
    assert "12 cases. In one of them nothing is to be done; 6 solutions do for the other 11." in place.text
    assert "2 cases. In one of them nothing is to be done; 1 solution does for the other 1." in over.text


@pytest.mark.parametrize("name", SHEETS)
def test_what_is_told_of_single_cases_adds_up_to_what_is_told_of_all(pages, name: str) -> None:
    """Every number that a sheet prints: of cases and solutions, in the chart, in the table of the page."""
    table = next(
        table
        for page in SHOWN
        for table in pages[page].root.all("table", class_="coverage")
        if any(a.attributes["href"] == name + "#stage-1" for a in table.all("a"))
    )
    in_table = [row for row in rows(table) if len(row) > 2]
    for section in sections(pages[name]):
        heads = [p.text for p in section.all("p", class_="note") if re.match(r"[\d,]+ cases?\b", p.text)]
        told = [[int(n.replace(",", "")) for n in re.findall(r"\d[\d,]*", head)] for head in heads]
        shown = solutions(section)
        stand_for = sum(1 + len(holds) for _, _, holds in shown)
        unsolved = sum(1 + len(held(case)) for case in cases(section) if not moves_of(case))
        assert sum(numbers[0] for numbers in told) == stand_for + unsolved + len(heads)
        # “24 cases, of which 12 are solved. … 4 solutions do for the other 11.”
        covered = [
            numbers[1] if re.search(r"of which \d+ (is|are) solved", head) else numbers[0]
            for head, numbers in zip(heads, told, strict=True)
        ]
        assert sum(covered) == stand_for + len(heads)
        said = [numbers[-2:] for numbers, head in zip(told, heads, strict=True) if "for the other" in head]
        assert [sum(n) for n in zip(*said, strict=True)] in ([], [len(shown), stand_for])
        for head, numbers, solved in zip(heads, told, covered, strict=True):
            row = in_table.pop(0)
            assert row[1] == str(numbers[0]), head
            assert row[2] in ("all", str(solved))
        charts = section.all("svg", class_="chart")
        by_length = Counter({0: len(heads)})
        for _, length, holds in shown:
            by_length[length] += 1 + len(holds)
        assert charts or len(by_length) == 1
        for chart in charts:
            # “8 of 14 to 15”, where two lengths share a bar.
            bars = re.findall(r"([\d,]+) of (\d+)(?: to (\d+))?", only(chart.all("desc")).text)
            for many, least, most in bars:
                lengths = range(int(least), int(most or least) + 1)
                assert sum(by_length.pop(length, 0) for length in lengths) == int(many.replace(",", ""))
            assert not by_length
    assert in_table == []


def test_orders_that_are_the_same_from_another_side_stand_there_once(pages) -> None:
    """Computed here: four corners round a layer, seen from its four sides; 4! orders and 3^3 twists."""

    def seen(values: tuple[int, ...], side: int, shift: int) -> tuple[int, ...]:
        return tuple((values[(place - side) % 4] + shift) % 4 for place in range(4))

    orders = {frozenset(seen(order, n, n) for n in range(4)) for order in permutations(range(4))}
    twists = {
        frozenset(seen(twist, n, 0) for n in range(4))
        for twist in product(range(3), repeat=4)
        if sum(twist) % 3 == 0
    }
    assert (sum(map(len, orders)), sum(map(len, twists))) == (24, 27)
    _, places, twisted = sections(pages["methods/corners.html"])
    for section, kinds, home in ((places, orders, (0, 1, 2, 3)), (twisted, twists, (0, 0, 0, 0))):
        sizes = sorted(1 + len(held(case)) for case in cases(section))
        assert sizes == sorted(len(kind) for kind in kinds if home not in kind)


MANY = """\
```method many
count: 5
stages:
- stage: Two edges
  goal: UF and UR home
  using: any turns up to 7
```
"""


def test_more_cases_than_are_drawn_stand_below_them_in_words(published, cube3, turned_by_text) -> None:
    """By hand: two edges are at 24 · 22 pairs of slots, and all but one pair are the case of one solution."""
    page = Document.read(published({"content/index.md": f"# Home\n\n{MANY}"})["methods/many.html"])
    assert page.faults == []
    section = only(sections(page))
    assert len(cases(section)) == 60
    assert told_in_words(section)
    at = [
        (position[cube3.slots["UF"]], position[cube3.slots["UR"]])
        for moves, _, holds in solutions(section)
        for position in where_they_lead(moves, holds, cube3, turned_by_text)
    ]
    assert len(at) == len(set(at)) == 24 * 22 - 1
    assert (
        f"{len(at) - sum(1 + len(held(case)) for case in cases(section))} more cases in words" in section.text
    )


def test_the_length_of_a_case_is_that_of_its_turns(pages) -> None:
    found = [case for name in SHEETS for section in sections(pages[name]) for case in cases(section)]
    for case in found:
        said = re.match(r"(\d+) OBTM", case.all("p", class_="note")[0].text)
        if not said:
            continue
        in_full = case.all("p", class_="in-full") or case.all("p", class_="line")
        turns = re.findall(r"[UDFBLR]['2]?", in_full[0].text)  # WCA 12a5
        assert len(turns) == int(said[1])


def test_what_is_not_solved_stands_on_the_sheet_too(pages) -> None:
    _, over = sections(pages["methods/not-all.html"])
    assert "2 cases, of which 1 is solved. In one of them nothing is to be done." in over.text
    assert [case.all("p", class_="note")[0].text for case in cases(over)] == ["UF is at FU"]


def test_every_figure_of_a_case_says_in_words_what_it_shows(pages) -> None:
    for section in sections(pages["methods/edge.html"]):
        for case in cases(section):
            svg = only(case.all("svg"))
            assert svg.attributes["role"] == "img"
            assert re.fullmatch(r"Case: U F is at [A-Z] [A-Z]", svg.all("title")[0].text)


def test_a_stage_may_be_drawn_in_views_of_its_own(pages) -> None:
    place, over = sections(pages["methods/not-all.html"])
    assert {f.attributes["data-view"] for case in cases(place) for f in case.all("figure")} == {
        "corner with back"
    }
    assert {f.attributes["data-view"] for case in cases(over) for f in case.all("figure")} == {"net"}


# Links from elsewhere -------------------------------------------------------------------------------------


def test_prose_links_to_a_case_sheet_by_the_name_of_the_method(pages) -> None:
    def links(name: str) -> dict[str, str]:
        found = pages[name].root.all("article")[0].all("a")
        return {a.text: a.attributes["href"] for a in found if "methods/" in a.attributes["href"]}

    assert links("index.html") == {
        "The front edge": "methods/edge.html",  # its title, where the link has no words
        "the corners": "methods/corners.html",
    }
    assert links("tools/index.html") == {"The front edge": "../methods/edge.html"}


@pytest.mark.parametrize(
    ("files", "hint"),
    [
        ({}, "no block"),
        ({"content/edge.md": EDGE, "content/tools.md": moves_blocks(["lift"])}, "methods are edge"),
    ],
)
def test_a_link_to_a_method_that_is_not_there_is_a_problem(published, files, hint: str) -> None:
    with pytest.raises(Problems) as caught:
        published({"content/index.md": "See [](method:egde).\n", **files})
    (problem,) = caught.value.problems
    assert problem.headline() == "content/index.md:1:8: no method is named egde"
    assert hint in problem.hint


@pytest.mark.parametrize(
    ("name", "pages_there"),
    [
        ("lift", {"../tools/index.html", "../edge.html"}),
        ("far-flips", {"../tools/index.html", "../open.html"}),
        ("three-up", {"../small.html"}),
    ],
)
def test_the_page_of_a_sequence_lists_the_pages_whose_methods_use_it(pages, name: str, pages_there) -> None:
    used = only(pages[f"sequences/{name}.html"].root.all("ul", class_="used"))
    assert {a.attributes["href"].split("#")[0] for a in used.all("a")} - {
        f"{other}.html" for other in SEQUENCES
    } == pages_there


# Worked examples ------------------------------------------------------------------------------------------


def stages_of(example: Element) -> list[Element]:
    return elements(example.all("ol", class_="stages")[0])


def test_an_example_shows_the_position_and_what_each_stage_does_to_it(pages, cube2, turned_by_text) -> None:
    example, other = pages["small.html"].root.all("section", class_="worked")
    assert example.attributes["id"] == "example-shelf"
    assert example.all("p", class_="card-title")[0].text == "From the shelf"
    assert [p.text for p in example.all("p", class_="say")] == ["Like this."]
    begin, *done = stages_of(example)
    moves = "R U R' U' L' U L"
    assert only(begin.all("code", class_="moves")).written == moves
    at = turned_by_text(moves, cube2)
    for stage in [begin, *done]:
        if stage is not begin:
            for code in stage.all("code", class_="moves"):
                at = compose(at, turned_by_text(code.written, cube2))
        faces = {at[sticker.index]: sticker.face for sticker in cube2.stickers}
        assert seen(stage.all("svg")[-1], cube2) == faces
    assert at == cube2.identity
    assert [stage.all("a")[0].text for stage in done] == ["The lower ones", "To their places", "Twisted"]
    assert example.all("p", class_="effect")[0].text.startswith("Everything is home.")
    in_full = example.all("p", class_="in-full")[-1].all("code")[0].written
    assert turned_by_text(f"{moves} {in_full}", cube2) == cube2.identity
    assert f"{len(re.findall('[UDFBLR]', in_full))} OBTM" in example.all("p", class_="in-full")[-1].text
    assert "id" not in other.attributes


def test_each_step_of_an_example_has_a_figure_and_says_why(pages, cube2, turned_by_text) -> None:
    example, _ = pages["small.html"].root.all("section", class_="worked")
    begin, lower, *others = stages_of(example)
    steps = elements(only(lower.all("ol", class_="pieces")))
    assert len(steps) > 2
    assert all(stage.all("ol", class_="pieces") == [] for stage in others)
    at = turned_by_text(only(begin.all("code", class_="moves")).written, cube2)
    for step in steps[:-1]:
        name = only(step.all("b")).text
        said, moves = only(step.all("p", class_="did")).text, step.all("code", class_="moves")
        told = re.match(rf"{name} is at ([UDFBLR]{{3}}); so ", said)
        assert told
        # Where its first sticker was.
        assert cube2.stickers[at[cube2.slots[name]]].name == told[1]
        at = compose(at, turned_by_text(" ".join(code.written for code in moves), cube2))
        letters = seen(only(step.all("svg")), cube2)
        solved = LOWER[: LOWER.index(name) + 1]
        assert len(letters) == 3 * len(solved)
        assert all(at_home(letters, piece, cube2) for piece in solved)
        assert lines(step) == [3]
    assert steps[-1].all("p")[-1].text == "The whole puzzle then."
    legend = elements(only(example.all("ul", class_="legend")))
    assert [li.text for li in legend] == ["solved before", "new"]


def test_an_example_of_a_seed_says_which_position_it_is_and_how_to_set_it_up(
    made, pages, cube2, turned_by_text
) -> None:
    _, guide = made
    _, example = pages["small.html"].root.all("section", class_="worked")
    assert "position 3 of seed 5" in example.text
    begin, *done = stages_of(example)
    *_, third = positions(guide.named(Method)["corners"].plan, 3, 5)
    set_up = only(begin.all("code", class_="moves")).written
    assert turned_by_text(set_up, cube2) == third
    steps = [code.written for stage in done for code in stage.all("code", class_="moves")]
    assert turned_by_text(" ".join([set_up, *steps]), cube2) == cube2.identity


def test_a_long_way_to_a_position_is_folded_and_says_how_long_it_is(pages) -> None:
    by_hand, random = pages["small.html"].root.all("section", class_="worked")
    assert by_hand.all("details", class_="set-up") == []
    begin, *_ = stages_of(random)
    turns = len(only(begin.all("code", class_="moves")).written.split())
    assert turns > 30
    (folded,) = begin.all("details", class_="set-up")
    assert only(folded.all("summary")).text == f"Set it up on a solved puzzle: {turns} turns"


def test_an_example_that_ends_early_says_where(pages) -> None:
    example = card(pages["open.html"], "worked")
    assert [stage.all("p", class_="stage-title")[0].text[:12] for stage in stages_of(example)] == [
        "The position",
        "To its place",
    ]
    # By hand: F, R and U bring the edge round to its place, where it lies the wrong way up.
    assert "Nothing is to be done" in stages_of(example)[1].text
    end = only(example.all("p", class_="failure")).text
    assert "Over" in end
    assert "home" not in end
    assert example.all("p", class_="effect") == []


# Drafts, texts and bytes ----------------------------------------------------------------------------------

UNSOLVED = EDGE.replace("@lift", "@far-flips")


def test_a_draft_is_published_with_what_is_not_solved(published, cube3) -> None:
    files = {"content/index.md": f"# Draft\n\n{UNSOLVED}{moves_blocks(['far-flips'])}"}
    with pytest.raises(Problems):
        published(files)
    texts = published(files, draft=True)
    page = Document.read(texts["index.html"])
    assert page.faults == []
    problem = card(page, "problem").text
    assert "1 of 2 cases" in problem
    assert "UF is at FU" in problem
    case = only(cases(card(page, "method").all("div", class_="uncovered")[0]))
    assert not at_home(seen(only(case.all("svg")), cube3), "UF", cube3)
    assert "UF is at FU" in texts["methods/edge.html"]


def test_a_draft_does_not_call_a_method_open_that_is_not(published) -> None:
    texts = published({"content/index.md": UNSOLVED + moves_blocks(["far-flips"])}, draft=True)
    verdict = card(Document.read(texts["index.html"]), "method").all("div", class_="verdict")[0].text
    assert "1 of 14 cases" in verdict
    assert "is open" not in verdict


@pytest.mark.parametrize("heading", ["Method edge", "Example stuck"])
def test_a_heading_that_reads_like_the_anchor_of_a_block_gets_another(published, heading: str) -> None:
    blocks = moves_blocks(["lift", "far-flips"])
    texts = published({"content/index.md": f"# Home\n\n{EDGE}{OPEN}{blocks}\n\n## {heading}\n\nText.\n"})
    root = Document.read(texts["index.html"]).root
    ids = [e.attributes["id"] for e in root.walk() if "id" in e.attributes]
    assert len(ids) == len(set(ids))


HOSTILE = 'a"><script>alert(1)</script><img src=x onerror=alert(1)>&amp;'


def test_hostile_texts_are_shown_not_run(published) -> None:
    method = (
        f"```method edge\ntitle: {HOSTILE}\nsay: {HOSTILE}\ncount: 5\nstages:\n- stage: {HOSTILE}\n"
        f"  goal: UF placed\n  using: any turns up to 2\n  say: {HOSTILE}\n```\n\n"
    )
    example = f"```worked example\ntitle: {HOSTILE}\nsay: {HOSTILE}\nmoves: R\n```\n"
    texts = published({"content/index.md": method + example})
    for name in ("index.html", "methods/edge.html"):
        page = Document.read(texts[name])
        assert page.faults == []
        main = only(page.root.all("main"))
        assert HOSTILE in main.text
        assert {"script", "img"}.isdisjoint(e.tag for e in main.walk())
        assert not any(word.startswith("on") for e in main.walk() for word in e.attributes)


def test_several_puzzles_of_a_guide_are_told_apart(pages) -> None:
    assert card(pages["edge.html"], "method").all("p", class_="which") == []  # what the guide is about
    assert only(card(pages["small.html"], "method").all("p", class_="which")).text == "2×2×2 cube"
    assert pages["methods/corners.html"].root.all("p", class_="which")[0].text == "2×2×2 cube"


def test_publishing_gives_the_same_bytes_again_and_elsewhere(made, tmp_path: Path) -> None:
    folder, _ = made

    def bytes_of(output: Path) -> dict[str, bytes]:
        return {p.relative_to(output).as_posix(): p.read_bytes() for p in output.rglob("*") if p.is_file()}

    first = bytes_of(folder)
    publish(folder.parent)  # from what was kept
    assert bytes_of(folder) == first
    publish(write_guide(tmp_path, FILES))  # from nothing
    assert bytes_of(tmp_path / "output") == first


# In a browser ---------------------------------------------------------------------------------------------

in_a_browser = needs(chromium=CHROMIUM)


@in_a_browser
@pytest.mark.parametrize("name", ["edge.html", "open.html", "small.html", *SHEETS])
def test_a_page_is_no_wider_than_a_telephone_or_the_paper(made, browser: Browser, name: str) -> None:
    page = browser.new_context(offline=True).new_page()
    page.goto((made[0] / name).as_uri())
    page.locator("main details").evaluate_all("all => all.forEach(each => { each.open = true; })")
    wide = "document.documentElement.scrollWidth"
    # 320 CSS pixels is the width of WCAG 2.2, 1.4.10.
    for width in (320, 380, 1280):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate(wide) <= width
    # A4 less 16 mm on either side is 178 mm; at 96 pixels an inch 673.
    page.set_viewport_size({"width": 673, "height": 900})
    page.emulate_media(media="print")
    assert page.evaluate(wide) <= 673
    assert all(figure.is_visible() for figure in page.locator("main figure svg").all())
    page.context.close()


@in_a_browser
@pytest.mark.parametrize("name", ["small.html", "methods/corners.html"])
def test_a_page_says_the_same_with_scripts_off(made, browser: Browser, name: str) -> None:
    texts = []
    for scripts in (True, False):
        page = browser.new_context(offline=True, java_script_enabled=scripts).new_page()
        page.goto((made[0] / name).as_uri())
        texts.append(re.sub(r"\s+", "", page.evaluate(WITHOUT_BUTTONS)))
        page.context.close()
    assert texts[0] == texts[1]
    assert "Twisted" in texts[0]


FOLDED = """\
```method folded
count: 20
stages:
- stage: Opposite corners
  goal: UFL and DBR placed
  using: any turns up to 4
- stage: Two edges
  goal: DF and DR home
  using: any turns up to 8
```
"""


@in_a_browser
def test_what_is_folded_on_a_case_sheet_is_printed_open(published, tmp_path: Path, browser: Browser) -> None:
    published({"content/index.md": FOLDED})
    page = browser.new_context(offline=True).new_page()
    page.goto((tmp_path / "output/methods/folded.html").as_uri())
    for fold in ("details.held code", "details.in-words td"):
        within = page.locator(fold)
        assert within.count() > 3
        for medium, shown in (("screen", False), ("print", True)):
            page.emulate_media(media=medium)
            assert set(within.evaluate_all("all => all.map(each => each.checkVisibility())")) == {shown}
    page.context.close()


@in_a_browser
def test_what_is_counted_can_be_unfolded_and_is_printed_open(made, browser: Browser) -> None:
    page = browser.new_context(offline=True, java_script_enabled=False).new_page()
    page.goto((made[0] / "edge.html").as_uri())
    within = page.locator(".counted table, .counted .terms, .counted svg")
    shown = "all => all.map(each => each.checkVisibility())"
    assert within.count() == 5
    assert within.evaluate_all(shown) == [False] * 5
    page.emulate_media(media="print")
    assert within.evaluate_all(shown) == [True] * 5
    page.emulate_media(media="screen")
    for summary in page.locator(".counted > summary").all():
        summary.click()
    assert within.evaluate_all(shown) == [True] * 5
    page.context.close()


@in_a_browser
@pytest.mark.parametrize(
    ("width", "medium", "in_a_row"),
    [(360, "screen", 1), (768, "screen", 2), (1440, "screen", 2), (673, "print", 2)],
)
def test_tiles_stand_one_in_a_row_on_a_telephone_and_else_two(
    made, browser: Browser, width: int, medium, in_a_row: int
) -> None:
    page = browser.new_context(offline=True, viewport={"width": width, "height": 900}).new_page()
    page.goto((made[0] / "small.html").as_uri())
    page.emulate_media(media=medium)
    boxes = page.locator(".method-stages > li").evaluate_all(
        "all => all.map(each => each.getBoundingClientRect().toJSON())"
    )
    assert len(boxes) == 3
    assert max(Counter(round(box["top"]) for box in boxes).values()) == in_a_row
    assert all(0 <= box["left"] < box["right"] <= width for box in boxes)
    page.context.close()


@pytest.fixture(scope="module")
def sheets(tmp_path_factory) -> dict[str, Path]:
    """The case sheets of a method, with and without its cases in a close grid."""
    found = {}
    for said in ("yes", "no"):
        body = (
            f"```method corners\ncompact: {said}\ncount: 5\nview: net\nletters: yes\n{CORNER_STAGES}```\n\n"
        )
        body += moves_blocks(["three-up", "twist-pair"])
        folder = tmp_path_factory.mktemp("guide")
        publish(
            write_guide(
                folder,
                {"content/guide.yaml": "title: T\n", "content/index.md": f"---\npuzzle: cube-2\n---\n{body}"},
            )
        )
        found[said] = folder / "output/methods/corners.html"
    return found


def test_a_close_grid_says_what_any_other_says(sheets) -> None:
    close, wide = (Document.read(sheets[said].read_text(encoding="utf-8")) for said in ("yes", "no"))
    assert close.faults == []
    for one, other in zip(sections(close), sections(wide), strict=True):
        assert cases(one)
        assert solutions(one) == solutions(other)
        for case, same in zip(cases(one), cases(other), strict=True):
            assert [p.text for p in case.all("p", class_="in-full")] == [
                p.text for p in same.all("p", class_="in-full")
            ]
            folds = [fold.all("p", class_="in-full") + fold.all("code") for fold in case.all("details")]
            assert len(folds) == bool(case.all("p", class_="in-full")) + bool(held(case))
            assert all(folds)
    assert any(
        case.all("p", class_="in-full") and held(case) for each in sections(close) for case in cases(each)
    )


@in_a_browser
@pytest.mark.parametrize("width", [360, 768, 1440])
def test_a_close_grid_has_more_cases_in_a_row(sheets, browser: Browser, width: int) -> None:
    """On a telephone three, as the manual says, where there are else two."""
    in_a_row = []
    for said in ("yes", "no"):
        page = browser.new_context(offline=True, viewport={"width": width, "height": 900}).new_page()
        page.goto(sheets[said].as_uri())
        tops = (
            page.locator(".cases")
            .nth(0)
            .locator("> li")
            .evaluate_all("all => all.map(each => Math.round(each.getBoundingClientRect().top))")
        )
        in_a_row.append(Counter(tops)[tops[0]])
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        page.emulate_media(media="print")
        folded = page.locator("details.held code, details.spelt code")
        assert folded.evaluate_all("all => all.every(each => each.checkVisibility())")
        page.context.close()
    close, wide = in_a_row
    assert (close, wide) == (3, 2) if width == 360 else close >= wide + 2


@in_a_browser
def test_every_part_of_a_chart_lies_within_it(made, browser: Browser) -> None:
    page = browser.new_context(offline=True).new_page()
    for name in ("small.html", "methods/corners.html"):
        page.goto((made[0] / name).as_uri())
        page.locator("details").evaluate_all("all => all.forEach(each => { each.open = true; })")
        assert page.locator("svg.chart").count() >= 1
        assert page.evaluate(OUTSIDE) == []
    page.context.close()


OUTSIDE = """() => [...document.querySelectorAll("svg.chart")].flatMap(chart => {
  const [, , width, height] = chart.getAttribute("viewBox").split(" ").map(Number);
  return [...chart.querySelectorAll("path, text")].filter(e => {
    const box = e.getBBox();
    return box.x < 0 || box.y < 0 || box.x + box.width > width || box.y + box.height > height;
  }).map(e => e.outerHTML);
})"""
