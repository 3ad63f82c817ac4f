"""Whatever a client sends, the server goes on answering, and ends when it is told to as the protocol says."""

from __future__ import annotations

import asyncio
import json
import subprocess
import sys
from pathlib import Path

import pytest
from editor_client import COMMAND, Editing, edited
from lsprotocol import types as lsp
from pygls.exceptions import JsonRpcException
from sample_guide import guide_of

PAGE = "```moves lift-edge\nF D' U L2 U2 D2 R U\n```\n"


def sent(body: bytes, header: bytes | None = None) -> bytes:
    return (header or b"Content-Length: %d\r\n\r\n" % len(body)) + body


MALFORMED = (
    sent(b"{not json"),
    sent(b'{"jsonrpc": "2.0", "id": 7, "method":'),
    sent(b'{"jsonrpc": "2.0", "method": "\xff"}'),
    sent(b'[{"jsonrpc": "2.0", "id": 8, "method": "shutdown"}]'),
    sent(b"12"),
    sent(b'{"id": 9, "method": "shutdown"}'),
    sent(b'{"jsonrpc": "2.0", "id": 10, "method": "textDocument/hover"}'),
    sent(b'{"jsonrpc": "2.0", "id": 11, "method": "textDocument/hover", "params": {"a": 1}}'),
    sent(b"", b"Content-Type: nothing\r\n\r\n"),
    sent(b'{"jsonrpc": "2.0", "id": 12, "result": null}'),
)


async def still_answers(editing: Editing) -> None:
    assert "UF is flipped" in await editing.hover("content/index.md", PAGE.replace("F D'", "F ‸D'"))


def test_what_is_no_message_is_passed_over(tmp_path: Path) -> None:
    async def doing(editing: Editing) -> None:
        server = editing.client._server
        assert server is not None
        assert server.stdin is not None
        for message in MALFORMED:
            server.stdin.write(message)
            await still_answers(editing)

    assert edited(guide_of(tmp_path), doing) == 0


def test_a_request_that_is_not_known_is_refused(tmp_path: Path) -> None:
    """With “method not found”, -32601 in JSON-RPC 2.0, section 5.1; what is only told is passed over."""

    async def doing(editing: Editing) -> None:
        with pytest.raises(JsonRpcException) as refused:
            await editing.client.protocol.send_request_async("textDocument/somethingElse", {"a": 1})
        assert refused.value.code == -32601
        editing.client.protocol.notify("$/somethingElse", {"a": 1})
        await still_answers(editing)

    assert edited(guide_of(tmp_path), doing) == 0


def test_files_of_no_guide_are_let_alone(tmp_path: Path) -> None:
    (tmp_path / "content").mkdir()
    (tmp_path / "content/index.md").write_text(PAGE)

    async def doing(editing: Editing) -> None:
        editing.open("content/index.md")
        editing.open("notes.txt", "[](nowhere.md)\n")
        nowhere = lsp.TextDocumentItem("untitled:Untitled-1", "markdown", 1, "[](nowhere.md)\n")
        editing.client.text_document_did_open(lsp.DidOpenTextDocumentParams(nowhere))
        assert await editing.hover("content/index.md", PAGE.replace("F D'", "F ‸D'")) == ""
        assert await editing.completed("content/index.md", PAGE.replace("F D'", "F ‸D'")) == []
        assert await editing.definition("content/index.md", PAGE.replace("F D'", "F ‸D'")) is None
        assert editing.shown == {}

    assert edited(tmp_path, doing) == 0


def test_places_beyond_a_text_are_its_end(tmp_path: Path) -> None:
    async def doing(editing: Editing) -> None:
        editing.open("content/index.md", PAGE)
        document = lsp.TextDocumentIdentifier(editing.uri("content/index.md"))
        for place in (lsp.Position(1, 10**6), lsp.Position(10**6, 0), lsp.Position(10**6, 10**6)):
            hover = await editing.client.text_document_hover_async(lsp.HoverParams(document, place))
            assert (hover is not None) == (place.line == 1)
            await editing.client.text_document_completion_async(lsp.CompletionParams(document, place))
            await editing.client.text_document_definition_async(lsp.DefinitionParams(document, place))

    assert edited(guide_of(tmp_path), doing) == 0


