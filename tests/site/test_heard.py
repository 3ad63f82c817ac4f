"""What is heard of a page, from the accessibility tree that Chromium gives to screen readers.

Needs the Chromium that the system provides; without it these tests are skipped, but not on a build server.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page
from sample_guide import THOUGHT, write_guide
from sample_rendering import CHROMIUM, needs
from sample_sheets import sheet_guide

from sitegen.site.publish import publish

pytestmark = needs(chromium=CHROMIUM)

MORE = """\
# More

## Then `[F: R']`{.moves}

In a text of UF and `UFR`, where `R'` is one turn,
`R' U2`{.moves}, and `[@lift-edge, U]`{.moves} that `flips UF and UR`{.claim}, as
[there `R2'`{.moves}](index.md).

| turns | what they do |
|---|---|
| `(R U)3`{.moves} | something |

```moves fetch-edge
title: Lift the edge
moves: F E F2 E2 F E
claims: flips UF; keeps U except UF
view: corner, top
focus: U
```

```moves pair
title: Two of them
moves: [@lift-edge, U]
ends: solved
```

```moves
M' U'
```

```find other
claims: flips UF
most: 1
```

"""
SMALL = """\
---
title: On a small cube
puzzle: cube-2
---

```derive steps
claims: twists UFR clockwise
most: 1
```

```worked example
method: small
seed: 1
```
"""
SAID = """\
# Said

```method said
count: 2
open: yes
stages:
- stage: Two of them
  goal: FU and RU home
  using: any turns up to 1
  say: By hand.
```
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    thought = THOUGHT.replace("watch: UF", "watch: UF\nview: corner, top").replace(
        "UR\n", "UR\nview: corner, net\n"
    )
    more = {"content/more.md": MORE + thought, "content/small.md": SMALL, "content/said.md": SAID}
    folder = write_guide(tmp_path_factory.mktemp("guide"), {**sheet_guide(), **more})
    publish(folder)
    return folder / "output"


@pytest.fixture(scope="module")
def heard(browser: Browser, folder: Path) -> Callable[[str, str], list[str]]:
    """What is heard in a part of a page, without scripts; of images and regions what they are as well."""
    page = browser.new_context(offline=True, java_script_enabled=False).new_page()

    def part(name: str, selector: str = "main") -> list[str]:
        page.goto((folder / name).as_uri())
        return list(said(page, selector))

    return part


def said(page: Page, selector: str) -> Iterator[str]:
    session = page.context.new_cdp_session(page)
    found = session.send("Runtime.evaluate", {"expression": f"document.querySelector({selector!r})"})
    node = session.send("DOM.describeNode", {"objectId": found["result"]["objectId"]})["node"][
        "backendNodeId"
    ]
    nodes = {each["nodeId"]: each for each in session.send("Accessibility.getFullAXTree")["nodes"]}
    (root,) = (each for each in nodes.values() if each.get("backendDOMNodeId") == node)
    yield from _walked(root, nodes)


def _walked(node: dict[str, Any], nodes: dict[str, dict[str, Any]]) -> Iterator[str]:
    role, name, description = (node.get(of, {}).get("value", "") for of in ("role", "name", "description"))
    if role in ("image", "region"):
        yield f"{role}: {' | '.join(filter(None, [name, description]))}"
    elif role == "StaticText":
        yield name.strip()
        return
    for child in node.get("childIds", ()):
        if child in nodes:
            yield from _walked(nodes[child], nodes)


PAGES = (
    *("more.html", "small.html", "method.html", "essay.html", "cards.html", "exercises.html", "cases.html"),
    *("exercises-answers.html", "effects.html", "isolating.html", "methods/small.html"),
    *("sequences/fetch-edge.html", "sequences/pair.html", "sequences/twist-pair.html"),
)


@pytest.mark.parametrize("name", PAGES)
def test_no_notation_is_heard_as_it_is_written(heard, name: str) -> None:
    """No prime, no bracket, and no place in one breath, but where there is something to be copied."""
    texts = [text for text in heard(name) if not re.match("```|moves |@[a-z-]+$", text)]
    assert texts
    assert [text for text in texts if re.search(r"\b[UDFBLR]w?2?['’′]|\[[^]]*[,:]|@", text)] == []
    assert [text for text in texts if re.search(r"\b[UDFBLR]{2,3}\b", text)] == []


