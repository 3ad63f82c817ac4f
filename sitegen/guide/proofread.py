"""What is wrong with a guide as a whole: links, sheets, clashing files; and what only follows."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import PurePosixPath
from unicodedata import normalize

from markdown_it.common.normalize_url import validateLink

from sitegen.blocks.block import UnknownBlock
from sitegen.blocks.kinds import ASKING, KINDS, anchors
from sitegen.blocks.method.method import Method, UnknownMethod
from sitegen.blocks.moves.sequence import Sequence as MoveSequence
from sitegen.blocks.position_block import Position
from sitegen.figures.views import all_round, in_sight
from sitegen.guide.guide import EMBED, FILES, MADE, Guide
from sitegen.guide.inline import reads_as_moves
from sitegen.guide.links import UnknownPage, address_of, broken_links, value_place
from sitegen.guide.printed import ANSWERS, OUTPUT, printed
from sitegen.guide.selection import cards, case_sheets
from sitegen.guide.tags import TAG_FOLDER
from sitegen.moves.references import UnknownSequence
from sitegen.pages.footnotes import places
from sitegen.pages.literal import ESCAPED, SUSPECTED, doubted_signs, literal_problems
from sitegen.pages.markdown import EXAMPLE, fences, html_shown, may_show_html, stretch_of
from sitegen.pages.misread import Underlined
from sitegen.pages.page import EXERCISES, HANDOUT, OF_THE_FRAME, PAGE, Page, StraySettings
from sitegen.pages.unread import OpenFence, Swallowed, unbalanced_problems
from sitegen.problems import Findings, Note, Passage, Problem, Source

KEPT = ("sequences", "methods", "effects", "isolating", TAG_FOLDER, FILES)
"""Folders that the site keeps to itself."""

FENCE = "```"
"""What blocks begin and end with."""
OF_BLOCKS = re.compile(r"(?m)^(?:moves|claims|steps|stages):(?!\S)")
"""A line that hardly anything has but a block."""


def clashes(guide: Guide) -> Iterator[Problem]:
    """Pages and files that would be published where something else goes, also where case is ignored."""
    paths = [(f"{page.name}.md", path) for page in guide.pages for path in published(page, guide)]
    paths += [(name, name) for name in guide.files]
    kept = (*KEPT, EMBED) if guide.config.embed else KEPT
    yield from _clashes(paths, dict.fromkeys((*MADE, *kept), "a part of the site itself"), "published")
    kept_back = [
        (f"{page.name}.md", sheet.path)
        for page in guide.pages
        for sheet in printed(page, guide)
        if sheet.folder == ANSWERS
    ]
    yield from _clashes(kept_back, {}, "printed")


def _clashes(paths: list[tuple[str, str]], owners: dict[str, str], done: str) -> Iterator[Problem]:
    """A problem for each file that goes where something else does; `owners` says what is there already.

    On some systems two names are one if they differ in capitals only, or in how an ü is composed.
    """
    written = {path.casefold(): path for path in owners}
    for name, path in paths:
        lower = normalize("NFC", path).casefold()
        above = [lower, *(parent.as_posix() for parent in PurePosixPath(lower).parents)]
        taken = next((place for place in above if place in owners), "")
        if taken:
            place = Source(f"content/{name}", "").passage()
            message = f"{owners[taken]} is {done} as {path} too"
            if not path.startswith(written[taken]):
                other = f"{owners[taken]} is {done} as {written[taken]}"
                capitals = path.casefold().startswith(written[taken].casefold())
                how = "in capitals" if capitals else "in how letters are composed"
                message = f"{other}, which differs from {path} {how} only: on some systems they are one"
            yield Problem(message, place, "choose another name")
        owners[lower] = f"content/{name}"
        written[lower] = path


def published(page: Page, guide: Guide) -> list[str]:
    """What a page is published as: itself, its answers if they are to be, and what is printed of these."""
    pages = [page.url, page.answers_url] if guide.asking(page) and page.answers else [page.url]
    return [*pages, *(sheet.path for sheet in printed(page, guide) if sheet.folder == OUTPUT)]


def sheet_problems(guide: Guide) -> Iterator[Problem]:
    """Sheets with nothing on them, answers to nothing, and what sheets name that there is not."""
    findings = Findings()
    for page in guide.read:
        cards(page, guide, findings)
        case_sheets(page, guide, findings)
        findings.problems += _blank(page, guide)
    return iter(findings.problems)


def _blank(page: Page, guide: Guide) -> Iterator[Problem]:
    start = page.prose.passage.part(0, 0)
    block = " or ".join(f"“{kind}”" for kind in ASKING)
    if page.kind == EXERCISES and not guide.asks(page):
        hint = f"write a block {block}, or “kind: {HANDOUT}” at the head"
        yield Problem("there are no exercises on this page", start, hint)
    elif page.answers and not guide.asks(page):
        hint = f"write a block {block}, or take the key away"
        yield Problem("there are no exercises on this page to answer", page.answers, hint)
    if (
        page.kind == HANDOUT
        and page.sheet
        and not (page.prose.tokens or page.sheet.cards or page.sheet.cases)
    ):
        yield Problem("there is nothing on this sheet", start, "write something, or “cards: …” at the head")


def link_problems(guide: Guide) -> Iterator[Problem]:
    """Links and pictures that lead nowhere, and what was meant for a link and is none."""
    for page in guide.read:
        for prose in guide.texts(page):
            yield from broken_links(prose, page.name, guide.targets)
            yield from literal_problems(prose, page.prose.labels)


def setting_problems(guide: Guide) -> Iterator[Problem]:
    """What the settings lead to, for all pages, and is not there."""
    findings, config = Findings(), guide.config
    for link in (*config.links, *filter(None, [config.licence])):
        if link.target and not validateLink(link.target):
            hint = "lead to a page, a file, or an address that begins with https:"
            findings.add(Problem("no page leads to such an address", link.place, hint))
        elif link.target:
            findings.attempt("", address_of, link.target, "index", "", guide.targets, link.place)
    if config.logo and config.logo not in guide.files:
        hint = f"put a picture there, as content/{config.logo}, or take the key away"
        findings.add(Problem(f"the guide has no file {config.logo}", config.places["logo"], hint))
    return iter(findings.problems)


def id_problems(guide: Guide) -> Iterator[Problem]:
    """Things in HTML that are called as another on their page is, so that a link could mean either."""
    for page in guide.read:
        named = [block.name for block in guide.blocks[page.name] if block.name]
        taken = {*OF_THE_FRAME, *places(page.prose.tokens), *(heading.anchor for heading in page.headings)}
        taken = taken.union(*map(anchors, named))
        for token in page.prose.tokens:
            wanted = token.meta.get("anchor")
            if wanted and wanted != token.attrGet("id"):
                place = stretch_of(page.prose, token).stripped()
                yield Problem(f"#{wanted} stands on this page already", place, "choose another name behind #")
        for name, passage in guide.ids[page.name]:
            if name in taken:
                place = value_place(name, passage)
                yield Problem(f"#{name} stands on this page already", place, "choose another id")
            taken.add(name)


def sign_notes(guide: Guide) -> Iterator[Note]:
    """Signs that may be meant for something, and are shown to the reader: a note for all of a kind."""
    every = (found for page in guide.read for prose in guide.texts(page) for found in doubted_signs(prose))
    places: dict[str, list[Passage]] = {}
    for kind, place in every:
        places.setdefault(kind, []).append(place)
    for kind, shown in places.items():
        message, hint = SUSPECTED[kind]
        yield _note(f"{message}: this is {ESCAPED}", shown, hint)


def empty_notes(guide: Guide) -> Iterator[Note]:
    """Pages that say nothing below their title. Sheets for paper with nothing on them are problems."""
    empty = [page for page in guide.read if page.kind == PAGE and not page.prose.tokens]
    if empty:
        hint = "write something there, or “draft: yes” at its head until then"
        yield _note("there is nothing on this page", [page.prose.passage.part(0, 0) for page in empty], hint)


def draft_notes(guide: Guide) -> Iterator[Note]:
    """How many pages are left out since they are drafts."""
    if places := [page.draft for page in guide.left_out if page.draft]:
        yield _note("this page is a draft and not published", places, "turnfolio publish --draft shows it")


def _note(message: str, shown: list[Passage], hint: str) -> Note:
    """Of all the places where something is, the first one, and how many others there are."""
    others = len(shown) - 1
    where = f", here and in {others} more place{'s' * (others > 1)}" if others else ""
    return Note(f"{message}{where}", shown, hint)


def feed_notes(guide: Guide) -> Iterator[Note]:
    """Dates from which no feed is made, since RFC 4287 wants an author of each."""
    address = guide.config.places.get("address")
    if address and any(page.date for page in guide.read) and not guide.config.author:
        hint = "write “author: …” in guide.yaml to have one"
        yield _note("pages have dates, and there is no feed of them without an author", [address], hint)


def tag_notes(guide: Guide) -> Iterator[Note]:
    """Tags that readers would take for one, and that are two."""
    places: dict[str, dict[str, Passage]] = {}
    for page in guide.read:
        fields = (block.parsed.fields for block in guide.blocks[page.name] if block.parsed)
        settings = (page.tagged, *(each["tags"].passage for each in fields if "tags" in each))
        for written in filter(None, settings):
            for tag in guide.tags_on(page):
                if found := re.search(rf"(?<!\w){re.escape(tag)}(?!\w)", written.text):
                    places.setdefault(tag.casefold(), {}).setdefault(tag, written.part(*found.span()))
    for alike in (found for found in places.values() if len(found) > 1):
        (first, there), (second, place), *_ = alike.items()
        message = f"“{first}” and “{second}” are two tags, which differ in capitals only"
        hint = f"write both one way: the other stands in {there.source.name}:{there.line}"
        yield Note(message, [place, there], hint)


def fence_notes(guide: Guide) -> Iterator[Note]:
    """Code of no kind that reads as moves or as a block; a longer fence says that it is only to be shown."""
    for page in guide.read:
        blocks = {block.fence.info.start for block in guide.blocks[page.name]}
        for fence in fences(page.prose):
            is_block = fence.info.start in blocks or fence.words[:1] == (EXAMPLE,)
            if is_block or len(fence.token.markup) > len(FENCE):
                continue
            text = fence.body.text
            if OF_BLOCKS.search(text) or (not fence.words and reads_as_moves(text.strip(), page.puzzle)):
                hint = "begin it with ```moves and a name, or with four backticks if it is only to be shown"
                place = fence.info if fence.words else fence.body.stripped()
                message = "this reads as a block, and is shown as code that is not checked"
                yield _note(message, [place], hint)


def view_notes(guide: Guide) -> Iterator[Note]:
    """Views that an author has chosen for a figure of which they show nothing."""
    for block in (block for page in guide.read for block in guide.blocks[page.name]):
        if isinstance(block.checked, MoveSequence | Position) and "view" in block.parsed.fields:
            moved = block.checked.effect.seen
            slots = {slot for pair in enumerate(moved) if pair[0] != pair[1] for slot in pair}
            if slots and slots.isdisjoint(in_sight(block.head.puzzle, block.checked.shown.views)):
                place = block.parsed.fields["view"].passage
                hint = f"write “view: {all_round(block.head.puzzle)}”, or none to have it chosen"
                what = "is not home" if isinstance(block.checked, Position) else "changes"
                yield _note(f"this view shows nothing of what {what}", [place], hint)


def html_problems(guide: Guide) -> Iterator[Problem]:
    """HTML that is let through and does not end where it should."""
    for page in guide.read if guide.config.html else ():
        for prose in guide.texts(page):
            yield from unbalanced_problems(prose)


def html_notes(guide: Guide) -> Iterator[Note]:
    """What may not be meant: HTML that is shown to the reader as it was written."""
    shown = [] if guide.config.html else [place for page in guide.read for place in _html_on(page, guide)]
    if shown:
        hint = "write “html: yes” in guide.yaml to let it through, or \\< for a < that is to be seen"
        yield _note(f"HTML is {ESCAPED}", shown, hint)


def _html_on(page: Page, guide: Guide) -> Iterator[Passage]:
    """Where a page shows HTML. Its text was made from what has the heading in it."""
    own = (page.heading, page.prose)
    within = (prose for prose in guide.texts(page) if not any(prose is each for each in own))
    if any(map(may_show_html, filter(None, own))):
        yield from html_shown(page.prose)
    for prose in filter(may_show_html, within):
        yield from html_shown(prose)


def _within(passage: Passage, others: Iterable[Passage]) -> bool:
    """Whether it begins in a line of one of some others: what is set in has a source of its own."""
    return any(
        other.source.name == passage.source.name
        and other.line <= passage.line <= other.line + other.text.rstrip("\n").count("\n")
        for other in others
    )


def roots(found: Sequence[Problem], guide: Guide) -> list[Problem]:
    """The problems, each once, without those that only follow from a block's having one of its own.

    While a page cannot be read, nobody knows whether a sequence or a method stands on it.
    """
    every = [block for blocks in guide.blocks.values() for block in blocks]
    blocks = {block.defines or ("" if block.parsed else block.name): block for block in every}
    others = {block.name: block for block in every if block.name}
    failed = {block.name for block in every if KINDS[block.kind].gives is Method and block.checked is None}
    broken = {block.name for block in every if block.name and block.checked is None}
    headless = {problem.passage.source.name for problem in found if isinstance(problem, StraySettings)}
    left_open = [problem.inside for problem in found if isinstance(problem, OpenFence)]
    kept = []
    for problem in {(problem.headline(), problem.hint): problem for problem in found}.values():
        if isinstance(problem, Underlined) and problem.passage.source.name in headless:
            continue
        if not isinstance(problem, OpenFence | Swallowed) and _within(problem.passage, left_open):
            continue
        if isinstance(problem, UnknownPage) and problem.name in guide.unread:
            continue
        if isinstance(problem, UnknownSequence | UnknownBlock) and guide.unread:
            continue
        if isinstance(problem, UnknownBlock) and problem.name in broken:
            continue
        if isinstance(problem, UnknownMethod) and (problem.name in failed or (failed and not problem.name)):
            continue
        named = blocks.get(problem.name) if isinstance(problem, UnknownSequence) else None
        if named and named.checked is None:
            continue
        if named:
            puzzle = named.head.puzzle.name
            problem.hint = f"it is a sequence of {puzzle}; moves refer to those of their own puzzle"
        elif isinstance(problem, UnknownSequence | UnknownBlock) and problem.name in guide.on_drafts:
            draft = guide.on_drafts[problem.name]
            problem.hint = f"it stands on {draft}.md, which is a draft: take “draft” away there"
        elif isinstance(problem, UnknownSequence) and (other := others.get(problem.name)):
            meant = other.defines or "a sequence"
            problem.hint = f"{problem.name} is a {other.kind}: name {meant} in its place"
        kept.append(problem)
    return kept