def test_half_a_character_is_read_as_one_that_cannot_be_told(tmp_path: Path) -> None:
    text = "\ud83c `R`{.moves} `flips UF`{.claim}\n"

    async def doing(editing: Editing) -> None:
        editing.open("content/index.md", text)
        await editing.until(lambda: editing.shown.get("content/index.md"))
        (found,) = editing.shown["content/index.md"]
        assert found.range.start == lsp.Position(0, text.index("flips"))
        assert not editing.told

    assert edited(guide_of(tmp_path), doing) == 0


def test_a_guide_whose_settings_cannot_be_read_is_said_to_have_that_problem_alone(tmp_path: Path) -> None:
    async def doing(editing: Editing) -> None:
        editing.open("content/index.md", PAGE)
        editing.open("content/guide.yaml", "puzzle: nothing\ntitle: [\n")
        await editing.until(lambda: editing.shown.get("content/guide.yaml"))
        assert await editing.hover("content/index.md", PAGE.replace("F D'", "F ‸D'")) == ""
        editing.change("content/guide.yaml", "title: T\n")
        await editing.problems("content/guide.yaml")
        await still_answers(editing)

    assert edited(guide_of(tmp_path), doing) == 0


def test_a_client_that_goes_without_a_word_leaves_no_success(tmp_path: Path) -> None:
    """“The server should exit with success code 0 if the shutdown request has been received before; otherwise
    with error code 1”: LSP 3.17, “Exit Notification”."""

    async def doing(editing: Editing) -> None:
        await still_answers(editing)

    assert edited(guide_of(tmp_path), doing, goes=False) == 1


def test_it_ends_with_its_input(tmp_path: Path) -> None:
    done = subprocess.run(COMMAND, input=b"", capture_output=True, timeout=60, check=False, cwd=tmp_path)
    assert (done.returncode, done.stdout, done.stderr) == (1, b"", b"")


def test_a_search_that_takes_long_keeps_nobody_from_ending(tmp_path: Path) -> None:
    """Nor from being told meanwhile what moves do."""
    search = "".join(f"```find\nclaims: order {order}\nlongest: 12\n```\n\n" for order in (1260, 990))

    async def doing(editing: Editing) -> None:
        editing.open("content/edges.md", search)
        await asyncio.sleep(2)
        await still_answers(editing)
        assert editing.shown == {}  # it goes on

    assert edited(guide_of(tmp_path), doing) == 0


def test_without_what_it_needs_it_says_what_to_install(tmp_path: Path) -> None:
    missing = "import sys; sys.modules['pygls'] = None; from sitegen.cli import main; main()"
    done = subprocess.run(
        [sys.executable, "-c", missing, "editor"], capture_output=True, text=True, input="", check=False
    )
    assert done.returncode == 2
    assert "install it with pip install 'pygls>=2'" in done.stderr
    assert "Traceback" not in done.stderr


def test_nothing_but_messages_comes_out(tmp_path: Path) -> None:
    """Each with the header that says how long it is: LSP 3.17, “Base Protocol”."""
    begin = {
        "jsonrpc": "2.0",
        "id": 1,
        "method": "initialize",
        "params": {"capabilities": {}, "processId": None},
    }
    leave = [{"jsonrpc": "2.0", "id": 2, "method": "shutdown"}, {"jsonrpc": "2.0", "method": "exit"}]
    given = b"".join(sent(json.dumps(each).encode()) for each in [begin, *leave])
    done = subprocess.run(COMMAND, input=given, capture_output=True, timeout=60, check=False, cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, b"")
    left, answers = done.stdout, []
    while left:
        header, _, body = left.partition(b"\r\n\r\n")
        length = int(dict(line.split(b": ") for line in header.split(b"\r\n"))[b"Content-Length"])
        answers.append(json.loads(body[:length]))
        left = body[length:]
    assert [each["id"] for each in answers] == [1, 2]
    assert answers[0]["result"]["serverInfo"]["name"] == "turnfolio"
