"""Publishing is all or nothing, gives the same bytes everywhere, and never loses a file of anyone else's."""

from __future__ import annotations

import json
import os
import shutil
import stat
import subprocess
import sys
from hashlib import sha256
from pathlib import Path

import pytest
from click.testing import CliRunner
from sample_guide import small_guide, write_guide

from sitegen.cli import main
from sitegen.problems import Problems
from sitegen.site import output as output_module
from sitegen.site.output import (
    PATIENCE,
    RECORD,
    WORKSHOP,
    Busy,
    OutputError,
    alone,
    put_back,
    recorded,
    replace_site,
    replaced,
)
from sitegen.site.publish import publish

OLD = {"index.html": b"old", "a/b.html": b"old b", "gone.html": b"gone"}
NEW = {"index.html": b"new", "a/b.html": b"new b", "a/c.html": b"c"}


def tree(folder: Path) -> dict[str, bytes]:
    """Every file below a folder, but for those in which publishing keeps its record."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != ".turnfolio"
    }


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """An output folder to which OLD was published."""
    replace_site(tmp_path / "output", OLD.items())
    return tmp_path / "output"


def nothing_left_beside(site: Path) -> bool:
    return [path.name for path in site.parent.iterdir()] == [site.name]


def test_a_first_publishing_writes_every_file(site) -> None:
    assert tree(site) == OLD
    assert nothing_left_beside(site)


def test_the_next_replaces_what_the_last_wrote_and_removes_what_is_gone(site) -> None:
    replace_site(site, NEW.items())
    assert tree(site) == NEW
    assert nothing_left_beside(site)


def test_files_of_others_are_kept(site) -> None:
    foreign = {
        "CNAME": b"example.org",
        ".nojekyll": b"",
        "a/mine/deep.txt": b"x",
        "other/y.bin": bytes(range(256)),
    }
    for name, content in foreign.items():
        (site / name).parent.mkdir(parents=True, exist_ok=True)
        (site / name).write_bytes(content)
    (site / "empty").mkdir()
    (site / "link").symlink_to("index.html")
    (site / "broken").symlink_to("nowhere")
    os.utime(site / "CNAME", (1_000_000_000, 1_000_000_000))
    for files in (NEW, OLD, NEW):
        replace_site(site, files.items())
    assert {name: (site / name).read_bytes() for name in foreign} == foreign
    assert (site / "empty").is_dir()
    assert (site / "link").readlink() == Path("index.html")
    assert (site / "broken").is_symlink()
    assert (site / "CNAME").stat().st_mtime == 1_000_000_000
    assert not (site / "gone.html").exists()


@pytest.mark.parametrize("mine", ["a/c.html", "a/c.html/inside.txt", "a/c.html/"])
def test_a_file_of_someone_elses_is_never_written_over(site, mine: str) -> None:
    if mine.endswith("/"):
        (site / mine).mkdir(parents=True)
    else:
        (site / mine).parent.mkdir(parents=True, exist_ok=True)
        (site / mine).write_bytes(b"mine")
    before = tree(site)
    with pytest.raises(OutputError, match="was not written by Turnfolio"):
        replace_site(site, NEW.items())
    assert tree(site) == before
    assert nothing_left_beside(site)


def test_a_folder_that_was_there_before_is_not_taken_for_an_old_site(tmp_path) -> None:
    (tmp_path / "output").mkdir()
    (tmp_path / "output" / "index.html").write_bytes(b"mine")
    with pytest.raises(OutputError):
        replace_site(tmp_path / "output", NEW.items())
    assert tree(tmp_path / "output") == {"index.html": b"mine"}


def test_a_file_where_the_site_belongs_is_never_taken_away(tmp_path) -> None:
    (tmp_path / "output").write_bytes(b"mine")
    with pytest.raises(OutputError):
        replace_site(tmp_path / "output", NEW.items())
    assert (tmp_path / "output").read_bytes() == b"mine"


@pytest.mark.parametrize("target", ["elsewhere", "guide/content", ".", "nowhere"])
def test_nothing_is_published_through_a_link(tmp_path, target: str) -> None:
    for name in ("elsewhere", "guide/content"):
        (tmp_path / name).mkdir(parents=True)
        (tmp_path / name / "mine.txt").write_bytes(b"mine")
    (tmp_path / "guide/output").symlink_to(tmp_path / target)
    before = tree(tmp_path)
    with pytest.raises(OutputError, match="is a link"):
        replace_site(tmp_path / "guide/output", NEW.items())
    assert tree(tmp_path) == before


def test_what_was_changed_since_it_was_published_is_kept_and_told(site) -> None:
    (site / "gone.html").write_bytes(b"My own.")
    with replaced(site) as new:
        for name, content in NEW.items():
            new.write(name, content)
    assert new.kept == ["gone.html"]
    assert tree(site) == {**NEW, "gone.html": b"My own."}
    with replaced(site) as new:
        new.write("gone.html", b"My own.")  # one that is just what is published is nobody's loss
    assert new.kept == []


@pytest.mark.parametrize("name", ["index.html", "a/b.html"])
def test_what_was_changed_since_it_was_published_is_not_written_over(site, name: str) -> None:
    (site / name).write_bytes(b"My own.")
    before = tree(site)
    with pytest.raises(OutputError, match=f"output/{name} has changed since the last publishing"):
        replace_site(site, NEW.items())
    assert tree(site) == before
    (site / name).unlink()
    replace_site(site, NEW.items())
    assert tree(site) == NEW


@pytest.mark.parametrize(
    ("count", "named"),
    [
        (2, "output/0.html and output/1.html were"),
        (3, "output/0.html, output/1.html and output/2.html were"),
    ],
)
def test_few_files_in_the_way_are_all_named(tmp_path, count: int, named: str) -> None:
    few = {f"{number}.html": b"x" for number in range(count)}
    (tmp_path / "output").mkdir()
    for name in few:
        (tmp_path / "output" / name).write_bytes(b"mine")
    with pytest.raises(OutputError) as told:
        replace_site(tmp_path / "output", few.items())
    assert str(told.value) == f"{named} not written by Turnfolio: move them elsewhere and publish again"


def test_of_many_files_in_the_way_some_are_named(tmp_path) -> None:
    many = {f"{number}.html": b"x" for number in range(9)}
    (tmp_path / "output").mkdir()
    for name in many:
        (tmp_path / "output" / name).write_bytes(b"mine")
    with pytest.raises(OutputError) as told:
        replace_site(tmp_path / "output", many.items())
    assert str(told.value) == (
        "output/0.html, output/1.html, output/2.html and 6 more were not written by Turnfolio: "
        "move them elsewhere, or all of output/ if none of it is yours, and publish again"
    )


def test_modes_of_folders_and_links_to_files_stay_as_they_were(site) -> None:
    (site / "mine").mkdir()
    (site / "mine/letter.txt").write_bytes(b"mine")
    (site.parent / "linked.txt").hardlink_to(site / "mine/letter.txt")
    for folder, mode in ((site, 0o750), (site / "a", 0o700), (site / "mine", 0o555)):
        folder.chmod(mode)
    replace_site(site, NEW.items())
    assert [stat.S_IMODE(each.stat().st_mode) for each in (site, site / "a", site / "mine")] == [
        0o750,
        0o700,
        0o555,
    ]
    assert (site.parent / "linked.txt").samefile(site / "mine/letter.txt")


def test_folders_of_the_authors_that_are_called_like_ours_stay(site) -> None:
    names = (".output.new", ".output.old", f"{WORKSHOP}mine")
    for name in names:
        (site.parent / name).mkdir()
        (site.parent / name / "letter.txt").write_bytes(b"mine")
    replace_site(site, NEW.items())
    assert {(site.parent / name / "letter.txt").read_bytes() for name in names} == {b"mine"}


def test_what_cannot_be_taken_away_is_told_when_all_is_done(site, monkeypatch) -> None:
    monkeypatch.setattr(shutil, "rmtree", lambda *args, **named: None)
    with pytest.raises(OutputError, match=r"\.turnfolio-\w+ is left over and cannot be removed: remove it"):
        replace_site(site, NEW.items())
    assert tree(site) == NEW
    monkeypatch.undo()
    replace_site(site, OLD.items())
    assert nothing_left_beside(site)


@pytest.mark.parametrize(
    "text",
    [
        "index.html\na/b.html\n",
        "{",
        "[]",
        '{"files": ["index.html"]}',
        '{"files": {"index.html": 1}}',
        "[" * 100_000,
        "\udcff",
    ],
)
def test_a_record_that_cannot_be_read_makes_nothing_ours(site, text: str) -> None:
    (site / RECORD).write_bytes(text.encode("utf-8", "surrogateescape"))
    assert recorded(site) == {}
    with pytest.raises(OutputError, match="not written by Turnfolio"):
        replace_site(site, NEW.items())
    assert tree(site) == OLD


# Failing and interrupted ----------------------------------------------------------------------------------


@pytest.mark.parametrize("failing", [0, 1, 3])
def test_a_disk_that_fails_leaves_the_old_site_whole(site, monkeypatch, failing: int) -> None:
    real, calls = Path.write_bytes, []

    def write(self: Path, content: bytes) -> int:
        calls.append(self)
        if len(calls) > failing:
            raise OSError(28, "No space left on device")
        return real(self, content)

    (site / "CNAME").write_bytes(b"mine")
    before = tree(site)
    monkeypatch.setattr(Path, "write_bytes", write)
    with pytest.raises((OSError, OutputError)):
        replace_site(site, NEW.items())
    monkeypatch.undo()
    assert len(calls) == failing + 1
    assert tree(site) == before
    assert nothing_left_beside(site)


@pytest.mark.parametrize("error", [OSError(5, "Input/output error"), KeyboardInterrupt()])
def test_carrying_files_over_may_fail_too(site, monkeypatch, error: BaseException) -> None:
    (site / "CNAME").write_bytes(b"mine")
    before = tree(site)

    def fail(*args, **kwargs):
        raise error

    monkeypatch.setattr(output_module, "_link", fail)
    with pytest.raises((OSError, OutputError, KeyboardInterrupt)):
        replace_site(site, NEW.items())
    assert tree(site) == before
    assert nothing_left_beside(site)


def test_a_swap_that_fails_halfway_puts_the_old_site_back(site, monkeypatch) -> None:
    real = Path.rename

    def rename(self: Path, target: Path) -> Path:
        if self.name == "site":
            raise OSError(13, "Permission denied")
        return real(self, target)

    monkeypatch.setattr(output_module, "exchanged", lambda one, other: False)
    monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises((OSError, OutputError)):
        replace_site(site, NEW.items())
    assert tree(site) == OLD
    assert nothing_left_beside(site)


@pytest.mark.parametrize("point", range(1, 4))
def test_a_publishing_cut_off_in_its_swap_is_mended_by_the_next(tmp_path, point: int) -> None:
    """A process of its own ends, as by a power cut, right after its n-th renaming; there is no exchange."""
    site = tmp_path / "output"
    replace_site(site, OLD.items())
    (site / "CNAME").write_bytes(b"mine")
    script = f"""
