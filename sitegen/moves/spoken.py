"""How moves are said aloud, since a synthesizer passes over what tells `R'` from `R`, and `u` from `U`.

Knows how turns are written; knows nothing of pages.
"""

from __future__ import annotations

import re

_SIGNS = re.compile(r"[0-9]+|\S")
_SAID = {"'": "prime", "’": "prime", "′": "prime", "+": "plus", "-": "minus"}


def spoken_turn(text: str) -> str:
    """One turn as it is written, sign by sign: `2-3Rw2'` is `2 to 3 R w 2 prime`, `r` is `small r`."""
    return " ".join(_said(found, text) for found in _SIGNS.finditer(text))


def _said(found: re.Match[str], text: str) -> str:
    sign, at = found.group(), found.start()
    if sign == "-" and text[at - 1 : at].isdecimal():
        return "to"
    if sign.islower() and not text[at - 1 : at].isalpha():
        return f"small {sign}"
    return _SAID.get(sign, sign)
