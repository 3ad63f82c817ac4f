"""What readers search through, in files that a page loads when they are first asked for, each a script.

What is typed is looked up in a few files of many:
words by where they stand in the order of all, what is found by its number, moves by what they do.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from importlib.resources import files
from typing import Any
from urllib.parse import quote

from sitegen.blocks.moves.sequence import Sequence as MoveSequence
from sitegen.effects.claims import VERBS
from sitegen.effects.family import PRIME, digests
from sitegen.guide.guide import Guide
from sitegen.moves.notation import letters
from sitegen.moves.spoken import spoken_moves, without_links
from sitegen.pages.page import OF_TERMS
from sitegen.puzzles.puzzle import Puzzle
from sitegen.site.index_terms import ALSO, JOINTS, LIMITS, NUMBERS, kinds_of, plain_words, terms_of
from sitegen.site.script_files import as_script
from sitegen.site.turning_files import written_turns

FINDER = "search.js"
FOLDER = "search"
"""Where the files are, beside the script."""
INDEX = "what is searched through"
"""What all of it is called among the parts of the site."""
PAGE, TITLED, HEADING, TERM, TAG, SEQUENCE = "Page", "Part", "Heading", "Term", "Tag", "Sequence"
IN_PLACE = {"derive": "derivation", "example": "worked example", "find": "sequences found"}
"""What readers call a block that links lead to by another word."""
AT_ONCE = 100
"""So many that may be found are in one file."""
LONGEST = 16_000
"""A file of words has about so many characters at most, if none of its words is in too many places."""
FAMILIES = 250
"""About so many sequences are in one file of moves."""


@dataclass(frozen=True)
class Findable:
    """Something that is found: what a reader sees of it, and by which terms."""

    kind: str
    """What it is, as readers see it."""
    title: str
    url: str
    called: frozenset[str]
    """The terms of what it is called."""
    beside: frozenset[str] = frozenset()
    """All others."""
    about: str = ""
    """Where a heading or a block is; of which puzzle a sequence is where there are several."""
    moves: str = ""
    spoken: str = ""

    @property
    def shown(self) -> list[str]:
        """What is seen of it, without what is empty at the end."""
        told = [self.kind, self.title, self.url, self.about, self.moves, self.spoken]
        while not told[-1]:
            told.pop()
        return told


def finder() -> bytes:
    """The script that searches."""
    return files("sitegen.site").joinpath("scripts", FINDER).read_bytes()


def index_files(guide: Guide) -> dict[str, str]:
    """All files by their paths below the folder of what pages load."""
    sequences = [*guide.sequences.values()]
    found = [*_pages(guide), *_parts(guide), *_headings(guide), *_blocks(guide), *_tags(guide)]
    first = len(found)
    found += (_sequence(each, len(guide.puzzles) > 1) for each in sequences)
    words = [*_in_runs(_postings(found))]
    by_puzzle = _by_puzzle(sequences, first)
    head = {
        "words": [run[0][0] for run in words],
        "at once": AT_ONCE,
        "puzzles": {
            name: {"files": len(parts), "signs": _signs(guide.scopes[name].puzzle)}
            for name, parts in by_puzzle.items()
        },
        "prime": PRIME,
        "kinds": {form: name for each in sequences for form, name in kinds_of(each.puzzle).items()},
        "verbs": {**ALSO, **{verb: verb for verb in VERBS}},
        "numbers": NUMBERS,
        "joints": JOINTS,
        "limits": LIMITS,
    }
    parts: dict[str, Any] = {"head": head}
    parts |= {f"words/{number}": dict(run) for number, run in enumerate(words)}
    for number, start in enumerate(range(0, len(found), AT_ONCE)):
        parts[f"found/{number}"] = [each.shown for each in found[start : start + AT_ONCE]]
    for name, by_family in by_puzzle.items():
        parts |= {f"moves/{name}/{number}": part for number, part in enumerate(by_family)}
    return {f"{FOLDER}/{path}.js": as_script(part) for path, part in parts.items()}


def _terms(*texts: str) -> frozenset[str]:
    return frozenset(word for text in texts for word in plain_words(text))


def _pages(guide: Guide) -> Iterator[Findable]:
    for page in guide.pages:
        beside = _terms(page.summary, *page.tags)
        yield Findable(PAGE, page.title, quote(page.url), _terms(page.title), beside)


def _parts(guide: Guide) -> Iterator[Findable]:
    """The parts of its contents, each where it begins."""
    for part in guide.contents.parts:
        if part.title:
            yield Findable(TITLED, part.title, quote(part.first.url), _terms(part.title))


def _headings(guide: Guide) -> Iterator[Findable]:
    for page in guide.pages:
        for heading in page.headings:
            url = f"{quote(page.url)}#{quote(heading.anchor)}"
            kind = TERM if heading.level == OF_TERMS else HEADING
            yield Findable(kind, heading.text, url, _terms(heading.text), about=f"in {page.title}")


def _blocks(guide: Guide) -> Iterator[Findable]:
    """Blocks that have a name and are no sequences: these are found by more than what they are called."""
    for page in guide.pages:
        for block in (each.checked for each in guide.blocks[page.name]):
            if block and block.name and not block.sequence:
                kind = IN_PLACE.get(block.LINK, block.LINK).capitalize()
                url = quote(block.url) or f"{quote(page.url)}#{quote(block.anchor)}"
                called = _terms(block.title, block.name)
                yield Findable(kind, block.title, url, called, about=f"in {page.title}")


def _tags(guide: Guide) -> Iterator[Findable]:
    for tag, url in guide.tags.items():
        yield Findable(TAG, tag, quote(url), _terms(tag))


def _sequence(sequence: MoveSequence, several: bool) -> Findable:
    puzzle = sequence.puzzle
    return Findable(
        kind=SEQUENCE,
        title=sequence.title,
        url=quote(sequence.url),
        called=_terms(sequence.title, sequence.name),
        beside=_terms(puzzle.name, puzzle.title, *sequence.tags) | terms_of(sequence),
        about=f"({puzzle.title})" if several else "",
        moves=without_links(sequence.moves),
        spoken=without_links(spoken_moves(sequence.moves, puzzle)),
    )


def _postings(found: Iterable[Findable]) -> list[tuple[str, str]]:
    """Each term with the numbers of what is called so, and behind a semicolon of what it is said of."""
    called: dict[str, list[int]] = defaultdict(list)
    beside: dict[str, list[int]] = defaultdict(list)
    for number, each in enumerate(found):
        for term in each.called:
            called[term].append(number)
        for term in each.beside - each.called:
            beside[term].append(number)
    terms = sorted({*called, *beside}, key=lambda term: term.encode("utf-16-be"))  # as browsers compare
    return [(term, f"{_steps(called[term])};{_steps(beside[term])}".rstrip(";")) for term in terms]


def _steps(numbers: Sequence[int]) -> str:
    """Rising numbers, each by how much more it is than the last, to the base of 36."""
    before = [0, *numbers]
    return ",".join(_base_36(number - last) for number, last in zip(numbers, before, strict=False))


def _base_36(number: int) -> str:
    digits = "0123456789abcdefghijklmnopqrstuvwxyz"
    text = digits[number % 36]
    while number := number // 36:
        text = digits[number % 36] + text
    return text


def _in_runs(postings: Iterable[tuple[str, str]]) -> Iterator[list[tuple[str, str]]]:
    """As many as go into a file, one after another."""
    run: list[tuple[str, str]] = []
    size = 0
    for term, places in postings:
        more = len(term) + len(places) + 6
        if run and size + more > LONGEST:
            yield run
            run, size = [], 0
        run.append((term, places))
        size += more
    if run:
        yield run


def _signs(puzzle: Puzzle) -> str:
    """All signs that stand in turns, so that a text with another one is no moves."""
    return "".join(sorted({*"".join((*written_turns(puzzle), *letters(puzzle)))}))


def _by_puzzle(sequences: Sequence[MoveSequence], first: int) -> Mapping[str, list[dict[str, list[str]]]]:
    """For each puzzle its files of moves; `first` is the number by which the first sequence is found.

    Below the digest of a family stand its sequences: the digest with the centres home, the number by which
    each is found, and where the centres are not home the digest of it as it is.
    """
    known: dict[str, list[tuple[int, str]]] = defaultdict(list)
    for number, sequence in enumerate(sequences, first):
        family, home, whole = digests(sequence.effect)
        told = [home, number] if home == whole else [home, number, whole]
        known[sequence.puzzle.name].append((family, ",".join(map(_base_36, told))))
    found: dict[str, list[dict[str, list[str]]]] = {}
    for name, told_of in known.items():
        parts: list[dict[str, list[str]]] = [{} for _ in range(1 + len(told_of) // FAMILIES)]
        for family, text in told_of:
            parts[family % len(parts)].setdefault(_base_36(family), []).append(text)
        found[name] = parts
    return found
