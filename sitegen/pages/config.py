"""guide.yaml: what holds for the whole guide."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from sitegen.folders import NotOurs, as_text, is_file, met_below, met_unsaved, text_of
from sitegen.moves.notation import check_notation
from sitegen.moves.references import NAME
from sitegen.problems import Findings, Passage, Problem, Problems, Source, is_it, shortened
from sitegen.puzzles import catalogue
from sitegen.puzzles.catalogue import Catalogue
from sitegen.puzzles.definition import COLOURS
from sitegen.puzzles.puzzle import Puzzle
from sitegen.settings import (
    OneOf,
    Setting,
    doubted,
    nothing_written,
    read_settings,
    text_setting,
    unknown_key,
)

PAPERS = {"A4": "A4", "Letter": "letter"}
"""Paper sizes, and what CSS calls them."""
SETTINGS = "guide.yaml"
"""The file in content/ of what holds for the whole guide."""
MIRRORED = "mirrored"
"""The key by which an author says that the colours of faces are meant to be those of a mirror image."""
PICTURE_CARDS = "picture cards"
FIGURE_NUMBERS = "figure numbers"
Unsaved = Mapping[str, str]
"""Texts that count in place of what files say, by their paths in the folder of a guide."""
ALL_SAVED: Unsaved = {}
TARGET = re.compile(r"[a-z]+://\S+|\S+\.(?:md|html?|txt|pdf)")
"""What is an address or a file, and hardly what something is called."""
SHADE = re.compile(r"#(?:[0-9a-fA-F]{3}){1,2}")
"""A shade, as CSS writes colours by number."""
LANGUAGE = re.compile(
    r"[a-z]{2,3}(-[a-z]{3}){0,3}"  # language, extlang
    r"(-[a-z]{4})?(-([a-z]{2}|[0-9]{3}))?(-([a-z0-9]{5,8}|[0-9][a-z0-9]{3}))*"  # script, region, variants
    r"(-[a-wyz0-9](-[a-z0-9]{2,8})+)*(-x(-[a-z0-9]{1,8})+)?",  # extensions, private use
    re.IGNORECASE | re.ASCII,
)
"""`langtag` of RFC 5646 (BCP 47), section 2.1; no language has four letters or more so far."""


OURS = "en"
"""What pages say of themselves is English, whatever the language of a guide is."""


@dataclass(frozen=True)
class NamedPart:
    """Pages in reading order below a title of the author's; an empty title stands for none."""

    title: str
    pages: tuple[Setting, ...]
    """By file name without its ending."""


@dataclass(frozen=True)
class SettingLink:
    """What a link among the settings says, and what it leads to; to nothing where that is empty."""

    text: str
    target: str
    place: Passage
    """Where the target stands."""


@dataclass(frozen=True)
class Config:
    """The settings of guide.yaml, each as it is read, or as it is where nothing is written."""

    title: str
    language: str = OURS
    address: str = ""
    """The public URL, ending in a slash; empty where none was given."""
    author: str = ""
    """Who has written it, as feeds, search engines and the foot of each page tell."""
    licence: SettingLink | None = None
    """On what terms it may be passed on."""
    footer: str = ""
    """What else the foot of each page says."""
    links: tuple[SettingLink, ...] = ()
    """What the head of each page leads to beside the site's own lists."""
    logo: str = ""
    """The path below content/ of the picture beside the title."""
    picture_cards: bool = True
    """Whether pages have pictures for where others link to them, in a guide with an address."""
    figure_numbers: bool = False
    """Whether blocks with a caption are numbered on their page, where that does not say otherwise."""
    embed: bool = False
    """Whether each block that has a name is a page of its own too, to stand in pages elsewhere."""
    workings: bool = False
    """Whether readers see what is written for authors: names to refer by, and blocks to copy."""
    puzzle: str = "cube-3"
    theme: str = "folio"
    colours: Mapping[str, str] = field(default_factory=dict)
    """The colour name of a face, and the shade of a colour name."""
    mirrored: bool = False
    """Whether the colours of faces are meant to be those of a mirror image."""
    paper: str = "A4"
    pages: tuple[NamedPart, ...] = ()
    """The pages in reading order, in parts."""
    html: bool = False
    """Whether HTML in Markdown is passed through."""
    blocks: Mapping[str, Setting] = field(default_factory=dict)
    """What blocks say that do not say otherwise, by key."""
    places: Mapping[str, Passage] = field(default_factory=dict)
    """Where each setting was written, and each colour, as `colours.U`."""
    puzzles: Catalogue = field(default_factory=Catalogue)
    """Those that ship, and those of content/puzzles/."""
    problems: tuple[Problem, ...] = ()
    """What is wrong with the settings: until it is mended the guide can be checked, and not published."""


