"""Paper and files know shades and no other rules: so what else would change a figure on a page is refused."""

from __future__ import annotations

import re
from itertools import product
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from sample_guide import write_guide
from sample_pictures import busy
from sample_rendering import CHROMIUM, needs

from sitegen.figures.chart import histogram
from sitegen.figures.draw import draw
from sitegen.figures.style import COLOURS, LIGHT, USUAL, css
from sitegen.problems import Problem, Problems, Source
from sitegen.puzzles import catalogue
from sitegen.site.publish import check
from sitegen.site.shades import given, problems

NO_RULE = "figures are painted by their shades, which paper and files have too, and by no rule"
NO_OTHER = "a shade can be another on paper, on screens or on dark screens, and nowhere else"


def refused(sheet: str, gives_shades: bool = True) -> list[Problem]:
    return list(problems(Source("mine.css", sheet).passage(), gives_shades))


# What would change a figure -------------------------------------------------------------------------------

SELECTORS = (
    *("*", "svg", "g", "path", "text", "svg *", "figure > svg", ".card svg path", "div path:first-child"),
    *(
        ".puzzle",
        ".chart",
        ".puzzle *",
        ".puzzle .red",
        "svg.puzzle > .body",
        ".chart text",
        ".card .puzzle g",
    ),
    *(
        ".red",
        ".letters",
        ".shown",
        ".count",
        ".bar",
        ".axis.axis",
        "path.muted",
        ".marks *",
        ":is(.marks) > path",
    ),
    *(":first-child", "figure :last-child", ":is(path, text)", ":where(.puzzle) path", "svg:not(.mine)"),
    *(
        ":root",
        "body",
        ".card",
        "figure",
        "#main",
        "figure.mine",
        ".mine",
        ".mine svg.other",
        "a:hover",
        "p, li",
    ),
    *(
        ".mine, .puzzle .blue",
        "h1, .letters",
        "[class] path",
        "path:not(.mine)",
        "text::before",
        "svg#mine path",
        "[class]",
        "[class~=red]",
    ),
)
PROPERTIES = {
    "fill": "#010203",
    "fill-opacity": ".3",
    "stroke": "#010203",
    "stroke-width": "3px",
    "stroke-opacity": ".3",
    "stroke-dasharray": "3px",
    "stroke-linecap": "square",
    "stroke-linejoin": "bevel",
    "paint-order": "markers",
    "font": "italic 9px serif",
    "font-size": "9px",
    "font-family": "serif",
    "font-style": "italic",
    "text-anchor": "start",
    "opacity": ".5",
    "color": "#010203",
    "margin": "3px",
    "width": "90px",
}
HIDING = {"display": "none", "visibility": "hidden"}
WHOLE = (
    *("*", "svg", "figure > svg", ".puzzle", ".chart", "svg:not(.mine)"),
    *(":first-child", "figure :last-child", ":root", "body", ".card", "figure", "#main"),
)
"""Selectors by which a figure is hidden as a whole, which it is on paper as well."""
INSIDE = [selector for selector in SELECTORS if selector not in WHOLE]
RULES = [*product(SELECTORS, PROPERTIES.items()), *product(INSIDE, HIDING.items())]

LOOK = """() => [...document.querySelectorAll('svg :is(g, path, text)')].map(element => {
    const style = getComputedStyle(element), names = ['display', 'opacity']
    if (element.tagName != 'g') names.push('visibility', 'fill', 'fill-opacity', 'stroke')
    if (element.tagName != 'g' && style.stroke != 'none') names.push('stroke-width', 'stroke-opacity',
        'stroke-dasharray', 'stroke-linecap', 'stroke-linejoin', 'paint-order')
    if (element.tagName == 'text') names.push('font-family', 'font-size', 'font-weight', 'font-style',
        'text-anchor')
    return names.map(name => style.getPropertyValue(name)).join()
})"""
"""How each part is painted: of a line if it has one, of letters if it is made of any."""


@needs(chromium=CHROMIUM)
def test_whatever_rule_changes_how_a_browser_paints_a_part_of_a_figure_is_refused(browser: Browser) -> None:
    cube = catalogue.puzzle("cube-3")
    figures = draw(busy(cube), "top") + histogram({1: 2, 3: 4}, "T", "cases", "turns")
    page = browser.new_page()
    page.set_content(
        f"<!doctype html><style>{css()}</style><style id=own></style>"
        f"<main id=main><div class=card><figure>{figures}</figure></div></main>"
    )
    usual = page.evaluate(LOOK)
    changing = []
    for selector, (name, value) in RULES:
        rule = f"{selector} {{ {name}: {value} }}"
        page.evaluate("rule => { document.getElementById('own').textContent = rule }", rule)
        if page.evaluate(LOOK) != usual:
            changing.append(rule)
    page.close()
    assert len(changing) > 100
    missed = [rule for rule in changing if not refused(rule)]
    assert missed == []


