"""Moves as text to a tree, with the place of every part kept.

The grammar stands in the docstrings, a rule a function; what the letters of a turn mean is for the notation.
"""

from __future__ import annotations

import unicodedata

from sitegen.moves.notation import NotationError, amount_text, is_turn, layers_of, notation_of
from sitegen.moves.references import REFERENCE
from sitegen.moves.tree import Commutator, Conjugate, Node, Reference, Repeat, Series, SingleTurn
from sitegen.problems import Passage, Problem, shortened
from sitegen.puzzles.puzzle import Puzzle
from sitegen.tokenizer import Token, Tokenizer

DEEPEST = 40
"""Brackets may stand in brackets this many times."""
MOST_WRITTEN = 100_000
"""So many turns may be written in a row."""
LARGEST = 10**12
"""The largest repeat that can be written."""

RULES = {
    "number": r"[0-9]+",
    "prime": r"['’′]",
    "(": r"\(",
    ")": r"\)",
    "[": r"\[",
    "]": r"\]",
    ",": r",",
    ":": r":",
    "reference": REFERENCE.pattern,
    "times": r"[xX×*·]\s?[0-9]+['’′]?",
    "hyphen": r"[-–—−](?:1(?![0-9]))?(?=\s|$)",
}
CLOSERS = {")": "(", "]": "["}
PRIMES = "'’′"
REFERENCE_HINT = "a reference is @ and a name in small letters, as in @lift-edge"
QUOTATION_HINT = "leave out the quotation marks"
PRIME_HINT = "the prime is written '"
NO_SIGN_HINT = "take it away: between turns stands nothing but blanks"
SIGN_HINTS = {
    "@": REFERENCE_HINT,
    **dict.fromkeys('"“”„«»', QUOTATION_HINT),
    **dict.fromkeys("´‘`", PRIME_HINT),
    **dict.fromkeys(".;-–—−+/|*_·×", NO_SIGN_HINT),
    "²": "write 2 right behind the turn",
    "^": "leave it out: a number of times stands right behind a group, as in (R U)3",
}
ONCE_OR_NEVER = {"0": "take the turn away: it does nothing", "1": "leave the 1 out"}
EXPECTED = "a turn, a group, a bracket or a reference"


def parse(passage: Passage, puzzle: Puzzle) -> Series:
    """The tree of a text of moves. Raises Problem."""
    tokens = Tokenizer(passage, {**RULES, "turn": notation_of(puzzle).pattern})
    tree = _series(tokens, puzzle, 0)
    if not tokens.at_end:
        raise _stray(tokens, puzzle)
    return tree


def _series(tokens: Tokenizer, puzzle: Puzzle, depth: int) -> Series:
    """series := item*"""
    start, items = tokens.position, []
    while (item := _item(tokens, puzzle, depth)) is not None:
        items.append(item)
        if len(items) > MOST_WRITTEN:
            message = f"these are more than {MOST_WRITTEN:,} turns, one by one"
            raise Problem(message, item.passage, "write as (R U)3 what is done several times")
    return Series(tokens.since(start), tuple(items))


def _item(tokens: Tokenizer, puzzle: Puzzle, depth: int) -> Node | None:
    """item := turn amount? | group repeat? | bracket repeat? | reference prime?"""
    if token := tokens.read("turn"):
        return _turn(token, tokens, puzzle)
    if token := tokens.read("reference"):
        return _repeat(Reference(token.passage, token.text[1:]), token, tokens)
    if token := tokens.read("(", "["):
        if depth == DEEPEST:
            hint = "name the inner part and refer to it with @name"
            raise Problem(f"brackets stand more than {DEEPEST} deep", token.passage, hint)
        read = _group if token.rule == "(" else _bracket
        return _repeat(read(token, tokens, puzzle, depth + 1), token, tokens)
    return None


