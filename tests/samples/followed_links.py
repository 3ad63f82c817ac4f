"""Where the links of a site lead, followed in its files."""

from __future__ import annotations

from pathlib import Path, PurePosixPath
from urllib.parse import unquote, urlsplit

from read_html import Document, documents


def ids(document: Document) -> list[str]:
    return [e.attributes["id"] for e in document.root.walk() if "id" in e.attributes]


def targets(document: Document) -> list[str]:
    names = {"a": "href", "link": "href", "img": "src", "script": "src", "use": "href"}
    return [
        element.attributes[names[element.tag]]
        for element in document.root.walk()
        if element.tag in names and names[element.tag] in element.attributes
    ]


def followed(site: Path, address: str = "") -> int:
    """The number of all links, each of which leads to a file, and to an id that stands there once.

    A site that has an address may lead to itself by that, and by its path there.
    """
    pages, number = documents(site), 0
    root = urlsplit(address).path or None
    for name, document in pages.items():
        assert len(ids(document)) == len(set(ids(document))), name
        for target in targets(document):
            whole = bool(address) and target.startswith(address)
            parts = urlsplit(target.removeprefix(address) if whole else target)
            assert not parts.scheme, f"{name}: {target}"
            path = unquote(parts.path)
            if root and path.startswith(root):
                path = path.removeprefix(root)
            elif not whole:
                assert not path.startswith("/"), f"{name}: {target}"
                path = str(PurePosixPath(name).parent / path) if path else name
            file = (site / path).resolve()
            assert file.is_file(), f"{name}: {target}"
            assert site.resolve() in file.parents, f"{name}: {target}"
            if parts.fragment:
                there = pages[file.relative_to(site.resolve()).as_posix()]
                assert unquote(parts.fragment) in ids(there), f"{name}: {target}"
            number += 1
    return number
