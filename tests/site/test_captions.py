"""Captions of figures: numbered where the author wants it, and links that then say the number.

What is looked at in a browser needs the Chromium that the system provides, and is skipped without it.
"""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from sample_guide import guide_of
from sample_rendering import CHROMIUM, needs, without_faults

from sitegen.site.publish import publish

NUMBERED = "title: T\nfigure numbers: yes\n"
BLOCKS = """\
```moves plain
R U
```

```moves lift
moves: F D' U L2 U2 D2 R U
caption: Up and back, by `R`{.moves}, see [](more.md).
```

```position
pieces: flips UF and UR
caption: Two of them.
```

```position three
moves: R U
caption: And turned.
```
"""


def captions(page: str) -> list[str]:
    return re.findall(r'<figure class="captioned">\n<figcaption>(.*?)</figcaption>', page)


def links(page: str) -> dict[str, str]:
    text = page.partition("<article>")[2]
    return dict(re.findall(r'<a href="([^"]+)">([^<]+)</a>', text))


def test_a_caption_stands_with_its_card_and_has_no_number_unless_asked_for(published) -> None:
    page = published({"content/index.md": BLOCKS, "content/more.md": "# More\n"})["index.html"]
    first, second, third = captions(page)
    assert first.startswith('Up and back, by <code class="moves" data-')
    assert first.endswith('see <a href="more.html">More</a>.')
    assert (second, third) == ("Two of them.", "And turned.")
    assert '<section class="card sequence" id="sequence-lift"' in page.partition("Up and back")[2][:1000]


@pytest.mark.parametrize(
    ("config", "head", "numbers"),
    [
        ("title: T\n", "", []),
        (NUMBERED, "", ["1", "2", "3"]),
        ("title: T\n", "---\nfigure numbers: yes\n---\n", ["1", "2", "3"]),
        (NUMBERED, "---\nfigure numbers: no\n---\n", []),
    ],
)
def test_the_guide_or_the_page_has_them_numbered(published, config, head, numbers) -> None:
    files = {"content/guide.yaml": config, "content/index.md": head + BLOCKS, "content/more.md": "# More\n"}
    page = published(files)["index.html"]
    assert re.findall(r"<figcaption><b>Figure (\d)</b> ", page) == numbers


LINKS = (
    "[](#sequence-lift), <position:three>, <sequence:lift>, [that](#position-three) and [](#sequence-plain)."
)


def test_a_link_to_a_numbered_figure_says_its_number(published) -> None:
    files = {
        "content/guide.yaml": NUMBERED,
        "content/index.md": f"# Home\n\n{BLOCKS}\n{LINKS}\n",
        "content/more.md": "# More\n\n## See [](position:three)\n\nAs [](index.md#sequence-lift), "
        "[](index.md#position-three) and [](index.md).\n\n```moves own\nmoves: U\ncaption: One.\n```\n",
    }
    site = published(files)
    here = links(site["index.html"])
    assert here["#sequence-lift"] == "Figure 1"
    assert here["sequences/lift.html"] == "Lift"
    assert re.findall(r'<a href="#position-three">([^<]+)', site["index.html"]) == ["Figure 3", "that"]
    elsewhere = re.findall(r'<a href="(index.html#?[^"]*)">([^<]+)</a>', site["more.html"])
    assert [each for each in elsewhere if "#" in each[0]] == [
        ("index.html#position-three", "Figure 3 in Home"),
        ("index.html#sequence-lift", "Figure 1 in Home"),
        ("index.html#position-three", "Figure 3 in Home"),
    ]
    assert 'id="see-figure-3-in-home"' in site["more.html"]


def test_without_numbers_a_link_says_a_title(published) -> None:
    files = {"content/index.md": f"# Home\n\n{BLOCKS}\n<position:three>.\n", "content/more.md": "# More\n"}
    assert links(published(files)["index.html"])["#position-three"] == "Three"


def test_what_a_caption_says_is_checked(problems_of) -> None:
    caption = "caption: So `R U`{.moves} `order 5`{.claim}, [x](nowhere.md) and [^1]."
    problems = problems_of(index=f"```moves q\nmoves: R U\n{caption}\n```\n")
    found = [(each.passage.line, each.passage.text) for each in problems]
    assert sorted(found) == [(3, "[^1]"), (3, "nowhere.md"), (3, "order 5")]


def test_a_block_elsewhere_has_its_caption_and_no_number(published) -> None:
    files = {"content/guide.yaml": f"{NUMBERED}embed: yes\n", "content/index.md": BLOCKS}
    files["content/more.md"] = "# More\n"
    assert captions(published(files)["embed/three.html"]) == ["And turned."]


