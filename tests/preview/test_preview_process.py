"""The command `preview` as a process: its port, what it answers to whoever knocks, and how it ends."""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import Running
from sample_guide import guide_of, small_guide, write_guide

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="signals are a thing of POSIX")


@pytest.fixture(scope="module")
def preview(tmp_path_factory, previewing: Callable[..., Running]) -> Running:
    folder = write_guide(tmp_path_factory.mktemp("guide"), small_guide())
    running = previewing(folder)
    running.until(lambda: "published: 4 pages" in running.printed)
    return running


def raw(preview: Running, request: bytes, wait: float = 10.0) -> bytes:
    """All that is answered to some bytes."""
    with socket.create_connection(("127.0.0.1", preview.port), timeout=wait) as sock:
        sock.sendall(request)
        answer = b""
        while part := sock.recv(65536):
            answer += part
        return answer


def asked(preview: Running, path: str, *headers: str, method: str = "GET", host: str | None = None) -> int:
    """The status of what is answered to a request whose path is sent as it is."""
    named = f"Host: {host if host is not None else f'127.0.0.1:{preview.port}'}\r\n"
    lines = "".join(f"{header}\r\n" for header in headers)
    head = f"{method} {path} HTTP/1.1\r\n{named}{lines}Connection: close\r\n\r\n"
    return int(raw(preview, head.encode("latin-1")).split(b" ", 2)[1])


def test_it_serves_the_site_and_the_files_stay_clean(preview: Running) -> None:
    status, page = preview.get("/method/index.html")
    assert status == 200
    assert page.count('src="/.preview/preview.js"') == 1
    assert not any(".preview" in f.read_text() for f in (preview.folder / "output").rglob("*.html"))


@pytest.mark.parametrize(
    "path",
    [
        "/../content/guide.yaml",
        "/../../../../../../etc/passwd",
        "/%2e%2e/content/guide.yaml",
        "/%2E%2E%2Fcontent%2Fguide.yaml",
        "/..%2fcontent/guide.yaml",
        "/method/%2e%2e/%2e%2e/content/guide.yaml",
        "/..%5ccontent%5cguide.yaml",
        "/%252e%252e/content/guide.yaml",
        "//etc/passwd",
        "/.turnfolio",
        "/index.html%00.png",
        "/%ff%fe",
        "/files/%2e%2e/%2e%2e/content/guide.yaml",
        "/.preview/../../content/guide.yaml",
        "/.preview/%2e%2e%2fserver.py",
        "/.preview/..%2f..%2fserver.py",
        "/.preview/templates%2fpanel.html",
        "http://127.0.0.1/content/guide.yaml",
        "*",
    ],
)
def test_no_path_leads_out_of_the_site(preview: Running, path: str) -> None:
    assert asked(preview, path) in (400, 404)


@pytest.mark.parametrize("host", ["example.org", "127.0.0.1", "127.0.0.1:1", "localhost.example.org", ""])
def test_another_host_gets_no_page(preview: Running, host: str) -> None:
    assert asked(preview, "/", host=host) in (400, 421)


def test_without_a_host_or_with_two_there_is_no_page(preview: Running) -> None:
    own = f"Host: 127.0.0.1:{preview.port}\r\n".encode()
    assert raw(preview, b"GET / HTTP/1.1\r\nConnection: close\r\n\r\n").split(b" ")[1] == b"400"
    assert raw(preview, b"GET / HTTP/1.0\r\n\r\n").split(b" ")[1] == b"421"
    assert raw(preview, b"GET / HTTP/1.1\r\n" + 2 * own + b"\r\n").split(b" ")[1] == b"400"


@pytest.mark.parametrize("origin", ["http://example.org", "null", "https://127.0.0.1"])
def test_a_page_of_another_origin_sets_nothing_going(preview: Running, origin: str) -> None:
    body = b'{"claims": "flips UF", "moves": "R"}'
    for path in ("answer", "find", "stop"):
        status, _ = preview.get(
            f"/.preview/scratch/{path}", "POST", body, Origin=origin, Content_Type="application/json"
        )
        assert status == 403
    assert asked(preview, "/", f"Origin: {origin}") == 403


def test_a_get_sets_nothing_going(preview: Running) -> None:
    for path in ("answer", "find", "stop"):
        status, _ = preview.get(f"/.preview/scratch/{path}?claims=flips+UF&moves=R")
        assert status in (404, 405)


@pytest.mark.parametrize(
    "body",
    [b"", b"[]", b'"moves"', b"{", b"\xff", b"[" * 16000, b'{"moves": 1, "longest": "x"}'],
)
def test_what_is_no_object_of_json_breaks_nothing(preview: Running, body: bytes) -> None:
    for path in ("answer", "find"):
        status, text = preview.send(f"/.preview/scratch/{path}", body)
        assert status in (200, 400)
        assert "Traceback" not in text


def test_a_huge_head_is_refused(preview: Running) -> None:
    try:
        answer = raw(preview, b"GET / HTTP/1.1\r\nHost: x\r\nX: " + b"a" * 200_000 + b"\r\n\r\n")
    except ConnectionError:
        answer = b""
    assert answer == b"" or answer.split(b" ")[1] == b"400"
    assert asked(preview, "/" + "a" * 3000) == 414
    assert preview.get("/")[0] == 200


