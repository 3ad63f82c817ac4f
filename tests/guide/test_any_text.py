"""Whatever stands in a guide, reading it ends in a guide or in problems, never otherwise."""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from sample_guide import guide_of

from sitegen.guide.load import read_guide
from sitegen.problems import Problems

BLOCK = """\
---
title: A page
summary: With a block
tags: [a, b]
---
# Heading

Text with `R U R'`{.moves}, [a link](other.md#there) and [](sequence:lift-edge).

| a | b |
|---|---|
| `R`{.moves} | ![x](x.png) |

```moves lift-edge
title: Lift the front edge
moves: [F D' U L2, (U2 D2)3'] R U
ends: solved
claims:
- flips UF and UR
- keeps U except UF
- cycles UF > UL > UB in any orientation
- same as @lift-edge
view: corner, top
focus: edges of U
say: as *said* in [](sequence:lift-edge)
```
"""
SIGNS = st.sampled_from(
    [
        "`",
        "```",
        "```moves\n",
        "~~~",
        "> ",
        "- ",
        "  ",
        "\t",
        "\n",
        "\n\n",
        "#",
        "|",
        "---\n",
        "[",
        "](",
        ")",
        "{.moves}",
        "@",
        "@lift-edge",
        "'",
        "’",
        "2",
        "9" * 30,
        "9" * 5000,
        "²",
        ":",
        "claims:",
        "moves:",
        ", ",
        "(",
        "]",
        "&#0;",
        "\0",
        "\x0b",
        "\x0c",
        "\x1c",
        "\x85",
        "\u2028",
        "\ufeff",
        "\\",
        "<b>",
        "é",
        "🧩",
        "*",
        "%ff",
        "http://[",
        "sequence:",
        "{#x}",
        "{a=",
        "1)",
        "===",
    ]
)
MARKDOWN = st.lists(st.one_of(SIGNS, st.text(max_size=8)), max_size=25).map("".join)


@st.composite
def mutilated(draw: st.DrawFn, text: str) -> str:
    """The text with a few stretches cut out, doubled or written over."""
    for _ in range(draw(st.integers(1, 4))):
        a, b = sorted(draw(st.tuples(st.integers(0, len(text)), st.integers(0, len(text)))))
        b = min(b, a + 40)
        text = text[:a] + draw(st.one_of(st.just(""), SIGNS, st.just(text[a:b] * 2))) + text[b:]
    return text


def reads(page: str, config: str = "title: T\n") -> None:
    with tempfile.TemporaryDirectory() as folder:
        guide_of(Path(folder), config, index=page, other="# Other\n\n## There\n")
        try:
            problems = read_guide(Path(folder)).problems
        except Problems as found:
            problems = found.problems
        assert list(problems) == sorted(problems, key=lambda problem: problem.order)
        for problem in problems:
            assert str(problem).startswith("content/")
            assert problem.passage.line >= 1
            assert problem.passage.column >= 1


@settings(max_examples=150)
@given(mutilated(BLOCK))
@example(BLOCK.replace("2 U2", "²"))
@example(BLOCK.replace("R U\n", "R" + "9" * 5000 + "\n"))
@example(BLOCK.replace("R U\n", "9" * 5000 + "Rw\n"))
@example(BLOCK.replace("- flips UF and UR", "- order " + "9" * 5000))
@example(BLOCK.replace("A page", "2024-13-45"))
@example("---\n\0title: T\n---\n")
@example("[x](http://[)\n")
@example("``` moves\n" + "(" * 2000 + "\n```\n")
@example("[" * 3000)
def test_a_page_with_mistakes_is_read_to_the_end(page: str) -> None:
    reads(page)


@settings(max_examples=100)
@given(MARKDOWN)
def test_any_markdown_is_read_to_the_end(page: str) -> None:
    reads(page)


@settings(max_examples=60)
@given(
    mutilated(
        'title: T\nlanguage: de\ncolours: {U: yellow, red: "#b02030"}\npages: [index, other]\nhtml: yes\n'
    )
)
@example("title: 2024-13-45\n")
@example("title: T\ncolours: {? [a]: b}\n")
@example("title: &a [*a]\n")
@example("\0title: T\n")
@example("? " * 500)
@example("[" * 3000)
def test_any_guide_yaml_is_read_to_the_end(config: str) -> None:
    reads("Text.\n", config)


@pytest.mark.parametrize("text", ["> ::: note\n>", "> ::: idea\n> text\n> \t", "- ::: note\n ", "::: note\n"])
def test_a_box_may_end_a_file_that_has_no_last_line_end(guide_at, text: str) -> None:
    guide = guide_at(index=f"# A\n\n{text}")
    assert [problem.message for problem in guide.problems] == ["this box is not closed"]


@pytest.mark.parametrize(
    ("text", "lost"),
    [
        ("".join(f"{'  ' * at}- item {at}\n" for at in range(9)), ""),
        ("".join(f"{'  ' * at}- item {at}\n" for at in range(10)), "- item 9"),
        (">" * 19 + " deep\n", ""),
        (">" * 20 + " deep\n", ">" * 20 + " deep"),
    ],
)
def test_what_is_set_in_too_deep_to_be_read_is_told(guide_at, text: str, lost: str) -> None:
    """Markdown reads twenty levels, of which a list has two; it passes over what is within, to the end."""
    problems = guide_at(index=f"Text.\n\n{text}\nBehind.\n").problems
    assert [each.passage.text for each in problems] == [lost] * bool(lost)
