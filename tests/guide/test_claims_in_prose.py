"""Claims within sentences: read and held to be true like those of blocks, wherever prose can stand.

By hand: F E F2 E2 F E turns over UF and leaves the rest of U alone. The order 6 of R U R' U' is published
(Singmaster).
"""

from __future__ import annotations

import pytest

from sitegen.guide.inline import KINDS, mark_of
from sitegen.guide.mentions import mentions
from sitegen.pages.markdown import inline_tokens

LIFT = "```moves lift-edge\nF E F2 E2 F E\n```\n\n"
FRONT = "---\npuzzle: pyraminx\n---\n"
PLACES = {
    "paragraph": "It {}.\n",
    "heading": "# T\n\n## It {}\n",
    "title": "# It {}\n",
    "list": "- It {}\n- and no more\n",
    "quotation": "> It {}\n",
    "link": "[It {}](index.md)\n",
    "emphasis": "*It **{}***\n",
    "cell": "| a | b |\n|---|---|\n| It | {} |\n",
    "say": "```moves x\nmoves: R\nsay: It {}.\n```\n",
    "say of a derivation": "```derivation\nnames: x\nsay: It {}.\nsteps:\n- turn: R\n```\n",
    "say of a step": "```derivation d\nsteps:\n- turn: R\n  say: It {}.\n```\n",
    "say of a position": "```position p\npieces: flips UF and UB\nsay: It {}.\n```\n",
    "example": "````example\nIt {}.\n````\n",
    "handout": "---\nkind: handout\n---\nIt {}.\n",
}


def claims(guide) -> int:
    return sum(stated.claims for stated in guide.stated.values())


@pytest.mark.parametrize("place", PLACES)
def test_a_claim_is_checked_wherever_prose_stands(guide_at, place: str) -> None:
    page = PLACES[place]
    true = guide_at(edges=LIFT, other=page.replace("{}", "`flips UF`{.claim of=lift-edge}"))
    assert true.problems == ()
    assert claims(true) == 1
    false = guide_at(edges=LIFT, other=page.replace("{}", "`flips UR`{.claim of=lift-edge}"))
    (problem,) = false.problems
    assert problem.message == "this claim is false: UR stays home"
    assert problem.passage.source.text.count("flips UR") == 1
    assert problem.passage.text == "flips UR"
    assert claims(false) == 0


def test_a_claim_that_names_no_sequence_is_about_the_moves_last_before_it(guide_at) -> None:
    first, second = "`R`{.moves} has `order 4`{.claim}", "`R U R' U'`{.moves} has `order 6`{.claim}"
    guide = guide_at(index=f"{first}, {second} and `length 4 OBTM`{{.claim}}.\n")
    assert guide.problems == ()
    assert [stated.about for stated in guide.stated.values()] == ["R", "R U R' U'", "R U R' U'"]


def test_moves_of_another_paragraph_are_not_meant_but_those_of_a_row_are(headlines) -> None:
    row = "| a | b |\n|---|---|\n| `R`{.moves} | `order 4`{.claim} |\n"
    assert headlines(index=row) == []
    told = "nothing stands here that this claim could be about"
    assert headlines(index="`R`{.moves}\n\n`order 4`{.claim}\n") == [f"content/index.md:3:2: {told}"]
    assert headlines(index=f"{row}| c | `order 4`{{.claim}} |\n") == [f"content/index.md:4:8: {told}"]


