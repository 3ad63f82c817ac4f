"""What an author wrote is marked as in the guide's language, and what pages say of themselves as English.

The guide is in Greek, whose letters no English word has: so each text tells whose it is.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from read_html import Document, Element, documents
from sample_guide import write_guide
from sample_rendering import CHROMIUM, needs

from sitegen.site.publish import publish

BLOCKS = """\
Κείμενο με `R U R' U'`{.moves} που `order 6`{.claim}, και @x. Το UFR μένει.[^one]

[^one]: Σημείωση.

::: note
Πλαίσιο.
:::

| Κινήσεις | Εικόνα |
|---|---|
| `R`{.moves} | `R`{.case} |

```moves lift
title: Ακμή
moves: F D' U L2 U2 D2 R U
say: Πρόταση.
caption: Λεζάντα.
claims: keeps U except UF
tags: [ετικέτα]
effect: Γυρίζει.
```

```moves pair
title: Ζεύγος
moves: [@lift, U]
tags: [ετικέτα]
```

```moves
[@lift, U]
```

```derivation back
title: Παραγωγή
say: Πρόταση.
steps:
- turn: R
  as: αρχή
  say: Λόγος.
- turn: U
- undo: αρχή
```

```position flip
title: Θέση
moves: R U
say: Πρόταση.
solve: U' R'
```

```find
title: Εύρεση
claims: order 4; length 1 OBTM
say: Πρόταση.
```

```method way
title: Μέθοδος
say: Πρόταση.
count: 5
stages:
- stage: Πρώτα
  goal: UF placed
  using: any turns up to 2
  say: Πρόταση.
- stage: Ύστερα
  goal: UF oriented by U
  using: @lift
```

```worked example done
title: Παράδειγμα
method: way
seed: 1
say: Πρόταση.
```
"""
HEAD = "---\nsummary: Περίληψη.\ntags: [ετικέτα]\n---\n"
SHEET = """\
---
title: Φύλλο
kind: exercises
answers: published
case sheet: way
cards: [lift, pair]
---
Κείμενο.

```practice
title: Άσκηση
from: @lift and @pair
count: 2
say: Πρόταση.
```
"""
OURS, THEIRS = re.compile(r"\b[A-Za-z]?[a-z]{2,}\b"), re.compile(r"[Α-ω]")
NOBODYS = ("script", "style", "pre", "code", "title")
"""What is in no language, or has no room for marks."""


@pytest.fixture(scope="module")
def pages(tmp_path_factory) -> dict[str, Document]:
    config = (
        "title: Οδηγός\nauthor: Κάποια\nlicence: Άδεια.\nfooter: Τέλος.\nlanguage: el\nfigure numbers: yes\n"
    )
    files: dict[str, str | bytes] = {
        "content/guide.yaml": config,
        "content/index.md": f"{HEAD}# Αρχή\n\n{BLOCKS}\n## Ένα\n\n## Δύο\n\n## Τρία\n",
        "content/sheet.md": SHEET,
        "content/more.md": "# Άλλα\n\nΚείμενο για <sequence:lift>.\n",
    }
    folder: Path = write_guide(tmp_path_factory.mktemp("greek"), files)
    publish(folder)
    return documents(folder / "output")


def language(element: Element | None) -> str:
    """The language of what is nearest and says one."""
    while element and not element.attributes.get("lang"):
        element = element.parent
    return element.attributes["lang"] if element else ""


def texts(element: Element):
    """Each text with what it stands in."""
    for each in [element, *element.walk()]:
        if each.tag not in NOBODYS and not any(each.inside(tag) for tag in NOBODYS):
            for child in each.children:
                if isinstance(child, str) and child.strip():
                    yield each, child.strip()


def test_every_text_is_marked_as_in_the_language_that_it_is_in(pages) -> None:
    wrong = set()
    for name, page in pages.items():
        for element, text in texts(page.root):
            for letters, said in ((THEIRS, "el"), (OURS, "en")):
                if letters.search(text) and language(element) != said:
                    wrong.add((name, said, element.tag, text))
    assert sorted(wrong) == []


def test_where_all_is_english_nothing_is_marked_but_the_page(published) -> None:
    text = "`R U`{.moves} has `order 105`{.claim}.\n\n```moves one\ntitle: One\nmoves: R\n```\n"
    for language in ("en", "en-GB"):
        config = f"title: T\nlanguage: {language}\n"
        files = published({"content/guide.yaml": config, "content/index.md": text})
        for html in (text for name, text in files.items() if name.endswith(".html")):
            assert re.findall(r'\b(?:lang|dir)="[^"]*"', html) == [f'lang="{language}"']


@pytest.mark.parametrize("language", ["he", "ar-EG", "fa"])
def test_what_runs_from_the_right_says_so_and_english_within_it_the_contrary(
    published, language: str
) -> None:
    text = "# שלום\n\n```moves one\ntitle: אחת\nmoves: R\n```\n"
    html = published({"content/guide.yaml": f"title: T\nlanguage: {language}\n", "content/index.md": text})
    page = Document.read(html["index.html"]).root
    (whole,) = page.all("html")
    assert (whole.attributes["lang"], whole.attributes["dir"]) == (language, "rtl")
    (card,) = page.all("section", class_="card")
    assert (card.attributes["lang"], card.attributes["dir"]) == ("en", "ltr")
    (title,) = card.all("p", class_="card-title")
    assert [each.attributes["dir"] for each in title.all("span") if each.attributes.get("lang")] == ["rtl"]


@needs(chromium=CHROMIUM)
@pytest.mark.parametrize("language", ["he", "en"])
def test_moves_run_from_the_left_whatever_runs_around_them(tmp_path, browser: Browser, language: str) -> None:
    text = "שלום `R U F'`{.moves} שלום\n"
    config = f"title: T\nlanguage: {language}\n"
    publish(write_guide(tmp_path, {"content/guide.yaml": config, "content/index.md": text}))
    page = browser.new_context(offline=True).new_page()
    page.goto((tmp_path / "output/index.html").as_uri())
    style = "each => [getComputedStyle(each).direction, getComputedStyle(each).unicodeBidi]"
    assert page.locator("p code.moves").evaluate(style) == ["ltr", "isolate"]
    # Nothing lies beside what is seen, where a page that runs from the right would begin.
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
