"""guide.yaml: what holds for the whole guide."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from sitegen.guide.settings import Setting, read_settings
from sitegen.problems import Passage, Problem, Problems, Source
from sitegen.puzzles import catalogue

KEYS = ("title", "language", "address", "puzzle", "theme", "colours", "paper", "pages", "html")
PAPERS = {"A4": "A4", "Letter": "letter"}
"""Paper sizes, and what CSS calls them."""
COLOUR = re.compile(r"[a-z]+|#[0-9a-fA-F]{3,8}")


@dataclass(frozen=True)
class Config:
    title: str
    language: str = "en"
    address: str = ""
    """The public URL, ending in a slash; empty where none was given."""
    puzzle: str = "cube-3"
    theme: str = "folio"
    colours: Mapping[str, str] = field(default_factory=dict)
    """The colour name of a face, and the shade of a colour name."""
    paper: str = "A4"
    pages: tuple[Setting, ...] = ()
    """The pages in reading order, by file name without its ending."""
    html: bool = False
    """Whether HTML in Markdown is passed through."""


def read_config(folder: Path) -> Config:
    """The settings of the guide in a folder. Raises Problems."""
    path = folder / "content" / "guide.yaml"
    try:
        source = Source("content/guide.yaml", path.read_text(encoding="utf-8"))
    except OSError:
        nowhere = Source("content/guide.yaml", "").passage()
        raise Problems(
            [
                Problem(
                    f"there is no guide in {folder}",
                    nowhere,
                    "a guide has a file content/guide.yaml with a title",
                )
            ]
        ) from None
    except UnicodeDecodeError:
        nowhere = Source("content/guide.yaml", "").passage()
        raise Problems([Problem("this is not UTF-8 text", nowhere, "save the file as UTF-8")]) from None
    try:
        settings = read_settings(source.passage(), KEYS)
        if "title" not in settings:
            raise Problem("the guide has no title", source.passage(0, 0), "begin with a line “title: …”")
        return Config(**dict(_values(settings)))
    except Problem as problem:
        raise Problems([problem]) from None


def _values(settings: Mapping[str, Setting]) -> Iterable[tuple[str, Any]]:
    for key, setting in settings.items():
        match key:
            case "puzzle":
                yield key, setting.as_choice(catalogue.names())
            case "paper":
                yield key, setting.as_choice(PAPERS)
            case "html":
                yield key, setting.as_yes()
            case "colours":
                yield key, _colours(setting)
            case "pages":
                yield key, _pages(setting)
            case "address":
                yield key, _address(setting)
            case _:
                yield key, setting.as_text()


def _address(setting: Setting) -> str:
    text = setting.as_text()
    if not re.fullmatch(r"https?://[^\s/]+(/\S*)?", text):
        raise setting.problem(
            "the address is a public URL", "write it whole, as in https://example.org/guide/"
        )
    return text.rstrip("/") + "/"


def _colours(setting: Setting) -> dict[str, str]:
    value = setting.value
    if not isinstance(value, dict) or not all(COLOUR.fullmatch(str(colour)) for colour in value.values()):
        raise setting.problem(
            "colours are faces with a colour's name, or colour names with a shade",
            'write them as in {U: yellow, D: white, red: "#b02030"}',
        )
    return {str(name): str(colour) for name, colour in value.items()}


def _pages(setting: Setting) -> tuple[Setting, ...]:
    return tuple(Setting(name, setting.key, _entry(setting, name)) for name in setting.as_texts())


def _entry(setting: Setting, name: str) -> Passage:
    """Where one name stands in a list."""
    found = re.search(rf"(?<![\w/-]){re.escape(name)}(?![\w/-])", setting.passage.text)
    return setting.passage.part(found.start(), found.end()) if found else setting.passage
