"""Publishing makes only what has changed, and gives what publishing from nothing gives, byte for byte."""

from __future__ import annotations

import json
import os
import random
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from hashlib import sha256
from pathlib import Path

import pytest
from sample_guide import write_guide

from sitegen.cache import PLACE
from sitegen.guide.anew import OthersConcerned, known_pages, read_anew
from sitegen.guide.load import read_guide
from sitegen.problems import Problems
from sitegen.site.output import RECORD, OutputError
from sitegen.site.publish import Published, publish
from sitegen.site.render import Site
from sitegen.site.theme import load_theme

Files = dict[str, str]
"""A guide, by the paths of its files."""
TENT = (
    "solid: octahedron\nnames: {A: F, B: R, C: B, D: L, E: Df, F: Dr, G: Db, H: Dl}\n"
    "axes: {F: F, R: R, B: B, L: L}\ndepths: [0]\nangle: 120\n"
    "colours: {F: white, R: yellow, B: pink, L: orange, Df: blue, Dr: green, Db: purple, Dl: red}\n"
)
GUIDE: Files = {
    "content/guide.yaml": (
        "title: A guide\npages: [index, one, two, deep/index]\nhtml: yes\ntheme: mine\nfigure numbers: yes\n"
    ),
    "content/index.md": (
        "# Home\n\nRead [](one.md), [](sequence:lift), [](two.md#below), <a href='notes.txt'>notes</a> "
        "and `R @lift`{.moves}, as in <position:undone>.\n"
    ),
    "content/one.md": (
        "# One\n\nSome words.\n\n```moves lift\ntitle: Lift\nmoves: F D' U L2 U2 D2 R U\n"
        "claims: flips UF\nfocus: U\ntags: up\n```\n"
    ),
    "content/two.md": (
        "# Two\n\n## Below\n\nIt is `order 105`{.claim of=quarter}.\n\n"
        "```moves quarter\nmoves: R U\nsay: After [](sequence:lift).\n```\n\n"
        "```moves twice\nmoves: [@lift, U]\neffect: Unlike `order 105`{.claim of=quarter}.\n```\n"
    ),
    "content/three.md": (
        "# Three\n\n```find\nclaims: same as @quarter\nfaces: R, U\n```\n\n"
        "```position undone\nmoves: R U\nsolve: @quarter'\ncaption: It is put right.\n```\n\n"
        "```practice\nfrom: @quarter, @twice\ncount: 1\n```\n"
    ),
    "content/four.md": (
        "# Four\n\n```derivation\nwatch: UFR\nnames: back\nsteps:\n- turn: U'\n- turn: R'\n```\n\n"
        "```moves\nmoves: @back @quarter\nclaims: keeps UF\n```\n"
    ),
    "content/deep/index.md": (
        "# Deep\n\nA chapter, below [home](../index.md): `R U`{.moves} is `same as @quarter`{.claim}.\n"
    ),
    "content/deep/inside.md": (
        "---\ntags: [a, b]\n---\n# Inside\n\nSee [](../two.md).\n\n```moves\nR L'\n```\n"
    ),
    "content/cards.md": "---\nkind: handout\ncards: [lift, twice]\n---\n# Cards\n",
    "content/mine.md": "---\npuzzle: tent\n---\n# Mine\n\n```moves turned\nmoves: F R\n```\n",
    "content/small.md": "---\npuzzle: cube-2\n---\n# Small\n\nNothing is turned here.\n",
    "content/notes.txt": "Notes.\n",
    "content/puzzles/tent.yaml": TENT,
    "themes/mine/theme.yaml": "based on: folio\n",
    "themes/mine/templates/pages/page.html": (
        '{% extends "folio/pages/page.html" %}\n{% block under_title %}<p>Mine</p>{% endblock %}\n'
    ),
    "themes/mine/files/mine.css": "h1 { margin: 0 }\n",
}
PARTS = (
    ("content/one.md", "Some words", "Other words"),
    ("content/two.md", "## Below", "## Below!"),  # with the same anchor
    ("content/one.md", "# One", "# The first"),
    ("content/one.md", "title: Lift", "title: Raise"),
    ("content/one.md", "F D' U L2 U2 D2 R U", "F D' U L2 U2 D2 R U R4"),
    ("content/one.md", "moves lift", "moves raise"),
    ("content/one.md", "claims: flips UF", "claims: flips UR"),
    ("content/one.md", "tags: up", "tags: down"),
    ("content/two.md", "## Below", "## Beneath"),
    ("content/two.md", "## Below", "## Above\n\n## Below"),
    ("content/two.md", "moves: R U", "moves: U R"),
    ("content/two.md", "moves: R U", "moves: R U (R R R R)"),
    ("content/two.md", "[@lift, U]", "[@lift, U']"),
    ("content/two.md", "say: After [](sequence:lift).\n", ""),
    ("content/two.md", "say: After", "title: A fourth\nsay: After"),
    ("content/two.md", "moves twice", "moves double"),
    ("content/three.md", "moves: R U", "moves: R U R4"),
    ("content/three.md", "```find\n", "```find\ncaption: All ways.\n"),
    ("content/three.md", "It is put right", "All is put right"),
    ("content/guide.yaml", "figure numbers: yes", "figure numbers: no"),
    ("content/four.md", "watch: UFR", "watch: UF"),
    ("content/four.md", "moves: @back @quarter\n", "moves: @back' @back\n"),
    ("content/deep/index.md", "# Deep", "# Deeper"),
    ("content/deep/inside.md", "R L'", "M"),
    ("content/deep/inside.md", "tags: [a, b]", "tags: [b]"),
    ("content/deep/inside.md", "tags: [a, b]\n", "tags: [a, b]\nsummary: In a word.\n"),
    ("content/two.md", "## Below\n", "Below\n: what is below\n"),
    ("content/one.md", "tags: up", "tags: A"),  # beside a small one elsewhere, which is noted
    ("content/cards.md", "[lift, twice]", "[twice]"),
    ("content/notes.txt", "Notes", "More notes"),
    ("content/mine.md", "F R", "F L"),
    ("content/guide.yaml", "[index, one, two, deep/index]", "[index, two, one]"),
    ("content/guide.yaml", "title: A guide", "title: The guide"),
    ("content/guide.yaml", "theme: mine", "theme: mine\ncolours: {red: '#a01010'}"),
    ("content/guide.yaml", "html: yes", "html: yes\naddress: https://example.org/"),
    ("content/puzzles/tent.yaml", "F: white, R: yellow", "F: yellow, R: white"),
    ("themes/mine/templates/pages/page.html", "Mine", "Ours"),
    ("themes/mine/files/mine.css", "margin: 0", "margin: 1rem"),
)
"""What may be changed: in a file a text, and what then stands there."""
PAGES = {
    "content/five.md": "# Five\n\nFrom [](one.md), `R U`{.moves}.\n\n```moves five\nU R'\n```\n",
    "content/deep/more.md": "# More\n\n```moves inverse\nU' R'\n```\n",
    "content/index.html.md": "# Strange\n",
}
"""What may be added, and taken away again."""
COPIED = ("guide", "cache")
Change = Callable[[Files, Path], None]


