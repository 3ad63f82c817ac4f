"""Remarks of an author, `<!-- as HTML has them -->`: no reader gets to see them, and nothing in them is read.

Knows how Markdown reads them where it lets no HTML through; where it does, it reads them as HTML.
"""

from __future__ import annotations

import re
from functools import lru_cache

from markdown_it import MarkdownIt
from markdown_it.rules_block import StateBlock
from markdown_it.rules_inline import StateInline

BEGINS, ENDS = "<!--", "-->"
SHORTEST = len("<!")
"""How far behind where one begins its end may be looked for: HTML has `<!-->` as well."""
REMARKS = re.compile(rf"(?:\s*{BEGINS}(?:-?>|(?:(?!{ENDS}).)*{ENDS}))*\s*", re.DOTALL)
"""What may stand in a line behind one that has its lines for itself."""
REMARK = "remark"
"""The kind of token that a remark is within a text."""
OPEN = "open remark"
"""And that of the line in which one begins by itself that does not end."""
BEFORE_REMARKS = ["paragraph", "reference", "blockquote"]
"""What one of several lines ends where it begins, as a comment of CommonMark 0.31.2 does (4.6)."""


def is_remark(html: str) -> bool:
    """Whether this is HTML that says nothing else."""
    return REMARKS.fullmatch(html) is not None


def with_remarks(markdown: MarkdownIt) -> None:
    """Has Markdown read remarks."""
    markdown.block.ruler.before("html_block", REMARK, _lines, {"alt": BEFORE_REMARKS})
    markdown.inline.ruler.before("html_inline", REMARK, _within)
    for kind in (REMARK, OPEN):
        markdown.add_render_rule(kind, lambda *_: "")


def _lines(state: StateBlock, first: int, end: int, silent: bool) -> bool:
    """One that has its lines for itself; one within a single line may be a part of a text."""
    begin = state.bMarks[first] + state.tShift[first]
    if state.is_code_block(first) or not state.src.startswith(BEGINS, begin):
        return False
    last = first
    at = state.src.find(ENDS, begin + SHORTEST, state.eMarks[first])
    ended = at >= 0 or _last_end(state.src) > begin
    while ended and at < 0 and last + 1 < end and _goes_on(state, last + 1):
        last += 1
        at = state.src.find(ENDS, state.bMarks[last], state.eMarks[last])
    alone = at < 0 or REMARKS.fullmatch(state.src, at + len(ENDS), state.eMarks[last])
    if not alone or (silent and last == first):
        return False
    if not silent:
        state.line = (last if at >= 0 else first) + 1
        if at < 0:
            state.push(OPEN, "", 0).map = [first, first + 1]
    return True


@lru_cache(maxsize=1)
def _last_end(text: str) -> int:
    """Where the last remark ends that does, so that nobody looks behind it; -1 where none does."""
    return text.rfind(ENDS)


def _goes_on(state: StateBlock, line: int) -> bool:
    """Whether a line is within the same item or quote."""
    return state.isEmpty(line) or state.sCount[line] >= state.blkIndent


def _within(state: StateInline, silent: bool) -> bool:
    """One within a text, with the blanks before it where it ends a line."""
    if not state.src.startswith(BEGINS, state.pos):
        return False
    if _last_end(state.src) < state.pos + SHORTEST:
        return False
    end = state.src.find(ENDS, state.pos + SHORTEST, state.posMax) + len(ENDS)
    if end < len(ENDS):
        return False
    if not silent:
        if state.src[end : end + 1] in ("", "\n"):
            state.pending = state.pending.rstrip(" ")
        state.push(REMARK, "", 0)
    state.pos = end
    return True
