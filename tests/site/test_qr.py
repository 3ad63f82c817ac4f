"""The code at the foot of a sheet is read, with a reader that is none of ours, as the address of its page."""

from __future__ import annotations

import re
from urllib.parse import unquote
from xml.etree import ElementTree

import pytest
from sample_guide import write_guide
from sample_sheets import ADDRESS, by_browser, needs, needs_browser, needs_printer, raster, running

from sitegen.site.publish import handout, publish
from sitegen.site.qr import SIDE, qr_code

try:
    import zxingcpp as reader
except ImportError:
    reader = None

pytestmark = needs(zxingcpp=reader)

SHORT = "https://a.example/"
ADDRESSES = [
    SHORT,
    f"{ADDRESS}paper/first-evening.html",
    f"{ADDRESS}%C3%BCber%20uns/Blatt%201.html",
    ADDRESS + "a-longer-way/" * 8 + "sheet.html",
    "http://127.0.0.1:8000/guide/?x=1&y=2",
]
QUIET = 4
"""Modules of white on every side: ISO/IEC 18004, 9.1, on the quiet zone."""
SVG = "{http://www.w3.org/2000/svg}"


def svg(address: str) -> ElementTree.Element:
    head, _, data = qr_code(address).source.partition(",")
    assert head.startswith("data:image/svg+xml")
    return ElementTree.fromstring(unquote(data))


def modules(address: str) -> list[list[bool]]:
    """Which modules are dark, from the strokes of which the picture is made, one for each run of them."""
    root = svg(address)
    (path,) = root.iter(f"{SVG}path")
    scale = float(re.search(r"scale\(([\d.]+)\)", path.get("transform", "scale(1)"))[1])
    side = round(float(root.get("viewBox", "").split()[2]) / scale)
    dark = [[False] * side for _ in range(side)]
    x = y = 0.0
    for step, numbers in re.findall(r"([Mmhv])([-\d. ]*)", path.get("d", "")):
        values = [float(n) for n in re.findall(r"-?[\d.]+", numbers)]
        if step == "M":
            x, y = values
        elif step == "m":
            x, y = x + values[0], y + values[1]
        else:
            assert step == "h"
            for column in range(round(x), round(x + values[0])):
                dark[int(y)][column] = True
            x += values[0]
    return dark


@pytest.mark.parametrize("address", ADDRESSES)
def test_a_code_is_read_as_its_address(address: str) -> None:
    image = pytest.importorskip("PIL.Image")
    dark = modules(address)
    picture = image.new("L", (len(dark), len(dark)), 255)
    picture.putdata([0 if each else 255 for row in dark for each in row])
    (found,) = reader.read_barcodes(picture.resize((len(dark) * 4,) * 2, image.Resampling.NEAREST))
    assert found.text == address
    assert found.format == reader.BarcodeFormat.QRCode


@pytest.mark.parametrize("address", ADDRESSES)
def test_a_code_keeps_its_quiet_zone_and_its_size(address: str) -> None:
    dark = modules(address)
    for turned in (dark, dark[::-1], list(zip(*dark, strict=True)), list(zip(*dark, strict=True))[::-1]):
        assert not any(each for row in turned[:QUIET] for each in row)
        assert any(turned[QUIET])
    root = svg(address)
    for side in ("width", "height"):
        millimetres = float(root.get(side, "").removesuffix("mm"))
        assert millimetres == pytest.approx(qr_code(address).side)
        assert millimetres == pytest.approx(max(SIDE, 0.3 * len(dark)))  # modules that a copier still shows


def test_a_code_can_be_read_with_a_fifth_of_it_smudged() -> None:
    # ISO/IEC 18004: level Q restores about a quarter of the codewords.
    image = pytest.importorskip("PIL.Image")
    dark = modules(ADDRESSES[1])
    side = len(dark)
    # A square in the lower right corner, where no finder pattern is.
    smudge = range(side - QUIET - round((side - 2 * QUIET) * 0.4), side - QUIET)
    cells = [
        0 if each or (row in smudge and column in smudge) else 255
        for row, line in enumerate(dark)
        for column, each in enumerate(line)
    ]
    picture = image.new("L", (side, side), 255)
    picture.putdata(cells)
    (found,) = reader.read_barcodes(picture.resize((side * 4,) * 2, image.Resampling.NEAREST))
    assert found.text == ADDRESSES[1]


NAMES = ["sheet", "über uns/Blatt 1"]


def sheets(folder, name: str):
    files: dict[str, str | bytes] = {
        "content/guide.yaml": f"title: A guide\naddress: {ADDRESS}\n",
        "content/index.md": "Home.\n",
        f"content/{name}.md": "---\ntitle: A sheet\nkind: handout\n---\nWords.\n",
    }
    return write_guide(folder, files)


@needs_printer
@pytest.mark.parametrize("name", NAMES)
def test_the_code_on_a_pdf_leads_to_the_page_that_it_was_made_from(tmp_path, name: str) -> None:
    handout(sheets(tmp_path, name))
    html = (tmp_path / "output" / f"{name}.html").read_text(encoding="utf-8")
    pdf = (tmp_path / "output" / f"{name}.pdf").read_bytes()
    (found,) = reader.read_barcodes(raster(pdf, 300))
    assert found.text == running(html)["bottom-center"]
    assert unquote(found.text) == f"{ADDRESS}{name}.html"


@needs_browser
def test_the_code_that_a_browser_prints_leads_there_too(browser, tmp_path) -> None:
    publish(sheets(tmp_path, "sheet"))
    pdf = by_browser(browser, tmp_path / "output" / "sheet.html")
    (found,) = reader.read_barcodes(raster(pdf, 300))
    assert found.text == f"{ADDRESS}sheet.html"


@needs_printer
def test_nothing_comes_near_the_code_on_a_sheet(tmp_path) -> None:
    handout(sheets(tmp_path, "sheet"))
    sheet = raster((tmp_path / "output" / "sheet.pdf").read_bytes(), 300)
    (found,) = reader.read_barcodes(sheet)
    corners = [getattr(found.position, corner) for corner in ("top_left", "top_right", "bottom_right")]
    left, top = corners[0].x, corners[0].y
    right, bottom = corners[2].x, corners[2].y
    module = qr_code(f"{ADDRESS}sheet.html").side / 25.4 * 300 / len(modules(f"{ADDRESS}sheet.html"))
    zone = round((QUIET - 0.5) * module)  # half a module for where the reader sees the corners
    around = sheet.crop((left - zone, top - zone, right + zone, bottom + zone))
    around.paste(255, (zone - 2, zone - 2, around.width - zone + 3, around.height - zone + 3))
    assert around.getextrema() == (255, 255)


def test_an_address_that_no_code_can_hold_stands_alone() -> None:
    # ISO/IEC 18004, table 7: the largest code, 40-Q, holds 1,663 bytes.
    assert qr_code("https://example.org/" + "a" * 1643) is not None
    assert qr_code("https://example.org/" + "a" * 1644) is None
