"""Which files of content/ become pages, which are published as they are, and which are refused."""

from __future__ import annotations

from pathlib import Path

import pytest


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


def test_what_leads_out_of_the_guide_is_refused(guide_at, tmp_path: Path) -> None:
    (tmp_path / "secret.txt").write_text("secret")
    (tmp_path / "content").mkdir()
    (tmp_path / "content" / "copy.txt").symlink_to(tmp_path / "secret.txt")
    (tmp_path / "content" / "gone.md").symlink_to(tmp_path / "content" / "nowhere.md")
    guide = guide_at()
    assert [problem.headline() for problem in guide.problems] == [
        "content/copy.txt:1:1: this leads out of the guide",
        "content/gone.md:1:1: this leads nowhere",
    ]
    assert guide.files == ()


def test_a_folder_with_the_name_of_a_page_is_a_folder(guide_at) -> None:
    guide = guide_at(files={"x.md/inner.txt": b"x"})
    assert guide.problems == ()
    assert guide.files == ("x.md/inner.txt",)


def test_a_page_that_cannot_be_read_is_one_problem_though_it_is_listed(headlines) -> None:
    told = headlines("title: T\npages: [index, two]\n", files={"two.md": "Grüße".encode("latin-1")})
    assert told == ["content/two.md:1:1: this is not UTF-8 text"]


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("effects.md", "a part of the site itself is published as effects.html too"),
        ("Effects.md", "a part of the site itself is published as Effects.html too"),  # where case is ignored
        ("contents.md", "a part of the site itself is published as contents.html too"),
        ("files/x.css", "a part of the site itself is published as files/x.css too"),
        ("files", "a part of the site itself is published as files too"),
        ("sequences/a.md", "a part of the site itself is published as sequences/a.html too"),
        ("index.html", "content/index.md is published as index.html too"),
        ("index.html/a.txt", "content/index.md is published as index.html/a.txt too"),
    ],
)
def test_two_things_cannot_be_published_in_one_place(headlines, name: str, message: str) -> None:
    assert headlines(files={name: b"Text."}) == [f"content/{name}:1:1: {message}"]


def test_a_guide_file_of_another_ending_is_named(tmp_path: Path) -> None:
    from sitegen.pages.config import read_config
    from sitegen.problems import Problems

    (tmp_path / "content").mkdir()
    (tmp_path / "content" / "guide.yml").write_text("title: T\n")
    with pytest.raises(Problems, match=r"hint: call it content/guide.yaml"):
        read_config(tmp_path)


def test_someone_who_stands_too_deep_is_told(guide_at, tmp_path: Path) -> None:
    from sitegen.pages.config import read_config
    from sitegen.problems import Problems

    guide_at()
    with pytest.raises(Problems, match=r"hint: the guide is the folder above"):
        read_config(tmp_path / "content")
