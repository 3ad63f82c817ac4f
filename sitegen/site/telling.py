"""Moves and words about places as a page shows them and as they are heard: in each place once.

What is seen is hidden from whoever listens, and what is heard is not to be seen, copied or printed. To label
the code would be simpler, and WAI-ARIA lets code have no name.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import zip_longest

from markupsafe import Markup, escape

from sitegen.effects.effect import Effect
from sitegen.effects.words import brief
from sitegen.moves.references import REFERENCE
from sitegen.moves.spoken import KEPT, spelled, spoken_moves, spoken_word, without_links
from sitegen.puzzles.puzzle import Puzzle

WORDS = re.compile(r"(\W+)")
Leading = Callable[[str], str]
"""The way to a sequence's page by its name; empty where there is none."""


def nowhere(name: str) -> str:
    """Where a text leads that stands in a link already; what a sequence is called that has no title."""
    return ""


FOR_EARS = '<span class="heard"'
"""What begins all that is only heard."""
NO_MARK = Markup()
ALONE = re.compile(rf"{REFERENCE.pattern}['’′]?")
"""A reference with nothing beside it, unless it is undone."""


@dataclass(frozen=True)
class Telling:
    """What templates know as `moves`: the notation of a puzzle as HTML."""

    puzzle: Puzzle
    leading: Leading
    heard: bool
    """Whether anybody can listen: on paper all is only written."""
    titled: Callable[[str], str] = nowhere
    """The title of a sequence by its name, which is what sentences call it; within moves it would be long."""
    ours: Markup = NO_MARK
    """The attributes of what pages say of themselves; empty where the author writes in that language too."""
    theirs: Markup = NO_MARK
    """Those of what the author wrote."""

    def of(self, puzzle: Puzzle) -> Telling:
        """The same for another puzzle."""
        return self if puzzle is self.puzzle else replace(self, puzzle=puzzle)

    def __call__(self, text: str) -> Markup:
        """Moves, each reference leading to its sequence."""
        return self._told(text, spoken_moves, self._by_name)

    def in_text(self, text: str) -> Markup:
        """The same within a text, which calls a sequence that stands alone by its title."""
        alone = ALONE.fullmatch(text.strip())
        return self._told(text, spoken_moves, self._by_title if alone else self._by_name)

    def turns(self, text: str) -> Markup:
        """Turns one by one, of which the last is never parted from the one before by the end of a line."""
        return self._in_ours(_turns(text, self.puzzle)) if self.heard else unbroken(text)

    def as_said(self, text: str, heard: str) -> Markup:
        """What is not moves of the puzzle, with what is heard of it."""
        return self._in_ours(both(_escaped(text), heard if self.heard else text, text))

    def words(self, text: str) -> Markup:
        """What is said of places, and of sequences, which it leads to."""
        return self._told(text, spelled, self._by_title)

    def places(self, text: str) -> str | None:
        """An author's words, if there are places in them: each is spelt by itself, and all else is text."""
        spelt = [(word, spelled(word, self.puzzle)) for word in WORDS.split(text)] if self.heard else []
        if all(word == heard for word, heard in spelt):
            return None
        return "".join(self._in_ours(both(str(escape(word)), heard, word)) for word, heard in spelt)

    def title(self, text: str) -> Markup:
        """A title, in which there may be moves and places."""
        title = self._in_ours(_title(text, self.puzzle)) if self.heard else Markup(_escaped(text))
        return self.authored(title)

    def authored(self, html: Markup) -> Markup:
        """What an author wrote, wherever it stands."""
        return Markup("<span{}>{}</span>").format(self.theirs, html) if self.theirs else html

    def code(self, text: str) -> str | None:
        """Code that nobody has marked, if it is one turn or one place."""
        heard = spoken_word(text, self.puzzle) if self.heard else text
        said = self._in_ours(both(_escaped(text), heard, text))
        return None if heard == text else f"<code>{said}</code>"

    def called(self, name: str) -> str:
        """A sequence as sentences call it."""
        return self.titled(name) or without_links(f"@{name}")

    def effect(self, effect: Effect) -> Markup:
        """What moves do."""
        return self.of(effect.puzzle).words(brief(effect))

    def label(self, text: str) -> str:
        """Moves as they are heard, for what is not seen."""
        return without_links(spoken_moves(text, self.puzzle))

    def words_label(self, text: str) -> str:
        """What is said of places, likewise."""
        return without_links(spelled(text, self.puzzle))

    def _told(self, text: str, say: Callable[[str, Puzzle], str], called: Callable[[str], Markup]) -> Markup:
        parts = [self._in_ours(part) for part in _parts(text, say(text, self.puzzle) if self.heard else text)]
        if len(parts) == 1:
            return parts[0]
        return Markup(
            "".join(part if at % 2 == 0 else self._link(part, called(part)) for at, part in enumerate(parts))
        )

    def _by_name(self, name: str) -> Markup:
        """How it is referred to is the author's affair."""
        return self.authored(Markup(without_links(f"@{name}")))

    def _by_title(self, name: str) -> Markup:
        return self.title(self.called(name))

    def _in_ours(self, html: Markup) -> Markup:
        """With what is heard said to be so."""
        return Markup(str(html).replace(FOR_EARS, f"{FOR_EARS}{self.ours}")) if self.ours else html

    def _link(self, name: str, text: Markup) -> str:
        way = self.leading(name)
        return f'<a class="by-name" href="{way}">{text}</a>' if way else f'<i class="by-name">{text}</i>'


@lru_cache(maxsize=KEPT)
def _parts(text: str, said: str) -> tuple[Markup, ...]:
    """HTML, and between it the names of the sequences that are referred to, each of which is said once."""
    pieces, heard = REFERENCE.split(text), REFERENCE.split(said)
    assert pieces[1::2] == heard[1::2]
    told = [both(_escaped(each), aloud, each) for each, aloud in zip(pieces[::2], heard[::2], strict=True)]
    names = map(Markup, pieces[1::2])
    return tuple(part for pair in zip_longest(told, names) for part in pair if part is not None)


@lru_cache(maxsize=KEPT)
def _title(text: str, puzzle: Puzzle) -> Markup:
    return both(_escaped(text), spelled(text, puzzle), text)


@lru_cache(maxsize=KEPT)
def _turns(text: str, puzzle: Puzzle) -> Markup:
    return both(unbroken(text), spoken_moves(text, puzzle), text)


def both(shown: str, heard: str, text: str) -> Markup:
    """HTML, which shows a text, with how that is heard, where it is not as it is written."""
    if not shown or heard == text:
        return Markup(shown)
    return Markup(f'<span aria-hidden="true">{shown}</span>{FOR_EARS}>{escape(heard)}</span>')


def _escaped(text: str) -> str:
    return str(escape(text)).replace("&#39;", "'")


def unbroken(turns: str) -> Markup:
    """Turns as HTML, of which the last is never parted from the one before by the end of a line."""
    if not turns:
        return Markup()
    last_two = re.search(r"\S+\s+\S+$", turns)
    at = last_two.start() if last_two else 0
    return Markup(f'{_escaped(turns[:at])}<span class="together">{_escaped(turns[at:])}</span>')