def test_what_is_no_http_is_refused(preview: Running) -> None:
    for each in (b"\x00" * 100 + b"\r\n\r\n", b"hello\r\n\r\n", b"\x16\x03\x01\x02\x00\x01\x00\r\n\r\n"):
        assert raw(preview, each).split(b" ")[1] == b"400"
    assert preview.get("/")[0] == 200


def test_those_who_say_nothing_keep_nobody_out_and_are_sent_away(preview: Running) -> None:
    """Many connections, half of them in the middle of their first line."""
    silent = [socket.create_connection(("127.0.0.1", preview.port)) for _ in range(200)]
    try:
        for sock in silent[::2]:
            sock.sendall(b"GET / HT")
        begun = time.monotonic()
        assert preview.get("/")[0] == 200
        assert time.monotonic() - begun < 5
        for sock in silent:
            sock.settimeout(20)
            assert sock.recv(100) == b""
    finally:
        for sock in silent:
            sock.close()


def test_it_listens_on_this_machine_alone(preview: Running) -> None:
    """Another address of this machine, as the outside would use one, finds nobody."""
    with socket.socket() as sock:
        sock.settimeout(2)
        assert sock.connect_ex(("127.0.0.2", preview.port)) != 0


def test_scratch_paper_answers(preview: Running) -> None:
    status, html = preview.send("/.preview/scratch/answer", b'{"moves": "M", "claims": "order 4"}')
    assert status == 200
    assert "The middle layer" in html
    assert "<b>yes</b> order 4" in html


def test_a_search_can_be_stopped_and_tells_what_it_knows(preview: Running) -> None:
    asked_for = json.dumps({"claims": "order 1260; changes only edges"}).encode()
    with socket.create_connection(("127.0.0.1", preview.port), timeout=60) as sock:
        head = (
            f"POST /.preview/scratch/find HTTP/1.1\r\nHost: 127.0.0.1:{preview.port}\r\n"
            f"Origin: {preview.address}\r\nContent-Type: application/json\r\n"
            f"Content-Length: {len(asked_for)}\r\nConnection: close\r\n\r\n"
        )
        sock.sendall(head.encode() + asked_for)
        answer, end = b"", time.monotonic() + 50
        sock.settimeout(1)
        while time.monotonic() < end:
            preview.send("/.preview/scratch/stop", b"{}")
            try:
                part = sock.recv(65536)
            except TimeoutError:
                continue
            if not part:
                break
            answer += part
    assert b"stopped while searching" in answer


def test_a_port_in_use_gives_the_next_one_and_says_so(
    tmp_path: Path, preview: Running, previewing: Callable[..., Running]
) -> None:
    other = previewing(guide_of(tmp_path), "--port", str(preview.port))
    assert other.port > preview.port
    assert f"port {preview.port} is in use: this is port {other.port}" in other.printed
    assert preview.get("/")[0] == 200


def children(pid: int) -> list[int]:
    found = subprocess.run(
        ["ps", "-o", "pid=", "--ppid", str(pid)], capture_output=True, text=True, check=False
    )
    own = [int(each) for each in found.stdout.split()]
    return [*own, *(grand for child in own for grand in children(child))]


def test_ctrl_c_ends_it_and_all_that_it_has_started(
    tmp_path: Path, previewing: Callable[..., Running]
) -> None:
    running = previewing(guide_of(tmp_path))
    running.until(lambda: "published" in running.printed)
    running.send("/.preview/scratch/find", b'{"claims": "does nothing", "longest": 0}')
    listening = socket.create_connection(("127.0.0.1", running.port))
    listening.sendall(f"GET /.preview/events HTTP/1.1\r\nHost: 127.0.0.1:{running.port}\r\n\r\n".encode())
    while b"revision" not in listening.recv(65536):
        pass
    started = children(running.process.pid)
    assert len(started) >= 2
    assert running.interrupt() == 0
    listening.close()
    assert running.printed.endswith("the preview has ended\n")
    assert "Traceback" not in running.printed
    deadline = time.monotonic() + 10
    while any(map(alive, started)) and time.monotonic() < deadline:
        time.sleep(0.1)
    assert [pid for pid in started if alive(pid)] == []


def alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


def test_problems_are_printed_as_everywhere_and_a_save_that_mends_them_is_published(
    tmp_path: Path, previewing: Callable[..., Running]
) -> None:
    folder = guide_of(tmp_path, one="```moves lift\nmoves: R\nclaims:\n- flips UF\n```\n")
    running = previewing(folder)
    running.until(lambda: "1 problem" in running.printed)
    assert "content/one.md:4:3: this claim is false: UF goes to" not in running.printed
    assert "content/one.md:4:3: this claim is false" in running.printed
    status, page = running.get("/")
    assert status == 404
    assert "this claim is false" in page
    assert "content/one.md:4:3" in page
    (folder / "content/one.md").write_text("```moves lift\nmoves: R\nclaims:\n- order 4\n```\n")
    running.until(lambda: "published: 2 pages" in running.printed)
    assert running.get("/one.html")[0] == 200
