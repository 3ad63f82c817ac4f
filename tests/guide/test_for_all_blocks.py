"""What a guide or a page says for all its blocks; what is said nearest to a block counts."""

from __future__ import annotations

from pathlib import Path

import pytest
from sample_guide import guide_of

from sitegen.site.publish import publish

MOVES = "```moves lift\nmoves: R U\n```\n"


def head(text: str) -> str:
    return f"---\nblocks: {{{text}}}\n---\n"


def said_at(guide_at, guide: str, page: str, block: str):
    """A guide with one block: what it says for all, what its page says, and what the block says itself."""
    text = f"{head(page) if page else ''}```moves\nmoves: R U\n{block}```\n"
    return guide_at(f"title: T\nblocks: {{{guide}}}\n" if guide else "title: T\n", index=text)


def shown(guide):
    (block,) = guide.blocks["index"]
    return block.checked.shown


@pytest.mark.parametrize(
    ("guide", "page", "block", "views"),
    [
        ("", "", "", ()),
        ("view: net", "", "", ("net",)),
        ("view: net", "view: top", "", ("top",)),
        ("", "view: top", "", ("top",)),
        ("view: net", "view: top", "view: corner, net\n", ("corner", "net")),
        ("view: net", "letters: yes", "", ("net",)),
    ],
)
def test_what_is_said_nearest_to_a_block_counts(guide_at, guide, page, block, views) -> None:
    found = shown(said_at(guide_at, guide, page, block))
    assert found.views == views
    assert found.letters == ("letters" in page)


def test_each_key_of_a_figure_has_one(guide_at) -> None:
    found = shown(guide_at(index=f"{head('letters: yes, arrows: no, focus: [UF, UR]')}{MOVES}"))
    assert (found.letters, found.arrows, len(found.focus)) == (True, False, 2)


@pytest.mark.parametrize(
    ("guide", "page", "block", "begins"),
    [
        ("", "", "", ""),
        ("ends: solved", "", "", "U' R'"),
        ("", "ends: solved", "", "U' R'"),
        ("ends: solved", "", "starts: F\n", "F"),
        ("ends: solved", "", "starts: solved\n", ""),
        ("", "", "ends: solved\n", "U' R'"),
    ],
)
def test_moves_end_with_the_puzzle_solved_where_that_is_said_for_all(
    guide_at, turned, cube3, guide, page, block, begins
) -> None:
    read = said_at(guide_at, guide, page, block)
    assert not read.problems
    (found,) = read.blocks["index"]
    assert found.checked.before == (turned(begins, cube3) if begins else cube3.identity)


def test_tags_are_added(guide_at) -> None:
    guide = guide_at(
        "title: T\nblocks: {tags: all}\n",
        index=f"{head('tags: [page, own]')}```moves lift\nmoves: R U\ntags: own, more\n```\n",
        thought=f"{head('tags: page')}\n"
        "```derivation\nnames: back\nsteps:\n- turn: R\n```\n\n```moves\nU\n```\n",
    )
    assert not guide.problems
    assert {name: each.tags for name, each in guide.sequences.items()} == {
        "lift": ("own", "more", "all", "page"),
        "back": ("all", "page"),
    }


def test_a_position_has_arrows_where_that_is_said_for_all(guide_at) -> None:
    text = "```position\npieces: flips UF and UR\n```\n"
    assert not shown(guide_at(index=text)).arrows
    assert shown(guide_at(index=f"{head('arrows: yes')}{text}")).arrows


def test_a_kind_of_block_without_the_key_is_as_it_was(guide_at) -> None:
    text = (
        "```method way\ncount: 5\nstages:\n- stage: A\n  goal: UF placed\n  using: any turns up to 4\n```\n"
    )
    assert not guide_at(index=f"{head('arrows: no, focus: U, tags: a')}{text}").problems


def test_what_a_puzzle_cannot_follow_is_told_once_with_its_place(problems_of) -> None:
    config = "title: T\nblocks:\n  view: corner with back\n  focus: UB\n"
    other = f"---\npuzzle: megaminx\n---\n{MOVES}\n```moves\nL\n```\n"
    found = problems_of(config, index="```moves\nR\n```\n", other=other)
    places = [problem.headline().split(": ")[0] for problem in found]
    assert places == ["content/guide.yaml:3:9", "content/guide.yaml:4:10"]
    assert found[0].message == "megaminx has no view “corner with back”, for a block in other.md"
    mended = other.replace("megaminx\n", "megaminx\nblocks: {view: net, focus: UF}\n")
    assert not problems_of(config, index="```moves\nR\n```\n", other=mended)


@pytest.mark.parametrize("where", ["guide", "page"])
@pytest.mark.parametrize(
    ("said", "message"),
    [
        ("{vew: net}", "there is no key “vew” here"),
        ("{moves: R}", "there is no key “moves” here"),
        ("{letters: maybe}", "letters is yes or no, not “maybe”"),
        ("{ends: solvd}", "ends cannot be “solvd”"),
        ("{letters: }", "nothing is written for “letters”"),
        ("net", "blocks are keys of blocks and what they say"),
    ],
)
def test_what_cannot_be_read_is_told(problems_of, where, said, message) -> None:
    line = f"blocks: {said}\n"
    text = f"---\n{line}---\n{MOVES}" if where == "page" else MOVES
    (problem,) = problems_of(f"title: T\n{line if where == 'guide' else ''}", index=text)
    assert problem.message == message
    assert problem.passage.source.name == ("content/index.md" if where == "page" else "content/guide.yaml")


def test_what_shows_a_block_elsewhere_is_published_anew(tmp_path: Path) -> None:
    """Also where only the page that shows it is read anew, and the block is borrowed from another one."""

    def cards(focus: str, word: str) -> str:
        blocks = f"{head(f'focus: {focus}')}# Tools\n\n{MOVES}"
        guide_of(tmp_path, tools=blocks, cards=f"---\nkind: handout\ncards: lift\n---\n# Cards\n\n{word}.\n")
        publish(tmp_path)
        return (tmp_path / "output/cards.html").read_text().partition("<body")[2]

    one, other = cards("UF", "One"), cards("UFR", "One")
    assert one != other
    assert cards("UFR", "Two") == other.replace("One.", "Two.")
    assert cards("UF", "Two") == one.replace("One.", "Two.")
    assert cards("UF", "Three") == one.replace("One.", "Three.")
