"""Whatever a guide is made of, it is published: `python tests/torture/whole_guides.py [GUIDES [TIMES]]`.

So many guides are put together by chance: of folders with and without a first page, an order or none, parts,
settings, kinds of pages and blocks, drafts and puzzles. Held is one that is published, in which every link
leads to what there is, and of which nothing is made when it is published again. Each is then damaged so many
times in one to three of its lines: held is what is published or told of, as it is and as a draft.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from posixpath import relpath
from random import Random
from tempfile import TemporaryDirectory
from traceback import print_exc
from urllib.parse import quote

from held import told, write

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests/samples"))

from followed_links import followed  # noqa: E402

from sitegen.cache import PLACE  # noqa: E402
from sitegen.problems import Problems  # noqa: E402
from sitegen.site.publish import publish  # noqa: E402

GUIDES, TIMES = 500, 10
ADDRESS = "https://guide.example/sub/"
MOVES = {
    "cube-3": ("R U R' U'", "F D' U L2 U2 D2 R U", "[R, U]", "M2 U M2", "(R U)3", "x R x'", "Rw U Rw'"),
    "cube-2": ("R U R'", "[R, F]", "R2 U2 F2"),
    "megaminx": ("R U R'", "[R, U]", "Br U Br'"),
    "pyraminx": ("R U R'", "[R, L]", "U L' U'"),
    "skewb": ("R L R'", "[R, L]"),
}
FOLDERS = ("", "a/", "one/", "one/deep/", "In Words/", "ü/")
NAMES = ("index", "x", "last", "Two words", "1st", "ä", "tag", "Contents2")
SETTINGS = (
    *("theme: board", "author: Ann Example", f"address: {ADDRESS}", "workings: yes"),
    *("html: yes", "embed: yes", "paper: Letter", "figure numbers: yes", "footer: A foot & more."),
)
HEADS = (
    *("tags: [a, b c, x/y, C&D, index]", "summary: In a word & more.", "date: 2026-05-17", "workings: yes"),
    *("figure numbers: yes", "title: 'Its own: title'", "updated: 2026-06-01"),
)
TEXTS = (
    *("Some words.", "- a\n- b", "# Of `R U`{.plain}", "Text[^1].\n\n[^1]: A note.", "Term\n: what it is"),
    *("| a | b |\n|---|---|\n| 1 | `R`{.case} |", "::: note\nIn a box.\n:::", "So `R`{.moves}."),
)
KEYS = ("title: Some title", "tags: [a, z]", "caption: A caption.", "say: As said.", "letters: yes")
DAMAGES = (
    *("steps:", "- turn: R", "claims: flips UF", "  view: top", "moves: ", "title: [a, b]", "  more", "```"),
    *("````", "```moves x", "::: note", ":::", "[^1]: x", "| a |", "---", "# H", "`flips UF`{.claim}", "<b>"),
    *("[](sequence:s0)", "\t- a", "> quote", "focus: all", "count: -1", "puzzle: nothing", "kind: handout"),
    *(
        "columns: 9",
        "date: today",
        "draft: maybe",
        "\u2028",
        "(R U",
        "names: a",
        "seed: 99999999999",
        "cards: []",
    ),
)
SIGNS = ":-'`@#[]{}()<>|*_~^&%!?\\\"ßR2 "


@dataclass(frozen=True)
class _Page:
    name: str
    puzzle: str
    draft: bool
    sheet: bool


def guide(random: Random) -> dict[str, str]:
    """A guide in which everything holds, by its files."""

    def some(texts: Sequence[str], most: int) -> list[str]:
        return random.sample(texts, random.randint(0, min(most, len(texts))))

    main = random.choice(["cube-3", "cube-3", *MOVES])
    names = {"index", *(folder + name for folder in some(FOLDERS, 4) for name in some(NAMES, 4))}
    pages = [
        _Page(
            name,
            puzzle=random.choice([main, main, main, *MOVES]),
            draft=name != "index" and random.random() < 0.1,
            sheet=name != "index" and random.random() < 0.2,
        )
        for name in sorted(names)
    ]
    named = {f"s{number}": page for number, page in enumerate(pages) if random.random() < 0.7}
    listed = some([page.name for page in pages], len(pages))
    part = f"- A part: [{', '.join(map(repr, listed[:3]))}]\n" if listed and random.random() < 0.5 else ""
    order = [f"- {name!r}\n" for name in listed[3 if part else 0 :]]
    settings = [f"title: 'Guide: the first & only'\npuzzle: {main}", *some(SETTINGS, 5)]
    if part or order:
        settings.append("pages:\n" + part + "".join(order))
    made = {"content/guide.yaml": "\n".join(settings) + "\n"}
    for page in pages:
        public = [name for name, other in named.items() if other.puzzle == page.puzzle and not other.draft]
        made[f"content/{page.name}.md"] = "\n".join(_lines(page, main, pages, named, public, random))
    return made


def _lines(
    page: _Page,
    main: str,
    pages: Sequence[_Page],
    named: dict[str, _Page],
    public: Sequence[str],
    random: Random,
) -> Iterator[str]:
    moves = MOVES[page.puzzle]
    head = [each for each in HEADS if random.random() < 0.15]
    head += [f"puzzle: {page.puzzle}"] if page.puzzle != main else []
    head += ["draft: yes"] if page.draft else []
    if page.sheet:
        head += ["kind: handout", "columns: 2"]
        head += [f"cards: [{random.choice(public)}]"] if public else []
    if head:
        yield "\n".join(["---", *head, "---"])
    for text in random.sample(TEXTS, random.randint(1, 4)):
        yield f"{text}\n"
    there = random.choice([other.name for other in pages if not other.draft])
    folder = page.name.rpartition("/")[0] or "."
    yield f"A [link]({quote(relpath(there + '.md', folder))}) and [all]({relpath('effects.html', folder)}).\n"
    for name, owner in named.items():
        if owner is page:
            keys = "".join(f"{key}\n" for key in KEYS if random.random() < 0.3)
            yield f"```moves {name}\nmoves: {random.choice(moves)}\n{keys}```\n"
    if public and random.random() < 0.5:
        yield f"See [](sequence:{random.choice(public)}) and `@{random.choice(public)}`{{.moves}}.\n"
    if public and random.random() < 0.5:
        yield f"```practice\nfrom: @{random.choice(public)}\ncount: 1\n```\n"
    if random.random() < 0.3:
        yield f"```position\nmoves: {random.choice(moves)}\n```\n"
    if random.random() < 0.3:
        steps = f"steps:\n- turn: {moves[0]}\n  as: a\n- turn: {moves[1]}\n- undo: a\n"
        yield f"```derivation\n{steps}```\n"


def damaged(files: dict[str, str], random: Random) -> dict[str, str]:
    """The same with one to three of its lines left out, written twice, set in, or written otherwise."""
    made = dict(files)
    for _ in range(random.randint(1, 3)):
        name = random.choice(sorted(made))
        lines = made[name].split("\n")
        at = random.randrange(len(lines))
        line = lines[at]
        sign = random.randrange(len(line) + 1)
        lines[at : at + 1] = random.choice(
            [
                [],
                [line, line],
                [f"  {line}"],
                [line, random.choice(DAMAGES)],
                [random.choice(DAMAGES)],
                [random.choice(lines)],
                [line[:sign] + random.choice(SIGNS) + line[sign + 1 :]],
            ]
        )
        made[name] = "\n".join(lines)
    return made


def hold(files: dict[str, str], folder: Path) -> None:
    """Publishes a guide and looks whether it is as it should be."""
    write(folder, files)
    publish(folder)
    assert followed(folder / "output", ADDRESS)
    assert not publish(folder).rendered


def tell(files: dict[str, str], folder: Path) -> None:
    """Publishes a guide, or is told why not, as it is and as a draft."""
    write(folder, files)
    for draft in (False, True):
        with suppress(Problems):
            publish(folder, draft)


def tried(number: int, times: int) -> tuple[bool, list[bool]]:
    """Whether the guide of a number holds, and each time that it is damaged."""
    random = Random(number)
    with TemporaryDirectory() as name:
        os.environ[PLACE] = f"{name}/cache"
        folder = Path(name) / "guide"
        files = guide(random)
        whole = _done(hold, files, folder)
        return whole, [_done(tell, damaged(files, random), folder) for _ in range(times)]


def _done(job: Callable[[dict[str, str], Path], None], files: dict[str, str], folder: Path) -> bool:
    """Whether a job with a guide comes to its end; prints the guide where it does not."""
    try:
        job(files, folder)
    except Exception:
        print_exc(file=sys.stdout)
        print(*(f"== {name}\n{text}" for name, text in files.items()), sep="\n")
        return False
    return True


if __name__ == "__main__":
    guides, times = [int(text) for text in sys.argv[1:]] + [GUIDES, TIMES][len(sys.argv) - 1 :]
    done = [tried(number, times) for number in range(guides)]
    print(told("guides", [whole for whole, _ in done]))
    print(told("damaged guides", [each for _, all_of in done for each in all_of]))
    sys.exit(not all(whole and all(all_of) for whole, all_of in done))
