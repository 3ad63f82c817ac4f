"""A theme of one's own: what it changes, in what order pages load it, and that nothing goes unnoticed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

import pytest
from jinja2 import Template
from running import run
from sample_guide import small_guide, write_guide
from sample_sheets import ADDRESS, sheet_guide

from sitegen.pages.config import read_config
from sitegen.problems import Problems
from sitegen.site.publish import check, publish
from sitegen.site.theme import load_theme, shipped

ROOT = Path(__file__).parents[2]
FOLIO = shipped() / "folio"
TEMPLATES = {
    path.relative_to(FOLIO / "templates").as_posix(): path.read_text(encoding="utf-8")
    for path in sorted(FOLIO.glob("templates/*/*"))
}
"""Those that ship, by name."""
Files = dict[str, str | bytes]


def theme(files: Mapping[str, str | bytes], name: str = "mine", based_on: str = "folio") -> Files:
    settings = {"theme.yaml": f"name: {name}\nbased on: {based_on}\n"}
    return {f"themes/{name}/{file}": text for file, text in {**settings, **files}.items()}


def with_theme(files: Mapping[str, str | bytes], **others: str) -> Files:
    """The files of a guide whose theme has these."""
    return {"content/guide.yaml": "title: T\ntheme: mine\n", **others, **theme(files)}


def problems(folder: Path, files: Mapping[str, str | bytes]) -> list[tuple[str, str]]:
    """What is wrong with a theme of these files: the headline and the hint of each problem."""
    return told(write_guide(folder, with_theme(files)))


def told(folder: Path) -> list[tuple[str, str]]:
    try:
        load_theme(read_config(folder), folder)
    except Problems as found:
        return [(problem.headline(), problem.hint) for problem in found.problems]
    return []


# What it changes ------------------------------------------------------------------------------------------


def test_a_theme_of_the_guides_own_is_based_on_the_shipped_one_file_by_file(published) -> None:
    texts = published(
        {
            "content/guide.yaml": "title: T\ntheme: mine\n",
            "themes/mine/theme.yaml": "name: mine\nbased on: folio\ncolours: {red: '#c00001'}\n",
            "themes/mine/files/mine.css": "p{}",
            "themes/mine/files/folio.js": "// mine",
            "themes/mine/templates/pages/effect-table.html": "<!doctype html>{{ rows|length }} rows",
            "content/index.md": "```moves x\nR\n```\n",
        }
    )
    assert texts["effects.html"] == "<!doctype html>1 rows"
    assert texts["files/folio.js"] == "// mine"
    assert texts["files/mine.css"] == "p{}"
    assert "<h1>" in texts["index.html"]  # from the theme that it is based on
    assert "files/folio.css" in texts
    assert "--red:#c00001" in texts["files/figures.css"].replace(" ", "")


def loaded(page: str) -> list[str]:
    """What a page loads, in order, with the size of paper where it is said."""
    found = re.findall(r'<link rel="stylesheet" href="([^"]+)">|<script src="([^"]+)"|(@page) \{', page)
    return ["".join(each) for each in found]


def test_pages_load_the_sheet_and_script_that_have_the_name_of_their_theme_and_its_own_last(
    published,
) -> None:
    texts = published(
        with_theme({"files/mine.css": "p{}", "files/mine.js": "//", "theme.yaml": "based on: club\n"})
        | theme({"files/club.css": "p{}", "files/club.js": "//", "files/folio.js": "// club"}, "club")
    )
    assert loaded(texts["index.html"]) == [
        "files/folio.css",
        "files/figures.css",
        "@page",
        "files/club.css",
        "files/mine.css",
        "files/moves.js",
        "files/turning.js",
        "files/search.js",
        "files/folio.js",
        "files/club.js",
        "files/mine.js",
    ]
    assert texts["files/folio.js"] == "// club"


def test_a_theme_of_the_name_of_the_shipped_one_stands_before_it(published) -> None:
    own = theme({"files/folio.css": "p{}", "templates/pages/page.html": EXTENDED}, "folio")
    texts = published(own)
    assert loaded(texts["index.html"]) == [
        "files/folio.css",
        "files/figures.css",
        "@page",
        "files/moves.js",
        "files/turning.js",
        "files/search.js",
        "files/folio.js",
    ]
    assert texts["files/folio.css"] == "p{}"
    assert "<p>Aloud.</p>" in texts["index.html"]


EXTENDED = """\
{% extends "folio/pages/page.html" %}
{% block under_title %}<p>Aloud.</p>{% endblock %}
"""


def test_a_block_of_a_shipped_template_is_replaced_alone(published) -> None:
    before = published({"content/index.md": "# Home\n"})["index.html"]
    after = published(
        {"content/index.md": "# Home\n", **with_theme({"templates/pages/page.html": EXTENDED})}
    )["index.html"]
    assert "<p>Aloud.</p>" in after
    assert after.replace("<p>Aloud.</p>", "").split() == before.split()


def test_a_template_of_a_theme_in_between_can_be_extended_as_well(published) -> None:
    again = "{% extends 'club/pages/page.html' %}{% block title %}Mine{% endblock %}"
    texts = published(
        with_theme({"theme.yaml": "based on: club\n", "templates/pages/page.html": again})
        | theme({"templates/pages/page.html": EXTENDED}, "club")
    )
    assert "<p>Aloud.</p>" in texts["index.html"]
    assert "<title>Mine – T</title>" in texts["index.html"]


def test_a_theme_that_says_of_every_page_that_it_is_as_shipped_changes_nothing(tmp_path: Path) -> None:
    """And one that is a copy of all templates that ship."""
    extended = {
        f"templates/{name}": f'{{% extends "folio/{name}" %}}\n'
        for name in TEMPLATES
        if name.startswith("pages/") and name.endswith(".html")
    }
    copied = {f"templates/{name}": text for name, text in TEMPLATES.items()}
    sites = [pages_of(tmp_path / str(at), files) for at, files in enumerate(({}, extended, copied))]
    assert len(sites[0]) > 20
    assert sites[0] == sites[1] == sites[2]


def pages_of(folder: Path, files: Mapping[str, str | bytes]) -> dict[str, bytes]:
    """The pages of two guides with sheets of each kind, set by a theme of these files."""
    found = {}
    for name, guide in {"small": small_guide(), "sheets": sheet_guide()}.items():
        config = f"{guide['content/guide.yaml']!s}theme: mine\n"
        write_guide(folder / name, {**guide, "content/guide.yaml": config, **theme(files)})
        assert run("publish", str(folder / name)).exit_code == 0
        output = folder / name / "output"
        found |= {f"{name}/{path.relative_to(output)}": path.read_bytes() for path in output.rglob("*.html")}
    return found


def test_a_template_may_begin_with_a_byte_order_mark(published) -> None:
    """As some editors write one; nothing may stand on a page before its type (HTML, section 13.1)."""
    texts = published(with_theme({"templates/pages/page.html": EXTENDED.encode("utf-8-sig")}))
    assert texts["index.html"].startswith("<!doctype html>")


# What the manual says -------------------------------------------------------------------------------------

MANUAL = (ROOT / "content/writing/themes.md").read_text(encoding="utf-8")


def rows(folder: str) -> dict[str, set[str]]:
    """The templates that the manual lists in a folder, and what each is given by its last column."""
    (table,) = re.findall(rf"(?m)^\| In `templates/{folder}/` [^\n]*\n\|[-|]+\n((?:\|[^\n]*\n)+)", MANUAL)
    found: dict[str, set[str]] = {}
    for row in table.splitlines():
        name, *_, last = (cell.strip() for cell in row.strip("|").split("|"))
        found[f"{folder}/{name.strip('`')}"] = set(re.findall("`([^`]+)`", last)) or (
            list(found.values())[-1] if last == "the same" else set()
        )
    return found


def test_the_manual_lists_every_template_that_ships() -> None:
    folders = dict.fromkeys(name.partition("/")[0] for name in TEMPLATES)
    assert {name for folder in folders for name in rows(folder)} == set(TEMPLATES)


def test_every_template_is_given_what_the_manual_says(tmp_path: Path, monkeypatch) -> None:
    """As a draft is set: a chapter, pages and blocks of each kind, a mistake, and a step of many cases."""
    given: dict[str, set[str]] = {}
    render = Template.render

    def recording(template: Template, **values: object) -> str:
        given.setdefault(str(template.name), set(values))
        assert given[str(template.name)] == set(values)
        return render(template, **values)

    monkeypatch.setattr(Template, "render", recording)
    chapter = {"content/part/index.md": "# A part\n", "content/part/page.md": "# In it\n"}
    settings = {"content/guide.yaml": f"title: T\naddress: {ADDRESS}\nembed: yes\n"}
    beside = {"content/other.md": OTHER_BLOCKS, "content/tagged.md": "---\ntags: [one]\n---\nWords.\n"}
    files = {**sheet_guide(), **settings, **beside, **chapter}
    publish(write_guide(tmp_path, files), draft=True)
    always = set.intersection(*given.values())
    # What others extend is never set by itself.
    every = {**rows("pages"), **rows("blocks")}
    listed = {name: every[name] for name in every.keys() - {"pages/document.html", "pages/frame.html"}}
    assert {name: values - always for name, values in given.items()} == listed
    (sentence,) = re.findall(r"Every template has (.*?)\. The others", MANUAL, re.DOTALL)
    assert set(re.findall("`([^`]+)`", sentence)) == always


OTHER_BLOCKS = """\
---
puzzle: cube-2
---
```find one
claims: cycles UFR > URB > UBL > ULF
most: 1
caption: The shortest.
```

