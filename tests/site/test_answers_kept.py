"""Answers: none can be read off the sheet that asks for them, and none is published unless that is asked.

What a page shows is read from its HTML, and turned on SymPy's own cube and as a published permutation group.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate, islice, permutations
from operator import mul
from pathlib import Path

import pytest
from published_cube import facets, key
from read_html import Document, Element, unspelt
from sample_guide import write_guide
from sample_practice import on_sympys_cube
from sample_sheets import ADDRESS, needs_printer, pdf_reader, sheet_guide
from sympy.combinatorics import Permutation as SympyPermutation

from sitegen.guide.load import read_guide
from sitegen.site.publish import handout, publish
from sitegen.site.render import Site
from sitegen.site.theme import load_theme

SEEDS = range(6)
SEQUENCES = {
    "flip-pair": "[F D' U L2 U2 D2 R U, U]",
    "three-up": "R U' L' U R' U' L U",
    "exchange": "[R U' R', D]",
    "in-full": "R U' R' D R U R' D'",  # by hand: the same, turn by turn
    "back": "D R U' R' D' R U R'",  # by hand: the same, undone
    "around": "[F: @exchange]",
}
BLOCKS = "".join(f"```moves {name}\n{moves}\n```\n\n" for name, moves in SEQUENCES.items())
EVERY = " ".join(f"@{name}" for name in SEQUENCES)
TWO_BLOCKS = """\
---
title: Two blocks
kind: exercises
---

```practice
from: {every}
count: 4
seed: {seed}
lead-in: 1 turn of R, F and D
hold: y
view: net
```

```practice
from: {every}
fill in: arrows, effect, undoing, commutator
count: 8
seed: {seed}
mirror: yes
hold: y
view: net
```
"""
SOLVE, ARROWS, EFFECT = "Set it up", "Draw an arrow", "Say in words"
UNDOING, COMMUTATOR = "Write down", "Finish"


@dataclass
class Asked:
    """An exercise as it stands on its page, and its answer as it stands on the page of answers."""

    prompt: str
    moves: list[str]
    figures: list[Element]
    answer: Element

    def is_about(self, *prompts: str) -> bool:
        return any(prompt in self.prompt for prompt in prompts)

    @property
    def turns(self) -> list[str]:
        """Those that it shows; of a commutator A and B."""
        return self.moves[-1].split()

    @cached_property
    def position(self) -> dict[str, str]:
        """What is shown where after its turns."""
        return shows(" ".join(self.turns))

    @cached_property
    def stretches(self) -> list[SympyPermutation]:
        """What two or more of its turns do that follow one another."""
        turns = [on_sympys_cube(turn) for turn in self.turns]
        return [
            done for start in range(len(turns)) for done in islice(accumulate(turns[start:], mul), 1, None)
        ]

    @cached_property
    def sought(self) -> list[SympyPermutation]:
        """What the moves do that are to be found or written down."""
        texts = [code.text for code in self.answer.all("code", class_="moves")]
        if self.is_about(SOLVE):
            return [on_sympys_cube(plain(texts)[0])]
        if self.is_about(UNDOING):
            return [on_sympys_cube(plain(texts)[1])]
        if self.is_about(COMMUTATOR):
            return [on_sympys_cube(texts[-1]), on_sympys_cube(self.answer.all("code")[-1].all("b")[0].text)]
        return []

    @cached_property
    def effect(self) -> str:
        """What its moves do, in the words of the answer."""
        return next((p.text for p in self.answer.all("p") if p.text.endswith("everything else is home.")), "")


def plain(texts: list[str]) -> list[str]:
    """Of some moves those that are nothing but turns of faces."""
    return [text for text in texts if re.fullmatch("[UDFBLR2' ]+", text)]


def shows(text: str) -> dict[str, str]:
    """For each place of a sticker the face whose colour is there after turns."""
    return {end: start[0] for start, end in facets(text).items()}


def undone(turns: list[str]) -> str:
    other = {"'": "", "2": "2", "": "'"}
    return " ".join(turn[0] + other[turn[1:]] for turn in reversed(turns))


@pytest.fixture(scope="module")
def site(tmp_path_factory) -> Site:
    """A page for each seed."""
    pages = {f"content/s{seed}.md": TWO_BLOCKS.format(every=EVERY, seed=seed) for seed in SEEDS}
    files: dict[str, str | bytes] = {"content/guide.yaml": "title: G\n", "content/index.md": BLOCKS, **pages}
    guide = read_guide(write_guide(tmp_path_factory.mktemp("two"), files))
    assert [str(problem) for problem in guide.problems] == []
    return Site(guide, load_theme(guide.config, guide.folder))


@pytest.fixture(params=[f"{seed}{variant}" for seed in SEEDS for variant in ("", "A")])
def asked(site: Site, request) -> list[Asked]:
    """The exercises of a page."""
    found = re.fullmatch("([0-9]+)([A-Z]?)", request.param)
    page = site.guide.targets.pages[f"s{found[1]}"]
    there = Site(site.guide, site.theme, variant=found[2])
    exercises, answers = (
        Document.read(html).root for html in map(there.text, (there.page(page), there.answers(page)))
    )
    return [
        Asked(
            exercise.all("p", class_="prompt")[0].text,
            [code.text for code in exercise.all("code", class_="moves")],
            exercise.all("svg"),
            answer,
        )
        for exercise, answer in zip(
            exercises.all("div", class_="exercise"), answers.all("div", class_="answer"), strict=True
        )
    ]


def test_no_exercise_of_a_page_gives_away_the_answer_to_another(asked: list[Asked]) -> None:
    prompts = [SOLVE] * 4 + [ARROWS] * 2 + [EFFECT] * 2 + [UNDOING] * 2 + [COMMUTATOR] * 2
    assert all(each.is_about(prompt) for each, prompt in zip(asked, prompts, strict=True))
    for one, other in permutations(asked, 2):
        where = f"“{one.prompt}” {one.moves} gives away “{other.prompt}” {other.moves}"
        assert not any(done in one.stretches for done in other.sought), where
        if one.is_about(SOLVE, EFFECT):  # it shows the puzzle after its turns
            assert one.position != other.position or other.is_about(UNDOING, COMMUTATOR), where
            assert one.position != shows(undone(other.turns)) or other.is_about(UNDOING, COMMUTATOR), where
        if other.is_about(ARROWS, EFFECT):
            told = unspelt(" ".join(figure.text for figure in one.figures))
            assert other.effect
            assert other.effect.lower() not in told.lower(), where


def test_a_figure_shows_the_position_that_it_is_about_and_no_other(asked: list[Asked]) -> None:
    """So that positions stand for figures above. Two drawings are alike just if they show the same."""
    for each in asked:
        if each.is_about(EFFECT):
            (told,) = (unspelt(desc.text) for desc in each.figures[0].all("desc"))
            listed = {key(slot): face for slot, face in re.findall(r"([UDFBLR]+) shows ([UDFBLR])", told)}
            assert listed == {slot: face for slot, face in each.position.items() if face != slot[0]}
    drawn = [
        str([[sticker.attributes for sticker in figure.all("path")], figure.all("g")[0].text])
        for each in asked
        if each.is_about(SOLVE, EFFECT)
        for figure in each.figures
    ]
    assert len(set(drawn)) == len(drawn) == 6


# What is published ----------------------------------------------------------------------------------------

SOLVED_BY_HAND = "D R U R' D' R U' R'"
"""What undoes the only exercise below, by hand: its turns backwards, each the other way."""
KEPT_BACK = """\
---
title: For next week
kind: exercises
---