@pytest.mark.parametrize("name", PAGES)
def test_all_moves_that_are_seen_are_heard_and_once(browser: Browser, folder: Path, name: str) -> None:
    """Each code of moves is heard as it is written or has one spoken form, or it is silent."""
    page = browser.new_context(offline=True, java_script_enabled=False).new_page()
    page.goto((folder / name).as_uri())
    codes = page.locator("main code.moves").evaluate_all(
        """codes => codes.filter((code) => !code.closest("[aria-hidden]")).map((code) => {
          const without = (hidden) => {
            const copy = code.cloneNode(true);
            copy.querySelectorAll(hidden).forEach((each) => each.remove());
            return copy.textContent;
          };
          return [without(".heard"), without("[aria-hidden]")];
        })"""
    )
    page.context.close()
    assert codes
    for written, spoken in codes:
        turns = len(re.findall(r"[A-Za-z@]\S*", written))
        assert len(re.findall("prime", spoken)) <= written.count("'")
        assert len(spoken.split(", ")) <= 2 * turns + 1, (written, spoken)
        assert not re.search(r"['’\[\]()]", spoken), spoken


def test_moves_in_a_text_in_a_heading_and_in_a_table_are_heard(heard) -> None:
    text = " ".join(heard("more.html"))
    assert "Then conjugate: F, then R prime In a text of U F and U F R , where R prime is one turn," in text
    assert "one turn, R prime, U 2 , and" in text
    assert (
        "commutator: lift edge , then U that flips U F and U R , checked by turning , as there R 2 prime"
        in text
    )
    assert "group: R, U, 3 times something" in text


def test_of_a_sequence_the_first_view_is_heard_and_of_after_that_it_is_that(heard) -> None:
    texts = heard("more.html", "#sequence-fetch-edge")
    assert texts[0] == "region: Sequence: Lift the edge"
    assert [text for text in texts if text.startswith("image")] == [
        "image: Lift the edge: before | Every piece is home.",
        "image: after",
    ]
    assert "F, E, F 2, E 2, F, E" in texts
    assert "2 checked" in texts  # what they are is heard where the list is unfolded
    assert len([text for text in texts if text.startswith("U F is flipped")]) == 1
    assert not {"before", "after"} & set(texts)


def test_where_a_sequence_ends_solved_the_position_before_is_told(heard) -> None:
    texts = heard("more.html", "#sequence-pair")
    (before, after) = (text for text in texts if text.startswith("image"))
    assert (
        before == "image: Two of them: before | Position: U F and U R are flipped; everything else is home."
    )
    assert after == "image: after | Every piece is home."


def test_a_sequence_without_a_title_is_called_by_its_moves(heard) -> None:
    assert "region: Sequence: M prime, U prime" in heard("more.html")


def test_of_a_derivation_each_step_is_told_once(heard) -> None:
    texts = heard("more.html", "#derivation-thought")
    assert [text for text in texts if text.startswith("image")] == [
        f"image: after step {number}" for number in range(1, 5)
    ]
    steps = [text for text in texts if text.startswith("U F goes")]
    assert steps[0] == "U F goes from U F to R F."
    assert "F prime" in texts
    assert len(steps) == len({*steps})


def test_of_a_position_the_words_stand_once(heard) -> None:
    texts = heard("more.html", "#position-flipped")
    assert [text for text in texts if text.startswith("image")] == ["image: Flipped"]
    assert texts.count("U F and U R are flipped; everything else is home.") == 1
    assert "net" not in texts


def test_what_was_found_and_derived_is_heard(heard) -> None:
    found = heard("more.html", "#find-other")
    assert found[0] == "region: Found: Other"
    assert "flips U F" in found
    assert [text for text in found if text.startswith("image")] == ["image: after"]
    assert any(re.fullmatch(r"([A-Z]( prime| 2)?(, )?)+", text) for text in found)
    derived = " ".join(heard("small.html", ".derived"))
    assert "twists U F R clockwise" in derived
    assert "undoes aside" in derived
    assert re.search(r"goes from [A-Z] [A-Z] [A-Z] to", derived)
    assert "image: after step 1" in derived


def test_a_worked_example_says_what_the_position_is_after_each_stage(heard) -> None:
    texts = heard("small.html", ".worked")
    images = [text for text in texts if text.startswith("image")]
    assert images[0].startswith("image: to begin with | ")
    assert re.search(r"\b[UDFBLR] [UDFBLR] [UDFBLR] is at [UDFBLR] [UDFBLR] [UDFBLR]", images[0])
    assert images[-1].endswith("| Everything is home.")
    by_step = [text for text in images if re.fullmatch("image: after [UDFBLR] [UDFBLR] [UDFBLR]", text)]
    assert len(by_step) > 1
    assert len(by_step) == len({*by_step})


def test_each_case_is_called_by_its_position(heard) -> None:
    for name in ("methods/small.html", "cases.html"):
        cases = [text for text in heard(name) if text.startswith("image: Case:")]
        assert cases, name
        assert len(cases) == len({*cases}), name
        assert all(
            re.fullmatch(r"image: Case: .*\b[UDFBLR] [UDFBLR] [UDFBLR]\b.*", case) for case in cases
        ), name