```derive steps
claims: twists UFR clockwise
most: 1
```

```worked example
method: small
seed: 1
```

```moves
moves: R
claims: order 5
```

```method flat
count: 1
stages:
- stage: All four at once
  goal: D home
  using: any turns of R, U and F up to 9
```
"""


def test_every_block_of_a_page_that_is_named_can_be_replaced() -> None:
    (sentence,) = re.findall(r"The blocks of a page are (.*?)\. To change more", MANUAL, re.DOTALL)
    named = set(re.findall("`([^`]+)`", sentence))
    pages = [text for name, text in TEMPLATES.items() if name.startswith("pages/")]
    assert named == {block for text in pages for block in re.findall(r"{% block (\w+)", text)}


def test_fonts_are_named_in_one_place() -> None:
    """At the head of the sheet; all else there, and on paper, asks for them by what they are for."""
    sheet = (FOLIO / "files/folio.css").read_text(encoding="utf-8")
    sheet = re.sub(r"@font-face {.*?}", "", sheet)
    asked = re.findall(r"font-family:\s*([^;}]*)", "".join([sheet, *TEMPLATES.values()]))
    assert len(asked) > 20
    assert {
        font for font in asked if not re.fullmatch(r"var\(--(book|plain|turns|code)\)", font.strip())
    } == set()


# What would go unnoticed ----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", TEMPLATES)
def test_a_misspelt_template_is_a_problem_that_names_the_right_one(tmp_path: Path, name: str) -> None:
    folder, _, file = name.partition("/")
    for at, misspelt in enumerate((f"{folder}/{file[1:]}", f"{folder[:-1]}/{file}", name.replace("t", "tt"))):
        ((headline, hint),) = problems(tmp_path / str(at), {f"templates/{misspelt}": TEMPLATES[name]})
        message = "no page and no block is set by this template"
        assert headline == f"themes/mine/templates/{misspelt}:1:1: {message}"
        assert name in hint


@pytest.mark.parametrize("name", ["base.html", "notes/aside.html"])
def test_a_template_that_nothing_asks_for_is_a_problem_until_another_names_it(
    tmp_path: Path, name: str
) -> None:
    ((headline, _),) = problems(tmp_path / "1", {f"templates/{name}": "Note."})
    assert headline.startswith(f"themes/mine/templates/{name}:1:1: no page and no block")
    named = (
        f'{{% extends "folio/pages/page.html" %}}{{% block body %}}{{% include "{name}" %}}{{% endblock %}}'
    )
    files = {f"templates/{name}": "Note.", "templates/pages/page.html": named}
    assert problems(tmp_path / "2", files) == []
    assert len(problems(tmp_path / "3", {f"templates/{name}": f'{{% include "{name}" %}}'})) == 1


@pytest.mark.parametrize(
    ("file", "part", "hint"),
    [
        ("static/mine.css", "static", "a theme has theme.yaml, templates/ and files/"),
        ("template/pages/page.html", "template", "is it templates?"),
        ("file/mine.css", "file", "is it files?"),
        ("theme.yml", "theme.yml", "is it theme.yaml?"),
        ("mine.css", "mine.css", "a theme has theme.yaml, templates/ and files/"),
        ("pages/page.html", "pages", "a theme has theme.yaml, templates/ and files/"),
    ],
)
def test_what_has_no_place_in_a_theme_is_a_problem(tmp_path: Path, file: str, part: str, hint: str) -> None:
    found = problems(tmp_path, {file: "p{}"})
    assert found == [(f"themes/mine/{part}:1:1: this is no part of a theme", hint)]


@pytest.mark.parametrize("name", ["turning/cube-3.js", "search/head.js", "effects/1.js", "cards/index.png"])
def test_a_file_where_the_site_has_its_own_is_a_problem(tmp_path: Path, name: str) -> None:
    files = {f"files/{name}": "x", "files/mine.js": f"// {name.rpartition('/')[2]}"}
    ((headline, _),) = problems(tmp_path, files)
    assert headline.endswith(f": the folder {name.partition('/')[0]} is the site's own")


@pytest.mark.parametrize(
    ("name", "hint"), [("page.html", "is it pages/page.html?"), ("moves.html", "is it blocks/moves.html?")]
)
def test_a_template_in_the_wrong_folder_is_told_the_right_one(tmp_path: Path, name: str, hint: str) -> None:
    assert [told for _, told in problems(tmp_path, {f"templates/{name}": EXTENDED})] == [hint]


@pytest.mark.parametrize("name", ["extra.css", "extra.js", "EXTRA.CSS", "more/mine.css"])
def test_a_sheet_or_script_that_no_page_loads_is_a_problem(tmp_path: Path, name: str) -> None:
    ((headline, hint),) = problems(tmp_path, {f"files/{name}": "p{}"})
    ending = name[-4:].lower().lstrip("a")
    assert headline == f"themes/mine/files/{name}:1:1: no page loads this"
    assert hint == f"call it mine{ending}, which pages load, or name it in that"


def test_a_sheet_may_be_loaded_by_another_or_by_a_template(tmp_path: Path) -> None:
    link = EXTENDED.replace("<p>", "<link rel='stylesheet' href=\"{{ url('files/by.css') }}\"><p>")
    others = {"files/club.css": "p{}", "files/by.css": "p{}", "files/picture.svg": "<svg/>"}
    loading = {"files/mine.css": '@import "club.css";', "templates/pages/page.html": link}
    assert problems(tmp_path / "1", others | loading) == []
    assert len(problems(tmp_path / "2", others | {"files/by.css": "/* by.css */"})) == 2
    # Not the name of another sheet that ends like it.
    assert (
        len(problems(tmp_path / "3", others | {"files/mine.css": '@import "the-club.css", "standby.css";'}))
        == 2
    )


def test_the_sheet_that_is_made_for_figures_is_nobody_s_to_write(tmp_path: Path) -> None:
    ((headline, hint),) = problems(tmp_path, {"files/figures.css": ":root{--red:#c00}"})
    assert headline == "themes/mine/files/figures.css:1:1: figures.css is made of the shades of figures"
    assert hint == "write your own rules into mine.css"


def test_the_script_that_plays_turns_is_nobody_s_to_write(tmp_path: Path) -> None:
    ((headline, hint),) = problems(tmp_path, {"files/turning.js": "//"})
    assert headline == "themes/mine/files/turning.js:1:1: turning.js is the script by which turns are played"
    assert hint == "write your own script into mine.js"


def test_what_editors_and_systems_leave_behind_is_no_part_of_a_theme(tmp_path: Path) -> None:
    left = {"templates/pages/page.html~": "x", ".DS_Store": "x", "files/.mine.css.swp": "x"}
    assert problems(tmp_path, left) == []


def test_each_theme_of_the_guide_is_gone_through_and_no_problem_hides_another(tmp_path: Path) -> None:
    files = with_theme(
        {"theme.yaml": "based on: club\n", "static/a": "", "templates/pages/page.html": "{% if %}"}
    )
    found = told(write_guide(tmp_path, files | theme({"files/extra.css": "p{}"}, "club")))
    assert [headline.split(": ")[0] for headline, _ in found] == [
        "themes/club/files/extra.css:1:1",
        "themes/mine/static:1:1",
        "themes/mine/templates/pages/page.html:1:1",
    ]


def test_check_and_publish_tell_of_it(tmp_path: Path) -> None:
    files = with_theme({"templates/pages/pag.html": ""}, **{"content/index.md": "Home.\n"})
    write_guide(tmp_path, files)
    for command in ("check", "publish"):
        done = run(command, str(tmp_path))
        assert done.exit_code == 1
        assert "themes/mine/templates/pages/pag.html:1:1: no page and no block" in done.stderr
        assert "is it pages/page.html?" in done.stderr


# What is wrong in a template ------------------------------------------------------------------------------


def test_a_theme_that_is_not_there_is_told_where_the_guide_names_it(published) -> None:
    with pytest.raises(Exception, match=r"content/guide.yaml:2:8: there is no theme foliio"):
        published({"content/guide.yaml": "title: T\ntheme: foliio\n"})


PAGE, TABLE = "themes/mine/templates/pages/page.html", "themes/mine/templates/pages/effect-table.html"


@pytest.mark.parametrize(
    "files",
    [
        {"themes/mine/theme.yaml": "colours: [\n"},
        {"themes/mine/theme.yaml": "- a\n"},
        {"themes/mine/theme.yaml": "colours:\n"},
        {"themes/mine/theme.yaml": "colours: red\n"},
        {"themes/mine/theme.yaml": "name: other\n"},
        {"themes/mine/theme.yaml": "based on: 5\n"},
        {"themes/mine/theme.yaml": "based on: [folio]\n"},
        {"themes/mine/theme.yaml": "based on: mine\n"},
        {"themes/mine/theme.yaml": "based on: club\n", "themes/club/theme.yaml": "based on: mine\n"},
        {"themes/mine/theme.yaml": b"colours: {red: \xff}\n"},
        {"themes/mine/theme.yaml": "{}", PAGE: "{% if %}"},
        {"themes/mine/theme.yaml": "{}", PAGE: b"\xff"},
        {"themes/mine/theme.yaml": "{}", TABLE: "<!doctype html>{{ no_such_thing }}"},
        {"themes/mine/theme.yaml": "{}", PAGE: "{% extends 'nowhere.html' %}"},
        {"themes/mine/theme.yaml": "{}", TABLE: "<!doctype html>{{ 1 / 0 }}"},
    ],
)
def test_a_mistake_in_a_theme_is_a_problem_that_names_its_file(published, files: dict) -> None:
    with pytest.raises(Problems) as caught:
        published({"content/guide.yaml": "title: T\ntheme: mine\n", **files})
    assert all("themes/mine/" in p.headline() or "theme" in p.message for p in caught.value.problems)


PAGES = [name for name in TEMPLATES if name.startswith("pages/") and name.endswith(".html")]
PARTS = [name for name in TEMPLATES if name not in PAGES]


def extending(name: str, text: str, above: str = "") -> Files:
    return {f"templates/{name}": f'{above}{{% extends "folio/{name}" %}}\n{text}\n'}


@pytest.mark.parametrize(
    "text",
    [
        "{% block aside %}<p>Aloud.</p>{% endblock %}",
        "<p>Aloud.</p>",
        "",
        "{# #}",
        '{% include "no.html" ignore missing %}',
    ],
)
@pytest.mark.parametrize("name", PAGES)
def test_a_template_of_a_page_is_a_whole_page_or_extends_one(tmp_path: Path, name: str, text: str) -> None:
    ((headline, hint),) = problems(tmp_path, {f"templates/{name}": text})
    message = "this is neither a whole page nor a change to one"
    assert headline == f"themes/mine/templates/{name}:1:1: {message}"
    assert f'write {{% extends "folio/{name}" %}} above it' in hint
    assert problems(tmp_path, extending(name, "")) == []
    assert problems(tmp_path, {f"templates/{name}": f"<!DOCTYPE HTML>{text}{places(name)}"}) == []


def places(name: str) -> str:
    """The blocks that the pages which ship fill in a template."""
    filled = {
        "pages/document.html": ("title", "meta", "ways", "paper", "kind", "whole"),
        "pages/frame.html": ("title", "meta", "paper", "kind", "main"),
        "pages/page.html": ("title", "paper", "kind", "under_title", "body"),
        "pages/handout.html": ("name_line",),
    }
    return "".join(f"{{% block {each} %}}{{% endblock %}}" for each in filled.get(name, ()))


@pytest.mark.parametrize(
    "page",
    [
        '{% include "a.html" %}',
        '{% include "a.html" ignore missing %}',
        '{% import "a.html" as whole %}{{ whole.page() }}',
        '{% include "folio/pages/page.html" %}',
        "{% include frame.title %}",
        "<html>",
        "{% if page %}<!doctype html>{% endif %}",
    ],
)
def test_a_page_may_begin_in_what_its_template_asks_for(tmp_path: Path, page: str) -> None:
    part = "{% macro page() %}<!doctype html>{% endmacro %}"
    above = '{% extends "folio/pages/contents.html" %}{% block main %}{% include "a.html" %}{% endblock %}'
    files = {"templates/pages/page.html": page + places("pages/page.html"), "templates/a.html": part}
    assert problems(tmp_path, {**files, "templates/pages/contents.html": above}) == []


@pytest.mark.parametrize("name", PARTS)
def test_what_is_set_within_a_page_need_be_no_page(tmp_path: Path, name: str) -> None:
    assert problems(tmp_path, {f"templates/{name}": "Aloud."}) == []


@pytest.mark.parametrize("name", PAGES)
def test_a_block_that_no_template_above_has_is_a_problem_where_it_stands(tmp_path: Path, name: str) -> None:
    wrong = "{% block title %}T{% endblock %}\n {% block mian %}{% endblock %}"
    ((headline, hint),) = problems(tmp_path, extending(name, wrong))
    message = "the template that this one extends has no block mian"
    assert headline == f"themes/mine/templates/{name}:3:11: {message}"
    assert hint == ("is it main?" if name != "pages/document.html" else DOCUMENTS)


DOCUMENTS = "blocks are kind, meta, paper, policy, title, ways, whole"


def test_a_misspelt_block_is_asked_for_by_the_name_that_it_may_be(tmp_path: Path) -> None:
    ((headline, hint),) = problems(
        tmp_path, extending("pages/page.html", "{%- block undertitle -%}{% endblock %}")
    )
    assert headline.startswith(f"{PAGE}:2:11: ")
    assert hint == "is it under_title?"


def test_a_template_without_blocks_is_said_to_have_none(tmp_path: Path) -> None:
    wrong = "{% block foot %}F{% endblock %}"
    ((_, hint),) = problems(tmp_path, extending("blocks/position.html", wrong))
    assert hint == "it has no blocks to fill: begin from a copy of it"


def test_a_block_of_any_template_above_counts_and_so_does_a_new_one_within_it(tmp_path: Path) -> None:
    new = "{% block body %}{% block aside %}{% endblock %}{% endblock %}"
    again = (
        '{% extends "club/pages/page.html" %}{% block aside %}A{% endblock %}{% block kind %}{% endblock %}'
    )
    files = with_theme({"theme.yaml": "based on: club\n", "templates/pages/page.html": again})
    assert told(write_guide(tmp_path, files | theme(extending("pages/page.html", new), "club"))) == []


def no_place(name: str, blocks: str) -> tuple[str, str]:
    """What is said of a template that has no place for a block, or for some."""
    named = f"block{'s' if ',' in blocks else ''} {blocks}"
    message = f"this has no place for the {named}, which other templates fill"
    written = " ".join(f"{{% block {each} %}}{{% endblock %}}" for each in blocks.split(", "))
    return f"themes/mine/templates/{name}:1:1: {message}", f"write where each is to stand {written}"


FILLED = [(name, block) for name in PAGES for block in re.findall(r"block (\w+)", places(name))]


@pytest.mark.parametrize(("name", "block"), FILLED)
def test_a_page_has_a_place_for_all_that_others_fill_in_it(tmp_path: Path, name: str, block: str) -> None:
    """Or what they say would show nowhere; whether it is a page of the theme's own or a copy."""
    place = f"{{% block {block} %}}{{% endblock %}}"
    own = f"<!doctype html>{places(name)}"
    assert problems(tmp_path / "1", {f"templates/{name}": own.replace(place, "")}) == [no_place(name, block)]
    renamed = TEMPLATES[name].replace(f"block {block} %", "block other %")
    if renamed != TEMPLATES[name] and name != "pages/handout.html":
        found = problems(tmp_path / "2", {f"templates/{name}": renamed})
        assert [headline.partition(":")[0] for headline, _ in found] == [f"themes/mine/templates/{name}"]


