"""The files of a guide's content/: pages in reading order, and all that is published as it is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from difflib import get_close_matches
from pathlib import Path

from sitegen.guide.config import Config
from sitegen.guide.page import Page, read_page
from sitegen.problems import Findings, Problem, Source


def read_pages(folder: Path, config: Config, findings: Findings) -> tuple[Page, ...]:
    """The pages in reading order; what is wrong with one goes to the findings."""
    return _ordered(_pages(folder, config, findings), config, findings)


def _pages(folder: Path, config: Config, findings: Findings) -> Iterator[Page]:
    """Every Markdown file, in the order of their names."""
    root = folder / "content"
    for path in sorted(root.rglob("*.md")):
        name = path.relative_to(root).with_suffix("").as_posix()
        label = f"content/{name}.md"
        try:
            yield read_page(name, Source(label, path.read_text(encoding="utf-8-sig")), config, findings)
        except UnicodeDecodeError:
            nowhere = Source(label, "").passage()
            findings.add(Problem("this is not UTF-8 text", nowhere, "save the file as UTF-8"))


def _ordered(pages: Iterable[Page], config: Config, findings: Findings) -> tuple[Page, ...]:
    """The pages that guide.yaml lists, in its order, and then all others."""
    left = {page.name: page for page in pages}
    ordered = []
    for entry in config.pages:
        name = entry.as_text().removesuffix(".md")
        if name in left:
            ordered.append(left.pop(name))
        elif any(page.name == name for page in ordered):
            findings.add(entry.problem(f"the page {name} is listed twice", "list it once"))
        else:
            near = get_close_matches(name, left, n=1)
            hint = f"is it {near[0]}?" if near else f"write content/{name}.md, or take the name away"
            findings.add(entry.problem(f"there is no page {name}.md", hint))
    ordered += left.values()
    if not any(page.name == "index" for page in ordered):
        nowhere = Source("content/index.md", "").passage()
        findings.add(Problem("the guide has no first page", nowhere, "write content/index.md"))
    return tuple(ordered)


def other_files(folder: Path) -> Iterator[str]:
    """The paths of what is published as it is: all but pages, guide.yaml and hidden files."""
    root = folder / "content"
    for path in sorted(root.rglob("*")):
        name = path.relative_to(root).as_posix()
        hidden = any(part.startswith(".") for part in name.split("/"))
        if path.is_file() and path.suffix != ".md" and name != "guide.yaml" and not hidden:
            yield name
