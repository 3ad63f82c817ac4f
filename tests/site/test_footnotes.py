"""Footnotes and definition lists: what stands in them is read, checked and set like any other text."""

from __future__ import annotations

import re

import pytest

NOTED = "# Home\n\nText[^1], and more[^two].\n\n[^1]: A note.\n[^two]: Another{}\n"
TERMS = "A tool `R U R' U'`{{.moves}}\n: what is taken up{}\n"


def in_note(text: str) -> str:
    return f"Text[^n].\n\n[^n]: A note.\n\n    {text}\n"


def in_meaning(text: str) -> str:
    return f"Term\n: {text}\n"


def in_term(text: str) -> str:
    return f"{text}\n: What it is.\n"


AROUND = [in_note, in_meaning, in_term]


@pytest.mark.parametrize("around", AROUND)
def test_claims_in_them_are_checked(headlines, guide_at, around) -> None:
    (told,) = headlines(index=around("`R U`{.moves} `order 5`{.claim}"))
    assert "this claim is false" in told
    guide = guide_at(index=around("`R U`{.moves} `order 105`{.claim}"))
    assert not guide.problems
    assert guide.turned.claims == 1


@pytest.mark.parametrize("around", AROUND)
def test_moves_in_them_are_read_and_played(problems_of, published, around) -> None:
    (problem,) = problems_of(index=around("`R U9x`{.moves}"))
    assert problem.passage.line == around("@").partition("@")[0].count("\n") + 1
    assert problem.passage.text in "U9x"
    page = published({"content/index.md": around("`R U`{.moves}")})["index.html"]
    assert re.search(r'<code class="moves" data-', page)


@pytest.mark.parametrize("around", AROUND)
def test_links_in_them_are_followed_and_readdressed(problems_of, published, around) -> None:
    (problem,) = problems_of(index=around("[x](nowhere.md)"))
    assert problem.passage.text == "nowhere.md"
    page = published({"content/index.md": around("[](more.md)"), "content/more.md": "# More\n"})["index.html"]
    assert '<a href="more.html">More</a>' in page


@pytest.mark.parametrize("around", [in_note, in_meaning])
@pytest.mark.parametrize("sign", ["~~x~~", "[a](b c.md)", "[x][nowhere]", "[^9]", "`R`{.mvoes}"])
def test_signs_in_them_are_looked_at(problems_of, around, sign) -> None:
    (problem,) = problems_of(index=around(sign))
    assert problem.passage.line == around("@").partition("@")[0].count("\n") + 1


@pytest.mark.parametrize("begin", ["[^n]: ", ": "])
def test_blocks_in_them_are_read_where_they_stand(guide_at, begin) -> None:
    blanks = " " * (4 if begin[0] == "[" else 2)
    block = f"```moves lift\n{blanks}moves: R U\n{blanks}claims: order 105\n{blanks}```\n"
    before = "Text[^n].\n\n" if begin[0] == "[" else "Term\n"
    assert "lift" in guide_at(index=f"{before}{begin}{block}").sequences
    (problem,) = guide_at(index=f"{before}{begin}{block}".replace("105", "106")).problems
    assert (problem.passage.text, problem.passage.source.name) == ("order 106", "content/index.md")
    assert problem.passage.line == before.count("\n") + 3
    assert problem.passage.column == len(blanks) + len("claims: ") + 1


def test_a_claim_about_a_term_is_one_about_its_moves(guide_at) -> None:
    guide = guide_at(index="A tool `R U`{.moves}\n: has `order 105`{.claim}\n: and `length 2 OBTM`{.claim}\n")
    assert not guide.problems
    assert guide.turned.claims == 2


def test_footnotes_stand_at_the_end_with_ways_there_and_back(published) -> None:
    written = "# Home\n\nText[^b], more[^a] and[^b].\n\n[^a]: One.\n[^b]: Two.\n"
    text = published({"content/index.md": written})["index.html"]
    (section,) = re.findall(r'<section class="footnotes".*?</section>', text, re.DOTALL)
    assert re.findall(r'<li id="footnote-(\d)"><p>(\w+)', section) == [("1", "Two"), ("2", "One")]
    ways = re.findall(r'href="#(footnote-[\w-]+)"', text)
    assert ways == [
        *("footnote-1", "footnote-2", "footnote-1"),
        *("footnote-1-at", "footnote-1-at-2", "footnote-2-at"),
    ]
    assert {way for way in ways if f' id="{way}"' not in text} == set()


def test_no_two_links_back_are_called_alike(published) -> None:
    text = "Text[^b], more[^a] and[^b].\n\n[^a]: One.\n[^b]: Two.\n"
    section = published({"content/index.md": text})["index.html"].partition("doc-endnotes")[2]
    names = re.findall(r'aria-label="(Back [^"]+)"', section)
    assert len({*names}) == 3


SHOWN = "````example\nText[^1].\n\n[^1]: A note.\n````\n"