def test_rules_for_other_things_are_not_refused() -> None:
    passed = [
        "svg { display: block; width: 100%; height: auto }",
        ".puzzle { max-width: 20rem; margin: 0 auto }",
        "@media print { .card .chart { max-width: 11cm } }",
        ".icon { fill: #123456; stroke: none }",
        ".logo .leaf { fill: #123456 }",
        "* { box-sizing: border-box }",
        ".contents [aria-current] { font-weight: 600 } [hidden] { display: none }",
        ":root { font-size: 18px; --paper: #fff; --mine: red }",
        "body { fill: red; font-style: italic }",
        ".body { margin: 0 } .red { color: red }",
        ":focus-visible { font-weight: bold }",
        ":is(h1, h2) { font-weight: 600 } .a:not(.b, .c) { fill: red }",
        ".puzzle .mine { fill: red }",
        "@font-face { font-family: Mine } @page { font-size: 9pt }",
        "@keyframes show { from { opacity: 0 } }",
    ]
    assert {sheet: list(map(str, refused(sheet))) for sheet in passed} == {sheet: [] for sheet in passed}


@pytest.mark.parametrize(
    ("sheet", "shade"),
    [
        (".puzzle .red { fill: pink }", "red"),
        (".puzzle .muted { stroke: pink }", "figure-muted-line"),
        (".puzzle .muted { fill: pink }", "figure-muted"),
        (".marks { stroke: pink }", "figure-halo"),
        (".puzzle { .corner { fill: pink } }", "figure-corner"),
        (".chart .bar { fill: pink }", "chart-bar"),
    ],
)
def test_it_is_said_which_shade_to_give_instead(sheet: str, shade: str) -> None:
    (problem,) = refused(sheet)
    assert problem.message == NO_RULE
    assert problem.hint.startswith(f"write :root {{ --{shade}: … }} instead")


# Shades ---------------------------------------------------------------------------------------------------

SHADES = (
    *(f":root {{ --red: {red} }}" for red in ("#010203", "#A01", "RebeccaPurple", "hsl(200 50% 40%)")),
    *(f":root {{ --red: {red} }}" for red in ("rgb(10% 20% 30%)", "transparent", "none")),
    "@media print { :root { --red: #010203 } }",
    "@media screen { :root { --red: #010203 } }",
    "@media SCREEN AND (prefers-color-scheme : dark) { :root { --red: #010203 } }",
    "@media screen and (prefers-color-scheme: light) { :root { --red: #010203 } }",
    "@media print, screen and (prefers-color-scheme: dark) { :root { --red: #010203 } }",
    ":root { @media print { --red: #010203 } }",
    ":root { --red: #010203 !important } :root { --red: #040506 }",
    ":root { --red: #010203 } :root { --red: #040506 }",
    "/* a */ :root /* b */ { /* c */ --red: /* d */ #010203 }",
    ".card { color: } p { color red } :root { --red: #010203 }",
)


@needs(chromium=CHROMIUM)
@pytest.mark.parametrize("sheet", SHADES)
def test_a_shade_given_on_root_is_what_a_browser_makes_of_it(browser: Browser, sheet: str) -> None:
    assert refused(sheet) == []
    shades = given({}, [Source("mine.css", sheet).passage()]).shades
    assert {shades.light["red"], shades.dark["red"], shades.paper["red"]} != {COLOURS["red"]}
    page = browser.new_page()
    svg = '<svg class="puzzle" viewBox="0 0 9 9"><path d="M0 0h9v9z" class="red"/></svg>'
    media = {"light": ("screen", "light"), "dark": ("screen", "dark"), "paper": ("print", "light")}
    # As it is read, and with the sheet for figures that is made of it, wherever the two stand.
    for styles in ([css(USUAL), sheet], [css(shades), sheet], [sheet, css(shades)]):
        page.set_content("<!doctype html>" + "".join(f"<style>{style}</style>" for style in styles) + svg)
        for place, (medium, scheme) in media.items():
            page.emulate_media(media=medium, color_scheme=scheme)
            painted = page.eval_on_selector("path", "element => getComputedStyle(element).fill")
            shade = getattr(shades, place)["red"]
            rgb = [int(shade[at : at + 2], 16) for at in (1, 3, 5)] if shade != "none" else None
            assert painted in (
                [f"rgb({rgb[0]}, {rgb[1]}, {rgb[2]})"] if rgb else ["none", "rgba(0, 0, 0, 0)"]
            )
    page.close()


