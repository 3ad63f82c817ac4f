"""Whatever is written means something or is a problem: `python tests/torture/inputs.py [COUNT [GUIDED]]`.

Texts of all kinds that are read from an author are made by chance: by cutting up and putting together what
stands in this repository's own guide, by hypothesis, and, GUIDED of them, by atheris where that is installed,
which looks for texts that reach code which no other has reached. Held is what ends in a result, a Problem or
Problems, within a second of the processor's time. What does not is kept in `corpus/`, by kind, and from then
on read by the tests (`tests/test_corpus.py`).
"""

from __future__ import annotations

import importlib.util
import multiprocessing
import os
import random
import re
import signal
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from functools import cache
from hashlib import sha256
from pathlib import Path
from time import process_time
from types import FrameType
from typing import Any, NamedTuple

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import seed as seeded
from hypothesis import strategies as st

from sitegen.blocks.kinds import KINDS
from sitegen.cache import PLACE
from sitegen.effects.claims import claim_words, parse_claim, parse_placing
from sitegen.effects.piece_sets import parse_pieces, piece_words
from sitegen.guide.load import read_guide
from sitegen.moves.notation import check_notation
from sitegen.moves.parse import parse
from sitegen.moves.references import resolve_one
from sitegen.moves.turning import permutation
from sitegen.pages.config import settled
from sitegen.parallel import cores
from sitegen.problems import Problem, Problems, Source
from sitegen.puzzles import catalogue
from sitegen.reports.puzzle_report import layer_names
from sitegen.site.theme import load_theme

COUNT, GUIDED = 1_000_000, 100_000
BY_HYPOTHESIS = 0.02
"""The share of what hypothesis makes, which takes much longer for each."""
CHUNK = 2_000
SLOW, STOPPED = 1.0, 10
"""Seconds of the processor's time that are too many for one text, and after which it is stopped."""
ROOT = Path(__file__).parents[2]
CORPUS = Path(__file__).with_name("corpus")
PUZZLES = tuple(catalogue.names())
SHARES = {
    "moves": 42,
    "claims": 25,
    "pieces": 15,
    "guide.yaml": 5,
    "theme.yaml": 3,
    "puzzle.yaml": 1,
    "head": 3,
    "block": 4,
    "page": 2,
}
"""Of a hundred texts, how many are of each kind."""
LENGTHY = ("find", "method")
"""Kinds of blocks that search for as long as their page says, which is tried elsewhere."""


class Stopped(BaseException):
    """A text took too long to be waited for."""


# What reads each kind ---------------------------------------------------------------------------------------


def _with_puzzle(text: str) -> tuple[Any, Any]:
    """A text and the puzzle that its first line names, or the cube."""
    first, _, rest = text.partition("\n")
    return (catalogue.puzzle(first), rest) if first in PUZZLES else (catalogue.puzzle("cube-3"), text)


def _moves(text: str) -> None:
    puzzle, written = _with_puzzle(text)
    permutation(resolve_one(parse(Source("moves", written).passage(), puzzle), {}), puzzle)


def _claims(text: str) -> None:
    puzzle, written = _with_puzzle(text)
    passage = Source("claims", written).passage()
    with suppress(Problem):
        parse_placing(passage, puzzle)
    parse_claim(passage, puzzle)


def _pieces(text: str) -> None:
    puzzle, written = _with_puzzle(text)
    parse_pieces(Source("pieces", written).passage(), puzzle)


def _as_unsaved(files: Mapping[str, str]) -> dict[str, str]:
    """Texts as files and editors give them to whoever reads: with one kind of line end."""
    return {name: text.replace("\r\n", "\n").replace("\r", "\n") for name, text in files.items()}


def _guide(files: Mapping[str, str]) -> None:
    guide = read_guide(_nowhere(), unsaved=_as_unsaved({"content/guide.yaml": "title: T\n", **files}))
    raise Problems(guide.problems)


def _settings(text: str) -> None:
    raise Problems(settled(_nowhere(), _as_unsaved({"content/guide.yaml": text})).problems)


