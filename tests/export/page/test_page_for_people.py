"""The practice page for people: what the axe rules say, how large its targets are, what it announces."""

from pathlib import Path
from typing import Any

import pytest
from page_browser import LAPTOP, PHONE, TABLET, broken_rules
from page_drills import EIGHT_CHORDS, TWELVE, drill

from tracks.model import Texture

LEAST_TARGET = 44  # CSS pixels: WCAG 2.2, 2.5.5 target size (enhanced)


@pytest.mark.parametrize("size", [PHONE, TABLET, LAPTOP], ids=("phone", "tablet", "laptop"))
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_axe_rules_find_nothing(opened: Any, size: tuple[int, int], theme: str) -> None:
    shown = opened(drill(EIGHT_CHORDS, ("Eb", "c")), size, stage=False, color_scheme=theme)
    for setting_up in (False, True):
        if setting_up:
            shown.page.click("#open")
        assert broken_rules(shown.page) == []


def test_targets_are_large_enough_at_the_piano(opened: Any) -> None:
    shown = opened(drill())
    shown.page.click("#open")
    small = shown.page.evaluate(
        """least => [...document.querySelectorAll('button, select, .choices span, summary, #tempo')]
        .map((one) => [one.id || one.textContent, one.getBoundingClientRect()])
        .filter(([, box]) => box.height && (box.height < least || box.width < least))
        .map(([name, box]) => [name, box.width, box.height])""",
        LEAST_TARGET,
    )
    assert small == []


@pytest.mark.parametrize("size", [(320, 640), PHONE, TABLET, LAPTOP])
def test_nothing_is_wider_than_the_window(opened: Any, size: tuple[int, int]) -> None:
    shown = opened(drill(EIGHT_CHORDS, style="swing", texture=Texture.OVER_BASS), size)
    shown.page.click("#words summary")
    assert shown.page.evaluate("document.documentElement.scrollWidth") <= size[0]
    rows = shown.page.eval_on_selector_all(
        "#score svg", "all => all.map((one) => one.getBoundingClientRect().right)"
    )
    assert max(rows) <= size[0]


@pytest.mark.parametrize("size", [PHONE, TABLET, LAPTOP], ids=("phone", "tablet", "laptop"))
def test_while_it_plays_the_chord_and_its_bar_stay_in_sight(opened: Any, size: tuple[int, int]) -> None:
    shown = opened(drill(" ".join([EIGHT_CHORDS] * 4)), size, reduced_motion="reduce")
    shown.play()
    for _ in range(5):
        shown.go_on(20)
        panel, top, bottom, foot = shown.page.evaluate(
            """['#now', '.wash.now', '.wash.now', '#foot']
            .map((one) => document.querySelector(one).getBoundingClientRect())
            .map((box, place) => place === 2 ? box.bottom : box.top)"""
        )
        assert 0 <= panel < foot
        assert 0 <= top < bottom <= foot


def test_with_less_motion_nothing_moves_by_itself(opened: Any) -> None:
    shown = opened(drill(), reduced_motion="reduce")
    moving = shown.page.evaluate(
        """[...document.querySelectorAll('*')]
        .filter((one) => parseFloat(getComputedStyle(one).transitionDuration) > 0).length"""
    )
    assert moving == 0


def test_what_matters_is_announced_and_the_score_is_read_in_words(opened: Any) -> None:
    shown = opened(drill())
    assert shown.page.get_attribute("#live", "aria-live") == "polite"
    rows = shown.page.locator("#rows tr").first.locator("td").all_text_contents()
    assert rows[:3] == ["1", "E♭", "I"]
    assert rows[3] == "E♭ major, root position"
    shown.page.click("#chord-after")
    assert shown.text("#live").startswith("Cm: ")


def test_a_title_with_markup_stays_text(browser: Any, tmp_path: Path) -> None:
    from dataclasses import replace

    from tracks.export.page.html import to_html
    from tracks.model import Heading
    from tracks.pack.page import page
    from tracks.practice.played import played_in_each_key
    from tracks.style.registry import load

    nasty = "<img src=x onerror=\"document.title='caught'\"><b>Fête</b> & 「x」"
    asked = drill()
    made = page(asked, tuple(played_in_each_key(asked, load("block"))))
    file = tmp_path / "nasty.html"
    file.write_bytes(
        to_html(replace(made, about=nasty, title=nasty, heading=Heading(nasty, nasty, notes=nasty)))
    )
    context = browser.new_context()  # with its policy in force
    shown = context.new_page()
    faults: list[str] = []
    shown.on("pageerror", lambda fault: faults.append(str(fault)))
    shown.on("console", lambda message: faults.append(message.text))
    shown.goto(file.as_uri())
    shown.wait_for_selector("html[data-ready=yes]", state="attached")
    for part in ("#title", "#about", "#notes"):
        assert shown.text_content(part) == nasty
    assert shown.title() == nasty
    assert shown.locator("main img, header img").count() == 0
    assert faults == [], "and the policy lets the page itself through"
    context.close()


def test_twenty_four_keys_open_and_each_can_be_chosen(opened: Any) -> None:
    shown = opened(
        drill(EIGHT_CHORDS, (*TWELVE, *(key.lower() for key in TWELVE if key not in ("Db", "Gb")), "c#"))
    )
    assert shown.page.locator("#key option").count() == 24
    for place in range(24):
        shown.page.select_option("#key", index=place)
        assert shown.page.locator("#score svg").count() > 0
