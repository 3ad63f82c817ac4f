"""Files of the site are served, and nothing else that is on this machine."""

from __future__ import annotations

import os
import sys
import threading
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sitegen.preview.guards import OWN
from sitegen.preview.site_files import PART, file_of, served, with_script
from sitegen.site.output import replace_site


@pytest.fixture
def output(tmp_path: Path) -> Path:
    folder = tmp_path / "output"
    replace_site(
        folder,
        [
            ("index.html", b"<!doctype html><body>Home.</body></html>\n"),
            ("method/index.html", b"<body>Method.</BODY >"),
            ("files/folio.css", b"p { color: red }"),
            ("picture.png", b"\x89PNG"),
            ("a b/é.txt", b"Text."),
        ],
    )
    (tmp_path / "secret.txt").write_text("secret")
    (tmp_path / "content").mkdir()
    (tmp_path / "content" / "guide.yaml").write_text("title: secret")
    return folder


@pytest.mark.parametrize(
    ("path", "content", "kind"),
    [
        ("/files/folio.css", b"p { color: red }", "text/css; charset=utf-8"),
        ("/picture.png", b"\x89PNG", "image/png"),
        ("/a b/é.txt", b"Text.", "text/plain; charset=utf-8"),
    ],
)
def test_a_file_is_served_as_it_is(output: Path, path: str, content: bytes, kind: str) -> None:
    found = served(output, path, "r")
    assert found is not None
    assert (b"".join(found.parts()), found.type) == (content, kind)


def test_a_large_file_is_sent_by_and_by(output: Path) -> None:
    (output / "large.txt").write_bytes(b"x" * (3 * PART + 1))
    found = served(output, "/large.txt", "r")
    assert found is not None
    assert [len(part) for part in found.parts()] == [PART, PART, PART, 1]
    assert found.file.closed


def test_a_page_is_served_with_the_script_and_stays_without_it(output: Path) -> None:
    page = served(output, "/", "r-1")
    assert page is not None
    script = f'<script type="module" src="{OWN}preview.js" data-revision="r-1"></script>'
    text = page.file.read()
    assert text.decode() == f"<!doctype html><body>Home.{script}</body></html>\n"
    same = served(output, "/index.html", "r-1")
    assert same is not None
    assert (same.file.read(), same.type) == (text, page.type)
    assert "script" not in (output / "index.html").read_text()


def test_the_script_stands_at_the_end_of_a_page_however_it_ends() -> None:
    assert with_script(b"<pre></body></pre><p>x</BODY >", "r").endswith(b"</script></BODY >")
    assert with_script(b"<p>No end", "r").startswith(b"<p>No end<script")


def test_a_folder_is_its_first_page(output: Path) -> None:
    page = served(output, "/method/", "r")
    assert page is not None
    assert page.file.read().startswith(b"<body>Method.<script")
    assert served(output, "/method", "r") is None


@pytest.mark.parametrize(
    "path",
    [
        "/../secret.txt",
        "/method/../../secret.txt",
        "/./index.html",
        "//index.html",
        "/method//index.html",
        "/..\\secret.txt",
        "\\..\\secret.txt",
        "/C:/secret.txt",
        "/index.html\x00.png",
        "/index.html\n",
        "/.turnfolio",
        "/%2e%2e/secret.txt",
        "/..%2fsecret.txt",
        "http://example.org/index.html",
        "/" + "a" * 5000,
        "/" + "a/" * 3000,
        "",
    ],
)
def test_nothing_outside_and_nothing_hidden_is_served(output: Path, path: str) -> None:
    found = served(output, path, "r")
    assert found is None or path == ""
    if found:
        assert b"Home." in found.file.read()


def test_an_absolute_path_leads_nowhere(output: Path) -> None:
    assert served(output, f"/{output.parent / 'secret.txt'}", "r") is None


@pytest.mark.skipif(sys.platform == "win32", reason="links need rights there")
def test_links_lead_no_further_than_the_site(output: Path) -> None:
    (output / "out.txt").symlink_to(output.parent / "secret.txt")
    (output / "up").symlink_to(output.parent)
    (output / "round").symlink_to(output / "round")
    (output / "within.txt").symlink_to(output / "a b" / "é.txt")
    os.mkfifo(output / "pipe.txt")
    for path in ("/out.txt", "/up/secret.txt", "/up/content/guide.yaml", "/round", "/pipe.txt"):
        assert served(output, path, "r") is None
    assert served(output, "/within.txt", "r") is not None


PARTS = st.sampled_from(
    [
        "..",
        ".",
        "",
        "index.html",
        "method",
        "secret.txt",
        "content",
        "guide.yaml",
        "output",
        "~",
        "%2e%2e",
        "..\\",
    ]
)


@given(parts=st.lists(PARTS | st.text(max_size=5), max_size=6))
def test_whatever_is_asked_for_is_a_file_below_output(
    tmp_path_factory: pytest.TempPathFactory, parts: list[str]
) -> None:
    root = tmp_path_factory.getbasetemp() / "whatever"
    for name in ("output/index.html", "output/method/index.html", "secret.txt", "content/guide.yaml"):
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).touch()
    found = file_of(root / "output", "/" + "/".join(parts))
    assert found in ("", "index.html", "method/index.html")


def test_a_page_is_there_at_every_moment_while_the_site_is_replaced(output: Path) -> None:
    """Publishing renames folders, and between two renamings there is no site."""
    replacing = threading.Event()

    def replace() -> None:
        while not replacing.is_set():
            replace_site(output, [("index.html", b"<body>Home.</body>")])

    thread = threading.Thread(target=replace)
    thread.start()
    try:
        found = [served(output, "/", "r") for _ in range(400)]
    finally:
        replacing.set()
        thread.join()
    assert all(page is not None and b"Home." in page.file.read() for page in found)
