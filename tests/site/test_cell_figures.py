"""Small figures in the cells of tables: checked like blocks, drawn and heard as these are.

What is looked at in a browser needs the Chromium that the system provides, and is skipped without it.
"""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser
from sample_guide import guide_of
from sample_rendering import CHROMIUM, needs, without_faults

from sitegen.guide.load import read_guide
from sitegen.site.publish import publish

TOOLS = """\
```moves lift
title: Lift
moves: F D' U L2 U2 D2 R U
ends: solved
view: top
focus: U
```

```moves turned
moves: U
view: net
```

```position two-flips
pieces: flips UF and UR
view: corner
```

"""


def table(*cells: str) -> str:
    head = "| Case | " + " | ".join(str(number) for number in range(len(cells))) + " |\n"
    return f"{head}{'|---' * (len(cells) + 1)}|\n| x | {' | '.join(cells)} |\n"


def cells(page: str) -> list[str]:
    return re.findall(r'<span class="in-cell">(<svg.*?</svg>)</span>', page, re.DOTALL)


def paths(figure: str) -> list[str]:
    return re.findall(r' d="([^"]*)"', figure)


def figures_of_card(page: str, name: str) -> list[str]:
    card = page.partition(f'id="sequence-{name}"')[2].partition("</section>")[0]
    return re.findall(r"<figure>(<svg.*?</svg>)", card, re.DOTALL)


def test_a_named_sequence_is_drawn_as_its_block_draws_it(published) -> None:
    text = TOOLS + table("`@lift`{.before}", "`@lift`{.after}", "`@lift`{.case}", "`@turned`{.before}")
    page = published({"content/index.md": text})["index.html"]
    before, after, case, turned = cells(page)
    assert [paths(before), paths(after)] == [*map(paths, figures_of_card(page, "lift"))]
    assert case == before
    assert paths(turned) == paths(figures_of_card(page, "turned")[0])


def test_the_case_of_moves_is_the_position_that_they_solve(published) -> None:
    moves = "R U R' U'"
    text = f"```moves way\nmoves: {moves}\nends: solved\n```\n\n```moves on\nmoves: {moves}\n```\n\n"
    text += table(*(f"`{moves}`{{.{which}}}" for which in ("case", "before", "after")))
    page = published({"content/index.md": text})["index.html"]
    case, before, after = cells(page)
    assert paths(case) == paths(figures_of_card(page, "way")[0])
    on_card = [*map(paths, figures_of_card(page, "on"))]
    assert paths(after) == on_card[1]
    # On the card each cycle has a figure; a cell has one, and a solved cube without marks says nothing.
    assert set(on_card[0]) < set(paths(before))


@pytest.mark.parametrize(
    ("figure", "noted"),
    [
        ("`R U F D`{.before}", True),  # more pieces than arrows can show
        ("`@bare`{.before}", True),  # arrows: no
        ("`R U R' U'`{.before}", False),
        ("`R R'`{.before}", False),  # solved, and so it stays
        ("`R U F D`{.after}", False),
        ("`R U F D`{.case}", False),
    ],
)
def test_a_solved_puzzle_that_shows_nothing_of_moves_is_noted(guide_at, figure: str, noted: bool) -> None:
    guide = guide_at(index=f"```moves bare\nmoves: R U\narrows: no\n```\n\n{table(figure)}")
    assert [note.passage.text for note in guide.notes] == [figure.split("`")[1]] * noted


def test_a_position_is_drawn(published) -> None:
    page = published({"content/index.md": TOOLS + table("`@two-flips`{.case}")})["index.html"]
    (figure,) = cells(page)
    block = page.partition('id="position-two-flips"')[2]
    assert paths(figure) == paths(re.findall(r"<svg.*?</svg>", block, re.DOTALL)[0])


def test_each_is_heard_with_what_it_is_of_and_shows(published) -> None:
    text = TOOLS + table("`@lift`{.after}", "`R' U`{.case}", "`@two-flips`{.case}")
    heard = [
        re.findall(r"<(?:title|desc)[^>]*>([^<]*)<|aria-label=\"([^\"]*)\"", each)
        for each in cells(published({"content/index.md": text})["index.html"])
    ]
    told = [" ".join(text for pair in each for text in pair if text) for each in heard]
    assert "Lift: after" in told[0]
    assert "R prime, U: before" in told[1]
    assert "Position: " in told[1]
    assert "Two flips" in told[2]


