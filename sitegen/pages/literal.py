"""Signs that Markdown takes for letters, where a link, a heading or a note was meant.

Knows Markdown; of moves no more than that their square brackets have a comma or a colon within.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator
from itertools import pairwise

from markdown_it.common.normalize_url import normalizeLink, validateLink
from markdown_it.common.utils import normalizeReference
from markdown_it.token import Token

from sitegen.pages.markdown import BARE, BOXES, CELLS, OTHER, Prose, slug, stretch_of
from sitegen.problems import Passage, Problem, is_it, nearest
from sitegen.settings import NEAR

IN_SQUARE = r"(?:[^\[\]]|\[[^\[\]]*\])*"
IN_ROUND = r"(?:[^()]|\([^()]*\))*"
FILES = "md|html?|svg|png|jpe?g|gif|webp|pdf|txt|csv|ya?ml|zip"
SURE = (
    r"(?:[a-z]{3,}:[^\s()<>\[\]]+"
    rf"|[^\s()<>\[\]:]*\.(?:{FILES})(?:\#[\w-]*)?(?![\w.])"
    r"|\#[^\W\d][\w-]*)"
)
"""What is an address and nothing else: one with a scheme, a file by its ending, a place on the page."""
SIGNS = re.compile(
    rf"(?P<link>!?\[(?P<text>{IN_SQUARE})\]\((?P<to>{IN_ROUND})\))"
    rf"|(?P<open>!?\[{IN_SQUARE}\]\((?P<begun>{SURE})(?:[ ]+\"[^\"\n]*)?)"
    rf"|(?P<apart>(?P<square>!?\[(?!\d+\]){IN_SQUARE}\])\s+\((?P<there>{SURE})\)(?!\[))"
    rf"|(?P<crossed>\((?P<says>[^()\[\]\n]+)\)\[(?P<leads>{SURE})\])"
    rf"|(?P<reversed>\((?P<first>{SURE})\)\[(?P<then>[^\[\]\n]+)\])"
    rf"|(?P<angled><(?P<file>[^\s()<>\[\]:]*\.(?:{FILES})(?:\#[\w-]*)?)>)"
    r"|(?P<spaced><[ \t]*(?P<scheme>[A-Za-z]{3,})[ \t]*:[ \t]*(?P<name>[^\s<>:/]+)[ \t]*>)"
    r"|(?P<doubled>\[\[[^\[\],:|]+\]\])"
    r"|(?P<footnote>\^?\[\^[^\[\]\s]+\]|\^\[[^\[\]]+\])"
    rf"|(?P<reference>!?\[(?P<named>{IN_SQUARE})\]\[(?P<label>[^\[\]]*)\])"
    r"|(?P<struck>~~(?=[^\s~])[^~]*(?<=\S)~~(?!~)|==(?=[^\s=])[^=\n]*(?<=[^\s=])==(?!=))"
    rf"|(?P<bold>(?<![\w*{OTHER}])\*\*(?!\s[^*\n]*\s\*\*)[^*\n]+\*\*(?!\*))"
    rf"|(?P<code>(?<![\w`{OTHER}])`+(?=[^\s`]))"
)
LINES = re.compile(
    rf"(?m)^(?:(?P<heading>(?P<signs>#{{1,6}})(?=[^\W\d_])[^\s{OTHER}]+)"
    r"|(?P<colons>:{3,}[^\n]*)"
    r"|(?P<kind>\[![A-Za-z]+\])"
    r"|(?P<defines>\[(?!\^|\d+\])[^\[\]\n]+\](?P<gap>[ \t]*):[ \t]*"
    rf"(?:[\w%-]+[ ]){{0,4}}{SURE}[^\n]*))"
)
"""Signs that would stand at the begin of a line."""
SHORT = re.compile(rf"(?P<short>!?\[(?P<known>{IN_SQUARE})\])")
"""What is a link if a line of the page says where it leads."""
DOUBTED = re.compile(
    r"(?m)(?P<opens>(?<![\w*_])(?:\*\*|__)(?=[^\W_]))"
    r"|(?P<box>\A\[[ xX]\](?=\s))"
    r"|(?P<meaning>(?<=\n):(?=\s))"
    r"|(?P<explains>(?<=\n):(?=[^\W\d_])(?!\w+:))"
    r"|(?P<exclaims>\A!!!(?=\s+\w))"
    r"|(?P<sheet>\\(?:new|clear)page\b|\\pagebreak\b|\[(?:page ?break|newpage)\])"
    r"|(?P<formula>\$\$(?=[^\s$])[^$]*\$\$)"
    rf"|(?P<address>(?<!\w)https?://[^\s<>{OTHER}]*[^\s<>{OTHER}.,:;!?()'\"’”])"
)
"""Signs that may be meant for something or may be meant as they stand."""
ANY = re.compile(r"[\[<^~=*`#:_!$\\]")
"""Of each of all these signs there is one that is no letter of other texts, which most texts are."""
TITLE = re.compile(r"(?P<address>.*?)(?P<title>(?<!\s)\s+(?:\"[^\"]*\"|'[^']*'))?", re.DOTALL)
ADDRESS = re.compile(r"\.[A-Za-z]\w*(?=$|[#\s])|/|^\s*#|^\s*[a-z]+:")
"""What an address has, and moves in round brackets have not."""
OF_MOVES = re.compile("[,:]")
"""What stands in the brackets of a commutator or a conjugate."""
LINED = ("paragraph_open", "dt_open")
CODE = re.compile(r"\\.|(?<!`)(`+)(?!`).+?(?<!`)\1(?!`)", re.DOTALL)
ESCAPED = "shown as it is written"
SAID = {
    "struck": (
        f"nothing is struck out or marked so: this is {ESCAPED}",
        "write it without these signs, or a \\ before each that is to be seen",
    ),
    "bold": (
        f"these ** do not go with each other, and this is {ESCAPED}",
        "write **text** with no blank within, and none but blanks or letters about each **; or \\* for a *",
    ),
    "code": (
        f"nothing ends the code that begins here, and this is {ESCAPED}",
        "write as many backticks behind it as before it, or \\` for one that is to be seen",
    ),
    "kind": (
        f"a quotation is of no kind: this is {ESCAPED}",
        "say it in words, as in **Note:**, or write \\[ for a bracket that is to be seen",
    ),
    "doubled": (
        f"two brackets make no link: this is {ESCAPED}",
        "write [](page.md) for a link with the title of a page, or \\[ for each bracket that is to be seen",
    ),
}
"""What is wrong with signs that are told of alike wherever they stand, and what to do."""
SUSPECTED = {
    "opens": ("nothing ends what is set bold here", "write the same signs behind it, or \\ before each"),
    "box": (
        "there are no boxes to tick",
        "write a box such as ☐ or ☑, or \\[ for a bracket that is to be seen",
    ),
    "meaning": (
        "a line that begins with a colon explains a term of one line, right above it",
        "write it behind the words, or \\: for the colon",
    ),
    "explains": (
        "what explains a term stands behind a colon and a blank",
        "write “: ” below the term, or \\: for the colon",
    ),
    "exclaims": (
        "nothing begins with three signs like these",
        "say it in words, as in **Note:**, or write \\!!!",
    ),
    "sheet": (
        "no sheet begins so",
        "write “sheet for each heading: yes” at the head of a page for paper",
    ),
    "formula": ("formulas are not set", "write it in words and signs, or \\$ for each $ that is to be seen"),
    "address": (
        "an address is no link by itself",
        "write <…> round it, [words](…) with it in round brackets, or `…` if it is only to be seen",
    ),
}
"""What may be wrong, where an author may as well mean the signs."""


def literal_problems(prose: Prose, labels: Collection[str] = ()) -> Iterator[Problem]:
    """A problem for each, in a text; what is code, HTML or escaped is meant as it stands.

    `labels` are those of the page for which lines say where links lead.
    """
    footnotes = [each.label for each, _ in prose.footnotes]
    misnamed = False
    for token, bare, inside in _bare_texts(prose):
        found = [*SIGNS.finditer(bare), *(LINES.finditer(bare) if inside in LINED else ())]
        found += [each for each in SHORT.finditer(bare) if normalizeReference(each["known"]) in labels]
        for each, place in _placed(found, stretch_of(prose, token)):
            label = normalizeReference(each.groupdict().get("label") or "")
            if label in labels:
                yield _not_taken(each["named"], place)
            elif each.lastgroup == "code" and inside in CELLS:
                continue  # What cuts it off is told of its row.
            elif each.lastgroup == "footnote" and prose.within_block:
                hint = "put it into the text about the block, or write \\[ for a [ to be seen"
                yield Problem(f"what a block says has no footnotes: this is {ESCAPED}", place, hint)
            elif each.lastgroup == "footnote":
                yield _no_footnote(each.group(), footnotes, place)
            elif each.lastgroup == "colons":
                name = each.group().strip(": ")
                if name or not misnamed:
                    yield _no_box(name, place)
                misnamed = bool(name)
            elif problem := _meant(each, place):
                yield problem


def doubted_signs(prose: Prose) -> Iterator[tuple[str, Passage]]:
    """The signs that may be meant as they stand: which of those in `SUSPECTED`, and where."""
    for token, bare, inside in _bare_texts(prose):
        found = [*SIGNS.finditer(bare), *DOUBTED.finditer(bare)] if inside in (*LINED, *CELLS) else []
        for each, place in _placed(found, stretch_of(prose, token)):
            if each.re is DOUBTED and not (each.lastgroup == "address" and each.group() in _linked(token)):
                yield str(each.lastgroup), place


def _linked(token: Token) -> str:
    """The words of all links in a text."""
    children, depth = token.children or [], 0
    words = []
    for child in children:
        depth += child.nesting if child.type in ("link_open", "link_close") else 0
        words += [child.content] if depth else []
    return "\n".join(words)


def _bare_texts(prose: Prose) -> Iterator[tuple[Token, str, str]]:
    """The letters of each text that may hold a sign, and the kind of token that begins what it stands in."""
    for before, token in pairwise([None, *prose.tokens]):
        if token and token.type == "inline" and ANY.search(token.meta.get(BARE, "")):
            yield token, token.meta[BARE], before.type if before else ""


def _placed(found: Iterable[re.Match[str]], stretch: Passage) -> Iterator[tuple[re.Match[str], Passage]]:
    """Signs with their places; of those that have letters in common the first."""
    ordered = sorted(found, key=re.Match.start)
    text, at, end = code_blanked(stretch) if ordered else "", 0, 0
    for each in ordered:
        if each.start() >= end:
            end = each.end()
            where = _span(each.group(), text, at)
            at = where[1] if where else at
            place = stretch.part(*where) if where else stretch.part(0, len(text.partition("\n")[0]))
            yield each, place.stripped()


def _meant(found: re.Match[str], place: Passage) -> Problem | None:
    """What is wrong with signs, if they were meant for anything but letters."""
    match found.lastgroup:
        case "heading":
            signs, text = found["signs"], found.group().lstrip("#")
            hint = f"write “{signs} {text}”, or \\# for a # that is to be seen"
            return Problem(f"a heading has a blank behind its #: this is {ESCAPED}", place, hint)
        case "link":
            return _blank_within(found, place) or _nested(found, place) or _refused(found, place)
        case "open":
            hint = f"write ) behind ({found['begun']}, or \\[ for a bracket that is to be seen"
            return Problem(f"nothing ends this address, and this is {ESCAPED}", place, hint)
        case "apart":
            hint = f"write {found['square']}({found['there']}), or \\[ for a bracket that is to be seen"
            return Problem(f"a link has no blank between its brackets: this is {ESCAPED}", place, hint)
        case "crossed":
            hint = f"write [{found['says']}]({found['leads']}), or \\[ for a bracket that is to be seen"
            return Problem(
                f"a link has square brackets first, and then round ones: this is {ESCAPED}", place, hint
            )
        case "reversed":
            hint = f"write [{found['then']}]({found['first']}), or \\[ for a bracket that is to be seen"
            return Problem(f"the text of a link stands before its address: this is {ESCAPED}", place, hint)
        case "angled":
            hint = f"write []({found['file']}), or \\< for a < that is to be seen"
            return Problem(f"a file in these brackets is no link: this is {ESCAPED}", place, hint)
        case "spaced":
            hint = f"write <{found['scheme']}:{found['name']}>, or \\< for a < that is to be seen"
            return Problem(f"a blank stands in this address, so that it is {ESCAPED}", place, hint)
        case "defines":
            return _no_definition(found, place)
        case "reference":
            return _undefined(found, place)
        case "short":
            return _not_taken(found["known"], place)
    message, hint = SAID[str(found.lastgroup)]
    return Problem(message, place, hint)


def _not_taken(text: str, place: Passage) -> Problem:
    """What is wrong in a block, whose texts know no lines of the page; or with two links in a row."""
    hint = f"write [{text}](…) with what it leads to, or \\[ for a [ to be seen"
    return Problem(f"this takes no line of the page for where it leads, and is {ESCAPED}", place, hint)


def _no_box(name: str, place: Passage) -> Problem:
    """What is wrong with colons; those that end a box whose kind is misspelt are not told of."""
    signs = place.text[: len(place.text) - len(place.text.lstrip(":"))]
    near, kinds = nearest(name.lower(), BOXES, NEAR), " or ".join(BOXES)
    hint = f"write {signs} and {kinds}, and {signs} at its end; or \\: for a colon that is to be seen"
    hint = f"is it {signs} {near[0]}?" if near else hint
    first, _, title = name.partition(" ")
    if (kind := first.rstrip(":").lower()) in BOXES and title:
        hint = f"is it {signs} {kind} {title}?"
    if not name:
        hint += "; a box that holds another begins and ends with more colons than that"
    return Problem(f"this begins and ends no box: it is {ESCAPED}", place, hint)


def _no_footnote(text: str, known: Collection[str], place: Passage) -> Problem:
    """What is wrong with a sign for a footnote that leads to none; `known` are those that the page has."""
    says = re.sub(r"[\[\]^]", "", text)
    near = is_it(f"[^{says}]", [f"[^{label}]" for label in known], NEAR)
    label = says if re.fullmatch(r"[\w-]+", says) else "1"
    hint = near or (
        f"write [^{label}], and on its page a line “[^{label}]: …” that says it, or \\[ for a [ to be seen"
    )
    return Problem(f"no footnote is called so: this is {ESCAPED}", place, hint)


def _undefined(found: re.Match[str], place: Passage) -> Problem | None:
    label = found["label"] or found["named"]
    if OF_MOVES.search(label):
        return None
    hint = f"write a line “[{' '.join(label.split())}]: …” with what it leads to, or \\[ for a [ to be seen"
    return Problem(f"no line says where this leads, and it is {ESCAPED}", place, hint)


def _no_definition(found: re.Match[str], place: Passage) -> Problem:
    """What is wrong with a line that looks as if it said where links lead."""
    if found["gap"]:
        hint = "write no blank before its colon"
    elif found.start():
        hint = "put an empty line above it"
    else:
        hint = "write <…> round an address with blanks, and nothing behind it but a title in quotation marks"
    return Problem(
        f"this says of no link where it leads: it is {ESCAPED}", place, f"{hint}, or \\[ for a [ to be seen"
    )


def _blank_within(found: re.Match[str], place: Passage) -> Problem | None:
    target = TITLE.fullmatch(found["to"].strip())
    is_moves = OF_MOVES.search(found["text"]) and not found.group().startswith("!")
    if not target or not re.search(r"\s", target["address"]):
        return None
    if is_moves and not ADDRESS.search(target["address"]):
        return None
    address = " ".join(target["address"].strip("<>").split())
    first, _, title = address.partition(" ")
    if "#" in first and not re.match(r"[\"'“”„‘’(]", title):
        page, _, heading = address.partition("#")
        hint = f"write ({page}#{slug(heading)}): in the place of a heading blanks are hyphens"
        return Problem(f"a blank stands in the address, so that this is {ESCAPED}", place, hint)
    if re.fullmatch(SURE, first):
        title = title.strip("\"'“”„‘’") or "…"
        message = f"what stands behind the address is no title in quotation marks, so that this is {ESCAPED}"
        return Problem(message, place, f'write ({first} "{title}"), or ({first}) with its ) right behind it')
    hint = f"write (<{address}>{target['title'] or ''}), or %20 for each blank"
    return Problem(f"a blank stands in the address, so that this is {ESCAPED}", place, hint)


def _refused(found: re.Match[str], place: Passage) -> Problem | None:
    """What is wrong with a link that Markdown does not read for its address."""
    to = TITLE.fullmatch(found["to"].strip())
    address = to["address"].strip("<>") if to else ""
    if validateLink(normalizeLink(address)):
        return None
    hint = "put what it leads to into content/ and write its file name, or \\[ for a [ to be seen"
    return Problem(f"a page leads to no such address: this is {ESCAPED}", place, hint)


def _nested(found: re.Match[str], place: Passage) -> Problem | None:
    """What is wrong with a link that Markdown does not read, since another or a footnote is in its text."""
    to = found["to"].strip()
    if OTHER not in found["text"] or not re.fullmatch(SURE, to) or not validateLink(to):
        return None
    hint = f"write [text]({to}), and behind it what leads elsewhere, or \\[ for a [ to be seen"
    return Problem(f"a link holds no other, and no footnote: this is {ESCAPED}", place, hint)


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


def code_blanked(stretch: Passage) -> str:
    """The text with other characters in the place of code and of what is escaped."""
    return CODE.sub(lambda found: OTHER * len(found.group()), stretch.text)
