"""Nothing written in a guide is dropped, or changes its meaning, in silence.

From every line of a sound text removed, doubled, moved to another line, or set in or out, comes an error, or
a site that shows the change. Where the site is the same, the text says the same to PyYAML, an independent
reader: so it is for the order of keys, comments, empty lines, and how far a text or a whole list is set in.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
import yaml
from jinja2 import Environment

from sitegen.figures.raster import Drawing
from sitegen.guide.load import read_guide
from sitegen.problems import Problems
from sitegen.site.render import Site, render_site
from sitegen.site.theme import load_theme

COLUMNS = (1, 2, 4)
LOADER = getattr(yaml, "CBaseLoader", yaml.BaseLoader)  # by libyaml, where it is there
UNORDERED = ("pieces", "stickers", "sizes", "without")
"""Lists that say the same in any order."""

TOOLS = """\
```moves three
[L, R']
```

```moves flip-two
[L, R'] [U', R]
```

"""
TIP = """\
```method {}
count: 2
stages:
- stage: Tips
  goal: {} oriented by F
  using: any turns of u and l up to 1
```

"""
METHODS = TIP.format("tips", "FRLu") + TIP.format("others", "FLDl")


@dataclass(frozen=True)
class Sample:
    """A sound text, which stands for `{}` in a file of a guide, and the guide's other files."""

    text: str
    file: str = "content/index.md"
    around: str = "{}"
    others: tuple[tuple[str, str], ...] = ()
    unordered: bool = False
    """Whether its lines say the same in any order."""
    checks: tuple[str, ...] = ()
    """Lines that only ask for something to be looked at: without one, all is said that was."""


def block(head: str, text: str, before: str = "", puzzle: str = "pyraminx", **more: Any) -> Sample:
    return Sample(text, around=f"---\npuzzle: {puzzle}\n---\n{before}```{head}\n{{}}```\n", **more)


SAMPLES = {
    "moves": block(
        "moves round",
        """\
# Two layers.
title: Three edges round
moves: L R'
  L' R
starts: U L
claims:
- cycles FL > DF > FR
- changes only FL, FR and FD

- order 3
view: corner, net
focus: FL and FR
arrows: no
letters: yes
tags:
  - pyramid
  - cycles
say: Two layers share a piece.
  It makes a cycle of three.
caption: Seen
  from two sides.
""",
    ),
    "moves with lists on a line": block(
        "moves back",
        """\
title: "Back: the other way"
moves: [R', L]
ends: solved
claims: length 4 OBTM; order 3
view: [net, corner]
tags: [pyramid, 'and more']
""",
    ),
    "moves with a card of their own": block(
        "moves shown",
        "moves: R L\neffect: It turns\n  *two* layers.\nmetrics: ETM, STM\nwithout:\n- layers\n- title\n",
    ),
    "moves alone": block("moves alone", "L R'\nL' R\n"),
    "marked moves": block(
        "moves told-apart", "title: Apart\nmoves: U\nmarked: yes\nclaims:\n- order 4\n", puzzle="cube-4"
    ),
    "derivation": block(
        "derivation how",
        """\
title: How it goes round
guard: all except FL, FR and FD
watch: FL and FR
steps:
- turn: L
  as: the first
  set aside: RL
- turn: R'
  as: between
  say: A stranger
    is turned away.
- undo: the first
- turn: R
  guard: home
names: round-the-front
claims:
- order 3
- keeps tips
view: net
letters: yes
tags: pyramid, found
say: Four turns.
caption: Beside it.
""",
        checks=("guard: home",),
    ),
    "derivation that fails": block(
        "derivation not-so", "guard: all\nfails: yes\nsteps:\n  - turn: L\n  - turn: R\n    say: So far.\n"
    ),
    "position": block(
        "position one-flip",
        """\
title: Never
pieces:
- flips FL
- twists FRL clockwise
impossible: yes
view: corner, net
focus: FL
arrows: yes
letters: yes
say: One flip alone.
caption: Beside it.
""",
    ),
    "position by moves": block(
        "position turned", "moves: L R'\n  L' R\nsolve: R' L\n  R L'\nview: net\nletters: yes\n"
    ),
    "position by stickers": block(
        "position told", "stickers:\n- FL is at DF, FD is at RF\n- FR is at FL\nview: net\n"
    ),
    "position alone": block("position plain", "flips FL and FR\ntwists FRL clockwise\n", unordered=True),
    "find": block(
        "find ways",
        """\
title: Ways round
claims:
- changes only FL, FR and FD
- order 3
faces: L, R
slices: yes
wide: yes
metric: QTM
longest: 5
most: 1
then: U
view: net
focus: FL
letters: yes
say: The shortest.
caption: Beside it.
""",
    ),
    "derive": block(
        "derive steps",
        """\
title: By steps
claims:
- swaps FR with RL
guard: FL
watch: FR and FD
faces: U, L, R
slices: yes
wide: yes
aside: 1
steps: 3
longest: 6
most: 2
view: net
letters: yes
say: So.
caption: Beside it.
""",
    ),
    "find alone": block("find short", "twists FRLu clockwise\nkeeps edges\n"),
    "method": block(
        "method by-stages",
        """\
title: Our way
stages:
- stage: Two of them
  goal: FL and FD home
  one by one: FL, FD
  using: any turns of U, L and R up to 1
  view: net
  say: By hand.
- stage: Edges
  goal:
  - FL placed
  - FR placed
  using: @three and @three'
  lead-in: 1 turn of U, L and R
  hold: 1-3U
- stage: Over
  goal: FL home
  using:
  - @flip-two
  layer turns: U
open: yes
count: 2
seed: 3
view: corner
letters: yes
compact: yes
say: Not all of it.
caption: Beside it.
""",
        TOOLS,
    ),
    "practice": block(
        "practice with-a-pencil",
        """\
title: Sums
from: @three and @flip-two
count: 3
seed: 7
lead-in: 1 turn of U
mirror: yes
hold: 1-3U
fill in:
- effect
- undoing
view: net
letters: yes
say: Now you.
caption: Beside it.
""",
        TOOLS,
    ),
    "worked example": block(
        "worked example by-hand",
        "title: Seen\nmethod: tips\nseed: 4\nposition: 2\nview: net\nletters: yes\n"
        "say: Look.\ncaption: Beside it.\n",
        METHODS,
    ),
    "worked example of moves": block(
        "worked example given", "method: tips\nmoves: u L\n  u\nview: net\n", METHODS
    ),
}


