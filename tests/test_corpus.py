"""Texts over which reading once fell, as tests/torture/inputs.py keeps them, are read since then."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

TORTURE = Path(__file__).with_name("torture")
sys.path.insert(0, str(TORTURE))

from inputs import CORPUS, READ, corpus, fault  # noqa: E402

pytestmark = pytest.mark.skipif(not hasattr(__import__("signal"), "setitimer"), reason="no such timers here")


@pytest.mark.parametrize("path", corpus(), ids=lambda path: path.relative_to(CORPUS).as_posix())
def test_a_text_that_once_fell_is_read(path: Path) -> None:
    assert fault(path.parent.name, path.read_bytes().decode("utf-8", "surrogatepass")) == ""


@pytest.mark.parametrize("kind", READ)
def test_each_kind_of_text_is_read(kind: str) -> None:
    """So that none of them passes for want of a reader: what no reader takes is a fault."""
    assert fault(kind, "(") == ""


def test_what_ends_otherwise_is_a_fault(monkeypatch) -> None:
    monkeypatch.setitem(READ, "moves", lambda text: 1 / 0)
    assert fault("moves", "R").startswith("ZeroDivisionError")
