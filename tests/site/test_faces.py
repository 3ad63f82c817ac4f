"""The faces that the theme brings: nothing in them is set closer or wider than it is said to be."""

from __future__ import annotations

from pathlib import Path

import pytest
from fontTools.ttLib import TTFont

FACES = sorted(Path(__file__).parents[2].glob("themes/folio/files/fonts/*.woff2"))
USE_MY_METRICS = 0x0200
"""OpenType specification, table glyf, composite glyph flags: a part that gives its width to the whole."""


@pytest.mark.parametrize("face", FACES, ids=lambda face: face.stem)
def test_each_sign_is_as_wide_as_its_face_says(face: Path) -> None:
    """Some systems believe the flag and others the table of widths: signs would lie on each other."""
    font = TTFont(face)
    glyphs, widths = font["glyf"], font["hmtx"]
    composite = [name for name in font.getGlyphOrder() if glyphs[name].isComposite()]
    parts = [(name, part) for name in composite for part in glyphs[name].components]
    assert len(parts) > 100
    wrong = [
        (name, part.glyphName)
        for name, part in parts
        if part.flags & USE_MY_METRICS and widths[name][0] != widths[part.glyphName][0]
    ]
    assert wrong == []