def test_a_page_whose_frame_has_no_place_for_its_text_is_not_published(tmp_path: Path) -> None:
    files = with_theme({"templates/pages/frame.html": "<!doctype html>\n"}, **{"content/index.md": "Home.\n"})
    write_guide(tmp_path, files)
    done = run("check", str(tmp_path))
    assert done.exit_code == 1
    assert "this has no place for the blocks kind, main, meta, paper, title, which other" in done.stderr


@pytest.mark.parametrize(
    ("main", "missing"),
    [
        ("{{ body }}", "body, under_title"),
        ("{% block body %}{{ body }}{% endblock %}", "under_title"),
        ("{% block body %}{% block under_title %}{% endblock %}{% endblock %}", "under_title"),
        ("{% block under_title %}{% endblock %}{% block body %}{% endblock %}", ""),
        ("Aloud. {{ super() }}", ""),
        ("{% if page %}{% block under_title %}{% endblock %}{% endif %}{{ super() }}", ""),
        ("{% if false %}{% block under_title %}{% endblock %}{% block body %}{% endblock %}{% endif %}", ""),
    ],
)
def test_a_block_that_is_written_anew_has_a_place_for_those_in_it(
    tmp_path: Path, main: str, missing: str
) -> None:
    """Handouts fill two of the blocks that stand in the block main of pages."""
    text = f'{{% extends "folio/pages/page.html" %}}{{% block main %}}{main}{{% endblock %}}'
    found = problems(tmp_path, {"templates/pages/page.html": text})
    assert found == ([no_place("pages/page.html", missing)] if missing else [])


