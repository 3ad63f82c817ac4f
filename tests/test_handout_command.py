"""`turnfolio handout`: what it prints, keeps and refuses, and that nothing of anyone's is lost."""

from __future__ import annotations

import builtins
import contextlib
import importlib
import re
import shutil
import signal
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from running import run
from sample_guide import write_guide
from sample_sheets import SEQUENCES, needs_printer, papers, pdf_reader

from sitegen import parallel
from sitegen.site import pdf as pdf_module
from sitegen.site.publish import handout
from sitegen.statuses import MISUSE

EXERCISES = """\
---
title: Exercises
kind: exercises
---

```practice by-hand
from: @two-flips and @three-round
count: 2
seed: 7
lead-in: 1 turn of R, F, B and L
hold: x and y
```
"""
NOTES = "---\ntitle: Notes\nkind: handout\n---\nWords to take home.\n"
PDFS = {"exercises.pdf", "exercises-answers.pdf", "notes.pdf"}
"""Without variants, by name; answers are in a folder of their own."""
SHEETS = {"exercises.pdf", "exercises-variant-a.pdf", "exercises-variant-b.pdf"}
"""Those with the exercises themselves."""
DRAWN = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0H9V9z"/></svg>'
VARIANTS = {f"exercises-variant-{letter}{what}.pdf" for letter in "ab" for what in ("", "-answers")}


GUIDE: dict[str, str | bytes] = {
    "content/guide.yaml": "title: A guide\n",
    "content/index.md": SEQUENCES,
    "content/exercises.md": EXERCISES,
    "content/notes.md": NOTES,
}


@pytest.fixture(scope="module", autouse=True)
def _each_page_printed_once() -> Iterator[None]:
    """These tests ask which sheets are printed, and where they go: the same page is not set anew for each.

    What is remembered is remembered in one process. That it gives the same bytes each time, on however many
    cores, is for `site/test_pdf.py` to see.
    """
    usual, known = pdf_module.PdfRenderer.pdf, dict[tuple[object, ...], bytes]()

    def remembered(self: Any, site: Any, sheet: Any) -> bytes:
        page = pdf_module.page_of(site, sheet)
        key = page, sheet.url, site.guide.config.address, tuple(sorted(site.resources.items()))
        if key not in known:
            known[key] = usual(self, site, sheet)
        return known[key]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pdf_module.PdfRenderer, "pdf", remembered)
        patch.setattr(parallel, "cores", lambda: 1)
        yield


@pytest.fixture
def guide(tmp_path: Path) -> Path:
    return write_guide(tmp_path / "guide", GUIDE)


@pytest.fixture(scope="module")
def once(tmp_path_factory, _each_page_printed_once) -> Path:
    """The guide, printed with two variants; read only."""
    folder = write_guide(tmp_path_factory.mktemp("once"), GUIDE)
    handout(folder, "AB")
    return folder


@pytest.fixture
def printed(once: Path, tmp_path: Path) -> Path:
    """The same, to be changed."""
    shutil.copytree(once, tmp_path / "printed")
    return tmp_path / "printed"


def goes(guide: Path, name: str) -> Path:
    """Where a PDF is written: answers, which are not published here, not beside what is."""
    return guide / ("answers" if name.endswith("-answers.pdf") else "output") / name


def pdfs(guide: Path) -> dict[str, bytes]:
    """All by their names, each being where it should be."""
    found = sorted(path for folder in ("output", "answers") for path in (guide / folder).rglob("*.pdf"))
    assert found == sorted(goes(guide, path.name) for path in found)
    return {path.name: path.read_bytes() for path in found}


def names(told: Mapping[str, int]) -> set[str]:
    return {Path(path).name for path in told}


def leads_to(guide: Path, name: str) -> set[str]:
    """The PDFs to which a page has a link."""
    return set(re.findall(r'href="([^"]+\.pdf)"', (guide / "output" / name).read_text()))


def tree(guide: Path) -> dict[str, bytes]:
    return {str(path): path.read_bytes() for path in sorted(guide.rglob("*")) if path.is_file()}


def rewrite(guide: Path, name: str, old: str, new: str) -> None:
    path = guide / "content" / name
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))