def _group(opener: Token, tokens: Tokenizer, puzzle: Puzzle, depth: int) -> Node:
    """group := "(" series ")" """
    body = _series(tokens, puzzle, depth)
    _close(opener, ")", tokens, puzzle)
    return body


def _bracket(opener: Token, tokens: Tokenizer, puzzle: Puzzle, depth: int) -> Node:
    """bracket := "[" series ("," | ":") series "]" """
    a = _series(tokens, puzzle, depth)
    middle = tokens.read(",", ":")
    if middle is None:
        if tokens.check("]"):
            raise tokens.unexpected(
                "a comma or a colon", "[A, B] is the commutator A B A' B', [A: B] the conjugate A B A'"
            )
        raise _stray(tokens, puzzle, opener, "a comma or a colon")
    b = _series(tokens, puzzle, depth)
    _close(opener, "]", tokens, puzzle)
    for part, side in ((a, "before"), (b, "after")):
        if not part.items:
            message = f"nothing stands {side} the “{middle.text}”"
            raise Problem(message, middle.passage, "a bracket has two parts")
    kind = Commutator if middle.rule == "," else Conjugate
    return kind(tokens.since(opener.start), a, b)


def _close(opener: Token, closer: str, tokens: Tokenizer, puzzle: Puzzle) -> None:
    if not tokens.read(closer):
        raise _stray(tokens, puzzle, opener, f"“{closer}”")


def _repeat(body: Node, first: Token, tokens: Tokenizer) -> Node:
    """repeat := NUMBER? prime?    reference := "@" NAME prime?"""
    number = tokens.read_tight("number")
    prime = tokens.read_tight("prime")
    if not number and not prime:
        _refuse_times(tokens, first.start)
        return body
    count = tokens.number(number, LARGEST) if number else 1
    return Repeat(tokens.since(first.start), body, -count if prime else count)


def _refuse_times(tokens: Tokenizer, start: int, of_turn: bool = False) -> None:
    """Raises Problem where a sign for times follows what was read; behind a turn x turns the whole puzzle."""
    of, is_tight = tokens.since(start), not tokens.text[: tokens.position][-1:].isspace()
    times = tokens.check("times")
    if times is None or (times.text[0] in "xX" and (of_turn or not is_tight)):
        return
    number = times.text[1:].strip()
    group = f"({of.text})" if of_turn and number.strip(PRIMES) != "2" else of.text
    hint = f"write {group}{number}"
    before = tokens.text[:start].strip()
    if before and not is_tight and _is_closed(before):
        hint += f", or ({before} {of.text}){number} for all of it"
    if times.text[0] in "xX":
        hint += "; or leave a blank before what turns the whole puzzle"
    tokens.read("times")
    raise Problem("how often stands right behind what is done so often", tokens.since(start), hint)


def _is_closed(text: str) -> bool:
    """Whether all brackets of a text are closed."""
    return all(text.count(opener) == text.count(closer) for closer, opener in CLOSERS.items())


def _turn(token: Token, tokens: Tokenizer, puzzle: Puzzle) -> SingleTurn:
    """turn := LETTERS amount?    amount := NUMBER? prime?"""
    number, prime = tokens.read_tight("number"), tokens.read_tight("prime")
    passage = tokens.since(token.start)
    try:
        turn = layers_of(token.text, puzzle)
    except NotationError as error:
        raise error.at(token.passage) from None
    if turn.amount != 1:
        if number or prime:
            raise _fixed(token, passage, puzzle)
        return SingleTurn(passage, turn)
    if prime and (extra := tokens.read_tight("number", "prime")):
        _amount(number or (extra if extra.rule == "number" else None), prime, token, puzzle)
        hint = f"write {token.text}{(number or extra).text.strip(PRIMES)}'"
        raise Problem("the prime comes last and once", extra.passage, hint)
    if not number and not prime:
        if hyphen := tokens.read_tight("hyphen"):
            raise Problem("a turn the other way has a prime", hyphen.passage, PRIME_HINT)
        _refuse_times(tokens, token.start, of_turn=True)
    amount = _amount(number, prime, token, puzzle)
    return SingleTurn(passage, turn.by(-amount if prime else amount))


