"""The files of a guide's content/: pages in reading order, and all that is published as it is."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from sitegen.folders import LINK, NO_FILE, TOO_DEEP, content_of, met_below, met_unsaved, passed_over
from sitegen.pages.config import ALL_SAVED, SETTINGS, Config, Unsaved, read_source
from sitegen.pages.page import Page, read_page
from sitegen.problems import Findings, Passage, Problem, Problems, Source, meant, nearest
from sitegen.settings import Setting

LIKE_PAGES = (".markdown", ".mdown", ".mkd", ".md.txt")
"""Endings under which a page would go unnoticed."""
MOST_ALIKE = 3
"""So many files that are called alike are named, at most."""
INSTEAD = {
    LINK: "put the file itself there",
    NO_FILE: "take it away, or give it a name that begins with a dot",
    TOO_DEEP: "move it into a folder further up",
}
"""What to do about what is no file."""
ELSEWHERE = "or give it another name, if it is to be published as it is"
OF_GUIDE = (
    f"settings are read from content/{SETTINGS} alone",
    f"put what it says there, and remove it; {ELSEWHERE}",
)
OF_THEME = (
    "a theme is read from themes/ alone, beside content/",
    f"move the folder of the theme to themes/, and say its name in {SETTINGS}; {ELSEWHERE}",
)
UNREAD = {SETTINGS: OF_GUIDE, "guide.yml": OF_GUIDE, "theme.yaml": OF_THEME, "theme.yml": OF_THEME}
"""Of files that would be published unread by their names: what is wrong, and what to do."""


def read_pages(
    folder: Path, config: Config, findings: Findings, unsaved: Unsaved = ALL_SAVED
) -> tuple[tuple[Page, ...], frozenset[str]]:
    """The pages in reading order, and the names of those that cannot be read; the findings say why."""
    pages = {}
    unread = set()
    files = dict(files_below(folder, "content", findings)) | _new(folder, unsaved, findings)
    for name, path in sorted(files.items()):
        if path.suffix == ".md":
            name = name.removesuffix(".md")
            if page := findings.attempt(None, page_called, folder, name, config, findings, unsaved):
                pages[name] = page
            else:
                unread.add(name)
        elif ending := _like_page(name):
            hint = f"call it {name[: -len(ending)]}.md"
            findings.add(Problem("a page's file name ends in .md", _nowhere(name), hint))
        elif path.name.lower() in UNREAD and not _says_how(name):
            message, hint = UNREAD[path.name.lower()]
            findings.add(Problem(message, _nowhere(name), hint))
    return _ordered(pages, unread, config, findings), frozenset(unread)


def _new(folder: Path, unsaved: Unsaved, findings: Findings) -> dict[str, Path]:
    """The files of content/ that were never saved."""
    paths = {name.removeprefix("content/"): folder / name for name in unsaved if name.startswith("content/")}
    new = {name: path for name, path in paths.items() if not path.exists() and not passed_over(name)}
    met = {name: met_unsaved(name) for name in new}
    there = {problem.passage.source.name for problem in findings.problems}
    for below, wrong in dict.fromkeys(met.values()):
        if wrong and f"content/{below}" not in there:
            findings.add(Problem(wrong, _nowhere(below), _what_to_do(wrong)))
    return {name: path for name, path in new.items() if not met[name].wrong}


def other_files(folder: Path) -> Iterator[str]:
    """The paths of what is published as it is: all but pages, guide.yaml and definitions of puzzles."""
    for name, _ in files_below(folder, "content", Findings()):
        if not _like_page(name) and not _says_how(name):
            yield name


def _like_page(name: str) -> str:
    """The ending by which a file is a page, or is meant to be one; empty for all others."""
    return next((ending for ending in (*LIKE_PAGES, ".md") if name.lower().endswith(ending)), "")


def _says_how(name: str) -> bool:
    """Whether a file is read and not shown: the settings, and the definition of a puzzle."""
    return name == SETTINGS or bool(re.fullmatch(r"puzzles/[^/]*\.ya?ml", name))


def files_below(folder: Path, below: str, findings: Findings) -> Iterator[tuple[str, Path]]:
    """Every file below the folder of a name, but for those that nobody means."""
    for name, wrong in met_below(folder, below):
        if wrong:
            place = Source(f"{below}/{name}".rstrip("/"), "").passage()
            findings.add(Problem(wrong, place, _what_to_do(wrong)))
        else:
            yield name, folder / below / name


def file_of_guide(folder: Path, name: str) -> bytes:
    """What is in a file of a guide, by its path there. Raises Problems."""
    try:
        return content_of(folder, name)
    except OSError as error:
        place = Source(name, "").passage()
        raise Problems(
            [Problem(f"this cannot be read: {error.strerror}", place, "see who may read it")]
        ) from None


def _what_to_do(wrong: str) -> str:
    """A hint at what helps where something cannot be read."""
    return INSTEAD.get(wrong) or ("see who may read it" if "cannot be read" in wrong else "call it otherwise")


def page_called(
    folder: Path, name: str, config: Config, findings: Findings, unsaved: Unsaved = ALL_SAVED
) -> Page:
    """The page of a name. Raises Problem or Problems as `read_page` does."""
    return read_page(name, read_source(folder, f"content/{name}.md", unsaved), config, findings)


def _ordered(left: dict[str, Page], unread: set[str], config: Config, findings: Findings) -> tuple[Page, ...]:
    """The pages that guide.yaml lists, in its order, and then all others by name, that of a folder first."""
    ordered: list[Page] = []
    for entry in (entry for part in config.pages for entry in part.pages):
        name = _page_name(entry)
        if name in left:
            ordered.append(left.pop(name))
        elif any(page.name == name for page in ordered):
            findings.add(entry.problem(f"the page {name} is listed twice", "list it once"))
        elif name not in unread:
            page = re.sub(r"\.html?$", "", name)
            near = [page] if page in left else called_alike(page, left) or nearest(name, left)
            hint = meant(near) or f"write content/{name}.md, or take the name away"
            findings.add(entry.problem(f"there is no page {name}.md", hint))
    ordered += sorted(left.values(), key=lambda page: _folder_first(page.name))
    for draft in (page.draft for page in ordered if page.name == "index" and page.draft):
        findings.add(Problem("the first page cannot be a draft", draft, "take the key away"))
    if not any(page.name == "index" for page in ordered) and "index" not in unread:
        findings.add(Problem("the guide has no first page", _nowhere("index.md"), "write content/index.md"))
    return tuple(ordered)


def _folder_first(name: str) -> list[tuple[bool, str]]:
    """Sorts names, and what is called index before all else in its folder."""
    *folders, last = name.split("/")
    return [*((True, folder) for folder in folders), (last != "index", last)]


def part_titles(config: Config) -> dict[str, str]:
    """The title of the part that guide.yaml lists a page in, by the name of the page."""
    return {_page_name(entry): part.title for part in config.pages for entry in part.pages}


def called_alike(path: str, known: Iterable[str]) -> list[str]:
    """The files in other folders that are called as one is, unless these are many, as are first pages."""
    found = [each for each in known if each.rpartition("/")[2] == path.rpartition("/")[2]]
    return found if len(found) <= MOST_ALIKE else []


def _page_name(entry: Setting) -> str:
    return entry.as_text().removesuffix(".md")


def _nowhere(name: str) -> Passage:
    return Source(f"content/{name}", "").passage()