def changed(file: str, before: str, after: str) -> Change:
    """One text for another, or back."""

    def change(files: Files, folder: Path) -> None:
        text = files.get(file, "")
        files[file] = text.replace(before, after) if before in text else text.replace(after, before)

    return change


def added(file: str, text: str) -> Change:
    def change(files: Files, folder: Path) -> None:
        if files.pop(file, None) is None:
            files[file] = text

    return change


def renamed(files: Files, folder: Path) -> None:
    """A page to which links lead gets another name, and back; so do the links."""
    old, new = ("one", "first") if "content/one.md" in files else ("first", "one")
    files[f"content/{new}.md"] = files.pop(f"content/{old}.md")
    for file in ("content/index.md", "content/five.md", "content/guide.yaml"):
        if file in files:
            files[file] = files[file].replace(f"{old}.md", f"{new}.md").replace(f" {old},", f" {new},")


def taken_away(files: Files, folder: Path) -> None:
    (folder / "output" / "effects.html").unlink(missing_ok=True)


CHANGES: list[Change] = [
    *(changed(*each) for each in PARTS),
    *(added(*each) for each in PAGES.items()),
    renamed,
    taken_away,
]


@contextmanager
def cached_in(folder: Path) -> Iterator[None]:
    """With results kept there."""
    usual = os.environ[PLACE]
    os.environ[PLACE] = str(folder)
    try:
        yield
    finally:
        os.environ[PLACE] = usual