def text_of(pdf: bytes) -> str:
    """In the order of the page, with single spaces."""
    return " ".join(" ".join(page.extract_text() for page in pdf_reader(pdf).pages).split())


@pytest.fixture
def printings(monkeypatch) -> list[str]:
    """The paths of what is printed, as it is."""
    made: list[str] = []
    before = pdf_module.PdfRenderer.pdf

    def counted(self: Any, site: Any, sheet: Any) -> bytes:
        made.append(sheet.path)
        return before(self, site, sheet)

    monkeypatch.setattr(pdf_module.PdfRenderer, "pdf", counted)
    return made


# What is printed ------------------------------------------------------------------------------------------


@needs_printer
def test_each_sheet_is_printed_and_told_with_its_pages_and_its_page_leads_to_it(guide) -> None:
    result = run("handout", str(guide))
    assert (result.exit_code, result.stderr) == (0, "")
    lines = dict(line.rsplit(": ", 1) for line in result.stdout.splitlines())
    assert lines == {str(goes(guide, name)): "1 page" for name in PDFS}
    assert pdfs(guide).keys() == PDFS
    assert leads_to(guide, "notes.html") == {"notes.pdf"}
    assert leads_to(guide, "exercises.html") == {"exercises.pdf"}
    assert leads_to(guide, "index.html") == set()


@needs_printer
def test_variants_have_other_exercises_each_with_its_answers(printed, turned, cube3) -> None:
    result = run("handout", str(printed), "--variants", "2")
    assert result.exit_code == 0
    told = [Path(line.rsplit(": ", 1)[0]).name for line in result.stdout.splitlines()]
    assert sorted(told) == sorted(PDFS | VARIANTS)
    assert pdfs(printed).keys() == PDFS | VARIANTS
    assert leads_to(printed, "exercises.html") == SHEETS
    set_up = {}
    for name in ("exercises", "exercises-variant-a", "exercises-variant-b"):
        sheet, answers = (text_of(pdfs(printed)[f"{name}{what}.pdf"]) for what in ("", "-answers"))
        label = re.findall(r"Variant [A-Z]", sheet)
        assert label == re.findall(r"Variant [A-Z]", answers)
        assert label == ([] if name == "exercises" else [f"Variant {name[-1].upper()}"])
        asked = re.findall(r"Set up: ((?:[RUFLDB][2']? )+)", sheet)
        solved = re.findall(r"In full: ((?:[RUFLDB][2']? )+)", answers)
        assert len(asked) == len(solved) == 2
        for question, answer in zip(asked, solved, strict=True):
            assert turned(f"{question} {answer}", cube3) == cube3.identity
        set_up[name] = frozenset(turned(question, cube3) for question in asked)
    assert len(set(set_up.values())) == 3


@needs_printer
def test_each_variant_has_its_label_in_the_head_of_its_sheets(tmp_path) -> None:
    files: dict[str, str | bytes] = {
        "content/guide.yaml": "title: G\n",
        "content/index.md": SEQUENCES,
        "content/exercises.md": EXERCISES + "\n" + "Words to go on with.\n\n" * 50,
    }
    handout(write_guide(tmp_path, files), "A")
    first, second = papers((tmp_path / "output" / "exercises-variant-a.pdf").read_bytes())[:2]
    assert first.head_words == ["G"]
    assert second.head_words == ["G", "Exercises", "·", "Variant", "A"]


def test_a_page_may_not_have_the_name_of_another_page_s_variant(guide) -> None:
    (guide / "content" / "exercises-variant-a.md").write_text(NOTES)
    result = run("handout", str(guide), "--variants", "1")
    assert result.exit_code == 1
    assert "exercises.md is published as exercises-variant-a.pdf too" in result.stderr
    assert not (guide / "output").exists()


# Answers --------------------------------------------------------------------------------------------------


@needs_printer
def test_answers_of_an_ordinary_page_are_printed_for_its_author(guide) -> None:
    block = EXERCISES.partition("---\n\n")[2].replace("by-hand", "of-a-lesson")
    (guide / "content" / "lesson.md").write_text(f"# A lesson\n\n{block}")
    assert run("handout", str(guide)).exit_code == 0
    assert pdfs(guide).keys() == PDFS | {"lesson-answers.pdf"}
    assert "hecked by turning" not in text_of(pdfs(guide)["exercises.pdf"])
    assert "A lesson: answers" in text_of(pdfs(guide)["lesson-answers.pdf"])


