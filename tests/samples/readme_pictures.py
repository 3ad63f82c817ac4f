"""The pictures of the README, made of what is published: `python tests/samples/readme_pictures.py`.

What each was made from is written beside them as a digest, which a test compares: none is ever stale.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from base64 import b64encode
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import Browser, sync_playwright

ROOT = Path(__file__).parents[2]
PICTURES = ROOT / ".pictures"
MADE_FROM = PICTURES / "made-from.txt"
SHEETS = ("paper/pocket.html", "paper/practice.html", "paper/first-evening.html")
"""Pages of the demo that are shown as sheets; the last as a copy in grey."""
BESIDE = ("files/folio.css", "files/figures.css")
"""What the look of a page follows from."""
ON_A_TABLE = """<!doctype html><style>
body { margin: 0; padding: 24px; background: #e9e6df; display: flex; gap: 24px; width: max-content }
img { height: 620px; box-shadow: 0 2px 10px #0004 } img:last-child { filter: grayscale(1) }
</style>"""


def example() -> str:
    """The page that the README writes."""
    found = re.search(r"````markdown\n(.*?)````", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL)
    assert found
    return found[1]


def digest_of(output: Path, pages: tuple[str, ...]) -> str:
    """What pages of a site look like follows from."""
    return sha256(b"".join((output / name).read_bytes() for name in (*pages, *BESIDE))).hexdigest()


def of_the_example(browser: Browser, output: Path) -> bytes:
    """The card that the example gives, with its claims unfolded."""
    page = browser.new_page(viewport={"width": 900, "height": 1200}, device_scale_factor=2)
    page.goto((output / "edges.html").as_uri())
    page.locator(".checked-claims summary").click()
    page.evaluate("document.fonts.ready")
    return page.locator("section.card").screenshot()


def of_paper(browser: Browser, output: Path, folder: Path) -> bytes:
    """The first sheet of each of some pages, side by side."""
    images = []
    for number, name in enumerate(SHEETS):
        page = browser.new_page()
        page.goto((output / name).as_uri())
        page.pdf(path=folder / f"{number}.pdf", prefer_css_page_size=True)
        target = folder / str(number)
        command = ["pdftoppm", "-png", "-r", "110", "-singlefile", str(folder / f"{number}.pdf"), str(target)]
        subprocess.run(command, check=True)
        images.append(b64encode(target.with_suffix(".png").read_bytes()).decode())
    page = browser.new_page(viewport={"width": 1600, "height": 700})
    page.set_content(ON_A_TABLE + "".join(f'<img src="data:image/png;base64,{each}">' for each in images))
    return page.locator("body").screenshot()


def make(guide: Path, demo: Path) -> None:
    """Publishes the example and the demo, and makes pictures of both."""
    sys.path.insert(0, str(Path(__file__).parent))
    from sample_guide import guide_of
    from sample_rendering import BROWSER, CHROMIUM

    from sitegen.site.publish import publish

    publish(guide_of(guide, edges=example()))
    publish(demo)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=BROWSER or CHROMIUM, args=["--no-sandbox"])
        (PICTURES / "page.png").write_bytes(of_the_example(browser, guide / "output"))
        (PICTURES / "paper.png").write_bytes(of_paper(browser, demo / "output", guide))
        browser.close()
    digests = [digest_of(guide / "output", ("edges.html",)), digest_of(demo / "output", SHEETS)]
    MADE_FROM.write_text("".join(f"{each}\n" for each in digests), encoding="utf-8")


if __name__ == "__main__":
    with TemporaryDirectory() as folder:
        there = Path(folder) / "demo"
        shutil.copytree(ROOT / "content", there / "content")
        make(Path(folder) / "example", there)
