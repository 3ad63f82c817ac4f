"""The 3-layer cube as a published permutation group, and what its turns do, worked out without sitegen.

Facets and turns: "Analyzing Rubik's Cube with GAP" (M. Schönert), facets 1-48, each face's rows left to
right, centres left out. Where each facet is was read off the unfolded cube by hand; so was the
order, clockwise and seen from outside, in which a corner's faces follow one another.
"""

from __future__ import annotations

from math import lcm

FACES = {
    "top": "UBL UB UBR UL UR UFL UF UFR",
    "left": "LUB LU LUF LB LF LDB LD LDF",
    "front": "FUL FU FUR FL FR FDL FD FDR",
    "right": "RUF RU RUB RF RB RDF RD RDB",
    "rear": "BUR BU BUL BR BL BDR BD BDL",
    "bottom": "DFL DF DFR DL DR DBL DB DBR",
}
NAMES = " ".join(FACES.values()).split()
"""Facet 1 comes first."""

TURNS = {
    "U": "(1,3,8,6)(2,5,7,4)(9,33,25,17)(10,34,26,18)(11,35,27,19)",
    "L": "(9,11,16,14)(10,13,15,12)(1,17,41,40)(4,20,44,37)(6,22,46,35)",
    "F": "(17,19,24,22)(18,21,23,20)(6,25,43,16)(7,28,42,13)(8,30,41,11)",
    "R": "(25,27,32,30)(26,29,31,28)(3,38,43,19)(5,36,45,21)(8,33,48,24)",
    "B": "(33,35,40,38)(34,37,39,36)(3,9,46,32)(2,12,47,29)(1,14,48,27)",
    "D": "(41,43,48,46)(42,45,47,44)(14,22,30,38)(15,23,31,39)(16,24,32,40)",
}

CLOCKWISE = ("URF", "UFL", "ULB", "UBR", "DFR", "DLF", "DBL", "DRB")
"""The faces of each corner, clockwise seen from outside."""

EDGES = ("UF", "UL", "UR", "UB", "DF", "DL", "DR", "DB", "FL", "FR", "BL", "BR")


def key(name: str) -> str:
    """One way to write a facet: its own face, then the others in alphabetical order."""
    return name[0] + "".join(sorted(name[1:]))


def place(name: str) -> frozenset[str]:
    return frozenset(name)


def _once(letter: str) -> dict[str, str]:
    goes = {key(name): key(name) for name in NAMES}
    for cycle in TURNS[letter].strip("()").split(")("):
        facets = [key(NAMES[int(number) - 1]) for number in cycle.split(",")]
        goes.update(zip(facets, [*facets[1:], facets[0]], strict=True))
    return goes


ONCE = {letter: _once(letter) for letter in TURNS}


def facets(text: str) -> dict[str, str]:
    """Where the facets go by face turns such as `R U2 D'`."""
    goes = {key(name): key(name) for name in NAMES}
    for turn in text.split():
        for _ in range({"": 1, "2": 2, "'": 3}[turn[1:]]):
            goes = {start: ONCE[turn[0]][end] for start, end in goes.items()}
    return goes


def changed(text: str) -> set[frozenset[str]]:
    return {place(start) for start, end in facets(text).items() if start != end}


def flips(text: str) -> set[frozenset[str]]:
    goes = facets(text)
    return {place(edge) for edge in EDGES if goes[key(edge)] == key(edge[::-1])}


def twists(text: str) -> dict[frozenset[str], str]:
    goes, found = facets(text), {}
    for a, b, c in CLOCKWISE:
        end = goes[key(a + b + c)]
        if place(end) == {a, b, c} and end[0] != a:
            found[place(a + b + c)] = "clockwise" if end[0] == b else "anticlockwise"
    return found


def order(text: str) -> int:
    goes, lengths = facets(text), set()
    for start in goes:
        count, at = 1, goes[start]
        while at != start:
            count, at = count + 1, goes[at]
        lengths.add(count)
    return lcm(*lengths)


def parity(text: str, size: int) -> str:
    """Of the places of corners (size 3) or edges (2): the number of pairs that change order, odd or even."""
    places = sorted({place(name) for name in NAMES if len(name) == size}, key=sorted)
    goes = {place(start): place(end) for start, end in facets(text).items()}
    images = [places.index(goes[p]) for p in places]
    pairs = sum(a > b for i, a in enumerate(images) for b in images[i + 1 :])
    return "odd" if pairs % 2 else "even"
