"""What is said of a page to those who have not opened it: search engines, feeds, places that link to it.

Knows pages and sequences; knows nothing of the words in which it is said to whom.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from markdown_it.token import Token
from markupsafe import Markup

from sitegen.blocks.moves.sequence import Sequence
from sitegen.blocks.moves.sequence_figures import MOST_STEPS
from sitegen.effects.words import brief
from sitegen.guide.inline import mentioned
from sitegen.moves.notation import write
from sitegen.moves.spoken import spoken_turn, without_links
from sitegen.pages.markdown import Prose, plain_text
from sitegen.pages.page import EXERCISES, HANDOUT, Page
from sitegen.site.frame import Frame

LONGEST = 300
"""So many characters a description has at most, where no author has written it to be one."""
SENTENCE = re.compile(r".+?[.!?…](?=[\s”’\"')]|$)")
ARTICLE, WEBSITE = "article", "website"
"""What a page is, in the words of the Open Graph protocol."""
MADE_FOR = {HANDOUT: "handout", EXERCISES: "exercises"}
Titles = Callable[[str], str]


@dataclass(frozen=True)
class About:
    title: str
    description: str
    kind: str = ARTICLE
    picture: str = ""
    """The path of a picture of it; empty for none."""
    facts: Mapping[str, Any] | None = None
    """What it is in the words of schema.org."""

    def data(self, url: str, frame: Frame) -> Markup:
        """The facts as a page carries them."""
        said = {
            "@context": "https://schema.org",
            **(self.facts or {}),
            "name": frame.title if self.kind == WEBSITE else self.title,
            "description": self.description,
            "url": url,
            "inLanguage": frame.language,
        }
        if self.kind != WEBSITE:
            said["isPartOf"] = {"@type": "WebSite", "name": frame.title, "url": frame.address}
        text = json.dumps({name: value for name, value in said.items() if value}, ensure_ascii=False)
        # What may end a script must not stand in it; JSON has another way to write these.
        return Markup(text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026"))


def about_page(page: Page, title_of: Titles) -> About:
    """A page that an author has written."""
    description = page.summary or first_sentence(page.prose, title_of)
    facts = {
        "@type": "LearningResource",
        "learningResourceType": MADE_FOR.get(page.kind, ""),
        "keywords": ", ".join(page.tags),
        "datePublished": page.date,
        "dateModified": page.updated,
    }
    if page.name == "index":
        return About(page.title, description, WEBSITE, facts={"@type": "WebSite"})
    return About(page.title, description, facts=facts)


def about_sequence(sequence: Sequence, title_of: Titles, with_facts: bool) -> About:
    """The page of a sequence: the author's sentence, or else what it does."""
    said = first_sentence(sequence.say, title_of) if sequence.say else ""
    does = f"{sequence.by_itself}: {brief(sequence.effect)}"
    return About(
        sequence.title, said or shortened_to(LONGEST, does), facts=_how_to(sequence) if with_facts else None
    )


def _how_to(sequence: Sequence) -> Mapping[str, Any]:
    """The turns as steps, where they are few enough to be followed."""
    if not 0 < len(sequence.turns) <= MOST_STEPS:
        return {"@type": "LearningResource"}
    written = [write(turn, sequence.puzzle) for turn in sequence.turns]
    steps = [{"@type": "HowToStep", "name": turn, "text": spoken_turn(turn)} for turn in written]
    return {"@type": "HowTo", "tool": {"@type": "HowToTool", "name": sequence.puzzle.title}, "step": steps}


def first_sentence(prose: Prose, title_of: Titles) -> str:
    """Of the first paragraph of a text; empty where it has none."""
    pairs = zip(prose.tokens, prose.tokens[1:], strict=False)
    opened = (inline for token, inline in pairs if token.type == "paragraph_open" and token.level == 0)
    texts = (text for inline in opened if (text := _said(inline, title_of)))
    text = next(texts, "") or next((_said(t, title_of) for t in prose.tokens if t.type == "inline"), "")
    found = SENTENCE.match(text)
    return shortened_to(LONGEST, found[0] if found else text)


def _said(inline: Token, title_of: Titles) -> str:
    """A text without its marks, in which sequences are called as readers know them."""
    children = [
        child.copy(content=without_links(child.content)) if any(mentioned(child)) else child
        for child in inline.children or ()
    ]
    return plain_text(inline.copy(children=children), title_of)


def shortened_to(most: int, text: str) -> str:
    """A text, or as many of its words as there is room for."""
    if len(text) <= most:
        return text
    return f"{text[: most - 1].rsplit(' ', 1)[0]}…"
