"""Settings at the head of a page: whatever any two of them say is read, or a problem with its place."""

from __future__ import annotations

from itertools import permutations

import pytest
from sample_guide import guide_of

from sitegen.pages import config as of_guide
from sitegen.pages.config import ON_PAGES, read_config
from sitegen.pages.page import KEYS, read_page
from sitegen.problems import Findings, Problem, Problems, Source

VALUES = ("2026-03-01", "2026-13-02", "tomorrow", "yes", "[[]]", "{a: 1}", "", "handout", "0")


@pytest.mark.parametrize("value", VALUES)
def test_whatever_a_head_says_is_read_or_told_of_where_it_stands(tmp_path, value: str) -> None:
    config = read_config(guide_of(tmp_path, index="Home.\n"))
    told = 0
    for first, second in permutations(KEYS, 2):
        for other in ("2026-03-01", "2026-13-02", "[[]]"):
            text = f"---\n{first}: {value}\n{second}: {other}\n---\nWords.\n"
            findings = Findings()
            try:
                read_page("page", Source("content/page.md", text), config, findings)
            except (Problem, Problems) as error:
                findings.problems += [error] if isinstance(error, Problem) else error.problems
            assert all(1 <= problem.passage.line <= 5 for problem in findings.problems), text
            told += len(findings.problems)
    assert told


def test_what_a_guide_is_told_to_write_at_the_head_of_a_page_is_what_pages_have_and_it_has_not() -> None:
    assert {*ON_PAGES} == {*KEYS} - {*of_guide.KEYS} - {*of_guide.BLOCK_KEYS}