def test_several_claims_are_parted_by_semicolons_and_all_are_counted(guide_at) -> None:
    text = "`flips UF; keeps U except UF; length 9 OBTM`{.claim of=lift-edge}"
    guide = guide_at(index=f"{LIFT}It {text}.\n")
    assert guide.problems == ()
    assert claims(guide) == 3
    assert guide.turned.claims == 3


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("`flips UR`{.claim of=lift-edge}", "8:2: this claim is false: UR stays home"),
        ("`flips UF; flips UR`{.claim of=lift-edge}", "8:12: this claim is false: UR stays home"),
        ("`turns UF`{.claim of=lift-edge}", "8:2: expected a claim; found “turns”"),
        ("`;`{.claim of=lift-edge}", "8:2: nothing stands before this “;”"),
        ("`flips UF;; order 6`{.claim of=lift-edge}", "8:11: nothing stands before this “;”"),
        ("`flips UF; flips UF`{.claim of=lift-edge}", "8:12: “flips UF” stands here twice"),
        ("`flips UF`{.claim of=left-edge}", "8:22: no sequence is named left-edge"),
        ("`flips UF`{.claim}", "8:2: nothing stands here that this claim could be about"),
        ("`same as @no`{.claim of=lift-edge}", "8:10: no sequence is named no"),
        (
            "`R Q`{.moves} `order 4`{.claim}",
            "8:4: expected a turn, a group, a bracket or a reference; found “Q”",
        ),
    ],
)
def test_what_does_not_hold_is_told_where_it_stands(problems_of, text: str, told: str) -> None:
    (problem,) = problems_of(index=f"{LIFT}Here\nand there\n\n{text}\n")
    assert problem.headline().startswith(f"content/index.md:{told}")
    assert "^" in str(problem)
    assert problem.hint


def test_the_sequence_meant_by_a_slip_is_told(problems_of) -> None:
    (problem,) = problems_of(index=f"{LIFT}`flips UF`{{.claim of=left-edge}}\n")
    assert problem.hint == "is it lift-edge?"


def test_a_claim_about_a_block_that_has_a_problem_of_its_own_is_no_second_problem(headlines) -> None:
    broken = LIFT.replace("F2", "F9")
    assert len(headlines(index=f"{broken}`flips UF`{{.claim of=lift-edge}}\n")) == 1


def test_a_claim_is_read_on_the_puzzle_of_what_it_is_about(guide_at) -> None:
    pyramid = f"{FRONT}```moves three\nmoves: [L, R']\n```\n"
    text = "`cycles FL > DF > FR`{.claim of=three} on the pyramid.\n"
    guide = guide_at(pyramid=pyramid, cube=text)
    assert guide.problems == ()
    assert claims(guide) == 1


@pytest.mark.parametrize(
    "mark",
    [
        *("{.claims}", "{.clam}", "{.Claim}", "{. claim}", "{claim}", "{.}", "{}", "{ .claim}", "{.claim }"),
        *("{.claim of=@lift-edge}", '{.claim of="lift-edge"}', "{.claim @lift-edge}", "{.claim lift-edge}"),
        *(
            "{.claim of=}",
            "{.claim of=lift-edge of=lift-edge}",
            "{.claim for=lift-edge}",
            "{#claim}",
            "{.moves of=x}",
        ),
        *("{.claim}{.claim of=lift-edge}", "{.claim .moves}", "{.claim of=Lift}", "{.plain of=lift-edge}"),
    ],
)
def test_a_mark_that_is_written_otherwise_is_refused(headlines, mark: str) -> None:
    (told,) = headlines(index=f"{LIFT}It `flips UF`{mark} now.\n")
    assert told == f"content/index.md:5:14: {mark} says nothing of the code before it"


@pytest.mark.parametrize(
    ("mark", "meant"),
    [
        ("{.clam}", "{.claim}"),
        ("{. moves}", "{.moves}"),
        ("{.claim of=@lift-edge}", "{.claim of=lift-edge}"),
        ('{of="lift-edge"}', "{.claim of=lift-edge}"),
    ],
)
def test_the_mark_that_seems_to_be_meant_is_told(problems_of, mark: str, meant: str) -> None:
    (problem,) = problems_of(index=f"{LIFT}It `flips UF`{mark} now.\n")
    assert problem.hint == f"is it {meant}?"


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("gap", [" ", "  ", "\n", " \n"])
@pytest.mark.parametrize("mark", ["{{.{}}}", "{{. {}}}", "{{.{}", "{{{}}}"])
def test_a_mark_parted_from_its_code_does_not_leave_it_unchecked(
    problems_of, kind: str, gap: str, mark: str
) -> None:
    (problem,) = problems_of(index=f"It `flips UF`{gap}{mark.format(kind)} now.\n")
    assert problem.message.endswith(" stands behind no code")
    assert problem.hint.startswith(f"write `…`{{.{kind}}}")


