"""What the tests of guides share: a guide from a few texts, and its problems as a reader sees them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

import sitegen.guide.blocks.find as find_block
from sitegen.guide.guide import Guide
from sitegen.guide.load import read_guide
from sitegen.problems import Problem


@pytest.fixture
def guide_at(tmp_path: Path) -> Callable[..., Guide]:
    """Pages by name to a guide, which has a first page in any case; `files` are all others."""

    def read(config: str = "title: T\n", files: dict[str, bytes] | None = None, **pages: str) -> Guide:
        content = tmp_path / "content"
        content.mkdir(exist_ok=True)
        (content / "guide.yaml").write_text(config, encoding="utf-8")
        for name, text in {"index": "Home.\n", **pages}.items():
            path = content / f"{name}.md"
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
        for name, data in (files or {}).items():
            (content / name).parent.mkdir(parents=True, exist_ok=True)
            (content / name).write_bytes(data)
        return read_guide(tmp_path)

    return read


@pytest.fixture
def searches(monkeypatch) -> list[list[str]]:
    """The claims of each search there was."""
    told: list[list[str]] = []
    search = find_block.find

    def counted(asked, *others) -> None:
        told.append(asked.texts)
        search(asked, *others)

    monkeypatch.setattr(find_block, "find", counted)
    return told


@pytest.fixture
def problems_of(guide_at) -> Callable[..., list[Problem]]:
    return lambda *args, **pages: list(guide_at(*args, **pages).problems)


@pytest.fixture
def headlines(problems_of) -> Callable[..., list[str]]:
    return lambda *args, **pages: [problem.headline() for problem in problems_of(*args, **pages)]
