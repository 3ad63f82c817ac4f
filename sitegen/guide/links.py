"""Links in prose: to pages, headings, sequences and files of the guide; checked and resolved."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property, lru_cache, partial
from html import escape
from urllib.parse import SplitResult, quote, unquote, urlsplit

from sitegen.blocks.block import CheckedBlock
from sitegen.blocks.kinds import KINDS
from sitegen.pages import raw_html
from sitegen.pages.files import called_alike
from sitegen.pages.markdown import LEADING, Prose, html_texts, inline_tokens, target_of, target_place
from sitegen.pages.page import Page
from sitegen.problems import Findings, Passage, Problem, meant, nearest

MAIL = re.compile(r"[\w.+-]+@[\w-]+(?:\.[\w-]+)+")
"""What looks like where somebody has mail."""
SITE = re.compile(r"[\w-]+(?:\.[\w-]+)*\.(?:com|org|net|edu|info|(?!js|py|gz|sh)[a-z]{2})(?:/\S*)?")
"""What looks like where something else is published, and hardly like a file."""
WITHOUT_HOST = ("mailto", "tel", "sms", "data", "javascript")
"""The beginnings of addresses that name no computer. All others have // behind them."""


@dataclass(frozen=True)
class Titles:
    """What links say that have no text of their own."""

    linked: Mapping[str, Mapping[str, str]]
    """The titles of what links lead to by name, by the scheme of these."""
    pages: Mapping[str, str]
    figures: Mapping[str, Mapping[str, int]] = field(default_factory=dict)
    """The numbers of figures, by the pages that have any and the places there."""
    places: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    """What headings, terms and blocks say or are called, likewise."""

    def of(self, target: str, page: str) -> str:
        """The title of what a target on a page leads to, what that says, or the number of a figure.

        Empty for what has nothing of these.
        """
        scheme, _, name = target.partition(":")
        if scheme in self.linked:
            there, anchor = self._placed(scheme, name)
            return self._figure(there, anchor, page) or self.linked[scheme].get(name, "")
        try:
            path, anchor = path_of(target, page), unquote(urlsplit(target).fragment)
        except ValueError:  # as for an address with brackets that are not closed
            return ""
        there = path.removesuffix(".md")
        place = self._figure(there or page, anchor, page) or self.places.get(there or page, {}).get(
            anchor, ""
        )
        return place or self.pages.get(there, "")

    def _placed(self, scheme: str, name: str) -> tuple[str, str]:
        """The page and the place to which a name leads, if that is a numbered figure without its own page."""
        gives = next(kind.gives for kind in KINDS.values() if scheme == kind.gives.LINK)
        anchor = "" if gives.page_of(name) else gives.anchor_of(name)
        return self._numbered.get(anchor, ""), anchor

    @cached_property
    def _numbered(self) -> Mapping[str, str]:
        """The page of each numbered figure, by its place there: a block's name is that of no other."""
        return {anchor: page for page, numbers in self.figures.items() for anchor in numbers}

    def _figure(self, there: str, anchor: str, page: str) -> str:
        number = self.figures.get(there, {}).get(anchor)
        if number is None:
            return ""
        return f"Figure {number}" if there == page else f"Figure {number} in {self.pages[there]}"


@dataclass(frozen=True)
class Targets:
    """All that can be linked to. `made` are pages that no file in content/ stands for."""

    titles: Titles
    pages: Mapping[str, Page]
    linked: Mapping[str, Mapping[str, CheckedBlock]]
    """What links lead to by name, by the scheme of these."""
    anchors: Mapping[str, Collection[str]]
    """The places of the blocks that have a name, on each page."""
    files: frozenset[str]
    made: frozenset[str]
    ids: Mapping[str, tuple[str, ...]]
    """What can be linked to in the HTML of each page."""
    drafts: frozenset[str]
    """The names of pages that are not to be published yet: only one of these leads to them."""
    on_drafts: Mapping[str, str]
    """The names that blocks have on those of them that are left out, each with the page."""


class UnknownPage(Problem):
    """A name that no page has which was read."""

    def __init__(self, message: str, name: str, passage: Passage, hint: str) -> None:
        super().__init__(message, passage, hint)
        self.name = name


def relative(url: str, here: str) -> str:
    """The way from one page of the site to another, both given by their paths below output/."""
    return ways_from(here)(url)


def ways_from(here: str) -> Callable[[str], str]:
    """What gives the way from a page of the site to any path there."""
    return partial(_way, here.rpartition("/")[0] or ".")


