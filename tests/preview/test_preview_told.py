"""The manual says of the preview what is so."""

from __future__ import annotations

from pathlib import Path

from sitegen.preview.local_server import ADDRESS, PORT
from sitegen.preview.seek import MEMORY, MOST, SECONDS

MANUAL = Path(__file__).parents[2] / "content" / "writing" / "preview.md"


def test_the_numbers_of_the_manual_are_those_of_the_program() -> None:
    text = " ".join(MANUAL.read_text(encoding="utf-8").split())
    assert f"without it, {PORT}." in text
    assert f"`http://{ADDRESS}`" in text
    assert (MOST, "the first twelve" in text) == (12, True)
    assert (SECONDS, "after a minute" in text) == (60, True)
    assert f"more than {MEMORY // 10**6} MB" in text