def test_a_place_is_wanted_for_nothing_that_no_page_fills(tmp_path: Path) -> None:
    """Where all that extend it are the theme's own, and whole pages."""
    whole = {f"templates/pages/{name}.html": "<!doctype html>" for name in ("page", "handout", "exercises")}
    assert problems(tmp_path, whole) == []


def test_a_page_is_not_blamed_for_what_one_that_extends_it_writes_anew(tmp_path: Path) -> None:
    handout = extending(
        "pages/handout.html", "{% block main %}{% block name_line %}{% endblock %}{% endblock %}"
    )
    assert problems(tmp_path, {"templates/pages/page.html": EXTENDED, **handout}) == []


def test_a_block_in_another_that_is_written_anew_is_told_of_where_it_stands(tmp_path: Path) -> None:
    new = "{% block main %}A{% endblock %}\n {% block under_title %}B{% endblock %}"
    ((headline, hint),) = problems(tmp_path, extending("pages/page.html", new))
    message = "the block that had a place for the block under_title is written without it"
    assert headline == f"{PAGE}:3:11: {message}"
    assert hint == "write {% block under_title %}{% endblock %} in that, where it is to stand"


@pytest.mark.parametrize(
    ("text", "at"),
    [
        ("<p>Aloud.</p>", "2:1"),
        ("\n\n  Aloud.", "4:3"),
        ("{{ page.title }}", "2:1"),
        ("{% if page %}\n{% else %}\nAloud.{% endif %}", "4:1"),
        ("{% for each in above %}{{ each }}{% endfor %}", "2:1"),
        ("{% with a = 1 %}A{% endwith %}", "2:17"),
        ("{% autoescape true %}A{% endautoescape %}", "2:22"),
        ('{% include "parts/trail.html" %}', "2:1"),
        ("{% filter upper %}A{% endfilter %}", "2:1"),
        ("{% block main %}{% endblock %}\nAloud.{% block title %}{% endblock %}", "3:1"),
    ],
)
def test_what_stands_outside_of_blocks_is_a_problem_where_it_stands(
    tmp_path: Path, text: str, at: str
) -> None:
    ((headline, _),) = problems(tmp_path, extending("pages/page.html", text))
    assert headline == f"{PAGE}:{at}: this stands outside of the blocks, and shows on no page"