FIGURE = "```moves turned\nmoves: U R\ncaption: Two turns.\n```\n"
SAMPLES |= {
    "guide.yaml": Sample(
        """\
# The whole guide
title: A handbook
language: de
address: https://example.org/cube/
puzzle: cube-2
theme: mine
paper: Letter
pages:
- third

- second
colours:
  U: yellow
  D: purple
  red: "#b02030"
html: on
workings: yes
figure numbers: yes
logo: logo.svg
links:
  Third: third.md
  Elsewhere: https://example.org/
author: Ada
licence: {CC0: third.md}
footer: Ask us.
blocks:
  view: net
  focus: U
  letters: yes
""",
        file="content/guide.yaml",
        others=(
            ("content/index.md", FIGURE),
            ("content/second.md", "---\nkind: handout\n---\n<b>Text</b>\n"),
            ("content/third.md", "# Third\n"),
            ("content/logo.svg", "<svg/>"),
            ("themes/mine/theme.yaml", "name: mine\n"),
            ("themes/mine/files/mine.css", "h1 { color: red }\n"),
        ),
    ),
    "theme.yaml": Sample(
        'name: mine\nbased on: other\ncolours:\n  red: "#b3202c"\n  blue: "#0000ee"\n',
        file="themes/mine/theme.yaml",
        checks=("name: mine",),
        others=(
            ("content/guide.yaml", "title: T\ntheme: mine\n"),
            ("content/index.md", "Text.\n"),
            ("themes/other/theme.yaml", "name: other\n"),
            ("themes/other/files/other.css", "h1 { color: red }\n"),
        ),
    ),
    "front matter": Sample(
        "title: A page\nsummary: One line\n  or two.\npuzzle: cube-2\ntags:\n- red\n- blue\n",
        around=f"---\n{{}}---\n{FIGURE}",
    ),
    "front matter for figures": Sample("figure numbers: yes\n", around=f"---\n{{}}---\n{FIGURE}"),
    "front matter for authors": Sample("workings: yes\n", around=f"---\n{{}}---\n{FIGURE}"),
    "front matter for blocks": Sample(
        "blocks:\n  view: net\n  focus: U\n  arrows: no\n  letters: yes\n  tags: [red, blue]\n",
        around=f"---\n{{}}---\n{FIGURE}",
    ),
    "footnotes and terms": Sample(
        """\
Text[^1], and more[^more].

Guard
: what is kept
: whatever it takes

Aside
: what is put away

[^1]: A note
    that goes on.

    And on.
[^more]: Another, of `R U`{.moves} `order 105`{.claim}.
""",
        unordered=True,
    ),
    "figures in a table": Sample(
        """\
| Case | Before | After |
|---|:---:|---|
| `R U`{.case} | `@turned`{.before} | `L'`{.after} |
| `@turned`{.case} | `R'`{.before} | `@turned`{.after} |
""",
        around=f"{FIGURE}\n{{}}",
    ),
    "a draft": Sample("draft: yes\n", file="content/later.md", around="---\n{}---\nText.\n"),
    "front matter for paper": Sample(
        """\
title: A sheet
kind: handout
paper: Letter
orientation: landscape
columns: 3
text size: 8.5 pt
cards:
- three
- flip-two
case sheet: tips
sheet for each heading: yes
tags: [red, 'blue, or so']
""",
        file="content/sheet.md",
        around="---\n{}---\nText.\n\n## More\n\nText.\n",
        others=(("content/index.md", f"---\npuzzle: pyraminx\n---\n{TOOLS}{METHODS}"),),
    ),
    "puzzle": Sample(
        """\
# A pyramid
solid: tetrahedron
names:
  F: A
  D: Z
axes:
  U: A R L
  L: A L Z
  R: A R Z
  B: R L Z
depths: [5/3, 1/3]
angle: 120
turns:
  q: {axis: U, layers: 1-2}
  v:
    axis: B
    layers: 1
    times: 2
colours:
  A: red
  Z: white
""",
        file="content/puzzles/own.yaml",
        others=(
            (
                "content/index.md",
                "---\npuzzle: own\n---\n```moves x\nmoves: q v\nview: net\nletters: yes\n```\n",
            ),
        ),
    ),
    "puzzle of several sizes": Sample(
        "solid: cube\naxes: faces\nsizes:\n- 2\n- 3\ndepths: equal layers\nangle: 90\nnotation: cube\n",
        file="content/puzzles/own.yaml",
        others=(
            (
                "content/index.md",
                "---\npuzzle: own-2\n---\n```moves x\nU R\n```\n",
            ),
            ("content/other.md", "---\npuzzle: own-3\n---\n```moves y\nM\n```\n"),
        ),
    ),
}


