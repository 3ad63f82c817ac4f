"""YAML that authors write: texts, lists and mappings, with the passages they stand in.

Every scalar is the text that was written, so that `title: 007` or `title: 12:30` is no number. Knows no keys.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches

import yaml

from sitegen.problems import Findings, Passage, Problem

DEEPEST = 2
"""Lists and mappings stand in others so many times."""
TEXT = yaml.resolver.BaseResolver.DEFAULT_SCALAR_TAG
NOT_CLOSED = "see that brackets and quotation marks are closed; a text with # in it stands in quotation marks"
HINTS = {
    "mapping values": "a text with a colon in it stands in quotation marks; a key begins a line of its own",
    "'\\t'": "YAML is set in with spaces: put spaces in place of the tab",
    "expected ',' or": NOT_CLOSED,
    "end of stream": NOT_CLOSED,
    "<stream end>": NOT_CLOSED,
    "'@'": "leave the @ out, or put quotation marks round the whole text",
    "document separator": NOT_CLOSED,
    "another document": "take the line --- away",
    "<block end>, but found '<scalar>'": "put quotation marks round the whole text",
    "<block end>": "see that brackets are closed once, and begin each key below the first",
    "<document start>": "begin each key below the first",
    "an alias": "write what it stands for; a text that begins with * stands in quotation marks",
    "escape": "write \\\\ for a backslash, or put the text in single quotation marks",
    "": "a text with signs such as : # @ % * [ { in it stands in quotation marks",
}
"""What to do by words of PyYAML's; the first that are found in its message count."""
YES = {"yes": True, "true": True, "on": True, "no": False, "false": False, "off": False}


@dataclass(frozen=True)
class Setting:
    """A value, and where it and its key were written. A value is a text, or else has items or entries."""

    key: Passage
    passage: Passage
    text: str | None = None
    items: tuple[Setting, ...] = ()
    entries: Mapping[str, Setting] | None = None

    def problem(self, message: str, hint: str = "") -> Problem:
        return Problem(message, self.passage, hint)

    def as_text(self) -> str:
        if not self.text or not self.text.strip():
            raise self.problem(f"{self.key.text} is a text", f'write {self.key.text}: "…"')
        return self.text.strip()

    def as_choice(self, choices: Iterable[str]) -> str:
        known = list(choices)
        if self.text not in known:
            near = get_close_matches(self.text or "", known, n=1)
            hint = f"is it {near[0]}?" if near else "one of " + ", ".join(known)
            raise self.problem(f"{self.key.text} cannot be “{self.passage.text}”", hint)
        return self.text

    def as_yes(self) -> bool:
        if self.text is None or self.text.lower() not in YES:
            raise self.problem(f"{self.key.text} is yes or no", f"write {self.key.text}: yes")
        return YES[self.text.lower()]

    def as_list(self) -> tuple[Setting, ...]:
        """The items of a list of texts; a text alone is a list of one."""
        items = (self,) if self.text else self.items
        if self.entries is not None or not all(item.text for item in items):
            raise self.problem(f"{self.key.text} is a list of words", f"write {self.key.text}: [one, two]")
        return items

    def as_texts(self) -> tuple[str, ...]:
        return tuple(item.as_text() for item in self.as_list())

    def as_mapping(self, meaning: str, example: str) -> dict[str, str]:
        """A text for each of some names."""
        entries = (self.entries or {}).items()
        if not entries or not all(entry.text for _, entry in entries):
            raise self.problem(f"{self.key.text} are {meaning}", f"write them as in {example}")
        return {name: entry.as_text() for name, entry in entries}


def read_settings(passage: Passage, keys: tuple[str, ...], findings: Findings) -> dict[str, Setting]:
    """The settings of a YAML mapping by key; what is wrong with one goes to the findings.

    Raises Problem where there are no settings to speak of.
    """
    node = _node(passage)
    if node is None:
        return {}
    if not isinstance(node, yaml.MappingNode):
        raise Problem("expected keys and values, as in “title: …”", passage, "write one key a line")
    settings: dict[str, Setting] = {}
    for key, value in _entries(node, passage):
        if key.text not in keys:
            near = get_close_matches(key.text, keys, n=1)
            hint = f"is it {near[0]}?" if near else "keys are " + ", ".join(keys)
            findings.add(Problem(f"there is no key “{key.text}” here", key, hint))
        elif key.text in settings:
            findings.add(Problem(f"the key “{key.text}” stands here twice", key, "write it once"))
        else:
            setting = findings.attempt(None, _setting, value, key, passage)
            settings.update({key.text: setting} if setting else {})
    return settings


class _Loader(yaml.BaseLoader):
    """Reads no aliases, with which a few lines would stand for millions."""

    def compose_node(self, parent: yaml.Node | None, index: int) -> yaml.Node | None:
        if self.check_event(yaml.AliasEvent):
            mark = self.peek_event().start_mark  # type: ignore[no-untyped-call]
            raise yaml.composer.ComposerError(None, None, "an alias", mark)
        return super().compose_node(parent, index)


def _node(passage: Passage) -> yaml.Node | None:
    try:
        return yaml.compose(passage.text, Loader=_Loader)
    except yaml.MarkedYAMLError as error:
        raise _problem(error, passage) from None
    except yaml.reader.ReaderError as error:
        place = passage.part(error.position, error.position + 1)
        raise Problem(f"YAML: {error.reason}", place, "take the character away") from None
    except RecursionError:
        raise Problem("YAML: lists stand in lists too deep", passage, "write plain keys and values") from None


def _problem(error: yaml.MarkedYAMLError, passage: Passage) -> Problem:
    words = error.problem or "this is not YAML"
    hint = next(hint for part, hint in HINTS.items() if part in words)
    at = error.problem_mark.index if error.problem_mark else 0
    if hint is NOT_CLOSED:
        at = _opened(error, passage.text, at)
    message = words.removeprefix("but ").replace("character '\\t'", "a tab")
    return Problem(f"YAML: {message}", passage.part(at, at + 1), hint)


def _opened(error: yaml.MarkedYAMLError, text: str, at: int) -> int:
    """Where the bracket or quotation mark opened that an error met the end of."""
    begun = error.context_mark.index if error.context_mark else at
    last = max(text.rfind("[", 0, begun), text.rfind("{", 0, begun))
    return begun if text[begun:].strip() or last < 0 else last


def _entries(node: yaml.MappingNode, passage: Passage) -> Iterator[tuple[Passage, yaml.Node]]:
    for key, value in node.value:
        yield _place(key, passage), value


def _setting(node: yaml.Node, key: Passage, passage: Passage, depth: int = 0) -> Setting:
    """A text, a list or a mapping; what is nested deeper is left out, and its readers refuse it."""
    place = _place(node, passage)
    if depth > DEEPEST:
        return Setting(key, place)
    if isinstance(node, yaml.SequenceNode):
        return Setting(
            key, place, items=tuple(_setting(item, key, passage, depth + 1) for item in node.value)
        )
    if isinstance(node, yaml.MappingNode):
        entries: dict[str, Setting] = {}
        for name, value in _entries(node, passage):
            if name.text in entries:
                raise Problem(f"“{name.text}” stands here twice", name, "write it once")
            entries[name.text] = _setting(value, name, passage, depth + 1)
        return Setting(key, place, entries=entries)
    if node.tag != TEXT:
        raise Problem(f"the tag {node.tag} means nothing here", place, "write the text alone")
    return Setting(key, place, text=node.value)


def _place(node: yaml.Node, passage: Passage) -> Passage:
    return passage.part(node.start_mark.index, node.end_mark.index).stripped()
