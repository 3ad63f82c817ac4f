"""A guide is checked a moment after the last change, and what is overtaken is dropped and told to nobody."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from queue import Empty, Queue
from threading import Event
from time import monotonic
from typing import Any

import pytest
from sample_guide import guide_of, write_guide

from sitegen.editor import checker
from sitegen.editor.checker import PAUSE, Checked, Checker, problems_of
from sitegen.guide.load import read_guide
from sitegen.pages.config import ALL_SAVED, Unsaved
from sitegen.progress import Progress, quiet
from sitegen.reports.problem_report import PROBLEM

SOON = 30


class Watched:
    """A checker, what it has told, and which guides it began to read."""

    def __init__(self, read: Callable[..., Any], monkeypatch: pytest.MonkeyPatch) -> None:
        self.told: Queue[Checked] = Queue()
        self.failed: Queue[Exception] = Queue()
        self.begun: list[Unsaved] = []
        usual = checker.read_guide

        def begin(folder: Path, progress: Progress, unsaved: Unsaved, drafts: bool) -> Any:
            self.begun.append(unsaved)
            return read(partial(usual, drafts=drafts), folder, progress, unsaved)

        monkeypatch.setattr(checker, "read_guide", begin)
        self.checker = Checker(self.told.put, self.failed.put)


def usual(read: Callable[..., Any], *asked: Any) -> Any:
    return read(*asked)


def page(number: int) -> Unsaved:
    return {"content/index.md": f"[](nowhere-{number}.md)\n"}


def messages(checked: Checked) -> list[str]:
    return [problem.message for _, problem in checked.found]


def test_of_changes_one_after_the_other_only_the_last_is_checked(tmp_path: Path, monkeypatch) -> None:
    guide, watched = guide_of(tmp_path), Watched(usual, monkeypatch)
    begun = monotonic()
    for number in range(20):
        watched.checker.ask(guide, page(number))
    assert messages(watched.told.get(timeout=SOON)) == ["there is no page nowhere-19.md"]
    assert monotonic() - begun >= PAUSE
    assert watched.begun == [page(19)]


def test_guides_do_not_overtake_each_other(tmp_path: Path, monkeypatch) -> None:
    one, other = guide_of(tmp_path / "one"), guide_of(tmp_path / "other")
    watched = Watched(usual, monkeypatch)
    watched.checker.ask(one, page(1))
    watched.checker.ask(other, page(2))
    told = [watched.told.get(timeout=SOON) for _ in range(2)]
    assert [(each.folder, messages(each)) for each in told] == [
        (one, ["there is no page nowhere-1.md"]),
        (other, ["there is no page nowhere-2.md"]),
    ]


def test_a_check_ends_at_the_next_block_once_it_is_overtaken(tmp_path: Path, monkeypatch) -> None:
    began, blocks = Event(), 0

    def slow(read: Callable[..., Any], folder: Path, progress: Progress, unsaved: Unsaved) -> Any:
        nonlocal blocks
        if unsaved == page(1):
            for _ in progress(range(1_000), 1_000, "Checking"):
                blocks += 1
                began.set()
                overtaken.wait(SOON)
        return read(folder, progress, unsaved)

    guide, watched, overtaken = guide_of(tmp_path), Watched(slow, monkeypatch), Event()
    watched.checker.ask(guide, page(1))
    assert began.wait(SOON)
    watched.checker.ask(guide, page(2))
    overtaken.set()
    assert messages(watched.told.get(timeout=SOON)) == ["there is no page nowhere-2.md"]
    assert blocks == 1
    with pytest.raises(Empty):
        watched.told.get(timeout=2 * PAUSE)


def test_what_is_overtaken_at_its_very_end_is_told_to_nobody(tmp_path: Path, monkeypatch) -> None:
    def late(read: Callable[..., Any], folder: Path, progress: Progress, unsaved: Unsaved) -> Any:
        found = read(folder, progress, unsaved)
        if unsaved == page(1):
            watched.checker.ask(folder, page(2))
        return found

    guide, watched = guide_of(tmp_path), Watched(late, monkeypatch)
    watched.checker.ask(guide, page(1))
    assert messages(watched.told.get(timeout=SOON)) == ["there is no page nowhere-2.md"]


def test_a_fault_is_told_and_the_next_change_is_checked(tmp_path: Path, monkeypatch) -> None:
    def faulty(read: Callable[..., Any], folder: Path, progress: Progress, unsaved: Unsaved) -> Any:
        if unsaved == page(1):
            raise ZeroDivisionError
        return read(folder, progress, unsaved)

    guide, watched = guide_of(tmp_path), Watched(faulty, monkeypatch)
    watched.checker.ask(guide, page(1))
    assert isinstance(watched.failed.get(timeout=SOON), ZeroDivisionError)
    watched.checker.ask(guide, page(2))
    assert messages(watched.told.get(timeout=SOON)) == ["there is no page nowhere-2.md"]


def test_published_pages_have_the_problems_that_check_tells_and_drafts_their_own(
    tmp_path: Path,
) -> None:
    files = {
        "content/guide.yaml": "title: T\n",
        "content/index.md": "`@secret U`{.moves}\n\n```moves tool\nR U\n```\n",
        "content/later.md": "---\ndraft: yes\n---\n```moves secret\nR Q\n```\n\n```moves tool\nU\n```\n",
    }
    folder = write_guide(tmp_path, files)
    told = [problem for kind, problem in problems_of(folder, ALL_SAVED, quiet) if kind == PROBLEM]
    assert [(each.passage.source.name, each.message) for each in told] == [
        ("content/index.md", "no sequence is named secret"),
        ("content/later.md", "expected a turn, a group, a bracket or a reference; found “Q”"),
        ("content/later.md", "the name tool is taken, in content/index.md:3"),
    ]
    published = read_guide(folder).problems
    assert [str(each) for each in published] == [str(each) for each in told[:1]]
