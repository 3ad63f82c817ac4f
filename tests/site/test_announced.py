"""What a guide says of itself elsewhere, held against what the open standards ask for."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Mapping
from datetime import datetime
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import urljoin, urlsplit
from xml.etree import ElementTree

import pytest
from playwright.sync_api import Browser
from sample_guide import small_guide, write_guide
from sample_rendering import CHROMIUM, needs

from sitegen.figures import raster
from sitegen.problems import Problems
from sitegen.site.publish import Published, check, publish

ADDRESS = "https://club.example/guide/"
PLACE = f"address: {ADDRESS}\n"
ATOM = "{http://www.w3.org/2005/Atom}"
MAP = "{http://www.sitemaps.org/schemas/sitemap/0.9}"
DATED = (
    "---\ndate: 2026-03-01\nupdated: 2026-04-02\nsummary: Turns & <more>.\ntags: [a, b]\n---\n"
    "# One & two\n\nText.\n"
)


def guide(folder: Path, settings: str = PLACE, **pages: str) -> tuple[Path, Published]:
    files = small_guide()
    files["content/guide.yaml"] = f"{files['content/guide.yaml']}{settings}"
    files |= {f"content/{name}.md": text for name, text in pages.items()}
    done = publish(write_guide(folder, files))
    return folder / "output", done


class Head(HTMLParser):
    """What the head of a page says: metas by name or property, links by what they are, and data."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.metas: dict[str, str] = {}
        self.links: dict[str, str] = {}
        self.data = ""
        self._in_data = False
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = dict(attrs)
        if tag == "meta" and (name := said.get("name") or said.get("property")):
            assert name not in self.metas
            self.metas[name] = str(said["content"])
        elif tag == "link":
            self.links[str(said["rel"])] = str(said["href"])
        self._in_data = tag == "script" and said.get("type") == "application/ld+json"

    def handle_data(self, data: str) -> None:
        if self._in_data:
            self.data += data
            self._in_data = False


def head(path: Path) -> Head:
    return Head(path.read_text(encoding="utf-8"))


# A page by itself -----------------------------------------------------------------------------------------


def test_a_page_is_described_by_its_summary_or_else_by_its_first_sentence(tmp_path) -> None:
    first = "# More\n\nBack to [](index.md), *as you* like. More of it.\n\n```moves\nR\n```\n"
    output, _ = guide(tmp_path, "", more=first, empty="# Empty\n\n```moves\nR\n```\n")
    assert head(output / "index.html").metas["description"] == "How to begin."
    assert head(output / "more.html").metas["description"] == "Back to Welcome, as you like."
    assert "description" not in head(output / "empty.html").metas


def test_a_sequence_is_described_by_its_author_or_else_by_what_it_does(tmp_path) -> None:
    output, _ = guide(tmp_path, "")
    lift, slice_ = (head(output / f"sequences/{name}.html").metas for name in ("lift-edge", "slice"))
    assert lift["description"] == "The edge comes down and goes back, see the start."
    assert slice_["description"].startswith("M: ")


def test_who_knows_no_other_sequence_is_told_the_turns(tmp_path) -> None:
    """Elsewhere a name that an author has given leads nowhere."""
    blocks = "```moves first\nmoves: R U\n```\n\n```moves second\nmoves: [@first, F]\n```\n\n"
    output, _ = guide(tmp_path, "", more=f"# More\n\n{blocks}```moves third\nmoves: [R, U]\n```\n")
    told = {
        name: head(output / f"sequences/{name}.html").metas["description"] for name in ("second", "third")
    }
    assert told["second"].startswith("R U F U' R' F': ")
    assert told["third"].startswith("[R, U]: ")


def test_without_an_address_nothing_is_said_that_needs_one(tmp_path) -> None:
    output, done = guide(tmp_path, "author: Ada\n", one=DATED)
    for path in output.rglob("*.html"):
        found = head(path)
        assert not any(name.startswith("og:") for name in found.metas)
        assert (found.data, "canonical" in found.links, "alternate" in found.links) == ("", False, False)
    absent = ["sitemap.xml", "feed.xml", "robots.txt", "404.html", "files/cards"]
    assert [name for name in absent if (output / name).exists()] == []
    assert done.notes == ()


