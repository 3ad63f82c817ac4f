"""A figure as pixels, by resvg, which draws it the same on every machine.

Needs the extra `png`.
"""

from __future__ import annotations

INSTALL = "install it with pip install 'resvg-py>=0.4', or the extra “png” of Turnfolio"


class NoRaster(Exception):
    """Why pictures of pixels cannot be made, and what to install."""


def png(svg: str) -> bytes:
    """A file as `draw.draw_alone` gives it, as many pixels wide as it says, on nothing. Raises NoRaster."""
    try:
        from resvg_py import svg_to_bytes
    except ImportError:
        message = f"PNG files are made by the library resvg-py, which is not installed: {INSTALL}"
        raise NoRaster(message) from None
    # The letters on stickers are lines, so that no font is needed.
    return bytes(svg_to_bytes(svg_string=svg, skip_system_fonts=True))