@needs_printer
def test_published_answers_are_printed_beside_their_page_and_linked_to(printed) -> None:
    rewrite(printed, "exercises.md", "kind: exercises", "kind: exercises\nanswers: published")
    told = handout(printed, "AB").pages
    assert {path for path in told if "answers" in path} == {
        "output/exercises-answers.pdf",
        "output/exercises-variant-a-answers.pdf",
        "output/exercises-variant-b-answers.pdf",
    }
    assert not list((printed / "answers").rglob("*.pdf"))
    assert leads_to(printed, "exercises.html") == SHEETS
    assert leads_to(printed, "exercises-answers.html") == (PDFS | VARIANTS) - SHEETS - {"notes.pdf"}


@needs_printer
@pytest.mark.parametrize("command", ["publish", "handout"])
def test_answers_that_are_published_no_longer_go_with_all_that_was_printed_of_them(
    printed, command: str
) -> None:
    rewrite(printed, "exercises.md", "kind: exercises", "kind: exercises\nanswers: published")
    handout(printed, "A")
    rewrite(printed, "exercises.md", "kind: exercises\nanswers: published", "kind: exercises")
    assert run(command, str(printed)).exit_code == 0
    assert [path for path in (printed / "output").rglob("*") if "answers" in path.name] == []


@needs_printer
def test_files_of_the_author_s_own_beside_the_answers_are_kept(printed) -> None:
    mine = printed / "answers" / "marks.txt"
    mine.write_text("mine")
    rewrite(printed, "exercises.md", "seed: 7", "seed: 8")
    for command in ("publish", "handout"):
        assert run(command, str(printed)).exit_code == 0
        assert mine.read_text() == "mine"


def test_a_folder_of_the_author_s_own_for_answers_is_left_alone_by_publishing(guide) -> None:
    (guide / "answers").mkdir()
    (guide / "answers" / "mine.txt").write_text("mine")
    assert run("publish", str(guide)).exit_code == 0
    assert [path.name for path in (guide / "answers").iterdir()] == ["mine.txt"]


@needs_printer
@pytest.mark.parametrize("where", ["output", "output/key", "elsewhere"])
def test_answers_are_not_written_through_a_link(guide, where: str) -> None:
    run("publish", str(guide))
    (guide / where).mkdir(exist_ok=True)
    (guide / "answers").symlink_to(guide / where)
    before = tree(guide)
    result = run("handout", str(guide))
    assert result.exit_code == MISUSE
    assert "answers is a link" in result.stderr
    assert tree(guide) == before


@needs_printer
def test_what_is_noted_is_told_by_every_command_that_goes_through_the_guide(guide) -> None:
    rewrite(guide, "notes.md", "take home", "take <b>home</b>")
    told = [run(command, str(guide)).stderr for command in ("check", "publish", "handout")]
    assert "note: HTML is shown as it is written" in told[0]
    assert told == told[:1] * 3


# What is kept ---------------------------------------------------------------------------------------------


@needs_printer
def test_what_has_not_changed_is_not_printed_again(guide, printings) -> None:
    handout(guide)
    assert sorted(printings) == sorted(PDFS)
    before = tree(guide)
    assert names(handout(guide).pages) == PDFS
    assert sorted(printings) == sorted(PDFS)
    assert tree(guide) == before
    handout(guide, "AB")
    assert sorted(printings) == sorted(PDFS | VARIANTS)
    assert names(handout(guide).pages) == PDFS
    assert len(printings) == len(PDFS | VARIANTS)
    assert pdfs(guide).keys() == PDFS | VARIANTS


@needs_printer
def test_publishing_keeps_what_is_of_the_same_page_and_its_links(printed) -> None:
    before = pdfs(printed)
    assert before.keys() == PDFS | VARIANTS
    rewrite(printed, "index.md", "# Sequences\n", "# Sequences\n\nSome words in front.\n")
    assert run("publish", str(printed)).exit_code == 0
    assert pdfs(printed) == before
    assert leads_to(printed, "exercises.html") == SHEETS


