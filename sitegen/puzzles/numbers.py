"""Numbers as people write them in a definition: `0.4`, `-1/3`, `1/sqrt(2)`, `(√5 - 1)/4`.

The grammar stands in the docstrings, a rule a function. Knows nothing of what a number is for.
"""

from __future__ import annotations

from math import sqrt

from sitegen.problems import Passage, Problem
from sitegen.tokenizer import Tokenizer

RULES = {
    "number": r"[0-9]+(?:\.[0-9]*)?|\.[0-9]+",
    "root": r"sqrt\b|√",
    "sign": r"[+\-−]",
    "times": r"[*·×]",
    "by": r"/",
    "(": r"\(",
    ")": r"\)",
}
LONGEST = 60
"""So many characters are enough for any number, and too few to nest or to count too far."""
HINT = "write a decimal, a fraction or a root, as in 0.4, -1/3 or sqrt(2)/2"


def read_number(passage: Passage) -> float:
    """The number that a whole text is. Raises Problem."""
    tokens = Tokenizer(passage, RULES)
    if len(passage.text) > LONGEST:
        raise Problem("this number is too long", passage, "write fewer digits")
    number = _sum(tokens)
    tokens.expect_end("the end of the number", HINT)
    return number


def _sum(tokens: Tokenizer) -> float:
    """sum := product (("+" | "-") product)*"""
    number = _product(tokens)
    while sign := tokens.read("sign"):
        number += _product(tokens) if sign.text == "+" else -_product(tokens)
    return number


def _product(tokens: Tokenizer) -> float:
    """product := factor (("*" | "/") factor)*"""
    number = _factor(tokens)
    while sign := tokens.read("times", "by"):
        start = tokens.position
        other = _factor(tokens)
        if sign.rule == "by" and not other:
            raise Problem("nothing can be divided by 0", tokens.since(start), HINT)
        number = number / other if sign.rule == "by" else number * other
    return number


def _factor(tokens: Tokenizer) -> float:
    """factor := ("+" | "-")? ("sqrt" | "√")* (NUMBER | "(" sum ")")"""
    if sign := tokens.read("sign"):
        return _factor(tokens) if sign.text == "+" else -_factor(tokens)
    if tokens.read("root"):
        start = tokens.position
        square = _factor(tokens)
        if square < 0:
            raise Problem("only what is not below 0 has a root", tokens.since(start), HINT)
        return sqrt(square)
    if tokens.read("("):
        number = _sum(tokens)
        tokens.expect("“)”", ")", hint="close each bracket that is opened")
        return number
    return float(tokens.expect("a number", "number", hint=HINT).text)
