"""A theme: templates, files that pages load, and colours; a guide's own is based on one that ships."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from traceback import extract_tb

from jinja2 import (
    Environment,
    FileSystemLoader,
    StrictUndefined,
    TemplateError,
    TemplateNotFound,
    TemplateSyntaxError,
)
from jinja2.sandbox import ImmutableSandboxedEnvironment

from sitegen.figures.style import COLOURS
from sitegen.guide.guide import FILES
from sitegen.pages.config import SHADE, Config
from sitegen.problems import Findings, Passage, Problem, Problems, Source, is_it
from sitegen.settings import Setting, read_settings

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
        """A theme comes with a guide, and guides are passed on: its templates may read and not do."""
        return ImmutableSandboxedEnvironment(
            loader=FileSystemLoader([folder / "templates" for folder in self.folders]),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            keep_trailing_newline=True,
        )

    def files(self) -> Iterator[tuple[str, bytes]]:
        """What pages load, by path; a theme's own stands for the one of that name in what it is based on."""
        found: dict[str, Path] = {}
        for folder in self.folders:
            root = folder / FILES
            for path in root.rglob("*"):
                # A theme comes with a guide: a link in it must not publish what is elsewhere.
                if path.is_file() and path.resolve().is_relative_to(root.resolve()):
                    found.setdefault(path.relative_to(root).as_posix(), path)
        for name, path in sorted(found.items()):
            yield name, path.read_bytes()

    def source(self, name: str, content: bytes) -> Passage:
        """A file that pages load, as a text."""
        text = content.decode("utf-8-sig", "replace")
        return Source(f"themes/{self.name}/{FILES}/{name}", text).passage()

    def sheets(self) -> list[Passage]:
        """Those of its own that pages load behind the one for figures."""
        return [self.source(name, content) for name, content in self.files() if name == "extra.css"]

    def templates(self) -> Iterator[Passage]:
        for folder in self.folders:
            for path in sorted((folder / "templates").rglob("*.html")):
                name = f"themes/{folder.name}/{path.relative_to(folder).as_posix()}"
                yield Source(name, path.read_text(encoding="utf-8", errors="replace")).passage()

    def place_of(self, value: str) -> Passage:
        """Where the theme gives a shade in its settings; else nowhere in particular."""
        sources = [
            Source(f"themes/{folder.name}/theme.yaml", (folder / "theme.yaml").read_text("utf-8-sig"))
            for folder in self.folders
        ]
        source = next((s for s in sources if value and value in s.text), Source(f"themes/{self.name}", ""))
        at = max(source.text.find(value), 0)
        return source.passage(at, at + len(value)) if source.text else source.passage()


def shipped() -> Path:
    """The folder of the themes that come with Turnfolio, in a checkout or installed."""
    inside = Path(__file__).parents[1] / "themes"
    return inside if inside.is_dir() else Path(__file__).parents[2] / "themes"


def load_theme(config: Config, guide_folder: Path) -> Theme:
    """The guide's theme, from its own folder or from those shipped. Raises Problems."""
    place = config.places.get("theme", Source("content/guide.yaml", "").passage())
    folders: list[Path] = []
    colours: dict[str, str] = {}
    wanted = config.theme
    while wanted:
        folder = _folder(wanted, guide_folder, folders)
        if folder is None:
            raise Problems([_missing(wanted, place, guide_folder)])
        folders.append(folder)
        findings = Findings()
        settings = findings.attempt({}, _settings, folder, findings)
        colours = {**findings.attempt({}, _colours, settings), **colours}
        based_on = settings.get(BASED_ON)
        place = based_on.passage if based_on else place
        wanted = based_on.as_text() if based_on else BASE if folder.parent != shipped() else ""
        if findings.problems:
            raise Problems(findings.problems)
    return Theme(config.theme, tuple(folders), colours)


def _folder(name: str, guide_folder: Path, taken: list[Path]) -> Path | None:
    """The guide's own before a shipped one of the same name, which it may extend."""
    for root in (guide_folder / "themes", shipped()):
        folder = (root / name).resolve()
        if folder.parent == root.resolve() and (folder / "theme.yaml").is_file() and folder not in taken:
            return folder
    return None


def _settings(folder: Path, findings: Findings) -> dict[str, Setting]:
    name = f"themes/{folder.name}/theme.yaml"
    try:
        source = Source(name, (folder / "theme.yaml").read_text(encoding="utf-8-sig"))
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
            raise Problem("colours are colour names with a shade", entry.key, hint)
    return shades


def _missing(wanted: str, place: Passage, guide_folder: Path) -> Problem:
    if (guide_folder / "themes" / wanted).is_dir():
        return Problem(f"themes/{wanted} has no theme.yaml", place, "write one with a line “based on: folio”")
    known = sorted(path.name for path in shipped().iterdir() if path.is_dir())
    hint = is_it(wanted, known) or f"themes that come with Turnfolio: {', '.join(known)}"
    return Problem(f"there is no theme {wanted}", place, hint)


def template_problem(error: Exception, theme: Theme) -> Problem | None:
    """A mistake in a template, in the line where it stands; None for an error that is none."""
    # What the template library does below a template's line is that line's doing; what we do there is not.
    frames = [f for f in extract_tb(error.__traceback__) if Path(f.filename).parent.name != "jinja2"]
    inside = [frame for frame in frames if _owner(frame.filename, theme)]
    if isinstance(error, TemplateSyntaxError):
        file, line = error.filename or "", error.lineno
    elif inside and (isinstance(error, TemplateError) or frames[-1] is inside[-1]):
        file, line = inside[-1].filename, inside[-1].lineno or 1
    else:
        return None
    missing = isinstance(error, TemplateNotFound)
    message = f"there is no template {error}" if missing else str(error)
    hint = "the templates of the theme that it is based on show how they are written"
    folder = _owner(file, theme)
    if folder is None:
        return Problem(message, Source(f"themes/{theme.name}", "").passage(), hint)
    name = f"themes/{folder.name}/{Path(file).relative_to(folder).as_posix()}"
    source = Source(name, Path(file).read_text(encoding="utf-8", errors="replace"))
    start = source.line_start(line)
    return Problem(message, source.passage(start, source.line_start(line + 1)).stripped(), hint)


def _owner(file: str, theme: Theme) -> Path | None:
    """The folder of the theme in which a file is."""
    return next((folder for folder in theme.folders if Path(file).is_relative_to(folder)), None)