@needs_printer
def test_a_new_page_elsewhere_drops_no_pdf(printed) -> None:
    before = pdfs(printed)
    (printed / "content" / "more.md").write_text("# More\n\nWords.\n")
    assert run("publish", str(printed)).exit_code == 0
    assert pdfs(printed) == before


@needs_printer
def test_publishing_drops_the_pdf_of_a_page_that_has_changed(printed) -> None:
    rewrite(printed, "notes.md", "take home", "take away")
    assert run("publish", str(printed)).exit_code == 0
    assert pdfs(printed).keys() == (PDFS | VARIANTS) - {"notes.pdf"}
    assert leads_to(printed, "notes.html") == set()
    assert leads_to(printed, "exercises.html") == SHEETS
    handout(printed)
    assert "take away." in text_of(pdfs(printed)["notes.pdf"])


@needs_printer
def test_it_is_told_how_many_pdfs_are_taken_away_and_nobody_elses_is(printed) -> None:
    (printed / "output" / "exercises-variant-c.pdf").write_bytes(b"%PDF-1.7 a teacher's own")
    rewrite(printed, "exercises.md", "seed: 7", "seed: 8")
    # The sheet, its answers, and both for two variants.
    assert "6 PDFs of pages that have changed" in run("publish", str(printed)).output
    assert (printed / "output" / "exercises-variant-c.pdf").read_bytes().endswith(b"own")
    assert "PDF" not in run("publish", str(printed)).output


@needs_printer
def test_a_file_that_no_sheet_names_takes_no_pdf_away(printed) -> None:
    before = pdfs(printed)
    (printed / "content" / "unrelated.txt").write_text("Hello.\n", encoding="utf-8")
    assert "taken away" not in run("publish", str(printed)).output
    assert pdfs(printed) == before


@needs_printer
@pytest.mark.parametrize("within", ["content/notes.md", "themes/own/files/own.css"])
def test_a_picture_that_a_sheet_or_its_style_loads_takes_its_pdf_away(guide, within: str) -> None:
    (guide / "content" / "square.svg").write_text(DRAWN, encoding="utf-8")
    rewrite(guide, "guide.yaml", "title: A guide", "title: A guide\ntheme: own")
    own = {"themes/own/theme.yaml": "based on: folio\n", "themes/own/files/own.css": "p { color: black }\n"}
    write_guide(guide, own)
    loads = (
        "![A square](square.svg)\n" if within.endswith(".md") else "h1 { background: url(../square.svg) }\n"
    )
    with (guide / within).open("a", encoding="utf-8") as file:
        file.write(loads)
    handout(guide)
    before = pdfs(guide).keys()
    rewrite(guide, "square.svg", "M0 0", "M1 1")
    run("publish", str(guide))
    assert "notes.pdf" in before - pdfs(guide).keys()


@needs_printer
def test_an_interrupt_leaves_the_site_as_it_was_and_says_so(printed, monkeypatch) -> None:
    before = pdfs(printed)
    rewrite(printed, "notes.md", "take home", "take away")

    def interrupted(*_: Any) -> bytes:
        raise KeyboardInterrupt

    monkeypatch.setattr(pdf_module.PdfRenderer, "pdf", interrupted)
    result = run("handout", str(printed))
    assert result.exit_code == 130
    assert "stopped" in result.stderr
    assert pdfs(printed) == before


@needs_printer
def test_an_interrupt_that_a_library_swallows_stops_it_all_the_same(printed, monkeypatch) -> None:
    rewrite(printed, "notes.md", "take home", "take away")
    before, usual = pdfs(printed), pdf_module.PdfRenderer.pdf

    def swallowing(*args: Any) -> bytes:
        with contextlib.suppress(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)
        return usual(*args)

    monkeypatch.setattr(pdf_module.PdfRenderer, "pdf", swallowing)
    assert run("handout", str(printed)).exit_code == 130
    assert pdfs(printed) == before


