"""PDFs of sheets: tagged, complete, the same wherever they are made, and of nothing but the site."""

from __future__ import annotations

import hashlib
import os
import socket
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from shutil import rmtree
from typing import Any

import pytest
from sample_guide import SQUARE, write_guide
from sample_methods import CORNER_STAGES, SMALL_CUBE, moves_blocks
from sample_sheets import ADDRESS, needs_printer, papers, pdf_reader, sheet_guide, structure

from sitegen import parallel
from sitegen.guide.load import read_guide
from sitegen.guide.printed import printed as printed_of
from sitegen.site.pdf import PdfRenderer
from sitegen.site.publish import handout
from sitegen.site.render import Site
from sitegen.site.theme import load_theme

pytestmark = needs_printer

PATHS = ("cards.pdf", "cases.pdf", "essay.pdf", "exercises.pdf", "exercises-answers.pdf")
SHEET = "---\ntitle: Sheet\nkind: handout\n---\n"


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    """The sample without an address, printed."""
    folder = write_guide(tmp_path_factory.mktemp("pdf"), sheet_guide())
    handout(folder)
    return folder


@pytest.fixture(scope="module")
def pdfs(folder: Path) -> dict[str, bytes]:
    return {name: (folder / "output" / name).read_bytes() for name in PATHS}


def printed(folder: Path, files: dict[str, str | bytes]) -> bytes:
    """The PDF of one sheet, sheet.md, in a guide of its own."""
    base: dict[str, str | bytes] = {"content/guide.yaml": "title: A guide\n", "content/index.md": "Home.\n"}
    handout(write_guide(folder, {**base, **files}))
    return (folder / "output" / "sheet.pdf").read_bytes()


def outline(entries: list[Any]) -> list[Any]:
    """Titles of bookmarks, those below another in a list behind it."""
    return [outline(entry) if isinstance(entry, list) else entry["/Title"] for entry in entries]


def test_a_method_begins_below_what_stands_before_it_and_is_printed_unfolded(tmp_path: Path) -> None:
    """With all that is folded on screen, and no sheet left empty before it."""
    files: dict[str, str | bytes] = {
        "content/index.md": SMALL_CUBE + moves_blocks(["three-up", "twist-pair"]),
        "content/sheet.md": f"---\npuzzle: cube-2\nkind: handout\n---\n```method small\n{CORNER_STAGES}```\n",
    }
    first, *others = pdf_reader(printed(tmp_path, files)).pages
    assert "Bring the corners of D home, in 4 steps." in first.extract_text()
    text = " ".join(" ".join(page.extract_text() for page in (first, *others)).split())
    for folded in (
        "They come in this order",
        "U may be turned before",
        "Cases of each stage",
        "Turns that each stage took",
    ):
        assert folded in text


def addresses(pdf: bytes) -> list[str]:
    """Where links out of a PDF lead."""
    found = []
    for page in pdf_reader(pdf).pages:
        for annotation in page.get("/Annots", []):
            link = annotation.get_object()
            if "/A" in link and link["/A"]["/S"] == "/URI":
                found.append(link["/A"]["/URI"])
    return found


def text_of(pdf: bytes) -> str:
    return " ".join(word.text for paper in papers(pdf) for word in paper.words)


