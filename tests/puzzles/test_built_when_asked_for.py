"""Puzzles are read and built when they are first asked for, and no sooner."""

from __future__ import annotations

import json
import subprocess
import sys

PROGRAM = """
import json, sys
from sitegen.cli import main
from sitegen.puzzles import catalogue

try:
    main(sys.argv[1:])
finally:
    caches = (catalogue.definitions.cache_info(), catalogue.puzzle.cache_info())
    print(json.dumps([[cache.misses, cache.currsize] for cache in caches]))
"""


def read_and_built(*arguments: str) -> tuple[list[int], list[int]]:
    """How often a command, in its own process, read definitions and built puzzles; how many it kept."""
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, *arguments], capture_output=True, text=True, timeout=60, check=True
    )
    definitions, puzzles = json.loads(done.stdout.splitlines()[-1])
    return definitions, puzzles


def test_help_reads_no_definition_and_builds_no_puzzle() -> None:
    assert read_and_built("--help") == ([0, 0], [0, 0])


def test_a_command_about_one_puzzle_builds_that_one_alone() -> None:
    assert read_and_built("puzzle", "megaminx") == ([1, 1], [1, 1])
