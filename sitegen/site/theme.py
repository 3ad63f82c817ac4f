"""A theme: templates, files that pages load, and colours; a guide's own is based on one that ships."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from jinja2 import Environment

from sitegen.cache import digest
from sitegen.figures.style import COLOURS
from sitegen.folders import LINK, digests_below, first_link, folders_in, met_unsaved
from sitegen.guide.guide import FILES
from sitegen.pages.config import SHADE, Config
from sitegen.pages.files import INSTEAD, files_below
from sitegen.problems import Findings, Passage, Problem, Problems, Source, is_it
from sitegen.settings import Setting, read_settings
from sitegen.site.templates import TEMPLATES, content_in_theme, environment_of, place_in_theme, text_in_theme
from sitegen.site.theme_folder import SETTINGS, files_in, unused

THEMES = "themes"
"""The folder in which themes are, in a guide and in what comes with Turnfolio."""
BASED_ON = "based on"
KEYS = ("name", BASED_ON, "colours")
BASE = "folio"
"""What a theme is based on that does not say."""


@dataclass(frozen=True)
class Theme:
    """`folders` are where files are looked for, the theme's own first."""

    name: str
    folders: tuple[Path, ...]
    colours: Mapping[str, str]

    def environment(self) -> Environment:
        return environment_of(self.folders, ours=self.shipped)

    @property
    def shipped(self) -> bool:
        """Whether all of it comes with Turnfolio."""
        return all(folder.parent == shipped() for folder in self.folders)

    @cached_property
    def digest(self) -> str:
        """Of all that is in its folders."""
        each = [digests_below(folder.parents[1], f"{THEMES}/{folder.name}") for folder in self.folders]
        return digest([self.colours, each])

    @cached_property
    def _files(self) -> dict[str, Path]:
        """What pages load; a theme's own stands for the one of that name in what it is based on."""
        found = (files_in(folder)[FILES] for folder in reversed(self.folders))
        return {name: path for files in found for name, path in files.items()}

    def files(self) -> Iterator[tuple[str, bytes]]:
        """What is published of it, by path."""
        for name, path in sorted(self._files.items()):
            yield name, content_in_theme(path, self.folders)

    def loaded(self, ending: str) -> tuple[str, ...]:
        """The paths of the files that have the name of their theme, in the order in which pages load them."""
        return tuple(f"{FILES}/{name}" for name in self._loaded(ending))

    def sheets(self) -> list[Passage]:
        """Those that pages load behind the one for figures, as texts."""
        return [self._text(self._files[name]) for name in self._loaded(".css")[1:]]

    def paths(self) -> list[str]:
        """Of all files that are published of it."""
        return [f"{FILES}/{name}" for name in sorted(self._files)]

    def texts(self, ending: str) -> dict[str, Passage]:
        """All files that are published with an ending, by path, as texts."""
        found = {f"{FILES}/{name}": path for name, path in sorted(self._files.items())}
        return {name: self._text(path) for name, path in found.items() if name.endswith(ending)}

    def has_written(self, path: str) -> bool:
        """Whether a file that is published is an author's own, and not one that ships."""
        return not self._files[path.removeprefix(f"{FILES}/")].is_relative_to(shipped())

    def templates(self, ours: bool = True) -> list[Passage]:
        """Its own and those that it is based on, as texts; those that ship only where `ours` says so."""
        folders = (folder for folder in self.folders if ours or folder.parent != shipped())
        found = (files_in(folder)[TEMPLATES] for folder in folders)
        return [self._text(path) for files in found for path in files.values()]

    def place_of(self, value: str) -> Passage:
        """Where the theme gives a shade in its settings; else nowhere in particular."""
        for settings in (self._text(folder / SETTINGS) for folder in self.folders):
            if value and value in settings.text:
                at = settings.text.find(value)
                return settings.source.passage(at, at + len(value))
        return Source(f"themes/{self.name}", "").passage()

    def _loaded(self, ending: str) -> list[str]:
        names = dict.fromkeys(f"{folder.name}{ending}" for folder in reversed(self.folders))
        return [name for name in names if name in self._files]

    def _text(self, path: Path) -> Passage:
        text = text_in_theme(path, self.folders, "replace")
        return Source(place_in_theme(path, self.folders), text).passage()


def shipped() -> Path:
    """The folder of the themes that come with Turnfolio, in a checkout or installed."""
    package = Path(__file__).resolve().parents[1]
    return next(folder for folder in (package / THEMES, package.parent / THEMES) if folder.is_dir())