@pytest.mark.parametrize(
    ("text", "path"),
    [
        ('<img src="nix.png">', "nix.png"),
        ("<a class=x href='more/nix.html#there'>x</a>", "more/nix.html"),
        ("<a href = 'more/nix.html'>x</a>", "more/nix.html"),
        ('<a href="{{ url(page.url) }}">x</a>', ""),
        ('<a href="#main">x</a><a href="https://a.example/">x</a><a href="mailto:a@b.example">x</a>', ""),
        ('{# <a href="nix.html">x</a> #}', ""),
        ('<p data-src="nix.png">x</p>', ""),
    ],
)
def test_an_address_that_is_the_same_on_all_pages_is_a_problem(tmp_path: Path, text: str, path: str) -> None:
    block = f"{{% block under_title %}}{text}{{% endblock %}}"
    found = problems(tmp_path, extending("pages/page.html", block))
    assert [hint for _, hint in found] == [
        f"write {{{{ url('{path}') }}}} for what stands at {path} on the site"
    ] * bool(path)


@pytest.mark.parametrize(
    "text",
    [
        "{# a note #}",
        "{% set name = 'A' %}",
        "{% set name %}A{% endset %}",
        "{% macro name() %}A{% endmacro %}",
        '{% import "parts/paper.html" as on_paper %}',
        '{% from "parts/trail.html" import trail %}',
        "{% if page %}{% block body %}A{% endblock %}{% endif %}",
    ],
)
def test_what_blocks_make_use_of_may_stand_outside_of_them(tmp_path: Path, text: str) -> None:
    assert problems(tmp_path, extending("pages/page.html", text)) == []