@pytest.mark.parametrize(
    "text", ["*flips UF*{.claim}", "“flips UF”{.claim of=lift-edge}", "{.moves}", "[R U]{.moves}"]
)
def test_a_mark_behind_what_is_no_code_is_refused(problems_of, text: str) -> None:
    (problem,) = problems_of(index=f"{LIFT}It is so: {text}\n")
    assert problem.message.endswith(" stands behind no code")
    assert (problem.passage.line, problem.passage.text[:2]) == (5, "{.")


@pytest.mark.parametrize(
    "text",
    [
        r"Write \{.claim} behind it, or `R`{.moves} and \{.moves} again.",
        "Write `{.claim}` behind it.",
        "As `x`, {see there}; the set {a, b}; `y` {note}.",
    ],
)
def test_braces_that_are_only_shown_are_left_alone(headlines, text: str) -> None:
    assert headlines(index=f"{text}\n") == []


def test_what_is_shown_as_written_is_not_read(guide_at) -> None:
    guide = guide_at(index="`R Q`{.plain}, `R U`{.plain} and `flips UF`{.plain}\n")
    assert (guide.problems, guide.notes, claims(guide)) == ((), (), 0)


@pytest.mark.parametrize(
    "text", ["R U", "R2 R2'", "(R U)3", "[R, U]", "[@lift-edge, U]", "@lift-edge U", "x y", "M E S"]
)
def test_code_that_reads_as_moves_and_is_not_marked_is_pointed_out(guide_at, text: str) -> None:
    guide = guide_at(index=f"{LIFT}Turn `{text}` twice.\n")
    assert guide.problems == ()
    (note,) = guide.notes
    assert note.headline() == f"content/index.md:5:7: note: “{text}” reads as moves and is not checked"


@pytest.mark.parametrize(
    "text", ["keeps R", "flips UF; keeps U except UF", "order 6", "does nothing", "same as @lift-edge"]
)
def test_code_that_reads_as_a_claim_and_is_not_marked_is_pointed_out(guide_at, text: str) -> None:
    guide = guide_at(index=f"{LIFT}| one | two |\n|---|---|\n| It | `{text}` |\n")
    assert guide.problems == ()
    (note,) = guide.notes
    assert note.headline() == f"content/index.md:7:9: note: “{text}” reads as a claim and is not checked"
    assert note.hint == "write {.claim} right behind, or {.plain} if it is only to be shown"


@pytest.mark.parametrize(
    "text", ["keeps", "keeps it", "orders 6", "flips", "order", "length of it", "the order 6"]
)
def test_code_that_only_begins_as_a_claim_does_is_left_alone(guide_at, text: str) -> None:
    guide = guide_at(index=f"{LIFT}It `{text}`.\n")
    assert (guide.problems, guide.notes) == ((), ())


@pytest.mark.parametrize(
    "text",
    [
        "U",
        "UF",
        "UFR",
        "M",
        "as",
        "R'",
        "R2",
        "@lift-edge",
        "all",
        "U M Q",
        "{.moves}",
        "FULL",
        "a b",
    ],
)
def test_words_and_names_are_not_taken_for_moves(guide_at, text: str) -> None:
    assert guide_at(index=f"{LIFT}Write `{text}` here.\n").notes == ()