import os, pathlib
from sitegen.site import output
from sitegen.site.output import replace_site
output.exchanged = lambda one, other: False
left = {point}
def cut(real):
    def run(*args, **kwargs):
        global left
        result = real(*args, **kwargs)
        left -= 1
        if left == 0:
            os._exit(9)
        return result
    return run
pathlib.Path.rename = cut(pathlib.Path.rename)
replace_site(pathlib.Path({str(site)!r}), {NEW!r}.items())
"""
    code = subprocess.run([sys.executable, "-c", script], check=False).returncode
    assert code == (9 if point < 3 else 0)  # such a swap is two renamings
    put_back(site)
    assert tree(site) in ({**OLD, "CNAME": b"mine"}, {**NEW, "CNAME": b"mine"})
    last = {"index.html": b"last"}
    replace_site(site, last.items())
    assert tree(site) == {**last, "CNAME": b"mine"}
    assert nothing_left_beside(site)


@pytest.mark.parametrize("name", ["site", "old", "whose.json", "more"])
def test_nothing_is_done_through_links_in_what_seems_to_be_a_workshop(site, tmp_path, name: str) -> None:
    """A guide is passed on with one, to have folders elsewhere changed or taken away, or put into output/."""
    elsewhere = tmp_path / "elsewhere"
    (elsewhere / "inside").mkdir(parents=True)
    (elsewhere / "inside/letter.txt").write_bytes(b"mine")
    (elsewhere / "whose.json").write_text('{"output": "output", "process": 1}')
    for folder in (elsewhere, elsewhere / "inside"):
        folder.chmod(0o755)
    workshop = site.parent / f"{WORKSHOP}strange"
    workshop.mkdir()
    (workshop / "whose.json").write_text('{"output": "output", "process": 1}')
    (workshop / name).unlink(missing_ok=True)
    (workshop / name).symlink_to(elsewhere / ("whose.json" if name == "whose.json" else ""))
    before = tree(elsewhere)
    replace_site(site, NEW.items())
    assert tree(elsewhere) == before
    assert {stat.S_IMODE(each.stat().st_mode) for each in (elsewhere, elsewhere / "inside")} == {0o755}
    shutil.rmtree(site)
    put_back(site)
    assert not site.exists()


@pytest.mark.parametrize("content", [OLD["index.html"], NEW["index.html"]])
def test_what_broke_off_elsewhere_is_written_again_and_the_old_site_is_not(site, content: bytes) -> None:
    with replaced(site) as new:
        new.put("index.html", OLD["index.html"])  # which makes it the same file as that of the old site
        new.write("index.html", content)
        assert tree(site) == OLD
    assert tree(site) == {"index.html": content}


@pytest.mark.parametrize("begun", [(), ("whose.json",)])
def test_a_workshop_in_which_nothing_stands_yet_is_taken_away(site, begun: tuple[str, ...]) -> None:
    workshop = site.parent / f"{WORKSHOP}begun"
    workshop.mkdir()
    for name in begun:
        (workshop / name).touch()
    replace_site(site, NEW.items())
    assert nothing_left_beside(site)


def test_every_command_first_puts_back_a_site_that_was_away(tmp_path) -> None:
    folder = write_guide(tmp_path, small_guide())
    publish(folder)
    before = tree(folder / "output")
    cut_off = folder / f"{WORKSHOP}cut-off"
    cut_off.mkdir()
    (cut_off / "whose.json").write_text('{"output": "output", "process": 1}')
    (folder / "output").rename(cut_off / "old")
    assert CliRunner().invoke(main, ["check", str(folder)]).exit_code == 0
    assert tree(folder / "output") == before


def test_a_publishing_cut_off_while_writing_leaves_the_old_site_and_the_next_clears_up(tmp_path) -> None:
    site = tmp_path / "output"
    replace_site(site, OLD.items())
    script = f"""