@lru_cache(maxsize=1 << 16)
def _way(folder: str, url: str) -> str:
    return quote(posixpath.relpath(url, folder))


def broken_links(prose: Prose, page: str, targets: Targets) -> Iterator[Problem]:
    """A problem for each link and image, of a text on a page, that leads nowhere."""
    findings = Findings()
    for target, place in _written(prose):
        findings.attempt("", address_of, target.url, page, "", targets, place)
        if target.loaded:
            findings.attempt(None, _check_loaded, target.url, place)
        if target.picture:
            findings.attempt(None, _check_picture, target.url, place)
    return iter(findings.problems)


def resolved(prose: Prose, page: str, here: str, targets: Targets) -> list[tuple[str, str, str]]:
    """What a text on a page leads to, the address of that from the path `here`, and what it is called.

    Raises Problem where something leads nowhere.
    """
    return [
        (target.url, address_of(target.url, page, here, targets, place), targets.titles.of(target.url, page))
        for target, place in _written(prose)
    ]


def _written(prose: Prose) -> Iterator[tuple[raw_html.Target, Passage]]:
    """What a text leads to, in Markdown and in HTML, each with its place."""
    for token, passage in inline_tokens(prose):
        if token.type in LEADING:
            image = token.type == "image"
            yield raw_html.Target(target_of(token), image, image), target_place(prose, token, passage)
    for html, passage in html_texts(prose):
        at = 0
        for target in raw_html.targets(html):
            place = value_place(target.url, passage, at)
            at = max(at, place.end - passage.start)
            yield target, place


def value_place(value: str, passage: Passage, at: int = 0) -> Passage:
    """Where the value of an attribute stands behind an offset; the first line where that cannot be told."""
    spellings = "|".join(re.escape(text) for text in (escape(value, quote=False), value) if value)
    found = re.compile(rf"(?<=[=\"'\s,])(?:{spellings})").search(passage.text, at) if value else None
    return passage.part(*found.span()) if found else passage.part(0, len(passage.text.split("\n", 1)[0]))


def is_elsewhere(target: str) -> bool:
    """Whether what is loaded with a page would come from elsewhere than the site."""
    try:
        parts = urlsplit(target)
    except ValueError:
        return True
    return bool(parts.netloc or (parts.scheme and parts.scheme != "data"))


def _check_loaded(target: str, passage: Passage) -> None:
    _parts(target, passage)
    if is_elsewhere(target):
        hint = "put the file into content/ and link to it there"
        raise Problem("pages load nothing from elsewhere", passage, hint)


def _check_picture(target: str, passage: Passage) -> None:
    if _parts(target, passage).path.endswith(".md"):
        raise Problem("this is a page and no picture", passage, "a link to a page has no ! before it")


def address_of(target: str, page: str, here: str, targets: Targets, passage: Passage) -> str:
    """The address to publish at the path `here` for a target written on a page.

    Raises Problem where nothing is there.
    """
    if not target:
        raise Problem(
            "this leads nowhere", passage, "write what it leads to, between the round brackets of a link"
        )
    scheme, _, name = target.partition(":")
    if scheme in targets.linked:
        named = _named(scheme, name, page, targets, passage)
        if not named.url:
            return _page(named.page, named.anchor, page, here, targets, passage)
        return relative(named.url, here)
    parts = _parts(target, passage)
    if parts.scheme and not parts.netloc and parts.scheme not in WITHOUT_HOST:
        near = nearest(parts.scheme, targets.linked)
        schemes = " or ".join(f"{scheme}:…" for scheme in targets.linked)
        hint = f"is it {near[0]}:{parts.path}?" if near else f"write a page, a file, {schemes}"
        raise Problem(f"{parts.scheme}: leads nowhere", passage, hint)
    if parts.scheme or parts.netloc:
        return target
    path = path_of(target, page)
    asked = f"?{parts.query}" if parts.query else ""
    if not path or path.endswith(".md"):
        name, anchor = path.removesuffix(".md") or page, unquote(parts.fragment)
        address, *there = _page(name, anchor, page, here, targets, passage).split("#", 1)
        return "#".join([address + asked, *there])
    if path in targets.files or path in targets.made:
        return relative(path, here) + asked + (f"#{parts.fragment}" if parts.fragment else "")
    if pages := _pages_meant(path, targets.pages):
        hint = f"a page is linked to as {' or '.join(_leading(f'{each}.md', page) for each in pages)}"
    elif path.removesuffix("-answers.html") in targets.pages:
        name = path.removesuffix("-answers.html")
        hint = f"answers are published where the head of {name}.md says “answers: published”"
    elif path.startswith("www."):
        hint = f"write https://{target}"
    elif MAIL.fullmatch(target):
        hint = f"write mailto:{target}"
    elif SITE.fullmatch(target):
        hint = f"write https://{target}, or {_near(path, [*targets.files, *targets.made], page)}"
    elif f"{path}/index" in targets.pages:
        hint = f"is it {target.rstrip('/')}/index.md?"
    else:
        hint = _near(path, [*targets.files, *targets.made], page)
    raise Problem(f"the guide has no file {path}", passage, hint)


