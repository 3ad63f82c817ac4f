"""Results kept between publishings: what is known is not searched for again, and nothing else changes."""

from __future__ import annotations

import json
import os
import shutil
import sys
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from sample_guide import guide_of

from sitegen import cache as kept
from sitegen.cache import PLACE, Cache, cache_folder
from sitegen.problems import Problems
from sitegen.site import publish as site
from sitegen.site.publish import check

FLIP = "```find\nclaims: flips UF\n```\n"
SWAP = "```find\nclaims: swaps UF with UB\n```\n"
FALSE = "```moves\nmoves: U\nclaims: keeps U\n```\n"


@pytest.fixture
def write(tmp_path: Path) -> Callable[[str], Path]:
    """A guide of one page in a folder."""

    return lambda page: guide_of(tmp_path, index=page)


def publish(folder: Path, draft: bool = False) -> None:
    """Publishes as if nothing had been published: what is known of results is known, and nothing of pages."""
    shutil.rmtree(folder / "output", ignore_errors=True)
    site.publish(folder, draft)


def files(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


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
    guide = check(write(page.format("R U2", "B")))
    assert len(searches) == 2
    (way,) = guide.blocks["index"][0].checked.ways
    assert way.sequence.moves == "R U2"


def test_what_another_state_of_the_program_kept_is_not_trusted(write, searches, monkeypatch) -> None:
    folder = write(FLIP)
    publish(folder)
    monkeypatch.setattr(kept, "_code", lambda: "another")
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


@pytest.mark.parametrize("draft", [False, True])
def test_what_was_found_beside_a_problem_is_kept_too(write, searches, draft: bool) -> None:
    folder = write(FALSE + "\n" + SWAP)
    if draft:
        publish(folder, draft=True)
    else:
        with pytest.raises(Problems):
            publish(folder)
    publish(write(FLIP + "\n" + SWAP))
    assert searches == [["swaps UF with UB"], ["flips UF"]]


# Where it is ----------------------------------------------------------------------------------------------


def test_it_is_where_the_user_says_or_else_where_the_system_has_caches(monkeypatch, tmp_path) -> None:
    monkeypatch.setenv(PLACE, str(tmp_path / "here"))
    assert cache_folder() == tmp_path / "here"
    monkeypatch.delenv(PLACE)
    # XDG Base Directory Specification 0.8, “$XDG_CACHE_HOME”.
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    if sys.platform == "linux":
        assert cache_folder() == tmp_path / "turnfolio"


def test_nothing_of_it_is_in_the_guide(write) -> None:
    folder = write(FLIP)
    before = files(folder)
    check(folder)
    assert files(folder) == before
    publish(folder)
    assert {name for name in files(folder) if not name.startswith("output/")} == before.keys()


def test_what_comes_with_a_guide_makes_nothing_true(write, searches, cache) -> None:
    folder = write(FLIP)
    publish(folder)
    for name in (".turnfolio", "cache", ".cache/turnfolio", "content/.turnfolio"):
        shutil.copytree(cache, folder / name)
    shutil.rmtree(cache)
    publish(folder)
    assert len(searches) == 2


def test_no_result_is_written_where_nothing_was_searched_for(write, cache) -> None:
    publish(write("Home.\n\n```moves\nR U\n```\n"))
    assert all(map(is_record, cache.iterdir()))


def test_nothing_is_written_anew_where_nothing_is_new(write, cache) -> None:
    folder = write(FLIP)
    publish(folder)
    before = only(cache).stat()
    publish(folder)
    assert only(cache).stat().st_ino == before.st_ino


def only(cache: Path) -> Path:
    """The file of the one result that is kept beside the record of what was published."""
    (file,) = (file for file in cache.iterdir() if not is_record(file))
    return file


def is_record(file: Path) -> bool:
    return b'"inputs"' in file.read_bytes()


# A file of it ---------------------------------------------------------------------------------------------


def with_other_moves(text: str) -> str:
    """As somebody might mend it by hand."""
    seal, result = map(json.loads, text.split("\n"))
    return sealed({**result, "moves": ["R U"]}, seal)


def sealed(result: Any, seal: str = "") -> str:
    """A result as a file has it, below its digest or another."""
    text = json.dumps(result)
    return f"{json.dumps(seal)}\n{text}" if seal else below_its_digest(text)


def below_its_digest(text: str) -> str:
    return f"{json.dumps(sha256(text.encode()).hexdigest())}\n{text}"


def with_its_digest(change: Callable[[dict[str, Any]], Any]) -> Callable[[str], str]:
    """A result of another shape, as if it had been written so."""

    def changed(text: str) -> str:
        result = json.loads(text.split("\n")[1])
        return sealed(change(result) or result)

    return changed


DAMAGE = {
    "empty": lambda text: "",
    "half": lambda text: text[: len(text) // 2],
    "more": lambda text: text + "x",
    "bom": lambda text: "\ufeff" + text,
    "a word changed": lambda text: text.replace("shortest", "longest").replace("ended", "begun"),
    "other moves": with_other_moves,
    "null": lambda text: "null",
    "list": lambda text: "[]",
    "number": lambda text: "3",
    "text": lambda text: '"text"',
    "no keys": lambda text: "{}",
    "wrong digest": lambda text: sealed({}, "x"),
    "nulls": lambda text: "null\nnull",
    "nan": with_its_digest(lambda result: result.update(a=float("nan"))),
    "large number": lambda text: below_its_digest('{"a": 1' + "0" * 5000 + "}"),
    "no result": lambda text: below_its_digest(""),
    "digest alone": lambda text: text.split("\n")[0],
    "result alone": lambda text: text.split("\n")[1],
    "foreign": lambda text: '{"title": "of something else"}',
    "deep": lambda text: "[" * 100_000,
    "deep result": lambda text: below_its_digest('{"a": ' + "[" * 100_000 + "]" * 100_000 + "}"),
    "one key less": with_its_digest(lambda result: result.pop("partly") and None),
    "one key more": with_its_digest(lambda result: result.update(more=1)),
    "moves a text": with_its_digest(lambda result: result.update(moves="R U")),
    "moves numbers": with_its_digest(lambda result: result.update(moves=[1])),
    "counts a list": with_its_digest(lambda result: result.update(counts=[1])),
    "counts of words": with_its_digest(lambda result: result.update(counts={"one": 1})),
    "counts texts": with_its_digest(lambda result: result.update(counts={"1": "1"})),
    "a number true": with_its_digest(lambda result: result.update(partly=True)),
    "a list": with_its_digest(lambda result: [result]),
}


@pytest.mark.parametrize("damage", DAMAGE.values(), ids=DAMAGE)
def test_what_is_damaged_or_of_another_shape_is_ignored_without_a_word_and_replaced(
    write, searches, cache, capfd, damage: Callable[[str], str]
) -> None:
    folder = write(FLIP)
    publish(folder)
    file, output = only(cache), files(folder / "output")
    good = file.read_bytes()
    file.write_text(damage(good.decode()), encoding="utf-8")
    publish(folder)
    assert len(searches) == 2
    assert only(cache) == file
    assert file.read_bytes() == good
    assert files(folder / "output") == output
    assert capfd.readouterr() == ("", "")


def test_bytes_that_are_no_text_are_ignored_and_replaced(write, searches, cache) -> None:
    folder = write(FLIP)
    publish(folder)
    good = only(cache).read_bytes()
    only(cache).write_bytes(b"\xff\xfe\x00" + good)
    publish(folder)
    assert len(searches) == 2
    assert only(cache).read_bytes() == good


def a_file(cache: Path) -> None:
    cache.parent.mkdir(parents=True, exist_ok=True)
    cache.write_text("mine", encoding="utf-8")


def a_link_to_nowhere(cache: Path) -> None:
    cache.parent.mkdir(parents=True, exist_ok=True)
    cache.symlink_to(cache / "nowhere")


@pytest.mark.parametrize("prepare", [a_file, a_link_to_nowhere])
def test_where_nothing_can_be_kept_the_guide_is_published_all_the_same(
    write, searches, cache, capfd, prepare: Callable[[Path], None]
) -> None:
    folder = write(FLIP)
    prepare(cache)
    for _ in range(2):
        publish(folder)
    assert "flips UF" in (folder / "output" / "index.html").read_text(encoding="utf-8")
    assert len(searches) == 2
    assert capfd.readouterr() == ("", "")
    if prepare is a_file:
        assert cache.read_text(encoding="utf-8") == "mine"


def test_when_writing_breaks_off_nothing_half_is_kept(write, searches, cache, monkeypatch) -> None:
    folder = write(FLIP)
    publish(folder)
    good = files(cache)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr("sitegen.cache.os.replace", full)
        publish(write(FLIP + "\n" + SWAP))
    assert files(cache) == good
    publish(folder)
    assert len(searches) == 3


def test_what_was_not_used_for_longest_goes_when_there_is_too_much(tmp_path, monkeypatch) -> None:
    def result(number: int) -> dict[str, str]:
        return {str(number): "x" * 1000}

    monkeypatch.setattr(kept, "MOST", 3500)
    for number in range(3):
        Cache(tmp_path).recall({"number": number}, dict, lambda number=number: result(number))
        for age, file in enumerate(sorted(tmp_path.iterdir(), key=lambda each: -each.stat().st_mtime)):
            os.utime(file, (1_000_000 - age, 1_000_000 - age))
    Cache(tmp_path).recall({"number": 0}, dict, lambda: pytest.fail("the first is there"))
    Cache(tmp_path).recall({"number": 3}, dict, lambda: result(3))
    texts = [file.read_text(encoding="utf-8") for file in tmp_path.iterdir()]
    assert sorted(number for number in range(4) for text in texts if f'{{"{number}"' in text) == [0, 2, 3]


def test_files_of_others_are_neither_taken_away_nor_counted(tmp_path, monkeypatch) -> None:
    """The user may have named a folder that is not empty."""
    monkeypatch.setattr(kept, "MOST", 1000)
    others = {"letter.txt": "x" * 5000, "data.json": "{}", "a" * 64 + ".txt": "y" * 5000}
    for name, text in others.items():
        (tmp_path / name).write_text(text)
        os.utime(tmp_path / name, (1, 1))
    (tmp_path / "photographs").mkdir()
    for number in range(4):
        Cache(tmp_path).recall({"number": number}, dict, lambda: {"long": "x" * 600})
    assert {name: (tmp_path / name).read_text() for name in others} == others
    assert (tmp_path / "photographs").is_dir()
    assert len([*tmp_path.iterdir()]) == len(others) + 1 + 1


# What is published ----------------------------------------------------------------------------------------


def test_the_site_is_the_same_with_and_without_what_was_kept(write, cache) -> None:
    folder = write(f"{FLIP}\n```find\ntitle: T\nclaims: swaps UF with UB\nthen: U\nmost: 2\n```\n")
    publish(folder)
    first = files(folder / "output")
    publish(folder)
    assert files(folder / "output") == first
    shutil.rmtree(cache)
    publish(folder)
    assert files(folder / "output") == first


def test_a_result_by_itself_is_made_once_and_told_again(tmp_path) -> None:
    made: list[int] = []

    def make() -> dict[str, int]:
        made.append(1)
        return {"made": len(made)}

    cache = Cache(tmp_path)
    told = [cache.recall({"a": asked}, dict, make)["made"] for asked in (1, 1, 2)]
    assert told == [1, 1, 2]
    assert Cache(tmp_path).recall({"a": 2}, dict, make) == {"made": 2}


def test_what_is_made_is_told_as_it_will_be_read(tmp_path) -> None:
    told = [Cache(tmp_path).recall({}, dict, lambda: {1: (2, 3)}) for _ in range(2)]
    assert told == [{"1": [2, 3]}] * 2


def test_what_comes_with_the_program_counts_as_the_program_does(tmp_path, monkeypatch) -> None:
    """The definition of a puzzle that ships decides what turning it shows."""
    definition = tmp_path / "puzzles" / "definitions" / "cube.yaml"
    kept_by_python = tmp_path / "__pycache__" / "cache.pyc"
    found = []
    for path, text in [(definition, "depths: 1"), (definition, "depths: 2"), (kept_by_python, "x")]:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
        monkeypatch.setattr(kept.sitegen, "__file__", str(tmp_path / "__init__.py"))
        found.append(kept._code.__wrapped__())
    assert found[0] != found[1]
    assert found[1] == found[2]