import os, pathlib
from sitegen.site.output import replace_site
real, left = pathlib.Path.write_bytes, 2
def write(self, content):
    global left
    left -= 1
    if left == 0:
        os._exit(9)
    return real(self, content)
pathlib.Path.write_bytes = write
replace_site(pathlib.Path({str(site)!r}), {NEW!r}.items())
"""
    assert subprocess.run([sys.executable, "-c", script], check=False).returncode == 9
    assert tree(site) == OLD
    replace_site(site, NEW.items())
    assert tree(site) == NEW
    assert nothing_left_beside(site)


def test_a_guide_with_a_false_claim_leaves_the_old_site_whole(tmp_path) -> None:
    folder = write_guide(tmp_path, small_guide())
    publish(folder)
    before = {path: path.stat().st_mtime_ns for path in sorted((folder / "output").rglob("*"))}
    (folder / "content" / "index.md").write_text("```moves x\nmoves: R\nclaims: flips UF\n```\n")
    with pytest.raises(Problems, match="this claim is false"):
        publish(folder)
    assert {path: path.stat().st_mtime_ns for path in sorted((folder / "output").rglob("*"))} == before


def test_a_page_taken_out_of_the_guide_goes_from_the_site(tmp_path) -> None:
    folder = write_guide(tmp_path, small_guide())
    publish(folder)
    (folder / "output" / "CNAME").write_text("mine")
    (folder / "content" / "other.md").unlink()
    publish(folder)
    assert not (folder / "output" / "other.html").exists()
    assert (folder / "output" / "CNAME").read_text() == "mine"


# The same bytes -------------------------------------------------------------------------------------------


def test_the_same_guide_gives_the_same_bytes_in_any_place_zone_and_language(tmp_path) -> None:
    sites = []
    for number, surroundings in enumerate(
        [
            {"TZ": "UTC", "LANG": "C", "LC_ALL": "C", "PYTHONHASHSEED": "1", "PYTHONUTF8": "0"},
            {
                "TZ": "Pacific/Kiritimati",
                "LANG": "de_DE.UTF-8",
                "LC_ALL": "tr_TR.UTF-8",
                "PYTHONHASHSEED": "424242",
            },
        ]
    ):
        folder = write_guide(tmp_path / f"place {number}" / "guide", small_guide())
        for path in sorted(folder.rglob("*"), reverse=bool(number)):
            os.utime(path, (number * 10**9, number * 10**9))
        subprocess.run(
            [sys.executable, "-c", "from sitegen.cli import main; main(['publish', '.'])"],
            cwd=folder,
            env={**os.environ, **surroundings},
            check=True,
            capture_output=True,
        )
        sites.append(
            {p.relative_to(folder): p.read_bytes() for p in (folder / "output").rglob("*") if p.is_file()}
        )
    assert len(sites[0]) > 10
    assert sites[0] == sites[1]


def test_publishing_again_changes_no_byte(tmp_path) -> None:
    folder = write_guide(tmp_path, small_guide())
    publish(folder)
    first = tree(folder / "output")
    publish(folder)
    assert tree(folder / "output") == first


def test_the_record_names_what_was_written(site) -> None:
    digests = {name: sha256(content).hexdigest() for name, content in OLD.items()}
    assert json.loads((site / RECORD).read_text()) == {"files": digests}


HOLDING = f"""
import sys
from pathlib import Path
from time import sleep
from sitegen.site.output import alone
with alone(Path(sys.argv[1])):
    print("locked", flush=True)
    sleep({PATIENCE / 3})
