"""What an answer says of where its moves come from, held against what these moves are."""

from __future__ import annotations

import re
from pathlib import Path

from read_html import Document
from sample_guide import guide_of

from sitegen.moves.parse import parse
from sitegen.moves.simplify import simplify
from sitegen.moves.turning import expand, inverse_turns, mirror
from sitegen.problems import written
from sitegen.puzzles.puzzle import Puzzle, Turn
from sitegen.site.publish import publish

GUIDE = """\
---
kind: exercises
answers: published
---
# Exercises

```moves one
title: One
moves: R U2 F' D
```

```practice
title: Undo
from: @one, @one'
count: 10
mirror: yes
```
"""


def turned(text: str, puzzle: Puzzle) -> tuple[Turn, ...]:
    return simplify(tuple(expand(parse(written(text.replace("@one", "(R U2 F' D)")), puzzle))), puzzle)


def test_moves_are_the_sequence_they_are_said_to_be_from_undone_and_mirrored_as_is_said(
    tmp_path: Path, cube3: Puzzle
) -> None:
    publish(guide_of(tmp_path, index=GUIDE))
    text = (tmp_path / "output/index-answers.html").read_text(encoding="utf-8")
    notes = [
        (line.all("code")[0].written, " ".join(line.all("span", class_="note")[-1].text.split()))
        for line in Document.read(text).root.all("p")
        if line.all("span", class_="note") and "from One" in line.text
    ]
    kinds = set()
    for moves, note in notes:
        expected = turned("R U2 F' D", cube3)
        undone = ", undone" in note
        if undone:
            expected = inverse_turns(expected)
        if faces := re.search(r", in the mirror between (\w+) and (\w+)", note):
            expected = mirror(expected, cube3, cube3.mirrors[faces[1], faces[2]])
        assert turned(moves, cube3) == simplify(expected, cube3), (moves, note)
        kinds.add((undone, bool(faces)))
    assert kinds >= {(False, True), (True, False), (True, True)}


def test_a_sequence_that_solves_by_itself_is_named_once(tmp_path: Path) -> None:
    one = GUIDE.replace("count: 10\nmirror: yes\n", "count: 1\n").replace(", @one'", "")
    publish(guide_of(tmp_path, index=one))
    text = (tmp_path / "output/index-answers.html").read_text(encoding="utf-8")
    (answer,) = Document.read(text).root.all("div", class_="answer")
    first = answer.all("p", class_="line")[0]
    assert (first.all("code")[0].written, first.text) == ("R U2 F' D", "R U2 F' D from One")
    assert [line.text for line in answer.all("p", class_="line")[1:]] == []
