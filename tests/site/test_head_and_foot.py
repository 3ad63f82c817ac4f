"""What an author puts into the head and the foot of every page: links, a logo, a licence, a name, a text."""

from __future__ import annotations

import pytest
from sample_guide import write_guide

from sitegen.site.publish import publish

CONFIG = """\
title: T
address: https://club.example/guide/
author: Ada & Co
logo: pictures/logo.svg
links:
  About us: deep/about.md#more
  The club: https://club.example/?a=1&b=2
licence: {CC0 <1.0>: licence.txt}
footer: Ask us on Thursdays.
"""
FILES = {
    "content/guide.yaml": CONFIG,
    "content/deep/about.md": "# About\n\n## More\n",
    "content/pictures/logo.svg": '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>',
    "content/licence.txt": "Do.",
}
HEAD = (
    '<a href="{up}index.html"><img src="{up}pictures/logo.svg" alt=""> T</a>',
    '<a href="{about}">About us</a>',
    '<a href="https://club.example/?a=1&amp;b=2">The club</a>',
)
FOOT = (
    "<p>T, by Ada &amp; Co.",
    '<p>Licence: <a href="{up}licence.txt">CC0 &lt;1.0&gt;</a>. Ask us on Thursdays.</p>',
)


@pytest.mark.parametrize(
    ("page", "up", "about"),
    [
        ("index.html", "", "deep/about.html#more"),
        ("deep/about.html", "../", "about.html#more"),
        ("effects.html", "", "deep/about.html#more"),
        ("404.html", "/guide/", "/guide/deep/about.html#more"),
    ],
)
def test_they_stand_on_every_page_with_the_way_from_there(published, page, up, about) -> None:
    text = published(FILES)[page]
    for part in (*HEAD, *FOOT):
        assert part.format(up=up, about=about) in text


def test_without_them_nothing_is_there(published) -> None:
    text = published({})["index.html"]
    assert "<p>T." in text
    assert not any(word in text for word in ("Licence", "<img", ", by "))


def test_a_licence_may_lead_nowhere(published) -> None:
    text = published({"content/guide.yaml": "title: T\nlicence: All rights reserved\n"})["index.html"]
    assert "<p>Licence: All rights reserved. </p>" in text
    text = published({"content/guide.yaml": "title: T\nlicence: Copy it.\nfooter: Ask.\n"})["index.html"]
    assert "<p>Licence: Copy it. Ask.</p>" in text


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("links: {A: nowhere.md}", "there is no page nowhere.md"),
        ("links: {A: 'javascript:alert(1)'}", "no page leads to such an address"),
        ("licence: {A: 'JavaScript://x%0aalert(1)'}", "no page leads to such an address"),
        ("links: {A: 'file:///etc/passwd'}", "no page leads to such an address"),
        ("links: {A: later.md}", "later.md is a draft, which is not published"),
        ("licence: {A: nowhere.txt}", "the guide has no file nowhere.txt"),
        ("licence: {A: index.md, B: index.md}", "a guide has one licence"),
        ("licence: index.md", "this is where something stands, and not what a licence is called"),
        (
            "licence: https://example.org/free",
            "this is where something stands, and not what a licence is called",
        ),
        ("links: [index.md]", "links are texts with what they lead to"),
        ("logo: nowhere.svg", "the guide has no file nowhere.svg"),
        ("logo: https://club.example/a.svg", "the guide has no file https://club.example/a.svg"),
    ],
)
def test_what_is_not_there_is_told_with_its_place(problems_of, line, message) -> None:
    (problem,) = problems_of(f"title: T\n{line}\n", later="---\ndraft: yes\n---\nLater.\n")
    assert problem.message == message
    assert problem.headline().startswith("content/guide.yaml:2:")


def test_each_change_shows_on_all_pages(tmp_path) -> None:
    write_guide(tmp_path, {"content/index.md": "Home.\n", **FILES})
    publish(tmp_path)
    changes = {"Ada & Co": "Eve", "About us": "About me", "Thursdays": "Fridays", "a=1": "a=3", "<1.0>": ""}
    for before, after in changes.items():
        config = tmp_path / "content/guide.yaml"
        config.write_text(config.read_text().replace(before, after))
        old = (tmp_path / "output/deep/about.html").read_text()
        publish(tmp_path)
        assert (tmp_path / "output/deep/about.html").read_text() != old