BLOCK_KEYS = ("view", "ends", "focus", "arrows", "letters", "tags", "effect", "metrics", "without")
"""What a guide or a page may say for all its blocks that have such a key."""
SOLVED = "solved"
"""What moves may end with, and what they begin with where nothing else is said."""


def ends_solved(setting: Setting) -> bool:
    """That moves end with the puzzle solved, which is all that can be said of it. Raises Problem."""
    return setting.as_choice([SOLVED]) == SOLVED


READ_AT_ONCE: Mapping[str, Callable[[Setting], object]] = {
    "arrows": Setting.as_yes,
    "letters": Setting.as_yes,
    "tags": Setting.as_texts,
    "ends": ends_solved,
}
"""Those of which it can be known without a puzzle whether they can be read."""
ON_PAGES = (
    *("kind", "summary", "date", "updated", "answers", "draft"),
    *("orientation", "columns", "text size", "cards", "case sheet", "sheet for each heading"),
)
"""The keys of pages that a guide has not for all of them."""
BELOW_BLOCKS = "write it below “blocks:”, set in"
ELSEWHERE = {BELOW_BLOCKS: BLOCK_KEYS, "write it at the head of a page": ON_PAGES}
UNKNOWN: Mapping[str, Any] = {"puzzle": "", "html": True}
"""What stands for a setting while nobody knows what it says, so that nothing is told that only follows: no
puzzle, for pages that name none themselves; and HTML is HTML, since whoever writes that key has some."""


def read_config(folder: Path, unsaved: Unsaved = ALL_SAVED) -> Config:
    """The settings of the guide in a folder. Raises Problems; what is wrong with puzzles is in `puzzles`."""
    config = settled(folder, unsaved)
    if config.problems:
        raise Problems([*config.problems, *config.puzzles.problems])
    return config


LONGEST = 1_000_000
"""So many characters a page may have, and all else that is read as text."""
ADDRESS = re.compile(
    r"(?P<begin>https?://)(?:[^\s/?#@]*@)?(?P<host>[^\s/?#@]+)(?P<path>(?:/[^\s?#]*)?)(?:[?#]\S*)?"
)
CONTROL = re.compile(r"[\x00-\x08\x0b\x0e-\x1f\x7f]")
"""Characters that are signs for machines, and have no place in HTML."""


def settled(folder: Path, unsaved: Unsaved = ALL_SAVED) -> Config:
    """What can be read of the settings, and what is wrong with them. Raises Problems where there are none."""
    source = read_source(folder, unsaved=unsaved)
    findings = Findings()
    puzzles = own_puzzles(folder, unsaved)
    try:
        settings = read_settings(source.passage(), KEYS, findings, ELSEWHERE)
    except Problem as problem:
        raise Problems([problem, *puzzles.problems]) from None
    unknown = doubted(findings, KEYS)
    if "title" not in settings and "title" not in unknown:
        hint = "begin with a line “title: …”"
        findings.add(Problem("the guide has no title", source.passage(0, 0), hint))
    values: dict[str, Any] = {}
    for key, setting in settings.items():
        if key in CHOICES:
            values[key] = findings.attempt(None, CHOICES[key], setting, puzzles)
        else:
            values[key] = findings.attempt(None, READERS[key], setting)
    places = {key: setting.passage for key, setting in settings.items()}
    for key, setting in settings.items():
        places |= {f"{key}.{name}": entry.key for name, entry in (setting.entries or {}).items()}
    unknown |= {key for key, value in values.items() if value is None}
    read = {"title": "", **{key: value for key, value in values.items() if value is not None}}
    read |= {key: value for key, value in UNKNOWN.items() if key in unknown}
    named = {key.replace(" ", "_"): value for key, value in read.items()}
    return Config(**named, places=places, puzzles=puzzles, problems=tuple(findings.problems))


