"""An editor that asks is told what may be written, what moves do, and where names lead."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from editor_client import Editing, edited
from lsprotocol import types as lsp
from sample_guide import small_guide, write_guide

from sitegen.blocks.kinds import KINDS
from sitegen.cli import main
from sitegen.effects.claims import KINDS as CLAIMS

PAGE = "content/other.md"


@pytest.fixture
def guide(tmp_path: Path) -> Path:
    return write_guide(tmp_path, small_guide())


def block(*lines: str) -> str:
    return "\n".join(["Text.", "", "```moves mine", *lines, "```", ""])


def test_what_may_be_written_is_completed(guide: Path) -> None:
    async def doing(editing: Editing) -> None:
        async def offered(text: str) -> list[str]:
            return await editing.completed(PAGE, text)

        assert await offered("Text.\n\n```‸\n") == [f"```{kind}" for kind in KINDS]
        assert await offered("Text.\n\n```wor‸\n```\n") == ["```worked example"]
        assert await offered("> ```worked e‸\n> ```\n") == ["> ```worked example"]
        assert await offered(block("moves: R", "cl‸")) == ["claims: "]
        assert "moves: " not in await offered(block("moves: R", "‸"))
        assert set(await offered(block("moves: R", "‸", "title: T"))) >= {"claims: ", "view: ", "focus: "}
        assert await offered(block("moves: R", "marked: ‸")) == ["marked: yes", "marked: no"]
        assert await offered(block("moves: R", "view: corner, n‸")) == ["view: corner, net"]
        assert await offered(block("moves: R", "claims:", "- ‸")) == [f"- {claim}" for claim in CLAIMS]
        assert await offered(block("moves: R", "claims: changes o‸")) == ["claims: changes only"]
        assert await offered(block("moves: R", "claims: flips UF; ke‸")) == ["claims: flips UF; keeps"]
        assert await offered(block("moves: R", "claims:", "- keeps U exc‸")) == ["- keeps U except"]
        assert "- keeps edges of U" in await offered(block("moves: R", "claims:", "- keeps edges of ‸"))
        assert set(await offered(block("moves: R", "focus: all except uf‸"))) == {
            f"focus: all except {place}" for place in ("UFL", "UF", "UFR")
        }
        assert await offered(block("moves: R @li‸")) == ["moves: R @lift-edge"]
        assert await offered(block("moves: [@lift-edge, U] @‸")) == [
            f"moves: [@lift-edge, U] @{name}" for name in ("lift-edge", "two-flips", "slice")
        ]
        assert await offered("See <sequence:l‸\n") == ["See <sequence:lift-edge"]
        assert await offered("See [it](sequence:two‸)\n") == ["See [it](sequence:two-flips)"]
        assert await offered("Try `@s‸`{.moves}\n") == ["Try `@slice`{.moves}"]
        assert await offered("It is so: `flips UF`{.claim of=l‸}\n") == [
            "It is so: `flips UF`{.claim of=lift-edge}"
        ]
        assert await offered("Write to a@l‸\n") == []
        assert await offered("---\nkind: ‸\n---\n") == ["kind: page", "kind: handout", "kind: exercises"]
        assert await offered("---\npuzzle: mega‸\n---\n") == ["puzzle: megaminx"]
        assert await offered("```find\nclaims: flips UF\nmetric: q‸\n```\n") == ["metric: QTM"]
        assert await offered("```derivation\nsteps:\n- tu‸\n```\n") == ["- turn: "]
        assert await offered("```derivation\nsteps:\n- turn: R\n  gu‸\n```\n") == ["  guard: "]
        assert await offered("```derivation\nsteps:\n- turn: R\n  guard: ‸\n```\n") == ["  guard: home"]
        assert await offered("1. In a list 🎲\n\n   ```moves\n   moves: R\n   arr‸\n   ```\n") == [
            "   arrows: "
        ]

    assert edited(guide, doing) == 0


def test_a_name_is_offered_with_its_title_if_what_has_it_can_be_read(guide: Path) -> None:
    text = (
        "```moves turned\ntitle: A turn\nmoves: R\n```\n\n```moves torn\nmoves: (R\n```\n\nSee <sequence:t‸\n"
    )

    async def doing(editing: Editing) -> None:
        offered = {item.label: item.detail for item in await editing.completions(PAGE, text)}
        assert offered == {"two-flips": "Two flips", "turned": "A turn", "torn": None}

    assert edited(guide, doing) == 0


def test_settings_are_completed(guide: Path) -> None:
    async def doing(editing: Editing) -> None:
        assert await editing.completed("content/guide.yaml", "title: T\nlan‸\n") == ["language: "]
        assert await editing.completed("content/guide.yaml", "title: T\npaper: ‸\n") == [
            "paper: A4",
            "paper: Letter",
        ]

    assert edited(guide, doing) == 0


def test_a_sequence_that_is_not_saved_is_known(guide: Path) -> None:
    async def doing(editing: Editing) -> None:
        editing.open("content/new.md", "```moves never-saved\nR\n```\n")
        assert await editing.completed(PAGE, block("moves: @n‸")) == ["moves: @never-saved"]
        assert await editing.definition(PAGE, block("moves: @never‸-saved")) == ("content/new.md", 1)
        assert "order     4" in await editing.hover(PAGE, block("moves: @never‸-saved"))

    assert edited(guide, doing) == 0


def test_what_moves_do_is_said_as_the_command_says_it(guide: Path, monkeypatch) -> None:
    monkeypatch.chdir(guide)

    def effect(moves: str, puzzle: str = "cube-3") -> str:
        return CliRunner().invoke(main, ["effect", "--puzzle", puzzle, moves]).stdout.rstrip("\n")

    async def doing(editing: Editing) -> None:
        async def told(text: str) -> str:
            return await editing.hover(PAGE, text)

        assert await told(block("moves: [R U‸, F] D")) == effect("[R U, F] D")
        assert await told(block("[R, U]‸", "  (F B)2")) == effect("[R, U] (F B)2")
        assert await told(block("moves: [@lift‸-edge, U]")) == effect("@lift-edge")
        assert await told(block("moves: [@lift-edge, ‸U]")) == effect("[@lift-edge, U]")
        assert await told(block("moves: R U‸", "claims: flips UF; nonsense")) == effect("R U")
        assert await told("Try `R ‸U R' U'`{.moves}, or `F`{.moves}.\n") == effect("R U R' U'")
        assert await told("See [the 🎲 lift](sequence:lift‸-edge).\n") == effect("@lift-edge")
        assert await told("```derivation\nsteps:\n- turn: R‸ U\n- undo: all\n```\n") == effect("R U")
        assert await told(block("moves: R Q‸")) == ""
        assert await told(block("moves: R", "title: R‸ U")) == ""
        assert await told("No `R‸ U` here.\n") == ""
        assert await told("---\npuzzle: pyraminx\n---\n" + block("moves: R‸ U")) == effect("R U", "pyraminx")

    assert edited(guide, doing) == 0


def test_what_moves_do_is_set_in_columns_where_an_editor_can_do_that(guide: Path) -> None:
    hover = lsp.HoverClientCapabilities(content_format=[lsp.MarkupKind.Markdown, lsp.MarkupKind.PlainText])
    capabilities = lsp.ClientCapabilities(text_document=lsp.TextDocumentClientCapabilities(hover=hover))

    async def doing(editing: Editing) -> None:
        told = await editing.hover(PAGE, block("moves: ‸M2"))
        assert told.startswith("```text\nM2\n  does ")
        assert told.endswith("\n```")

    assert edited(guide, doing, capabilities) == 0


def test_names_and_links_lead_to_where_they_are(guide: Path) -> None:
    method = (guide / "content/method/index.md").read_text().split("\n")
    lift = ("content/method/index.md", method.index("```moves lift-edge") + 1)

    async def doing(editing: Editing) -> None:
        async def target(text: str) -> tuple[str, int] | None:
            return await editing.definition(PAGE, text)

        assert await target(block("moves: [@lift‸-edge, U]")) == lift
        assert await target("Try `[‸@lift-edge, U]`{.moves}\n") == lift
        assert await target("See <sequence:lift-e‸dge>.\n") == lift
        assert await target("See [how it ‸is lifted](sequence:lift-edge).\n") == lift
        assert await target("So `flips UF`{.claim of=lift-‸edge}.\n") == lift
        assert await target("See [there](method/in‸dex.md#the-lift).\n") == ("content/method/index.md", 1)
        assert await target("See [a place][it‸].\n\n[it]: index.md\n") == ("content/index.md", 1)
        assert await target(block("moves: R", "say: See [the start](in‸dex.md).")) == ("content/index.md", 1)
        assert await target("See [nothing](nowhere‸.md) and @lift-edge\n") is None
        assert await target("![a square](square.png) and nothing ‸here.\n") is None

    assert edited(guide, doing) == 0


def test_folders_and_files_may_have_any_names(tmp_path: Path) -> None:
    """An address has no blanks, umlauts or number signs; each stands in it as %20, %c3%bc, %23.

    Clients write these in letters of either size, which mean the same (RFC 3986, 2.1), and know what they
    have opened by what they wrote.
    """
    folder = write_guide(tmp_path / "Über uns & mehr", small_guide())
    page = "content/a #1 ü.md"

    async def doing(editing: Editing) -> None:
        usual = editing.uri
        editing.uri = lambda name: re.sub("%..", lambda found: found[0].lower(), usual(name))  # type: ignore
        assert "UF" in await editing.hover(page, "Try `@lift-e‸dge`{.moves}\n")
        assert await editing.definition(page, "Try `@lift-e‸dge`{.moves}\n") == ("content/method/index.md", 5)
        assert "See <sequence:lift-edge" in await editing.completed(page, "See <sequence:l‸\n")
        editing.change(page, "See <sequence:nowhere>.\n")
        (problem,) = await editing.problems(page, "no sequence is named nowhere")
        assert problem.range.start == lsp.Position(0, 5)
        assert editing.addresses == {editing.uri(page)}
        editing.change(page, "See this.\n")
        await editing.problems(page)

    assert edited(folder, doing) == 0
