"""Texts of pages in shades of an author's own: a note says where they can hardly be read."""

from __future__ import annotations

from pathlib import Path

import pytest
from contrast import contrast as of_the_tests
from sample_guide import guide_of, write_guide

from sitegen.figures.difference import contrast
from sitegen.site.publish import check, publish

DARK = "screen and (prefers-color-scheme: dark)"


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        ("#000000", "#ffffff", 21),
        ("#767676", "#ffffff", 4.54),
        ("#777777", "#ffffff", 4.48),
        ("#123456", "#123456", 1),
    ],
)
def test_the_contrast_is_that_of_wcag(one: str, other: str, ratio: float) -> None:
    """21 and 1 by its definition of the ratio; the greys just above and below 4.5 from memory."""
    assert contrast(one, other) == contrast(other, one) == pytest.approx(ratio, abs=0.005)
    assert contrast(one, other) == pytest.approx(of_the_tests(one, other))


def notes(folder: Path, sheet: str, theme: str = "based on: folio\n") -> list[str]:
    guide_of(folder, index="Home.\n")
    files = {
        "content/guide.yaml": "title: A guide\ntheme: mine\n",
        "themes/mine/theme.yaml": f"name: mine\n{theme}",
        "themes/mine/files/mine.css": sheet,
    }
    told = tuple(map(str, check(write_guide(folder, files)).notes))
    assert publish(folder).notes == told
    return [note.split("\n")[0] for note in told]


@pytest.mark.parametrize(
    ("sheet", "told"),
    [
        (
            ":root { --paper: #fffbe9 }",
            ["1:9: note: on dark screens --ink can hardly be read on --paper: 1.2 to 1"],
        ),
        (
            f"@media {DARK} {{ :root {{ --soft: #333 }} }}",
            ["on dark screens --soft can hardly be read on --wash"],
        ),
        (
            ":root { --ink: #eee }",
            [
                "on light screens --ink can hardly be read on --wash",
                "on paper --ink can hardly be read on --wash",
            ],
        ),
        ("@media print { :root { --accent: #ddd } }", ["on paper --accent can hardly be read on --wash"]),
        (
            "@media screen { :root { --card: #f5f5f0 } }",
            ["on dark screens --ink can hardly be read on --card"],
        ),
        (".mine { --ink: #eee; color: var(--ink) }", []),
        (":root { --accent: #6d6d6d }", ["on dark screens --accent"]),
        (
            f"@media screen {{ :root {{ --paper: #fffbe9 }} }} @media {DARK} {{ :root {{ --paper: #222 }} }}",
            [],
        ),
        ("", []),
        (":root { --accent: dakrgreen }", ["whether text can be read with this --accent is not known"]),
        (":root { --paper: #f6efd }", ["this --paper is not known"]),
        (":root { --ink: rgb(0 0 0 / 10%) }", ["this --ink is not known"]),
        ("html { --ink: #eee }", ["this --ink is not known"]),
        ("@media (prefers-color-scheme: light) { :root { --ink: #eee } }", ["this --ink is not known"]),
    ],
)
def test_a_text_that_can_hardly_be_read_is_told_of_where_its_shade_is_given(
    tmp_path: Path, sheet: str, told: list[str]
) -> None:
    found = notes(tmp_path, f"{sheet}\n")
    assert len(found) == len(told)
    assert all(note.startswith("themes/mine/files/mine.css:1:") for note in found)
    assert all(said in note for said, note in zip(told, found, strict=True))


def test_shipped_themes_and_those_based_on_them_are_not_told_of(tmp_path: Path) -> None:
    for base in ("folio", "board"):
        assert notes(tmp_path / base, "p { margin: 0 }\n", f"based on: {base}\n") == []