def test_a_claim_in_prose_mentions_the_sequences_that_it_names(guide_at) -> None:
    pages = {
        "edges": LIFT,
        "a": "`flips UF`{.claim of=lift-edge}\n",
        "b": "`R`{.moves} `mirrors @again`{.claim}\n",
    }
    guide = guide_at(c="```moves again\nR'\n```\n", d="# `undoes @again`{.claim of=lift-edge}\n", **pages)
    found = {name: [page.name for page in pages] for name, pages in mentions(guide).items()}
    assert found == {"lift-edge": ["a", "d"], "again": ["b", "d"]}


@pytest.mark.parametrize("mark", ["{#here}", "{of=lift-edge}", "{.claim}", "{.moves .wide}"])
def test_a_mark_behind_a_link_does_not_vanish(headlines, mark: str) -> None:
    (told,) = headlines(index=f"[see](index.md){mark}\n")
    assert told.endswith(" nothing of a link")


def test_a_class_behind_a_link_or_a_picture_is_for_rules_of_ones_own(headlines) -> None:
    picture = {"p.svg": b"<svg xmlns='http://www.w3.org/2000/svg'/>"}
    for text, what in (("[see](index.md){.wide}\n", "link"), ("![A room](p.svg){.wide}\n", "picture")):
        (told,) = headlines(files=picture, index=text)
        assert told.endswith(f"“.wide” says nothing of a {what}")
        assert headlines(files=picture, index=text, config="title: T\ntheme: mine\n") == []
        assert headlines(files=picture, index=text, config="title: T\nhtml: yes\n") == []


@pytest.mark.parametrize(
    ("braces", "message"),
    [
        ("{width=300}", "“width” says nothing of a picture"),
        ("{#room width=300}", "“id” and “width” say nothing of a picture"),
        ("{width=50%}", "{width=50%} is shown as it is written"),
        ("{ width = 50% }", "{ width = 50% } is shown as it is written"),
    ],
)
def test_a_width_that_a_picture_cannot_have_is_told(problems_of, braces: str, message: str) -> None:
    picture = {"p.svg": b"<svg xmlns='http://www.w3.org/2000/svg'/>"}
    (problem,) = problems_of(files=picture, index=f"![A room](p.svg){braces}\n")
    assert problem.message == message
    assert "{.half}" in problem.hint
    assert problems_of(files=picture, index="![A room](p.svg){.half} {x=1}\n") == []


@pytest.mark.parametrize(
    ("braces", "message", "hint"),
    [
        ("{.halff}", "“.halff” says nothing of a picture", "is it {.half}?"),
        ("{.Third}", "“.Third” says nothing of a picture", "is it {.third}?"),
        (
            " {.half}",
            "{.half} says nothing of this text, and is shown as it is written",
            "write {.half} right behind a picture, with no blank between them",
        ),
        ("{half}", "{half} is shown as it is written", "is it {.half}?"),
        ("{.half .third}", "a picture has one width", "take one of these away"),
    ],
)
@pytest.mark.parametrize("config", ["title: T\n", "title: T\ntheme: mine\n"])
def test_a_width_that_is_misspelt_does_not_vanish(
    problems_of, config: str, braces: str, message: str, hint: str
) -> None:
    picture = {"p.svg": b"<svg xmlns='http://www.w3.org/2000/svg'/>"}
    (problem,) = problems_of(files=picture, config=config, index=f"![A room](p.svg){braces}\n")
    assert (problem.message, problem.hint) == (message, hint)


@pytest.mark.parametrize(
    "what", ["![A room](p.svg {})", "[A room](p.svg {})", "See.\n\n![A](p.svg) ![B](p.svg {})"]
)
@pytest.mark.parametrize(
    "signs", ["**best**", "*one*", "`R U`{.moves}", "`flips UF`{.claim}", "[a](index.md)"]
)
def test_signs_in_a_title_are_told_of_where_they_stand(problems_of, what: str, signs: str) -> None:
    picture = {"p.svg": b"<svg xmlns='http://www.w3.org/2000/svg'/>"}
    (problem,) = problems_of(files=picture, index=what.format(f'"The {signs}."') + "\n")
    assert problem.message == "in a title nothing is set off, and this would be seen as it is written"
    assert problem.passage.text == signs.partition("{")[0]
    for sound in ("The best.", "5 * 4 * 3", "\\*one\\*", "It's [R, U]"):
        assert problems_of(files=picture, index=what.format(f'"{sound}"') + "\n") == []


