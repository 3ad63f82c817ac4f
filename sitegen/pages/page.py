"""A page as it was written: front matter, Markdown, headings, and the blocks that stand in it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from itertools import count, islice, takewhile
from pathlib import PurePosixPath
from typing import Any

from sitegen.names import in_words
from sitegen.pages.config import BELOW_BLOCKS, BLOCK_KEYS, CHOICES, FIGURE_NUMBERS, Config, for_blocks
from sitegen.pages.config import KEYS as OF_GUIDE
from sitegen.pages.definition_lists import TERM
from sitegen.pages.footnotes import places
from sitegen.pages.markdown import Prose, page_prose, plain_text, slug, stretch_of
from sitegen.pages.sheet import SHEET_READERS, Sheet, sheet_of
from sitegen.problems import Findings, Passage, Problem, Problems, Source, shortened
from sitegen.puzzles.puzzle import Puzzle
from sitegen.settings import OneOf, Setting, doubted, read_settings
from sitegen.yaml_nodes import COMMENT

PAGE, HANDOUT, EXERCISES = "page", "handout", "exercises"
PUBLISHED = "published"
"""What may be said of the answers to a page's exercises."""
KINDS = (PAGE, HANDOUT, EXERCISES)


def _date(setting: Setting) -> str:
    """A day of the calendar, as ISO 8601 writes it.    Raises Problem."""
    text = setting.as_text()
    try:
        if re.fullmatch(r"\d{4}-\d\d-\d\d", text, re.ASCII) and date.fromisoformat(text):
            return text
    except ValueError:
        pass
    raise setting.problem(
        f"“{shortened(text)}” is no day", f"write year, month and day: {setting.key.text}: 2026-05-31"
    )


READERS: Mapping[str, Callable[[Setting], Any]] = {
    "title": Setting.as_plain,
    "summary": Setting.as_plain,
    "kind": OneOf(KINDS),
    "tags": Setting.as_texts,
    "date": _date,
    "updated": _date,
    "answers": OneOf((PUBLISHED,)),
    "draft": Setting.as_yes,
    "workings": Setting.as_yes,
    FIGURE_NUMBERS: Setting.as_yes,
    "blocks": for_blocks,
    **SHEET_READERS,
}
"""The keys at the head of a page, and how their values are read."""
KEYS = ("puzzle", *READERS)
ELSEWHERE = {BELOW_BLOCKS: BLOCK_KEYS, "write it in guide.yaml": OF_GUIDE}
SIGNS = re.compile(r"[-–—+=~*_;]+|\{")
"""What may be meant for the line of three hyphens at the head."""
FIRST_LINES = re.compile(r"[^\n\x85\u2028\u2029]*[^\s\ufeff][^\n\x85\u2028\u2029]*")
"""Lines that are not empty, whatever ends them."""
FRONT = re.compile(r"\A---[ \t]*\n(?P<yaml>.*?)^---[ \t]*(?:\n|\Z)", re.DOTALL | re.MULTILINE)

SECOND = re.compile(
    r"(?:[ \t]*+\n)*+(?:---[ \t]*+\n(?:[ \t]*+\n)*+)?(?P<first>[ \t]*+\S[^\n]*+)\n"
    r"(?:(?!---[ \t]*$)[ \t]*+\S[^\n]*+\n)*+---[ \t]*+(?:\n|\Z)",
    re.MULTILINE,
)
"""A second head below the first, or the rest of it below a line of hyphens too many."""


OF_TERMS = 7
"""The level of a term among headings."""


@dataclass(frozen=True)
class Heading:
    """A heading below the title, or a term in a list of them: its level, its anchor, and what it says.

    Headings have the levels from 2 to 6, terms the one below these.
    """

    level: int
    anchor: str
    text: str


