"""YAML in guide.yaml and at the head of pages: values with the passages they stand in, checked key by key.

Knows YAML and the shape of an error; which keys there are is for those who read them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

import yaml

from sitegen.problems import Passage, Problem


@dataclass(frozen=True)
class Setting:
    """One value, and where it and its key were written."""

    value: Any
    key: Passage
    passage: Passage

    def problem(self, message: str, hint: str = "") -> Problem:
        return Problem(message, self.passage, hint)

    def as_text(self) -> str:
        if not isinstance(self.value, str | int | float) or isinstance(self.value, bool):
            raise self.problem(f"{self.key.text} is a text", f'write {self.key.text}: "…"')
        return str(self.value).strip()

    def as_choice(self, choices: Iterable[str]) -> str:
        known = list(choices)
        if self.value not in known:
            near = get_close_matches(str(self.value), known, n=1)
            hint = f"is it {near[0]}?" if near else "one of " + ", ".join(known)
            raise self.problem(f"{self.key.text} cannot be “{self.value}”", hint)
        return str(self.value)

    def as_yes(self) -> bool:
        if not isinstance(self.value, bool):
            raise self.problem(f"{self.key.text} is yes or no", f"write {self.key.text}: yes")
        return self.value

    def as_texts(self) -> tuple[str, ...]:
        values = self.value if isinstance(self.value, list) else [self.value]
        if not all(isinstance(value, str | int) for value in values):
            raise self.problem(f"{self.key.text} is a list of words", f"write {self.key.text}: [one, two]")
        return tuple(map(str, values))


def read_settings(passage: Passage, keys: tuple[str, ...]) -> dict[str, Setting]:
    """The settings of a YAML mapping by key. Raises Problem."""
    loader = yaml.SafeLoader(passage.text)
    try:
        node = loader.get_single_node()
        if node is None:
            return {}
        if not isinstance(node, yaml.MappingNode):
            raise Problem("expected keys and values, as in “title: …”", passage, "write one key a line")
        return dict(_settings(node, loader, passage, keys))
    except yaml.MarkedYAMLError as error:
        at = error.problem_mark.index if error.problem_mark else 0
        message = error.problem or "this is not YAML"
        raise Problem(
            f"YAML: {message}", passage.part(at, at + 1), "put quotation marks round the text"
        ) from None
    except yaml.YAMLError as error:
        raise Problem(f"YAML: {error}", passage, "save the file as UTF-8 text") from None
    finally:
        loader.dispose()


def _settings(
    node: yaml.MappingNode, loader: yaml.SafeLoader, passage: Passage, keys: tuple[str, ...]
) -> Iterable[tuple[str, Setting]]:
    for key_node, value_node in node.value:
        key = passage.part(key_node.start_mark.index, key_node.end_mark.index)
        value = passage.part(value_node.start_mark.index, value_node.end_mark.index)
        if key.text not in keys:
            near = get_close_matches(key.text, keys, n=1)
            hint = f"is it {near[0]}?" if near else "keys are " + ", ".join(keys)
            raise Problem(f"there is no key “{key.text}” here", key, hint)
        yield key.text, Setting(loader.construct_object(value_node, deep=True), key, value.stripped())
