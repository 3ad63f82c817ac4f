"""Blocks of moves on a page: what they hold, and every mistake in them shown where it stands."""

from __future__ import annotations

import pytest

from sitegen.moves.turning import permutation
from sitegen.puzzles import permutation as perm

LIFT = "F D' U L2 U2 D2 R U"
GOOD = f"""\
```moves lift-edge
title: Lift the front edge
moves: {LIFT}
claims:
- flips UF
- keeps U except UF
```
"""


def places(problems) -> list[tuple[int, int]]:
    return [(problem.passage.line, problem.passage.column) for problem in problems]


def test_a_block_may_be_just_its_moves(guide_at) -> None:
    guide = guide_at(index="```moves quarter\nR U\n  R'\n```\n")
    assert guide.problems == ()
    assert guide.sequences["quarter"].moves == "R U R'"
    assert guide.sequences["quarter"].title == "Quarter"


def test_a_block_keeps_what_its_author_wrote(guide_at) -> None:
    guide = guide_at(
        index=f"```moves lift-edge\ntitle: Lift\nmoves: {LIFT}\nview: corner, top\nfocus: UF\narrows: no\n"
        "letters: yes\ntags: edges, short\nsay: Neat.\nclaims: flips UF\n```\n"
    )
    assert guide.problems == ()
    lift = guide.sequences["lift-edge"]
    assert (lift.title, lift.moves, lift.tags) == ("Lift", LIFT, ("edges", "short"))
    assert lift.claims == ("flips UF",)
    assert lift.shown.views == ("corner", "top")
    assert (lift.shown.arrows, lift.shown.letters) == (False, True)
    assert {lift.puzzle.pieces[i].name for i in lift.shown.focus} == {"UF"}


def test_primes_of_every_shape_are_shown_as_one(guide_at) -> None:
    assert guide_at(index="```moves p\nR’ U′ F'\n```\n").sequences["p"].moves == "R' U' F'"


@pytest.mark.parametrize(
    ("line", "before", "after"),
    [
        ("", "", "R U"),  # it starts solved
        ("starts: solved", "", "R U"),
        ("starts: F2", "F2", "F2 R U"),
        ("ends: solved", "U' R'", ""),  # the position that the moves solve
    ],
)
def test_before_is_where_the_block_says(guide_at, turned, cube3, line: str, before: str, after: str) -> None:
    sequence = guide_at(index=f"```moves s\nmoves: R U\n{line}\n```\n").sequences["s"]
    assert sequence.before == turned(before, cube3)
    assert perm.compose(sequence.before, permutation(sequence.tree, cube3)) == turned(after, cube3)


def test_a_sequence_may_stand_in_another_wherever_it_was_written(guide_at, turned, cube3) -> None:
    guide = guide_at(
        index="```moves both\nmoves: [@lift-edge, U] @twice'\n```\n",
        later=GOOD + "```moves twice\n(@lift-edge)2\n```\n",
    )
    assert guide.problems == ()
    expected = turned(f"[{LIFT}, U] ({LIFT})2'", cube3)
    assert guide.sequences["both"].effect.permutation == expected
    assert guide.sequences["both"].refers_to == ("lift-edge", "twice")
    assert guide.sequences["both"].length.obtm == 2 * 8 + 2 + 16  # lift is 8 turns, by hand


def test_inline_moves_are_checked(guide_at) -> None:
    assert guide_at(index=f"Do `R U R'`{{.moves}} or `[@lift-edge, U]`{{.moves}}.\n\n{GOOD}").problems == ()


def test_plain_inline_code_is_not_checked(guide_at) -> None:
    assert guide_at(index="This is `no move`.\n").problems == ()


# Where mistakes are shown ---------------------------------------------------------------------------------

FALSE = "```moves {name}\nmoves: U\nclaims:\n- keeps D\n- keeps U\n- flips UF\n```\n"


