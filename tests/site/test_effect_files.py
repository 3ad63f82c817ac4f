"""The effect table as data: what its files say is what stands in the table."""

from __future__ import annotations

import csv
import json
import re
from io import StringIO
from pathlib import Path

import pytest
from read_html import Document, Element
from sample_guide import guide_of, small_guide, write_guide

from sitegen.problems import Problems
from sitegen.site.publish import publish

COLUMNS = {
    "obtm": "Turns",
    "qtm": "QTM",
    "stm": "STM",
    "etm": "ETM",
    "flips": "Flips",
    "twists": "Twists",
    "cycles": "Cycles and swaps",
    "keeps": "Keeps",
    "order": "Order",
    "parity": "Parity",
    "page": "Page",
}
"""What a column of the table is called in the files."""


def output_of(folder: Path, **pages: str) -> Path:
    files = small_guide() | {f"content/{name}.md": text for name, text in pages.items()}
    publish(write_guide(folder, files))
    return folder / "output"


def table(output: Path) -> list[Element]:
    (body,) = Document.read((output / "effects.html").read_text(encoding="utf-8")).root.all("tbody")
    return body.all("tr")


def as_data(output: Path) -> list[dict]:
    return json.loads((output / "effects.json").read_text(encoding="utf-8"))


def test_each_row_says_what_stands_in_the_table(tmp_path) -> None:
    long = "((R U)999999999999)999999999999"
    output = output_of(tmp_path, big=f"```moves big\ntitle: A, “b”\nmoves: {long}\n```\n")
    rows, data = table(output), as_data(output)
    assert len(rows) == len(data) == 4
    for shown, said in zip(rows, data, strict=True):
        cells = {cell.attributes["data-label"]: cell.text for cell in shown.all("td")}
        assert {key: str(said[key]) for key in COLUMNS} == {key: cells[at] for key, at in COLUMNS.items()}
        # Programs are given moves as they are written, readers the names in them as words.
        assert said["moves"].replace("@", "").replace("-", " ") == cells["Moves"].replace("-", " ")
        (head,) = shown.all("th")
        (link,) = head.all("a")
        assert (said["title"], said["address"]) == (head.text, link.attributes["href"])
        assert (output / said["address"]).is_file()
        # And turns alone, where they are few enough to be written.
        assert bool(said["turns"]) == (said["name"] != "big")
        assert not re.search(r"[\[(@]", said["turns"])
        # And others by their names, of which readers see the titles.
        titles = {each["name"]: each["title"] for each in data}
        related = [
            f"{each['how']} {', '.join(titles[name] for name in each['to'])}" for each in said["related"]
        ]
        assert "".join(related) == cells.get("Related", "")


def test_both_files_say_the_same(tmp_path) -> None:
    output = output_of(
        tmp_path, big='```moves big\ntitle: One, two "three"\ntags: a, of two words\nmoves: R U\n```\n'
    )
    text = (output / "effects.csv").read_bytes().decode()
    assert text.count("\r\n") == text.count("\n") == 5  # RFC 4180, 2.1
    rows = list(csv.DictReader(StringIO(text, newline="")))
    for one, other in zip(rows, as_data(output), strict=True):
        assert list(one) == list(other)
        others = {key: str(value) for key, value in other.items() if key not in ("related", "tags")}
        assert {key: value for key, value in one.items() if key not in ("related", "tags")} == others
        assert one["tags"] == "; ".join(other["tags"])
        assert all(name in one["related"] for group in other["related"] for name in group["to"])
    assert rows[-1]["title"] == 'One, two "three"'
    assert rows[-1]["tags"] == "a; of two words"


def test_pages_can_link_to_them_and_no_file_takes_their_place(tmp_path) -> None:
    output = output_of(tmp_path / "a", linking="[data](effects.csv)\n")
    assert 'href="effects.csv"' in (output / "linking.html").read_text(encoding="utf-8")
    assert 'href="effects.json"' in (output / "effects.html").read_text(encoding="utf-8")
    write_guide(tmp_path / "b", {"content/effects.csv": "mine"})
    with pytest.raises(Problems, match=r"a part of the site itself is published as effects\.csv too"):
        publish(guide_of(tmp_path / "b"))


def test_without_sequences_they_are_empty(tmp_path) -> None:
    publish(guide_of(tmp_path))
    assert as_data(tmp_path / "output") == []
    assert (tmp_path / "output/effects.csv").read_text().startswith("name,title,puzzle,moves,turns,obtm")


def test_what_a_sequence_is_related_to_is_counted_where_it_is_not_named(tmp_path) -> None:
    blocks = "\n\n".join(f"```moves m{number}\nR U\n```" for number in range(30))
    publish(guide_of(tmp_path, index=blocks))
    rows = list(csv.DictReader(StringIO((tmp_path / "output/effects.csv").read_text())))
    (same,) = [each for each in as_data(tmp_path / "output")[0]["related"] if each["count"] == 29]
    assert rows[0]["related"].endswith(f", {29 - len(same['to'])} more")


def test_turns_are_those_of_the_moves(tmp_path) -> None:
    texts = ["[R, U]2", "@m0' F", "(@m1)2 [y: R']", "R U2"]
    blocks = "\n\n".join(f"```moves m{number}\nmoves: {text}\n```" for number, text in enumerate(texts))
    publish(guide_of(tmp_path, index=blocks))
    again = "\n\n".join(
        f"```moves {each['name']}\nmoves: {each['turns']}\n```" for each in as_data(tmp_path / "output")
    )
    publish(guide_of(tmp_path / "again", index=again))
    for one, other in zip(as_data(tmp_path / "output"), as_data(tmp_path / "again/output"), strict=True):
        assert one["turns"] == other["turns"] == other["moves"]
        assert [one[key] for key in ("obtm", "cycles", "order")] == [
            other[k] for k in ("obtm", "cycles", "order")
        ]
