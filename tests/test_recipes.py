"""What DEVELOPERS.md says is enough: each recipe is followed in a copy of the house, for a guide to use it.

The copy runs in a process of its own. Only files and tables that a recipe names can be added to here.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from sample_guide import write_guide

ROOT = Path(__file__).parents[1]
EXAMPLES = Path(__file__).parent / "samples" / "recipes"
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
RECIPES = dict(re.findall(r"(?ms)^\*\*([^*\n]+)\.\*\* (.*?)(?=^\*\*|^## |\Z)", DEVELOPERS))
"""By what is added; each begins with that in bold letters."""
BASE = {"content/guide.yaml": "title: T\n", "content/index.md": "Home.\n"}


class House:
    """A copy of the package and its themes, to which something is added by a recipe."""

    def __init__(self, built: Path, folder: Path, recipe: str) -> None:
        self.folder, self.recipe = folder, RECIPES[recipe]
        shutil.copytree(built, folder, dirs_exist_ok=True)

    def file(self, example: str, path: str, name: str = "NAME") -> None:
        """A new file, in a folder that the recipe names; NAME stands there for the name of what is added."""
        place = path.rpartition("/")[0].replace(name, "NAME").removeprefix("guide/")
        assert f"`{place}/`" in self.recipe
        assert not (self.folder / path).exists()
        (self.folder / path).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(EXAMPLES / example, self.folder / path)

    def line(self, table: str, path: str, line: str, bring: str) -> None:
        """A line at the end of a table that the recipe names, with the import that it needs."""
        assert f"`{table}`" in self.recipe
        text = self._text(path)
        opening = re.search(rf"^{table}\b[^\n]*= \{{$", text, re.MULTILINE)
        end = text.index("\n}", opening.end()) if opening else -1
        if one_line := re.search(rf"^({table}\b[^\n]*= \{{[^\n]+)\}}$", text, re.MULTILINE):
            text = f"{text[: one_line.end(1)]}, {line}{text[one_line.end(1) :]}"
        else:
            assert end > 0
            text = f"{text[:end]}\n    {line},{text[end:]}"
        text = text.replace("annotations\n", f"annotations\n{bring}\n", 1)
        (self.folder / path).write_text(text, encoding="utf-8")

    def words(self, path: str, before: str, after: str) -> None:
        """Other words in a file that the recipe names."""
        assert before in self._text(path)
        (self.folder / path).write_text(self._text(path).replace(before, after, 1), encoding="utf-8")

    def _text(self, path: str) -> str:
        assert f"`{path}`" in self.recipe
        return (self.folder / path).read_text(encoding="utf-8")

    def told(self, files: dict[str, str]) -> tuple[int, str]:
        """The status with which a guide is published, and what is said of that."""
        guide = write_guide(self.folder / "guide", {**BASE, **files})
        done = publishing(self.folder, guide)
        assert "Traceback" not in done.stderr, done.stderr
        return done.returncode, done.stdout + done.stderr

    def published(self, files: dict[str, str], page: str = "index.html") -> str:
        status, told = self.told(files)
        assert status == 0, told
        return (self.folder / "guide" / "output" / page).read_text(encoding="utf-8")


def publishing(folder: Path, guide: Path) -> subprocess.CompletedProcess[str]:
    """How a guide is published by the package in a folder, whose modules are compiled where they are."""
    return subprocess.run(
        [sys.executable, "-c", "from sitegen.cli import main; main()", "publish", str(guide)],
        cwd=folder,
        env={name: value for name, value in os.environ.items() if name != "PYTHONPYCACHEPREFIX"},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture(scope="module")
def built(tmp_path_factory) -> Path:
    """The package and its themes, compiled, so that of a copy only what is new in it has to be."""
    folder: Path = tmp_path_factory.mktemp("built")
    for name in ("sitegen", "themes"):
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
    done = publishing(folder, write_guide(folder / "guide", BASE))
    assert done.returncode == 0, done.stderr
    shutil.rmtree(folder / "guide")
    return folder


@pytest.fixture
def house(built: Path, tmp_path: Path):
    return lambda recipe: House(built, tmp_path, recipe)


def moves(body: str, head: str = "") -> dict[str, str]:
    return {"content/index.md": f"{head}Home.\n\n```moves\n{body}```\n"}


def test_a_claim_is_a_module_and_a_line(house) -> None:
    new = house("A claim")
    block = "moves: R U R' U'\nclaims: changes exactly {}\n"
    status, told = new.told(moves(block.format(7)))
    assert status == 1
    new.file("moved_count.py", "sitegen/effects/claims/moved_count.py")
    new.line(
        "KINDS",
        "sitegen/effects/claims/__init__.py",
        '"changes exactly": moved_count.read',
        "from sitegen.effects.claims import moved_count",
    )
    # By hand, and common practice: three edges and two pairs of corners.
    page = new.published(moves(block.format(7)))
    assert "changes exactly 7" in page
    assert "turning in this guide: 1 claim." in page
    status, told = new.told(moves(block.format(6)))
    assert (status, "this claim is false: 7 pieces are changed" in told) == (1, True)


def test_a_view_is_a_module_and_a_line(house) -> None:
    new = house("A view")
    block = "moves: R U\nview: ahead\n"
    assert new.told(moves(block))[0] == 1
    new.file("ahead.py", "sitegen/figures/views/ahead.py")
    new.line(
        "VIEWS",
        "sitegen/figures/views/__init__.py",
        '"ahead": ahead',
        "from sitegen.figures.views.ahead import ahead",
    )
    assert new.published(moves(block)).count("<svg") == 2


def test_a_mark_is_a_module_a_class_and_a_line(house) -> None:
    new = house("A mark")
    new.file("bar.py", "sitegen/figures/marks/bar.py")
    new.words(
        "sitegen/figures/picture.py",
        "Mark = Arrow |",
        "@dataclass(frozen=True)\nclass BarMark:\n    slot: int\n\n\nMark = BarMark | Arrow |",
    )
    new.line(
        "MARKS",
        "sitegen/figures/marks/__init__.py",
        "BarMark: bar",
        "from sitegen.figures.marks.bar import bar\nfrom sitegen.figures.picture import BarMark",
    )
    position = {"content/index.md": "Home.\n\n```position\nmoves: R\narrows: no\n```\n"}
    unmarked = new.published(position)
    new.words(
        "sitegen/blocks/position_block.py",
        "focus=shown.focus,",
        "focus=shown.focus, marks=(BarMark(position.puzzle.slots['UF']),),",
    )
    new.words(
        "sitegen/blocks/position_block.py",
        "annotations\n",
        "annotations\nfrom sitegen.figures.picture import BarMark\n",
    )
    page = new.published(position)
    assert page.count('<g class="marks">') == unmarked.count('<g class="marks">') + 1


def test_a_block_kind_is_a_module_a_template_and_a_line(house) -> None:
    new = house("A block kind")
    template = (EXAMPLES / "times.html").read_text(encoding="utf-8")
    guide = {
        "content/guide.yaml": "title: T\ntheme: ours\n",
        "themes/ours/theme.yaml": "name: ours\n",
        "themes/ours/templates/blocks/times.html": template,
        "content/index.md": "Home.\n\n## Times six\n\n```times six\nmoves: R U R' U'\ntimes: 6\n"
        "say: See [](times:six) and [the top](index.md#times-six).\n```\n",
        "content/other/more.md": "# More\n\n[](times:six), [there](../index.md#times-six)\n",
    }
    assert new.told(guide)[0] == 1
    assert "`themes/folio/templates/blocks/`" in new.recipe
    new.file("times_block.py", "sitegen/blocks/times_block.py")
    new.line(
        "KINDS",
        "sitegen/blocks/kinds.py",
        '"times": times_block.KIND',
        "from sitegen.blocks import times_block",
    )
    page = new.published(guide)
    # Common practice: the sequence has the order 6.
    assert "all is home after 6 times" in page
    assert page.count("<svg") == 1
    assert page.count('id="times-six"') == 1  # the heading of that name gives way
    assert 'id="times-six-2"' in page
    assert '<a href="#times-six">Six</a>' in page
    assert "turning in this guide: 1 claim." in page
    more = new.published(guide, "other/more.html")
    assert '<a href="../index.html#times-six">Six</a>, <a href="../index.html#times-six">there</a>' in more


def test_what_is_wrong_in_a_block_of_a_new_kind_is_told_as_in_any_other(house) -> None:
    new = house("A block kind")
    new.file("times_block.py", "sitegen/blocks/times_block.py")
    new.line(
        "KINDS",
        "sitegen/blocks/kinds.py",
        '"times": times_block.KIND',
        "from sitegen.blocks import times_block",
    )
    page = "Home [](times:sx).\n\n```times six\nmoves: R U R' U'\ntimes: 5\n```\n\n```tims\nmoves: R\n```\n"
    status, told = new.told({"content/index.md": f"{page}\n    ```times\n    moves: R\n    ```\n"})
    assert status == 1
    for message in [
        "1:9: no times is named sx",
        "5:8: all is home after 6 times",
        "8:4: there is no kind of block “tims”",
        "12:5: this is set in so far",
    ]:
        assert f"content/index.md:{message}" in told


def test_a_notation_is_a_module_and_a_line(house) -> None:
    new = house("A notation")
    slab = (EXAMPLES / "slab.yaml").read_text(encoding="utf-8") + "notation: lettered\n"
    # By hand: of the four pieces UR goes by UL and DL to DR, DR to DL, and DL by UL to UR.
    guide = {
        "content/puzzles/slab.yaml": slab,
        **moves("moves: Ua Rb Uab\nclaims:\n- order 3\n- length 2 OBTM\n", "---\npuzzle: slab\n---\n"),
    }
    assert "notation cannot be “lettered”" in new.told(guide)[1]
    new.file("lettered.py", "sitegen/moves/notations/lettered.py")
    new.line(
        "NOTATIONS",
        "sitegen/moves/notation.py",
        '"lettered": LETTERED',
        "from sitegen.moves.notations.lettered import LETTERED",
    )
    assert "Ua Rb Uab" in new.published(guide)
    wrong = guide["content/index.md"].replace("Uab", "Uac")
    assert "slab has no layers Uac" in new.told({**guide, "content/index.md": wrong})[1]
    axes = slab.replace("{U: U, R: R}", "{Up: U, R: R}")
    assert (
        "is for puzzles whose axes are single letters"
        in new.told({**guide, "content/puzzles/slab.yaml": axes})[1]
    )


def test_a_puzzle_is_a_file(house) -> None:
    new = house("A puzzle")
    guide = moves("moves: U R U\nclaims: order 2\n", "---\npuzzle: slab\n---\n")
    assert new.told(guide)[0] == 1
    new.file("slab.yaml", "sitegen/puzzles/definitions/slab.yaml")
    assert new.published(guide).count("<svg") == 2


@pytest.mark.parametrize("within", ["", "guide/"])
def test_a_theme_is_a_folder_with_what_differs(house, within: str) -> None:
    """Beside the one that ships, or in a guide."""
    new = house("A theme")
    guide = {
        "content/guide.yaml": "title: T\ntheme: evening\n",
        "content/index.md": "---\ntitle: Home\nsummary: Where it begins.\n---\nText.\n",
    }
    assert "there is no theme evening" in new.told(guide)[1]
    places = {
        "evening.yaml": "theme.yaml",
        "evening.css": "files/evening.css",
        "evening.js": "files/evening.js",
        "evening_page.html": "templates/pages/page.html",
    }
    for example, place in places.items():
        new.file(example, f"{within}themes/evening/{place}", "evening")
    page = new.published(guide)
    assert '<p class="to-begin-with">Where it begins.</p>' in page
    assert page.index("files/folio.css") < page.index("files/evening.css")
    assert page.index("files/folio.js") < page.index("files/evening.js")
    assert "--red:#b3202c" in new.published(guide, "files/figures.css")
    (new.folder / f"{within}themes/evening/templates/pages/page.html").rename(
        new.folder / f"{within}themes/evening/templates/pages/pages.html"
    )
    assert "is it pages/page.html?" in new.told(guide)[1]