@needs_printer
def test_other_exercises_drop_their_sheets_answers_and_variants(printed) -> None:
    rewrite(printed, "exercises.md", "seed: 7", "seed: 8")
    assert run("publish", str(printed)).exit_code == 0
    assert pdfs(printed).keys() == {"notes.pdf"}
    assert leads_to(printed, "exercises.html") == set()


@needs_printer
def test_other_moves_of_a_sequence_drop_the_sheets_that_practise_it(printed) -> None:
    rewrite(printed, "index.md", "R U' L' U R' U' L U", "R2 D2 R U R' D2 R U' R")
    assert run("publish", str(printed)).exit_code == 0
    assert "exercises-answers.pdf" not in pdfs(printed)


@needs_printer
def test_another_theme_drops_every_pdf(printed) -> None:
    theme: dict[str, str | bytes] = {
        "themes/mine/theme.yaml": "name: mine\n",
        "themes/mine/files/folio.css": "h1 { color: #333 }\n",
        "content/guide.yaml": "title: A guide\ntheme: mine\n",
    }
    write_guide(printed, theme)
    assert run("publish", str(printed)).exit_code == 0
    assert pdfs(printed) == {}


@needs_printer
def test_a_page_that_is_gone_takes_its_pdf_along(printed) -> None:
    (printed / "content" / "notes.md").unlink()
    done = run("publish", str(printed))
    assert done.exit_code == 0
    assert "1 PDF of pages that have changed or gone taken away" in done.output
    assert "notes.pdf" not in pdfs(printed)


@needs_printer
@pytest.mark.parametrize("damaged", [b"", b"%PDF-1.7 cut off"])
def test_a_pdf_that_was_changed_is_kept_until_it_is_out_of_the_way(printed, damaged: bytes) -> None:
    before, changed = pdfs(printed), printed / "output" / "notes.pdf"
    changed.write_bytes(damaged)
    done = run("publish", str(printed))
    assert done.exit_code == 0
    assert f"{changed} was changed since it was published, and is kept" in done.output
    refused = run("handout", str(printed))
    assert refused.exit_code == MISUSE
    assert "output/notes.pdf was not written by Turnfolio: move it elsewhere" in refused.output
    assert changed.read_bytes() == damaged
    changed.unlink()
    handout(printed)
    assert pdfs(printed) == before


@needs_printer
def test_files_of_the_author_s_own_in_the_output_are_kept(printed) -> None:
    mine = printed / "output" / "mine.pdf"
    mine.write_bytes(b"mine")
    for command in ("handout", "publish", "handout"):
        assert run(command, str(printed)).exit_code == 0
        assert mine.read_bytes() == b"mine"


@needs_printer
def test_a_pdf_of_the_author_s_own_is_not_written_over(guide) -> None:
    run("publish", str(guide))
    (guide / "output" / "notes.pdf").write_bytes(b"mine")
    before = tree(guide)
    result = run("handout", str(guide))
    assert result.exit_code == MISUSE
    assert "notes.pdf was not written by Turnfolio: move it elsewhere" in result.stderr
    assert tree(guide) == before
    assert run("publish", str(guide)).exit_code == 0
    assert (guide / "output" / "notes.pdf").read_bytes() == b"mine"
    assert leads_to(guide, "notes.html") == set()


# What is refused ------------------------------------------------------------------------------------------


def test_a_guide_with_a_problem_is_not_printed_and_the_problem_told(guide) -> None:
    rewrite(guide, "index.md", "claims: flips UF", "claims: flips UB")
    before = tree(guide)
    result = run("handout", str(guide))
    assert result.exit_code == 1
    assert "content/index.md:" in result.stderr
    assert tree(guide) == before


@pytest.mark.parametrize("head", ["", "---\nanswers: published\n---\n"])
def test_a_guide_without_a_sheet_is_told_what_to_write(tmp_path, head: str) -> None:
    practice = "```practice\nfrom: @q\ncount: 1\nview: net\n```\n" if head else ""
    files: dict[str, str | bytes] = {
        "content/guide.yaml": "title: T\n",
        "content/index.md": f"{head}```moves q\nR U\n```\n\n{practice}",
    }
    result = run("handout", str(write_guide(tmp_path, files)))
    assert result.exit_code == 2
    assert "kind: handout" in result.stderr
    assert "kind: exercises" in result.stderr
    assert not (tmp_path / "output").exists()


