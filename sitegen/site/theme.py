"""A theme: templates, static files and colours; a guide's own theme extends a shipped one file by file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from sitegen.problems import Problem, Problems, Source

BASE = "folio"
"""What a theme extends that does not say."""


@dataclass(frozen=True)
class Theme:
    """`folders` are where files are looked for, the theme's own first."""

    name: str
    folders: tuple[Path, ...]
    colours: Mapping[str, str]

    def environment(self) -> Environment:
        return Environment(
            loader=FileSystemLoader([folder / "templates" for folder in self.folders]),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            keep_trailing_newline=True,
        )

    def static(self) -> Iterator[tuple[str, bytes]]:
        """Every static file by its path; a theme's own stands for the one that it extends."""
        found: dict[str, Path] = {}
        for folder in self.folders:
            root = folder / "static"
            for path in sorted(root.rglob("*")):
                if path.is_file():
                    found.setdefault(path.relative_to(root).as_posix(), path)
        for name, path in sorted(found.items()):
            yield name, path.read_bytes()


def shipped() -> Path:
    """The folder of the themes that come with Turnfolio, in a checkout or installed."""
    inside = Path(__file__).parents[1] / "themes"
    return inside if inside.is_dir() else Path(__file__).parents[2] / "themes"


def load_theme(name: str, guide_folder: Path) -> Theme:
    """The theme with a name, from the guide's own folder or from those shipped. Raises Problems."""
    folders: list[Path] = []
    colours: dict[str, str] = {}
    wanted = name
    while wanted:
        folder = _folder(wanted, guide_folder, folders)
        if folder is None:
            raise Problems([_missing(wanted, name)])
        folders.append(folder)
        settings = _settings(folder)
        colours = {**settings.get("colours", {}), **colours}
        wanted = settings.get("extends", BASE if folder.parent != shipped() else "")
    return Theme(name, tuple(folders), colours)


def _folder(name: str, guide_folder: Path, taken: list[Path]) -> Path | None:
    """The guide's own before a shipped one of the same name, which it may extend."""
    for root in (guide_folder / "themes", shipped()):
        folder = (root / name).resolve()
        if (folder / "theme.yaml").is_file() and folder not in taken:
            return folder
    return None


def _settings(folder: Path) -> dict[str, Any]:
    text = (folder / "theme.yaml").read_text(encoding="utf-8")
    source = Source(f"themes/{folder.name}/theme.yaml", text)
    try:
        settings = yaml.safe_load(text) or {}
    except yaml.YAMLError as error:
        raise Problems(
            [Problem(f"YAML: {error}", source.passage(), "see the theme that it extends")]
        ) from None
    if not isinstance(settings, dict):
        raise Problems([Problem("expected keys and values", source.passage(), "as in “extends: folio”")])
    return settings


def _missing(wanted: str, name: str) -> Problem:
    known = ", ".join(sorted(path.name for path in shipped().iterdir() if path.is_dir()))
    where = Source("content/guide.yaml", f"theme: {name}").passage()
    return Problem(f"there is no theme {wanted}", where, f"themes that come with Turnfolio: {known}")
