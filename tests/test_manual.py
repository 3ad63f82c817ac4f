"""What the manual shows can be pasted into a fresh guide and publishes there, or fails as is printed."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from click.testing import CliRunner
from sample_guide import guide_of, write_guide

from sitegen.cli import main
from sitegen.problems import Problems
from sitegen.site.publish import check, publish

ROOT = Path(__file__).parents[1]
MANUAL = sorted((ROOT / "content" / "writing").glob("*.md"))
FENCE = re.compile(r"^(?P<marks>`{3,})(?P<kind>\w+)\n(?P<text>.*?)^(?P=marks)$", re.DOTALL | re.MULTILINE)
PASTED = ("example", "markdown")


@dataclass(frozen=True)
class Shown:
    """A fence of the manual: its text, and what the page shows before it."""

    page: str
    line: int
    kind: str
    text: str
    before: str
    """The words since the fence before, or since the beginning."""
    above: tuple[Shown, ...]

    @property
    def head(self) -> str:
        """The last lines for the head of a page that the manual has shown before."""
        return next((each.text for each in reversed(self.above) if each.text.startswith("---\n")), "")

    @property
    def pasted(self) -> str:
        """What a reader pastes: it alone, or with what stands above where the page says so."""
        others = self.above if "from above" in self.before else ()
        return "\n".join([self.head, *(each.text for each in others if each.kind in PASTED), self.text])


def shown(file: Path) -> Iterator[Shown]:
    text = file.read_text(encoding="utf-8")
    above: tuple[Shown, ...] = ()
    end = 0
    for found in FENCE.finditer(text):
        line = text.count("\n", 0, found.start()) + 1
        each = Shown(file.stem, line, found["kind"], found["text"], text[end : found.start()], above)
        yield each
        above, end = (*above, each), found.end()


ALL = [each for file in MANUAL for each in shown(file)]


def of_kind(*kinds: str) -> list:
    return [pytest.param(each, id=f"{each.page}:{each.line}") for each in ALL if each.kind in kinds]


def fresh(folder: Path, files: dict[str, str]) -> Path:
    write_guide(guide_of(folder) / "content", files)
    return folder


def test_the_manual_shows_what_these_tests_read() -> None:
    assert len(of_kind(*PASTED)) >= 30
    assert {each.kind for each in ALL} == {*PASTED, "yaml", "css", "text", "sh", "html"}
    assert sum(file.read_text().count("````example") for file in MANUAL) == len(of_kind("example"))


@pytest.mark.parametrize("each", of_kind(*PASTED))
def test_every_example_publishes_in_a_fresh_guide_as_it_stands(tmp_path: Path, each: Shown) -> None:
    guide = check(fresh(tmp_path, {"index.md": each.pasted}))
    assert guide.notes == ()


@pytest.mark.parametrize("each", of_kind("yaml"))
def test_all_settings_that_are_shown_can_be_pasted(tmp_path: Path, each: Shown) -> None:
    """At the head of a page, or as the file that the page speaks of."""
    if each.text.startswith("---\n"):
        publish(fresh(tmp_path, {"index.md": f"{each.text}\nText.\n"}))
    elif "solid:" in each.text and "refused" not in each.before:
        puzzle = {"puzzles/pebble.yaml": each.text, "index.md": "---\npuzzle: pebble\n---\nText.\n"}
        publish(fresh(tmp_path, puzzle))
    elif "based on:" in each.text:
        theme = tmp_path / "themes" / "mine" / "theme.yaml"
        theme.parent.mkdir(parents=True)
        theme.write_text(each.text)
        publish(fresh(tmp_path, {"guide.yaml": "title: T\ntheme: mine\n"}))
    elif "title:" in each.text:
        publish(fresh(tmp_path, {"guide.yaml": each.text, "first-steps.md": "Text.\n"}))
    else:
        assert "refused" in each.before


@pytest.mark.parametrize("each", of_kind("html"))
def test_every_template_that_is_shown_sets_a_page_as_the_file_that_is_named(
    tmp_path: Path, each: Shown
) -> None:
    name = re.findall(r"`([^`\n]+)`", each.before)[-1]
    template = tmp_path / "themes" / "mine" / name
    template.parent.mkdir(parents=True)
    template.write_text(each.text)
    (tmp_path / "themes" / "mine" / "theme.yaml").write_text("name: mine\n")
    publish(fresh(tmp_path, {"guide.yaml": "title: T\ntheme: mine\n", "index.md": "Home.\n"}))
    (shown_too,) = re.findall(r"<p.*</p>", each.text)
    assert shown_too in (tmp_path / "output" / "index.html").read_text()


@pytest.mark.parametrize("each", of_kind("css"))
def test_a_sheet_that_is_shown_gives_shades(tmp_path: Path, each: Shown) -> None:
    theme = {"theme.yaml": "based on: folio\n", "files/mine.css": each.text}
    write_guide(tmp_path / "themes/mine", theme)
    publish(fresh(tmp_path, {"guide.yaml": "title: T\ntheme: mine\n"}))
    of_figures, of_pages = (
        (tmp_path / "output/files" / name).read_text() for name in ("figures.css", "folio.css")
    )
    given = re.findall(r"(--[\w-]+): (#\w+)", each.text)
    assert given
    # Shades of figures are put into the sheet that is made of them; of those of pages folio's sheet asks for.
    assert [
        f"{name}: {shade}"
        for name, shade in given
        if f"{name}:{shade}" not in of_figures and f"var({name})" not in of_pages
    ] == []


@pytest.mark.parametrize("each", of_kind("text"))
def test_what_is_refused_is_refused_in_the_words_that_are_printed(tmp_path: Path, each: Shown) -> None:
    """The fence before says what is refused: a command, or a puzzle in the file that the message names."""
    cause = each.above[-1]
    if cause.kind == "sh":
        _, *arguments = shlex.split(cause.text)
        told = CliRunner().invoke(main, arguments).stderr
    else:
        file = each.text.partition(":")[0].removeprefix("content/")
        with pytest.raises(Problems) as found:
            publish(fresh(tmp_path, {file: cause.text, "index.md": "---\npuzzle: pebble\n---\nText.\n"}))
        (problem,) = found.value.problems
        told = str(problem)
    assert told.split() == each.text.split()
