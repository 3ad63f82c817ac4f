"""Texts in which a test marks the place where it wants a problem told."""

from __future__ import annotations


def marked(text: str, first_line: int = 2) -> tuple[str, tuple[int, int, str]]:
    """A text without its marks ‹ and ›, and the line, the column and the words that stood between them.

    `first_line` is that of the text in its file: the body of a block that opens a page begins in the second.
    """
    before, rest = text.split("‹")
    inside, after = rest.split("›")
    line = first_line + before.count("\n")
    return before + inside + after, (line, len(before.split("\n")[-1]) + 1, inside)