@dataclass(frozen=True, eq=False)
class Page:
    """`name` is the file's path below content/, without its ending."""

    name: str
    title: str
    """Empty until it is known what links in its heading are called."""
    heading: Prose | None
    """The heading that is the title, where the title is not a setting."""
    summary: str
    tags: tuple[str, ...]
    kind: str
    sheet: Sheet | None
    """How it is printed, if it is made for paper."""
    puzzle: Puzzle
    prose: Prose
    headings: tuple[Heading, ...] = field(default=())
    answers: Passage | None = None
    """Where it is said that the answers to its exercises are published, if it is."""
    tagged: Passage | None = None
    """Where its tags are written, if it has any."""
    draft: Passage | None = None
    """Where it is said that it is not to be published yet, if it is."""
    workings: bool = False
    """Whether readers see what is written for authors."""
    figure_numbers: bool = False
    """Whether its blocks with a caption are numbered."""
    blocks: Mapping[str, Setting] = field(default_factory=dict)
    """What its blocks say that do not say otherwise, by key."""
    date: str = ""
    """The day on which it was published first, as its author says; empty where nothing is said."""
    updated: str = ""
    """And that on which it was changed last."""

    @property
    def changed(self) -> str:
        """The later of its days; empty for a page without any."""
        return max(self.date, self.updated)

    @cached_property
    def url(self) -> str:
        """The path of the published page below output/."""
        return f"{self.name}.html"

    @property
    def answers_url(self) -> str:
        """The path of the answers to its exercises, if it has any and they are published."""
        return f"{self.name}-answers.html"

    @property
    def folder(self) -> str:
        """The folder of its file below content/; `.` where it is content/ itself."""
        return str(PurePosixPath(self.name).parent)


def read_page(name: str, source: Source, config: Config, findings: Findings) -> Page:
    """The page in a file. What is wrong at its head goes to the findings; the rest is read all the same.

    Raises Problem or Problems, which may be none beside the findings, where nobody knows what its moves turn.
    """
    front = FRONT.match(source.text)
    settings: dict[str, Setting] = {}
    told = Findings()
    unknown: set[str] = set()
    if front:
        head_passage = source.passage(*front.span("yaml"))
        settings = told.attempt({}, read_settings, head_passage, KEYS, told, ELSEWHERE)
        findings.problems += told.problems
        unknown = doubted(told, KEYS)
        if told.problems and not settings:
            unknown |= {*re.findall(r"\w+", head_passage.text)}
    head = {key: findings.attempt(None, READERS[key], settings[key]) for key in settings if key in READERS}
    missed = _second_head(source, front.end()) if front else _missed(source)
    if missed:
        findings.add(missed)
    begun, updated = head.get("date") or "", head.get("updated") or ""
    if "" < updated < begun:
        hint = "a page is changed on the day on which it is published first, or later"
        findings.add(settings["updated"].problem("updated is a day before date", hint))
    kind = head.get("kind", PAGE)
    if kind == PAGE:
        findings.problems += [_not_for_paper(settings[key]) for key in SHEET_READERS if key in settings]
    prose = page_prose(source.passage(front.end() if front else 0), config.html)
    if not missed:
        findings.problems += _underlined_settings(prose)
    heading = _heading(prose, head.get("title"))
    return Page(
        name=name,
        title="" if heading else head.get("title") or _from_name(name),
        heading=heading,
        summary=head.get("summary") or "",
        tags=head.get("tags") or (),
        kind=kind or PAGE,
        sheet=sheet_of(head, config.paper) if kind in (HANDOUT, EXERCISES) else None,
        puzzle=_puzzle(settings.get("puzzle"), "puzzle" in unknown, config),
        prose=prose,
        answers=settings["answers"].key if head.get("answers") else None,
        workings=config.workings if head.get("workings") is None else head["workings"],
        figure_numbers=config.figure_numbers if head.get(FIGURE_NUMBERS) is None else head[FIGURE_NUMBERS],
        blocks=head.get("blocks") or {},
        date=begun,
        updated=updated,
        tagged=settings["tags"].passage if head.get("tags") else None,
        draft=settings["draft"].key if head.get("draft") else None,
    )


def _puzzle(named: Setting | None, is_doubted: bool, config: Config) -> Puzzle:
    """The puzzle that a page names, or else the guide's.

    Raises Problem or Problems; none where it was told before why nobody knows it.
    """
    name = CHOICES["puzzle"](named, config.puzzles) if named else config.puzzle
    if is_doubted or not name:
        raise Problems(())
    return config.puzzles.puzzle(name)


class StraySettings(Problem):
    """Settings that stand where none are read, and would be shown as text."""


def _missed(source: Source) -> Problem | None:
    """What is wrong where settings seem to stand at the head, and would be shown as text."""
    begin = islice(FIRST_LINES.finditer(source.text), len(KEYS))
    first_lines = [source.passage(*found.span()).stripped() for found in begin]
    lines = [line for line in first_lines if not COMMENT.match(line.text)]
    signs = bool(lines) and bool(SIGNS.fullmatch(lines[0].text.strip("\ufeff")))
    meant = list(takewhile(_is_setting, lines[signs:]))
    if not meant or not (
        signs or len(meant) > 1 or (first_lines[0] is meant[0] and _is_just_setting(meant[0]))
    ):
        return None
    if source.text.startswith("---\n"):
        hint = "put a line of three hyphens behind the settings"
        return StraySettings("the settings at the head are not closed", lines[0], hint)
    hint = "begin the file with a line of three hyphens, and put another behind the settings"
    return StraySettings("settings seem to be meant here, and are not read", lines[0], hint)