def puzzle_of(folder: Path, unsaved: Unsaved = ALL_SAVED) -> str:
    """The puzzle that a guide is about, whatever is wrong with its other settings. Raises Problems."""
    findings = Findings()
    source = read_source(folder, unsaved=unsaved)
    settings = findings.attempt({}, read_settings, source.passage(), KEYS, findings)
    if "puzzle" not in settings and findings.problems:
        raise Problems(findings.problems)
    named = settings.get("puzzle")
    if named is None or named.text in catalogue.names():
        return named.text if named and named.text else Config.puzzle
    try:
        return _puzzle(named, own_puzzles(folder, unsaved))
    except Problem as problem:
        raise Problems([problem]) from None


def own_puzzles(folder: Path, unsaved: Unsaved = ALL_SAVED) -> Catalogue:
    """The puzzles, with those that the files of content/puzzles/ define, and what is wrong with others."""
    own: dict[str, Puzzle] = {}
    broken: dict[str, tuple[Problem, ...]] = {}
    puzzles = folder / "content/puzzles"
    begun = (name for name in unsaved if name.startswith("content/puzzles/"))
    new = (folder / name for name in begun if not met_unsaved(name).wrong)
    there = (puzzles / name for name, wrong in met_below(folder, "content/puzzles") if not wrong)
    for path in sorted({*there, *new}):
        below = path.relative_to(puzzles)
        name = f"content/puzzles/{below.as_posix()}"
        findings = Findings()
        if len(below.parts) > 1 and below.parts[0].endswith(".yaml"):
            place = Source(f"content/puzzles/{below.parts[0]}", "").passage()
            findings.add(Problem("this is a folder, and a definition is a file", place, "call it otherwise"))
        elif len(below.parts) > 1:
            if path.suffix.lower() in (".yaml", ".yml") and not below.parts[0].startswith("."):
                nowhere = Source(name, "").passage()
                hint = f"move it up: call it content/puzzles/{path.stem}.yaml"
                findings.add(Problem("definitions stand in content/puzzles itself", nowhere, hint))
        elif path.suffix != ".yaml" and path.suffix.lower() in (".yaml", ".yml"):
            nowhere = Source(name, "").passage()
            hint = f"call it {path.stem}.yaml"
            findings.add(Problem("the file name of a definition ends in .yaml", nowhere, hint))
        elif path.suffix == ".yaml" and (
            source := findings.attempt(None, read_source, folder, name, unsaved)
        ):
            own |= findings.attempt({}, _puzzles, path.stem, source, own)
        if findings.problems:
            broken[path.stem] = (*broken.get(path.stem, ()), *findings.problems)
    return Catalogue(own, broken)


def _puzzles(name: str, source: Source, others: Mapping[str, Puzzle]) -> dict[str, Puzzle]:
    if not re.fullmatch(NAME, name):
        hint = "a name is small letters, digits and hyphens: it is that of the puzzle"
        raise Problem(f"the file name {name} cannot be a name", source.passage(0, 0), hint)
    found = catalogue.read_puzzles(name, source, check_notation, others.values())
    for each in found:
        if each in catalogue.names() or each in others:
            whose = "is defined in another file" if each in others else "ships"
            message = f"there is a puzzle {each} already, which {whose}"
            raise Problem(message, source.passage(0, 0), "give the file another name")
    return found