def test_only_code_has_a_mark(guide_at) -> None:
    guide = guide_at(index="Text `R`{.moves}, *`U`{.plain}*.\n")
    marked = [mark_of(token) for token, _ in inline_tokens(guide.pages[0].prose)]
    assert [mark.kind for mark in marked if mark] == ["moves", "plain"]


def test_what_is_wrong_in_two_like_cells_is_marked_in_each(problems_of) -> None:
    row = "| `R U R'`{.Case} | `R U R'`{.Case} |"
    found = problems_of(index=f"| a | b |\n|---|---|\n{row}\n")
    places = [(problem.passage.line, problem.passage.column) for problem in found]
    assert places == [(3, row.index("{") + 1), (3, row.rindex("{") + 1)]


def test_a_claim_beside_a_position_is_about_moves_before_it_and_else_about_nothing(problems_of) -> None:
    position = "```position p\nflips UF and UR\n```\n"
    table = "| a | b | c |\n|---|---|---|\n"
    (problem,) = problems_of(index=f"{table}| x | `@p`{{.case}} | `order 2`{{.claim}} |\n\n{position}")
    assert problem.message == "nothing stands here that this claim could be about"
    assert problem.passage.text == "order 2"
    row = "| `R2`{.moves} | `@p`{.case} | `order 2`{.claim} |"
    assert problems_of(index=f"{table}{row}\n\n{position}") == []


# Blocks that are none ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fence", "place"),
    [
        ("```algorithm tool\nmoves: R U\nclaims: order 5\n```", "algorithm tool"),
        ("```\nR U R' U'\n```", "R U R' U'"),
        ("~~~\n[R, U]\n~~~", "[R, U]"),
        ("- One\n\n  ```\n  R U\n  ```", "R U"),
    ],
)
def test_code_that_reads_as_a_block_is_noted(guide_at, fence: str, place: str) -> None:
    guide = guide_at(index=f"Text.\n\n{fence}\n")
    (note,) = guide.notes
    assert note.message == "note: this reads as a block, and is shown as code that is not checked"
    assert note.passage.text == place


@pytest.mark.parametrize(
    "fence",
    [
        "````\nR U R' U'\n````",
        "```sh\nturnfolio draw R\n```",
        "```yaml\ntitle: T\n```",
        "```\nUF\n```",
        "```text\nclaims:1:1: no\n```",
        "````example\n```moves a\nR U\n```\n````",
        "```moves a\nmoves: R U\n```",
    ],
)
def test_code_to_be_shown_and_blocks_are_not_noted(guide_at, fence: str) -> None:
    assert not guide_at(index=f"Text.\n\n{fence}\n").notes


@pytest.mark.parametrize(
    ("block", "what"),
    [
        ("moves\nmoves: D2\nview: top", "changes"),
        ("position\npieces: flips DF and DB\nview: top", "is not home"),
    ],
)
def test_a_view_that_shows_nothing_of_it_is_noted(guide_at, block: str, what: str) -> None:
    (note,) = guide_at(index=f"```{block}\n```\n").notes
    assert note.message == f"note: this view shows nothing of what {what}"
    assert note.passage.text == "top"
    assert not guide_at(index=f"```{block}, corner with back\n```\n").notes
    assert not guide_at(index=f"```{block}\n```\n".replace("D", "U")).notes