def _second_head(source: Source, at: int) -> Problem | None:
    """What is wrong where settings stand right below the head, between lines of hyphens or above one."""
    found = SECOND.match(source.text, at)
    if not found or not _is_setting(source.passage(*found.span("first"))):
        return None
    return _below_head(source.passage(*found.span("first")).stripped())


def _underlined_settings(prose: Prose) -> Iterator[Problem]:
    """What is wrong with settings farther down, which the line of hyphens below them makes a heading."""
    for token in prose.tokens:
        line = stretch_of(prose, token) if token.type == "heading_open" and token.markup == "-" else None
        if line and re.match(r"[\w ]+:\s", line.text) and _is_setting(line):
            yield _below_head(line.part(0, len(line.text.partition("\n")[0])).stripped())


def _below_head(settings: Passage) -> Problem:
    hint = "put them between the lines of hyphens at the head, and take the other lines of hyphens away"
    return StraySettings("these settings stand below the head, and would be shown as text", settings, hint)


def _is_setting(line: Passage) -> bool:
    return re.split("[:=]", line.text)[0].strip("\ufeff \t\"'").lower() in KEYS


def _is_just_setting(line: Passage) -> bool:
    """Whether a line that may be a setting can hardly be a sentence: its key is written as keys are."""
    key, colon, rest = line.text.strip("\ufeff").partition(":")
    return key in KEYS and bool(colon) and rest[:1] in ("", " ")


def _not_for_paper(setting: Setting) -> Problem:
    key = setting.key.text
    hint = f"write “kind: {HANDOUT}” or “kind: {EXERCISES}”, or take {key} away"
    return Problem(f"“{key}” is for pages that are made for paper", setting.key, hint)


def _heading(prose: Prose, title: str | None) -> Prose | None:
    """The first heading, if the page begins with one that says something; it is then not set again below.

    Where the head has a title too, it says the same.
    """
    tokens = prose.tokens
    if not (tokens and tokens[0].type == "heading_open" and tokens[0].tag == "h1" and plain_text(tokens[1])):
        return None
    if title and plain_text(tokens[1]) != title:
        return None
    inline = tokens[1]
    del tokens[:3]
    return Prose(prose.passage, [inline])


def _from_name(name: str) -> str:
    return in_words(PurePosixPath(name).name)


def _lower(prose: Prose) -> None:
    """One level down for each heading: the title of the page is the only one of the first."""
    for token in prose.tokens:
        if token.type in ("heading_open", "heading_close"):
            token.tag = f"h{min(int(token.tag[1:]) + 1, 6)}"


OF_THE_FRAME = frozenset(["main", "contents"])
"""What can be linked to on every page, beside what is written on it."""


def headings(prose: Prose, taken: Iterable[str], title: Callable[[str], str]) -> Iterator[Heading]:
    """Gives headings and terms anchors of their own, none of those taken, and puts headings below the title.

    `title` is what a link to a target is called that has no text of its own. To be asked once of a page.
    """
    taken = {*OF_THE_FRAME, *places(prose.tokens), *taken}
    if any(token.tag == "h1" for token in prose.tokens):
        _lower(prose)
    pairs = [*zip(prose.tokens, prose.tokens[1:], strict=False)]
    of_headings = [pair for pair in pairs if pair[0].type == "heading_open"]
    # Terms come last, so that none takes from a heading the anchor that links lead to.
    found = [
        (opening, plain_text(inline, title))
        for opening, inline in (*of_headings, *(pair for pair in pairs if pair[0].type == TERM))
    ]
    bases = [str(opening.meta.get("anchor") or slug(text)) for opening, text in found]
    # Nor does one with a number from a heading that is called so.
    free = {*bases} - taken
    taken |= free
    for (opening, text), base in zip(found, bases, strict=True):
        numbered = (f"{base}-{n}" for n in count(2))
        anchor = base if base in free else next(name for name in numbered if name not in taken)
        free.discard(base)
        taken.add(anchor)
        opening.attrSet("id", anchor)
        yield Heading(OF_TERMS if opening.type == TERM else int(opening.tag[1:]), anchor, text)
