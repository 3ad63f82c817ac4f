"""One reader of tokens for moves, claims and piece sets: named rules in a table; check, read, expect.

Knows regular expressions and passages; what the tokens mean is for the grammars that use it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from sitegen.problems import Findings, Passage, Problem, shortened

BLANK = re.compile(r"\s*")


def stretches(passage: Passage, sign: str, findings: Findings) -> list[Passage]:
    """What stands between the signs, without the blanks at its ends; nothing, where there are only blanks.

    Behind the last there may be nothing. A sign with nothing before it goes to the findings.
    """
    found, start = [], 0
    for each in re.finditer(rf"{re.escape(sign)}|\Z", passage.text):
        stretch = passage.part(start, each.start()).stripped()
        if each.group() and not stretch.text:
            place = passage.part(*each.span())
            findings.add(Problem(f"nothing stands before this “{sign}”", place, "take it away"))
        found += [stretch] if stretch.text else []
        start = each.end()
    return found


@dataclass(frozen=True)
class Token:
    rule: str
    text: str
    start: int
    end: int


class Tokenizer:
    """Reads a passage one token at a time, skipping white space before each."""

    def __init__(self, passage: Passage, rules: Mapping[str, str]) -> None:
        self.passage = passage
        self.text = passage.text
        self.rules = {name: re.compile(pattern) for name, pattern in rules.items()}
        self.position = 0
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
                return Token(rule, found.group(), found.start(), found.end())
        return None

    def read(self, *rules: str) -> Token | None:
        """The next token, read, if one of the rules matches here."""
        token = self.check(*rules)
        if token:
            self.position = token.end
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
            raise self.problem(
                f"numbers here go up to {most:,}", token.start, token.end, "write a smaller number"
            )
        return int(token.text)

    @property
    def at_end(self) -> bool:
        return self.position >= len(self.text)

    def next_word(self) -> tuple[int, int]:
        """Where the text up to the next white space stands."""
        found = re.compile(r"\S+").match(self.text, self.position)
        return (found.start(), found.end()) if found else (self.position, self.position)

    def unexpected(self, expected: str, hint: str = "") -> Problem:
        start, end = self.next_word()
        word = self.text[start:end]
        met = f"found “{shortened(word)}”" if word else "the text ends here"
        return Problem(f"expected {expected}; {met}", self.passage.part(start, end), hint)

    def problem(self, message: str, start: int, end: int, hint: str = "") -> Problem:
        return Problem(message, self.passage.part(start, end), hint)
