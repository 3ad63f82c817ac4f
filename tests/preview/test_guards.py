"""Only pages of the preview itself are answered: not those of other sites that run in the same browser."""

from __future__ import annotations

import pytest
from starlette.datastructures import Headers

from sitegen.preview.guards import MOST_BODY, MOST_PATH, OWN, refusal
from sitegen.preview.local_server import hosts

HERE = hosts(4870)
OURS = {"host": "127.0.0.1:4870"}
SENDING = {
    **OURS,
    "origin": "http://127.0.0.1:4870",
    "content-type": "application/json",
    "content-length": "2",
}


def status(method: str = "GET", path: str = "/", **headers: str | None) -> int:
    """200 where nothing is against a request."""
    given = {name.replace("_", "-"): value for name, value in headers.items()}
    base = SENDING if method == "POST" else OURS
    sent = {name: value for name, value in {**base, **given}.items() if value is not None}
    refused = refusal(method, path, Headers(sent), HERE)
    return refused.status if refused else 200


@pytest.mark.parametrize("host", ["127.0.0.1:4870", "localhost:4870"])
def test_both_names_of_this_machine_are_known(host: str) -> None:
    assert status(host=host) == 200


@pytest.mark.parametrize(
    "host",
    ["example.org", "example.org:4870", "127.0.0.1", "127.0.0.1:80", "127.0.0.1:4870.example.org", "", None],
)
def test_a_request_for_another_host_is_misdirected(host: str | None) -> None:
    """As where the name of another site leads to this machine; 421 is in RFC 9110, section 15.5.20."""
    assert status(host=host) == 421


def test_a_request_that_names_two_hosts_is_misdirected() -> None:
    twice = Headers(raw=[(b"host", b"127.0.0.1:4870"), (b"host", b"127.0.0.1:4870")])
    refused = refusal("GET", "/", twice, HERE)
    assert refused is not None
    assert refused.status == 421


def test_the_usual_port_goes_unsaid() -> None:
    """RFC 9110, section 4.2.3."""
    assert hosts(80) == {"127.0.0.1", "localhost"}


@pytest.mark.parametrize("method", ["GET", "HEAD", "POST"])
@pytest.mark.parametrize(
    "origin",
    ["http://example.org", "https://127.0.0.1:4870", "http://127.0.0.1:4871", "http://localhost", "null", ""],
)
def test_a_page_of_another_origin_gets_nothing_and_sets_nothing_going(method: str, origin: str) -> None:
    for path in ("/", f"{OWN}panel", f"{OWN}scratch/find"):
        assert status(method, path, origin=origin) == 403


def test_who_sends_something_says_from_where() -> None:
    assert status("POST", f"{OWN}scratch/stop") == 200
    assert status("POST", f"{OWN}scratch/stop", origin=None) == 403


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_what_the_preview_adds_is_not_loaded_into_pages_of_other_sites(site: str) -> None:
    """By Fetch Metadata (W3C), which browsers send with what a page loads, though it names no origin."""
    assert status(path=f"{OWN}panel", sec_fetch_site=site) == 403
    assert status(path=f"{OWN}panel", sec_fetch_site="same-origin") == 200
    assert status(path="/", sec_fetch_site=site) == 200  # a link from anywhere may lead to the guide


@pytest.mark.parametrize(
    "kind", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", None]
)
def test_what_a_form_can_send_is_not_taken(kind: str | None) -> None:
    assert status("POST", content_type=kind) == 415


@pytest.mark.parametrize(
    ("length", "expected"),
    [
        ("0", 200),
        (str(MOST_BODY), 200),
        (str(MOST_BODY + 1), 413),
        ("9" * 5000, 413),
        (None, 411),
        ("-1", 411),
        ("²", 411),
    ],
)
def test_what_is_sent_has_a_length_and_a_bound(length: str | None, expected: int) -> None:
    headers = {**SENDING, "content-length": length}
    raw = [(name.encode(), value.encode("latin-1")) for name, value in headers.items() if value is not None]
    refused = refusal("POST", "/", Headers(raw=raw), HERE)
    assert (refused.status if refused else 200) == expected


@pytest.mark.parametrize(
    "method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "PROPFIND", "get"]
)
def test_no_other_method_is_known(method: str) -> None:
    assert status(method) == 405


def test_a_path_has_a_bound() -> None:
    assert status(path="/" + "a" * (MOST_PATH - 1)) == 200
    assert status(path="/" + "a" * MOST_PATH) == 414


def test_of_what_is_sent_in_chunks_nobody_knows_how_long_it_is() -> None:
    """Whatever else is said of its length: RFC 9112, section 6.3."""
    assert status("POST", f"{OWN}scratch/stop", transfer_encoding="chunked") == 411
    assert status("POST", f"{OWN}scratch/stop", transfer_encoding="chunked", content_length=None) == 411