def load_theme(config: Config, guide_folder: Path) -> Theme:
    """The guide's theme, from its own folder or from those shipped. Raises Problems."""
    place = config.places.get("theme", Source("content/guide.yaml", "").passage())
    folders: list[Path] = []
    colours: dict[str, str] = {}
    wanted = config.theme
    while wanted:
        folder = _folder(wanted, guide_folder, folders)
        if folder is None:
            raise Problems([_missing(wanted, place, guide_folder, folders)])
        folders.append(folder)
        findings = Findings()
        settings = findings.attempt({}, _settings, folder, findings)
        colours = {**findings.attempt({}, _colours, settings), **colours}
        based_on = settings.get(BASED_ON)
        place = based_on.passage if based_on else place
        base = BASE if folder.parent != shipped() else ""
        wanted = findings.attempt("", based_on.as_text) if based_on else base
        if findings.problems:
            raise Problems(findings.problems)
    based = [folders[at:] for at in range(len(folders) - 1)]
    if problems := [problem for each in based for problem in unused(each)]:
        raise Problems(problems)
    return Theme(config.theme, tuple(folders), colours)


def _folder(name: str, guide_folder: Path, taken: list[Path]) -> Path | None:
    """The guide's own before a shipped one of the same name, which it may extend. Raises Problems."""
    guide, called = guide_folder.resolve(), f"{THEMES}/{name}"
    own, here = guide / called, shipped() / name
    if own not in taken and "/" not in name and not met_unsaved(name).wrong:
        if link := first_link(guide, called):
            raise Problems([Problem(LINK, Source(link, "").passage(), INSTEAD[LINK])])
        findings = Findings()
        there = dict(files_below(guide, called, findings))
        if findings.problems:
            raise Problems(findings.problems)
        if SETTINGS in there and name in folders_in(guide, THEMES):  # with these capitals
            return own
    return here if name in _shipped_names() and here not in taken else None


def _settings(folder: Path, findings: Findings) -> dict[str, Setting]:
    name = f"themes/{folder.name}/{SETTINGS}"
    try:
        source = Source(name, text_in_theme(folder / SETTINGS, [folder]))
    except UnicodeDecodeError:
        raise Problem(
            "this is not UTF-8 text", Source(name, "").passage(), "save the file as UTF-8"
        ) from None
    settings = read_settings(source.passage(), KEYS, findings)
    if "name" in settings and settings["name"].as_text() != folder.name:
        hint = f"write name: {folder.name}, or call the folder otherwise"
        findings.add(settings["name"].problem("a theme has the name of its folder", hint))
    return settings


def _colours(settings: Mapping[str, Setting]) -> dict[str, str]:
    """The shade of each colour name that the theme changes."""
    if "colours" not in settings:
        return {}
    shades = settings["colours"].as_mapping("colour names with a shade", '{red: "#b3202c"}')
    for name, entry in (settings["colours"].entries or {}).items():
        if name not in COLOURS or not SHADE.fullmatch(shades[name]):
            hint = 'write them as in {red: "#b3202c"}; names are ' + ", ".join(COLOURS)
            place = entry.key if name not in COLOURS else entry.passage
            raise Problem("colours are colour names with a shade", place, hint)
    return shades


def _missing(wanted: str, place: Passage, guide_folder: Path, taken: list[Path]) -> Problem:
    own = folders_in(guide_folder, THEMES)
    if wanted in own and guide_folder.resolve() / THEMES / wanted in taken:
        return Problem(f"the theme {wanted} is based on itself", place, f"write “based on: {BASE}”")
    if wanted in own:
        hint = f"write one with a line “based on: {BASE}”"
        return Problem(f"{THEMES}/{wanted} has no {SETTINGS}", place, hint)
    for name in own:
        if name.casefold() == wanted.casefold():
            hint = f"the folder is {THEMES}/{name}: write {name}, or call the folder {wanted}"
            return Problem(f"there is no theme {wanted}", place, hint)
    known = _shipped_names()
    hint = is_it(wanted, [*own, *known]) or (
        f"make a folder {THEMES}/{wanted} beside content/;"
        f" themes that come with Turnfolio: {', '.join(known)}"
    )
    return Problem(f"there is no theme {wanted}", place, hint)


def _shipped_names() -> list[str]:
    return folders_in(shipped().parent, THEMES)
