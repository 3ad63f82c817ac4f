"""Published pages: every link arrives, every page is well formed and needs no network."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import PurePosixPath
from urllib.parse import quote, unquote, urlsplit

import pytest
from followed_links import followed, ids
from read_html import Document
from sample_guide import guide_of

from sitegen.problems import Problems
from sitegen.site.publish import publish

PAGES = [
    "effects.html",
    "isolating.html",
    "index.html",
    "method/index.html",
    "method/more.html",
    "other.html",
    "sequences/lift-edge.html",
    "sequences/slice.html",
    "sequences/two-flips.html",
]


def test_every_page_sequence_and_file_is_published(site) -> None:
    files = {path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file()}
    assert {*PAGES, "notes.txt", "square.png", "files/folio.css", "files/figures.css"} <= files
    assert not any(name.endswith((".md", ".yaml")) for name in files)
    assert (site / "notes.txt").read_text() == "Notes.\n"


NAMELESS = {
    "moves": "R",
    "position": "flips UF and UR",
    "derivation": "steps:\n- turn: R",
    "find": "claims: order 4\nfaces: R\nlongest: 1",
    "worked example": "seed: 1",
    "practice": "from: @lift\ncount: 1\nmirror: yes\nlead-in: 1 turn",
}
"""Blocks of the kinds that can do without a name."""
NAMED = (
    "```moves lift\nF D' U L2 U2 D2 R U\n```\n\n"
    "```method way\ncount: 1\nstages:\n- stage: A\n  goal: UF placed\n  using: any turns up to 2\n```\n\n"
)


def test_every_link_of_every_page_arrives_at_a_file_and_an_anchor(site) -> None:
    assert followed(site) > 100  # 8 pages with at least a head, a contents list and a way back each


DERIVED = "```derivation {}\nnames: {}\nsteps:\n- turn: R U\n```\n\n"


@pytest.mark.parametrize(
    "text",
    [
        DERIVED.format("", "lift") + "[a](#derivation-lift) <sequence:lift>\n",
        DERIVED.format("how", "lift") + "[a](#derivation-how) <sequence:lift>\n",
        "## Derivation lift\n\n" + DERIVED.format("", "lift"),
        DERIVED.format("lift", "lift") + "```moves\n@lift\n```\n",
        NAMED + "".join(f"```{kind}\n{body}\n```\n\n" * 2 for kind, body in NAMELESS.items()),
    ],
)
def test_links_lead_to_blocks_whatever_names_they_have(published, tmp_path, text: str) -> None:
    published({"content/index.md": text})
    assert followed(tmp_path / "output")


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_well_formed(pages, name: str) -> None:
    page = pages[name]
    assert page.faults == []
    assert page.doctype.lower() == "doctype html"
    assert page.root.all("html")[0].attributes["lang"] == "en"
    assert len(page.root.all("h1")) == 1
    assert len(page.root.all("main")) == 1
    assert len([t for t in page.root.all("title") if not t.inside("svg")]) == 1
    assert all("alt" in image.attributes for image in page.root.all("img"))
    assert len(ids(page)) == len(set(ids(page)))
    known = set(ids(page))
    for element in page.root.walk():
        for label in ("aria-labelledby", "aria-describedby", "aria-controls", "for"):
            assert set(element.attributes.get(label, "").split()) <= known


@pytest.mark.parametrize("name", PAGES)
def test_headings_go_down_one_level_at_a_time(pages, name: str) -> None:
    levels = [int(e.tag[1]) for e in pages[name].root.walk() if re.fullmatch("h[1-6]", e.tag)]
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


@pytest.mark.parametrize("name", PAGES)
def test_every_figure_says_in_words_what_it_shows(pages, name: str) -> None:
    for svg in pages[name].root.all("svg"):
        assert svg.is_silent or svg.all("title")[0].text


def test_no_words_between_sequences_are_heard_as_moves(published) -> None:
    way = (
        "```moves one\nR\n```\n\n```moves two\nU\n```\n\n```method way\ncount: 1\nopen: yes\nstages:\n"
        "- stage: A\n  goal: UF placed\n  using: @one and @two'\n```\n"
    )
    html = published({"content/way.md": way})["methods/way.html"]
    assert ">One</a>" in html
    assert "small a n d" not in html


def test_in_a_text_a_sequence_alone_is_called_by_its_title_and_within_moves_by_its_name(published) -> None:
    text = "`@lift`{.moves}, `@lift'`{.moves}, `R @lift`{.moves}, `[@lift, U]`{.moves}\n\n"
    html = published({"content/index.md": f"{text}```moves lift\ntitle: Lift an edge\nmoves: F E F2\n```\n"})[
        "index.html"
    ]
    said = [
        re.sub(r"<span class=\"heard\">.*?</span>|<[^>]*>", "", code)
        for code in re.findall("<code.*?</code>", html)
    ]
    assert said[:4] == ["Lift an edge", "Lift an edge'", "R lift", "[lift, U]"]


def test_what_is_written_behind_a_question_mark_stays(published) -> None:
    text = "[a](other.md?print=1#there), [b](notes.txt?v=2) and [c](?x#here)\n\n## Here\n"
    html = published(
        {"content/index.md": text, "content/other.md": "# O\n\n## There\n", "content/notes.txt": ""}
    )
    leads = re.findall(r'href="([^"]*\?[^"]*)"', html["index.html"])
    assert leads == ["other.html?print=1#there", "notes.txt?v=2", "?x#here"]


def test_what_a_policy_names_may_stand_in_a_caption(published) -> None:
    text = "```position\nmoves: R\ncaption: And 'sha256-' here.\n```\n"
    assert "And 'sha256-' here." in published({"content/index.md": text})["index.html"].replace("&#39;", "'")


@pytest.mark.parametrize("name", PAGES)
def test_a_place_for_the_switch_of_letters_is_where_figures_are(pages, name: str) -> None:
    root = pages[name].root
    assert len(root.all("span", class_="letters-switch")) == bool(root.all("svg", class_="puzzle"))


def test_there_are_pages_with_figures_and_without(pages) -> None:
    assert {bool(pages[name].root.all("svg", class_="puzzle")) for name in PAGES} == {True, False}


def test_nothing_is_fetched_from_anywhere_else(site) -> None:
    for path in site.rglob("*"):
        if path.suffix in (".html", ".css", ".js"):
            text = path.read_text(encoding="utf-8").replace("http://www.w3.org/2000/svg", "")
            assert not re.search(
                r"(?:src|href)=[\"']?(?:https?:)?//|url\(\s*[\"']?(?:https?:)?//|@import", text
            ), path
            assert not re.search(r"\b(?:fetch|XMLHttpRequest|WebSocket|EventSource|sendBeacon)\b", text), path


def test_a_page_leads_to_the_one_before_and_after_in_reading_order(pages) -> None:
    way = ["index.html", "method/index.html", "method/more.html", "other.html"]
    for name, following in pairwise(way):
        (forward,) = pages[name].root.all("a", rel="next")
        (back,) = pages[following].root.all("a", rel="prev")
        assert (PurePosixPath(name).parent / forward.attributes["href"]).name == PurePosixPath(following).name
        assert (PurePosixPath(following).parent / back.attributes["href"]).name == PurePosixPath(name).name


def test_the_address_makes_a_canonical_link_and_is_otherwise_not_needed(published) -> None:
    texts = published(
        {"content/guide.yaml": "title: T\naddress: https://example.org/guide\n", "content/a/b.md": "Text.\n"}
    )
    page = Document.read(texts["a/b.html"])
    (link,) = page.root.all("link", rel="canonical")
    assert link.attributes["href"] == "https://example.org/guide/a/b.html"
    assert "example.org" not in published({"content/guide.yaml": "title: T\n"})["a/b.html"]


# Sequences ------------------------------------------------------------------------------------------------


def cells(pages, title: str) -> dict[str, str]:
    """The row of the effect table for a sequence, by column."""
    (table,) = pages["effects.html"].root.all("table")
    heads = [head.text for head in table.all("thead")[0].all("th")]
    for row in table.all("tbody")[0].all("tr"):
        texts = [child.text for child in row.children if not isinstance(child, str)]
        if texts[0] == title:
            return dict(zip(heads, texts, strict=True))
    raise AssertionError(f"no row for {title}")


def test_the_effect_table_has_a_row_for_each_sequence(pages) -> None:
    (table,) = pages["effects.html"].root.all("table")
    titles = [row.all("th")[0].text for row in table.all("tbody")[0].all("tr")]
    assert titles == ["Lift the front edge", "Two flips", "The middle layer"]


def test_a_row_says_what_its_sequence_does(pages) -> None:
    # By REFERENCES, common practice, two edges of U are flipped and all else kept; a flip is undone by the
    # same again, so order 2. [A, U] is A U A' U': 8 + 1 + 8 + 1 turns, L2 U2 D2 being half turns: 11 and 1.
    row = cells(pages, "Two flips")
    assert row["Moves"] == "[lift edge, U]"
    assert (row["Flips"], row["Twists"], row["Cycles and swaps"]) == ("UF, UR", "", "")
    assert [row[metric] for metric in ("Turns", "QTM", "STM", "ETM")] == ["18", "24", "18", "18"]
    assert (row["Order"], row["Parity"]) == ("2", "even")
    assert set(row["Keeps"].split(", ")) == {"D", "B", "L", "E", "corners", "centres"}
    assert row["Effect"] == "flips UF, UR"
    assert row["Page"] == "The method"


def test_a_row_of_a_slice_is_as_turned(pages) -> None:
    # By hand: M takes four edges and four centres round, and leaves L, R and the corners alone.
    row = cells(pages, "The middle layer")
    assert [row[metric] for metric in ("Turns", "QTM", "STM", "ETM")] == ["2", "2", "1", "1"]
    assert row["Order"] == "4"
    assert set(row["Keeps"].split(", ")) == {"L", "R", "corners"}
    cycles = [set(cycle.split(" > ")) for cycle in row["Cycles and swaps"].split("; ")]
    assert {frozenset("".join(sorted(place)) for place in cycle) for cycle in cycles} == {
        frozenset({"FU", "DF", "BD", "BU"}),
        frozenset({"U", "F", "D", "B"}),
    }


def test_a_sequence_page_has_a_figure_for_each_turn_and_the_end(pages) -> None:
    for name, turns in (("lift-edge", ["F", "D'", "U", "L2", "U2", "D2", "R", "U"]), ("slice", ["M"])):
        (steps,) = pages[f"sequences/{name}.html"].root.all("ol", class_="steps")
        assert all(step.text.endswith(turn) for step, turn in zip(steps.all("li"), turns, strict=False))
        assert [caption.text for caption in steps.all("figcaption")] == [*turns, "at the end"]
        assert len(steps.all("svg")) == len(turns) + 1


def test_a_commutator_is_written_out_turn_by_turn(pages) -> None:
    # By hand: A U A' U', with A' the turns of A backwards, each the other way.
    (steps,) = pages["sequences/two-flips.html"].root.all("ol", class_="steps")
    assert [caption.text for caption in steps.all("figcaption")] == [
        *["F", "D'", "U", "L2", "U2", "D2", "R", "U"],
        "U",
        *["U'", "R'", "D2", "U2", "L2", "U'", "D", "F'"],
        "U'",
        "at the end",
    ]


def test_a_sequence_and_what_uses_it_lead_to_each_other(pages) -> None:
    uses = pages["sequences/two-flips.html"].root.all("code", class_="moves")[0].all("a")
    assert [link.attributes["href"] for link in uses] == ["lift-edge.html"]
    (used,) = pages["sequences/lift-edge.html"].root.all("ul", class_="used")
    found = [link.attributes["href"] for link in used.all("a")]
    assert "two-flips.html" in found
    assert "../method/index.html#sequence-lift-edge" in found


@pytest.mark.parametrize("name", ["lift-edge", "two-flips"])
def test_a_page_that_mentions_a_sequence_is_listed_where_it_is_used_once(pages, name: str) -> None:
    """The first page has one in its inline moves and links to the other."""
    (used,) = pages[f"sequences/{name}.html"].root.all("ul", class_="used")
    assert [link.attributes["href"] for link in used.all("a")].count("../index.html") == 1


def test_a_figure_of_a_block_without_a_name_is_called_by_its_moves(published) -> None:
    texts = published({"content/index.md": "```moves\nR U R' U'\n```\n"})
    figures = Document.read(texts["index.html"]).root.all("svg")
    titles = [title.text for svg in figures for title in svg.all("title")]
    assert titles == ["R, U, R prime, U prime: before", "after"]


def test_a_link_to_a_sequence_takes_its_title(pages) -> None:
    links = pages["index.html"].root.all("a")
    assert ("Two flips", "sequences/two-flips.html") in {(a.text, a.attributes["href"]) for a in links}


def test_inline_moves_lead_to_the_sequences_in_them(pages) -> None:
    hrefs = [
        a.attributes["href"]
        for code in pages["index.html"].root.all("code", class_="moves")
        for a in code.all("a")
    ]
    assert hrefs == ["sequences/lift-edge.html"]


def test_a_block_shows_before_and_after_in_each_view_its_claims_and_what_is_said(pages) -> None:
    (card,) = pages["method/index.html"].root.all("section", id="sequence-lift-edge")
    assert len(card.all("svg")) == 4  # two views, before and after
    assert [item.text for item in card.all("li")] == ["flips UF", "keeps U except UF"]
    assert "goes back" in {e.text for e in card.all("em")}
    assert [a.attributes["href"] for a in card.all("a") if a.text == "the start"] == ["../index.html"]


def test_two_flips_are_told_in_words_under_their_figure(pages) -> None:
    (card,) = pages["method/index.html"].root.all("section", id="sequence-two-flips")
    assert "UF and UR are flipped; everything else is home." in card.text


# What authors may write -----------------------------------------------------------------------------------


def test_html_of_the_author_is_shown_as_text_unless_the_guide_says_yes(published) -> None:
    page = "A <b class='mine'>bold</b> word.\n\n<div id='mine'>block</div>\n"
    off = Document.read(published({"content/index.md": page})["index.html"])
    assert not off.root.all("b")
    assert "<div id='mine'>block</div>" in off.root.text
    on = Document.read(
        published({"content/index.md": page, "content/guide.yaml": "title: T\nhtml: yes\n"})["index.html"]
    )
    assert on.root.all("b", class_="mine")
    assert on.root.all("div", id="mine")


HOSTILE = 'a"><script>alert(1)</script><img src=x onerror=alert(1)>&amp;'


def test_hostile_titles_and_texts_are_shown_not_run(published) -> None:
    quoted = "'" + HOSTILE.replace("'", "''") + "'"
    texts = published(
        {
            "content/guide.yaml": f"title: {quoted}\n",
            "content/index.md": f"---\ntitle: {quoted}\nsummary: {quoted}\n---\n"
            f"## {HOSTILE}\n\n## B\n\n## C\n\n"
            f"```moves evil\ntitle: {HOSTILE}\nmoves: R\ntags: {HOSTILE}\nsay: {HOSTILE}\n```\n",
        }
    )
    for name, text in texts.items():
        if name.endswith(".html"):
            page = Document.read(text)
            assert [script.attributes.get("src", "") for script in page.root.all("script")].count("") == 0, (
                name
            )
            assert page.root.all("img") == [], name
            assert not any(a.startswith("on") for e in page.root.walk() for a in e.attributes), name
            assert HOSTILE in page.root.all("title")[0].text, name
    assert HOSTILE in Document.read(texts["sequences/evil.html"]).root.all("h1")[0].text


@pytest.mark.parametrize(
    "text",
    [
        "[x](javascript:alert(1))",
        "[x](JaVaScRiPt:alert(1))",
        "[x](&#106;avascript:alert(1))",
        "[x](vbscript:alert(1))",
        "[x](data:text/html;base64,PHNjcmlwdD4=)",
        "[x](index.md){href=javascript:alert(1)}",
        '[x](index.md){onclick="alert(1)"}',
        "`R`{onmouseover=alert(1)}",
        '`R U`{.moves onclick="alert(1)"}',
        '![](square.png){onerror="alert(1)"}',
        '![](square.png){src="javascript:alert(1)"}',
        "<javascript:alert(1)>",
    ],
)
def test_no_script_of_a_page_gets_through_while_html_is_off(published, text: str) -> None:
    texts = published({"content/index.md": f"Try {text} here.\n", "content/square.png": b""}, draft=True)
    for element in Document.read(texts["index.html"]).root.all("main")[0].walk():
        assert not any(name.startswith("on") for name in element.attributes)
        for name in ("href", "src"):
            scheme = urlsplit(element.attributes.get(name, "")).scheme
            assert scheme in ("", "http", "https", "mailto")


@pytest.mark.parametrize("heading", ["Main", "Effect", "Sequence lift edge", "A\n\n## A\n\n## A 2"])
def test_an_id_stands_once_whatever_the_headings_say(published, heading: str) -> None:
    texts = published({"content/index.md": f"## {heading}\n\n```moves lift-edge\nR U\n```\n"})
    found = ids(Document.read(texts["index.html"]))
    assert len(found) == len(set(found))


def test_a_page_has_one_first_heading_also_where_its_author_wrote_more(published) -> None:
    texts = published({"content/index.md": "---\ntitle: T\n---\n# One\n\nText.\n\n# Two\n"})
    assert len(Document.read(texts["index.html"]).root.all("h1")) == 1


@pytest.mark.parametrize("name", ["größe", "two words", "a#b", "50%", "what!", "a&b"])
def test_pages_and_files_of_any_name_can_be_linked_to(published, name: str) -> None:
    texts = published(
        {
            f"content/{name}.md": "Text.\n",
            f"content/{name}.txt": "file",
            "content/index.md": f"[page]({quote(name)}.md) [file]({quote(name)}.txt)\n",
        }
    )
    hrefs = {
        a.text: a.attributes["href"] for a in Document.read(texts["index.html"]).root.all("main")[0].all("a")
    }
    for text, ending in (("page", "html"), ("file", "txt")):
        parts = urlsplit(hrefs[text])
        assert (unquote(parts.path), parts.query, parts.fragment) == (f"{name}.{ending}", "", "")


def test_links_in_html_lead_on_from_wherever_it_is_shown(published) -> None:
    html = '<a href="more.md#there">x</a> <img alt="" src="a.png" srcset="a.png, b.png 2x">'
    block = f"```moves x\nmoves: R\nsay: '{html}'\n```\n"
    texts = published(
        {
            "content/guide.yaml": "title: T\nhtml: yes\n",
            "content/part/page.md": f"{html}\n\n<div>{html}</div>\n\n{block}",
            "content/part/more.md": '<p id="there">There.</p>\n',
            "content/part/a.png": b"png",
            "content/part/b.png": b"png",
        }
    )
    for path, up, times in (("part/page.html", "", 3), ("sequences/x.html", "../part/", 1)):
        main = Document.read(texts[path]).root.all("main")[0]
        hrefs = [a.attributes["href"] for a in main.all("a")]
        assert hrefs.count(f"{up}more.html#there") == times
        pictures = [(img.attributes["src"], img.attributes["srcset"]) for img in main.all("img")]
        assert pictures == [(f"{up}a.png", f"{up}a.png, {up}b.png 2x")] * times
    assert {"part/a.png", "part/b.png"} <= texts.keys()


def test_a_draft_marks_what_does_not_hold_and_publishes_the_rest(published) -> None:
    texts = published(
        {
            "content/index.md": "Home.\n\n```moves bad\nmoves: R\nclaims: flips UF\n```\n\n"
            "```moves good\nR U\n```\n"
        },
        draft=True,
    )
    page = Document.read(texts["index.html"])
    (problem,) = page.root.all("section", class_="problem")
    assert "this claim is false: UF stays home" in problem.text
    assert "content/index.md:5:9" in problem.text
    assert page.root.all("section", id="sequence-good")
    assert "sequences/good.html" in texts
    (bad,) = page.root.all("section", id="sequence-bad")
    assert bad.all("svg")  # what the moves do is drawn all the same
    assert not bad.all("ul", class_="claims")  # but nothing is ticked


def test_a_draft_marks_broken_links_and_moves_in_the_text_too(published) -> None:
    page = Document.read(
        published({"content/index.md": "Home [x](nowhere.md) `Q`{.moves}.\n"}, draft=True)["index.html"]
    )
    told = " ".join(section.text for section in page.root.all("section", class_="problem"))
    assert "content/index.md:1:10: there is no page nowhere.md" in told
    assert "content/index.md:1:23: expected a turn" in told


@pytest.mark.parametrize("text", ["---\npuzzle: none\n---\nHome.\n", "---\npuzzle: [\n---\nHome.\n"])
def test_a_draft_of_which_no_page_can_be_read_is_told_of(published, text: str) -> None:
    with pytest.raises(Problems) as told:
        published({"content/index.md": text}, draft=True)
    assert [problem.passage.line for problem in told.value.problems] == [2]


# Settings -------------------------------------------------------------------------------------------------


def test_the_guides_colours_are_those_of_its_figures(published) -> None:
    texts = published(
        {
            "content/guide.yaml": "title: T\n"
            'colours: {U: yellow, D: white, L: red, R: orange, red: "#b02030"}\n',
            "content/index.md": "```moves x\nR R'\n```\n",
        }
    )
    assert "--red:#b02030" in texts["files/figures.css"]
    svg = Document.read(texts["index.html"]).root.all("svg")[0]
    classes = {word for e in svg.walk() for word in e.attributes.get("class", "").split()}
    assert "yellow" in classes  # in the corner view U, F and R are seen, and U is yellow now
    assert "white" not in classes


@pytest.mark.parametrize(("paper", "size"), [("A4", "A4"), ("Letter", "letter")])
def test_paper_is_the_size_that_the_guide_says(published, paper: str, size: str) -> None:
    texts = published({"content/guide.yaml": f"title: T\npaper: {paper}\n"})
    assert re.search(rf"@page\s*{{\s*size:\s*{size}\b", texts["index.html"])


def test_a_guide_without_sequences_says_so_in_its_table(published) -> None:
    page = Document.read(published({})["effects.html"])
    assert page.root.all("table") == []
    assert page.faults == []


def test_publishing_counts_the_files_it_wrote(tmp_path) -> None:
    count = publish(guide_of(tmp_path)).files
    written = [p for p in (tmp_path / "output").rglob("*") if p.is_file() and not p.name.startswith(".")]
    assert count == len(written)


def test_a_link_written_as_its_address_alone_is_the_link_without_a_text(published) -> None:
    """An autolink (CommonMark 0.31.2, 6.5) takes the title of what it leads to, in tables too."""
    text = (
        "# A\n\nSee {0}, *{0}*.\n\n| {0} |\n|---|\n| {0} |\n\n```moves other\nmoves: R\nsay: Not {0}.\n```\n"
    )
    lift = "```moves lift\ntitle: Lift & <turn>\nmoves: F E\n```\n"
    pages = [
        published({"content/a.md": text.format(link), "content/b.md": lift})
        for link in ("<sequence:lift>", "[](sequence:lift)")
    ]
    assert pages[0] == pages[1]
    assert pages[0]["a.html"].count('<a href="sequences/lift.html">Lift &amp; &lt;turn&gt;</a>') == 5


def test_an_address_elsewhere_is_shown_as_it_is_written(published) -> None:
    texts = published({"content/a.md": "See <https://example.org/a?b&c> and <mailto:a@example.org>.\n"})
    assert '<a href="https://example.org/a?b&amp;c">https://example.org/a?b&amp;c</a>' in texts["a.html"]
    assert '<a href="mailto:a@example.org">mailto:a@example.org</a>' in texts["a.html"]


def test_a_card_calls_a_sequence_alone_by_its_title(published) -> None:
    lift = "```moves lift\ntitle: Lift an edge\nmoves: R U\n```\n\n"
    position = "```position\nmoves: U' R'\nsolve: @lift\n```\n\n"
    method = (
        "```method way\ncount: 1\nopen: yes\nstages:\n- stage: A\n  goal: UF placed\n  using: @lift\n```\n"
    )
    html = published({"content/index.md": lift + position + method})["index.html"]
    assert html.count('<a class="by-name" href="sequences/lift.html">Lift an edge</a>') == 2
    assert ">lift</a>" not in html