def _theme(text: str) -> None:
    folder = _nowhere()
    (folder / "themes/mine").mkdir(parents=True, exist_ok=True)
    (folder / "themes/mine/theme.yaml").write_text(text, encoding="utf-8", errors="replace")
    load_theme(settled(folder, {"content/guide.yaml": "title: T\ntheme: mine\n"}), folder)


def _puzzle(text: str) -> None:
    catalogue.read_puzzles("mine", Source("content/puzzles/mine.yaml", text).passage().source, check_notation)


def _head(text: str) -> None:
    _guide({"content/index.md": f"---\n{text}\n---\nText.\n"})


def _page(text: str) -> None:
    _guide({"content/index.md": text, "content/other.md": "# Other\n\n## There\n"})


READ: Mapping[str, Callable[[str], None]] = {
    "moves": _moves,
    "claims": _claims,
    "pieces": _pieces,
    "guide.yaml": _settings,
    "theme.yaml": _theme,
    "puzzle.yaml": _puzzle,
    "head": _head,
    "block": _page,
    "page": _page,
}


@cache
def _nowhere() -> Path:
    """An empty folder of this process."""
    return Path(tempfile.mkdtemp(dir=os.environ.get("TORTURE_FOLDER")))


def fault(kind: str, text: str) -> str:
    """What is wrong with how reading a text ended; empty for nothing."""

    def stop(number: int, frame: FrameType | None) -> None:
        raise Stopped

    signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, STOPPED)
    begun = process_time()
    try:
        READ[kind](text)
    except (Problem, Problems) as found:
        for problem in found.problems if isinstance(found, Problems) else [found]:
            str(problem)
    except Stopped:
        return f"took more than {STOPPED} s"
    except Exception as error:
        return f"{type(error).__name__}: {error}"[:300]
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
    took = process_time() - begun
    return f"took {took:.1f} s" if took > SLOW else ""


# Making texts -----------------------------------------------------------------------------------------------


class Seeds(NamedTuple):
    """Texts of each kind that are there, and the words of which these are made."""

    texts: Mapping[str, list[str]]
    words: Mapping[str, list[str]]


@cache
def seeds() -> Seeds:
    pages = [path.read_text(encoding="utf-8") for path in sorted((ROOT / "content").rglob("*.md"))]
    fences = [found for page in pages for found in re.findall(r"(?ms)^```(\w+)([^\n]*)\n(.*?)^```$", page)]
    known = [(kind, info, body) for kind, info, body in fences if kind in KINDS and kind not in LENGTHY]
    lines = [line.removeprefix("- ").strip() for _, _, body in known for line in body.splitlines()]
    values = [line.partition(": ")[2] or line for line in lines]
    definitions = [
        *(ROOT / "sitegen/puzzles/definitions").glob("*.yaml"),
        *(ROOT / "content/puzzles").glob("*.yaml"),
    ]
    blocks = [f"```{kind}{info}\n{body}```\n" for kind, info, body in known]
    texts = {
        "moves": values,
        "claims": values,
        "pieces": values,
        "guide.yaml": [(ROOT / "content/guide.yaml").read_text(encoding="utf-8")],
        "theme.yaml": [
            path.read_text(encoding="utf-8") for path in sorted((ROOT / "themes").glob("*/theme.yaml"))
        ],
        "puzzle.yaml": [path.read_text(encoding="utf-8") for path in sorted(definitions)],
        "head": [found[1] for page in pages if (found := re.match(r"(?ms)---\n(.*?)^---$", page))],
        "block": blocks,
        "page": [without_lengthy(page) for page in pages if len(page) < 6_000],
    }
    words = {
        kind: sorted({word for text in some for word in re.findall(r"\w+|\W", text)})
        for kind, some in texts.items()
    }
    for name in PUZZLES:
        puzzle = catalogue.puzzle(name)
        words["claims"] += [f" {word} " for word in claim_words(puzzle)]
        words["pieces"] += [f" {word} " for word in piece_words(puzzle)]
        words["moves"] += layer_names(puzzle)
    return Seeds(texts, words)


def without_lengthy(page: str) -> str:
    return re.sub(rf"(?ms)^```(?:{'|'.join(LENGTHY)})\b.*?^```$", "", page)


