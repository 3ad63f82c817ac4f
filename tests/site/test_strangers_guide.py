"""What is wrong with somebody else's guide is told in its place, and brings nothing down."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Callable
from pathlib import Path
from time import process_time

import pytest
from click.testing import CliRunner
from sample_guide import write_guide

from sitegen.cli import main
from sitegen.guide.load import read_guide
from sitegen.problems import Problems
from sitegen.site import template_bounds
from sitegen.site.publish import publish

GUIDE = {"content/guide.yaml": "title: T\n", "content/index.md": "# Home\n\nText.\n"}


def told(folder: Path, files: dict[str, str]) -> list[str]:
    """The headlines of what is wrong."""
    with pytest.raises(Problems) as caught:
        publish(write_guide(folder, {**GUIDE, **files}))
    assert not (folder / "output").exists()
    return [problem.headline() for problem in caught.value.problems]


@pytest.mark.parametrize("escape", ["\\ud800", "\\udfff", "\\0", "\\x07", "\\x7f", "\\e"])
def test_no_escape_makes_what_no_page_can_show(tmp_path: Path, escape: str) -> None:
    (headline,) = told(tmp_path / "settings", {"content/guide.yaml": f'title: "a{escape}b"\n'})
    assert headline.startswith("content/guide.yaml:1:8: U+")
    (headline,) = told(tmp_path / "head", {"content/x.md": f'---\ntitle: "a{escape}b"\n---\nText.\n'})
    assert headline.startswith("content/x.md:2:8: U+")
    assert headline.endswith("is no character of a text")


@pytest.mark.parametrize("sign", ["\x00", "\x01", "\x08", "\x1b", "\x7f"])
@pytest.mark.parametrize(
    "text", ["Text {}.\n", "```moves\nR {} U\n```\n", "[a](x{}.md)\n", "---\ntitle: a{}\n---\n"]
)
def test_no_sign_for_machines_reaches_a_page(tmp_path: Path, sign: str, text: str) -> None:
    (headline,) = told(tmp_path, {"content/x.md": text.format(sign)})
    assert headline.startswith("content/x.md:")
    assert headline.endswith(f": U+{ord(sign):04X} is no character of a text")


NAMES = {
    "con.md": "con is the name of a device on some systems, and not of a file",
    "LPT1.png": "LPT1 is the name of a device on some systems, and not of a file",
    "deep/nul.txt": "nul is the name of a device on some systems, and not of a file",
    "aux/x.png": "aux is the name of a device on some systems, and not of a file",
    "a:b.md": "':' cannot stand in the name of a file on every system",
    "what?.png": "'?' cannot stand in the name of a file on every system",
    "dot./x.md": "the name of a file ends in no dot and no blank on some systems",
    "blank.md ": "the name of a file ends in no dot and no blank on some systems",
    "two\nlines.md": "this file name is no text in UTF-8",
    "\udcff.md": "this file name is no text in UTF-8",
    "\udcff/x.png": "this file name is no text in UTF-8",
}


@pytest.mark.skipif(sys.platform == "win32", reason="no such names can be made here")
@pytest.mark.parametrize("name", NAMES)
def test_every_name_is_one_on_every_system(tmp_path: Path, name: str) -> None:
    path = Path(os.fsdecode(os.fsencode(tmp_path / "content") + b"/" + os.fsencode(name)))
    path.parent.mkdir(parents=True)
    path.write_text("Text.\n")
    (headline,) = told(tmp_path, {})
    assert headline.endswith(f": {NAMES[name]}")
    assert "\n" not in headline
    headline.encode()


@pytest.mark.parametrize("name", ["con", "com1", "lpt9"])
def test_no_sequence_has_a_page_of_such_a_name(tmp_path: Path, name: str) -> None:
    (headline,) = told(tmp_path, {"content/x.md": f"```moves {name}\nR\n```\n"})
    assert headline == f"content/x.md:1:4: {name} is the name of a device on some systems"


WITHOUT_END = (
    '"%999999999d" % 1',
    '"%*d" % (999999999, 1)',
    '"%.999999999f" % 1',
    '"%(a)999999999d" % {"a": 1}',
    '("%9999d" * 1) % 1',
    '"%999999999d"|format(1)',
    '"%*d"|format(999999999, 1)',
    '"{:999999999}".format(1)',
    '"{:{}}".format(1, 999999999)',
    '"{a:999999999}".format_map({"a": 1})',
    '("{:999999999}"|e).format(1)',
    '"{:000000000000999999999}".format(1)',
    '"{:９９９９９９９９９}".format(1)',
    '"x"|center(10**9)',
    '"x"|center(999999)|center(999999)|replace(" ", "x"|center(999999))',
    '"x"|indent(10**9, true)',
    '("x"|center(99999))|wordwrap(1, true, "y"|center(99999))|length',
    '("x y " ~ ("z"|center(99999)))|truncate(10**9)|center(10**9)',
    '"xyz"|batch(10**9, "x")|list',
    '"xyz"|slice(10**9)|list',
    "[1]|batch(999999999999, 0)|list|length",
    'range(99999)|join("x"|center(99999))',
    'range(99999)|map("string")|join("x"|center(99999))',
    'range(99999)|map("center", 99999)|list|length',
    '"x".ljust(10**9)',
    '"x".rjust(width=10**9)',
    '"x".zfill(10**9)',
    '"x".center(10**9)',
    '"\t".expandtabs(10**9)',
    '("x"|center(99999)).replace(" ", "y"|center(99999))',
    '("x"|center(99999)).join(range(99999)|map("string"))',
    '("x"|center(99999)).translate({32: "y"|center(99999)})',
    '(1).to_bytes(10**9, "big")',
    '{"a": 1}|tojson(indent=10**9)',
    "lipsum(n=10**6)",
    '"x"|center(99999)|wordwrap(1)',
    '1.5|round(10**9, "ceil")',
)
"""Of little very much would be made."""
DOUBLED = (
    "{{% set n = namespace(x={}) %}}{{% for i in range(99) %}}{{% set n.x = {} %}}{{% endfor %}}{{{{ n.x }}}}"
)
LOOPS = (
    *(
        DOUBLED.format(begun, again)
        for begun, again in [
            ("'x'", "n.x ~ n.x"),
            ("'x'", "n.x + n.x"),
            ("'xx'", "n.x.replace('x', 'xx')"),
            ("'xx'", "n.x|replace('x', 'xx')"),
            ("'%s%s'", "n.x % (n.x, n.x)"),
            ("'x'", "'{0}{0}'.format(n.x)"),
            ("[1]", "n.x + n.x"),
            ("[1]", "[n.x, n.x]"),
            ("[1]", "{'a': n.x, 'b': n.x}"),
            ("[1]", "(n.x, n.x)"),
            ("[1]", "dict(a=n.x, b=n.x)"),
        ]
    ),
    "{% for a in range(999) %}{% for b in range(999)|list %}{% for c in range(999)|list %}{% endfor %}"
    "{% endfor %}{% endfor %}",
    "{% macro f(n) %}{% if n %}{{ f(n - 1) }}{{ f(n - 1) }}{% endif %}{% endmacro %}{{ f(99) }}",
    "{% for a in [[1]] recursive %}{{ loop([[1], [1]]) if loop.depth < 99 }}{% endfor %}",
    "{% set x = 'x'|center(999999) %}{% for a in range(99999) %}{{ x }}{% endfor %}",
    "{% set n = namespace(x=9) %}{% for i in range(99999) %}{% set n.x = n.x + n.x %}{% endfor %}",
)
"""What comes to much step by step."""
TEMPLATES = (
    "{{ prose(1, 2) }}",
    "{{ prose() }}",
    "{{ row(1) }}",
    "{{ url(1) }}",
    "{{ words(3) }}",
    "{{ histogram(1) }}",
    "{{ 1 / 0 }}",
    "{{ 1 % 0 }}",
    "{{ page.title + 1 }}",
    "{{ page.title[99].x }}",
    "{{ range(10 ** 9) | list }}",
    "{{ 'x' * 10000000000 }}",
    "{{ [1] * 1000000000 }}",
    "{{ 10 ** 10 ** 9 }}",
    "{% for a in range(99999) %}{% for b in range(99999) %}{% endfor %}{% endfor %}",
    *("{{ " + text + " }}" for text in WITHOUT_END),
    *LOOPS,
)
"""What a theme asks for in vain, or without end."""


def themed(template: str) -> dict[str, str]:
    """A theme that puts something under every title."""
    page = f'{{% extends "folio/pages/page.html" %}}\n{{% block under_title %}}\n{template}\n{{% endblock %}}'
    return {
        "content/guide.yaml": "title: T\ntheme: mine\n",
        "themes/mine/theme.yaml": "based on: folio\n",
        "themes/mine/templates/pages/page.html": page,
    }


@pytest.mark.parametrize("template", TEMPLATES)
def test_what_a_theme_asks_for_in_vain_is_told_in_its_line(
    tmp_path: Path, template: str, monkeypatch
) -> None:
    """With bounds that are come to soon: what counts towards them is the same for any."""
    for bound, soon in {"ROOM": 2_000_000, "MOST_STEPS": 500_000, "MOST_MADE": 15_000_000}.items():
        monkeypatch.setattr(template_bounds, bound, soon)
    (headline,) = told(tmp_path, themed(template))
    assert headline.startswith("themes/mine/templates/pages/page.html:3:1: ")


@pytest.mark.parametrize(
    ("template", "most"),
    [
        (
            "{% for a in range(99999) %}{% for b in range(99999) %}{% endfor %}{% endfor %}",
            "10,000,000 steps",
        ),
        (LOOPS[0], "20,000,000 characters"),
        (
            "{% set x = 'x'|center(999999) %}{% for a in range(99999) %}{{ x }}{% endfor %}",
            "300,000,000 characters",
        ),
    ],
)
def test_a_theme_may_do_so_much_and_no_more(tmp_path: Path, template: str, most: str) -> None:
    (headline,) = told(tmp_path, themed(template))
    assert most in headline


@pytest.mark.parametrize("around", ["{}", "{{% for each in [1] %}}{}{{% endfor %}}"])
def test_what_else_has_a_name_does_not_count_in_a_call(tmp_path: Path, around: str, monkeypatch) -> None:
    template = "{% set large = 'x'|center(99999) %}{{ page.title.endswith(('.', '!', '?', ':', ';')) }}"
    monkeypatch.setattr(template_bounds, "ROOM", 1_000_000)
    guide = {**GUIDE, "content/index.md": "# A title of so many characters\n\nText.\n"}
    publish(write_guide(tmp_path, {**guide, **themed(around.format(template))}))
    assert "False" in (tmp_path / "output/index.html").read_text()


AWAY = "http://192.0.2.1/x.png"
"""An address that nobody has (RFC 5737)."""


@pytest.mark.parametrize(
    "text",
    [
        f"![A]({AWAY})",
        "![A](//192.0.2.1/x.png)",
        f"[![A]({AWAY})](index.md)",
        f"![A][b]\n\n[b]: {AWAY}",
        f'<img src="{AWAY}">',
        f"<img srcset='{AWAY} 2x'>",
        f"<script src={AWAY}></script>",
        f'<video poster="{AWAY}"></video>',
        f"<iframe src={AWAY}></iframe>",
        f"<object data={AWAY}></object>",
    ],
)
def test_not_even_a_draft_loads_anything_from_elsewhere(tmp_path: Path, text: str) -> None:
    files = {**GUIDE, "content/guide.yaml": "title: T\nhtml: yes\n", "content/x.md": f"{text}\n"}
    done = publish(write_guide(tmp_path, files), draft=True)
    assert any(problem.message == "pages load nothing from elsewhere" for problem in done.problems)
    page = (tmp_path / "output/x.html").read_text()
    main = page[page.index("<main") : page.index("</main>")]
    assert "192.0.2.1" not in re.sub(r"<pre.*?</pre>", "", main, flags=re.DOTALL)


@pytest.mark.parametrize("target", ["../../../etc/passwd", "%2e%2e/%2e%2e/etc/passwd", "nowhere.png"])
@pytest.mark.parametrize("text", ["![A]({})", '<img src="{}">', "<iframe src={}></iframe>"])
def test_not_even_a_draft_loads_what_is_not_of_the_site(tmp_path: Path, text: str, target: str) -> None:
    page = f"{text.format(target)}\n"
    files = {**GUIDE, "content/guide.yaml": "title: T\nhtml: yes\n", "content/x.md": page}
    assert publish(write_guide(tmp_path, files), draft=True).problems
    assert not re.search(r'src="[^"]', (tmp_path / "output/x.html").read_text().partition("<main")[2])


# Too much -------------------------------------------------------------------------------------------------


def test_a_page_without_end_is_refused_at_once(tmp_path: Path) -> None:
    (headline,) = told(tmp_path, {"content/x.md": "**x** " * 200_000})
    assert headline == "content/x.md:1:1: this has 1,200,000 characters, and a file may have 1,000,000"


GROWING: dict[str, Callable[[int], str]] = {
    "words": lambda count: "**x** " * count,
    "ticks": lambda count: f"{'**x** ✓ ' * (count // 4)}\n",
    "words in a block": lambda count: f"```moves\nmoves: R U\nsay: {'**x** ' * count}\n```\n",
    "blanks in an address": lambda count: f"[a](x{' ' * count}y)\n",
    "lines below a head": lambda count: f"---\ntitle: X\n---\n---\n{' ' * (count // 8)}a\n" + "a\n" * count,
    "remarks that do not end": lambda count: f"a {'<!-- ' * count}\n",
    "lines that begin remarks": lambda count: "<!-- a\n" * (count // 8) + "\nb\n",
    "remarks in a line": lambda count: f"{'<!-- a -->' * (count // 8)} b\n",
    "elements that do not end": lambda count: f"{'<b>' * (count // 8)}{'</i>' * (count // 8)}\n",
    "letters before a claim": lambda count: f"`R`{{.moves}} {'n' * count} `order 4`{{.claim}}\n",
    "commas in an attribute": lambda count: f'<img alt="" srcset="{"," * (count // 8)}">\n',
}


@pytest.mark.parametrize("html", ["yes", "no"])
@pytest.mark.parametrize("text", GROWING.values(), ids=GROWING)
def test_a_text_takes_as_long_as_it_is(tmp_path: Path, text: Callable[[int], str], html: str) -> None:
    """And not its length times the number of its words, lines or signs."""

    def seconds(count: int) -> float:
        files = {"content/guide.yaml": f"title: T\nhtml: {html}\n", "content/x.md": text(count)}
        write_guide(tmp_path, {**GUIDE, **files})
        begun = process_time()
        read_guide(tmp_path)
        return process_time() - begun

    seconds(1)
    assert seconds(40_000) < 16 * seconds(5_000)


def test_more_turns_in_a_row_than_anybody_means_are_refused(tmp_path: Path) -> None:
    (headline,) = told(tmp_path, {"content/x.md": f"```moves\n{'R U ' * 60_000}\n```\n"})
    assert headline.endswith(": these are more than 100,000 turns, one by one")


def test_of_very_many_problems_the_first_are_shown_and_all_are_counted(tmp_path: Path) -> None:
    write_guide(tmp_path, {**GUIDE, "content/x.md": "[x](nowhere.md)\n\n" * 5_000})
    printed = CliRunner().invoke(main, ["check", str(tmp_path)]).output
    assert printed.count("there is no page") == 50
    assert printed.endswith("5,000 problems, of which these are the first 50\n")
    assert len(printed) < 20_000