def _parts(target: str, passage: Passage) -> SplitResult:
    try:
        return urlsplit(target)
    except ValueError:
        raise Problem("this is not an address", passage, "see that its brackets are closed") from None


def path_of(target: str, page: str) -> str:
    """The path below content/ that a target on a page means; empty for the page itself."""
    path = unquote(urlsplit(target).path)
    return posixpath.normpath(posixpath.join(posixpath.dirname(page), path)) if path else ""


def _named(scheme: str, name: str, page: str, targets: Targets, passage: Passage) -> CheckedBlock:
    known = targets.linked[scheme]
    if not name:
        hint = f"write the name of one, as in {scheme}:{next(iter(known), 'lift-edge')}"
        raise Problem(f"nothing is named behind {scheme}:", passage, hint)
    there = known[name].page if name in known else targets.on_drafts.get(name, "")
    _refuse_draft(there, page, targets, passage)
    if name not in known:
        gives = next(kind.gives for kind in KINDS.values() if scheme == kind.gives.LINK)
        raise gives.unknown(name, passage, known)
    return known[name]


def _refuse_draft(name: str, page: str, targets: Targets, passage: Passage) -> None:
    """Raises Problem where a page that is published would lead to a draft."""
    if name in targets.drafts and page not in targets.drafts:
        hint = f"take the link away until then, or “draft” at the head of {name}.md"
        raise Problem(f"{name}.md is a draft, which is not published", passage, hint)


def _page(name: str, anchor: str, page: str, here: str, targets: Targets, passage: Passage) -> str:
    _refuse_draft(name, page, targets, passage)
    if name not in targets.pages:
        hint = _near(f"{name}.md", [f"{known}.md" for known in targets.pages], page)
        raise UnknownPage(f"there is no page {name}.md", name, passage, hint)
    target = targets.pages[name]
    if not anchor:
        return relative(target.url, here)
    anchors = [*(heading.anchor for heading in target.headings), *targets.ids.get(name, ())]
    blocks = targets.anchors.get(name, ())
    if anchor not in anchors and anchor not in blocks:
        message = f"{name}.md has no heading #{anchor}"
        hint = _elsewhere(anchor, page, targets) or _heading(anchor, anchors, blocks)
        raise Problem(message, passage, hint)
    return f"#{anchor}" if name == page and target.url == here else f"{relative(target.url, here)}#{anchor}"


def _pages_meant(path: str, known: Collection[str]) -> list[str]:
    """The pages that may be meant by a path without the ending of their files."""
    name = path.removesuffix(".html")
    if name in known:
        return [name]
    return called_alike(name, known) if name != path else []


def _elsewhere(anchor: str, page: str, targets: Targets) -> str:
    """The way from a page to the one on which there is a block with such a place; empty for none."""
    there = next((name for name, blocks in targets.anchors.items() if anchor in blocks), "")
    return f"that stands on {there}.md: is it {_leading(f'{there}.md', page)}#{anchor}?" if there else ""


def _leading(path: str, page: str) -> str:
    """What leads from a page to a path below content/, as a link there is written."""
    return posixpath.relpath(path, posixpath.dirname(page) or ".")


def _heading(anchor: str, anchors: list[str], blocks: Collection[str]) -> str:
    known = [*anchors, *blocks]
    if not known:
        return "that page has no headings below its title; leave the # out"
    near = nearest(anchor, known)
    return f"is it #{near[0]}?" if near else "places there: " + ", ".join(f"#{name}" for name in known)


def _near(name: str, known: list[str], page: str) -> str:
    """What may be meant by the path of something that is not there, in a link on a page."""
    alike = called_alike(name, known)
    if name.startswith("..") and not alike:
        return "a guide leads to what is in its content/: put the file there"
    name = name.removeprefix("/")
    inside = name.rpartition("content/")[2]
    near = [inside] if inside in known else alike or nearest(name, known, cutoff=0.7)
    there = f"write the way to it from this file's folder, or put a file content/{name} there"
    return meant([_leading(each, page) for each in near]) or there