@pytest.mark.parametrize(
    ("before", "sign"),
    [
        ("never ", "never"),
        ("isn't of ", "isn't"),
        ("doesn’t even ", "doesn’t"),
        ("does *not*\nreally ", "not"),
        ("**neither** ", "neither"),
        ("holds, but it cannot have ", "cannot"),
        ("Never had ", "Never"),
        ("fails to have ", "fails to"),
        ("lacks ", "lacks"),
        ("rather than ", "rather than"),
    ],
)
def test_no_sentence_that_denies_what_was_found_true_has_a_tick(problems_of, before: str, sign: str) -> None:
    (problem,) = problems_of(index=f"`R U R' U'`{{.moves}} {before}`order 6`{{.claim}}.\n")
    assert problem.message == f"“{sign}” denies this claim, which was found true"
    assert problem.passage.text == "order 6"


@pytest.mark.parametrize(
    ("language", "text", "sign"),
    [
        ("en", "has {} not at all", "not at all"),
        ("de", "tut nicht {}", "nicht"),
        ("de-AT", "hat keineswegs {}", "keineswegs"),
        ("de", "hat nie die {}", "nie"),
        ("de", "hat {} nicht", "nicht"),
        ("fr", "n'a pas {}", "pas"),
        ("fr", "n’a jamais l'{}", ""),
        ("fr", "n’a jamais {}", "jamais"),
        ("es", "no tiene {}", "no"),
        ("it", "non ha {}", "non"),
        ("nl", "heeft geen {}", "geen"),
        ("pt-BR", "não tem {}", "não"),
        ("sv", "har inte {}", "inte"),
        ("da", "har ikke {}", "ikke"),
        ("nb", "har aldri {}", "aldri"),
        ("pl", "nie ma {}", "nie"),
        ("ru", "не имеет {}", "не"),
        ("de", "hat nicht nur {}", ""),
        ("de", "hat {} nicht nur einmal", ""),
        ("fr", "a, pas à pas, {}", ""),
        ("fr", "a pas à pas {}", ""),
        ("fr", "n'a pas seulement {}", ""),
        ("es", "no solo tiene {}", ""),
        ("en", "in Not {}", "Not"),
        ("de", "is not {}", ""),
    ],
)
def test_a_claim_is_denied_in_the_language_of_the_guide(
    problems_of, language: str, text: str, sign: str
) -> None:
    page = f"`R U R' U'`{{.moves}} {text.format('`order 6`{.claim}')}.\n"
    found = problems_of(config=f"title: T\nlanguage: {language}\n", index=page)
    denied = [f"“{sign}” denies this claim, which was found true"] if sign else []
    assert [problem.message for problem in found] == denied


@pytest.mark.parametrize(
    "before",
    [
        "not only has ",
        "is not hard to do, and has ",
        "(not written here) has ",
        "never does more than that: ",
        "knows knots and has ",
        "does nothing odd. It has ",
        "`not` ",
    ],
)
def test_what_denies_something_else_is_left_alone(headlines, before: str) -> None:
    assert headlines(index=f"`R U R' U'`{{.moves}} {before}`order 6`{{.claim}}.\n") == []


@pytest.mark.parametrize("sign", "✓✔☑✅")
@pytest.mark.parametrize(
    "text", ["It has order 6 {}.", "| a |\n|---|\n| {} |", "```moves a\nmoves: R\nsay: Order 6 {}\n```"]
)
def test_a_tick_that_an_author_writes_is_noted(guide_at, sign: str, text: str) -> None:
    (note,) = guide_at(index=text.format(sign) + "\n").notes
    assert (note.message, note.passage.text) == (
        f"note: {sign} looks like the tick of a claim that was checked",
        sign,
    )


def test_a_name_that_readers_are_shown_with_its_sign_is_noted(guide_at) -> None:
    text = "Do @lift-edge twice, not a@lift-edge, `@lift-edge`{.moves}, \\@other or @nobody.\n"
    (note,) = guide_at(index=LIFT + text).notes
    assert (note.message, note.passage.text) == ("note: @lift-edge is shown as it is written", "@lift-edge")
    assert note.hint == "write `@lift-edge`{.moves} or <sequence:lift-edge>"
