"""How soon a page is there on a slow telephone: `python tests/benchmarks/loading.py`.

Pages of the demo come over a slow line into a Chromium whose processor is four times slower: when the largest
paint is, also as a multiple of that of a page with a line of text and nothing else, and what moved
meanwhile. Once texts are compressed, as hosts of sites send them, and once sent as they are. The bars are
1.5 s and no shift that anybody sees (0.02).
"""

from __future__ import annotations

import shutil
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from playwright.sync_api import Browser

sys.path.insert(0, str(Path(__file__).parents[1] / "samples"))

from sample_rendering import BROWSER, chromium
from serving_files import AS_IT_IS, COMPRESSED, served

from sitegen.site.publish import publish

PAGES = ("index.html", "one-edge.html", "sequences/lift-edge.html", "any-cube.html", "effects.html")
LINE = {"offline": False, "latency": 150, "downloadThroughput": 200_000, "uploadThroughput": 94_000}
SLOWER = 4
WATCH = """
window.seen = {moved: 0, painted: 0};
new PerformanceObserver((list) => {
  for (const entry of list.getEntries()) window.seen.moved += entry.value;
}).observe({ type: "layout-shift", buffered: true });
new PerformanceObserver((list) => {
  for (const entry of list.getEntries()) window.seen.painted = entry.startTime;
}).observe({ type: "largest-contentful-paint", buffered: true });
"""


def seen(browser: Browser, address: str) -> dict[str, float]:
    """When the largest paint was, in milliseconds, and how much moved."""
    page = browser.new_context(viewport={"width": 360, "height": 740}).new_page()
    session = page.context.new_cdp_session(page)
    session.send("Network.enable")
    session.send("Network.emulateNetworkConditions", LINE)
    session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    page.add_init_script(WATCH)
    page.goto(address, wait_until="networkidle")
    page.wait_for_timeout(1_000)
    found: dict[str, float] = page.evaluate("seen")
    page.context.close()
    return found


if __name__ == "__main__":
    with TemporaryDirectory() as name:
        guide = Path(name)
        shutil.copytree(Path(__file__).parents[2] / "content", guide / "content")
        publish(guide)
        (guide / "output/bare.html").write_text("<!doctype html><p>A line of text.", encoding="utf-8")
        for called, way in (("compressed", COMPRESSED), ("as they are", AS_IT_IS)):
            with served(guide / "output", way) as address, chromium(BROWSER) as browser:
                print(f"{called}:")
                bare = seen(browser, f"{address}bare.html")["painted"]
                for page in PAGES:
                    found = seen(browser, f"{address}{page}")
                    took = f"{found['painted']:6.0f} ms, {found['painted'] / bare:4.1f} × bare"
                    print(f"{page:28} {took}; moved {found['moved']:.4f}")
