"""An address as a QR code (ISO/IEC 18004), to be read from paper with a telephone."""

from __future__ import annotations

from dataclasses import dataclass

import segno

SIDE = 13.0
"""In millimetres, with the quiet zone, unless its modules would become smaller than a copy shows."""
LEAST_MODULE = 0.3


@dataclass(frozen=True)
class Code:
    """A square picture: its source, a data URI of SVG, and its side in millimetres."""

    source: str
    side: float


def qr_code(address: str) -> Code | None:
    """The code of an address, a quarter of which may be smudged; None where no code holds so much."""
    try:
        code = segno.make(address, error="q", micro=False)
    except segno.DataOverflowError:
        return None
    modules, _ = code.symbol_size()
    module = max(SIDE / modules, LEAST_MODULE)
    source = code.svg_data_uri(scale=module, unit="mm", omitsize=False, xmldecl=False)
    return Code(source, module * modules)
