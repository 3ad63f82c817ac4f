"""Words that deny a claim which stands beside them, in the language of a guide.

Knows a few languages by their words, from memory, and nothing of grammar: of what stands further away than
two words, or is denied by a whole sentence, it does not tell.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache


@dataclass(frozen=True)
class Denying:
    """Words before a claim that deny it, those behind which do too, and what makes “not” a “not only”."""

    before: str
    behind: str
    only: str


ENGLISH = Denying(
    r"not|never|cannot|neither|nor|hardly|no longer|fails? to|failing to|lacks?|lacking|instead of"
    r"|rather than|(?:false|untrue|wrong) that|\w+n['’]t",
    r"not at all",
    r"only|just|merely|but",
)
NORWEGIAN = Denying(r"ikke|aldri|ingen|intet|hverken|verken|neppe", r"ikke|aldri", r"bare|kun")
LANGUAGES = {
    "en": ENGLISH,
    "de": Denying(
        r"nicht|nie|niemals|kein(?:e[mnrs]?)?|keineswegs|keinesfalls|weder|kaum",
        r"nicht|nie|niemals|keineswegs|keinesfalls",
        r"nur|bloß|allein",
    ),
    # Step by step is “pas à pas”, and a step “un pas”.
    "fr": Denying(
        r"(?<!\bun )(?<!à )pas(?! à)|jamais|aucune?s?|guère|nullement|ni",
        r"pas(?! à)|jamais",
        r"seulement|que",
    ),
    "es": Denying(
        r"no|nunca|jamás|tampoco|ni|ningún|ninguna?|apenas", r"nunca|jamás", r"solo|sólo|solamente"
    ),
    "it": Denying(
        r"non|mai|né|neanche|nemmeno|neppure|nessun[oa]?", r"mai|affatto", r"solo|soltanto|solamente"
    ),
    "nl": Denying(r"niet|nooit|geen|noch|nauwelijks", r"niet|nooit", r"alleen|slechts|enkel"),
    "pt": Denying(r"não|nunca|jamais|tampouco|nem|nenhuma?", r"nunca|jamais", r"só|somente|apenas"),
    "sv": Denying(r"inte|aldrig|ingen|inget|inga|varken|knappast", r"inte|aldrig", r"bara|endast"),
    "da": Denying(r"ikke|aldrig|ingen|intet|hverken|næppe", r"ikke|aldrig", r"bare|kun"),
    "nb": NORWEGIAN,
    "no": NORWEGIAN,
    "pl": Denying(r"nie|nigdy|ani|żad(?:en|na|ne|nego|nej|nych)", r"nigdy", r"tylko|jedynie"),
    "ru": Denying(r"не|ни|никогда|нельзя", r"никогда", r"только|лишь"),
}
"""By the first part of a language tag (BCP 47)."""


@lru_cache
def _patterns(language: str) -> tuple[re.Pattern[str], re.Pattern[str]]:
    of = LANGUAGES.get(language.partition("-")[0].lower(), ENGLISH)
    between = rf"(?:\s+(?!(?:{of.only})\b)\w+){{0,2}}\s*$"
    before = re.compile(rf"(?P<sign>\b(?:{of.before})(?!\w)){between}", re.IGNORECASE)
    return before, re.compile(rf"\s*(?P<sign>(?:{of.behind})\b)(?!\s+(?:{of.only})\b)", re.IGNORECASE)


def denied_by(before: str, behind: str, language: str) -> str:
    """The words beside a claim that deny it, of those before it and behind; empty where none do."""
    first, then = _patterns(language)
    found = first.search(before) or then.match(behind)
    return found["sign"] if found else ""
