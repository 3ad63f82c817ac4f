"""What is written into a style sheet and a browser passes over without a word: it is told of instead."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser
from running import run
from sample_guide import write_guide
from sample_rendering import CHROMIUM, needs

from sitegen.problems import Passage, Problem, Problems, Source
from sitegen.site.publish import check
from sitegen.site.sheet_text import addresses_to_nothing, properties_of_nobody, unread
from sitegen.site.theme import shipped

ORDINARY = (Path(__file__).parents[1] / "samples" / "ordinary.css").read_text(encoding="utf-8")
"""Whatever CSS offers (CSS Syntax 3 and the modules that build on it), and nothing wrong."""
FOLIO = (shipped() / "folio/files/folio.css").read_text(encoding="utf-8")
FONTS = [f"files/fonts/{file.name}" for file in (shipped() / "folio/files/fonts").iterdir()]


def sheet_of(text: str) -> Passage:
    return Source("mine.css", text).passage()


def told(problems: Iterable[Problem]) -> list[tuple[str, str, str]]:
    """Of each problem the stretch that is marked, the message and the hint."""
    return [(problem.passage.text, problem.message, problem.hint) for problem in problems]


# What is no CSS -------------------------------------------------------------------------------------------

RULE = "a rule is “selector { … }”, and within it stands “name: value;”"
TAKE = "take it away, or write what it is to close"
UNREAD, NOTHING_OPEN = "no browser reads this", "this closes nothing"
BEHIND, NO_VALUE = "with this no browser reads the rule behind it", "this is no value that a browser reads"
TEXT, ADDRESS = "this text is not closed in its line", "this is no address"
WRONG = {
    "p { color lime }": ("color lime", UNREAD, RULE),
    "p { color lime; margin: 0 }": ("color lime;", UNREAD, RULE),
    "p { margin: 0; // lime\n color: lime; padding: 0 }": ("// lime\n color: lime;", UNREAD, RULE),
    "p { *color: lime }": ("*color: lime", UNREAD, RULE),
    "p { margin: 0 } lime": ("lime", UNREAD, RULE),
    "p { margin: 0 }; q { color: lime }": ("; q { color: lime", BEHIND, "take it away"),
    "// mine\nq { color: lime }": ("// mine", BEHIND, "write a comment as /* … */"),
    "p { margin: 0 } }\nq { color: lime }": ("}", NOTHING_OPEN, TAKE),
    "p ) { color: lime }": (") { color: lime", NOTHING_OPEN, TAKE),
    "p { color: lime\n margin: 0 }": ("color: lime", NO_VALUE, "write ; at the end of each declaration"),
    "p { color: lime !importnat }": ("color: lime !importnat", NO_VALUE, "is it !important?"),
    "p { content: 'lime\n; color: red }": ("'lime", TEXT, "write a quotation mark at its end"),
    "p { background: url(a lime) }": ("url(a lime)", ADDRESS, "write it in quotation marks"),
}


AROUND = ("{}", "{}\n", "@media print {{\n{}\n}}", "p {{ }}\n\n{}", "/* a;b}}{{ */{}\n")
WITHIN = [sheet for sheet in WRONG if not re.search(r"\} ?[;}]", sheet)]
"""Those that are as wrong within another rule, where a semicolon ends a rule and a brace the other."""


@pytest.mark.parametrize(
    ("around", "sheet"),
    [(around, sheet) for around in AROUND for sheet in (WITHIN if "@" in around else WRONG)],
)
def test_what_no_browser_reads_is_a_problem_where_it_stands(around: str, sheet: str) -> None:
    (problem,) = unread(sheet_of(around.format(sheet)))
    place, message, hint = WRONG[sheet]
    found = problem.passage.text
    assert found == place if message != NOTHING_OPEN else found[0] == place[0]
    assert (problem.message, problem.hint) == (message, hint)


@needs(chromium=CHROMIUM)
def test_a_browser_does_not_read_it(browser: Browser) -> None:
    """What is lost of each of these sheets says lime."""
    page = browser.new_page()
    read = """sheet => {
      document.head.innerHTML = "<style></style>"
      document.querySelector("style").textContent = sheet
      return [...document.styleSheets[0].cssRules].map(rule => rule.cssText).join("\\n")
    }"""
    assert "lime" in page.evaluate(read, "p { margin: 0 } q { color: lime; }")
    assert [sheet for sheet in WRONG if "lime" in page.evaluate(read, sheet)] == []
    page.close()


@pytest.mark.parametrize(
    ("sheet", "opened", "hint"),
    [
        ("p { margin: 0 } q { margin: 0", ["{"], "write } where it ends, or where a rule within it does"),
        ("p { margin: 0\nq { margin: 0 }", ["{"], "write } where it ends, or where a rule within it does"),
        ("@media print { p { margin: 0", ["{", "{"], "write } where it ends, or where a rule within it does"),
        ("p { margin: 0 } /* q { margin: 0 }", ["/*"], "write */ where it ends"),
        ("p { margin: 0 /* } q { margin: 0 }", ["/*"], "write */ where it ends"),
        ("p { color: rgb(1, 2, 3; }", ["rgb("], "write ) where it ends"),
        ("@media (width > 2rem { p { margin: 0 } }", ["("], "write ) where it ends"),
        ("p[class { margin: 0 }", ["["], "write ] where it ends"),
    ],
)
def test_what_is_opened_and_never_closed_is_a_problem_where_it_is_opened(
    sheet: str, opened: list[str], hint: str
) -> None:
    message = "this is opened and never closed"
    assert told(unread(sheet_of(sheet))) == [(each, message, hint) for each in opened]


@settings(max_examples=30)
@given(st.integers(0, FOLIO.count("}") - 1), st.sampled_from(["}", "{"]))
def test_no_brace_of_a_sheet_can_be_left_out_unseen(number: int, brace: str) -> None:
    """Each of the shipped one in turn, which is as large as sheets are."""
    at = [place for place, char in enumerate(FOLIO) if char == brace][number]
    assert unread(sheet_of(FOLIO[:at] + FOLIO[at + 1 :]))


@given(st.text(alphabet="ab:;{}()[]'\"/*\\\n\f\0,!@#-. "))
def test_whatever_is_written_is_read_to_its_end(text: str) -> None:
    sheet = sheet_of(text)
    for problem in [
        *unread(sheet),
        *properties_of_nobody([sheet], [text], []),
        *addresses_to_nothing(sheet, "a.css", []),
    ]:
        assert 0 <= problem.passage.start <= problem.passage.end <= len(text)
        assert str(problem)


@pytest.mark.parametrize(
    ("sheet", "late"),
    [
        ('@import "a.css";\n@layer a, b;\n@import url(b.css) screen;', []),
        ('p { margin: 0 }\n@import "a.css";', ['@import "a.css"']),
        ('@layer a { p { margin: 0 } }\n@import "a.css";', ['@import "a.css"']),
        ('@media print { @import "a.css"; }', ['@import "a.css"']),
        ('@import "a.css";\n@font-face { }\n@import "b.css";', ['@import "b.css"']),
    ],
)
def test_a_sheet_that_is_asked_for_behind_a_rule_is_a_problem(sheet: str, late: list[str]) -> None:
    message = "no browser loads a sheet that is asked for here"
    assert told(unread(sheet_of(sheet))) == [(each, message, "write it above all rules") for each in late]


# Names ----------------------------------------------------------------------------------------------------


def names(sheet: str, *others: str) -> list[tuple[str, str, str]]:
    return told(properties_of_nobody([sheet_of(sheet)], others, ["green"]))


def test_a_property_that_is_asked_for_and_given_nowhere_is_a_problem_where_it_is_asked_for() -> None:
    ((place, message, hint),) = names(
        ":root { --ink: red }\np { border: calc(1px * var(--inkk)) var(--ink) }"
    )
    assert place.startswith("var(--inkk)")
    assert (message, hint) == ("no sheet gives --inkk", "is it --ink?")
    ((_, _, hint),) = names("p { color: var(--zzz) }")
    assert hint == "give it, as in :root { --zzz: … }"


def test_a_property_that_is_given_and_nobody_asks_for_is_a_problem_where_it_is_given() -> None:
    assert names(":root { --grean: red }") == [("--grean: red", "nothing asks for --grean", "is it --green?")]
    assert names("p { --zzz: red }")[0][2] == "write var(--zzz) where it is meant, or take it away"


@pytest.mark.parametrize(
    "sheet",
    [
        "p { color: var(--inkk, red) }",
        "p { color: var( --green ) }",
        ":root { --green: red }",
        ":root { --a: 1; --b: calc(var(--a) * 2) } p { z-index: var(--b) }",
        ":root { --a: { b: var(--a) } }",
        "@property --a { inherits: false } p { color: var(--a); transition: --a 1s }",
        "p { --a: 1 } @container style(--a: 1) { q { margin: 0 } }",
        r"p { --\69nk: red; color: var(--ink) }",
        "p { anchor-name: --a; animation: --b 1s }",
        "p { color: VAR(--green) }",
    ],
)
def test_what_is_given_and_asked_for_is_no_problem(sheet: str) -> None:
    assert names(sheet) == []


def test_what_a_script_or_a_template_names_is_known() -> None:
    script = 'element.style.setProperty("--at", 1); getPropertyValue("--ink")'
    assert names("p { left: var(--at); --ink: red }", script) == []
    assert names("p { --ink: red }", '<p style="color: var(--ink)">') == []
    # A template that asks gives nothing.
    assert len(names("p { color: var(--ink) }", '<p style="color: var(--ink)">')) == 1


# Addresses ------------------------------------------------------------------------------------------------

FILES = ["files/mine.css", "files/paper.png", "files/fonts/club.woff2", "files/a b.png", "picture.svg"]


@pytest.mark.parametrize(
    ("written", "there", "hint"),
    [
        ("url(papr.png)", "files/papr.png", "is it files/paper.png?"),
        ("url('papr.png')", "files/papr.png", "is it files/paper.png?"),
        ("image-set('papr.png' 1x, url(paper.png) 2x)", "files/papr.png", "is it files/paper.png?"),
        ("url(files/paper.png)", "files/files/paper.png", "is it files/paper.png?"),
        ("url(../zzz#a)", "zzz", "put it there, or write the way to it from files/mine.css"),
        ("url(../../picture.svg)", "../picture.svg", "is it picture.svg?"),
    ],
)
def test_an_address_at_which_there_is_nothing_is_a_problem(written: str, there: str, hint: str) -> None:
    (problem,) = addresses_to_nothing(sheet_of(f"p {{ background: {written} }}"), "files/mine.css", FILES)
    assert problem.message == f"there is no file {there} on the site"
    assert problem.hint == hint


@pytest.mark.parametrize("asking", ['@import "{}";', "@import '{}' layer(a) print;", "@import url({});"])
def test_a_sheet_that_is_asked_for_and_is_not_there_is_a_problem(asking: str) -> None:
    (problem,) = addresses_to_nothing(sheet_of(asking.format("min.css")), "files/mine.css", FILES)
    assert problem.message == "there is no file files/min.css on the site"
    right = sheet_of(asking.format("mine.css"))
    assert list(addresses_to_nothing(right, "files/mine.css", FILES)) == []


@pytest.mark.parametrize(
    "address",
    [
        *(
            "paper.png",
            "./paper.png",
            "../files/paper.png?a#b",
            "a%20b.png",
            "fonts/club.woff2",
            "../picture.svg",
        ),
        *(
            "#here",
            "",
            "data:image/png;base64,AAAA",
            "https://example.org/a.png",
            "//example.org/a.png",
            "/a.png",
        ),
    ],
)
def test_what_is_on_the_site_or_elsewhere_is_no_problem(address: str) -> None:
    sheet = sheet_of(f'p {{ background: url("{address}") }}')
    assert list(addresses_to_nothing(sheet, "files/mine.css", FILES)) == []


# In a guide -----------------------------------------------------------------------------------------------


def test_ordinary_sheets_are_not_refused() -> None:
    theirs = ["files/base.css", "files/club.woff2", "files/a b.png", "files/sub/c.svg", *FONTS]
    sheets = {"files/mine.css": sheet_of(ORDINARY), "files/folio.css": sheet_of(FOLIO)}
    for path, sheet in sheets.items():
        assert [*map(str, unread(sheet)), *map(str, addresses_to_nothing(sheet, path, theirs))] == []
    script = "--empty --group --über"
    assert list(map(str, properties_of_nobody([*sheets.values()], [script], ["green"]))) == []


GUIDE: Mapping[str, str | bytes] = {
    "content/guide.yaml": "title: T\ntheme: mine\n",
    "content/index.md": "Home.\n",
    "themes/mine/theme.yaml": "based on: folio\n",
    "themes/mine/files/paper.png": b"",
}
MINE, OWN, PART = "themes/mine/files/mine.css", "content/own.css", "themes/mine/files/part.css"


def headlines(folder: Path, files: Mapping[str, str | bytes]) -> list[str]:
    try:
        check(write_guide(folder, {**GUIDE, **files}))
    except Problems as found:
        return [problem.headline() for problem in found.problems]
    return []


@pytest.mark.parametrize("place", [MINE, OWN, PART])
@pytest.mark.parametrize(
    ("sheet", "message"),
    [
        ("p { margin: 0 ", "3: this is opened and never closed"),
        ("p { color: var(--inkk) }", "12: no sheet gives --inkk"),
        ("p { --grean: red }", "5: nothing asks for --grean"),
        ("p { background: url(papr.png) }", "17: there is no file {}papr.png on the site"),
    ],
)
def test_it_is_told_in_every_sheet_of_a_guide(tmp_path: Path, place: str, sheet: str, message: str) -> None:
    loading = {MINE: '@import "part.css";'} if place == PART else {}
    folder = "" if place == OWN else "files/"
    found = headlines(tmp_path, {**loading, place: f"\n{sheet}"})
    assert found == [f"{place}:2:{message.format(folder)}"]


def test_check_says_it_with_what_to_do(tmp_path: Path) -> None:
    write_guide(tmp_path, {**GUIDE, MINE: "p { color: var(--inkk) }"})
    done = run("check", str(tmp_path))
    assert done.exit_code == 1
    assert f"{MINE}:1:12: no sheet gives --inkk" in done.stderr
    assert "hint: is it --ink?" in done.stderr


@pytest.mark.parametrize(
    "files",
    [
        # Of the theme that it is based on, and of figures.
        {MINE: ":root { --ink: #111 } p { color: var(--soft); border-color: var(--green) }"},
        {MINE: "p { background: url(paper.png); color: var(--own) }", OWN: ":root { --own: red }"},
        {OWN: "p { background: url(files/paper.png) } q { background: url(files/figures.css) }"},
        {MINE: "p { left: var(--at) }", "themes/mine/files/mine.js": 'p.style.setProperty("--at", 1)'},
        {OWN: "p { left: var(--at) }", "content/own.html": '<p style="--at: 1">'},
    ],
)
def test_what_another_file_of_the_guide_gives_is_there(tmp_path: Path, files: Mapping[str, str]) -> None:
    assert headlines(tmp_path, files) == []


def test_a_figure_is_drawn_whatever_pages_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """To draw one no page is read."""
    html = {"content/guide.yaml": "title: T\ntheme: mine\nhtml: yes\n", MINE: "p { left: var(--at) }"}
    files = {**GUIDE, **html, "content/index.md": '<p style="--at: 1">Home.</p>\n'}
    assert headlines(tmp_path, files) == []
    monkeypatch.chdir(tmp_path)
    done = run("draw", "R", "-o", "one.svg")
    assert (done.exit_code, done.stderr) == (0, "")
