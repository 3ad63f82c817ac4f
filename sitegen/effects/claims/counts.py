"""`order 6` and `length 8 OBTM`: numbers that are counted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sitegen.effects.claims.claim import Claim, Subject
from sitegen.moves.metrics import METRICS
from sitegen.problems import Problem
from sitegen.puzzles.puzzle import Puzzle
from sitegen.tokenizer import Tokenizer

LARGEST = 10**12


@dataclass(frozen=True)
class Order(Claim):
    """So many times until everything is home."""

    number: int

    def fault(self, case: Subject) -> str:
        order = case.effect.order
        return "" if order == self.number else f"the order is {order}"

    def counts(self) -> Mapping[str, int]:
        return {"order": self.number}


@dataclass(frozen=True)
class HasLength(Claim):
    """So many turns as written, in one of the metrics."""

    number: int
    metric: str

    def fault(self, case: Subject) -> str:
        length: int = getattr(case.length, self.metric)
        return "" if length == self.number else f"the length is {length} {self.metric.upper()}"

    def counts(self) -> Mapping[str, int]:
        return {self.metric: self.number}


def read_order(tokens: Tokenizer, puzzle: Puzzle) -> Claim:
    """order := "order" NUMBER"""
    written = tokens.expect("a number", "number", hint="write it as in order 6")
    number = tokens.number(written, LARGEST)
    if not number:
        raise Problem("no sequence has the order 0", written.passage, "doing nothing has the order 1")
    return Order(number)


def read_length(tokens: Tokenizer, puzzle: Puzzle) -> Claim:
    """length := "length" NUMBER ("OBTM" | "QTM" | "STM" | "ETM")"""
    written = tokens.expect("a number", "number", hint="write it as in length 8 OBTM")
    number = tokens.number(written, LARGEST)
    known = ", ".join(metric.upper() for metric in METRICS)
    token = tokens.check("name")
    if token is None or token.text.lower() not in METRICS or not token.text.isupper():
        raise tokens.unexpected("a turn metric", f"one of {known}")
    tokens.read("name")
    return HasLength(number, token.text.lower())
