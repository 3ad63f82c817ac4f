"""What the tests of published sites share: a small guide, and its pages read as HTML."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from read_html import Document, documents
from sample_guide import small_guide, write_guide

from sitegen.site.publish import publish


@pytest.fixture(scope="module")
def site(tmp_path_factory) -> Path:
    """The output of the small guide; read only."""
    folder = write_guide(tmp_path_factory.mktemp("guide"), small_guide())
    publish(folder)
    return folder / "output"


@pytest.fixture(scope="module")
def pages(site: Path) -> dict[str, Document]:
    """Every published page, by its path."""
    return documents(site)


@pytest.fixture
def published(tmp_path: Path) -> Callable[..., dict[str, str]]:
    """Files of a guide, beside a title and a first page, to the texts that it publishes."""

    def texts(files: dict[str, str | bytes], draft: bool = False) -> dict[str, str]:
        base: dict[str, str | bytes] = {"content/guide.yaml": "title: T\n", "content/index.md": "Home.\n"}
        write_guide(tmp_path, {**base, **files})
        publish(tmp_path, draft)
        output = tmp_path / "output"
        return {
            path.relative_to(output).as_posix(): path.read_text(encoding="utf-8", errors="replace")
            for path in sorted(output.rglob("*"))
            if path.is_file()
        }

    return texts