@pytest.mark.parametrize("count", ["0", "27", "-1", "two"])
def test_there_are_from_1_to_26_variants(guide, count: str) -> None:
    result = run("handout", str(guide), f"--variants={count}")
    assert result.exit_code == 2
    assert "'--variants'" in result.stderr
    assert not (guide / "output").exists()


def without_printer(monkeypatch, error: Exception) -> None:
    """As if loading WeasyPrint ended so."""
    load = builtins.__import__

    def loading(name: str, *arguments: Any, **options: Any) -> Any:
        if name.partition(".")[0] == "weasyprint":
            raise error
        return load(name, *arguments, **options)

    monkeypatch.setattr(builtins, "__import__", loading)


NOT_INSTALLED = ImportError("No module named 'weasyprint'")
NO_LIBRARY = OSError("cannot load library 'libpango-1.0-0': error 0x7e\nAdditionally, ctypes.util failed")


@pytest.mark.parametrize(
    ("error", "advice"),
    [(NOT_INSTALLED, "pip install 'weasyprint>=68'"), (NO_LIBRARY, "apt install libpango-1.0-0")],
    ids=["not installed", "no library"],
)
def test_where_pdfs_cannot_be_made_it_is_said_what_to_install(
    guide, monkeypatch, error: Exception, advice: str
) -> None:
    without_printer(monkeypatch, error)
    result = run("handout", str(guide))
    assert result.exit_code == MISUSE
    assert isinstance(result.exception, SystemExit)
    assert advice in result.stderr
    assert "Additionally" not in result.stderr
    assert not (guide / "output").exists()


@needs_printer
def test_a_printer_that_is_too_old_is_told_apart_from_none(guide, monkeypatch) -> None:
    # Releases before 68 have no such class; distributions carry them for years.
    monkeypatch.delattr(importlib.import_module("weasyprint.urls"), "URLFetcher")
    result = run("handout", str(guide))
    assert result.exit_code == MISUSE
    assert isinstance(result.exception, SystemExit)
    assert "weasyprint>=68" in result.stderr
    assert not (guide / "output").exists()


def test_publishing_needs_no_printer(guide, monkeypatch) -> None:
    without_printer(monkeypatch, NOT_INSTALLED)
    assert run("publish", str(guide)).exit_code == 0
    assert run("check", str(guide)).exit_code == 0


@needs_printer
def test_a_failure_while_printing_leaves_the_site_as_it_was(printed, monkeypatch) -> None:
    before = {path: content for path, content in tree(printed).items() if "/output/" in path}
    rewrite(printed, "notes.md", "take home", "take away")

    def fails(*_: Any) -> bytes:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(pdf_module.PdfRenderer, "pdf", fails)
    result = run("handout", str(printed))
    assert result.exit_code == MISUSE
    assert "No space left on device" in result.stderr
    assert {path: content for path, content in tree(printed).items() if "/output/" in path} == before


# How far it is --------------------------------------------------------------------------------------------


@needs_printer
def test_a_bar_shows_how_many_sheets_are_printed(guide, monkeypatch) -> None:
    bars: list[tuple[str, int, int]] = []

    def watched(items: Iterable[Any], total: int, what: str) -> Iterable[Any]:
        listed = list(items)
        bars.append((what, total, len(listed)))
        return listed

    monkeypatch.setattr("sitegen.commands.terminal.progress", watched)
    run("handout", str(guide))
    assert [bar for bar in bars if bar[0] == "Printing"] == [("Printing", 3, 3)]
    bars.clear()
    rewrite(guide, "notes.md", "take home", "take away")
    run("handout", str(guide))
    assert [bar for bar in bars if bar[0] == "Printing"] == [("Printing", 1, 1)]
    bars.clear()
    run("handout", str(guide))
    assert [bar for bar in bars if bar[0] == "Printing" and bar[1]] == []


@needs_printer
def test_where_nobody_watches_no_bar_is_shown(guide) -> None:
    assert run("handout", str(guide)).stderr == ""
