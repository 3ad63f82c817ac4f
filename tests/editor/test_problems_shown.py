"""An editor is shown what does not hold while somebody writes, where it stands and as long as it is so."""

from __future__ import annotations

import json
from pathlib import Path

from click.testing import CliRunner
from editor_client import Editing, edited, range_of
from lsprotocol import types as lsp
from sample_guide import guide_of, small_guide, write_guide

from sitegen.cli import main

TRUE = "# Edges\n\n```moves lift-edge\nmoves: F D' U L2 U2 D2 R U\nclaims:\n- flips UF\n```\n"
FALSE = TRUE.replace("flips UF", "flips UR")
FAULT = "this claim is false: UR stays home"


def test_a_false_claim_is_shown_where_it_stands_until_it_is_mended(tmp_path: Path) -> None:
    async def doing(editing: Editing) -> None:
        editing.open("content/edges.md")
        editing.change("content/edges.md", FALSE)
        (found,) = await editing.problems("content/edges.md", FAULT)
        assert found.range == range_of("flips UR", FALSE)
        assert found.severity == lsp.DiagnosticSeverity.Error
        assert "\nhint: what the moves do: UF is flipped; " in found.message
        editing.change("content/edges.md", TRUE)
        await editing.problems("content/edges.md")

    assert edited(guide_of(tmp_path, edges=TRUE), doing) == 0


def test_places_are_counted_as_the_protocol_has_it(tmp_path: Path) -> None:
    """A character beyond the basic plane is two units of UTF-16: “Position” in LSP 3.17."""
    text = "𝄞 and 🎲: `R`{.moves} `flips UF`{.claim}, at the 𝄞 end.\n"

    async def doing(editing: Editing) -> None:
        editing.open("content/index.md", text)
        await editing.until(lambda: editing.shown.get("content/index.md"))
        (found,) = editing.shown["content/index.md"]
        assert found.range == range_of("flips UF", text)
        assert found.range.start.character == text.index("flips") + 2

    assert edited(guide_of(tmp_path), doing) == 0


def test_places_are_counted_in_other_units_where_a_client_asks_for_them(tmp_path: Path) -> None:
    text = "𝄞: `R`{.moves} `flips UF`{.claim}\n"
    general = lsp.GeneralClientCapabilities(position_encodings=[lsp.PositionEncodingKind.Utf8])

    async def doing(editing: Editing) -> None:
        editing.open("content/index.md", text)
        await editing.until(lambda: editing.shown.get("content/index.md"))
        (found,) = editing.shown["content/index.md"]
        assert found.range.start.character == len(text[: text.index("flips")].encode())

    assert edited(guide_of(tmp_path), doing, lsp.ClientCapabilities(general=general)) == 0


def test_what_is_shown_is_what_check_tells(tmp_path: Path) -> None:
    """Of every file, in the same words, with hints; what is only noted as information."""
    wrong = {
        "content/index.md": "[](nowhere.md) and `R U R' U'`.\n",
        "content/edges.md": FALSE,
        "content/broken.md": "```moves\nR Q\n```\n\n```movs\n```\n",
        "content/puzzles/pebble.yaml": "solid: pebble\n",
    }
    guide = write_guide(guide_of(tmp_path), wrong)
    told = [
        json.loads(line)
        for line in CliRunner().invoke(main, ["check", "--json", str(guide)]).stdout.split("\n")[:-1]
    ]
    assert {each["file"] for each in told} == set(wrong)

    async def doing(editing: Editing) -> None:
        editing.open("content/index.md")
        await editing.until(lambda: set(editing.shown) == set(wrong))
        shown = [
            (
                name,
                each.range.start.line + 1,
                each.range.start.character + 1,
                each.range.end.line + 1,
                each.message,
            )
            for name, every in editing.shown.items()
            for each in every
            if each.severity == lsp.DiagnosticSeverity.Error
        ]
        assert sorted(shown) == sorted(
            (
                each["file"],
                each["line"],
                each["column"],
                each["end"]["line"],
                "\nhint: ".join([each["message"], each["hint"]]),
            )
            for each in told
        )
        notes = [
            each
            for each in editing.shown["content/index.md"]
            if each.severity == lsp.DiagnosticSeverity.Information
        ]
        assert [each.message.partition("\n")[0] for each in notes] == [
            "note: “R U R' U'” reads as moves and is not checked"
        ]

    assert edited(guide, doing) == 0


def test_another_file_gets_problems_of_what_is_not_saved_and_loses_them(tmp_path: Path) -> None:
    guide = guide_of(tmp_path, edges=TRUE, other="`@lift-edge`{.moves}\n")

    async def doing(editing: Editing) -> None:
        editing.open("content/edges.md")
        editing.change("content/edges.md", TRUE.replace("lift-edge", "raise-edge"))
        (found,) = await editing.problems("content/other.md", "no sequence is named lift-edge")
        assert found.range == range_of("@lift-edge", "`@lift-edge`{.moves}\n")
        editing.close("content/edges.md")  # what is on disk counts again
        await editing.problems("content/other.md")

    assert edited(guide, doing) == 0
    assert (guide / "content/edges.md").read_text() == TRUE


def test_a_file_that_is_mended_on_disk_loses_its_problems(tmp_path: Path) -> None:
    """Where a client tells of it; to be told is asked for, if it knows how to."""
    guide = guide_of(tmp_path, edges=FALSE)
    watching = lsp.DidChangeWatchedFilesClientCapabilities(dynamic_registration=True)
    capabilities = lsp.ClientCapabilities(
        workspace=lsp.WorkspaceClientCapabilities(did_change_watched_files=watching)
    )
    asked: list[str] = []

    async def doing(editing: Editing) -> None:
        @editing.client.feature(lsp.CLIENT_REGISTER_CAPABILITY)
        def register(params: lsp.RegistrationParams) -> None:
            asked.extend(each.method for each in params.registrations)

        editing.open("content/index.md")
        await editing.problems("content/edges.md", FAULT)
        (guide / "content/edges.md").write_text(TRUE)
        change = lsp.FileEvent(editing.uri("content/edges.md"), lsp.FileChangeType.Changed)
        editing.client.workspace_did_change_watched_files(lsp.DidChangeWatchedFilesParams([change]))
        await editing.problems("content/edges.md")

    assert edited(guide, doing, capabilities) == 0
    assert asked == [lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES]


def test_settings_are_read_as_they_are_written(tmp_path: Path) -> None:
    async def doing(editing: Editing) -> None:
        editing.open("content/guide.yaml", "title: T\r\nlanguage: klingonish\r\n")
        (found,) = await editing.problems("content/guide.yaml", "the language is a language tag")
        assert found.range == range_of("klingonish", "title: T\nlanguage: klingonish\n")
        editing.change("content/guide.yaml", "title: T\n")
        await editing.problems("content/guide.yaml")

    assert edited(write_guide(tmp_path, small_guide()), doing) == 0
