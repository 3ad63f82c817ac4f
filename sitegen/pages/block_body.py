"""The body of a block, line by line, to the same settings that YAML gives.

Nothing needs quoting, since moves may begin with `[`, `@` or `(`. What a line is, its beginning says:

    key: text         below the first key
      more text       further in than its key, and neither an item nor a key
    key:              with nothing behind it
    - item            below it or further in, all items alike; in some lists an item has keys of its own

Whatever fits nowhere, or might be two things, is an error. Knows no keys.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace

from sitegen.pages.markdown import Fence
from sitegen.problems import Findings, Passage, Problem, nearest, shortened
from sitegen.settings import SIGN, Setting, gather, no_item, text_setting, unknown_key
from sitegen.yaml_nodes import COMMENT, ITEM, item_behind_text, stray_hash

KEY = re.compile(r"(?P<key>[a-z]+(?:(?: +|-)[a-z]+)*):(?=\s|$)")
SLIP = re.compile(r"(?P<key>[A-Za-z]{3,})(?P<gap>[ \t]*):(?P<tight>(?=\S))?")
"""What is meant for a key, with capitals, or with a space on the wrong side of the colon."""
TURN_LETTERS = frozenset("udfblrmesxyzw")
"""Those of a cube, in small letters. Other puzzles' turns stand in capitals, and hardly so before a colon."""
LINE = re.compile(r"[^\n]*\S[^\n]*")
GAP = re.compile(r"\n[^\S\n]*\n")
FOLDED = re.compile(r"[|>][-+0-9]*(?=\n|$)")
"""What YAML puts before a text of several lines."""

Keys = tuple[str, ...]
Nested = Mapping[str, Keys]
"""The keys whose lists have items with keys of their own, and these."""


def body_of(fence: Fence) -> Passage:
    """What a block says, whole."""
    return uncommented(fence.body).stripped()


def uncommented(body: Passage) -> Passage:
    """The body with blanks in the place of comments, so that everything else stands where it stood."""
    text = COMMENT.sub(lambda found: " " * len(found.group()), body.source.text)
    return body._replace(source=replace(body.source, text=text))


def read_block(
    fence: Fence, keys: Keys, nested: Nested | None = None, plain: str = "", by_line: bool = False
) -> dict[str, Setting]:
    """The settings of a block; a body without keys is what `plain` says, as one text or a text in each line.

    Raises Problem or Problems.
    """
    body = body_of(fence)
    if not plain or has_fields(body):
        return read_fields(body, keys, nested)
    if not body.text:
        return {}
    if listed := next((line for line in _lines(body) if ITEM.match(line.text)), None):
        above = f"write “{plain}:” on a line above it"
        hint = above if by_line else "take each dash away: the moves are one text"
        raise Problem("this list has no key", listed, hint)
    if not by_line:
        return {plain: text_setting(fence.info, body)}
    items = tuple(text_setting(fence.info, line) for line in _lines(body))
    return {plain: Setting(fence.info, body, items=items)}


def has_fields(body: Passage) -> bool:
    """Whether a body has keys, if only by a slip, or is moves and nothing else."""
    lines = _lines(body)
    slips = (SLIP.match(line.text) for line in lines)
    return any(KEY.match(line.text) for line in lines[:1]) or any(s and _is_word(s["key"]) for s in slips)


def _is_word(text: str) -> bool:
    """Whether letters before a colon are more than turns, which may stand so inside a bracket."""
    return not TURN_LETTERS.issuperset(text.lower())


def read_fields(body: Passage, keys: Keys, nested: Nested | None = None) -> dict[str, Setting]:
    """The settings of a body with keys. Raises Problem or Problems for all that does not fit."""
    findings = Findings()
    lines = _lines(uncommented(body))
    for line in lines:
        findings.attempt(None, _refuse_tab, line)
    findings.settle()  # how far a line is set in cannot be told before
    lines = _straightened(lines, keys, findings)
    reader = _Reader(keys, nested or {}, findings)
    settings = reader.fields(lines, keys)
    findings.settle()
    return settings


def _straightened(lines: list[Passage], keys: Keys, findings: Findings) -> list[Passage]:
    """The lines without the first, where it alone is set in and would make all others seem to be set out."""
    own = [line for line in lines if (found := KEY.match(line.text)) and found["key"] in keys]
    if own[:2] != lines[:2] or any(line.column >= lines[0].column for line in own[1:]) or len(own) < 2:
        return lines
    findings.add(Problem("this line is set in further than the other keys", lines[0], "set it out"))
    return lines[1:]