def read_source(folder: Path, name: str = f"content/{SETTINGS}", unsaved: Unsaved = ALL_SAVED) -> Source:
    """The text of a file in the folder of a guide, as it is not saved yet or as it is. Raises Problems."""
    if name in unsaved:
        return _shown(Source(name, unsaved[name]))
    nowhere = Source(name, "").passage()
    try:
        return _shown(Source(name, text_of(folder, name)))
    except FileNotFoundError:
        hint = _instead(folder, name)
        raise Problems([Problem(f"there is no guide in {folder}", nowhere, hint)]) from None
    except NotOurs as error:
        raise Problems([Problem(str(error.strerror), nowhere, "put the file itself there")]) from None
    except OSError as error:
        message = f"this cannot be read: {error.strerror}"
        raise Problems([Problem(message, nowhere, "see who may read it")]) from None
    except UnicodeDecodeError as error:
        begun = len(as_text(error.object[: error.start]))
        place = Source(name, as_text(error.object, "replace")).passage(begun, begun + 1)
        raise Problems([Problem("this is not UTF-8 text", place, "save the file as UTF-8")]) from None


def _shown(source: Source) -> Source:
    """The text of a file, all of which can be shown, and soon. Raises Problems."""
    if len(source.text) > LONGEST:
        message = f"this has {len(source.text):,} characters, and a file may have {LONGEST:,}"
        raise Problems([Problem(message, source.passage(0, 0), "divide it into several")])
    if found := CONTROL.search(source.text):
        place = source.passage(*found.span())
        message = f"U+{ord(found[0]):04X} is no character of a text"
        raise Problems([Problem(message, place, "take it away; most editors show where it is by the column")])
    return source


def _instead(folder: Path, name: str) -> str:
    """What may have been meant by a folder without a guide."""
    if is_file(folder, Path(name).with_suffix(".yml").as_posix()):
        return f"call it {name}"
    if above := next((each for each in folder.resolve().parents if is_file(each, name)), None):
        return f"the guide is {above}: name that folder"
    if is_file(folder, Path(name).name):
        return f"put {Path(name).name} into {Path(name).parent}/"
    return f"a guide has a file {name} with a title; turnfolio start lays one out"


def _language(setting: Setting) -> str:
    text = setting.as_text()
    if not LANGUAGE.fullmatch(text):
        raise setting.problem("the language is a language tag", "write en, de, pt-BR …")
    return text


def _address(setting: Setting) -> str:
    """Of the folder in which the site stands: no file, nor what else may stand behind one or before."""
    text = setting.as_text()
    found = ADDRESS.fullmatch(text)
    if not found:
        raise setting.problem(
            "the address is a public URL", "write it whole, as in https://example.org/guide/"
        )
    folder = re.sub(r"[^/]+\.html?$", "", found["path"]).rstrip("/")
    address = f"{found['begin']}{found['host']}{folder}/"
    if address != text.rstrip("/") + "/":
        raise setting.problem(
            "the address is that of the folder in which the site stands", f"write {address}"
        )
    return address


def _puzzle(setting: Setting, puzzles: Catalogue) -> str:
    """A name, also of a puzzle whose file is broken: that is told of the file."""
    if setting.text and puzzles.problems_of(setting.text):
        return setting.text
    text, known = setting.as_text(), puzzles.names()
    if text in known:
        return text
    titles = ((name, title.replace("×", "x").lower()) for name, title in puzzles.titles.items())
    meant = next((name for name, title in titles if title.startswith(text.replace("×", "x").lower())), "")
    others = f", or define it in content/puzzles/{text}.yaml" if re.fullmatch(NAME, text) else ""
    hint = f"is it {meant}?" if meant else is_it(text, known) or f"write one of {', '.join(known)}{others}"
    raise setting.problem(f"puzzle cannot be “{shortened(text)}”", hint)


