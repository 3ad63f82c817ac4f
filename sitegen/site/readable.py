"""Whether texts of pages can be read on their grounds, by the shades that the sheets of a theme give them.

Knows what folio paints; the themes that ship are tested for it, so that it is said of an author's alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product

from sitegen.figures.difference import contrast
from sitegen.problems import Note, Passage
from sitegen.site.shades import EVERYWHERE, declarations
from sitegen.site.theme import Theme

GROUNDS, TEXTS = ("paper", "card", "wash"), ("ink", "soft", "accent", "alarm")
LEAST = 4.5
"""The contrast ratio that text has at least (WCAG 2.2, success criterion 1.4.3)."""
WHERE: Mapping[str, tuple[str, str]] = {
    "light": ("light screens", "screen and (prefers-color-scheme: light)"),
    "dark": ("dark screens", "screen and (prefers-color-scheme: dark)"),
    "paper": ("paper", "print"),
}
"""Where pages are seen, and what a rule for that alone stands within."""


OF_PAGES = (":root", "html", "body")
"""Of what a shade may be said that all of a page has."""


def hard_to_read(theme: Theme) -> Iterator[Note]:
    """For light screens, dark ones and paper a note of the text that is hardest to read, if one is."""
    if theme.shipped:
        return
    yield from _unjudged(theme)
    for seen in EVERYWHERE:
        shades, places = _given(theme, seen)
        pairs = [pair for pair in product(TEXTS, GROUNDS) if {*pair} <= shades.keys()]
        found = {(text, ground): contrast(shades[text], shades[ground]) for text, ground in pairs}
        text, ground = min(found, key=lambda pair: found[pair], default=("", ""))
        if text and found[text, ground] < LEAST and (place := places.get(text) or places.get(ground)):
            where, media = WHERE[seen]
            ratio = f"{found[text, ground]:.1f} to 1 where {LEAST} is needed"
            message = f"on {where} --{text} can hardly be read on --{ground}: {ratio}"
            yield Note(message, [place], f"give it another shade within @media {media}")


def _unjudged(theme: Theme) -> Iterator[Note]:
    """Shades of pages of which it is not known where they are seen, or how dark they are."""
    sheets = theme.texts(".css")
    for name in filter(theme.has_written, theme.loaded(".css")):
        for said in declarations(sheets[name]):
            known = said.selector == ":root" and said.seen and said.shade
            if said.name in (*GROUNDS, *TEXTS) and said.selector in OF_PAGES and not known:
                hint = f"write :root {{ --{said.name}: #… }}, alone or within @media screen or print"
                yield Note(
                    f"whether text can be read with this --{said.name} is not known", [said.place], hint
                )


def _given(theme: Theme, seen: str) -> tuple[dict[str, str], dict[str, Passage]]:
    """The shades of pages where they are seen so, and of those that an author gives where that is said."""
    shades: dict[str, str] = {}
    places: dict[str, Passage] = {}
    sheets = theme.texts(".css")
    for name in theme.loaded(".css"):
        for said in declarations(sheets[name]):
            meant = said.name in (*GROUNDS, *TEXTS) and said.selector == ":root"
            if meant and seen in said.seen and said.shade:
                shades[said.name] = said.shade
                places.pop(said.name, None)
                if theme.has_written(name):
                    places[said.name] = said.place
    return shades, places
