"""One reader of tokens for moves, claims and piece sets: named rules in a table; check, read, expect.

Knows regular expressions and passages; what the tokens mean is for the grammars that use it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple

from sitegen.problems import Findings, Passage, Problem, shortened

BLANK = re.compile(r"\s*")


def stretches(passage: Passage, findings: Findings) -> list[Passage]:
    """What stands between semicolons, without the blanks at its ends; nothing, where there are only blanks.

    Behind the last there may be nothing. A semicolon with nothing before it goes to the findings.
    """
    found, start = [], 0
    for each in re.finditer(r";|\Z", passage.text):
        stretch = passage.part(start, each.start()).stripped()
        if each.group() and not stretch.text:
            place = passage.part(*each.span())
            findings.add(Problem("nothing stands before this “;”", place, "take it away"))
        found += [stretch] if stretch.text else []
        start = each.end()
    return found


class Token(NamedTuple):
    """What a rule has matched, and where."""

    rule: str
    text: str
    passage: Passage
    start: int
    """Where it begins in the text that is read."""


class Tokenizer:
    """Reads a passage one token at a time, skipping white space before each."""

    def __init__(self, passage: Passage, rules: Mapping[str, str]) -> None:
        self.passage = passage
        self.text = passage.text
        self.rules = {name: re.compile(pattern) for name, pattern in rules.items()}
        self.position = 0
        """Where the next token begins, as an offset into the text."""
        self._skip()

    def _skip(self) -> None:
        found = BLANK.match(self.text, self.position)
        assert found is not None  # the pattern matches the empty string
        self.position = found.end()

    def check(self, *rules: str) -> Token | None:
        """The next token, not read yet, if one of the rules matches here."""
        for rule in rules:
            found = self.rules[rule].match(self.text, self.position)
            if found:
                return Token(rule, found.group(), self.passage.part(*found.span()), found.start())
        return None

    def read(self, *rules: str) -> Token | None:
        """The next token, read, if one of the rules matches here."""
        token = self.check(*rules)
        if token:
            self.position = token.start + len(token.text)
            self._skip()
        return token

    def read_tight(self, *rules: str) -> Token | None:
        """Like `read`, but only where no white space comes before the token."""
        if self.position and self.text[self.position - 1].isspace():
            return None
        return self.read(*rules)

    def expect(self, expected: str, *rules: str, hint: str = "") -> Token:
        """The next token; a problem saying what was expected, where none of the rules matches."""
        token = self.read(*rules)
        if token is None:
            raise self.unexpected(expected, hint)
        return token

    def number(self, token: Token, most: int) -> int:
        """The number that a token is; a problem where it is larger than anyone needs."""
        # The count of digits is looked at first: Python refuses to read thousands of them.
        if len(token.text) > len(str(most)) or int(token.text) > most:
            raise Problem(f"numbers here go up to {most:,}", token.passage, "write a smaller number")
        return int(token.text)

    @property
    def at_end(self) -> bool:
        return self.position >= len(self.text)

    def expect_end(self, expected: str, hint: str = "") -> None:
        """Nothing is left; a problem saying what was expected, where something is."""
        if not self.at_end:
            raise self.unexpected(expected, hint)

    def since(self, start: int) -> Passage:
        """What was read from an offset on, at which a token begins, without the blanks behind it."""
        return self.passage.part(start, start + len(self.text[start : self.position].rstrip()))

    def next_word(self) -> Passage:
        """The text up to the next white space; it may be empty."""
        words = self.text[self.position :].split(maxsplit=1)
        return self.passage.part(self.position, self.position + len("".join(words[:1])))

    def unexpected(self, expected: str, hint: str = "") -> Problem:
        """A problem about the next word, saying what was expected in its place."""
        word = self.next_word()
        met = f"found “{shortened(word.text)}”" if word.text else "the text ends here"
        return Problem(f"expected {expected}; {met}", word, hint)
