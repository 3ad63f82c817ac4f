"""An address as a QR code (ISO/IEC 18004), to be read from paper with a telephone."""

from __future__ import annotations

import segno

SIDE = 13.0
"""In millimetres, with the quiet zone."""


def qr_code(address: str) -> str:
    """The code as a data URI of an SVG picture; a quarter of it may be smudged."""
    code = segno.make(address, error="q", micro=False)
    modules, _ = code.symbol_size()
    return code.svg_data_uri(scale=SIDE / modules, unit="mm", omitsize=False, xmldecl=False)