class _Reader:
    """Takes lines apart; `known` are the keys that may stand somewhere in the block, and in no text."""

    def __init__(self, keys: Keys, nested: Nested, findings: Findings) -> None:
        self.known = frozenset(keys).union(*nested.values())
        self.nested = nested
        self.findings = findings
        self.seen: set[str] = set()

    def fields(self, lines: list[Passage], keys: Keys) -> dict[str, Setting]:
        """fields := (KEY ":" value)+    each key below the first."""
        known = len(self.findings.problems)
        found = [self.field(*group, lines[0], keys) for group in _groups(lines)]
        if len(self.findings.problems) > known:  # what seems to be missing is what is wrong elsewhere
            found = [setting for setting in found if setting and not setting.is_empty]
        return gather(found, keys, self.findings)

    def field(self, head: Passage, below: list[Passage], first: Passage, keys: Keys) -> Setting | None:
        """value := text (NEWLINE more text)* | (NEWLINE "- " item)+"""
        found = KEY.match(head.text)
        if not found or head.column != first.column:
            self.findings.add(_no_key(head, first, keys))
            return None
        key = head.part(0, len(found["key"]))
        if key.text not in keys and (owner := self.owner(key)):
            message = f"the key “{key.text}” stands outside the items of “{owner}”"
            hint = "set it in, below what stands behind the dash of its item"
            self.findings.add(Problem(message, key, hint))
            return None
        self.seen.add(key.text)
        behind = head.part(found.end(), len(head.text)).stripped()
        if not behind.text and _begins_list(below):
            return Setting(key, _whole(below), items=self.items(key, below))
        return self.text(key, [behind, *below] if behind.text else below)

    def owner(self, key: Passage) -> str:
        """The list further up whose items have a key; empty for none."""
        lists = (name for name, keys in self.nested.items() if key.text in keys)
        return next((name for name in lists if name in self.seen), "")

    def text(self, key: Passage, lines: list[Passage]) -> Setting | None:
        """A text over some lines; where a list or a key begins among them, something else was meant."""
        if not lines:
            return Setting(key, key, "")
        if key.text in self.nested:
            return Setting(key, _whole(lines), _whole(lines).text)
        for line in lines:
            if ITEM.match(line.text):
                text = shortened(lines[0].text)
                begun = text if ITEM.match(text) else f"- {text}"
                hint = f"write the key of its list above it, or put “{begun}” on a line below “{key.text}:”"
                self.findings.add(item_behind_text(line, hint))
                return None
        for line in lines[1:] if lines[0].line == key.line else lines:
            if place := self.key_in(line):
                self.findings.add(_set_in(place))
                return None
        return self.findings.attempt(None, _text, key, _whole(lines))

    def items(self, key: Passage, lines: list[Passage]) -> tuple[Setting, ...]:
        """items := ("- " item)+    each dash below the first."""
        groups: list[list[Passage]] = []
        for line in lines:
            if groups and line.column > lines[0].column:
                groups[-1].append(line)
            elif line.column == lines[0].column and ITEM.match(line.text):
                groups.append([line])
            else:
                self.findings.add(self.misfit(line))
        return tuple(item for group in groups if (item := self.item(key, *group)))

    def item(self, key: Passage, first: Passage, *more: Passage) -> Setting | None:
        """item := text | fields, as the list is one whose items have keys or not."""
        behind = first.part(1, len(first.text)).stripped()
        lines = [behind, *more] if behind.text else list(more)
        if not lines:
            hint = "write a text behind the dash, or take it away"
            self.findings.add(Problem("this item is empty", first.part(0, 1), hint))
            return None
        if key.text in self.nested:
            return Setting(key, _whole(lines), entries=self.fields(lines, self.nested[key.text]))
        if place := self.key_in(behind):
            self.findings.add(self.keyed(place, behind, key))
            return None
        for line in more:
            if ITEM.match(line.text):
                self.findings.add(Problem("this item is set in", line, "begin it below the first"))
                return None
        return self.text(key, lines)

    def keyed(self, place: Passage, line: Passage, key: Passage) -> Problem:
        """Why an item has no key: it belongs to another list, or is none."""
        lists = [name for name, keys in self.nested.items() if place.text in keys]
        hint = f"write “{shortened(line.text)}” without a dash, below the last item"
        if lists:
            hint = f"put it into the list “{lists[0]}”, or let the text begin with another word"
        return Problem(f"the items of “{key.text}” have no keys", place, hint)

    def key_in(self, line: Passage) -> Passage | None:
        """The key that a line begins with, well written or by a slip, if the block knows it."""
        found = KEY.match(line.text) or SLIP.match(line.text)
        return line.part(*found.span("key")) if found and found["key"].lower() in self.known else None

    def misfit(self, line: Passage) -> Problem:
        """What is wrong with a line in a list that begins none of its items, and goes on with none."""
        if place := self.key_in(line):
            return _set_in(place)
        if ITEM.match(line.text):
            return Problem("this item is set out", line, "begin it below the first")
        if SIGN.match(line.text):
            return no_item(line)
        return Problem("this line is no item and goes on with none", line, "begin it with “- ”, or set it in")


