"""Signs that Markdown takes for letters, where a link, a heading or a note was meant.

Knows Markdown; of moves no more than that their square brackets have a comma or a colon within.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from sitegen.pages.markdown import BARE, OTHER, Prose, stretch_of
from sitegen.problems import Passage, Problem

IN_SQUARE = r"(?:[^\[\]]|\[[^\[\]]*\])*"
IN_ROUND = r"(?:[^()]|\([^()]*\))*"
SIGNS = re.compile(
    rf"(?P<link>!?\[(?P<text>{IN_SQUARE})\]\((?P<to>{IN_ROUND})\))"
    r"|(?P<footnote>\[\^[^\[\]\s]+\])"
    rf"|(?P<reference>!?\[(?P<named>{IN_SQUARE})\]\[(?P<label>[^\[\]]*)\])"
    r"|(?P<struck>~~(?=[^\s~])[^~]*(?<=\S)~~(?!~))"
)
HEADING = re.compile(rf"(?m)^#{{1,6}}(?=[^\W\d_])[^\s{OTHER}]+")
TITLE = re.compile(r"(?P<address>.*?)(?P<title>\s+(?:\"[^\"]*\"|'[^']*'))?\s*", re.DOTALL)
ADDRESS = re.compile(r"\.[A-Za-z]\w*(?=$|[#\s])|/|^\s*#|^\s*[a-z]+:")
"""What an address has, and moves in round brackets have not."""
OF_MOVES = re.compile("[,:]")
"""What stands in the brackets of a commutator or a conjugate."""
CODE = re.compile(r"\\.|(?<!`)(`+)(?!`).+?(?<!`)\1(?!`)", re.DOTALL)
FOOTNOTE_HINT = "write the note where it belongs, or \\[ for a bracket that is to be seen"


def literal_problems(prose: Prose) -> Iterator[Problem]:
    """A problem for each, in a text; what is code, HTML or escaped is meant as it stands."""
    for before, token in pairwise([None, *prose.tokens]):
        bare = token.meta.get(BARE, "") if token and token.type == "inline" else ""
        if not token or not bare:
            continue
        found = [*SIGNS.finditer(bare)]
        if before and before.type == "paragraph_open":
            found = sorted([*found, *HEADING.finditer(bare)], key=re.Match.start)
        yield from _told(found, _code_blanked(stretch_of(prose, token)), stretch_of(prose, token))


def footnote(place: Passage) -> Problem:
    return Problem("there are no footnotes: this is shown as it is written", place, FOOTNOTE_HINT)


def _told(found: list[re.Match[str]], text: str, stretch: Passage) -> Iterator[Problem]:
    at = 0
    for each in found:
        where = _span(each.group(), text, at)
        at = where[1] if where else at
        place = stretch.part(*where) if where else stretch.part(0, len(text.partition("\n")[0]))
        if problem := _meant(each, place.stripped()):
            yield problem


def _meant(found: re.Match[str], place: Passage) -> Problem | None:
    """What is wrong with signs, if they were meant for anything but letters."""
    if found.re is HEADING:
        signs = re.match("#+", found.group())
        assert signs
        hint = f"write “{signs.group()} {found.group()[signs.end() :]}”, or \\# for a # that is to be seen"
        return Problem("a heading has a blank behind its #: this is shown as it is written", place, hint)
    match found.lastgroup:
        case "link":
            return _blank_within(found, place)
        case "footnote":
            return footnote(place)
        case "struck":
            hint = "write it without ~~, or \\~ for each ~ that is to be seen"
            return Problem("nothing is struck out: ~~ is shown as it is written", place, hint)
    label = found["label"] or found["named"]
    if OF_MOVES.search(label):
        return None
    hint = f"write a line “[{' '.join(label.split())}]: …” with what it leads to, or \\[ for a [ to be seen"
    return Problem("no line says where this leads, and it is shown as it is written", place, hint)


def _blank_within(found: re.Match[str], place: Passage) -> Problem | None:
    target = TITLE.fullmatch(found["to"].strip())
    is_moves = OF_MOVES.search(found["text"]) and not found.group().startswith("!")
    if not target or not re.search(r"\s", target["address"]):
        return None
    if is_moves and not ADDRESS.search(target["address"]):
        return None
    address = " ".join(target["address"].strip("<>").split())
    hint = f"write (<{address}>{target['title'] or ''}), or %20 for each blank"
    return Problem("a blank stands in the address, so that this is shown as it is written", place, hint)


def _span(bare: str, text: str, at: int) -> tuple[int, int] | None:
    """Where signs stand in their source behind an offset, as close together as can be.

    One way forward finds the end and one back the start: one pattern for all could take for ever.
    """
    pieces = [re.compile(_spaced(piece)) for piece in re.split(f"{OTHER}+", bare) if piece]
    start = end = at
    for piece in pieces:
        found = piece.search(text, end)
        if not found:
            return None
        start, end = found.span()
    for piece in reversed(pieces[:-1]):
        start = max(found.start() for found in piece.finditer(text, at, start))
    return start, end


def _spaced(text: str) -> str:
    """A pattern for a text in its source: with signs of quotes between lines, and \\| in a table."""
    words = r"\s+(?:>\s*)*".join(map(re.escape, re.split(r"\s+", text)))
    return words.replace(r"\|", rf"(?:\||{OTHER}{OTHER})")


def _code_blanked(stretch: Passage) -> str:
    """The text with other characters in the place of code and of what is escaped."""
    return CODE.sub(lambda found: OTHER * len(found.group()), stretch.text)
