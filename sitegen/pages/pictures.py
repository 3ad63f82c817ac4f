"""Pictures that stand in a paragraph by themselves: side by side, each with its title below as a caption.

Knows tokens of Markdown, and nothing of where pictures are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence

from markdown_it.token import Token

Number = Callable[[Token], int | None]
"""The number of a figure, by the token of its picture; None where it has none."""


def pictures(tokens: Sequence[Token], at: int) -> list[Token]:
    """The pictures of a paragraph that begins at a place, if there is nothing else in it.

    One picture without a title is none of these: it is set as Markdown has it.
    """
    if tokens[at].type != "paragraph_open":
        return []
    inside = [token for token in tokens[at + 1].children or [] if not _is_gap(token)]
    apart = len(inside) > 1 or any(map(caption, inside))
    return inside if apart and all(token.type == "image" for token in inside) else []


def _is_gap(token: Token) -> bool:
    return token.type in ("softbreak", "hardbreak") or (token.type == "text" and not token.content.strip())


def caption(picture: Token) -> str:
    """What its title says; empty where there is none."""
    return str(picture.attrGet("title") or "") if picture.type == "image" else ""


def captioned(tokens: Sequence[Token]) -> Iterator[Token]:
    """The pictures of a text that have a caption, in the order in which they stand."""
    for at in range(len(tokens)):
        yield from filter(caption, pictures(tokens, at))


def set_apart(tokens: Sequence[Token], number: Number) -> Iterator[Token]:
    """The tokens of a text, in which such paragraphs are rows of figures."""
    row: list[Token] = []
    for at, token in enumerate(tokens):
        found = pictures(tokens, at)
        if found:
            row = found
            yield token.copy(tag="div", attrs={"class": "pictures"}, hidden=False)
        elif row and token.type == "inline":
            yield token.copy(children=[part for each in row for part in _figure(each, number(each))])
        elif row:
            row = []
            yield token.copy(tag="div", hidden=False)
        else:
            yield token


def _figure(picture: Token, number: int | None) -> Iterable[Token]:
    widths = {key: value for key, value in picture.attrs.items() if key == "class"}
    rest = {key: value for key, value in picture.attrs.items() if key not in ("class", "title")}
    yield Token("figure_open", "figure", 1, attrs=widths)
    yield picture.copy(attrs=rest)
    if said := caption(picture):
        yield Token("figcaption_open", "figcaption", 1)
        if number:
            yield Token("number_open", "b", 1)
            yield Token("text", "", 0, content=f"Figure {number}")
            yield Token("number_close", "b", -1)
            said = f" {said}"
        yield Token("text", "", 0, content=said)
        yield Token("figcaption_close", "figcaption", -1)
    yield Token("figure_close", "figure", -1)
