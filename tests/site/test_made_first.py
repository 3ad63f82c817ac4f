"""What several processes would each make anew is made once, before any of them begins."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from sample_guide import write_guide

from sitegen.guide.load import read_guide
from sitegen.parallel import FEW, FORKS, cores
from sitegen.site.render import Site, render_parts
from sitegen.site.theme import load_theme

BLOCK = "```moves turned\nmoves: R U\n```\n"


@pytest.mark.skipif(not FORKS or cores() == 1, reason="nothing is made in other processes here")
def test_one_page_with_blocks_is_made_here_and_the_others_elsewhere(tmp_path: Path) -> None:
    pages = {f"content/page-{number}.md": f"# Page {number}\n" for number in range(FEW)}
    pages["content/page-7.md"] += f"\n{BLOCK}"
    files = {"content/guide.yaml": "title: A guide\n", "content/index.md": "# First\n", **pages}
    guide = read_guide(write_guide(tmp_path, files))
    site = Site(guide, load_theme(guide.config, tmp_path))
    parts = site.parts()
    made = {
        part.name: {*processes.values()}
        for part, processes in render_parts(site, parts, lambda name, content: os.getpid())
    }
    assert made.keys() == {part.name for part in parts}
    assert next(iter(made)) == "page-7.html"
    assert [name for name, processes in made.items() if os.getpid() in processes] == ["page-7.html"]
