"""What the README says is so."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from click.testing import CliRunner
from read_html import Document, unspelt
from readme_pictures import MADE_FROM, SHEETS, digest_of, example
from sample_guide import guide_of

from sitegen.cli import main
from sitegen.site.publish import publish

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
EXAMPLE = re.search(r"````markdown\n(.*?)````", README, re.DOTALL)


def test_the_example_gives_what_is_said(tmp_path: Path) -> None:
    assert EXAMPLE
    publish(guide_of(tmp_path, edges=EXAMPLE.group(1)))
    page = (tmp_path / "output" / "edges.html").read_text()
    assert page.count("<svg") == 2
    claims = Document.read(page).root.all("ul", class_="claims")[0].all("li")
    assert [unspelt(claim.heard) for claim in claims] == ["flips UF", "keeps U except UF"]
    stated = Document.read(page).root.all("span", class_="claim")
    assert [unspelt(claim.heard) for claim in stated] == ["flips UF and UR, checked by turning"]
    assert (tmp_path / "output" / "sequences" / "lift-edge.html").is_file()
    assert "lift-edge" in (tmp_path / "output" / "effects.html").read_text()


def test_the_false_claim_is_told_as_is_shown(tmp_path: Path) -> None:
    assert EXAMPLE
    wrong = EXAMPLE.group(1).replace("- flips UF", "- flips UR")
    told = CliRunner().invoke(main, ["publish", str(guide_of(tmp_path, edges=wrong))])
    shown = re.search(r"```text\n(content/edges.md.*?)```", README, re.DOTALL)
    assert shown
    assert told.exit_code == 1
    for line, expected in zip(told.stderr.splitlines(), shown.group(1).splitlines(), strict=True):
        assert line.startswith(expected.removesuffix("…").rstrip())
    assert not (tmp_path / "output").exists()


def test_a_new_guide_publishes_as_it_stands(tmp_path: Path) -> None:
    run = CliRunner()
    assert run.invoke(main, ["start", str(tmp_path / "mine")]).exit_code == 0
    assert run.invoke(main, ["publish", str(tmp_path / "mine")]).exit_code == 0
    again = run.invoke(main, ["start", str(tmp_path / "mine")])
    assert again.exit_code == 2
    assert "is there already" in again.stderr


def test_the_tests_that_run_elsewhere_are_those_of_the_readme() -> None:
    script = (ROOT / ".ci" / "run").read_text()
    pattern = re.search(r"grep -m1 '([^']+)' README.md", script)
    assert pattern
    (command,) = [line for line in README.splitlines() if re.match(pattern.group(1), line)]
    for tool in ("ruff check", "ruff format --check", "mypy", "pytest"):
        assert tool in command


def test_the_links_of_the_readme_lead_somewhere() -> None:
    for target in re.findall(r"\]\(([^)#]+)\)", README):
        assert (ROOT / target).exists(), target


def test_the_pictures_are_of_what_is_published(tmp_path_factory, demo: Path) -> None:
    """Otherwise `python tests/samples/readme_pictures.py` makes them anew."""
    guide = guide_of(tmp_path_factory.mktemp("example"), edges=example())
    publish(guide)
    publish(demo)
    of_both = [digest_of(guide / "output", ("edges.html",)), digest_of(demo / "output", SHEETS)]
    assert MADE_FROM.read_text(encoding="utf-8").split() == of_both


def test_a_wheel_carries_themes_and_definitions() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text())
    wheel = settings["tool"]["hatch"]["build"]["targets"]["wheel"]
    assert wheel["force-include"] == {"themes": "sitegen/themes"}
    assert wheel["packages"] == ["sitegen"]