SIGNS = [
    *"`'\"’′[](){}@:,;>#|*_~\\/&%$!?^=+-.²½９",
    "\n", "\n\n", "\t", "  ", "\r", "\r\n", "\0",
    "\x0b", "\x0c", "\x1b", "\x7f", "\x85", "\u2028", "\ufeff", "\u202e",
    "\u200d", "é", "é", "ß", "İ", "🧩", "𝟙",
    "\udc80", "- ", "? ", "---\n", "...\n", "&a ", "*a", "!!python/object:x ",
    "<<: ", "{{", "{%", "<b>", "-->", "<![CDATA[",
    "&#0;", "&nbsp;", "](", "{.moves}", "sequence:", "```moves\n", "~~~",
    "9" * 30, "9" * 5000, "-1", "0", "1e9", "0x10", "1_000",
    "2024-13-45", "null", "yes", "~", ".inf", ".nan", "(" * 200,
    "[" * 200, "R U " * 200, "'" * 200, " except " * 50,
]  # fmt: skip


def mutated(kind: str, draw: random.Random) -> str:
    """A text of a kind, cut up and put together anew."""
    texts, words = seeds()
    text = draw.choice(texts[kind])
    if kind in ("moves", "claims", "pieces") and draw.random() < 0.3:
        text = "".join(
            draw.choice(words[kind]) + draw.choice(["", " "]) for _ in range(draw.randrange(1, 12))
        )
    for _ in range(draw.choice([0, 1, 1, 2, 3, 8])):
        a = draw.randrange(len(text) + 1)
        b = min(len(text), a + int(draw.expovariate(0.1)))
        other = draw.choice(texts[kind])
        c = draw.randrange(len(other) + 1)
        into = draw.choice(
            [
                "",
                text[a:b] * draw.choice([2, 2, 3, 100]),
                draw.choice(SIGNS),
                draw.choice(SIGNS) + text[a:b],
                draw.choice(words[kind]),
                other[c : c + int(draw.expovariate(0.05))],
                chr(draw.choice([draw.randrange(128), draw.randrange(0x3000), draw.randrange(0x110000)])),
                text[a:b].swapcase(),
                "".join(draw.sample(text[a:b], b - a)),
            ]
        )
        text = text[:a] + into + text[b:]
    if kind in ("moves", "claims", "pieces") and draw.random() < 0.7:
        text = f"{draw.choice(PUZZLES)}\n{text}"
    return text