def test_the_figure_of_a_goal_says_what_stands_nowhere_beside_it(heard) -> None:
    tiles = heard("method.html", ".method-stages")
    assert [text for text in tiles if text.startswith("image")] == ["image: Goal"] * 3
    assert "Bring the corners of U to their places, whichever way round." in tiles
    said = heard("said.html", ".method-stages")
    assert [text for text in said if text.startswith("image")] == ["image: Goal: F U and R U home"]
    assert "Bring" not in " ".join(said)


def test_each_turn_of_a_strip_says_what_it_changes(heard) -> None:
    # By hand: F takes UF to the right, E takes that to the back; F2 leaves it there.
    strip = heard("sequences/fetch-edge.html", ".steps")
    assert strip[0].startswith("image: turn 1, F | ")
    assert "U F to R F" in strip[0]
    assert "R F goes to B R" in strip[1] or "R F to B R" in strip[1]
    assert "B R" not in strip[2]
    assert strip[-1] == "image: at the end"
    assert len(strip) == 7


def test_blanks_are_heard_and_an_arrow_may_be_said_instead(heard) -> None:
    for selector, blanks in (
        (".arrows", 1),
        (".effect", 1),
        (".undoing", 1),
        (".commutator", 2),
        (".solve", 1),
    ):
        texts = heard("exercises.html", f".exercise{selector}")
        assert " ".join(texts).count("blank") == blanks, texts
    arrows = heard("exercises.html", ".exercise.arrows")
    assert "Or say in words where each piece goes that changes, or how it is turned: blank" in arrows
    assert ": blank" in heard("exercises.html", ".name-line")


def test_letters_on_stickers_are_not_read_out(heard) -> None:
    for name in PAGES:
        assert [text for text in heard(name) if re.fullmatch("[UDFBLR]{5,}", text)] == [], name


def test_what_is_heard_is_not_to_be_seen_copied_or_printed(browser: Browser, folder: Path) -> None:
    page = browser.new_context(offline=True).new_page()
    page.goto((folder / "more.html").as_uri())
    code = page.locator("main p code.moves").first
    copied = """code => {
      getSelection().selectAllChildren(code.parentElement);
      return getSelection().toString();
    }"""
    assert code.evaluate(copied).startswith(
        "In a text of UF and UFR, where R' is one turn, R' U2, and [lift edge, U] that flips UF"
    )
    assert page.locator(".heard").evaluate_all(
        "all => all.every((each) => each.offsetWidth <= 1 && each.offsetHeight <= 1)"
    )
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.emulate_media(media="print")
    assert page.locator(".heard").evaluate_all("all => all.every((each) => each.offsetHeight === 0)")
    page.context.close()


@pytest.mark.parametrize("name", ["more.html", "effects.html", "methods/small.html"])
def test_what_is_heard_makes_no_page_wider(browser: Browser, folder: Path, name: str) -> None:
    page = browser.new_context(offline=True, viewport={"width": 360, "height": 800}).new_page()
    page.goto((folder / name).as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    page.context.close()


def test_the_button_behind_moves_says_which_it_plays(browser: Browser, folder: Path) -> None:
    page = browser.new_context(offline=True).new_page()
    page.goto((folder / "more.html").as_uri())
    assert page.get_by_role("button", name="Play R prime, U 2", exact=True).count() == 1
    page.get_by_role("button", name="Play commutator: lift edge, then U", exact=True).click()
    page.get_by_role("group", name=re.compile("^commutator: lift edge, then U[.]")).wait_for()
    page.context.close()


def test_titles_with_notation_are_heard_as_it_is_said_once_in_each_place(
    tmp_path: Path, browser: Browser
) -> None:
    text = "".join(f"## {heading}\n\nWords.\n\n" for heading in ("What U2 does", "More", "Last"))
    head = f"---\ntitle: Lift UF by R'\n---\n{text}"
    pages = {"content/lift.md": head, "content/on.md": "---\ntitle: On\n---\nWords.\n"}
    parts = "title: T\npages:\n- index\n- lift\n- on\n"
    base = {"content/guide.yaml": parts, "content/index.md": "---\ntitle: Home\n---\nWords.\n"}
    publish(write_guide(tmp_path, {**base, **pages}))
    page = browser.new_context(offline=True, java_script_enabled=False).new_page()
    page.goto((tmp_path / "output/lift.html").as_uri())
    for selector in (".contents", ".trail", "h1"):
        texts = list(said(page, selector))
        assert texts.count("Lift U F by R prime") == 1, selector
        assert not [text for text in texts if "UF" in text or "R'" in text], selector
    assert "What U 2 does" in list(said(page, ".on-this-page"))
    page.goto((tmp_path / "output/on.html").as_uri())
    assert "Lift U F by R prime" in list(said(page, ".neighbours"))
    page.close()