class Publisher:
    """Publishes the guide of a sample with another text in its place; where something is wrong, nothing."""

    def __init__(self, sample: Sample, folder: Path) -> None:
        self.sample, self.folder = sample, folder
        self.environments: dict[str, Environment] = {}
        for name, text in (("content/guide.yaml", "title: T\n"), ("content/index.md", ""), *sample.others):
            self.write(name, text)

    def write(self, name: str, text: str) -> None:
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")

    def __call__(self, text: str) -> dict[str, list[bytes]] | None:
        """Every file, word by word, since how many blanks stand between words is not seen."""
        self.write(self.sample.file, self.sample.around.replace("{}", text))
        try:
            guide = read_guide(self.folder)
            if guide.problems:
                return None
            site = Site(guide, load_theme(guide.config, self.folder))
        except Problems:
            return None
        # Templates are the same for all, and compiling them takes longer than all else together.
        folders = str(site.theme.folders)
        site.__dict__["environment"] = self.environments.setdefault(folders, site.environment)
        return {
            name: [content.svg] if isinstance(content, Drawing) else content.split()
            for name, content in render_site(site)
        }


def changes(text: str) -> Iterator[tuple[str, str]]:
    """Each change of a line, told, and what comes of it."""
    lines = text.splitlines(keepends=True)
    for number, line in enumerate(lines):
        before, after = lines[:number], lines[number + 1 :]

        def told(what: str, line: str = line) -> str:
            return f"{line.strip()!r} {what}"

        yield told("removed"), "".join([*before, *after])
        yield told("doubled"), "".join([*before, line, line, *after])
        others = [*before, *after]
        for place in range(len(lines)):
            yield told(f"moved to line {place + 1}"), "".join([*others[:place], line, *others[place:]])
        for columns in COLUMNS:
            yield told(f"set in by {columns}"), "".join([*before, " " * columns + line, *after])
            if line[:columns].isspace() and line.strip():
                yield told(f"set out by {columns}"), "".join([*before, line[columns:], *after])


def says(text: str, sample: Sample) -> Any:
    """What PyYAML reads; the lines themselves where that is no YAML.

    It takes @ for a sign of its own, and `[A, B]` for a list, which makes no difference to whether two texts
    say the same. Comments are left out before, since it takes none in the midst of a text.
    """
    written = [line for line in text.splitlines() if line.strip() and not line.lstrip().startswith("# ")]
    try:
        found = yaml.load("\n".join(written).replace("@", "at-"), Loader=LOADER)
    except yaml.YAMLError:
        found = None
    if isinstance(found, dict):
        return plain(found)
    words = [line.split() for line in written]
    return sorted(words) if sample.unordered else words


def plain(found: Any, key: str = "") -> Any:
    if isinstance(found, dict):
        return {key: plain(value, key) for key, value in found.items()}
    if isinstance(found, list):
        items = [plain(item) for item in found]
        return sorted(items, key=repr) if key in UNORDERED else items
    return " ".join(str(found).split())


def unnoticed(sample: Sample, folder: Path) -> list[str]:
    """The changes that say something else, and that nobody would notice."""
    publish = Publisher(sample, folder)
    sound = publish(sample.text)
    assert sound is not None, "the sample is not sound"
    meant = says(sample.text, sample)
    tried, found = {sample.text}, []
    for told, text in changes(sample.text):
        if text not in tried and says(text, sample) != meant and publish(text) == sound:
            found.append(told)
        tried.add(text)
    return [told for told in found if told not in {f"{check!r} removed" for check in sample.checks}]


@pytest.mark.parametrize("name", SAMPLES)
def test_a_line_that_is_changed_is_an_error_or_is_seen(name: str, tmp_path: Path) -> None:
    assert unnoticed(SAMPLES[name], tmp_path) == []