def laid_out(folder: Path, files: Files) -> None:
    for name in ("content", "themes"):
        shutil.rmtree(folder / name, ignore_errors=True)
    write_guide(folder, dict(files))


def tried(folder: Path, cache: Path) -> tuple[Published | None, str]:
    """What was published, or what is said to be wrong."""
    with cached_in(cache):
        try:
            return publish(folder), ""
        except Problems as problems:
            return None, str(problems)


def tree(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


@pytest.fixture(scope="module")
def published_once(tmp_path_factory) -> Path:
    """A folder with a guide that is published, the cache that knows of it, and a copy of each."""
    folder: Path = tmp_path_factory.mktemp("published")
    laid_out(folder / "guide", GUIDE)
    done, problems = tried(folder / "guide", folder / "cache")
    assert done is not None, problems
    assert done.kept == 0
    assert (folder / "guide" / "output" / "one.html").is_file()
    for name in COPIED:
        shutil.copytree(folder / name, folder / f"{name} before")
    return folder


@pytest.fixture
def guide(published_once: Path) -> Path:
    """A guide that is published, with a cache of its own in `cache`, as both were at first."""
    for name in COPIED:
        shutil.rmtree(published_once / name)
        shutil.copytree(published_once / f"{name} before", published_once / name)
    return published_once / "guide"


def as_fresh(guide: Path, fresh: Path, files: Files) -> Published | None:
    """What was published of a guide as it is now, or None where something is wrong; held against publishing
    the same from nothing."""
    laid_out(fresh, files)
    done, problems = tried(guide, guide.parent / "cache")
    again, as_well = tried(fresh, fresh.with_name(f"cache of {fresh.name}"))
    assert problems == as_well
    if done is not None and again is not None:
        assert tree(guide / "output") == tree(fresh / "output")
        assert done.notes == again.notes
        assert (done.pages, done.sequences, done.files) == (again.pages, again.sequences, again.files)
        assert done.rendered + done.kept == again.rendered
    return done


@pytest.mark.parametrize("seed", range(8))
def test_after_any_changes_it_is_what_publishing_from_nothing_gives(
    guide: Path, tmp_path: Path, seed: int
) -> None:
    draw = random.Random(seed)
    files = dict(GUIDE)
    for number in range(6):
        for change in draw.sample(CHANGES, draw.randint(1, 3)):
            change(files, guide)
        laid_out(guide, files)
        as_fresh(guide, tmp_path / f"fresh-{number}", files)


def test_a_note_goes_with_the_last_of_its_places(guide: Path, tmp_path: Path) -> None:
    """It is told of where the first stands; the other is on the page that changes."""
    shown = GUIDE["content/guide.yaml"].replace("html: yes\n", "")
    files = {**GUIDE, "content/guide.yaml": shown}
    told = []
    for number, words in enumerate(["Some <i>words</i>", "Some words"]):
        files["content/one.md"] = GUIDE["content/one.md"].replace("Some words", words)
        laid_out(guide, files)
        done = as_fresh(guide, tmp_path / f"fresh-{number}", files)
        assert done is not None
        told += [note.partition("\n")[0] for note in done.notes]
    assert [note.partition(", here and ")[2] for note in told] == ["in 3 more places", "in 1 more place"]


@pytest.fixture(scope="module")
def standing(tmp_path_factory) -> Path:
    """A guide that one change after another is made of, each of what it is to begin with."""
    folder: Path = tmp_path_factory.mktemp("standing")
    laid_out(folder / "guide", GUIDE)
    assert tried(folder / "guide", folder / "cache")[0]
    assert (folder / "guide" / "output" / "one.html").is_file()
    return folder


@pytest.mark.parametrize(
    "change", CHANGES[: len(PARTS)], ids=[f"{file}: {after}" for file, _, after in PARTS]
)
def test_each_change_alone_is_seen(standing: Path, tmp_path: Path, change: Change) -> None:
    guide, files = standing / "guide", dict(GUIDE)
    change(files, guide)
    assert files != GUIDE
    laid_out(guide, files)
    laid_out(tmp_path / "fresh", files)
    done, problems = tried(guide, standing / "cache")
    _, as_well = tried(tmp_path / "fresh", tmp_path / "empty")
    assert problems == as_well
    assert done is None or tree(guide / "output") == tree(tmp_path / "fresh" / "output")


def test_another_puzzle_for_the_whole_guide_is_seen(tmp_path: Path) -> None:
    for puzzle in ("cube-3", "cube-2"):
        settings = f"title: T\npuzzle: {puzzle}\n"
        files = {"content/guide.yaml": settings, "content/index.md": "```moves a\nR U\n```\n"}
        for folder in ("guide", puzzle):
            laid_out(tmp_path / folder, files)
            assert tried(tmp_path / folder, tmp_path / f"cache of {folder}")[0]
        assert tree(tmp_path / "guide" / "output") == tree(tmp_path / puzzle / "output")


TEXTS = (
    "One more sentence.",
    "### Below",
    "## Entirely new",
    "[](one.md), [that](two.md#below), [](two.md#below) and [all](effects.html)",
    "[](two.md#sequence-quarter) and [](deep/index.md)",
    "[](sequence:lift), [](sequence:back), [this](sequence:quarter)",
    "[nowhere](sequence:nothing) and [nothing](two.md#nothing)",
    "`R @lift`{.moves} makes what `order 105`{.claim of=quarter} says.",
    "`R U`{.moves} is `order 105`{.claim}, and not `flips UF`{.claim of=twice}.",
    "`@back @quarter @twice`{.moves}",
    "`R U R'`",
    "It is => that.",
    "<b id='bold' style='color: var(--ink)'>Bold</b>",
    "<i style='color: var(--nothing)'>Thin</i>",
    "```moves\n@twice2 @back'\n```",
    "```moves\nmoves: @lift\nclaims: order 2; flips UF\n```",
    "```moves another\nD @twice\n```",
    "```moves lift\nU\n```",
    "```derivation\nwatch: UFR\nsteps:\n- turn: U'\n- turn: R'\n```",
    "```find\nclaims: same as @quarter\nfaces: R, U\n```",
    "```position\nmoves: R U\nsolve: @quarter'\n```",
    "```practice\nfrom: @quarter, @lift\ncount: 2\n```",
    "---",
    "[label]: two.md",
)
"""What may be written below a page, right or wrong."""


@pytest.mark.parametrize("seed", range(6))
def test_after_any_words_it_is_what_publishing_from_nothing_gives(
    guide: Path, tmp_path: Path, seed: int
) -> None:
    """Most change nothing beside their page, and some more than it seems."""
    draw, files, alone = random.Random(seed), dict(GUIDE), 0
    pages = [name for name in files if name.endswith(".md")]
    for number in range(8):
        before = dict(files)
        for page in draw.sample(pages, draw.choice([1, 1, 2])):
            files[page] += "\n" + draw.choice(TEXTS) + "\n"
        laid_out(guide, files)
        done = as_fresh(guide, tmp_path / f"fresh-{number}", files)
        if done is None:
            files = before
        else:
            alone += done.rendered <= 3
    assert alone


@pytest.mark.parametrize(
    ("page", "text"),
    [
        ("content/small.md", "```moves\nR U\n```"),  # with which a puzzle is turned that was not
        ("content/one.md", "<style>svg { opacity: .5 }</style>"),  # by which figures are painted
        ("content/one.md", "<style>.mine { color: var(--inkk) }</style>"),
        ("content/two.md", "<b id='lift'>Lift</b>"),
        ("content/two.md", "```moves\n@back\n```"),  # by which it is mentioned on one more page
    ],
)
def test_what_concerns_more_than_its_page_is_seen(guide: Path, tmp_path: Path, page: str, text: str) -> None:
    files = {**GUIDE, page: f"{GUIDE[page]}\n{text}\n"}
    laid_out(guide, files)
    done = as_fresh(guide, tmp_path / "fresh", files)
    assert done is None or done.rendered > 1


@pytest.mark.parametrize("name", [name for name in GUIDE if name.endswith(".md")])
def test_a_sentence_makes_its_own_page_again_and_no_other(guide: Path, name: str) -> None:
    laid_out(guide, {**GUIDE, name: GUIDE[name] + "\nOne more sentence.\n"})
    with cached_in(guide.parent / "cache"):
        assert publish(guide).rendered == 1


@pytest.mark.slow
def test_each_page_of_the_demo_read_alone_is_as_it_is_in_the_whole(demo: Path) -> None:
    known = known_pages(read_guide(demo))
    for name in known:
        with (demo / f"content/{name}.md").open("a", encoding="utf-8") as page:
            page.write("\nOne more sentence.\n")
    whole = read_guide(demo)
    assert not whole.problems
    assert known_pages(whole) == known
    theme = load_theme(whole.config, demo)
    in_whole = Site(whole, theme)
    for page in whole.pages:
        alone = Site(read_anew(demo, [page.name], known), theme)
        assert not alone.guide.problems
        assert known_pages(alone.guide) == {page.name: known[page.name]}
        [read] = alone.guide.read
        one, other = (
            [s.content(file) for file in s.of_page(p)] for s, p in ((in_whole, page), (alone, read))
        )
        assert one == other, page.name


@pytest.mark.parametrize(
    ("before", "after"),
    [("moves: R U", "moves: U R"), ("moves twice", "moves double"), ("# Two", "---\ntags: a\n---\n# Two")],
)
def test_of_a_page_that_says_another_thing_to_others_no_more_is_read_than_shows_that(
    guide: Path, monkeypatch: pytest.MonkeyPatch, before: str, after: str
) -> None:
    laid_out(guide, GUIDE)
    known = known_pages(read_guide(guide))
    laid_out(guide, {**GUIDE, "content/two.md": GUIDE["content/two.md"].replace(before, after, 1)})
    monkeypatch.setattr("sitegen.guide.anew.check_by_what_is_known", pytest.fail)
    with pytest.raises(OthersConcerned):
        read_anew(guide, ["two"], known)


def test_a_pdf_concerns_the_page_that_it_is_of_alone(tmp_path: Path) -> None:
    laid_out(tmp_path, GUIDE)
    guide = read_guide(tmp_path)
    without = Site(guide, load_theme(guide.config, tmp_path))
    printed = replace(without, pdfs={"cards.pdf": b"%PDF"})
    one, other = ({part.name: part.made_from() for part in site.parts()} for site in (without, printed))
    assert {name for name in one if one[name] != other[name]} == {"cards.html"}


def test_what_has_not_changed_is_left_as_it_is(guide: Path) -> None:
    def stand() -> dict[str, tuple[int, int]]:
        output = guide / "output"
        found = {
            path.relative_to(output).as_posix(): path.stat() for path in output.rglob("*") if path.is_file()
        }
        return {name: (stat.st_ino, stat.st_mtime_ns) for name, stat in found.items()}

    before = stand()
    done, _ = tried(guide, guide.parent / "cache")
    assert done is not None
    assert done.rendered == 0
    assert stand() == before
    changed(*PARTS[0])(files := dict(GUIDE), guide)
    laid_out(guide, files)
    done, _ = tried(guide, guide.parent / "cache")
    assert done is not None
    assert (done.rendered, done.kept) == (1, len([name for name in before if name.endswith(".html")]) - 1)
    assert {name for name, stat in stand().items() if before[name] != stat} == {"one.html", ".turnfolio"}


def test_what_a_folder_says_of_itself_is_not_believed(guide: Path, tmp_path: Path) -> None:
    """Somebody passes a guide on with pages that it does not publish, and a record of them."""
    page, record = guide / "output" / "one.html", guide / "output" / RECORD
    page.write_text("All hold.", encoding="utf-8")
    files = {**json.loads(record.read_text())["files"], "one.html": sha256(b"All hold.").hexdigest()}
    record.write_text(json.dumps({"files": files}))
    done, _ = tried(guide, tmp_path / "another-cache")
    assert done is not None
    assert done.kept == 0
    assert "Some words" in page.read_text(encoding="utf-8")


def test_a_page_that_somebody_has_changed_is_not_written_over(guide: Path) -> None:
    (guide / "output" / "one.html").write_text("Mine.", encoding="utf-8")
    for text in ("Some words", "Other words"):
        laid_out(guide, {**GUIDE, "content/one.md": GUIDE["content/one.md"].replace("Some words", text)})
        with (
            cached_in(guide.parent / "cache"),
            pytest.raises(OutputError, match=r"output/one\.html has changed"),
        ):
            publish(guide)
        assert (guide / "output" / "one.html").read_text(encoding="utf-8") == "Mine."


def test_a_record_that_was_changed_is_not_believed(guide: Path) -> None:
    """The result of every record is read as what it is, or made anew."""
    for file in (guide.parent / "cache").glob("*.json"):
        file.write_text(file.read_text(encoding="utf-8").replace("one.html", "two.html"), encoding="utf-8")
    changed(*PARTS[0])(files := dict(GUIDE), guide)
    laid_out(guide, files)
    done, _ = tried(guide, guide.parent / "cache")
    assert done is not None
    assert done.kept == 0


def test_a_draft_marks_what_does_not_hold_and_leaves_no_record(guide: Path) -> None:
    laid_out(guide, {**GUIDE, "content/one.md": GUIDE["content/one.md"].replace("flips UF", "flips UR")})
    with cached_in(guide.parent / "cache"):
        draft = publish(guide, draft=True)
    assert draft.problems
    assert "flips UR" in (guide / "output" / "one.html").read_text(encoding="utf-8")
    laid_out(guide, GUIDE)
    done, _ = tried(guide, guide.parent / "cache")
    assert done is not None
    assert "flips UR" not in (guide / "output" / "one.html").read_text(encoding="utf-8")


def test_a_draft_marks_what_does_not_hold_on_a_page_that_was_made_alone_before(guide: Path) -> None:
    words = {**GUIDE, "content/one.md": GUIDE["content/one.md"] + "\nOne more sentence.\n"}
    false = {**words, "content/one.md": words["content/one.md"].replace("flips UF", "flips UR")}
    laid_out(guide, words)
    with cached_in(guide.parent / "cache"):
        assert publish(guide).rendered == 1
        laid_out(guide, false)
        publish(guide, draft=True)
    assert "flips UR" in (guide / "output" / "one.html").read_text(encoding="utf-8")


def test_moves_in_a_text_are_played_as_the_sequence_is_now(tmp_path: Path) -> None:
    """The sequence stands on another page, and nothing else of it changes than what it turns."""
    for moves in ("R U R' U'", "U R U' R'"):
        files = {
            "content/guide.yaml": "title: T\n",
            "content/index.md": "Turn `@lift D`{.moves} here.\n",
            "content/one.md": f"```moves lift\n{moves}\n```\n",
        }
        laid_out(tmp_path / "guide", files)
        assert tried(tmp_path / "guide", tmp_path / "cache")[0]
        page = (tmp_path / "guide/output/index.html").read_text(encoding="utf-8")
        assert f'data-turns="{moves} D"' in page