@pytest.mark.parametrize(
    ("sheet", "message"),
    [
        ("html { --red: #010203 }", "--red is a shade of all figures"),
        (".puzzle { --white: #010203 }", "--white is a shade of all figures"),
        (":root, .card { --red: #010203 }", "--red is a shade of all figures"),
        (".card { &:hover { --red: #010203 } }", "--red is a shade of all figures"),
        ("@media (prefers-color-scheme: dark) { :root { --figure-muted: #010203 } }", NO_OTHER),
        ("@media (min-width: 44rem) { :root { --red: #010203 } }", NO_OTHER),
        ("@media not print { :root { --red: #010203 } }", NO_OTHER),
        ("@media print { @media screen { :root { --red: #010203 } } }", NO_OTHER),
        ("@supports (fill: red) { :root { --red: #010203 } }", NO_OTHER),
        ("@layer mine { :root { --red: #010203 } }", NO_OTHER),
        (":root { --red: var(--mine) }", "figures cannot be printed in the shade that --red is"),
        (":root { --red: currentColor }", "figures cannot be printed in the shade that --red is"),
        (":root { --red: rgb(1 2 3 / 50%) }", "figures cannot be printed in the shade that --red is"),
        (":root { --red: oklch(60% .1 30) }", "figures cannot be printed in the shade that --red is"),
        (":root { --red: }", "figures cannot be printed in the shade that --red is"),
        (":root { --figure-mutted: #010203 }", "figures have no shade --figure-mutted"),
        (".card { --chart-bars: #010203 }", "figures have no shade --chart-bars"),
    ],
)
def test_a_shade_that_would_not_be_everywhere_the_same_is_refused(sheet: str, message: str) -> None:
    (problem,) = refused(sheet)
    assert problem.message == message
    assert problem.hint


def test_the_manual_names_every_shade_that_is_no_colour() -> None:
    manual = (Path(__file__).parents[2] / "content/writing/themes.md").read_text()
    told = re.findall(r"`((?:figure|chart)-[a-z-]+)`", manual)
    assert sorted(told) == sorted(LIGHT)


# Wherever it stands ---------------------------------------------------------------------------------------

THEME = {"themes/mine/theme.yaml": "based on: folio\n"}
PLACES = {
    "a theme's sheet": (
        {"themes/mine/files/mine.css": "p {}\n@media print {\n  .puzzle .red { fill: pink }\n}\n"},
        "themes/mine/files/mine.css:3:18: " + NO_RULE,
    ),
    "a sheet that it imports": (
        {
            "themes/mine/files/mine.css": "@import 'more.css';",
            "themes/mine/files/more.css": ":root { --red: pink }",
        },
        "themes/mine/files/more.css:1:9: --red is a shade of all figures on all pages",
    ),
    "a template": (
        {"themes/mine/templates/blocks/moves.html": "<p>\n<style>:root { --red: pink }</style>"},
        "themes/mine/templates/blocks/moves.html:2:16: --red is a shade of all figures on all pages",
    ),
    "a sheet in content/": (
        {"content/guide.yaml": "title: T\n", "content/more.css": "path { fill: pink }"},
        "content/more.css:1:8: " + NO_RULE,
    ),
    "a style on a page": (
        {
            "content/guide.yaml": "title: T\nhtml: yes\n",
            "content/index.md": "Home.\n\n<style>\n.puzzle *{ fill: pink }\n</style>\n",
        },
        "content/index.md:4:12: " + NO_RULE,
    ),
    "an attribute on a page": (
        {
            "content/guide.yaml": "title: T\nhtml: yes\n",
            "content/index.md": 'Home.\n\n<div class="a" style="color: red; --red: pink">\n\n</div>\n',
        },
        "content/index.md:3:35: --red is a shade of all figures on all pages",
    ),
}


@pytest.mark.parametrize("place", PLACES)
def test_it_is_refused_where_it_stands(tmp_path: Path, place: str) -> None:
    files, headline = PLACES[place]
    base = {"content/guide.yaml": "title: T\ntheme: mine\n", "content/index.md": "Home.\n"}
    with pytest.raises(Problems) as caught:
        check(write_guide(tmp_path, {**base, **THEME, **files}))
    assert [problem.headline() for problem in caught.value.problems] == [headline]


def test_html_that_is_shown_as_it_is_written_gives_no_shades(tmp_path: Path) -> None:
    page = "Home.\n\n<style>\n.puzzle *{ fill: pink }\n</style>\n\n```html\n<b style='--red: pink'>\n```\n"
    check(write_guide(tmp_path, {"content/guide.yaml": "title: T\n", "content/index.md": page}))
