"""What authors write behind keys, in YAML and in blocks alike: texts, lists and mappings with their places.

Every value is read here, in one way wherever it was written: yes and no, choices, numbers, lists. Knows no
keys, and not how the body of a block is taken apart.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, replace

import yaml

from sitegen.names import QUOTED, names_in, once, texts_in
from sitegen.problems import Findings, Passage, Problem, is_it, nearest, shortened
from sitegen.yaml_nodes import node_of, refuse_stray, unquoted

DEEPEST = 3
"""Lists and mappings stand in others so many times."""
NEAR = 0.7
"""How like one of the keys another word has to be, to be taken for it misspelt."""
YES = {"yes": True, "true": True, "on": True, "no": False, "false": False, "off": False}
YES_OR_NO = ("yes", "no")
"""Those of them that an author is told to write."""
SIGN = re.compile(r"[-*+•‐‑‒–—−](?!\d)")
"""What some put before an item in place of a dash and a space."""
LIKE_MARKDOWN = re.compile(
    r"\*\*[^\s*][^*]*\*\*|(?<![\w*])\*[^\s*][^*]*\*(?![\w*])|\[[^\[\]]*\]\([^()\s]+\)|`[^`]+`"
)
"""What Markdown would set off, or make a link of."""
WHOLE_QUOTED = re.compile(QUOTED, re.DOTALL)
HALF_QUOTED = re.compile(r"\"[^\"]*|'[^']*'[^']*'")
"""A text that begins with a quotation mark that nothing ends, or stands in marks that one within it ends."""
Elsewhere = Mapping[str, Collection[str]]
"""Keys that stand elsewhere, by what an author is told to do with one."""
NOWHERE_ELSE: Elsewhere = {}


@dataclass(frozen=True)
class Setting:
    """A value, and where it and its key were written. A value is a text, or else has items or entries."""

    key: Passage
    passage: Passage
    text: str | None = None
    items: tuple[Setting, ...] = ()
    entries: Mapping[str, Setting] | None = None
    quoted: bool = False
    """Whether the text stands in quotation marks, in which no sign means anything."""

    def problem(self, message: str, hint: str = "") -> Problem:
        """What is wrong with the value, where it stands."""
        return Problem(message, self.passage, hint)

    @property
    def is_empty(self) -> bool:
        """Whether nothing is written behind the key but blanks."""
        return not self.items and not self.entries and not (self.text and self.text.strip())

    @property
    def said(self) -> Passage:
        """The passage that says the text, free of quotation marks, for a grammar to read. Raises Problem."""
        if self.text is None:
            raise self.problem(f"{self.key.text} is a text", f"write “{self.key.text}: …” with one text")
        if self.is_empty:
            raise nothing_written(self.key)
        start, end = self.passage.start, self.passage.end
        place = self.passage.part(1, end - start - 1) if self.quoted else self.passage
        if place.text.split() == self.text.split():
            return place.stripped()
        source, start = self.passage.source, start + self.quoted
        put = replace(source, text=source.text[:start] + self.text + source.text[end:])
        return Passage(put, start, start + len(self.text)).stripped()

    def as_text(self) -> str:
        """The text on one line. Raises Problem."""
        return " ".join(self.said.text.split())

    def as_plain(self) -> str:
        """The text on one line, if nothing in it looks like Markdown. Raises Problem."""
        if wrong := set_off(self.said, f"“{self.key.text}”"):
            raise wrong
        return self.as_text()

    def as_choice(self, choices: Iterable[str]) -> str:
        """One of some words. Raises Problem."""
        known, text = list(choices), self.as_text()
        if text not in known:
            near = nearest(text, known)
            all_are = f"write {'one of ' if len(known) > 1 else ''}{', '.join(known)}"
            hint = f"is it {near[0]}?" if len(near) == 1 else all_are
            raise self.problem(f"{self.key.text} cannot be “{shortened(text)}”", hint)
        return text

    def as_yes(self) -> bool:
        """Yes or no. Raises Problem."""
        if self.as_text().lower() not in YES:
            message = f"{self.key.text} is yes or no, not “{shortened(self.as_text())}”"
            raise self.problem(message, f"write {' or '.join(YES_OR_NO)}")
        return YES[self.as_text().lower()]

    @property
    def says_more(self) -> bool:
        """Whether a text is another than yes or no."""
        return self.quoted or self.text is None or self.text.strip().lower() not in YES

    def as_number(self, least: int, most: int, hint: str = "") -> int:
        """A whole number, `least` and `most` among those allowed. Raises Problem."""
        text = self.as_text()
        if not re.fullmatch(r"-?[0-9]{1,9}", text) or not least <= int(text) <= most:
            message = f"{self.key.text} is a number from {least} to {most}, not “{shortened(text)}”"
            raise self.problem(message, hint or f"write for example {self.key.text}: {least + 1}")
        return int(text)

    def as_items(self) -> tuple[Setting, ...]:
        """The items of a list, each a text; a text alone is a list of one."""
        items = self.items or (self,)
        if empty := next((item for item in self.items if item.text is not None and item.is_empty), None):
            raise empty.problem("this item is empty", "write a text there, or take the item away")
        if self.entries is not None or any(item.text is None or item.is_empty for item in items):
            raise self.problem(f"{self.key.text} is a list of words", f"write {self.key.text}: [one, two]")
        if not self.quoted and SIGN.match(self.text or ""):
            raise no_item(self.passage)
        return items

    def as_lines(self) -> tuple[Setting, ...]:
        """The items of a list, or a text alone, where commas and brackets are for a grammar to read."""
        if not self.items and not self.quoted and (self.text or "").startswith("["):
            first = self.said.text.strip("[] ").split(",")[0]
            hint = f"write “{self.key.text}:” and below it a line for each, as in “- {shortened(first)}”"
            raise self.problem(f"in “{self.key.text}” each stands on a line of its own", hint)
        return self.as_items()

    def as_list(self) -> tuple[Setting, ...]:
        """texts := items, each with commas between its texts, if it is not quoted; no text twice."""
        parts = [part for item in self.as_items() for part in item._texts(listed=bool(self.items))]
        once(part.said for part in parts)
        return tuple(parts)

    def as_said(self) -> tuple[Passage, ...]:
        """What each item of a list says, one below the other or in brackets; else a text, commas and all."""
        whole = self.items or self.quoted or not self.said.text.startswith("[")
        return tuple(item.said for item in (self.as_items() if whole else self.as_list()))

    def _texts(self, listed: bool) -> Iterable[Setting]:
        if self.quoted:
            return [self]
        names = ", ".join(re.findall(r"[^\s,\[\]][^,\[\]]*", self.said.text))
        hint = f"write “{names or '…'}”, or each on a line of its own behind “- ”"
        if listed and self.said.text.startswith("["):
            raise self.problem("a list stands in a list", hint)
        return [text_setting(self.key, part) for part in texts_in(self.said, hint)]

    def as_texts(self) -> tuple[str, ...]:
        """The texts of a list, each on one line. Raises Problem."""
        return tuple(item.as_text() for item in self.as_list())

    def as_names(self, expected: str, hint: str) -> tuple[Passage, ...]:
        """names := NAME (("," | "and")? NAME)*, in brackets or not, or in the items of a list; each once."""
        return once(name for item in self.as_items() for name in names_in(item.said, expected, hint))

    def as_mapping(self, meaning: str, example: str) -> dict[str, str]:
        """A text for each of some names."""
        entries = (self.entries or {}).items()
        if not entries or not all(entry.text for _, entry in entries):
            raise self.problem(f"{self.key.text} are {meaning}", f"write them as in {example}")
        return {name: entry.as_text() for name, entry in entries}


@dataclass(frozen=True)
class OneOf:
    """Reads a setting that is one of some words."""

    words: tuple[str, ...]

    def __call__(self, setting: Setting) -> str:
        return setting.as_choice(self.words)


def words_of(read: Callable[[Setting], object]) -> tuple[str, ...]:
    """The words of which a reader of settings wants one; none where it takes others as well."""
    if read is Setting.as_yes:
        return YES_OR_NO
    return read.words if isinstance(read, OneOf) else ()


def text_setting(key: Passage, passage: Passage) -> Setting:
    """A text as it stands, or what its quotation marks hold. Raises Problem for signs with two meanings."""
    if WHOLE_QUOTED.fullmatch(passage.text):
        return Setting(key, passage, unquoted(passage), quoted=True)
    if HALF_QUOTED.fullmatch(passage.text):
        hint = "leave the mark out with which the text begins, and one at its end: it needs none"
        raise Problem("these quotation marks do not go together", passage.part(0, 1), hint)
    refuse_stray(passage)
    return Setting(key, passage, " ".join(passage.text.split()))


def read_settings(
    passage: Passage, keys: tuple[str, ...], findings: Findings, elsewhere: Elsewhere = NOWHERE_ELSE
) -> dict[str, Setting]:
    """The settings of a YAML mapping by key; what is wrong with one goes to the findings.

    `elsewhere` are keys that do not stand here. Raises Problem where there are no settings to speak of.
    """
    try:
        node = node_of(passage)
    except Problem:
        _refuse_tight(passage, keys)
        raise
    if node is None:
        return {}
    if not isinstance(node, yaml.MappingNode):
        _refuse_tight(passage, keys)
        raise Problem("expected keys and values, as in “title: …”", passage, "write one key a line")
    pairs = [(_place(key, passage), value) for key, value in node.value]
    settings = (findings.attempt(None, _setting, value, key, passage) for key, value in pairs)
    return gather(settings, keys, findings, elsewhere)


def _refuse_tight(passage: Passage, keys: tuple[str, ...]) -> None:
    """Raises Problem for a key of those known with no blank behind its colon, which YAML takes for a word."""
    found = re.search(rf"(?m)^({'|'.join(map(re.escape, keys))}):(\S.*)$", passage.text)
    if found:
        hint = f"write “{found[1]}: {shortened(found[2].strip())}”"
        place = passage.part(*found.span()).stripped()
        raise Problem(f"a blank is missing behind “{found[1]}:”", place, hint)


def _setting(node: yaml.Node, key: Passage, passage: Passage, depth: int = 0) -> Setting:
    """A text, a list or a mapping; what is nested deeper is left out, and its readers refuse it."""
    place = _place(node, passage)
    if depth > DEEPEST:
        return Setting(key, place)
    if isinstance(node, yaml.SequenceNode):
        items = tuple(_setting(item, key, passage, depth + 1) for item in node.value)
        return Setting(key, place, items=items)
    if isinstance(node, yaml.MappingNode):
        entries: dict[str, Setting] = {}
        for name_node, value in node.value:
            name = _place(name_node, passage)
            if name.text in entries:
                raise stands_twice(name)
            entries[name.text] = _setting(value, name, passage, depth + 1)
        return Setting(key, place, entries=entries)
    quoted = isinstance(node, yaml.ScalarNode) and node.style in ("'", '"')
    return Setting(key, place, text=node.value, quoted=quoted)


def _place(node: yaml.Node, passage: Passage) -> Passage:
    return passage.part(node.start_mark.index, node.end_mark.index).stripped()


def gather(
    settings: Iterable[Setting | None],
    keys: tuple[str, ...],
    findings: Findings,
    elsewhere: Elsewhere = NOWHERE_ELSE,
) -> dict[str, Setting]:
    """Settings by key; keys that are unknown, stand twice or say nothing go to the findings."""
    found: dict[str, Setting] = {}
    for setting in settings:
        if setting is None:
            continue
        key = setting.key
        if key.text not in keys:
            findings.add(unknown_key(key, keys, elsewhere))
        elif key.text in found:
            findings.add(stands_twice(key))
        elif setting.is_empty:
            findings.add(nothing_written(key))
        else:
            found[key.text] = setting
    return found


# What is wrong --------------------------------------------------------------------------------------------


def set_off(said: Passage, within: str) -> Problem | None:
    """What is wrong with a text that is shown as it is written, if something in it looks like Markdown."""
    found = LIKE_MARKDOWN.search(said.text)
    message = f"in {within} nothing is set off, and this would be seen as it is written"
    return Problem(message, said.part(*found.span()), "write it without these signs") if found else None


def nothing_written(key: Passage) -> Problem:
    hint = f"write “{key.text}: …”, or take the key away"
    return Problem(f"nothing is written for “{key.text}”", key, hint)


def stands_twice(key: Passage) -> Problem:
    return Problem(f"the key “{key.text}” stands here twice", key, "write it once")


def unknown_key(key: Passage, keys: tuple[str, ...], elsewhere: Elsewhere = NOWHERE_ELSE) -> Problem:
    hint = is_it(key.text.lower(), keys, NEAR) or "keys are " + ", ".join(keys)
    for advice, others in elsewhere.items():
        if key.text.lower() in others and key.text.lower() not in keys:
            hint = advice
    return Problem(f"there is no key “{key.text}” here", key, hint)


def doubted(findings: Findings, keys: tuple[str, ...]) -> set[str]:
    """The keys whose values nobody knows, being misspelt, empty or there twice, as the findings say."""
    told = (problem.passage.text.lower() for problem in findings.problems)
    return {key for word in told for key in nearest(word, keys, NEAR)}


def no_item(line: Passage) -> Problem:
    """A line that begins with the sign of some list, and not with a dash and a space."""
    item = " ".join(line.text[1:].split())
    return Problem("a list item begins with “- ”", line.part(0, 1), f"write “- {shortened(item) or '…'}”")
