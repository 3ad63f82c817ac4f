"""HTML in Markdown: let through, it is checked as Markdown is; not let through, that is said once."""

from __future__ import annotations

import string
from html import escape

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitegen.pages.raw_html import Target, ids, readdressed, targets

HTML = "title: T\nhtml: yes\n"
FILES = {"cube.png": b"png", "wide.png": b"png", "club.css": b"p{}"}


@pytest.mark.parametrize(
    ("text", "line", "column", "message"),
    [
        ('<p>See <a href="nowhere.md">there</a>.</p>\n', 1, 17, "there is no page nowhere.md"),
        ('Text.\n\nSee <a\nhref="nowhere.md">there</a>.\n', 4, 7, "there is no page nowhere.md"),
        ("<div>\n<a href=other.md#x>x</a>\n</div>\n", 2, 9, "other.md has no heading #x"),
        ('- one\n- <a href="#nowhere">x</a>\n', 2, 12, "index.md has no heading #nowhere"),
        ('> <div><a href="sequence:none">x</a></div>\n', 1, 17, "no sequence is named none"),
        ('<a href="other.html">x</a>\n', 1, 10, "the guide has no file other.html"),
        ('<img alt="" src="cub.png">\n', 1, 18, "the guide has no file cub.png"),
        (
            '<img alt="" src="cube.png" srcset="cube.png 1x, wde.png 2x">\n',
            1,
            49,
            "the guide has no file wde.png",
        ),
        ('<img alt="" src="https://example.org/x.png">\n', 1, 18, "pages load nothing from elsewhere"),
        ('<img alt="" src="//example.org/x.png">\n', 1, 18, "pages load nothing from elsewhere"),
        ('<iframe src="https://example.org/"></iframe>\n', 1, 14, "pages load nothing from elsewhere"),
        ('<video poster="cub.png"></video>\n', 1, 16, "the guide has no file cub.png"),
        ('<img alt="" src="other.md">\n', 1, 18, "this is a page and no picture"),
        ('<a href="">x</a>\n', 1, 1, "this leads nowhere"),
        ('<a href="http://[x">x</a>\n', 1, 10, "this is not an address"),
        ('<a href="a&amp;b.md">x</a>\n', 1, 10, "there is no page a&b.md"),
        ('<A HREF="nowhere.md">x</A>\n', 1, 10, "there is no page nowhere.md"),
        ("## Words\n\n<p id=words>x</p>\n", 3, 7, "#words stands on this page already"),
        ('<i id="x">x</i> <i id="x">y</i>\n', 1, 24, "#x stands on this page already"),
        ('<p id="main">x</p>\n', 1, 8, "#main stands on this page already"),
    ],
)
def test_what_leads_nowhere_is_told_where_it_stands(
    problems_of, text: str, line: int, column: int, message: str
) -> None:
    (problem,) = problems_of(HTML, files=FILES, index=text, other="# Other\n")
    assert problem.message == message
    assert (problem.passage.line, problem.passage.column) == (line, column)


@pytest.mark.parametrize(
    "text",
    [
        '<p id="here">x</p>\n\n[x](#here) <a href="#here">x</a>\n',
        '[x](other.md#there) <a href="other.md#there">x</a> <a href="other.md#two">x</a>\n',
        '<a href="https://example.org/" rel="author">x</a> <a href="mailto:a@example.org">x</a>\n',
        '<img alt="" src="cube.png" srcset="cube.png, wide.png 2x"> <a href="cube.png">x</a>\n',
        '<img alt="" src="data:image/png;base64,AAAA">\n',
        '<!-- <a href="nowhere.md"> -->\n',
        '<script>\nwrite("<a href=nowhere.md>")\n</script>\n',
        '`<a href="nowhere.md">`\n\n```\n<a href="nowhere.md">\n```\n',
        '<svg viewBox="0 0 9 9"><g id="g"><path d="M0 0"/></g><use href="#g"/></svg>\n',
        "```moves\nmoves: R\nsay: <b id=said>see</b> [x](#said)\n```\n",
    ],
)
def test_what_leads_somewhere_holds(headlines, text: str) -> None:
    other = '# Other\n\n<a name="two"></a><i id="there">x</i>\n'
    assert headlines(HTML, files=FILES, index=text, other=other) == []


def test_links_in_what_a_block_says_are_checked(problems_of) -> None:
    block = "```moves x\nmoves: R\nsay: see <a href=nowhere.md>there</a>\n```\n"
    (problem,) = problems_of(HTML, index=block)
    assert problem.message == "there is no page nowhere.md"
    assert (problem.passage.line, problem.passage.column) == (3, 18)


# Not let through ------------------------------------------------------------------------------------------