def _colours(setting: Setting, puzzles: Catalogue) -> dict[str, str]:
    """The colour's name of a face, or the shade of a colour name."""
    meaning = "faces with a colour's name, or colour names with a shade"
    example = '{U: yellow, D: white, red: "#b02030"}'
    colours = setting.as_mapping(meaning, example)
    shipped = [each.faces for each in catalogue.definitions().values()]
    own = [each.faces for each in puzzles.own.values()]
    known = {face.name for faces in (*shipped, *own) for face in faces}
    for name, entry in (setting.entries or {}).items():
        if name in known:
            entry.as_choice(COLOURS)
        elif name not in COLOURS and not puzzles.broken:
            named = f"a face is named as in U: yellow, a colour by one of {', '.join(COLOURS)}"
            hint = is_it(name, [*COLOURS, *known]) or named
            raise Problem(f"“{name}” is neither a face nor a colour name", entry.key, hint)
        elif name in COLOURS and not SHADE.fullmatch(colours[name]):
            raise entry.problem(f"colours are {meaning}", f"write them as in {example}")
    return colours


def for_blocks(setting: Setting) -> Mapping[str, Setting]:
    """What blocks say that do not say otherwise. Raises Problem."""
    if setting.entries is None:
        hint = "write for example blocks: {letters: yes}"
        raise setting.problem("blocks are keys of blocks and what they say", hint)
    for name, entry in setting.entries.items():
        if name not in BLOCK_KEYS:
            raise unknown_key(entry.key, BLOCK_KEYS)
        if entry.is_empty:
            raise nothing_written(entry.key)
    for key, read in READ_AT_ONCE.items():
        if key in setting.entries:
            read(setting.entries[key])
    return setting.entries


def _links(setting: Setting) -> tuple[SettingLink, ...]:
    setting.as_mapping("texts with what they lead to", "links: {About us: about.md}")
    return tuple(_link(entry) for entry in (setting.entries or {}).values())


def _link(entry: Setting) -> SettingLink:
    return SettingLink(text_setting(entry.key, entry.key).as_text(), entry.as_text(), entry.passage)


def _licence(setting: Setting) -> SettingLink:
    """licence := text | "{" text ":" target "}" """
    if setting.entries is None:
        text = setting.as_text()
        if TARGET.fullmatch(text):
            hint = f"write licence: {{CC BY 4.0: {text}}}, with what the licence is called"
            raise setting.problem("this is where something stands, and not what a licence is called", hint)
        return SettingLink(text, "", setting.passage)
    links = _links(setting)
    if len(links) > 1:
        raise setting.problem("a guide has one licence", "write licence: {CC BY 4.0: https://…}")
    return links[0]


def _parts(setting: Setting) -> tuple[NamedPart, ...]:
    """parts := names, or items of which each is a name, or a title with the names of a part."""
    if not any(item.entries for item in setting.items):
        return (NamedPart("", setting.as_list()),)
    parts: list[NamedPart] = []
    for item in setting.items:
        if not item.entries:
            parts.append(NamedPart("", item.as_list()))
        for entry in (item.entries or {}).values():
            title = text_setting(entry.key, entry.key).as_text()
            if any(part.title == title for part in parts):
                raise Problem(f"there are two parts “{title}”", entry.key, "give one of them another title")
            if entry.is_empty:
                raise Problem(f"the part “{title}” has no pages", entry.key, f"write “- {title}: [one, two]”")
            parts.append(NamedPart(title, entry.as_list()))
    return tuple(parts)


READERS: Mapping[str, Callable[[Setting], Any]] = {
    "title": Setting.as_plain,
    "language": _language,
    "address": _address,
    "author": Setting.as_plain,
    "licence": _licence,
    "footer": Setting.as_plain,
    "links": _links,
    "logo": Setting.as_text,
    PICTURE_CARDS: Setting.as_yes,
    FIGURE_NUMBERS: Setting.as_yes,
    "embed": Setting.as_yes,
    "workings": Setting.as_yes,
    "theme": Setting.as_text,
    "paper": OneOf(tuple(PAPERS)),
    "pages": _parts,
    "html": Setting.as_yes,
    "blocks": for_blocks,
    MIRRORED: Setting.as_yes,
}
"""The keys of guide.yaml, and how their values are read."""
CHOICES: Mapping[str, Callable[[Setting, Catalogue], Any]] = {
    "puzzle": _puzzle,
    "colours": _colours,
}
"""Those that depend on which puzzles there are."""
KEYS = (*READERS, *CHOICES)
