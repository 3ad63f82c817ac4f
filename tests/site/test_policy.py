"""What browsers may load and run on a page, as Chromium sees it, from files and from a server."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page
from sample_guide import guide_of, small_guide, write_guide
from sample_rendering import CHROMIUM, needs
from serving_files import served

from sitegen.problems import Problems
from sitegen.site.publish import publish

in_chromium = needs(chromium=CHROMIUM)
LISTEN = """
window.refused = [];
addEventListener("securitypolicyviolation", (event) =>
  refused.push(`${event.effectiveDirective} ${event.blockedURI} ${event.sample}`), true);
"""
SHEET = (
    "---\nkind: exercises\ncolumns: 2\n---\n# Practice\n\n"
    "```practice\nfrom: @lift-edge\ncount: 1\nfill in: effect\n```\n"
)
ADD = "document.body.insertAdjacentHTML('beforeend', {!r})".format
SCRIPT = "Object.assign(document.createElement('script'), {textContent: 'window.ran = 1'})"
OWN_THEME = {"themes/mine/theme.yaml": "name: mine\nbased on: folio\n"}


@pytest.fixture(scope="module")
def output(tmp_path_factory) -> Path:
    files = small_guide()
    files["content/sheet.md"] = SHEET
    files["content/index.md"] = str(files["content/index.md"]).replace("|------|-------|", "|:----:|------:|")
    folder = write_guide(tmp_path_factory.mktemp("guide"), files)
    publish(folder)
    return folder / "output"


@pytest.fixture(scope="module")
def address(output: Path) -> Iterator[str]:
    with served(output) as address:
        yield address


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    page = browser.new_page()
    page.add_init_script(LISTEN)
    yield page
    page.close()


def refused(page: Page) -> list[str]:
    page.wait_for_load_state("networkidle")
    return list(page.evaluate("refused"))


@in_chromium
@pytest.mark.parametrize("by_server", [False, True])
def test_nothing_on_any_page_is_refused_and_all_of_it_works(page: Page, output, address, by_server) -> None:
    for path in sorted(output.rglob("*.html")):
        name = path.relative_to(output).as_posix()
        page.goto(address + name if by_server else path.as_uri())
        assert page.locator("meta[http-equiv]").count() == 1, name
        assert refused(page) == [], name
    page.goto(
        f"{address}sequences/lift-edge.html" if by_server else (output / "sequences/lift-edge.html").as_uri()
    )
    page.get_by_role("button", name=re.compile("play|turn", re.IGNORECASE)).first.click()
    page.locator(".player svg").first.wait_for()
    assert refused(page) == []


@in_chromium
def test_the_side_to_which_a_column_is_set_stays(page: Page, output) -> None:
    page.goto((output / "index.html").as_uri())
    sides = page.locator("tbody td").evaluate_all("all => all.map(each => getComputedStyle(each).textAlign)")
    assert sides == ["center", "right"]


@in_chromium
@pytest.mark.parametrize(
    ("said", "directive"),
    [
        (f"document.body.append({SCRIPT})", "script-src-elem"),
        ("document.body.setAttribute('onclick', 'window.ran = 1'); document.body.click()", "script-src-attr"),
        (ADD('<img src="https://guide.invalid/a.png">'), "img-src"),
        (ADD('<p style="color: red">x</p>'), "style-src-attr"),
        ("document.head.append(Object.assign(document.createElement('base'), {href: '/x/'}))", "base-uri"),
    ],
)
def test_what_no_page_has_is_refused(page: Page, output, said: str, directive: str) -> None:
    page.goto((output / "index.html").as_uri())
    page.evaluate(f"{{ {said} }}")
    assert refused(page)[0].startswith(directive)
    assert not page.evaluate("'ran' in window")


def test_html_of_an_authors_own_is_under_no_policy(tmp_path) -> None:
    publish(guide_of(tmp_path, "title: T\nhtml: yes\n", index="<p>Mine</p>\n"))
    assert "http-equiv" not in (tmp_path / "output/index.html").read_text(encoding="utf-8")


def told(folder: Path, template: str) -> list[str]:
    extended = '{% extends "folio/pages/page.html" %}'
    files = {"themes/mine/templates/pages/page.html": extended + template}
    guide_of(folder, "title: T\ntheme: mine\n")
    write_guide(folder, {**OWN_THEME, **files})
    try:
        publish(folder)
    except Problems as found:
        return [f"{problem.headline()}; {problem.passage.text}" for problem in found.problems]
    return []


def test_what_of_a_theme_a_browser_would_pass_over_is_a_problem(tmp_path) -> None:
    block = "{{% block under_title %}}{}{{% endblock %}}".format
    [script] = told(tmp_path / "a", block("<script>let a = 1;</script>"))
    [attribute] = told(tmp_path / "b", block('<p class="x" onclick="go()">Go</p>'))
    [style] = told(tmp_path / "c", block('<p style="color: red">Red</p>'))
    assert "run no script that stands within a page" in script
    assert attribute.endswith('; onclick="go()"')
    assert style.endswith('; style="color: red"')
    loaded = """<script src="{{ url('files/folio.js') }}"></script>{% set one = "1" %}"""
    assert told(tmp_path / "d", block(loaded)) == []
    none, inline = "{% block policy %}{% endblock %}", block("<script>let a = 1;</script>")
    assert told(tmp_path / "e", none + inline) == []


@in_chromium
def test_a_style_that_a_theme_writes_into_a_page_counts(page: Page, tmp_path) -> None:
    summer = "<style>.summer { color: rgb(1, 2, 3) }</style><p class=summer>x</p>"
    assert told(tmp_path, f"{{% block under_title %}}{summer}{{% endblock %}}") == []
    page.goto((tmp_path / "output/index.html").as_uri())
    assert page.locator(".summer").evaluate("each => getComputedStyle(each).color") == "rgb(1, 2, 3)"
    assert refused(page) == []
