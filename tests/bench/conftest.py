"""Lets the tests of finding use the published cube and the other solids of their neighbours."""

from __future__ import annotations

import sys
from pathlib import Path

for neighbour in ("effects", "puzzles"):
    sys.path.append(str(Path(__file__).parents[1] / neighbour))