```practice
from: @asked
fill in: undoing
count: 1
```
"""


def kept_back(folder: Path) -> Path:
    files: dict[str, str | bytes] = {
        "content/guide.yaml": f"title: G\naddress: {ADDRESS}\n",
        "content/index.md": "```moves asked\nR U R' D R U' R' D'\n```\n",
        "content/next-week.md": KEPT_BACK,
        "content/lesson.md": KEPT_BACK.replace("kind: exercises\n", ""),
    }
    return write_guide(folder, files)


def nothing_tells(output: Path) -> None:
    """That no file has the answer in it, is called after it or leads to it."""
    for path in output.rglob("*"):
        assert "answers" not in path.name
        text = path.read_text(encoding="utf-8") if path.suffix not in (".pdf", ".woff2", ".png", "") else ""
        assert SOLVED_BY_HAND not in " ".join(text.split())
        if path.suffix == ".html":
            assert "answers" not in text.lower(), path
        if path.suffix == ".pdf":
            reader = pdf_reader(path.read_bytes())
            assert SOLVED_BY_HAND not in " ".join(" ".join(p.extract_text() for p in reader.pages).split())


def test_answers_are_not_published_unless_that_is_asked_and_nothing_leads_to_them(tmp_path) -> None:
    folder = kept_back(tmp_path)
    publish(folder)
    for name in ("next-week.html", "lesson.html"):
        assert "R U R' D R U'" in (folder / "output" / name).read_text()
    nothing_tells(folder / "output")
    assert not (folder / "answers").exists()


@needs_printer
def test_what_is_printed_for_the_teacher_never_comes_into_the_site(tmp_path) -> None:
    folder = kept_back(tmp_path)
    for act in (handout, publish, handout):
        act(folder)
        nothing_tells(folder / "output")
        (key_to,) = (folder / "answers").glob("next-week-answers.pdf")
        words = " ".join(page.extract_text() for page in pdf_reader(key_to.read_bytes()).pages)
        assert SOLVED_BY_HAND in " ".join(words.split())
        # The foot leads to the exercises: with an address it has it in words beside the code.
        assert f"{ADDRESS}next-week.html" in words
        assert "answers.html" not in words


def test_answers_that_are_published_are_linked_to_below_their_exercises(tmp_path) -> None:
    folder = write_guide(tmp_path, sheet_guide())
    publish(folder)
    page = Document.read((folder / "output" / "exercises.html").read_text()).root
    links = [a.attributes["href"] for p in page.all("p", class_="to-answers") for a in p.all("a")]
    assert links == ["exercises-answers.html"] * 2
    assert (folder / "output" / "exercises-answers.html").is_file()