def test_open_graph_has_its_four_required_properties_on_every_page(tmp_path) -> None:
    """https://ogp.me: og:title, og:type, og:image and og:url."""
    output, _ = guide(tmp_path)
    for path in output.rglob("*.html"):
        found, name = head(path), path.relative_to(output).as_posix()
        if name == "404.html":
            continue
        metas = found.metas
        assert metas["og:url"] == ADDRESS + name == found.links["canonical"]
        assert metas["og:type"] == ("website" if name == "index.html" else "article")
        assert metas["og:title"]
        assert metas["og:site_name"] == "A short handbook"
        assert metas.get("og:description", "") == metas.get("description", "")
        assert (output / metas["og:image"].removeprefix(ADDRESS)).read_bytes()[:4] == b"\x89PNG"


def test_a_picture_is_of_the_size_it_says_and_shows_title_and_figure(tmp_path) -> None:
    image = pytest.importorskip("PIL.Image")
    output, _ = guide(tmp_path)
    page = head(output / "sequences/lift-edge.html")
    picture = image.open(output / page.metas["og:image"].removeprefix(ADDRESS)).convert("RGB")
    assert picture.size == tuple(int(page.metas[f"og:image:{side}"]) for side in ("width", "height"))
    ground = picture.getpixel((2, 2))
    title, figure = picture.crop((60, 60, 570, 300)), picture.crop((640, 60, 1140, 570))
    assert 0.02 < _other(title, ground) < 0.4
    assert _other(figure, ground) > 0.5
    assert _other(picture.crop((570, 0, 620, 630)), ground) == 0


def _other(picture, ground: tuple[int, ...]) -> float:
    """The share of a picture that is not its ground."""
    data = picture.tobytes()
    pixels = [data[at : at + 3] for at in range(0, len(data), 3)]
    return sum(pixel != bytes(ground) for pixel in pixels) / len(pixels)


def test_pictures_are_the_same_bytes_in_another_folder_and_are_not_made_when_not_wanted(tmp_path) -> None:
    one, _ = guide(tmp_path / "one")
    two, _ = guide(tmp_path / "two")
    cards = sorted(path.relative_to(one) for path in one.rglob("files/cards/**/*.png"))
    assert len(cards) == 7
    assert all((one / card).read_bytes() == (two / card).read_bytes() for card in cards)
    none, done = guide(tmp_path / "none", PLACE + "picture cards: no\n")
    assert not (none / "files/cards").exists()
    assert "og:image" not in head(none / "index.html").metas
    assert done.notes == ()


def test_where_pictures_cannot_be_made_a_note_says_so(tmp_path, monkeypatch) -> None:
    monkeypatch.setattr(raster, "find_spec", lambda name: None)
    output, done = guide(tmp_path)
    (note,) = done.notes
    assert "pages have no pictures" in note
    assert raster.INSTALL in note
    assert "og:image" not in head(output / "index.html").metas


