"""Which files of content/ become pages, which are published as they are, and which are refused."""

from __future__ import annotations

import os
import re
import sys
from hashlib import sha256
from pathlib import Path

import pytest

from sitegen.folders import digests_below
from sitegen.pages.config import read_config
from sitegen.problems import Problems


def test_hidden_files_and_what_editors_leave_behind_are_no_part_of_the_guide(guide_at) -> None:
    guide = guide_at(
        files={".obs/note.md": b"x", ".DS_Store": b"x", "two.md~": b"x", "pic.png": b"x"}, two="Text.\n"
    )
    assert guide.problems == ()
    assert [page.name for page in guide.pages] == ["index", "two"]
    assert guide.files == ("pic.png",)


@pytest.mark.parametrize("name", ["two.markdown", "two.MD", "sub/two.mkd"])
def test_a_page_under_another_ending_is_told(headlines, name: str) -> None:
    (told,) = headlines(files={name: b"Text."})
    assert told == f"content/{name}:1:1: a page's file name ends in .md"


@pytest.mark.parametrize("target", ["../secret.txt", "nowhere.md", "index.md", "loop", ".", "..", "/"])
@pytest.mark.parametrize("name", ["copy.txt", "copy.md", "deep/copy.css", "loop", "puzzles/mine.yaml"])
def test_no_link_is_followed(guide_at, tmp_path: Path, name: str, target: str) -> None:
    (tmp_path / "secret.txt").write_text("secret")
    link = tmp_path / "content" / name
    link.parent.mkdir(parents=True)
    link.symlink_to(target)
    guide = guide_at()
    assert [problem.headline() for problem in guide.problems] == [f"content/{name}:1:1: this is a link"]
    assert [problem.hint for problem in guide.problems] == ["put the file itself there"]
    assert guide.files == ()
    assert [page.name for page in guide.pages] == ["index"]


@pytest.mark.parametrize("name", ["pipe.md", "pipe.png", "deep/pipe.css"])
def test_nothing_waits_for_what_is_no_file(guide_at, tmp_path: Path, name: str) -> None:
    (tmp_path / "content" / name).parent.mkdir(parents=True)
    os.mkfifo(tmp_path / "content" / name)
    guide = guide_at()
    assert [problem.headline() for problem in guide.problems] == [
        f"content/{name}:1:1: this is no file that could be read"
    ]


@pytest.mark.skipif(sys.platform != "linux", reason="other systems have no such names")
@pytest.mark.parametrize("name", [b"caf\xe9.txt", b"folder"])
def test_what_cannot_be_read_is_never_as_it_was(tmp_path: Path, name: bytes) -> None:
    """Nothing is known of what was made of it."""
    (tmp_path / "content").mkdir()
    (tmp_path / "content/a.txt").write_text("a")
    before = digests_below(tmp_path, "content")
    assert before == digests_below(tmp_path, "content") == {"a.txt": sha256(b"a").hexdigest()}
    Path(os.fsdecode(os.fsencode(tmp_path / "content") + b"/" + name)).symlink_to("a.txt")
    assert digests_below(tmp_path, "content") != digests_below(tmp_path, "content")


def test_folders_in_each_other_without_end_are_told(guide_at, tmp_path: Path) -> None:
    """There may be more of them than a program can go down into."""
    (tmp_path / "content" / "/".join(["a"] * 150)).mkdir(parents=True)
    (problem,) = guide_at().problems
    assert problem.message == "more than 100 folders are in each other here"
    assert problem.headline().startswith(f"content/{'a/' * 100}a:1:1: ")


def test_a_folder_with_the_name_of_a_page_is_a_folder(guide_at) -> None:
    guide = guide_at(files={"x.md/inner.txt": b"x"})
    assert guide.problems == ()
    assert guide.files == ("x.md/inner.txt",)


def test_a_page_that_cannot_be_read_is_one_problem_though_it_is_listed(headlines) -> None:
    told = headlines("title: T\npages: [index, two]\n", files={"two.md": "Grüße".encode("latin-1")})
    assert told == ["content/two.md:1:3: this is not UTF-8 text"]


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("effects.md", "a part of the site itself is published as effects.html too"),
        (
            "Effects.md",
            "a part of the site itself is published as effects.html, which differs from Effects.html"
            " in capitals only: on some systems they are one",
        ),
        (
            "INDEX.md",
            "content/index.md is published as index.html, which differs from INDEX.html"
            " in capitals only: on some systems they are one",
        ),
        ("contents.md", "a part of the site itself is published as contents.html too"),
        ("files/x.css", "a part of the site itself is published as files/x.css too"),
        ("files", "a part of the site itself is published as files too"),
        ("sequences/a.md", "a part of the site itself is published as sequences/a.html too"),
        ("index.html", "content/index.md is published as index.html too"),
        ("index.html/a.txt", "content/index.md is published as index.html/a.txt too"),
    ],
)
def test_two_things_cannot_be_published_in_one_place(headlines, name: str, message: str) -> None:
    (told,) = headlines(files={name: b"Text."})
    assert told.partition(":1:1: ")[2] == message


