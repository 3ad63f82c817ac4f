"""Turnfolio: guides to twisty puzzles, every claim about moves checked by turning."""

from importlib.metadata import PackageNotFoundError, version

try:
    __version__ = version("turnfolio")
except PackageNotFoundError:
    __version__ = "0"