"""


def test_a_second_publishing_at_the_same_time_is_refused_and_harms_nothing(site, monkeypatch) -> None:
    real = Path.write_bytes
    tried = []

    def write(self: Path, content: bytes) -> int:
        if not tried:
            tried.append(True)
            by_whom = f"is being published by process {os.getpid()}"
            with pytest.raises(Busy, match=by_whom), alone(site.parent):
                replace_site(site, {"other.html": b"other"}.items())
        return real(self, content)

    monkeypatch.setattr(Path, "write_bytes", write)
    with alone(site.parent):
        replace_site(site, NEW.items())
    assert tried
    assert tree(site) == NEW
    assert nothing_left_beside(site)


def test_the_last_of_a_publishing_that_was_killed_is_waited_for(site) -> None:
    """Its processes end a moment after it, and have the lock until then."""
    ending = subprocess.Popen(
        [sys.executable, "-c", HOLDING, str(site.parent)], stdout=subprocess.PIPE, text=True
    )
    assert ending.stdout is not None
    ending.stdout.readline()
    with alone(site.parent):
        replace_site(site, NEW.items())
    ending.communicate()
    assert tree(site) == NEW


def test_a_file_name_with_a_strange_line_end_is_known_again(site) -> None:
    strange = {"a\u2028b.txt": b"x", "index.html": b"i"}
    replace_site(site, strange.items())
    replace_site(site, strange.items())
    assert tree(site) == strange


@pytest.mark.parametrize("name", ["../x.html", "a/../../x.html", "/x.html"])
def test_nothing_is_written_outside_the_folder(site, name: str) -> None:
    with pytest.raises(OutputError, match="is not below output"):
        replace_site(site, {name: b"x"}.items())
    assert tree(site) == OLD
    assert nothing_left_beside(site)


def test_what_cannot_be_written_is_called_as_it_would_be(site, monkeypatch) -> None:
    """Each file in turn, the record among them: not by its place beside the site, and not without a name."""
    real = Path.write_bytes
    for name in [*NEW, RECORD]:

        def write(self: Path, content: bytes, failing: str = name) -> int:
            if self.as_posix().endswith(f"/site/{failing}"):
                raise OSError(28, "No space left on device")  # as writing tells it: without a name
            return real(self, content)

        monkeypatch.setattr(Path, "write_bytes", write)
        changed = {each: content + b" anew" for each, content in NEW.items()}
        with pytest.raises(OSError, match="No space left") as told:
            replace_site(site, changed.items())
        assert told.value.filename == str(site / name)
        monkeypatch.undo()


def test_where_no_folder_can_be_made_the_file_is_called_as_it_would_be(site, monkeypatch) -> None:
    def fail(self: Path, *args: object, **named: object) -> None:
        if "/site/" in self.as_posix():
            raise OSError(28, "No space left on device", str(self))

    monkeypatch.setattr(Path, "mkdir", fail)
    with pytest.raises(OSError, match="No space left") as told:
        replace_site(site, [("deep/in/it.html", b"New.")])
    assert told.value.filename == str(site / "deep/in/it.html")