@pytest.mark.parametrize(
    "extends",
    [
        "{% extends page.title %}",
        '{% extends "folio/" ~ "pages/page.html" if page else "pages/frame.html" %}',
        '{% if page %}{% extends "folio/pages/page.html" %}{% endif %}',
    ],
)
def test_which_template_is_extended_can_be_read(tmp_path: Path, extends: str) -> None:
    """Or nobody could say which blocks there are."""
    ((headline, _),) = problems(tmp_path, {"templates/pages/page.html": f"\n{extends}"})
    assert headline == f"{PAGE}:2:1: it cannot be known which template this extends"


@pytest.mark.parametrize(
    "asking",
    [
        '{% extends "NAME" %}',
        '<html>{% include "NAME" %}',
        '<html>{% if no %}{% import "NAME" as a %}{% endif %}',
        '<html>{% from "NAME" import a %}',
    ],
)
def test_a_template_that_is_not_there_is_a_problem_whether_it_is_asked_for_today_or_not(
    tmp_path: Path, asking: str
) -> None:
    text = "\n" + asking.replace("NAME", "folio/pages/pag.html")
    ((headline, hint),) = problems(tmp_path, {"templates/pages/answers.html": text})
    message = "there is no template folio/pages/pag.html"
    assert headline == f"themes/mine/templates/pages/answers.html:2:1: {message}"
    assert hint == "is it folio/pages/page.html?"
    right = asking.replace("NAME", "folio/pages/page.html")
    assert problems(tmp_path, {"templates/pages/answers.html": right}) == []
    of_board = problems(
        tmp_path, {"templates/pages/answers.html": text.replace("folio/pages/pag", "board/pages/page")}
    )
    assert [told for _, told in of_board] == [hint]