@pytest.mark.parametrize("name", PATHS)
def test_a_pdf_is_tagged_and_says_its_language_and_title(pdfs, name: str) -> None:
    reader = pdf_reader(pdfs[name])
    # ISO 32000-1, 14.7.1 and 14.9.2, and 12.2 for the title in the window's frame.
    assert reader.root_object["/MarkInfo"]["/Marked"]
    assert structure(pdfs[name])
    assert reader.root_object["/Lang"] == "en"
    assert reader.root_object["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.metadata.title.endswith(" – A guide")


def test_each_pdf_has_the_title_of_its_page(pdfs) -> None:
    titles = {name: pdf_reader(pdf).metadata.title.removesuffix(" – A guide") for name, pdf in pdfs.items()}
    assert titles == {
        "cards.pdf": "Cards to carry",
        "cases.pdf": "What may come",
        "essay.pdf": "How it works",
        "exercises.pdf": "For next week",
        "exercises-answers.pdf": "For next week: answers",
    }


def test_headings_are_bookmarks(pdfs) -> None:
    assert outline(pdf_reader(pdfs["essay.pdf"]).outline) == [
        "How it works",
        ["First thought", "Second thought"],
    ]
    assert outline(pdf_reader(pdfs["exercises-answers.pdf"]).outline) == [
        "For next week: answers",
        ["By hand", "By pencil"],
    ]


def test_headings_paragraphs_and_lists_are_tagged_as_such(pdfs) -> None:
    kinds = {element["/S"] for element in structure(pdfs["essay.pdf"])}
    assert {"/H1", "/H2", "/P", "/L", "/LI", "/Figure", "/Link"} <= kinds


@pytest.mark.parametrize("name", PATHS)
def test_every_figure_says_in_words_what_it_shows(folder, pdfs, name: str) -> None:
    figures = [element for element in structure(pdfs[name]) if element["/S"] == "/Figure"]
    html = (folder / "output" / name).with_suffix(".html").read_text()
    assert len(figures) == html.count('<svg class="puzzle"') > 0
    assert all(element["/Alt"].strip() for element in figures)


def test_the_words_for_a_figure_are_its_title_and_description(pdfs) -> None:
    figures = [element["/Alt"] for element in structure(pdfs["essay.pdf"]) if element["/S"] == "/Figure"]
    assert figures[0] == "Both edges: before. Position: U F and U R are flipped; everything else is home."


@pytest.mark.parametrize("name", PATHS)
def test_every_font_is_embedded(pdfs, name: str) -> None:
    fonts = {}
    for page in pdf_reader(pdfs[name]).pages:
        fonts.update(page["/Resources"].get("/Font", {}))
    assert fonts
    for font in (font.get_object() for font in fonts.values()):
        inner = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
        # ISO 32000-1, 9.9: the three keys for an embedded font program.
        assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(inner["/FontDescriptor"].keys())


@pytest.mark.parametrize("font", [b"wOF2", b"wOF2" + bytes(60), b"no font"], ids=["cut off", "empty", "none"])
def test_a_broken_font_of_a_theme_is_passed_over(tmp_path: Path, font: bytes) -> None:
    face = "@font-face { font-family: Mine; src: url(mine.woff2) } p { font-family: Mine, sans-serif }"
    theme: dict[str, str | bytes] = {
        "content/guide.yaml": "title: A guide\ntheme: mine\n",
        "themes/mine/theme.yaml": "name: mine\nbased on: folio\n",
        "themes/mine/files/mine.css": face,
        "themes/mine/files/mine.woff2": font,
        "content/sheet.md": f"{SHEET}Some words.\n",
    }
    text = pdf_reader(printed(tmp_path, theme)).pages[0].extract_text()
    assert "Some words." in text


@pytest.mark.parametrize(("paper", "short", "long"), [("A4", 595.3, 841.9), ("Letter", 612, 792)])
@pytest.mark.parametrize("orientation", ["portrait", "landscape"])
def test_a_pdf_is_on_the_paper_that_was_asked_for(
    tmp_path, paper: str, short: float, long: float, orientation: str
) -> None:
    # ISO 216: 210 mm by 297 mm; ANSI Y14.1: 8.5 by 11 inches; 72 points to an inch.
    head = f"---\ntitle: Sheet\nkind: handout\npaper: {paper}\norientation: {orientation}\n---\n"
    (sheet,) = papers(printed(tmp_path, {"content/sheet.md": head + "Text.\n"}))
    wanted = (short, long) if orientation == "portrait" else (long, short)
    assert (sheet.width, sheet.height) == pytest.approx(wanted, abs=0.1)


def test_as_many_pages_are_counted_as_there_are(tmp_path) -> None:
    files: dict[str, str | bytes] = {
        "content/guide.yaml": "title: A guide\n",
        "content/index.md": "Home.\n",
        "content/short.md": SHEET + "Text.\n",
        "content/long.md": SHEET + "A paragraph.\n\n" * 200,
    }
    told = handout(write_guide(tmp_path, files)).pages
    assert told["output/short.pdf"] == 1
    assert told["output/long.pdf"] > 2
    for name, count in told.items():
        assert len(pdf_reader((tmp_path / name).read_bytes()).pages) == count


MAKE = """
import sys
from pathlib import Path
from sitegen.guide.load import read_guide
from sitegen.guide.printed import printed as printed_of
from sitegen.site.pdf import PdfRenderer
from sitegen.site.publish import handout
from sitegen.site.render import Site
from sitegen.site.theme import load_theme
handout(Path(sys.argv[1]))
"""


def test_the_same_guide_gives_the_same_bytes_in_another_process_and_time_zone(tmp_path, pdfs) -> None:
    # Chatham stands 13 h 45 min before Greenwich in summer: another day for most hours.
    environment = {**os.environ, "TZ": "Pacific/Chatham", "PYTHONHASHSEED": "12345", "LC_ALL": "C"}
    write_guide(tmp_path, sheet_guide())
    subprocess.run([sys.executable, "-c", MAKE, str(tmp_path)], env=environment, check=True, timeout=120)
    for name, pdf in pdfs.items():
        assert (tmp_path / "output" / name).read_bytes() == pdf, name


@pytest.mark.skipif(not parallel.FORKS, reason="here no process is started as a copy of another")
def test_sheets_printed_on_two_cores_are_those_printed_on_one(tmp_path, monkeypatch) -> None:
    sheets = {f"content/sheet-{name}.md": f"{SHEET}{name}\n" for name in "abc"}
    folder = write_guide(
        tmp_path, {"content/guide.yaml": "title: T\n", "content/index.md": "Home.\n", **sheets}
    )
    made, usual = [], PdfRenderer.pdf

    def noted(renderer: PdfRenderer, site: Site, sheet: Any) -> bytes:
        (tmp_path / f"in {os.getpid()}").touch()
        return usual(renderer, site, sheet)

    monkeypatch.setattr(PdfRenderer, "pdf", noted)
    for cores in (1, 2):
        monkeypatch.setattr(parallel, "cores", lambda cores=cores: cores)
        rmtree(folder / "output", ignore_errors=True)
        handout(folder)
        made.append({path.name: path.read_bytes() for path in (folder / "output").glob("*.pdf")})
    assert len(made[0]) == len(sheets)
    assert made[1] == made[0]
    assert len({*tmp_path.glob("in *")} - {tmp_path / f"in {os.getpid()}"}) in (1, 2)


def test_the_same_page_gives_the_same_bytes_again(tmp_path) -> None:
    digests = set()
    for again in ("one", "two"):
        pdf = printed(tmp_path / again, {"content/sheet.md": SHEET + "```moves\nR U\n```\n"})
        digests.add(hashlib.sha256(pdf).hexdigest())
    assert len(digests) == 1


def test_without_an_address_no_link_leads_out_of_the_guide(pdfs) -> None:
    assert addresses(pdfs["essay.pdf"]) == ["https://example.org/more"]
    assert all(addresses(pdf) == [] for name, pdf in pdfs.items() if name != "essay.pdf")
    for pdf in pdfs.values():
        assert b"guide.invalid" not in pdf


def test_with_an_address_links_lead_to_the_published_pages(tmp_path) -> None:
    files = {
        "content/guide.yaml": f"title: A guide\naddress: {ADDRESS}\n",
        "content/a/b.md": "# Other\n",
        "content/in/sheet.md": SHEET + "[there](../a/b.md), [here](#here)\n\n## Here\n",
        "content/index.md": "Home.\n",
    }
    handout(write_guide(tmp_path, files))
    pdf = (tmp_path / "output" / "in" / "sheet.pdf").read_bytes()
    assert addresses(pdf) == [f"{ADDRESS}a/b.html"]
    (paper,) = papers(pdf)
    assert f"{ADDRESS}in/sheet.html" in [word.text for word in paper.words]


def test_titles_come_out_as_they_are_written(tmp_path) -> None:
    titles = {
        "a": r'"Quotes" and back\slash',
        "b": "</style> 100 % of {{ it }} */ }",
        "c": "Θαῦμα, кубик, Ærø",
    }
    files: dict[str, str | bytes] = {"content/guide.yaml": "title: T\n", "content/index.md": "Home.\n"}
    for name, title in titles.items():
        files[f"content/{name}.md"] = f"---\ntitle: '{title}'\nkind: handout\n---\n" + "Text.\n\n" * 80
    handout(write_guide(tmp_path, files))
    for name, title in titles.items():
        pdf = (tmp_path / "output" / f"{name}.pdf").read_bytes()
        first, second = papers(pdf)[:2]
        assert pdf_reader(pdf).metadata.title == f"{title} – T"
        assert first.head_words == ["T"]
        assert second.head_words == ["T", *title.split()]
        assert [word.text for word in first.body][: len(title.split())] == title.split()


# Nothing but the site -------------------------------------------------------------------------------------


def images(pdf: bytes) -> int:
    return sum(len(page.images) for page in pdf_reader(pdf).pages)


@pytest.mark.parametrize("address", ["", "address: https://club.example/guide\n"])
def test_pictures_of_the_author_are_printed_wherever_their_page_stands(tmp_path, address: str) -> None:
    files = {
        "content/guide.yaml": f"title: A guide\n{address}",
        "content/index.md": "Home.\n",
        "content/über uns/Blatt 1.md": SHEET + "![One](../bild%20ä.png)\n",
        "content/bild ä.png": SQUARE,
    }
    handout(write_guide(tmp_path, files))
    assert images((tmp_path / "output" / "über uns" / "Blatt 1.pdf").read_bytes()) == 1


def test_nothing_is_fetched_from_the_network_nor_read_from_the_disk(tmp_path, monkeypatch) -> None:
    (tmp_path / "secret.png").write_bytes(SQUARE)
    (tmp_path / "secret.svg").write_text(
        "<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'><text>secret</text></svg>"
    )
    near = (tmp_path / "secret").as_uri()
    asked = []

    def refused(*arguments: Any, **_: Any) -> Any:
        asked.append(arguments)
        raise OSError("no network")

    monkeypatch.setattr(socket, "getaddrinfo", refused)
    monkeypatch.setattr(socket.socket, "connect", refused)
    html = (
        '<img alt="" src="http://127.0.0.1:9/a.png">'
        f'<img alt="" src="{near}.png"><img alt="" src="{near}.svg">\n'
        f'<object data="{near}.svg"></object><link rel="attachment" href="{near}.png">\n'
        '<style>@import url("http://127.0.0.1:9/b.css"); @font-face { font-family: x; src: '
        'url("https://127.0.0.1:9/c.woff") } em { font-family: x }</style>\n'
        '<div style="background: url(//127.0.0.1:9/d.png)"><em>Words</em></div>\n'
    )
    files: dict[str, str | bytes] = {
        "content/guide.yaml": "title: A guide\nhtml: yes\n",
        "content/index.md": "Home.\n",
        "content/sheet.md": SHEET + html,
    }
    folder = write_guide(tmp_path / "guide", files)
    guide = read_guide(folder)
    # A guide that loads something from elsewhere is refused, and not printed even where it is not.
    told = {problem.message for problem in guide.problems}
    assert told == {"file: leads nowhere", "pages load nothing from elsewhere"}
    (sheet,) = printed_of(guide.targets.pages["sheet"], guide)
    pdf = PdfRenderer().pdf(Site(replace(guide, problems=()), load_theme(guide.config, folder)), sheet)
    assert asked == []
    assert images(pdf) == 0
    assert "secret" not in text_of(pdf)
    assert "Words" in text_of(pdf)
    assert b"/EmbeddedFile" not in pdf


@pytest.mark.parametrize(
    "drawing",
    [
        '<svg class="puzzle"><path d="M0 0"></svg>',  # as HTML allows, and XML does not
        '<svg class="puzzle"><text y="9">a&nbsp;b</text></svg>',
        '<svg class="chart"></svg>',
        '<svg class="puzzle" viewBox="0 0 9 9"><circle r="5"/></svg>',
        '<svg class="mine"><circle r=5></svg>',
    ],
)
def test_a_drawing_of_the_author_s_own_does_not_keep_a_sheet_from_being_printed(
    tmp_path, drawing: str
) -> None:
    files: dict[str, str | bytes] = {
        "content/guide.yaml": "title: A guide\nhtml: yes\n",
        "content/sheet.md": f"{SHEET}<div>{drawing}</div>\n\nWords below.\n",
    }
    assert "Words below." in text_of(printed(tmp_path, files))
