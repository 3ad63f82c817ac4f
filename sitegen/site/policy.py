"""What browsers may load and run on a page: files of the site, and no script that stands within a page.

Said by a Content-Security-Policy (W3C, CSP Level 3) in the page itself, so that it holds from files too.
"""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Iterator, Sequence
from functools import lru_cache
from hashlib import sha256

from markupsafe import Markup

from sitegen.problems import Passage, Problem

STYLES = "'sha256-'"
"""What stands in a policy for the styles of its page until these are known."""
STYLE = re.compile(r"<style\b[^>]*>(.*?)</style>", re.DOTALL)
OWN = re.compile(r"\{%-?\s*block policy\b|<!doctype\b", re.IGNORECASE)
"""By what a template has a policy of its own, or none: a block for it, or a whole page."""
WITHIN = (
    (
        re.compile(r"(<script\b(?![^>]*(?:\bsrc\s*=|ld\+json))[^>]*>)", re.IGNORECASE),
        "browsers run no script that stands within a page",
        "put it into a file in files/, or write a block policy of your own",
    ),
    (
        re.compile(r"<[a-z][^<>{}]*?\s(on[a-z]+\s*=\s*[\"'][^\"']*[\"'])", re.IGNORECASE),
        "browsers run no script that stands in an attribute",
        "let a script in files/ listen for it, or write a block policy of your own",
    ),
    (
        re.compile(r"\s(style\s*=\s*([\"']).*?\2)", re.DOTALL | re.IGNORECASE),
        "browsers pass over a style that stands in an attribute",
        "give the element a class, and write a rule for that in the theme's sheet",
    ),
)
"""What a template says in vain under this policy, what that means, and what to do."""


def policy(elsewhere: bool) -> Markup:
    """The policy of all pages; `elsewhere` is whether sheets may ask for what other places have."""
    # To a browser pages from the file system are no site of their own, so that files have to be named.
    own = "'self' file:"
    shown = f"{own} data: https:" if elsewhere else f"{own} data:"
    parts = {
        "default-src": own,
        "style-src": f"{own} https: {STYLES}" if elsewhere else f"{own} {STYLES}",
        "img-src": shown,
        "font-src": shown,
        "object-src": "'none'",
        "base-uri": "'none'",
        "form-action": own,
    }
    return Markup("; ".join(f"{name} {sources}" for name, sources in parts.items()))


def with_styles(html: str) -> str:
    """A page whose policy names the styles that stand in it, by their digests."""
    found: dict[str, None] = {}
    at = html.find("<style")
    while at >= 0:
        if written := STYLE.match(html, at):
            found[_digest(written[1])] = None
        at = html.find("<style", at + 1)
    return html.replace(f" {STYLES}", "".join(f" {each}" for each in found), 1)


@lru_cache(maxsize=64)
def _digest(style: str) -> str:
    return f"'sha256-{b64encode(sha256(style.encode()).digest()).decode()}'"


def in_vain(templates: Sequence[Passage]) -> Iterator[Problem]:
    """What templates of a theme say that browsers pass over, unless they give a policy of their own."""
    if any(OWN.search(each.text) for each in templates):
        return
    for template in templates:
        for pattern, message, hint in WITHIN:
            for found in pattern.finditer(template.text):
                yield Problem(message, template.part(*found.span(1)), hint)