def _groups(lines: list[Passage]) -> Iterable[tuple[Passage, list[Passage]]]:
    """Each line that should begin with a key, and the lines that belong to it."""
    groups: list[tuple[Passage, list[Passage]]] = []
    for line in lines:
        further = line.column - lines[0].column
        if groups and (further > 0 or (further == 0 and ITEM.match(line.text))):
            groups[-1][1].append(line)
        else:
            groups.append((line, []))
    return groups


def _begins_list(lines: list[Passage]) -> bool:
    """Whether there is a list, if only by a slip in its first item."""
    listed = [bool(ITEM.match(line.text)) for line in lines]
    return any(listed) and (listed[0] or bool(SIGN.match(lines[0].text)))


def _text(key: Passage, passage: Passage) -> Setting:
    setting = text_setting(key, passage)
    if setting.quoted and GAP.search(passage.text):
        hint = "write it without empty lines and comments"
        raise Problem("there is a gap in this text in quotation marks", passage, hint)
    if FOLDED.match(passage.text):
        hint = "take the sign away: a text goes on in the next line if that is set in"
        raise Problem("here a text needs no sign before it", passage.part(0, 1), hint)
    return setting


def _lines(body: Passage) -> list[Passage]:
    """Each line that is not empty, from its first letter to its last."""
    return [body.part(*found.span()).stripped() for found in LINE.finditer(body.text)]


def _whole(lines: list[Passage]) -> Passage:
    return lines[0]._replace(end=lines[-1].end)


# What is wrong --------------------------------------------------------------------------------------------


def _refuse_tab(line: Passage) -> None:
    """How far a tab sets in is seen otherwise everywhere."""
    before = line.source.text.rfind("\n", 0, line.start) + 1
    begun = ITEM.match(line.text)
    behind = len(line.text) - len(line.text[1:].lstrip()) if begun else 0
    at = line.source.text.find("\t", before, line.start + behind)
    if at >= 0:
        place = line._replace(start=at, end=at + 1)
        raise Problem("a tab stands before this text", place, "put spaces in place of the tab")


LIKE_A_TURN = re.compile(r"[(\[]*(?:[0-9-]*[A-Za-z]{1,3}[0-9]?['’′]?|@[a-z0-9-]+['’′]?)[)\],:0-9'’′]*")
"""A word of moves, on whatever puzzle, with the brackets about it."""


def _no_key(line: Passage, first: Passage, keys: Keys) -> Problem:
    """Why a line that should begin with a key, or go on with the text above it, does neither."""
    found = SLIP.match(line.text)
    if line.text.startswith("#"):
        return stray_hash(line.part(0, 1))
    if line.column < first.column:
        return Problem("this line is set out", line, "begin it below the first key")
    if found and found["key"].lower() in keys:
        return _slip(line.part(0, found.end()), found)
    if found and _is_word(found["key"]) and (found["tight"] is None or _near(found["key"], keys)):
        return unknown_key(line.part(0, found.end("key")), keys)
    if ITEM.match(line.text):
        return Problem("this list has no key", line, "write its key and a colon on the line above")
    if line is not first and SIGN.match(line.text):
        return no_item(line)
    if meant := _meant(line.text, keys):
        goes_on = "" if line is first else "; or, if it goes on from the one above, set it in"
        hint = f"write “{meant}”{goes_on}"
    elif line is first:
        lead = next((key for key in ("moves", "claims", "from") if key in keys), keys[0])
        hint = f"write “{lead}: {shortened(line.text)}”; keys are {', '.join(keys)}"
    else:
        hint = "begin it with “- ” if it is an item; set it in if it goes on from the line above"
        if "moves" in keys and all(map(LIKE_A_TURN.fullmatch, line.text.split())):
            hint = f"write “moves: {shortened(line.text)}” if these are moves; {hint}"
    return Problem(f"expected a key and a colon, as in “{keys[0]}: …”", line, hint)


def _meant(text: str, keys: Keys) -> str:
    """A line that begins with the word of a key, as it would be written; empty for any other."""
    for key in sorted(keys, key=len, reverse=True):
        if found := re.match(rf"(?i)\W*{key}(?!\w)[\s:：=]*(?P<text>.*)", text):
            return f"{key}: {shortened(found['text']) or '…'}"
    return ""


def _slip(place: Passage, found: re.Match[str]) -> Problem:
    """What is wrong with the way a key is written."""
    key = found["key"].lower()
    if found["key"] != key:
        return Problem("keys are written in small letters", place, f"write {key}:")
    if found["gap"]:
        return Problem("a colon stands right behind its key", place, f"write {key}:")
    return Problem(f"the text runs into the key “{key}”", place, "put a space behind the colon")


def _near(word: str, keys: Keys) -> bool:
    """Whether a word seems to be meant for a key."""
    return bool(nearest(word.lower(), keys))


def _set_in(key: Passage) -> Problem:
    hint = "begin it below the first key; if it is none, let the text begin with another word here"
    return Problem(f"the key “{key.text}” is set in", key, hint)
