"""Results kept between publishings: what is known is not searched for again, and nothing else changes."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from sample_guide import guide_of

from sitegen.blocks.cache import FILE, FOLDER, Cache, read_cache
from sitegen.problems import Problems
from sitegen.site.publish import check, publish

FLIP = "```find\nclaims: flips UF\n```\n"
SWAP = "```find\nclaims: swaps UF with UB\n```\n"
FALSE = "```moves\nmoves: U\nclaims: keeps U\n```\n"


@pytest.fixture
def write(tmp_path: Path) -> Callable[[str], Path]:
    """A guide of one page in a folder."""

    return lambda page: guide_of(tmp_path, index=page)


def files(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


def kept_in(folder: Path) -> Path:
    return folder / FOLDER / FILE


# What is searched for again -------------------------------------------------------------------------------


def test_what_was_found_is_not_searched_for_when_the_guide_is_published_again(write, searches) -> None:
    folder = write(f"Home.\n\n{FLIP}\n{SWAP}")
    publish(folder)
    assert searches == [["flips UF"], ["swaps UF with UB"]]
    publish(folder)
    check(folder)
    publish(folder, draft=True)
    assert len(searches) == 2


def test_one_page_that_asks_twice_is_searched_once(write, searches) -> None:
    publish(write(FLIP + "\n" + FLIP))
    assert len(searches) == 1


def test_words_pictures_and_the_rest_of_a_page_may_change_without_a_search(write, searches) -> None:
    publish(write(FLIP))
    keys = "title: T\nclaims:\n- flips  UF\nview: top\nsay: S\nthen: U\nletters: yes"
    publish(write(f"# Other\n\n```find x\n{keys}\n```\n"))
    assert len(searches) == 1


@pytest.mark.parametrize(
    "change",
    [
        "claims: flips UR\nlongest: 3\nmost: 2",
        "claims: flips UF; keeps UB\nlongest: 4\nmost: 2",
        "claims: flips UF\nlongest: 4\nmost: 2",
        "claims: flips UF\nmost: 2",
        "claims: flips UF\nlongest: 3\nmost: 3",
        "claims: flips UF\nlongest: 3",
        "claims: flips UF\nlongest: 3\nmost: 2\nfaces: U, L, F, D",
        "claims: flips UF\nlongest: 3\nmost: 2\nslices: yes",
        "claims: flips UF\nlongest: 3\nmost: 2\nwide: yes",
        "claims: flips UF\nlongest: 3\nmost: 2\nmetric: qtm",
    ],
)
def test_whatever_a_result_follows_from_leads_to_a_search_when_it_changes(
    write, searches, change: str
) -> None:
    publish(write("```find\nclaims: flips UF\nlongest: 3\nmost: 2\n```\n"))
    publish(write(f"```find\n{change}\n```\n"))
    assert len(searches) == 2


def test_another_puzzle_leads_to_a_search(write, searches) -> None:
    block = "```find\ncycles UFR > UFL > UBL > UBR\n```\n"
    publish(write(block))
    publish(write(f"---\npuzzle: cube-2\n---\n{block}"))
    assert len(searches) == 2


def test_a_change_of_a_sequence_that_is_referred_to_leads_to_a_search_and_to_another_answer(
    write, searches
) -> None:
    page = "```find\nsame as @there\n```\n\n```moves there\n{0}\n```\n\n```moves other\n{1}\n```\n"
    folder = write(page.format("R U", "F"))
    publish(folder)
    publish(write(page.format("R U", "B")))  # of another sequence nothing is asked
    publish(write(page.format("R U F F'", "B")))  # written otherwise, it does the same
    assert len(searches) == 1
    guide = publish(write(page.format("R U2", "B"))).guide
    assert len(searches) == 2
    (way,) = guide.blocks["index"][0].checked.ways
    assert way.sequence.moves == "R U2"


def test_what_another_version_kept_is_not_trusted(write, searches, monkeypatch) -> None:
    folder = write(FLIP)
    publish(folder)
    monkeypatch.setattr("sitegen.blocks.cache.__version__", "0.0.0")
    publish(folder)
    assert len(searches) == 2


def test_that_nothing_was_found_is_kept_too(write, searches) -> None:
    folder = write("```find\nclaims: flips UF\nlongest: 1\n```\n")
    told = []
    for _ in range(2):
        with pytest.raises(Problems) as caught:
            publish(folder)
        told.append(str(caught.value))
    assert len(searches) == 1
    assert told[0] == told[1]


# What stays and what goes ---------------------------------------------------------------------------------


def test_what_is_not_asked_for_any_more_is_dropped_when_a_whole_guide_is_published(write, searches) -> None:
    publish(write(FLIP + "\n" + SWAP))
    folder = write(SWAP)
    publish(folder)
    assert len(read_cache(folder).known) == 1
    publish(write(FLIP + "\n" + SWAP))
    assert searches == [["flips UF"], ["swaps UF with UB"], ["flips UF"]]


@pytest.mark.parametrize("draft", [False, True])
def test_while_a_guide_has_problems_nothing_is_dropped(write, searches, draft: bool) -> None:
    publish(write(FLIP))
    folder = write(FALSE + "\n" + SWAP)
    if draft:
        publish(folder, draft=True)
    else:
        with pytest.raises(Problems):
            publish(folder)
    publish(write(FLIP + "\n" + SWAP))
    # What was found beside the problem is known too.
    assert searches == [["flips UF"], ["swaps UF with UB"]]


def test_nothing_is_written_where_nothing_was_searched_for(write) -> None:
    folder = write("Home.\n\n```moves\nR U\n```\n")
    publish(folder)
    assert not (folder / FOLDER).exists()


def test_nothing_is_written_anew_where_nothing_is_new(write) -> None:
    folder = write(FLIP)
    publish(folder)
    before = kept_in(folder).stat()
    publish(folder)
    after = kept_in(folder).stat()
    assert (before.st_ino, before.st_mtime_ns) == (after.st_ino, after.st_mtime_ns)


def test_check_writes_nothing(write) -> None:
    folder = write(FLIP)
    before = files(folder)
    check(folder)
    assert files(folder) == before
    publish(folder)
    (folder / "content" / "index.md").write_text(SWAP, encoding="utf-8")
    before = files(folder)
    check(folder)
    assert files(folder) == before


# The file -------------------------------------------------------------------------------------------------


def test_what_is_kept_is_out_of_sight_of_version_control(write) -> None:
    folder = write(FLIP)
    publish(folder)
    assert {path.name for path in (folder / FOLDER).iterdir()} == {".gitignore", FILE}
    # gitignore(5): the pattern * matches everything in the folder, the file itself included.
    assert (folder / FOLDER / ".gitignore").read_text(encoding="utf-8") == "*\n"


def with_other_moves(text: str) -> str:
    """As somebody might mend it by hand."""
    found = json.loads(text)
    for entry in found["entries"].values():
        entry["moves"] = ["R U"]
    return json.dumps(found)


@pytest.mark.parametrize(
    "damage",
    [
        lambda text: "",
        lambda text: text[: len(text) // 2],
        lambda text: text + "x",
        lambda text: "\ufeff" + text,
        lambda text: text.replace("shortest", "longest"),
        with_other_moves,
        lambda text: "null",
        lambda text: "[]",
        lambda text: "3",
        lambda text: '"text"',
        lambda text: "{}",
        lambda text: '{"digest": "x", "entries": {}}',
        lambda text: '{"digest": null, "entries": null}',
        lambda text: '{"digest": "x", "entries": [1, 2]}',
        lambda text: '{"digest": "x", "entries": {"a": NaN}}',
        lambda text: '{"digest": 1, "entries": {"a": 1' + "0" * 5000 + "}}",
        lambda text: '{"title": "of something else"}',
        lambda text: "[" * 100_000,
        lambda text: '{"digest": "x", "entries": {"a": ' + "[" * 100_000 + "]" * 100_000 + "}}",
    ],
    ids=[
        *("empty", "half", "more", "bom", "a-word-changed", "other-moves", "null", "list", "number", "text"),
        *("no-keys", "wrong-digest", "nulls", "entries-a-list", "nan", "large-number", "foreign"),
        *("deep", "deep-entries"),
    ],
)
def test_a_file_that_is_damaged_or_not_its_own_is_ignored_without_a_word_and_replaced(
    write, searches, capfd, damage: Callable[[str], str]
) -> None:
    folder = write(FLIP)
    publish(folder)
    good, output = kept_in(folder).read_bytes(), files(folder / "output")
    kept_in(folder).write_text(damage(good.decode()), encoding="utf-8")
    publish(folder)
    assert len(searches) == 2
    assert kept_in(folder).read_bytes() == good
    assert files(folder / "output") == output
    assert capfd.readouterr() == ("", "")


def test_bytes_that_are_no_text_are_ignored_and_replaced(write, searches) -> None:
    folder = write(FLIP)
    publish(folder)
    good = kept_in(folder).read_bytes()
    kept_in(folder).write_bytes(b"\xff\xfe\x00" + good)
    publish(folder)
    assert len(searches) == 2
    assert kept_in(folder).read_bytes() == good


def replace_by_file(folder: Path) -> None:
    (folder / FOLDER).write_text("mine", encoding="utf-8")


def replace_by_folder(folder: Path) -> None:
    kept_in(folder).mkdir(parents=True)


def replace_ignore_file(folder: Path) -> None:
    (folder / FOLDER / ".gitignore").mkdir(parents=True)


def link_to_nowhere(folder: Path) -> None:
    (folder / FOLDER).symlink_to(folder / "nowhere")


@pytest.mark.parametrize(
    "prepare", [replace_by_file, replace_by_folder, replace_ignore_file, link_to_nowhere]
)
def test_where_nothing_can_be_kept_the_guide_is_published_all_the_same(
    write, searches, capfd, prepare: Callable[[Path], None]
) -> None:
    folder = write(FLIP)
    prepare(folder)
    for _ in range(2):
        publish(folder)
    assert "flips UF" in (folder / "output" / "index.html").read_text(encoding="utf-8")
    assert len(searches) == 2
    assert capfd.readouterr() == ("", "")
    if prepare is replace_by_file:
        assert (folder / FOLDER).read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("fails", ["mkdir", "write_text"])
def test_a_folder_that_cannot_be_written_to_does_not_matter(write, monkeypatch, fails: str) -> None:
    """By the system's answer, since one who may do everything is refused nothing."""
    folder = write(FLIP)
    ordinary = getattr(Path, fails)

    def refuse(self: Path, *args, **named):
        if FOLDER in self.relative_to(folder).parts[:1]:
            raise PermissionError(13, "Permission denied", str(self))
        return ordinary(self, *args, **named)

    monkeypatch.setattr(Path, fails, refuse)
    publish(folder)
    assert not kept_in(folder).exists()
    assert "flips UF" in (folder / "output" / "index.html").read_text(encoding="utf-8")


