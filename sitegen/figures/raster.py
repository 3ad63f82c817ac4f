"""A figure as pixels, by resvg, which draws it the same on every machine.

Needs the extra `png`.
"""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256
from importlib.util import find_spec

INSTALL = "install it with pip install 'resvg-py>=0.4', or the extra “png” of Turnfolio"


def can_draw() -> bool:
    """Whether the library is here."""
    return find_spec("resvg_py") is not None


class NoRaster(Exception):
    """Why pictures of pixels cannot be made, and what to install."""


@dataclass(frozen=True)
class Drawing:
    """A picture of pixels that is still to be made, which takes many times as long as it took to draw it."""

    svg: str
    """A file in full, as `png` takes it."""

    @property
    def digest(self) -> str:
        """The SHA-256 of the file, in hexadecimal digits: the same drawing gives the same picture."""
        return sha256(self.svg.encode()).hexdigest()

    def png(self) -> bytes:
        """The picture. Raises NoRaster."""
        return png(self.svg)


def png(svg: str, ground: str | None = None) -> bytes:
    """A file as `draw.draw_alone` gives it, as many pixels wide as it says, on a ground or on nothing.

    Raises NoRaster.
    """
    try:
        from resvg_py import svg_to_bytes
    except ImportError:
        message = f"PNG files are made by the library resvg-py, which is not installed: {INSTALL}"
        raise NoRaster(message) from None
    # The letters on stickers are lines, so that no font is needed.
    return bytes(svg_to_bytes(svg_string=svg, background=ground, skip_system_fonts=True))
