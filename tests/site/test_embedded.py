"""Blocks for pages elsewhere: each a page with a card and nothing round it, which plays in a frame."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Browser
from read_html import Document
from sample_guide import THOUGHT, small_guide, write_guide
from sample_rendering import CHROMIUM, needs

from sitegen.problems import Problems
from sitegen.site.publish import publish


def output_of(folder: Path, settings: str = "embed: yes\n", **files: str) -> Path:
    every = small_guide()
    every["content/guide.yaml"] = f"{every['content/guide.yaml']}{settings}"
    every["content/thought.md"] = THOUGHT
    publish(write_guide(folder, {**every, **files}))
    return folder / "output"


def test_each_block_with_a_name_is_a_page_without_what_stands_round_pages(tmp_path) -> None:
    output = output_of(tmp_path)
    names = {path.stem for path in (output / "embed").iterdir()}
    assert names == {"lift-edge", "two-flips", "slice", "thought", "flipped"}
    for name in names:
        page = Document.read((output / f"embed/{name}.html").read_text(encoding="utf-8"))
        assert page.faults == []
        assert [page.root.all(tag) for tag in ("header", "nav")] == [[], []]
        (foot,) = page.root.all("footer")
        assert foot.text.startswith("From ")
        (main,) = page.root.all("main")
        assert main.all("svg")
        for link in page.root.all("a"):
            path = link.attributes["href"].partition("#")[0]
            assert not path or (output / "embed" / path).resolve().is_file()
    whole = Document.read((output / "method/index.html").read_text(encoding="utf-8"))
    (card,) = whole.root.all("section", id_="sequence-lift-edge")
    alone = Document.read((output / "embed/lift-edge.html").read_text(encoding="utf-8"))
    assert alone.root.all("section")[0].text == card.text


def test_there_are_none_where_nobody_wants_them(tmp_path) -> None:
    output = output_of(tmp_path, "", **{"content/embed/mine.txt": "mine"})
    assert [path.name for path in (output / "embed").iterdir()] == ["mine.txt"]
    with pytest.raises(Problems, match=r"a part of the site itself is published as embed/mine\.txt too"):
        output_of(tmp_path)


def test_one_is_made_again_when_its_block_is_another(tmp_path) -> None:
    output = output_of(tmp_path)
    page = tmp_path / "content/thought.md"
    before = {path.name: path.read_bytes() for path in (output / "embed").iterdir()}
    page.write_text(THOUGHT.replace("pieces:", "title: Another\npieces:"), encoding="utf-8")
    publish(tmp_path)
    after = {path.name: path.read_bytes() for path in (output / "embed").iterdir()}
    assert [name for name in before if before[name] != after[name]] == ["flipped.html"]


@needs(chromium=CHROMIUM)
def test_it_plays_in_a_frame_of_another_page_and_its_links_leave_that(tmp_path, browser: Browser) -> None:
    output = output_of(tmp_path)
    elsewhere = tmp_path / "elsewhere.html"
    address = (output / "embed/lift-edge.html").as_uri()
    elsewhere.write_text(f'<iframe src="{address}" width=700 height=800></iframe>')
    page = browser.new_page()
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("console", lambda message: faults.append(message.text) if message.type == "error" else None)
    page.goto(elsewhere.as_uri())
    frame = page.frame_locator("iframe")
    frame.get_by_role("button", name="Play the turns").first.click()
    frame.locator(".player svg").first.wait_for()
    assert frame.locator("main").evaluate("each => each.getBoundingClientRect().top") < 40
    frame.get_by_role("link", name="The method").click()
    page.wait_for_url("**/method/index.html")
    assert faults == []
    page.close()
