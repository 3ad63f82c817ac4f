"""What takes long is found on all cores, each thing once, and is the same as on one."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from sample_guide import guide_of
from sample_methods import EDGE, moves_blocks

from sitegen import parallel
from sitegen.cache import PLACE
from sitegen.guide.load import read_guide

FLIP = "```find a\nclaims: flips UF\nmost: 1\n```\n"
SWAP = "```find b\nclaims: swaps UF with UB\nmost: 1\n```\n"
AGAIN = FLIP.replace("find a", "find c")
FALSE = "```find d\nclaims: flips UF; keeps UF\n```\n"


def ways(folder: Path) -> dict[str, list[str]]:
    """The moves that each search has found, by the name of its block, and what does not hold."""
    guide = read_guide(folder)
    found = {
        b.name: [way.sequence.moves for way in b.checked.ways] for b in guide.blocks["index"] if b.checked
    }
    return {**found, "problems": [str(problem) for problem in guide.problems]}


@pytest.mark.parametrize(
    "page", [FLIP + SWAP, FLIP + AGAIN, FLIP + SWAP + AGAIN + FALSE, SWAP + FALSE + FALSE]
)
def test_on_more_cores_the_same_is_found_and_told(tmp_path: Path, monkeypatch, page: str) -> None:
    folder = guide_of(tmp_path / "guide", index=page)
    told = []
    for cores in (1, 2):
        monkeypatch.setattr(parallel, "cores", lambda cores=cores: cores)
        monkeypatch.setenv(PLACE, str(tmp_path / f"cache-{cores}"))
        told.append(ways(folder))
    assert told[0] == told[1]
    assert any(told[0].values())


def test_what_others_have_found_is_not_searched_for_again(tmp_path: Path, monkeypatch, searches) -> None:
    """Not even where it cannot be kept."""
    (tmp_path / "file").write_text("mine")
    monkeypatch.setenv(PLACE, str(tmp_path / "file"))
    monkeypatch.setattr(parallel, "cores", lambda: 2)
    assert ways(guide_of(tmp_path / "guide", index=FLIP + SWAP))["b"]
    assert searches == []


@pytest.mark.parametrize(
    ("page", "what"),
    [
        (FLIP + SWAP, ("Checking find a and others", 2)),
        # Methods take longest, so that they are begun first.
        (FLIP + SWAP + moves_blocks(["lift"]) + EDGE, ("Checking method edge and others", 3)),
    ],
)
def test_whoever_waits_hears_for_what(tmp_path: Path, page: str, what: tuple[str, int]) -> None:
    heard: list[tuple[str, int]] = []

    def listen(items: Iterable[Any], total: int, what: str) -> Iterable[Any]:
        heard.append((what, total))
        return items

    read_guide(guide_of(tmp_path, index=page), listen)
    assert what in heard