def test_each_place_on_a_page_is_called_otherwise(published) -> None:
    """Examples have footnotes of their own, and headings are called as they like."""
    text = f"# Home\n\n## Footnote 1\n\nText[^1].\n\n{SHOWN}\n{SHOWN}\n[^1]: Mine.\n"
    ids = re.findall(r' id="([^"]+)"', published({"content/index.md": text})["index.html"])
    assert len([each for each in ids if each.startswith("footnote")]) == 7
    assert sorted(ids) == sorted({*ids})


def test_an_id_in_html_must_not_be_that_of_a_footnote(headlines) -> None:
    text = 'Text[^1].\n\n<b id="footnote-1">x</b>\n\n[^1]: A note.\n'
    (told,) = headlines(config="title: T\nhtml: yes\n", index=text)
    assert told.endswith("#footnote-1 stands on this page already")


@pytest.mark.parametrize(
    ("text", "place", "says"),
    [
        ("Text.\n\n[^1]: A note\n    goes on.\n", "[^1]: A note", "nothing refers to this footnote"),
        ("Text.\n\n[^1]: A note[^1].\n", "[^1]: A note[^1].", "nothing refers to this footnote"),
        ("T[^3].\n\n[^3]: On[^3].\n\n[^1]: A note.\n", "[^1]: A note.", "nothing refers to this footnote"),
        ("Text[^1].\n", "[^1]", "no footnote is called so"),
        ("Text^[a note].\n", "^[a note]", "no footnote is called so"),
        ("A[^1].\n\n[^1]: B.\n\n[^1]: C.\n", "[^1]: C.", "called so already"),
        ("A[^1][^2].\n\n[^1]: B.\n\n    [^2]: C.\n", "[^2]: C.", "stands within another one"),
        ("A[^1].\n\n[^1]: B.\n\n  more\n", "more", "not within the footnote"),
        ("A[^1].\n\n[^1]: B.\n\n  ```moves\n  R U\n  ```\n", "```moves", "not within the footnote"),
        ("A[^1].\n\n[^1]: B.\n  ```moves\n  R U\n  ```\n", "```moves", "not within the footnote"),
        (
            "A[^1].\n\n[^1]: B.\n\n    ```moves\n    R U\n    ```\n\n  more\n",
            "more",
            "not within the footnote",
        ),
        ("A[^1].\n\n[^1]: B.\n\n    - C.\n\n  more\n", "more", "not within the footnote"),
        ("A[^1].\n\n[^1]:\n", "[^1]:", "says nothing"),
        ("A[^a b].\n\n[^a b]: x.md\n", "[^a b]: x.md", "called by one word"),
        ("A.\n\n[^a b]: x.md\n", "[^a b]: x.md", "called by one word"),
        ("[A[^1]](x.md).\n\n[^1]: B.\n", "[A[^1]](x.md)", "no footnote"),
        ("[A [](x.md)](x.svg)\n", "[A [](x.md)](x.svg)", "a link holds no other"),
        ("![A[^1]](x.svg).\n\n[^1]: B.\n", "x.svg", "a picture's description"),
        ("# A[^1]\n\nText[^1].\n\n[^1]: B.\n", "[^1]", "the title of a page"),
        ("Text.\n\n````example\nText.\n\n[^1]: A note.\n````\n", "[^1]: A note.", "nothing refers"),
        ("Term\n~ What it is.\n", "~", "begins with a colon"),
    ],
)
def test_what_would_be_lost_is_told_of_where_it_stands(guide_at, text, place, says) -> None:
    guide = guide_at(index=text, x="Text.\n", files={"x.svg": "<svg/>"})
    (problem,) = guide.problems
    assert says in problem.message
    assert problem.passage.text == place
    assert problem.hint


def test_what_a_block_says_takes_no_footnote_of_its_page(problems_of) -> None:
    text = "Text[^1].\n\n```moves q\nmoves: R\nsay: So[^1].\n```\n\n[^1]: A note.\n"
    (problem,) = problems_of(index=text)
    assert (problem.passage.line, problem.passage.text) == (5, "[^1]")


def test_terms_and_what_they_are_make_a_list(published) -> None:
    text = "Guard\n: what is kept\n\nAside\n: what is put away\n: and comes back\n"
    page = published({"content/index.md": text})["index.html"]
    assert re.findall(r"<(d[tdl])[ >]", page) == ["dl", "dt", "dd", "dt", "dd", "dd"]


@pytest.mark.parametrize("text", ["Time: 12:30", "A\n\\: B", "~ 5 turns", "10 ~ 20", "A text\n\n\\~ 5 turns"])
def test_other_colons_make_none(guide_at, text) -> None:
    guide = guide_at(index=f"{text}\n")
    assert (guide.problems, guide.notes) == ((), ())
    assert all(token.type != "dl_open" for token in guide.pages[0].prose.tokens)


def test_footnotes_that_refer_to_each_other_alone_are_told(problems_of) -> None:
    found = problems_of(
        index="Text[^c].\n\n[^a]: See[^b].\n\n[^b]: See[^a].\n\n[^c]: See[^d].\n\n[^d]: It.\n"
    )
    assert [problem.passage.text for problem in found] == ["[^a]: See[^b].", "[^b]: See[^a]."]
    assert {problem.message for problem in found} == {"nothing refers to this footnote, and it is not shown"}