def test_a_file_that_cannot_be_read_does_not_matter(write, searches, monkeypatch) -> None:
    folder = write(FLIP)
    publish(folder)
    ordinary = Path.read_text

    def refuse(self: Path, *args, **named):
        if self.name == FILE:
            raise PermissionError(13, "Permission denied", str(self))
        return ordinary(self, *args, **named)

    monkeypatch.setattr(Path, "read_text", refuse)
    publish(folder)
    assert len(searches) == 2


def test_when_writing_breaks_off_what_was_kept_before_stands_whole(write, searches, monkeypatch) -> None:
    folder = write(FLIP)
    publish(folder)
    good = kept_in(folder).read_bytes()
    ordinary = Path.write_text

    def full(self: Path, text: str, **named):
        if self.parent.name == FOLDER and self.suffix != "":
            ordinary(self, text[: len(text) // 2], **named)
            raise OSError(28, "No space left on device", str(self))
        return ordinary(self, text, **named)

    monkeypatch.setattr(Path, "write_text", full)
    publish(write(FLIP + "\n" + SWAP))
    assert kept_in(folder).read_bytes() == good


# What is published ----------------------------------------------------------------------------------------


def test_the_site_is_the_same_with_and_without_what_was_kept(write) -> None:
    folder = write(f"{FLIP}\n```find\ntitle: T\nclaims: swaps UF with UB\nthen: U\nmost: 2\n```\n")
    publish(folder)
    first = files(folder / "output")
    publish(folder)
    assert files(folder / "output") == first
    shutil.rmtree(folder / FOLDER)
    publish(folder)
    assert files(folder / "output") == first


def test_what_is_kept_is_the_same_whatever_was_kept_before(write) -> None:
    folder = write(FLIP + "\n" + SWAP)
    publish(folder)
    whole = kept_in(folder).read_bytes()
    publish(write(SWAP))
    publish(write(SWAP + "\n" + FLIP))
    assert kept_in(folder).read_bytes() == whole


def test_the_site_never_contains_what_is_kept(write) -> None:
    folder = write(FLIP)
    for _ in range(2):
        publish(folder)
        assert not any(FILE in path or path.startswith(f"{FOLDER}/") for path in files(folder / "output"))


def test_a_result_by_itself_is_made_once_and_told_again() -> None:
    made: list[int] = []

    def make() -> int:
        made.append(1)
        return len(made)

    kept = Cache()
    assert [kept.recall({"a": 1}, make), kept.recall({"a": 1}, make), kept.recall({"a": 2}, make)] == [
        1,
        1,
        2,
    ]
