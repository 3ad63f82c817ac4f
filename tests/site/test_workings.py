"""What is written for authors, names to refer by and blocks to copy, stands on no page for readers."""

from __future__ import annotations

from pathlib import Path

import pytest
from sample_guide import write_guide

from sitegen.guide.load import read_guide
from sitegen.preview.block_places import page_places
from sitegen.preview.panel import panel
from sitegen.preview.republish import State
from sitegen.site.publish import publish

GUIDE = {
    "content/index.md": "# Home\n\n```moves out\nR' D' R\n```\n",
    "content/found.md": "# Found\n\n```find\nclaims: same as @out\nmost: 1\n```\n",
    "content/thought.md": "# Thought\n\n```derivation\nnames: back\nsteps:\n- turn: U'\n- turn: R'\n```\n",
}
DERIVED = "# Derived\n\n```derive\nclaims: flips UF\nguard: U except UF\nslices: yes\nmost: 1\n```\n"
WHERE = {
    "sequences/out.html": "Refer to it as",
    "sequences/back.html": "Refer to it as",
    "found.html": "As a block",
    "derived.html": "As a block",
    "isolating.html": "As a block",
    "thought.html": ">@back<",
}


def texts(published, config: str = "", head: str = "") -> dict[str, str]:
    files = GUIDE | {"content/derived.md": DERIVED}
    return published(
        {"content/guide.yaml": f"title: T\n{config}"} | {name: head + text for name, text in files.items()}
    )


def shown(pages: dict[str, str]) -> set[str]:
    """The pages on which something for authors stands."""
    told = ("Refer to it", "As a block", 'This defines <a href="sequences/back.html">@', "to paste")
    html = {name: text for name, text in pages.items() if name.endswith(".html")}
    return {name for name, text in html.items() if any(words in text for words in told)}


@pytest.mark.usefixtures("kept_in_module")
def test_readers_do_not_see_it(published) -> None:
    pages = texts(published)
    assert WHERE.keys() <= pages.keys()
    assert not shown(pages)
    assert ">Back</a>" in pages["thought.html"]


@pytest.mark.usefixtures("kept_in_module")
def test_a_setting_of_the_guide_shows_it_on_all_pages(published) -> None:
    pages = texts(published, config="workings: yes\n")
    assert all(words in pages[name] for name, words in WHERE.items())
    assert shown(pages) == WHERE.keys()


@pytest.mark.usefixtures("kept_in_module")
@pytest.mark.parametrize(("guide", "head"), [("no", "yes"), ("yes", "no")])
def test_that_at_the_head_of_a_page_counts_for_it_and_its_sequences(published, guide, head) -> None:
    pages = texts(published, f"workings: {guide}\n", f"---\nworkings: {head}\n---\n")
    of_guide = {"isolating.html"}
    assert shown(pages) == (WHERE.keys() - of_guide if head == "yes" else of_guide)


def test_changing_it_publishes_anew_what_shows_it(tmp_path: Path) -> None:
    files = {name: GUIDE[name] for name in ("content/index.md", "content/thought.md")}
    write_guide(tmp_path, {"content/guide.yaml": "title: T\n", **files})
    publish(tmp_path)
    for setting in ("yes", "no"):
        (tmp_path / "content/guide.yaml").write_text(f"title: T\nworkings: {setting}\n")
        publish(tmp_path)
        found = "Refer to it" in (tmp_path / "output/sequences/out.html").read_text()
        assert found == (setting == "yes")


def test_the_preview_tells_names_by_the_cards(guide_at) -> None:
    guide = guide_at(index=GUIDE["content/index.md"], thought=GUIDE["content/thought.md"])
    blocks = [block for page in guide.pages for block in guide.blocks[page.name]]
    places = page_places(guide.pages, blocks)
    assert 'data-place="content/index.md:3 @out"' in panel(State(), places["index.html"])
    assert 'data-place="content/thought.md:3 @back"' in panel(State(), places["thought.html"])
    assert read_guide(guide.folder).config.workings is False