PICTURES = """\
![A room](room.jpg "Before noon, at UFR & so on.")

```moves lift
moves: R U
caption: Up.
```

![One](one.jpg "First."){.half}
![Two](two.jpg){.half}

- ![Three](one.jpg "In a list.")

A ![small](one.jpg "hint") one, a [![linked](one.jpg "there")](more.md), and ![itself](one.jpg).

![Alone](one.jpg)

See [](#sequence-lift).
"""


def test_pictures_without_words_round_them_have_their_titles_as_captions(published) -> None:
    files = {f"content/{name}.jpg": "" for name in ("room", "one", "two")}
    files |= {"content/guide.yaml": NUMBERED, "content/index.md": PICTURES, "content/more.md": "# More\n"}
    page = published(files)["index.html"]
    rows = re.findall(r'<div class="pictures">(.*?)</div>', page)
    shown = [re.sub(r'<span class="heard">.*?</span>|</?span.*?>', "", row) for row in rows]
    assert shown == [
        '<figure><img src="room.jpg" alt="A room" />'
        "<figcaption><b>Figure 1</b> Before noon, at UFR &amp; so on.</figcaption></figure>",
        '<figure class="half"><img src="one.jpg" alt="One" />'
        "<figcaption><b>Figure 3</b> First.</figcaption></figure>"
        '<figure class="half"><img src="two.jpg" alt="Two" /></figure>',
        '<figure><img src="one.jpg" alt="Three" />'
        "<figcaption><b>Figure 4</b> In a list.</figcaption></figure>",
    ]
    assert re.findall(r'title="(hint|there|First[.])"', page) == ["hint", "there"]
    assert '<p><img src="one.jpg" alt="Alone" /></p>' in page
    assert links(page)["#sequence-lift"] == "Figure 2"


HEADINGS = "".join(f"## Part {number}\n\nText.\n\n" for number in range(8))
WIDE, PHONE = {"width": 1440, "height": 900}, {"width": 360, "height": 800}
BOX = "each => { const b = each.getBoundingClientRect(); return [b.left, b.top, b.right, b.bottom] }"


@pytest.fixture(scope="module", params=["folio", "board"])
def output(request, tmp_path_factory) -> Path:
    """A page with a list of its headings and figures from the first line on, in a theme."""
    again = re.sub("plain|lift|three", lambda found: f"{found[0]}-again", BLOCKS)
    index = f"# Home\n\n{BLOCKS}\n{HEADINGS}{again}"
    config = f"{NUMBERED}theme: {request.param}\n"
    folder = guide_of(tmp_path_factory.mktemp("guide"), config, index=index, more="# More\n")
    publish(folder)
    return folder / "output"


@needs(chromium=CHROMIUM)
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_on_a_wide_screen_captions_stand_in_the_margin_and_keep_off_the_list(
    browser: Browser, output: Path, scheme: str
) -> None:
    with without_faults(browser, output / "index.html", viewport=WIDE, color_scheme=scheme) as page:
        cards = page.locator(".captioned > .card").evaluate_all(f"all => all.map({BOX})")
        notes = page.locator(".captioned > figcaption").evaluate_all(f"all => all.map({BOX})")
        assert len(cards) == len(notes) == 6
        for card, note in zip(cards, notes, strict=True):
            assert note[0] > card[2]
            assert note[2] <= WIDE["width"]
        for scrolled in range(0, int(cards[-1][3]), 200):
            page.evaluate(f"scrollTo(0, {scrolled})")
            notes = page.locator(".captioned > figcaption").evaluate_all(f"all => all.map({BOX})")
            boxes = sorted([page.locator(".on-this-page").evaluate(BOX), *notes], key=lambda box: box[1])
            assert all(above[3] <= below[1] for above, below in pairwise(boxes)), scrolled
        assert page.evaluate("document.documentElement.scrollWidth") <= WIDE["width"]


@needs(chromium=CHROMIUM)
def test_on_a_telephone_they_stand_above_their_cards(browser: Browser, output: Path) -> None:
    with without_faults(browser, output / "index.html", viewport=PHONE) as page:
        cards = page.locator(".captioned > .card").evaluate_all(f"all => all.map({BOX})")
        notes = page.locator(".captioned > figcaption").evaluate_all(f"all => all.map({BOX})")
        assert all(note[3] <= card[1] for card, note in zip(cards, notes, strict=True))
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
