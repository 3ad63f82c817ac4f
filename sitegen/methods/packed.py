"""Very many lines as one short text, and back.

What is kept is read whenever anything of a guide is: there they stand packed.
"""

from __future__ import annotations

import zlib
from base64 import b64decode, b64encode
from collections.abc import Iterable


def packed(lines: Iterable[str]) -> str:
    """Line after line, so that they never stand in memory together; nothing of no lines."""
    press, pieces = zlib.compressobj(), []
    for line in lines:
        pieces.append(press.compress(f"{line}\n".encode()))
    return b64encode(b"".join([*pieces, press.flush()])).decode() if pieces else ""


def unpacked(text: str) -> str:
    """The lines, each with its end."""
    return zlib.decompress(b64decode(text)).decode() if text else ""