@pytest.mark.parametrize("wrong", ["{% if %}", b"\xff", '{% extends "nowhere.html" %}'])
def test_a_mistake_in_a_template_above_is_told_of_there_alone(tmp_path: Path, wrong: str | bytes) -> None:
    again = {
        "templates/pages/page.html": '{% extends "club/pages/page.html" %}{% block main %}A{% endblock %}'
    }
    files = with_theme({"theme.yaml": "based on: club\n", **again})
    found = told(write_guide(tmp_path, files | theme({"templates/pages/page.html": wrong}, "club")))
    assert [headline.partition(":")[0] for headline, _ in found] == ["themes/club/templates/pages/page.html"]


@pytest.mark.parametrize(
    ("name", "text", "asked", "meant"),
    [
        ("pages/page.html", "{% block title %}{{ page.titel }}{% endblock %}", "titel", "title"),
        ("pages/page.html", "{% block title %}{{ pgae.title }}{% endblock %}", "pgae", "page"),
        ("pages/page.html", "{% block body %}{{ bdoy }}{% endblock %}", "bdoy", "body"),
        (
            "pages/effect-table.html",
            "{% block main %}{{ sequences.seqence }}{% endblock %}",
            "seqence",
            "sequence",
        ),
        (
            "pages/effect-table.html",
            "{% block main %}{% for each_row in rows %}{{ each_rwo }}{% endfor %}{% endblock %}",
            "each_rwo",
            "each_row",
        ),
    ],
)
def test_what_a_template_asks_for_in_vain_is_told_with_what_may_be_meant(
    published, name: str, text: str, asked: str, meant: str
) -> None:
    """By what the value has, by what the template is given, and by what it names itself."""
    sequence = {"content/index.md": "```moves sequence\nR\n```\n"}
    with pytest.raises(Problems) as caught:
        published({**sequence, **with_theme(extending(name, text))})
    (problem,) = caught.value.problems
    assert problem.headline() == f"themes/mine/templates/{name}:2:1: there is no {asked} here"
    assert problem.hint == f"is it {meant}?"


def test_what_a_template_asks_for_and_is_like_nothing_is_told_all_the_same(published) -> None:
    with pytest.raises(Problems) as caught:
        published(with_theme(extending("pages/page.html", "{% block body %}{{ zzzz }}{% endblock %}")))
    (problem,) = caught.value.problems
    assert problem.headline() == f"{PAGE}:2:1: 'zzzz' is undefined"


def test_the_folder_of_a_theme_that_differs_in_capitals_is_named(tmp_path: Path) -> None:
    files = {"content/guide.yaml": "title: T\ntheme: dusk\n", **theme({}, "Dusk")}
    ((headline, hint),) = told(write_guide(tmp_path, files))
    assert headline == "content/guide.yaml:2:8: there is no theme dusk"
    assert hint == "the folder is themes/Dusk: write Dusk, or call the folder dusk"


@pytest.mark.parametrize(("wanted", "hint"), [("midnihgt", "is it midnight?"), ("foliio", "is it folio?")])
def test_a_theme_that_is_not_there_is_looked_for_among_the_guides_own_and_those_that_ship(
    tmp_path: Path, wanted: str, hint: str
) -> None:
    files = {"content/guide.yaml": f"title: T\ntheme: {wanted}\n", **theme({}, "midnight")}
    assert told(write_guide(tmp_path, files)) == [
        (f"content/guide.yaml:2:8: there is no theme {wanted}", hint)
    ]


