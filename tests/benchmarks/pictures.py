"""What pictures for links elsewhere cost, as ratios: `python tests/benchmarks/pictures.py [PAGES]`.

A guide as in `publishing.py`, with an address, so that each page and each sequence has a picture: published
from nothing, then with all pages to be made again and no picture drawn otherwise, beside the same without
pictures. Bar: with pictures that are known, at most 1.25 × without any.
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from publishing import lay_out, timed

PAGES = 60
ADDRESS = "title: A guide\naddress: https://guide.example/\n"
WITHOUT = f"{ADDRESS}picture cards: no\n"


def seconds(folder: Path, settings: str) -> float:
    """How long publishing takes with these settings, in a process of its own."""
    (folder / "content/guide.yaml").write_text(settings, encoding="utf-8")
    turnfolio = str(Path(sys.executable).with_name("turnfolio"))
    return timed(turnfolio, "publish", str(folder), cache=folder / "cache").seconds


if __name__ == "__main__":
    pages = int(sys.argv[1]) if sys.argv[1:] else PAGES
    with TemporaryDirectory() as name:
        folder = Path(name)
        lay_out(folder, pages)
        without = seconds(folder, WITHOUT)
        cold = seconds(folder, ADDRESS)
        known = seconds(folder, f"{ADDRESS}figure numbers: yes\n")
    print(f"{pages} pages without pictures: {without:.2f} s")
    print(f"from nothing {cold / without:5.2f} × that, with pictures that are known {known / without:5.2f} ×")
