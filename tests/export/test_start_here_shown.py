"""The page to start from, open in a browser: the axe rules, no scrolling sideways, targets for a finger."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from page_browser import LAPTOP, PHONE, TABLET, broken_rules

from tracks.export.start_here import InKey, Link, StartHere, ToPractice, start_here
from tracks.model import Heading
from tracks.safety import CAUTION

SMALLEST = (320, 640)  # CSS pixels: WCAG 2.2, 1.4.10 reflow
LEAST_TARGET = 24  # CSS pixels: WCAG 2.2, 2.5.8 target size (minimum)


def drill(number: int) -> ToPractice:
    def sounds(bpm: int) -> tuple[Link, ...]:
        return tuple(Link(hand, f"{number}/{hand} {bpm}.mp3", True) for hand in ("Right", "Left", "Both"))

    sheets = (Link("Sheet to print (PDF)", "a.pdf"), Link("Sheet to edit (MusicXML)", "a.musicxml"))
    keys = tuple(InKey(key, "at 60", sheets, sounds(60), sounds(72)) for key in ("E♭ major", "F♯ minor"))
    title = "Averylongnameofadrillthatnobodywouldbreak" * number
    return ToPractice(title, "Both hands.", "Today: quarter note = 60", "Goal: 72", sheets[:1], keys)


PAGE = StartHere(
    Heading("Wren Oakes", "Lanterns <&>", date(2026, 3, 2), date(2026, 3, 9), "Left first.\nThen both."),
    (drill(1), drill(2)),
    ("Listen once, then play along.",),
    CAUTION,
)


@pytest.fixture
def shown(browser: Any, tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Any]:
    (width, height), theme = request.param
    (tmp_path / "start-here.html").write_bytes(start_here(PAGE))
    context = browser.new_context(viewport={"width": width, "height": height}, color_scheme=theme)
    page = context.new_page()
    page.goto((tmp_path / "start-here.html").as_uri())
    yield page
    context.close()


SIZES = {"smallest": SMALLEST, "phone": PHONE, "tablet": TABLET, "laptop": LAPTOP}
every = pytest.mark.parametrize(
    "shown",
    [
        pytest.param((size, theme), id=f"{name}-{theme}")
        for name, size in SIZES.items()
        for theme in ("light", "dark")
    ],
    indirect=True,
)


@every
def test_the_axe_rules_find_nothing_folded_or_open(shown: Any) -> None:
    assert broken_rules(shown) == []
    shown.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true; })")
    assert broken_rules(shown) == []


@every
def test_nothing_scrolls_sideways_and_every_target_takes_a_finger(shown: Any) -> None:
    shown.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true; })")
    assert shown.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 0
    small = shown.evaluate(
        """least => [...document.querySelectorAll('a, audio, summary')]
        .map((one) => [one.textContent, one.getBoundingClientRect()])
        .filter(([, box]) => box.height < least || box.width < least).map(([words]) => words)""",
        LEAST_TARGET,
    )
    assert small == []