def test_what_holds_for_the_blocks_of_a_page_holds_for_them(published) -> None:
    head = "---\nblocks: {view: net, letters: yes}\n---\n"
    text = f"{head}```moves q\nR U\n```\n\n{table('`R U`{.before}')}"
    page = published({"content/index.md": text})["index.html"]
    assert cells(page)[0].count("<path") == figures_of_card(page, "q")[0].count("<path")
    assert paths(cells(page)[0]) == paths(figures_of_card(page, "q")[0])


@pytest.mark.parametrize(
    ("text", "place", "says"),
    [
        (table("`R U9x`{.case}"), "9x", ""),
        (table("`@nothing`{.case}"), "@nothing", "nothing"),
        (TOOLS + table("`@two-flips`{.after}"), "@two-flips", "has no after"),
        ("`R U`{.case}\n", "R U", "in tables alone"),
        ("## `R U`{.before}\n", "R U", "in tables alone"),
        (table("`R U`{.befor}"), "{.befor}", "says nothing of the code before it"),
        (TOOLS + table("`lift`{.case}"), "lift", "behind moves or an @name, and this is neither"),
        (table("`Flips UF`{.before}"), "Flips UF", "behind moves or an @name, and this is neither"),
        (table("R U{.case}"), "{.case}", "stands behind no code"),
    ],
)
def test_what_cannot_be_drawn_is_told_of_where_it_stands(problems_of, text, place, says) -> None:
    (problem,) = problems_of(index=text)
    assert says in problem.message
    assert problem.passage.text in place or place in problem.passage.text
    lines = text.splitlines()
    assert place in lines[problem.passage.line - 1]
    assert problem.hint


def test_a_claim_beside_one_is_about_its_moves(guide_at) -> None:
    guide = guide_at(index=table("`R U`{.case}", "`order 105`{.claim}"))
    assert not guide.problems
    assert guide.turned.claims == 1
    (problem,) = guide_at(index=table("`R U`{.case}", "`order 5`{.claim}")).problems
    assert "claim is false" in problem.message


def test_it_is_drawn_anew_when_its_sequence_changes(tmp_path) -> None:
    """Alone a page is made anew, and so are others that draw what stands on it."""
    pages = {"tools": TOOLS, "grid": table("`@lift`{.before}", "`@two-flips`{.case}")}
    folder = guide_of(tmp_path, **pages)
    publish(folder)
    grid = folder / "output" / "grid.html"
    before = grid.read_text(encoding="utf-8")
    page = folder / "content" / "tools.md"
    for old, new in (("view: top", "view: corner"), ("flips UF and UR", "flips UF and UL")):
        page.write_text(page.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
        publish(folder)
        after = grid.read_text(encoding="utf-8")
        assert after != before
        before = after
    grid_page = folder / "content" / "grid.md"
    grid_page.write_text(pages["grid"] + "\nText.\n", encoding="utf-8")
    publish(folder)
    assert cells(grid.read_text(encoding="utf-8")) == cells(before)


def test_a_sequence_tells_where_it_is_drawn(tmp_path) -> None:
    folder = guide_of(tmp_path, tools=TOOLS, grid=f"# Grid\n\n{table('`@lift`{.case}')}")
    assert not read_guide(folder).problems
    publish(folder)
    assert "grid.html" in (folder / "output/sequences/lift.html").read_text(encoding="utf-8")


@needs(chromium=CHROMIUM)
@pytest.mark.parametrize("width", [360, 1440])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_they_are_small_and_none_makes_a_page_wider(browser: Browser, tmp_path, width: int, scheme) -> None:
    grid = table(*["`R U R' U'`{.case} `R U R' U'`{.moves}"] * 6)
    folder = guide_of(tmp_path, index=f"# Grid\n\n{grid}")
    publish(folder)
    size = {"width": width, "height": 800}
    with without_faults(browser, folder / "output/index.html", viewport=size, color_scheme=scheme) as page:
        widths = page.locator(".in-cell svg").evaluate_all(
            "all => all.map(e => e.getBoundingClientRect().width)"
        )
        assert all(60 < each < 130 for each in widths)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