@pytest.mark.parametrize(
    ("text", "line", "column", "message"),
    [
        ("```moves\nR Q\n```\n", 2, 3, "found “Q”"),
        ("Text.\n\n```moves x\ntitle: T\nmoves:  R U Q\n```\n", 5, 13, "found “Q”"),
        ("```moves\nmoves:\n  R U\n  R Q\n```\n", 4, 5, "found “Q”"),
        ("- one\n\n  ```moves\n  R Q\n  ```\n", 4, 5, "found “Q”"),
        ("1. one\n\n   ```moves\n   claims: order 4\n   moves: R Q\n   ```\n", 5, 13, "found “Q”"),
        ("> ```moves\n> R Q\n> ```\n", 2, 5, "found “Q”"),
        ("> - ```moves\n>   R U\n>   R Q\n>   ```\n", 3, 7, "found “Q”"),
        (">\t```moves\n>\tR Q\n>\t```\n", 2, 5, "found “Q”"),
        ("- ```moves\n\n  R Q\n  ```\n", 3, 5, "found “Q”"),  # the first line of the body is empty
        ("> ```moves\n>\n> R Q\n> ```\n", 3, 5, "found “Q”"),
        ("   ```moves\n   R Q\n   ```\n", 2, 6, "found “Q”"),
        ("~~~moves\nR Q\n~~~\n", 2, 3, "found “Q”"),
        ("````moves\nR Q\n````\n", 2, 3, "found “Q”"),
        ("```moves\nR U\n", 1, 1, "this fence is not closed"),
        ("```moves x\nmoves: U\nclaims:\n- order 4\n-  flips UF\n```\n", 5, 4, "this claim is false"),
        ("```moves x\nmoves: U\nclaims:\n- cycles UF > UX\n```\n", 4, 15, "cube-3 has no place “UX”"),
        ("```moves x\nmoves: U\nclaims:\n- order 4\n- ;\n```\n", 5, 3, "nothing stands before this “;”"),
        ("```moves x\nmoves: U\nclaims: ;\n```\n", 3, 9, "nothing stands before this “;”"),
        ("```moves x\nmoves: U\nclaims: order 4;; keeps D\n```\n", 3, 17, "nothing stands before this “;”"),
        ("```moves x\nmoves: U\nview: cornr\n```\n", 3, 7, "cube-3 has no view “cornr”"),
        ("```moves x\nmoves: U\nfocus: U and UX\n```\n", 3, 14, "cube-3 has no place “UX”"),
        ("```moves x\nmoves: U\narrows: perhaps\n```\n", 3, 9, "arrows is yes or no"),
        ("```moves x\nmoves: U\nends: sloved\n```\n", 3, 7, "ends cannot be “sloved”"),
        ("```moves x\nmoves: U\nstarts: Q\n```\n", 3, 9, "found “Q”"),
        ("```moves x\nmoves: U\nstarts: F\nends: solved\n```\n", 4, 1, "starts and ends exclude each other"),
        ("```moves x\nMoves: U\n```\n", 2, 1, "keys are written in small letters"),
        ("```moves x\nmoves:U\n```\n", 2, 1, "the text runs into the key “moves”"),
        ("```moves x\nR U R' U'\nclaims:\n- order 6\n```\n", 2, 1, "expected a key and a colon"),
        ("```moves x\nmoves: U\nclaims:\n* order 4\n```\n", 4, 1, "a list item begins with “- ”"),
        ("```moves x\nmoves: U\nclaims:\n  -order 4\n```\n", 4, 3, "a list item begins with “- ”"),
        ("```moves x\nmoves: U\nclaims:\n- order 4\n- \n```\n", 5, 1, "this item is empty"),
        ("```moves x\nmoves: U\ntags:\n- \n- b\n```\n", 4, 1, "this item is empty"),
        ("```moves x\nmoves: U\nmvoes: U\n```\n", 3, 1, "there is no key “mvoes” here"),
        ("```moves x\ntitle: T\n```\n", 1, 4, "the block has no moves"),
        ("```moves x\n```\n", 1, 4, "the block has no moves"),
        ("```moves Lift_Edge\nR\n```\n", 1, 4, "“Lift_Edge” cannot be a name"),
        ("```moves lift the edge\nR\n```\n", 1, 4, "a block has one name"),
        ("```move lift\nR\n```\n", 1, 4, "there is no kind of block “move”"),
        ("```mvoes\nR\n```\n", 1, 4, "there is no kind of block “mvoes”"),
        ("```moves x\nR @nowhere U\n```\n", 2, 3, "no sequence is named nowhere"),
        ("```moves x\nU @x\n```\n", 2, 3, "the sequences refer to each other in a circle: x → x"),
        ("```moves\n(R)99999999999999999999\n```\n", 2, 4, "numbers here go up to"),
        ("Try `R Q`{.moves} now.\n", 1, 8, "found “Q”"),
        ("One\ntwo `U` and `R Q`{.moves} now.\n", 2, 16, "found “Q”"),
        ("- item\n\n  > Try `R Q`{.moves}\n", 3, 12, "found “Q”"),
        ("Quick: `Q`{.moves}\n", 1, 9, "found “Q”"),  # not the Q of Quick
        ("## A heading with `R Q`{.moves}\n", 1, 22, "found “Q”"),
        ("Text.\n\n| a | b |\n|---|---|\n| x | `R Q`{.moves} |\n", 5, 10, "found “Q”"),
        ("```moves x\nmoves: U\nsay: One\n  two `R Q`{.moves}\n```\n", 4, 10, "found “Q”"),
        ("Two\x0clines\u2028or\x85one.\n\n```moves\nR Q\n```\n", 4, 3, "found “Q”"),
        ("Two\x0clines\u2028or one.\n\n```moves Bad_Name\nR\n```\n", 3, 4, "“Bad_Name” cannot be a name"),
        ("Two\u2028lines.\n\nThen `R Q`{.moves}\n", 3, 9, "found “Q”"),
    ],
)
def test_a_mistake_is_shown_at_its_line_and_column(
    problems_of, text: str, line: int, column: int, message: str
) -> None:
    (problem,) = problems_of(index=text)
    assert message in problem.message
    assert problem.passage.source.name == "content/index.md"
    assert (problem.passage.line, problem.passage.column) == (line, column)


