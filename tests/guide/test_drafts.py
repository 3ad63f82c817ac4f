"""Drafts are not published, and nothing that is leads to them; only `publish --draft` shows them."""

from __future__ import annotations

from pathlib import Path

import pytest
from sample_guide import guide_of, write_guide

from sitegen.guide.load import read_guide
from sitegen.problems import Problems
from sitegen.site.publish import publish

LIFT = "```moves lift\nR U\n```\n"
HEAD = "---\ntitle: Later\ntags: [late]\ndraft: yes\n---\n"
DRAFT = f"{HEAD}# Heading\n\nOf [home](index.md), [](#below).\n\n## Below\n\n{LIFT}"


def site(folder: Path, draft: bool = False) -> dict[str, str]:
    """The pages that are published."""
    publish(folder, draft)
    output = folder / "output"
    return {path.relative_to(output).as_posix(): path.read_text() for path in output.rglob("*.html")}


def test_a_draft_and_all_that_stands_on_it_are_left_out(tmp_path) -> None:
    guide_of(tmp_path, "title: T\npages: [index, later, other]\n", later=DRAFT, other="Other.\n")
    pages = site(tmp_path)
    assert pages.keys() == {"index.html", "other.html", "effects.html"}
    assert not any("Later" in text or "lift" in text.lower() for text in pages.values())
    files = (path for path in (tmp_path / "output").rglob("*.js") if "index" in path.name)
    assert not any("later" in path.read_text() for path in files)


def test_as_a_draft_the_site_shows_them_and_says_what_they_are(tmp_path) -> None:
    guide_of(tmp_path, later=DRAFT)
    pages = site(tmp_path, draft=True)
    assert {"later.html", "sequences/lift.html", "tags.html"} <= pages.keys()
    assert "not published yet" in pages["later.html"]
    assert "not published yet" not in pages["index.html"]


def test_one_way_of_publishing_is_not_taken_for_the_other(tmp_path) -> None:
    guide_of(tmp_path, later=DRAFT)
    shown = [site(tmp_path, draft).keys() for draft in (False, True, True, False, False)]
    assert ["later.html" in pages for pages in shown] == [False, True, True, False, False]


def test_a_page_that_becomes_a_draft_is_taken_away(tmp_path) -> None:
    guide_of(tmp_path, later=DRAFT.replace("draft: yes\n", ""))
    assert "later.html" in site(tmp_path)
    guide_of(tmp_path, later=DRAFT)
    assert "later.html" not in site(tmp_path)
    guide_of(tmp_path, later=DRAFT.replace("draft: yes", "draft: no"))
    assert "later.html" in site(tmp_path)


def test_what_does_not_hold_on_a_draft_is_told_when_it_is_shown(tmp_path) -> None:
    guide_of(tmp_path, later=f"{DRAFT}\n[x](nowhere.md)\n")
    assert not read_guide(tmp_path).problems
    assert [p.message for p in read_guide(tmp_path, drafts=True).problems] == ["there is no page nowhere.md"]


def test_a_note_counts_them(tmp_path) -> None:
    guide_of(tmp_path, later=DRAFT, more="---\ndraft: yes\n---\nMore.\n")
    (note,) = read_guide(tmp_path).notes
    assert note.headline() == (
        "content/later.md:4:1: note: this page is a draft and not published, here and in 1 more place"
    )
    assert not read_guide(tmp_path, drafts=True).notes
    assert [publish(tmp_path).notes for _ in range(2)] == [(str(note),)] * 2


@pytest.mark.parametrize("target", ["later.md", "later.md#below", "sequence:lift"])
@pytest.mark.parametrize("drafts", [False, True])
def test_what_is_published_does_not_lead_there(tmp_path, target, drafts) -> None:
    guide_of(tmp_path, index=f"See [that]({target}).\n", later=DRAFT)
    (problem,) = read_guide(tmp_path, drafts=drafts).problems
    assert problem.headline() == "content/index.md:1:12: later.md is a draft, which is not published"


def test_drafts_lead_to_each_other(tmp_path) -> None:
    guide_of(
        tmp_path, later=DRAFT, more="---\ndraft: yes\n---\n[](later.md), [](sequence:lift), `@lift`{.moves}\n"
    )
    assert not read_guide(tmp_path, drafts=True).problems
    assert 'href="later.html"' in site(tmp_path, draft=True)["more.html"]


def test_moves_that_refer_to_a_sequence_on_a_draft_say_where_it_stands(tmp_path) -> None:
    guide_of(tmp_path, index="```moves\n@lift U\n```\n", later=DRAFT)
    (problem,) = read_guide(tmp_path).problems
    assert problem.hint == "it stands on later.md, which is a draft: take “draft” away there"


def test_a_name_on_a_draft_is_free(tmp_path) -> None:
    guide_of(tmp_path, index=LIFT, later=DRAFT)
    assert not read_guide(tmp_path).problems
    assert read_guide(tmp_path, drafts=True).problems


@pytest.mark.parametrize("drafts", [False, True])
def test_the_first_page_is_none(tmp_path, drafts) -> None:
    guide_of(tmp_path, index=DRAFT)
    write_guide(tmp_path, {"content/other.md": "Other.\n"})
    (problem,) = read_guide(tmp_path, drafts=drafts).problems
    assert problem.headline() == "content/index.md:4:1: the first page cannot be a draft"
    with pytest.raises(Problems, match="the first page"):
        publish(tmp_path)
