"""In which language each part of a page is, and how it runs: the author's words, and those of the pages.

Knows language tags (BCP 47) and attributes of HTML; which part is whose is for templates to say.
"""

from __future__ import annotations

from markupsafe import Markup

from sitegen.pages.config import OURS

FROM_THE_RIGHT = frozenset(["ar", "arc", "ckb", "dv", "fa", "he", "ku-arab", "ps", "sd", "ug", "ur", "yi"])
"""Languages that are written from right to left, from memory."""


def is_ours(language: str) -> bool:
    """Whether an author writes in the language of pages, so that nothing need be told apart."""
    return language.lower().split("-")[0] == OURS


def runs_from_the_right(language: str) -> bool:
    """Whether a text in a language begins at the right."""
    tag = language.lower()
    return tag in FROM_THE_RIGHT or tag.split("-")[0] in FROM_THE_RIGHT


def of_page(language: str) -> Markup:
    """The attributes of a whole page."""
    return _attributes(language, runs_from_the_right(language))


def of_ours(language: str) -> Markup:
    """The attributes of what a page says of itself in a guide in some language."""
    return Markup("") if is_ours(language) else Markup(" ") + _attributes(OURS, runs_from_the_right(language))


def of_theirs(language: str) -> Markup:
    """Those of what the author wrote, within that."""
    return Markup("") if is_ours(language) else Markup(" ") + of_page(language)


def _attributes(language: str, said: bool) -> Markup:
    """With the direction where another one stands around it."""
    direction = "rtl" if runs_from_the_right(language) else "ltr"
    return Markup('lang="{}"{}').format(language, Markup(f' dir="{direction}"') if said else "")