@pytest.mark.parametrize(
    ("files", "place", "hint"),
    [
        (
            {"pages/page.html": '\n{% extends "pages/page.html" %}'},
            "pages/page.html:2:1",
            "for the one of folio write “folio/pages/page.html”",
        ),
        (
            {"pages/effect-table.html": '{% include "pages/effect-table.html" %}'},
            "pages/effect-table.html:1:1",
            "for the one of folio write “folio/pages/effect-table.html”",
        ),
        (  # It ends in what the template calls.
            {
                "pages/page.html": '{% extends "folio/pages/page.html" %}{% block body %}\n'
                '{{ prose(page.prose, page.name) }}{% include "pages/page.html" %}{% endblock %}'
            },
            "pages/page.html:2:1",
            "for the one of folio write “folio/pages/page.html”",
        ),
        (
            {"parts/neighbours.html": '{% import "parts/neighbours.html" as parts %}'},
            "parts/neighbours.html:1:1",
            "for the one of folio write “folio/parts/neighbours.html”",
        ),
        (
            {
                "pages/effect-table.html": '{% include "a.html" %}',
                "a.html": 'A {% include "b/c.html" %}',
                "b/c.html": 'B {% include "a.html" %}',
            },
            "(a|b/c).html:1:1",
            "take away what leads back to it",
        ),
    ],
)
def test_a_template_that_comes_back_to_itself_is_told_so(
    published, files: dict[str, str], place: str, hint: str
) -> None:
    theme_files = {f"templates/{name}": text for name, text in files.items()}
    with pytest.raises(Problems) as caught:
        published(with_theme(theme_files))
    (problem,) = caught.value.problems
    message = "this template comes back to itself here"
    assert re.fullmatch(f"themes/mine/templates/{place}: {message}", problem.headline())
    assert problem.hint == hint


# What comes with somebody else's guide --------------------------------------------------------------------


def test_a_theme_cannot_reach_beyond_its_templates(published) -> None:
    """Guides are passed on, and published by others: a template may not run what it likes."""
    reach = '<!doctype html>{{ cycler.__init__.__globals__.os.popen("id").read() }}'
    with pytest.raises(Problems, match=r"themes/mine/templates/pages/effect-table.html:1:1: .*__init__"):
        published(with_theme({"templates/pages/effect-table.html": reach}))


@pytest.mark.parametrize(
    "linked",
    [
        "templates/pages/page.html",
        "templates/pages",
        "files/mine.css",
        "files/letter.txt",
        "files",
        "theme.yaml",
        ".",
    ],
)
def test_no_link_leads_out_of_a_theme(tmp_path: Path, linked: str) -> None:
    """What is elsewhere is not published under whatever name."""
    outside = tmp_path / "outside"
    write_guide(
        outside,
        {"secret": "SECRET: 1\n", "folder/page.html": "SECRET", **theme({"files/mine.css": "SECRET"})},
    )
    guide = write_guide(tmp_path / "guide", with_theme({}, **{"content/index.md": "Home.\n"}))
    place = guide / "themes/mine" / linked
    targets = {"templates/pages": "folder", "files": "folder", ".": "themes/mine"}
    if linked in ("theme.yaml", "."):
        (guide / "themes/mine/theme.yaml").unlink()
    if linked == ".":
        place.rmdir()
    place.parent.mkdir(parents=True, exist_ok=True)
    place.symlink_to(outside / targets.get(linked, "secret"))
    with pytest.raises(Problems) as caught:
        check(guide)
    (problem,) = caught.value.problems
    assert "mine" in problem.headline()
    assert "SECRET" not in str(problem)


def test_no_link_leads_from_all_themes_elsewhere(tmp_path: Path) -> None:
    write_guide(tmp_path / "outside", theme({}))
    guide = write_guide(
        tmp_path / "guide", {"content/guide.yaml": "title: T\ntheme: mine\n", "content/index.md": "Home.\n"}
    )
    (guide / "themes").symlink_to(tmp_path / "outside/themes")
    with pytest.raises(Problems, match="themes:1:1: this is a link"):
        check(guide)


def test_what_became_a_link_after_it_was_looked_at_is_not_followed(tmp_path: Path) -> None:
    """Whoever may write into a guide may do so while it is published."""
    (tmp_path / "secret").write_text("SECRET")
    files = with_theme({"files/mine.css": "p {}", "templates/blocks/moves.html": "MINE"})
    guide = write_guide(tmp_path / "guide", files)
    found = load_theme(read_config(guide), guide)
    assert dict(found.files())["mine.css"] == b"p {}"
    for name in ("templates/blocks/moves.html", "files/mine.css"):
        (guide / "themes/mine" / name).unlink()
        (guide / "themes/mine" / name).symlink_to(tmp_path / "secret")
    with pytest.raises(Problems, match=r"mine\.css:1:1: this cannot be read: this is a link"):
        dict(found.files())
    with pytest.raises(OSError, match="this is a link"):
        found.environment().get_template("blocks/moves.html")


# Where a shade stands -------------------------------------------------------------------------------------


def test_a_shade_is_told_of_in_the_sheet_of_the_theme_that_gives_it(tmp_path: Path) -> None:
    shade = ":root { --red: lab(50 60 30) }"
    club = theme({"files/club.css": f"p{{}}\n{shade}"}, "club")
    mine = with_theme({"theme.yaml": "based on: club\n"}, **{"content/index.md": "Home.\n"})
    at = ["themes/club/files/club.css:2:9", "themes/mine/files/mine.css:1:9"]
    own = {"themes/mine/files/mine.css": shade}
    for files, places in (({**mine, **club}, at[:1]), ({**mine, **club, **own}, at)):
        with pytest.raises(Problems) as caught:
            check(write_guide(tmp_path, files))
        told = [problem.headline() for problem in caught.value.problems]
        assert told == [f"{at}: figures cannot be printed in the shade that --red is" for at in places]
