"""What is in the folder of a theme, and what of it nothing asks for, which is a problem.

Nothing else would meet a misspelt template: it would lie there, and pages would be set as if it did not.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path

from jinja2 import Environment, TemplateSyntaxError, nodes

from sitegen.blocks.kinds import KINDS
from sitegen.guide.guide import FILES
from sitegen.pages.files import files_below
from sitegen.problems import Findings, Passage, Problem, Source, is_it
from sitegen.site.index_files import FINDER
from sitegen.site.index_files import FOLDER as OF_SEARCH
from sitegen.site.picture_cards import FOLDER as OF_CARDS
from sitegen.site.sought import FOLDER as OF_EFFECTS
from sitegen.site.template_text import lost
from sitegen.site.templates import BLOCKS, TEMPLATES, template_of, template_problem, text_in_theme
from sitegen.site.turning_files import FOLDER as OF_TURNS
from sitegen.site.turning_files import SCRIPTS

SETTINGS = "theme.yaml"
FIGURES = "figures.css"
"""The sheet that is made for figures, so that no theme can have one."""
MADE_HERE = {
    FIGURES: "is made of the shades of figures",
    **SCRIPTS,
    FINDER: "is the script by which pages are searched",
}
"""What pages load beside the files of themes, and what each is."""
FOLDERS_HERE = (OF_TURNS, OF_SEARCH, OF_EFFECTS, OF_CARDS.removeprefix("files/"))
"""Folders of what pages load that are filled here."""
LOADED = (".css", ".js")
"""What pages load by itself: of each theme the files that have its name and these endings."""
Parts = Mapping[str, Mapping[str, Path]]
"""The files of a theme by the part of its folder that they are in, and their names there."""


def files_in(folder: Path, findings: Findings | None = None) -> Parts:
    """What is in the folder of a theme; what is in no part of it stands under no name."""
    parts: dict[str, dict[str, Path]] = {FILES: {}, TEMPLATES: {}, "": {}}
    below = f"{folder.parent.name}/{folder.name}"
    for name, path in files_below(folder.parents[1], below, findings or Findings()):
        part, _, rest = name.partition("/")
        if rest and part in parts:
            parts[part][rest] = path
        else:
            parts[""][name] = path
    return parts


def unused(folders: Sequence[Path]) -> list[Problem]:
    """What nothing asks for in the theme in the first folder, which is based on those in the others."""
    folder, *others = folders
    findings = Findings()
    parts, below = files_in(folder, findings), [files_in(other) for other in others]
    findings.problems += _strange(folder, parts[""])
    named = {
        name: findings.attempt(frozenset[str](), _named_in, path, folders)
        for name, path in parts[TEMPLATES].items()
    }
    if not findings.problems:
        findings.problems += _unasked(folder, named, [name for each in below for name in each[TEMPLATES]])
        findings.problems += _unloaded(folder, parts, [name for each in below for name in each[FILES]])
    if not findings.problems:
        findings.problems += lost(parts[TEMPLATES], folders)
    return findings.problems


def _strange(folder: Path, names: Iterable[str]) -> Iterator[Problem]:
    """What is in no part of a theme."""
    known = f"a theme has {SETTINGS}, {TEMPLATES}/ and {FILES}/"
    for name in dict.fromkeys(name.partition("/")[0] for name in names if name != SETTINGS):
        hint = is_it(name, (TEMPLATES, FILES, SETTINGS)) or known
        yield Problem("this is no part of a theme", _place(folder, name), hint)


def _named_in(path: Path, folders: Sequence[Path]) -> frozenset[str]:
    """All texts in quotation marks in a template, and so all templates that it asks for. Raises Problem."""
    try:
        tree = Environment().parse(text_in_theme(path, folders), path.name, str(path))
    except UnicodeDecodeError:
        place = _place(folders[0], path.relative_to(folders[0]).as_posix())
        raise Problem("this is not UTF-8 text", place, "save the file as UTF-8") from None
    except TemplateSyntaxError as error:
        problem = template_problem(error, folders)
        assert problem is not None
        raise problem from None
    return frozenset(node.value for node in tree.find_all(nodes.Const) if isinstance(node.value, str))


def _unasked(folder: Path, named: Mapping[str, frozenset[str]], below: Sequence[str]) -> Iterator[Problem]:
    """Templates that nothing asks for: no page, no block and no other template."""
    known = {*below, *(template_of(BLOCKS, kind) for kind in KINDS)}
    for name in named:
        elsewhere = (texts for other, texts in named.items() if other != name)
        if name not in known and not any(name in texts for texts in elsewhere):
            same = [each for each in known if each.endswith(f"/{name}")]
            hint = (
                is_it(name, same or known) or f'name it in another template, as in {{% include "{name}" %}}'
            )
            place = _place(folder, f"{TEMPLATES}/{name}")
            yield Problem("no page and no block is set by this template", place, hint)


def _unloaded(folder: Path, parts: Parts, below: Sequence[str]) -> Iterator[Problem]:
    """Sheets and scripts that pages do not load, and that no sheet, script or template names."""
    loading = [path for path in parts[FILES].values() if path.suffix in LOADED]
    asking = (*loading, *parts[TEMPLATES].values())
    texts = {path: text_in_theme(path, [folder], "replace") for path in asking}
    for name, path in parts[FILES].items():
        place, by_itself = _place(folder, f"{FILES}/{name}"), f"{folder.name}{path.suffix.lower()}"
        name_of_it = re.compile(rf"(?<![\w.-]){re.escape(path.name)}(?![\w-])")
        named = any(name_of_it.search(text) for other, text in texts.items() if other != path)
        within, _, _ = name.rpartition("/")
        if (first := within.partition("/")[0]) in FOLDERS_HERE:
            hint = "put it into another folder of files/"
            yield Problem(f"the folder {first} is the site's own", place, hint)
        elif name in MADE_HERE:
            hint = f"write your own {'rules' if path.suffix == '.css' else 'script'} into {by_itself}"
            yield Problem(f"{name} {MADE_HERE[name]}", place, hint)
        elif path.suffix.lower() in LOADED and name not in (by_itself, *below) and not named:
            hint = is_it(name, below) or f"call it {by_itself}, which pages load, or name it in that"
            yield Problem("no page loads this", place, hint)


def _place(folder: Path, name: str) -> Passage:
    return Source(f"themes/{folder.name}/{name}", "").passage()
