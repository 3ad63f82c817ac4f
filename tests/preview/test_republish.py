"""What is saved is published: once for many saves, and once more for those that came meanwhile."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from pathlib import Path
from threading import Thread

import pytest
from beside_a_browser import in_a_thread
from sample_guide import guide_of, small_guide, write_guide

from sitegen.preview.other_process import ProcessEnded
from sitegen.preview.republish import Outcome, Republisher, State, publish_once
from sitegen.preview.watching import counts, watch
from sitegen.site.output import alone

SOON = 20.0


class Press:
    """Publishes when it is let, and counts."""

    def __init__(self) -> None:
        self.begun = 0
        self.gate = asyncio.Event()
        self.outcomes: list[Outcome | Exception] = []

    async def __call__(self) -> Outcome:
        self.begun += 1
        await self.gate.wait()
        await asyncio.sleep(0)  # so that whoever publishes without end is found out
        outcome = self.outcomes.pop(0) if self.outcomes else Outcome()
        if isinstance(outcome, Exception):
            raise outcome
        return outcome


def played(scene: Callable[[Press, Republisher], Awaitable[None]]) -> None:
    """Lets a scene play while a republisher keeps up."""

    async def play() -> None:
        press = Press()
        republisher = Republisher(press)
        task = asyncio.create_task(republisher.keep_up())
        try:
            await asyncio.wait_for(scene(press, republisher), SOON)
        finally:
            task.cancel()

    in_a_thread(play())


async def settled(republisher: Republisher) -> State:
    """The state once nothing is published, having let all that waits go on."""
    for _ in range(20):
        await asyncio.sleep(0)
    state = republisher.state
    while state.busy:
        state = await republisher.after(state.step)
    return state


def test_it_publishes_at_once_and_then_after_a_save() -> None:
    async def scene(press: Press, republisher: Republisher) -> None:
        press.gate.set()
        first = await settled(republisher)
        republisher.saved()
        second = await settled(republisher)
        assert press.begun == 2
        assert first.revision != second.revision

    played(scene)


def test_many_saves_while_it_publishes_are_one_publishing_more() -> None:
    async def scene(press: Press, republisher: Republisher) -> None:
        await asyncio.sleep(0)
        assert (press.begun, republisher.state.busy) == (1, True)
        for _ in range(50):
            republisher.saved()
        press.gate.set()
        await settled(republisher)
        assert press.begun == 2

    played(scene)


def test_where_problems_are_found_the_last_good_site_stands() -> None:
    async def scene(press: Press, republisher: Republisher) -> None:
        good, bad = Outcome(pages=3), Outcome(problems=({"message": "false"},))
        press.outcomes = [good, bad, good]
        press.gate.set()
        before = await settled(republisher)
        republisher.saved()
        broken = await settled(republisher)
        republisher.saved()
        mended = await settled(republisher)
        assert (broken.last, broken.revision) == (bad, before.revision)
        assert mended.last == good
        assert mended.revision != before.revision

    played(scene)


def test_a_process_that_ends_is_told_of_and_the_next_save_is_published() -> None:
    async def scene(press: Press, republisher: Republisher) -> None:
        press.outcomes = [ProcessEnded()]
        press.gate.set()
        ended = await settled(republisher)
        assert ended.last is not None
        assert "has ended" in ended.last.failure
        republisher.saved()
        assert (await settled(republisher)).last == Outcome()

    played(scene)


def test_no_two_previews_have_a_revision_in_common() -> None:
    """A page that was left open must see that another preview has begun, and show what that one shows."""
    assert len({Republisher(Press()).state.revision for _ in range(100)}) == 100


# What publishing tells -------------------------------------------------------------------------------------


def test_a_problem_is_told_with_its_place_the_line_a_marker_and_a_hint(tmp_path: Path) -> None:
    page = "# One\n\n```moves lift\nmoves: R\nclaims:\n- flips UF\n```\n"
    outcome = publish_once(guide_of(tmp_path, one=page))
    (problem,) = outcome.problems
    assert (problem["file"], problem["line"], problem["column"]) == ("content/one.md", 6, 3)
    assert problem["excerpt"] == "    - flips UF\n      ^^^^^^^^"
    assert problem["message"].startswith("this claim is false")
    assert problem["hint"]
    assert not outcome.good


def test_what_stands_in_the_way_of_writing_is_told(tmp_path: Path) -> None:
    (guide_of(tmp_path) / "output").write_text("A file.")
    outcome = publish_once(tmp_path)
    assert outcome.failure == "output is not a folder: move it elsewhere and publish again"
    assert not outcome.good


def test_a_folder_without_a_guide_is_told(tmp_path: Path) -> None:
    assert publish_once(tmp_path).problems


def test_a_fault_of_ours_is_told_and_ends_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(folder: Path) -> None:
        raise ZeroDivisionError("by nothing")

    monkeypatch.setattr("sitegen.preview.republish.publish", fails)
    assert (
        publish_once(tmp_path).failure
        == "a fault of Turnfolio, not of the guide: ZeroDivisionError: by nothing"
    )


# Watching --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "counted"),
    [
        ("content/index.md", True),
        ("content/guide.yaml", True),
        ("content/puzzles/slab.yaml", True),
        ("themes/mine/files/mine.css", True),
        ("content/.index.md.swp", False),
        ("content/index.md~", False),
        ("content/.git/HEAD", False),
    ],
)
def test_what_editors_leave_behind_is_not_published(tmp_path: Path, path: str, counted: bool) -> None:
    assert counts(tmp_path, tmp_path / path) is counted


def test_a_folder_that_is_hidden_itself_may_hold_a_guide(tmp_path: Path) -> None:
    folder = tmp_path / ".drafts"
    assert counts(folder, folder / "content" / "index.md")


SAVES: dict[str, Callable[[Path], object]] = {
    "a page": lambda folder: (folder / "content/other.md").write_text("# Changed\n"),
    "a page in a folder": lambda folder: (folder / "content/method/more.md").write_text("# Changed\n"),
    "a new page": lambda folder: (folder / "content/new.md").write_text("# New\n"),
    "a page put in its place": lambda folder: (
        (folder / "content/.new").write_text("x"),
        (folder / "content/.new").rename(folder / "content/other.md"),
    ),
    "a page taken away": lambda folder: (folder / "content/other.md").unlink(),
    "the settings": lambda folder: (folder / "content/guide.yaml").write_text("title: Changed\n"),
    "a first theme": lambda folder: write_guide(folder, {"themes/mine/theme.yaml": "name: mine\n"}),
    "another content": lambda folder: (
        (folder / "content").rename(folder / "old"),
        write_guide(folder, small_guide()),
    ),
}


async def told(folder: Path, save: Callable[[Path], object], times: int = 1) -> bool:
    """Whether a watch tells of a save within a while."""
    saved = asyncio.Event()
    task = asyncio.create_task(watch(folder, saved.set))
    try:
        await asyncio.sleep(0.6)
        assert not saved.is_set()
        for _ in range(times):
            saved.clear()
            save(folder)
            await asyncio.wait_for(saved.wait(), 5)
    except TimeoutError:
        return False
    finally:
        task.cancel()
        await asyncio.gather(task, return_exceptions=True)
    return True


@pytest.mark.parametrize("what", SAVES)
def test_whatever_is_saved_is_told(tmp_path: Path, what: str) -> None:
    assert in_a_thread(told(write_guide(tmp_path, small_guide()), SAVES[what]))


def test_a_folder_that_came_anew_is_watched_too(tmp_path: Path) -> None:
    def replace_and_later_save(folder: Path) -> None:
        if (folder / "old").exists():
            (folder / "content/other.md").write_text("# Later\n")
        else:
            SAVES["another content"](folder)

    async def both() -> bool:
        saved: list[int] = []
        folder = write_guide(tmp_path, small_guide())
        task = asyncio.create_task(watch(folder, lambda: saved.append(1)))
        await asyncio.sleep(0.6)
        replace_and_later_save(folder)
        await asyncio.sleep(1.5)
        before = len(saved)
        replace_and_later_save(folder)
        await asyncio.sleep(1.5)
        task.cancel()
        await asyncio.gather(task, return_exceptions=True)
        return 0 < before < len(saved)

    assert in_a_thread(both())


def test_what_is_published_is_no_save(tmp_path: Path) -> None:
    folder = write_guide(tmp_path, small_guide())
    assert not in_a_thread(told(folder, lambda folder: publish_once(folder)))


def test_who_comes_while_another_publishes_waits_for_its_turn(tmp_path: Path) -> None:
    folder = write_guide(tmp_path, small_guide())
    with alone(folder):
        waiting = Thread(target=lambda: outcomes.append(publish_once(folder)))
        outcomes: list[Outcome] = []
        waiting.start()
        waiting.join(1.0)
        assert outcomes == []
    waiting.join(SOON)
    assert [outcome.failure for outcome in outcomes] == [""]
    assert outcomes[0].rendered