def _fixed(token: Token, passage: Passage, puzzle: Puzzle) -> Problem:
    """What is wrong with an amount behind a name that says how far it turns, as R++ does."""
    other = token.text.translate(str.maketrans("+-", "-+"))
    back = f"{other} for the other way, " if other != token.text and is_turn(other, puzzle) else ""
    hint = f"write {token.text}, {back}or ({token.text}) with what follows behind it"
    return Problem(f"{token.text} says itself how far it turns", passage, hint)


def _amount(number: Token | None, prime: Token | None, turn: Token, puzzle: Puzzle) -> int:
    if number is None:
        return 1
    most = max(2, puzzle.full_turn // 2) if puzzle.full_turn > 2 else 1
    if number.text not in map(str, range(2, most + 1)):
        amount, full = shortened(number.text), puzzle.full_turn
        less_than_round = number.text in map(str, range(2, full))
        written = amount_text(int(number.text) * (-1 if prime else 1), full) if less_than_round else ""
        message = f"{turn.text}{amount} is not a turn: after a turn comes 2, ' or nothing"
        hint = f"write {turn.text}{written}" if less_than_round else f"repeat as ({turn.text}){amount}"
        hint = ONCE_OR_NEVER.get(number.text, hint)
        if turn.text == "x":
            hint += f"; a group is repeated as in (R U){amount}"
        raise Problem(message, number.passage, hint)
    return int(number.text)


def _stray(
    tokens: Tokenizer, puzzle: Puzzle, opener: Token | None = None, expected: str = EXPECTED
) -> Problem:
    """Why the text cannot go on here."""
    token = tokens.check(")", "]", ",", ":", "number", "prime")
    if opener and tokens.at_end:
        hint = f"expected {expected} before the end of the text"
        return Problem(f"“{opener.text}” is not closed", opener.passage, hint)
    if token is None:
        hint = _sign_hint(tokens, puzzle)
        return tokens.unexpected(f"{EXPECTED}, or {expected}" if opener else expected, hint)
    text, hint = token.text, "brackets close in the order they opened"
    message = f"expected {expected}; found “{text}”"
    if token.rule in CLOSERS and opener is None:
        message, hint = f"“{text}” closes nothing", f"take it away, or open with “{CLOSERS[text]}” before"
    elif token.rule in (",", ":") and opener and opener.rule == "[":
        message, hint = f"“{text}” stands here once too often", "a bracket has two parts: [A, B] or [A: B]"
    elif token.rule in (",", ":"):
        message, hint = (
            f"“{text}” stands outside square brackets",
            "write [A, B] or [A: B]; between turns stands nothing but blanks",
        )
    elif token.rule in ("number", "prime"):
        message, hint = f"“{text}” follows no turn", "it is written right behind a turn or a bracket"
    return Problem(message, token.passage, hint)


def _sign_hint(tokens: Tokenizer, puzzle: Puzzle) -> str:
    """What to do about a sign that begins nothing."""
    sign = tokens.text[tokens.position : tokens.position + 1]
    if sign == "`" and tokens.text.count(sign) % 2 == 0 and tokens.text.strip()[0] == sign:
        return "leave out the backticks"
    if sign in SIGN_HINTS:
        return SIGN_HINTS[sign]
    other = sign.swapcase()
    alone = not tokens.text[tokens.position + 1 : tokens.position + 2].isalpha()
    if alone and is_turn(other, puzzle):
        return f"is it {other}?"
    called = "" if sign.isascii() else f"“{sign}” is {unicodedata.name(sign, 'another sign').lower()}; "
    return f"{called}turns are {notation_of(puzzle).examples(puzzle)}"
