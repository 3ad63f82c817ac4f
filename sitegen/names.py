"""Lists as authors write them on a line: one grammar for names, and one for texts with commas between.

Knows how the parts stand side by side, and where each stands, and how a name is written as a title; what is
named is for those who ask.
"""

from __future__ import annotations

from collections.abc import Iterable

from sitegen.problems import Passage, Problem, shortened
from sitegen.tokenizer import Tokenizer

AND = r"and(?![^\s,;\[\]])"
NAMES = {"[": r"\[", "]": r"\]", "and": AND, ",": r",", "name": rf"(?!{AND})[^\s,;\[\]]+"}
"""The tokens of a list of names; whoever reads more of a text than that has others before them."""
QUOTED = r"\"(?:[^\"\\]|\\.)*\"|'(?:[^']|'')*'"
"""A text in quotation marks, as YAML has them."""
TEXTS = {
    "[": r"\[",
    "]": r"\]",
    ",": r",",
    "quoted": rf"(?s:{QUOTED})(?=\s*(?:[,\]]|\Z))",
    "inside": r"[^,\[\]]+",
    "text": r"[^,]+",
}


def read_names(
    tokens: Tokenizer, expected: str, hint: str, *end: str, rule: str = "name"
) -> tuple[Passage, ...]:
    """names := NAME (","? "and"? NAME)*    up to one of the tokens `end`, or what is no name."""
    names = [tokens.expect(expected, rule, hint=hint)]
    while not tokens.check(*end):
        mark = tokens.position
        joined = [joint for joint in (tokens.read(","), tokens.read("and")) if joint]
        if tokens.check(*end) or not (joined or tokens.check(rule)):
            tokens.position = mark
            break
        names.append(tokens.expect(expected, rule, hint=hint))
    return once(name.passage for name in names)


def names_in(passage: Passage, expected: str, hint: str) -> tuple[Passage, ...]:
    """list := names | "[" names "]"    Raises Problem for what is left over, or stands there twice."""
    tokens = Tokenizer(passage, NAMES)
    bracket = tokens.read("[")
    names = read_names(tokens, expected, hint)
    _close(tokens, bool(bracket), hint)
    return names


def texts_in(passage: Passage, hint: str) -> tuple[Passage, ...]:
    """texts := text ("," text)* | "[" text ("," text)* "]"    Quotation marks are left on."""
    tokens = Tokenizer(passage, TEXTS)
    bracket = tokens.read("[")
    rules = ("quoted", "inside" if bracket else "text")
    found = [tokens.expect("a text", *rules, hint=hint)]
    while tokens.read(","):
        found.append(tokens.expect("a text", *rules, hint=hint))
    _close(tokens, bool(bracket), hint)
    return tuple(token.passage.stripped() for token in found)


def _close(tokens: Tokenizer, bracket: bool, hint: str) -> None:
    """Nothing is left, but the bracket that closes where one was opened."""
    if bracket:
        tokens.expect("a comma or “]”", "]", hint=hint)
    tokens.expect_end("a comma or the end", hint)


def once(parts: Iterable[Passage]) -> tuple[Passage, ...]:
    """The parts of a list. Raises Problem where one stands there twice."""
    found: dict[str, Passage] = {}
    for part in parts:
        words = " ".join(part.text.split())
        if words in found:
            raise Problem(f"“{shortened(words)}” stands here twice", part, "write it once")
        found[words] = part
    return tuple(found.values())


def in_words(name: str) -> str:
    """A name as a title: `lift-edge` as `Lift edge`."""
    return name.replace("-", " ").capitalize()
