"""A problem as data, for programs that show it where it stands."""

from __future__ import annotations

from typing import Any

from sitegen.problems import Problem

PROBLEM, NOTE = "problem", "note"
"""What does not hold, and what is not wrong but may not be meant."""


def problem_as_data(problem: Problem, kind: str = PROBLEM) -> dict[str, Any]:
    """Its place in a file of the guide, from its first character to behind its last, counted from 1."""
    begin, end = problem.passage, problem.passage.after
    return {
        "kind": kind,
        "file": begin.source.name,
        "line": begin.line,
        "column": begin.column,
        "end": {"line": end.line, "column": end.column},
        "message": problem.message,
        "hint": problem.hint,
    }