@pytest.mark.parametrize(
    "text",
    [
        "Do `R U\nR'`{.moves} now.\n",
        "> Do `R U\n> R'`{.moves} now.\n",
        "```moves x\nmoves: U\nsay: Say it in\n  two lines, `R U`{.moves}\n```\n",
        "Do `` R' ``{.moves} now.\n",
        "| a |\n|---|\n| `R U`{.moves} |\n",
    ],
)
def test_good_inline_moves_are_good_wherever_they_stand(headlines, text: str) -> None:
    assert headlines(index=text) == []


def test_an_error_shows_the_line_with_a_marker_under_the_column_and_a_hint(problems_of) -> None:
    (problem,) = problems_of(index="Text.\n\n```moves x\nmoves: U\nfocus: edges of U and UD\n```\n")
    assert str(problem).splitlines()[:3] == [
        "content/index.md:5:23: cube-3 has no place “UD”",
        "    focus: edges of U and UD",
        "                          ^^",
    ]
    assert str(problem).splitlines()[3].startswith("    hint: ")


@pytest.mark.parametrize("info", ["", "python", "text moves", "yaml", "svg", "console"])
def test_a_fence_of_another_language_stays_code(guide_at, info: str) -> None:
    guide = guide_at(index=f"```{info}\nnot: [moves\n```\n")
    assert guide.problems == ()
    assert guide.blocks["index"] == ()


def test_a_false_claim_says_what_the_moves_do(problems_of) -> None:
    (problem,) = problems_of(index=f"```moves x\nmoves: [{LIFT}, U]\nclaims: flips UF and UB\n```\n")
    assert problem.message == "this claim is false: UB stays home"
    assert problem.hint == "what the moves do: UF and UR are flipped; everything else is home."


# All of them, in reading order ----------------------------------------------------------------------------


def test_every_problem_of_every_page_is_told_at_once_in_reading_order(headlines) -> None:
    told = headlines(
        "title: T\npages: [b, a, c]\n",
        b="[x](nowhere.md)\n\n" + FALSE.format(name="one") + "\n`Q`{.moves}\n",
        a="```moves two\nR Q\n```\n\n```moves three\ncolor: red\nmoves: R\n```\n",
    )
    assert [line.split(" ")[0] for line in told] == [
        "content/a.md:2:3:",
        "content/a.md:6:1:",
        "content/b.md:1:5:",
        "content/b.md:7:3:",
        "content/b.md:8:3:",
        "content/b.md:11:2:",
        "content/guide.yaml:2:15:",
    ]


