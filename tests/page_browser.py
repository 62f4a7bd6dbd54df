"""A real browser for the page's tests: Debian's Chromium, without a window, a network or a sound card."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from page_drills import html_of

from tracks.drill.drill import Drill

STAGE = Path(__file__).parent / "export" / "page" / "stage.js"
QUIET = (
    "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
    "--disable-component-update --disable-sync"
).split()
AXE = STAGE.parent / "node_modules" / "axe-core" / "axe.min.js"
PHONE, TABLET, LAPTOP = (390, 844), (820, 1180), (1366, 820)


def missing(what: str) -> None:
    """Skip where something is missing on a developer's machine; in CI it must be there."""
    assert not os.environ.get("CI"), f"CI needs {what}"
    pytest.skip(f"{what} is not installed here")


def broken_rules(page: Any) -> list[tuple[str, list[Any]]]:
    """Return the axe rules that an open page breaks, each with what breaks it.

    The rules are those of the axe-core package (Deque; WCAG 2.2 levels A and AA among them), which comes from
    npm for the tests alone.
    """
    if not AXE.exists():
        missing("axe-core (npm install in tests/export/page)")
    page.add_script_tag(path=AXE)
    found = page.evaluate("axe.run({ resultTypes: ['violations'] })")
    return [(each["id"], [node["target"] for node in each["nodes"]]) for each in found["violations"]]


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """A running Chromium."""
    found = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if not found:
        missing("chromium (apt-get install chromium)")
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        missing("playwright (pip install playwright)")
    with sync_playwright() as play:
        chromium = play.chromium.launch(executable_path=found, args=QUIET, headless=True)
        yield chromium
        chromium.close()


class Opened:
    """A practice page open in a browser, on a clock that only the test moves."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self.faults: list[str] = []
        self.requests: list[str] = []
        page.on("pageerror", lambda fault: self.faults.append(str(fault)))
        page.on("console", self._noted)
        page.on("request", lambda request: self.requests.append(request.url))

    def _noted(self, message: Any) -> None:
        if message.type in ("error", "warning"):
            self.faults.append(message.text)

    def go_on(self, seconds: float) -> None:
        """Let time go by, every timer and frame in its turn."""
        self.page.clock.run_for(round(seconds * 1000))

    def play(self) -> None:
        """Press the button that plays, and wait until the sounds are made."""
        self.page.click("#play")
        for _ in range(400):
            if self.page.evaluate("stage.struck.length > 0"):
                return
            self.go_on(0.005)
        raise AssertionError("nothing was played")

    def setting(self, name: str, value: str) -> None:
        """Choose a value in the setup, by the option's own value, whatever it is called."""
        place = self.page.eval_on_selector(
            f"#{name}",
            "(select, value) => [...select.options].findIndex((one) => one.value === value)",
            value,
        )
        self.page.select_option(f"#{name}", index=place)

    def text(self, selector: str) -> str:
        found: str = self.page.text_content(selector)
        return found.strip()

    def struck(self) -> list[dict[str, float]]:
        """Return what was handed to the sound card: when, and how long its sound is."""
        found: list[dict[str, float]] = self.page.evaluate(
            "stage.struck.map(({at, seconds, rate}) => ({at, seconds, rate}))"
        )
        return found


@pytest.fixture
def opened(browser: Any, tmp_path: Path) -> Iterator[Any]:
    """Return a function that opens a drill's page."""
    contexts: list[Any] = []
    pages: list[Opened] = []

    def open_page(asked: Drill, size: tuple[int, int] = PHONE, stage: bool = True, **more: Any) -> Opened:
        file = tmp_path / f"{asked.name}.html"
        file.write_bytes(html_of(asked))
        width, height = size
        context = browser.new_context(
            viewport={"width": width, "height": height}, bypass_csp=True, **({"locale": "en-US"} | more)
        )
        contexts.append(context)
        page = context.new_page()
        if stage:
            page.clock.install(time="2031-04-27T09:59:59")
            page.clock.pause_at("2031-04-27T10:00:00")
            page.add_init_script(path=STAGE)
        shown = Opened(page)
        pages.append(shown)
        page.goto(file.as_uri())
        page.wait_for_selector("html[data-ready=yes]", state="attached")
        return shown

    yield open_page
    for context in contexts:
        context.close()
    for shown in pages:
        assert shown.faults == [], "nothing went wrong in the page"
        assert [url for url in shown.requests if not url.startswith(("file:", "blob:", "data:"))] == []