def test_names_that_are_composed_otherwise_are_one_on_some_systems(headlines) -> None:
    """Unicode Standard Annex 15: an ü is one character, or a u and its dots."""
    (told,) = headlines(files={"\u00fc.md": b"One.", "u\u0308.md": b"Two."})
    assert told.endswith("in how letters are composed only: on some systems they are one")


def test_a_guide_file_of_another_ending_is_named(tmp_path: Path) -> None:
    (tmp_path / "content").mkdir()
    (tmp_path / "content" / "guide.yml").write_text("title: T\n")
    with pytest.raises(Problems, match=r"hint: call it content/guide.yaml"):
        read_config(tmp_path)


def test_a_guide_file_beside_its_folder_is_named(tmp_path: Path) -> None:
    (tmp_path / "content").mkdir()
    (tmp_path / "guide.yaml").write_text("title: T\n")
    with pytest.raises(Problems, match=r"hint: put guide.yaml into content/"):
        read_config(tmp_path)


@pytest.mark.parametrize("name", ["q.md.txt", "Q.MD.TXT", "a/q.markdown", "q.Md"])
def test_what_is_meant_for_a_page_is_no_file(guide_at, name: str) -> None:
    guide = guide_at(files={name: b"Text."})
    (problem,) = guide.problems
    meant = re.sub(r"(?i)\.(md\.txt|markdown|md)$", ".md", name)
    assert (problem.message, problem.hint) == ("a page's file name ends in .md", f"call it {meant}")
    assert guide.files == ()


def test_someone_who_stands_too_deep_is_told(guide_at, tmp_path: Path) -> None:
    guide_at()
    with pytest.raises(Problems, match=r"hint: the guide is /.*: name that folder"):
        read_config(tmp_path / "content")


def test_what_systems_and_programs_leave_behind_is_passed_over(guide_at) -> None:
    left = (
        "Thumbs.db",
        "sub/desktop.ini",
        "~$notes.docx",
        "notes.md~",
        "notes.md.bak",
        ".DS_Store",
        "notes.docx",
    )
    assert guide_at(files=dict.fromkeys(left, b"x")).files == ("notes.docx",)


@pytest.mark.parametrize("name", ["guide.yml", "guide.YAML", "Guide.yaml", "sub/guide.yaml", "a/b/guide.yml"])
def test_settings_beside_the_settings_are_told_of(headlines, name: str) -> None:
    (told,) = headlines(files={name: b"html: yes"})
    assert told == f"content/{name}:1:1: settings are read from content/guide.yaml alone"


@pytest.mark.parametrize("name", ["theme.yaml", "themes/mine/theme.yaml", "mine/Theme.yml"])
def test_a_theme_within_the_content_is_told_of(headlines, name: str) -> None:
    (told,) = headlines(files={name: b"name: mine"})
    assert told == f"content/{name}:1:1: a theme is read from themes/ alone, beside content/"


def test_other_settings_are_files_and_a_puzzle_may_be_called_guide(guide_at) -> None:
    puzzle = b"solid: tetrahedron\naxes: faces\ndepths: [1/3]\nangle: 120\n"
    guide = guide_at(files={"my-guide.yaml": b"x: y", "sub/a.yaml": b"", "puzzles/guide.yaml": puzzle})
    assert guide.problems == ()
    assert (guide.files, [*guide.config.puzzles.own]) == (("my-guide.yaml", "sub/a.yaml"), ["guide"])


@pytest.mark.parametrize("name", ["sub/a.yaml", "sub/deep/a.yml"])
def test_a_definition_in_a_folder_of_its_own_is_told_of(problems_of, name: str) -> None:
    (problem,) = problems_of(files={f"puzzles/{name}": b"solid: cube"})
    assert problem.headline() == f"content/puzzles/{name}:1:1: definitions stand in content/puzzles itself"
    assert problem.hint == "move it up: call it content/puzzles/a.yaml"