def test_a_page_is_made_again_with_its_picture_when_its_first_figure_is_another(tmp_path) -> None:
    text = "# Mine\n\n```moves\n{}\n```\n"
    output, _ = guide(tmp_path, mine=text.format("R"))
    before = (output / "files/cards/mine.png").read_bytes()
    (tmp_path / "content/mine.md").write_text(text.format("F"), encoding="utf-8")
    done = publish(tmp_path)
    assert done.rendered == 1
    assert (output / "files/cards/mine.png").read_bytes() != before
    assert publish(tmp_path).rendered == 0


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The drawings of which pictures are made."""
    drawings: list[str] = []
    png = raster.png
    monkeypatch.setattr(raster, "png", lambda svg: drawings.append(svg) or png(svg))
    return drawings


def test_pictures_are_made_again_only_where_they_are_drawn_otherwise(tmp_path, made) -> None:
    text = "# Mine\n\n```moves one\nmoves: R\n```\n\n```moves other\nmoves: L\n```\n"
    output, _ = guide(tmp_path, mine=text)
    assert len(made) == 10
    cards = {
        file: (file.read_bytes(), file.stat().st_ino) for file in (output / "files/cards").rglob("*.png")
    }
    made.clear()
    # On which all pages depend, and no picture.
    settings = tmp_path / "content/guide.yaml"
    settings.write_text(settings.read_text(encoding="utf-8") + "figure numbers: yes\n", encoding="utf-8")
    assert publish(tmp_path).kept == 0
    assert not made
    assert cards == {file: (file.read_bytes(), file.stat().st_ino) for file in cards}
    (tmp_path / "content/mine.md").write_text(text.replace("L", "B"), encoding="utf-8")
    publish(tmp_path)
    assert len(made) == 1
    # Words alone, as which only their page is made.
    (tmp_path / "content/mine.md").write_text(text.replace("L", "B") + "\nWords.\n", encoding="utf-8")
    assert publish(tmp_path).rendered == 1
    assert publish(tmp_path).rendered == 0
    assert len(made) == 1
    settings.write_text(settings.read_text(encoding="utf-8") + "embed: yes\n", encoding="utf-8")
    publish(tmp_path)
    assert len(made) == 1


def test_a_draft_in_which_something_does_not_hold_has_the_pictures_that_there_are(tmp_path, made) -> None:
    guide(tmp_path)
    made.clear()
    page = "# Mine\n\n```moves mine\nmoves: R\nclaims: keeps UFR\n```\n"
    (tmp_path / "content/mine.md").write_text(page, encoding="utf-8")
    done = publish(tmp_path, draft=True)
    assert done.problems
    assert len(made) == 2


def test_a_picture_that_is_gone_is_made_again_from_the_same_drawing(tmp_path, made) -> None:
    output, _ = guide(tmp_path)
    card = output / "files/cards/index.png"
    before = card.read_bytes()
    card.unlink()
    made.clear()
    publish(tmp_path)
    assert len(made) == 1
    assert card.read_bytes() == before


def test_checking_makes_no_picture(tmp_path, made) -> None:
    guide(tmp_path)
    made.clear()
    check(tmp_path)
    assert not made


def test_what_is_said_in_data_is_what_the_page_says(tmp_path) -> None:
    settings = "title: A </script> & more\nkind: handout\ntags: [a, b]\ndate: 2026-03-01"
    closing = f"---\n{settings}\n---\nText. </script>\n"
    output, _ = guide(tmp_path, closing=closing)
    said = json.loads(head(output / "closing.html").data)
    assert said["@context"] == "https://schema.org"
    assert said["@type"] == "LearningResource"
    assert said["name"] == "A </script> & more"
    assert (said["learningResourceType"], said["keywords"]) == ("handout", "a, b")
    assert (said["datePublished"], "dateModified" in said) == ("2026-03-01", False)
    assert said["isPartOf"] == {"@type": "WebSite", "name": "A short handbook", "url": ADDRESS}
    how = json.loads(head(output / "sequences/lift-edge.html").data)
    assert how["@type"] == "HowTo"
    assert [step["name"] for step in how["step"]] == ["F", "D'", "U", "L2", "U2", "D2", "R", "U"]
    assert how["step"][1]["text"] == "D prime"
    assert json.loads(head(output / "index.html").data)["@type"] == "WebSite"


# All of them ----------------------------------------------------------------------------------------------


def test_a_change_before_the_first_day_is_a_problem(tmp_path) -> None:
    page = "---\ndate: 2026-03-02\nupdated: 2026-03-01\n---\nWords.\n"
    with pytest.raises(Problems) as told:
        guide(tmp_path, late=page)
    (problem,) = told.value.problems
    assert problem.headline() == "content/late.md:3:10: updated is a day before date"


def test_the_map_lists_every_page_once_and_dates_that_authors_wrote(tmp_path, monkeypatch) -> None:
    """sitemaps.org: urlset of url, each with one loc (under 2,048 characters), lastmod a W3C date."""
    monkeypatch.setattr("sitegen.site.around.MOST_ROWS", 2)
    output, _ = guide(tmp_path, **{"one": DATED, "ä & b": "# Umlaut\n"})
    assert (output / "effects/2.html").is_file()
    root = ElementTree.parse(output / "sitemap.xml").getroot()
    assert root.tag == f"{MAP}urlset"
    urls = {}
    for url in root:
        assert [child.tag for child in url] in ([f"{MAP}loc"], [f"{MAP}loc", f"{MAP}lastmod"])
        urls[url[0].text] = url.findtext(f"{MAP}lastmod")
    assert len(urls) == len(root)
    assert all(re.fullmatch(r"[\x21-\x7e]{1,2047}", url) for url in urls)
    there = {path.relative_to(output).as_posix() for path in output.rglob("*.html")} - {"404.html"}
    assert {urljoin(ADDRESS, name.replace("ä & b", "%C3%A4%20%26%20b")) for name in there} == urls.keys()
    assert {url: day for url, day in urls.items() if day} == {f"{ADDRESS}one.html": "2026-04-02"}


def feed_of(output: Path) -> ElementTree.Element:
    return ElementTree.parse(output / "feed.xml").getroot()


def required(element: ElementTree.Element) -> Mapping[str, str]:
    """The elements of which RFC 4287, 4.1.1 and 4.1.2, want exactly one: id, title and updated."""
    (found,) = [[element.findall(ATOM + name) for name in ("id", "title", "updated")]]
    assert [len(each) for each in found] == [1, 1, 1]
    texts = {each.tag.removeprefix(ATOM): str(each.text) for (each,) in found}
    assert urlsplit(texts["id"]).scheme
    assert datetime.fromisoformat(texts["updated"]).utcoffset() is not None
    return texts


def test_the_feed_has_what_the_standard_requires(tmp_path) -> None:
    later = "---\ntitle: Later\ndate: 2026-05-01\n---\nText.\n"
    output, _ = guide(tmp_path, PLACE + "author: Ada & Bo\n", one=DATED, later=later)
    feed = feed_of(output)
    assert feed.tag == f"{ATOM}feed"
    assert required(feed) == {"id": ADDRESS, "title": "A short handbook", "updated": "2026-05-01T00:00:00Z"}
    assert [author.findtext(f"{ATOM}name") for author in feed.findall(f"{ATOM}author")] == ["Ada & Bo"]
    links = {link.get("rel"): link.get("href") for link in feed.findall(f"{ATOM}link")}
    assert links == {"self": f"{ADDRESS}feed.xml", "alternate": ADDRESS}
    entries = feed.findall(f"{ATOM}entry")
    assert [required(each) for each in entries] == [
        {"id": f"{ADDRESS}later.html", "title": "Later", "updated": "2026-05-01T00:00:00Z"},
        {"id": f"{ADDRESS}one.html", "title": "One & two", "updated": "2026-04-02T00:00:00Z"},
    ]
    for each in entries:  # Without a content there has to be an alternate, one of each type.
        assert [link.get("rel") for link in each.findall(f"{ATOM}link")] == ["alternate"]
    assert entries[1].findtext(f"{ATOM}summary") == "Turns & <more>."
    assert entries[1].findtext(f"{ATOM}published") == "2026-03-01T00:00:00Z"
    page = head(output / "method/index.html")
    assert urljoin(f"{ADDRESS}method/", page.links["alternate"]) == f"{ADDRESS}feed.xml"
    assert page.metas["author"] == "Ada & Bo"


def test_without_an_author_there_is_no_feed_and_a_note_says_so(tmp_path) -> None:
    output, done = guide(tmp_path, one=DATED)
    assert not (output / "feed.xml").exists()
    assert "no feed" in "".join(done.notes)


def test_a_changed_date_changes_the_feed_and_nothing_else_does(tmp_path) -> None:
    output, _ = guide(tmp_path, PLACE + "author: Ada\n", one=DATED)
    before = (output / "feed.xml").read_bytes()
    page = tmp_path / "content/one.md"
    page.write_text(DATED.replace("Text.", "Another text."), encoding="utf-8")
    publish(tmp_path)
    assert (output / "feed.xml").read_bytes() == before
    page.write_text(DATED.replace("04-02", "04-03"), encoding="utf-8")
    publish(tmp_path)
    assert (output / "feed.xml").read_bytes() == before.replace(b"04-02", b"04-03")
    assert b"<lastmod>2026-04-03" in (output / "sitemap.xml").read_bytes()


@pytest.mark.parametrize("said", ["soon", "2026-02-30", "1.3.2026", "2026-3-1", "20260301"])
def test_a_date_that_is_no_day_is_a_problem(tmp_path, said: str) -> None:
    with pytest.raises(Problems) as found:
        guide(tmp_path, one=f"---\ndate: {said}\n---\nText.\n")
    assert f"“{said}” is no day" in str(found.value)


def test_robots_are_told_of_the_map_where_they_look(tmp_path) -> None:
    """RFC 9309, 2.3: at the root of a host and nowhere else."""
    below, _ = guide(tmp_path / "a")
    root, _ = guide(tmp_path / "b", "address: https://club.example\n")
    assert not (below / "robots.txt").exists()
    assert (root / "robots.txt").read_text().splitlines()[-1] == "Sitemap: https://club.example/sitemap.xml"


def test_what_an_author_has_put_in_the_place_of_these_stands(tmp_path) -> None:
    files = {"content/sitemap.xml": "mine", "content/404.md": "# Mine\n"}
    write_guide(tmp_path, files)
    output, _ = guide(tmp_path)
    assert (output / "sitemap.xml").read_text() == "mine"
    assert "<h1>Mine</h1>" in (output / "404.html").read_text()


def test_a_page_for_missing_ones_is_no_page_to_be_found(tmp_path) -> None:
    write_guide(tmp_path, {"content/404.md": "# Mine\n"})
    output, _ = guide(tmp_path, "address: https://club.example\n")
    assert "<h1>Mine</h1>" in (output / "404.html").read_text()
    assert "404.html" not in (output / "sitemap.xml").read_text()


@needs(chromium=CHROMIUM)
def test_the_page_for_missing_ones_works_at_any_depth(tmp_path, browser: Browser) -> None:
    output, _ = guide(tmp_path)
    page = browser.new_page()

    def answer(route) -> None:
        name = urlsplit(route.request.url).path.removeprefix("/guide/") or "index.html"
        there = output / name
        kinds = {".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml"}
        kind = kinds.get(there.suffix, "text/html")
        body = there if there.is_file() else output / "404.html"
        route.fulfill(status=200 if there.is_file() else 404, content_type=kind, body=body.read_bytes())

    page.route("**/*", answer)
    failed: list[str] = []
    page.on("response", lambda response: failed.append(response.url) if response.status != 200 else None)
    page.goto(f"{ADDRESS}a/b/c/d.html")
    page.wait_for_load_state("networkidle")
    assert failed == [f"{ADDRESS}a/b/c/d.html"]
    links = page.locator("a[href]").evaluate_all("all => all.map(each => each.href)")
    for link in links:
        path = urlsplit(link).path
        within = urlsplit(link).fragment in ("main", "contents")
        assert path.startswith("/guide/a/b/c/") == within
        assert within or (output / path.removeprefix("/guide/")).is_file()
    page.get_by_role("link", name="its first page").click()
    assert page.title().startswith("Welcome")
    page.close()


def test_a_theme_has_a_sign_of_its_own(tmp_path) -> None:
    output, _ = guide(tmp_path)
    assert head(output / "method/index.html").links["icon"] == "../files/sign.svg"
    assert (output / "files/sign.svg").stat().st_size < 1000
    own = {"themes/mine/theme.yaml": "name: mine\n", "themes/mine/files/sign.svg": "<svg/>"}
    write_guide(tmp_path / "own", own)
    output, _ = guide(tmp_path / "own", "theme: mine\n")
    assert (output / "files/sign.svg").read_text() == "<svg/>"


def test_letters_of_any_kind_give_a_picture(tmp_path) -> None:
    image = pytest.importorskip("PIL.Image")
    output, _ = guide(tmp_path, greek="# Ζωή\n", long=f"# {'Immeasurable ' * 30}\n", umlaut="# Größe\n")
    for name, written in {"greek": False, "long": True, "umlaut": True}.items():
        picture = image.open(io.BytesIO((output / f"files/cards/{name}.png").read_bytes())).convert("RGB")
        ground = picture.getpixel((2, 2))
        assert (_other(picture.crop((60, 60, 570, 300)), ground) > 0) is written
        assert _other(picture.crop((0, 0, 50, 630)), ground) == 0


def test_a_picture_has_the_ground_that_a_theme_gives_on_light_screens(tmp_path) -> None:
    image = pytest.importorskip("PIL.Image")
    sheet = (
        "/* Once it was --paper: #00ff00 */\n"
        ":root { --paper: rgb(16 32 48) }\n"
        "@media (prefers-color-scheme: dark) { :root { --paper: #ff0000 } }\n"
        "@media print { :root { --paper: #ffffff } }\n.card { --paper: #0000ff }\n"
    )
    theme = {"themes/mine/theme.yaml": "name: mine\nbased on: folio\n", "themes/mine/files/mine.css": sheet}
    write_guide(tmp_path, theme)
    output, _ = guide(tmp_path, f"{PLACE}theme: mine\n")
    picture = image.open(io.BytesIO((output / "files/cards/index.png").read_bytes())).convert("RGB")
    assert picture.getpixel((2, 2)) == (16, 32, 48)
