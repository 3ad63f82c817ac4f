"""Definition lists: a term, and below it lines that begin with a colon and say what it is.

Knows how Markdown reads them, and in which lines each part stands.
"""

from __future__ import annotations

from markdown_it import MarkdownIt
from markdown_it.rules_core import StateCore
from markdown_it.token import Token
from mdit_py_plugins.deflist import deflist_plugin

TERM, MEANING = "dt_open", "dd_open"


def with_definition_lists(markdown: MarkdownIt) -> None:
    """Has Markdown read definition lists."""
    markdown.use(deflist_plugin)
    markdown.core.ruler.after("block", "definition_places", _give_places)


def _give_places(state: StateCore) -> None:
    """Gives a term its line, and what is said of it the lines below, which were counted without the first."""
    terms: list[int] = []
    for number, token in enumerate(state.tokens):
        if token.type == TERM and token.map:
            terms.append(token.map[0] + 1)
            _stand(token, token.map[0], terms[-1])
            _stand(state.tokens[number + 1], token.map[0], terms[-1])
        elif token.type == MEANING and token.map:
            _stand(token, max(token.map[0], terms[-1]), token.map[1])


def _stand(token: Token, first: int, end: int) -> None:
    token.map = [first, end]