def by_hypothesis(kind: str, count: int, seed: int) -> Iterator[str]:
    """Texts of words and signs of a kind, and of any characters."""
    words = st.sampled_from([*seeds().words[kind], *SIGNS])
    parts = st.lists(st.one_of(words, words, words, st.text(max_size=8)), max_size=40).map("".join)
    whole = (
        parts
        if kind not in ("moves", "claims", "pieces")
        else st.tuples(st.sampled_from(PUZZLES), parts).map("\n".join)
    )
    made: list[str] = []

    @seeded(seed)
    @settings(
        max_examples=count,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(whole)
    def gather(text: str) -> None:
        made.append(text)

    gather()
    yield from made[:count]


def chunk(given_: tuple[int, int]) -> tuple[Counter[str], list[tuple[str, str, str]]]:
    """How many texts of each kind were read of one chunk, and what does not hold."""
    seed, size = given_
    draw = random.Random(seed)
    tried: Counter[str] = Counter()
    odd: list[tuple[str, str, str]] = []
    for kind, share in SHARES.items():
        wanted = size * share // 100
        hypothetic = round(wanted * BY_HYPOTHESIS)
        made = (mutated(kind, draw) for _ in range(wanted - hypothetic))
        for text in (*made, *(by_hypothesis(kind, hypothetic, seed) if hypothetic else ())):
            tried[kind] += 1
            if wrong := fault(kind, text):
                odd.append((kind, text, wrong))
    return tried, odd


# Guided -----------------------------------------------------------------------------------------------------


def guided(count: int) -> tuple[int, int]:
    """How many texts atheris made and how many of them held; it stops at the first that does not."""
    # What it is to look into it has to see read.
    seen = "import atheris\nwith atheris.instrument_imports(include=['sitegen']): import inputs\n"
    done = subprocess.run(
        [sys.executable, "-c", f"{seen}inputs.guide({count})"],
        capture_output=True,
        text=True,
        errors="replace",
        env={**os.environ, "PYTHONPATH": os.pathsep.join([str(CORPUS.parent), *sys.path])},
    )
    for kind, text, wrong in re.findall(r"(?m)^ODD (\S+) (.*) \| (.*)$", done.stdout):
        keep(kind, bytes.fromhex(text).decode("utf-8", "surrogatepass"), wrong)
    found = re.findall(r"(?m)^READ (\d+) HELD (\d+)$", done.stdout)
    if not found:
        print(done.stderr[-2000:])
    return (int(found[-1][0]), int(found[-1][1])) if found else (0, -1)


def guide(count: int) -> None:
    """In a process of its own, which atheris ends."""
    import atheris

    tried = held = 0
    kinds = list(READ)

    def one(data: bytes) -> None:
        nonlocal tried, held
        kind, text = kinds[(data[0] if data else 0) % len(kinds)], data[1:].decode("utf-8", "replace")
        tried += 1
        wrong = fault(kind, text)
        held += not wrong
        if wrong:
            print(f"ODD {kind} {text.encode().hex()} | {wrong.splitlines()[0] if wrong else ''}")
        if tried % 500 == 0 or tried >= count - 10 or wrong:
            print(f"READ {tried} HELD {held}", flush=True)

    with tempfile.TemporaryDirectory() as begun:
        for number, kind in enumerate(kinds):
            for at, text in enumerate(seeds().texts[kind][:40]):
                (Path(begun) / f"{number}-{at}").write_bytes(bytes([number]) + text.encode())
        atheris.Setup(["inputs", f"-runs={count}", "-max_len=4096", "-timeout=60", begun], one)
        atheris.Fuzz()


# ------------------------------------------------------------------------------------------------------------


def keep(kind: str, text: str, wrong: str) -> None:
    print(f"    {kind}: {text[:200]!r}: {wrong}")
    folder = CORPUS / kind
    folder.mkdir(parents=True, exist_ok=True)
    content = text.encode("utf-8", "surrogatepass")
    (folder / f"{sha256(content).hexdigest()[:16]}.txt").write_bytes(content)


def corpus() -> list[Path]:
    """The texts that once did not hold."""
    return sorted(path for path in CORPUS.rglob("*.txt"))


def _alone() -> None:
    """A process that reads leaves the other cores to those beside it."""
    if hasattr(os, "sched_setaffinity"):
        mine = sorted(os.sched_getaffinity(0))
        os.sched_setaffinity(0, {mine[os.getpid() % len(mine)]})


def run(count: int) -> tuple[Counter[str], Counter[str]]:
    """How many texts of each kind were read, and how many did not hold."""
    tried: Counter[str] = Counter()
    odd: Counter[str] = Counter()
    size = min(CHUNK, max(100, count))
    parts = [(number, size) for number in range(-(-count // size))]
    with multiprocessing.get_context("fork").Pool(cores(), _alone, maxtasksperchild=20) as pool:
        for done, found in pool.imap_unordered(chunk, parts):
            tried += done
            for kind, text, wrong in found:
                odd[kind] += 1
                if odd[kind] <= 20:
                    keep(kind, text, wrong)
    return tried, odd


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        os.environ |= {PLACE: f"{folder}/cache", "TORTURE_FOLDER": folder}
        if hasattr(os, "nice"):
            os.nice(10)
        wanted = [int(text) for text in sys.argv[1:]] + [COUNT, GUIDED][len(sys.argv) - 1 :]
        tried, odd = run(wanted[0])
        for kind, number in tried.items():
            print(f"{kind}: tried {number:,}, held {number - odd[kind]:,}")
        print(f"texts made by chance: tried {tried.total():,}, held {tried.total() - odd.total():,}")
        held = not odd
        if wanted[1] and importlib.util.find_spec("atheris"):
            number, good = guided(wanted[1])
            print(f"texts made by looking for code not reached: tried {number:,}, held {good:,}")
            held = held and number == good
        elif wanted[1]:
            print("skipped: texts made by looking for code not reached; atheris is not installed")
    sys.exit(not held)