def test_all_false_and_malformed_claims_of_one_block_are_told(problems_of) -> None:
    told = problems_of(index="```moves x\nmoves: U\nclaims:\n- flips UX\n- turns U\n- order 4\n```\n")
    assert places(told) == [(4, 9), (5, 3)]
    told = problems_of(index=FALSE.format(name="x"))
    assert places(told) == [(5, 3), (6, 3)]


def test_mistakes_in_different_fields_of_one_block_are_all_told(problems_of) -> None:
    told = problems_of(index="```moves x\nmoves: R Q\nview: cornr\nfocus: UX\nclaims:\n- flips UX\n```\n")
    assert places(told) == [(2, 10), (3, 7), (4, 8), (6, 9)]


def test_two_unknown_keys_of_one_block_are_both_told(problems_of) -> None:
    assert places(problems_of(index="```moves x\ntitel: T\nmoves: R\nvew: net\n```\n")) == [(2, 1), (4, 1)]


def test_a_false_claim_does_not_hide_a_bad_start(problems_of) -> None:
    told = problems_of(index="```moves x\nmoves: U\nclaims: flips UF\nstarts: @nowhere\n```\n")
    assert places(told) == [(3, 9), (4, 9)]


def test_a_name_can_be_given_once_in_the_whole_guide(problems_of) -> None:
    (problem,) = problems_of(a="Text.\n\n" + GOOD, b=GOOD)
    assert problem.headline() == "content/b.md:1:4: the name lift-edge is taken, in content/a.md:3"


def test_sequences_of_different_pages_that_refer_to_each_other_are_told_once(problems_of) -> None:
    told = problems_of(
        a="```moves one\nR @two\n```\n", b="```moves two\nU @three\n```\n", c="```moves three\n@one\n```\n"
    )
    assert [problem.message for problem in told] == [
        "the sequences refer to each other in a circle: one → two → three → one"
    ]
    assert told[0].headline().startswith("content/c.md:2:1:")


@pytest.mark.parametrize(
    "broken",
    ["```moves lift-edge\nR Q\n```\n", "```moves lift-edge\nmoves: R\nclaims: order six\n```\n"],
)
def test_what_refers_to_a_broken_block_has_no_problem_of_its_own(problems_of, broken: str) -> None:
    told = problems_of(
        index=f"{broken}\n`@lift-edge U`{{.moves}} [](sequence:lift-edge)\n",
        other="```moves both\n[@lift-edge, U]\n```\n",
    )
    assert [problem.passage.line for problem in told] == [2 if "Q" in broken else 3]


def test_links_to_a_page_whose_front_matter_is_broken_have_no_problem_of_their_own(headlines) -> None:
    told = headlines(index="[there](bad.md)\n", bad="---\ntitel: x\n---\nText.\n")
    assert told == ["content/bad.md:2:1: there is no key “titel” here"]


def test_a_sequence_is_of_its_pages_puzzle(guide_at) -> None:
    guide = guide_at(
        index="```moves wide\nRw\n```\n",
        small="---\npuzzle: cube-2\n---\n```moves tiny\nR U\n```\n",
        large="---\npuzzle: cube-5\n---\n```moves inner\n2R M\n```\n",
    )
    assert guide.problems == ()
    assert {name: s.puzzle.name for name, s in guide.sequences.items()} == {
        "wide": "cube-3",
        "tiny": "cube-2",
        "inner": "cube-5",
    }


def test_a_very_long_sequence_is_counted_not_written_out(guide_at) -> None:
    guide = guide_at(index="```moves long\nmoves: (R U)1000000\nclaims: order 1\n```\n")
    # R U has order 105 (REFERENCES), and 1,000,000 = 9523 * 105 + 85; 85 and 105 share the factor 5.
    assert [problem.message for problem in guide.problems] == ["this claim is false: the order is 21"]
    good = guide_at(index="```moves long\nmoves: (R U)1000000\nclaims: order 21\n```\n")
    assert good.sequences["long"].count == 2_000_000
    assert good.sequences["long"].turns == ()