@pytest.mark.parametrize("between", ["", "\n"])
@pytest.mark.parametrize("opens", ["---\n", ""])
@pytest.mark.parametrize("settings", ["tags: [a]", "summary: S\ntags: [a]", "title: Two"])
def test_a_second_head_is_told_of(problems_of, opens: str, settings: str, between: str) -> None:
    (problem,) = problems_of(index=f"---\ntitle: T\n---\n{between}{opens}{settings}\n---\nText.\n")
    assert problem.message == "these settings stand below the head, and would be shown as text"
    assert problem.passage.text == settings.partition("\n")[0]


@pytest.mark.parametrize(
    "head",
    [
        '+++\ntitle = "T"\n+++\n',
        ';;;\n"title": "T"\n;;;\n',
        '{\n"title": "T",\n"tags": []\n}\n',
        "===\ntitle = T\n",
    ],
)
def test_a_head_between_other_signs_is_told_of(problems_of, head: str) -> None:
    (problem,) = problems_of(index=f"{head}Text.\n")
    assert problem.message == "settings seem to be meant here, and are not read"


@pytest.mark.parametrize(
    "line", ["title: Q", "draft: yes", "tags: [a]", "kind: handout", "\n\npuzzle: cube-2"]
)
def test_one_setting_without_lines_of_hyphens_is_told_of(problems_of, headlines, line: str) -> None:
    (problem,) = problems_of(index=f"{line}\n\n# A page\n\nText.\n")
    assert (problem.message, problem.passage.text) == (
        "settings seem to be meant here, and are not read",
        line.strip(),
    )
    for text in ("Title: Q", "Our puzzle: cube-2", "summary", "kinds: of pieces", r"title\: Q"):
        assert headlines(index=f"{text}\n\nText.\n") == []


@pytest.mark.parametrize("between", ["", "---\n"])
@pytest.mark.parametrize("head", ["---\ntitle: T\n---\n", ""])
def test_settings_farther_down_are_told_of(problems_of, head: str, between: str) -> None:
    (problem,) = problems_of(index=f"{head}Text.\n\n{between}tags: [a]\n---\n\nMore.\n")
    assert problem.message == "these settings stand below the head, and would be shown as text"
    assert problem.passage.text == "tags: [a]"


@pytest.mark.parametrize(
    "text", ["Text.\n\n---\nTagged: a\n---\n", "---\nText\n---\n", "Tags: we have\n", "Heading\n---\n"]
)
def test_other_lines_of_hyphens_are_text(headlines, text: str) -> None:
    assert headlines(index=f"---\ntitle: T\n---\n{text}") == []


@pytest.mark.parametrize("head", ["title:Foo", "title:Foo\nsummary: S", "summary: S\ntitle:Foo"])
def test_a_blank_missing_behind_a_key_is_told_of(problems_of, head: str) -> None:
    (problem,) = problems_of(index=f"---\n{head}\n---\n")
    assert (problem.message, problem.hint) == ("a blank is missing behind “title:”", "write “title: Foo”")
    assert problem.passage.text == "title:Foo"


def test_a_key_that_is_far_from_all_others_is_told_which_there_are(problems_of) -> None:
    (problem,) = problems_of("title: T\nkittens: [x]\n")
    assert problem.hint.startswith("keys are title, ")


@pytest.mark.parametrize(
    ("opening", "hint"),
    [
        ("moves zw {.foo}", "write moves zw and no more"),
        ("moves Two words", "join its words with hyphens: two-words"),
    ],
)
def test_what_a_hint_proposes_for_a_name_is_one(problems_of, opening: str, hint: str) -> None:
    (problem,) = problems_of(index=f"```{opening}\nR\n```\n")
    assert problem.hint == hint


def test_stages_whose_names_differ_in_capitals_only_are_told_of(problems_of) -> None:
    stage = "- stage: {}\n  goal: UF placed\n  using: any turns up to 2\n"
    block = f"```method way\ncount: 5\nopen: yes\nstages:\n{stage.format('One')}{stage.format('one')}```\n"
    assert "a stage before this one is called One" in [each.message for each in problems_of(index=block)]


@pytest.mark.parametrize("below", ["A long line of words. " * 14 + "\n", "\n", " \n", "tags: a\n", "- \n"])
def test_a_long_text_below_a_head_is_read_at_once(problems_of, below: str) -> None:
    """However often its lines look like settings: to try every way would never come to an end."""
    assert problems_of(index=f"---\ntitle: T\n---\n{below * 3000}") == []
