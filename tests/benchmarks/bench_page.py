"""How soon a practice page of 24 keys is open, how large it is, and what an hour of rounds leaves behind.

Run by hand: python tests/benchmarks/bench_page.py, with Chromium and playwright there. Its peer in the same
run is an empty page; the hour is played on a clock of our own.
"""

import shutil
import sys
import tempfile
from pathlib import Path
from statistics import median
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

from page_browser import PHONE, QUIET, STAGE
from page_drills import EIGHT_CHORDS, TWELVE, drill, html_of

from tracks.model import Texture

TWENTY_FOUR = (*TWELVE, "a", "e", "b", "f#", "c#", "g#", "d#", "bb", "f", "c", "g", "d")
TIMES = 7
HOUR_S, STEP_S = 3600, 60


def opened_in_ms(browser: Any, file: Path) -> float:
    """Return the median time from the request of a page to its first state of rest."""
    times: list[float] = []
    for _ in range(TIMES):
        page = browser.new_page(viewport={"width": PHONE[0], "height": PHONE[1]})
        page.goto(file.as_uri())
        page.wait_for_selector("html[data-ready=yes]", state="attached")
        times.append(page.evaluate("performance.now()"))
        page.close()
    return median(times)


def hour(browser: Any, file: Path) -> list[tuple[int, int]]:
    """Return bytes of the heap and nodes of the document after ten minutes, and after an hour, of rounds."""
    context = browser.new_context(bypass_csp=True)
    page = context.new_page()
    page.clock.install(time="2031-04-27T09:59:59")
    page.clock.pause_at("2031-04-27T10:00:00")
    page.add_init_script(path=STAGE)
    page.goto(file.as_uri())
    page.wait_for_selector("html[data-ready=yes]", state="attached")
    page.evaluate("window.stage.isForgetful = true")
    page.click("#play")
    measured = []
    session = context.new_cdp_session(page)
    session.send("Performance.enable")
    for second in range(0, HOUR_S, STEP_S):
        page.clock.run_for(STEP_S * 1000)
        if second in (600 - STEP_S, HOUR_S - STEP_S):
            session.send("HeapProfiler.collectGarbage")
            values = {one["name"]: one["value"] for one in session.send("Performance.getMetrics")["metrics"]}
            measured.append((int(values["JSHeapUsedSize"]), int(values["Nodes"])))
    context.close()
    return measured


def main() -> None:
    """Print the figures."""
    from playwright.sync_api import sync_playwright

    with tempfile.TemporaryDirectory() as folder, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=QUIET, headless=True)
        empty = Path(folder, "empty.html")
        empty.write_text('<!doctype html><script>document.documentElement.dataset.ready = "yes"</script>')
        least = opened_in_ms(browser, empty)
        for style, texture in (("block", Texture.DOUBLED), ("swing", Texture.OVER_BASS)):
            for keys in (TWELVE, TWENTY_FOUR):
                file = Path(folder, f"{style}-{len(keys)}.html")
                file.write_bytes(
                    html_of(drill(EIGHT_CHORDS, keys, style=style, texture=texture, tempos=(60, 66, 72, 80)))
                )
                took = opened_in_ms(browser, file)
                size = file.stat().st_size / 1000
                print(
                    f"{style}, {len(keys)} keys: {size:.0f} kB, open in {took:.0f} ms, empty {least:.0f} ms"
                )
        ten, all_of_it = hour(browser, Path(folder, "block-12.html"))
        print(f"heap after 10 minutes {ten[0] / 1e6:.2f} MB, {ten[1]} nodes;", end=" ")
        print(f"after an hour {all_of_it[0] / 1e6:.2f} MB, {all_of_it[1]} nodes")
        browser.close()


if __name__ == "__main__":
    main()