def test_html_that_is_shown_as_text_is_noted_once_with_the_first_place_and_the_number(guide_at) -> None:
    block = "```moves x\nmoves: R\nsay: <b>so</b>\n```\n"
    guide = guide_at(index="Text.\n\nWith <b>bold</b>.\n\n<div>\nmore\n</div>\n", other=block)
    assert guide.problems == ()
    (note,) = guide.notes
    assert note.headline() == (
        "content/index.md:3:6: note: HTML is shown as it is written, here and in 4 more places"
    )
    assert "html: yes" in note.hint


@pytest.mark.parametrize("text", ["# <b>T</b>\n\nText.\n", "x <br> y\n", "<!-- c -->\n"])
def test_one_piece_is_enough(guide_at, text: str) -> None:
    (note,) = guide_at(index=text).notes
    assert note.passage.line == 1


@pytest.mark.parametrize(
    "text", ["1 < 2 > 0\n", "`<b>`\n", "\\<b>\n", "<https://example.org>\n", "    <div>\n", "```\n<p>\n```\n"]
)
def test_what_is_no_html_is_not_noted(guide_at, text: str) -> None:
    assert guide_at(index=text).notes == ()


def test_where_it_is_let_through_there_is_nothing_to_note(guide_at) -> None:
    assert guide_at(HTML, index="<b>x</b>\n").notes == ()


# Tags -----------------------------------------------------------------------------------------------------


def test_pictures_of_a_set_are_read_as_the_standard_says() -> None:
    # HTML standard, 4.8.4.2.1: commas part the pictures, but may stand in an address.
    html = '<img srcset="a.png, b,c.png 2x,\n d.png 300w 200h , data:image/png;base64,AA== 3x">'
    urls = ["a.png", "b,c.png", "d.png", "data:image/png;base64,AA=="]
    assert list(targets(html)) == [Target(url, True, True) for url in urls]
    assert readdressed(html, lambda url, loaded: f"up/{url}") == (
        '<img srcset="up/a.png, up/b,c.png 2x, up/d.png 300w 200h, up/data:image/png;base64,AA== 3x">'
    )


@given(st.text(alphabet=string.printable, max_size=80))
def test_any_text_is_read_and_stays_as_it_is_where_nothing_leads_elsewhere(text: str) -> None:
    list(targets(text))
    list(ids(text))
    assert readdressed(text, lambda url, loaded: url).count("<") >= 0
    plain = text.replace("=", "")
    assert readdressed(plain, lambda url, loaded: f"up/{url}") == plain


@given(
    st.sampled_from(["a", "img", "p", "source"]),
    st.lists(
        st.tuples(st.sampled_from(["href", "src", "class"]), st.text(alphabet="ab.&;\"'<> /=", max_size=8)),
        max_size=2,
        unique_by=lambda pair: pair[0],
    ),
)
def test_where_a_tag_is_written_again_it_says_the_same(tag: str, attributes: list[tuple[str, str]]) -> None:
    said = "".join(f' {name}="{escape(value)}"' for name, value in attributes)
    html = f"<{tag}{said}>"
    again = readdressed(html, lambda url, loaded: f"{url}#")
    assert [target.url for target in targets(again)] == [
        f"{value.strip()}#"
        for name, value in attributes
        if (tag, name) in (("a", "href"), ("img", "src"), ("source", "src"))
    ]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("<template>\n\nText.\n", ["nothing ends this <template>"]),
        ("Text <b>bold.\n\nMore.\n", ["nothing ends this <b>"]),
        ("<details>\n<summary>A</summary>\n\nText.\n", ["nothing ends this <details>"]),
        ("<div class='a'/>\n\nText.\n", ["nothing ends this <div class='a'/>"]),
        ("Text.\n\n</main>\n", ["</main> ends nothing"]),
        ("<b>a <i>b</b> c</i>\n", ["nothing ends this <i>", "</i> ends nothing"]),
        ("<div>\n\n## A\n\n</div>\n\nText <br> <img src=x.svg alt=''>.\n", []),
        ("<ul>\n<li>One\n<li>Two\n</ul>\n<table><tr><td>a</table>\n", []),
        ("<svg viewBox='0 0 9 9'><path d='M0 0'/><circle r=1></svg>\n", []),
        ("> <div>\n>\n> Text.\n>\n> </div>\n", []),
        ("Code `<div>` and \\<div>.\n\n```text\n<div>\n```\n", []),
    ],
)
def test_what_does_not_end_is_told_where_html_is_let_through(problems_of, text: str, told: list[str]) -> None:
    files = {"x.svg": b"<svg xmlns='http://www.w3.org/2000/svg'/>"}
    found = problems_of("title: T\nhtml: yes\n", files=files, index=text)
    assert [problem.message for problem in found] == told
    for problem in found:
        assert problem.passage.text in problem.message
    assert problems_of(files=files, index=text) == []
