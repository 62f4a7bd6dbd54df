"""The practice page clicked through in a real browser, on a clock that the test moves."""

import csv
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from page_drills import EIGHT_CHORDS, drill

from tracks.drill.drill import Form
from tracks.model import Texture

TWO_KEYS = ("Eb", "c")
BEAT_S = 60 / 60


def keys_of(shown: Any, hand: str = "both") -> list[int]:
    """Return the keys that the drawn keyboard asks for."""
    sides = {"both": "right, .left", "right": "right", "left": "left"}[hand]
    found: list[int] = shown.page.evaluate(
        f"""[...document.querySelectorAll('#keyboard rect')]
        .filter((key) => key.matches('.{sides}')).map((key) => Number(key.dataset.midi))"""
    )
    return found


def test_play_lights_the_chord_in_both_staves_and_on_the_keyboard(opened: Any) -> None:
    shown = opened(drill())
    shown.play()
    shown.go_on(0.6)
    assert shown.text("#turn") == "Count: 1"
    assert shown.page.locator("#score .lit[id]").count() == 0
    shown.go_on(4)
    assert shown.text("#symbol") == "E♭"
    lit = shown.page.eval_on_selector_all("#score g.lit", "all => all.map((one) => one.id)")
    assert {name.split("v")[0][-2:] for name in lit} == {"s1", "s2"}, "one in each staff"
    shown.go_on(4)
    assert shown.text("#symbol") == "Cm"
    assert shown.page.locator("#score .wash.now").get_attribute("data-b") == "1"
    assert shown.page.locator("#keyboard .finger.right").count() == 3
    assert shown.page.locator("#keyboard .finger.left").count() == 3
    assert shown.text("#play") == "Stop"
    shown.page.click("#play")
    assert shown.text("#play") == "Play"
    assert shown.page.locator("#symbol").is_visible()


def test_clicks_come_at_the_tempo_and_follow_a_new_one(opened: Any) -> None:
    shown = opened(drill())
    shown.play()
    shown.go_on(6)
    shown.page.click("#faster")
    shown.page.click("#faster")
    assert shown.page.input_value("#tempo") == "64"
    shown.go_on(6)
    shown.page.fill("#tempo", "120")
    shown.page.press("#tempo", "Enter")
    shown.go_on(8)
    clicks = [sound["at"] for sound in shown.struck() if 0.1 < sound["seconds"] < 0.13]
    steps = [round(after - before, 6) for before, after in pairwise(clicks)]
    assert set(steps) == {1.0, round(60 / 64, 6), 0.5}
    assert steps == sorted(steps, reverse=True)


def test_the_click_is_off_where_it_is_asked_off_but_counts_in(opened: Any) -> None:
    shown = opened(drill())
    shown.page.click("#open")
    shown.setting("click", "off")
    shown.setting("count-in", "2")
    shown.page.click("#close")
    shown.play()
    shown.go_on(20)
    assert len([one for one in shown.struck() if 0.1 < one["seconds"] < 0.13]) == 8


def test_bars_chosen_go_round(opened: Any) -> None:
    shown = opened(drill())
    shown.page.click("#open")
    shown.setting("first", "1")
    shown.setting("last", "2")
    shown.page.click("#close")
    assert shown.page.locator("#score .wash.out").count() == 3
    shown.play()
    shown.go_on(1)
    seen = []
    for _ in range(6):
        shown.go_on(4)
        seen.append(shown.text("#symbol"))
    assert seen == ["Cm", "A♭"] * 3
    shown.page.click("#open")
    shown.page.click("#all-bars")
    assert shown.page.locator("#score .wash.out").count() == 0


def test_once_through_ends(opened: Any) -> None:
    shown = opened(drill())
    shown.page.click("#open")
    shown.page.uncheck("#repeat")
    shown.page.click("#close")
    shown.play()
    shown.go_on(26)
    assert shown.text("#play") == "Play"


def test_a_part_is_heard_soft_or_silent(opened: Any) -> None:
    shown = opened(drill())
    shown.play()
    shown.go_on(5)
    shown.page.click("#open")
    shown.page.locator("#parts .part", has_text="Left hand").locator("[value=silent]").check()
    shown.page.locator("#parts .part", has_text="Right hand").locator("[value=soft]").check()
    gains = shown.page.evaluate(
        "[...new Set(stage.struck.map(({part}) => part))].map((part) => part.gain.value)"
    )
    assert 0 in gains
    assert len(set(gains)) > 2


def test_the_ladder_is_climbed_by_clean_rounds_and_at_a_press(opened: Any) -> None:
    shown = opened(drill())
    shown.page.click("#open")
    shown.setting("climb", "2")
    assert shown.page.locator("#rungs input:checked").get_attribute("value") == "60"
    shown.page.click("#close")
    shown.page.click("#clean")
    assert shown.page.input_value("#tempo") == "60"
    shown.page.click("#clean")
    assert shown.page.input_value("#tempo") == "97"
    assert "97" in shown.text("#live")
    shown.page.click("#rung-up")
    assert shown.page.input_value("#tempo") == "132"
    assert shown.page.is_disabled("#rung-up")
    assert "best clean: 60" in shown.text("#best")


def test_a_tempo_is_tapped(opened: Any) -> None:
    shown = opened(drill())
    for _ in range(4):
        shown.page.click("#tap")
        shown.go_on(0.5)
    assert shown.page.input_value("#tempo") == "120"


def test_every_key_of_the_pack_is_there(opened: Any) -> None:
    shown = opened(drill(keys=TWO_KEYS))
    assert shown.page.locator("#key option").all_text_contents() == ["E♭ major", "C minor"]
    shown.setting("key", "1")
    assert shown.text("#symbol") == "C"
    assert shown.text("#live") == "C minor"
    shown.page.click("#key-after")
    assert shown.text("#symbol") == "E♭"


def test_arrows_and_fingers_tell_what_moves(opened: Any) -> None:
    shown = opened(drill())
    shown.page.click("#chord-after")
    assert shown.text("#symbol") == "Cm"
    right = shown.page.locator("#fingers-right li").all_text_contents()
    assert right == ["Right hand", "1 stays on E♭4", "G4 stays, now with 2", "5 goes to C5, finger 5"]
    assert shown.page.locator("#keyboard .arc.right").count() == 1
    assert shown.page.locator("#keyboard .stay.right").count() == 2
    assert "Right hand 1 on E♭4, 2 on G4, 5 on C5" in shown.text("#held")
    shown.page.click("#chord-before")
    assert shown.text("#symbol") == "E♭"


def test_the_next_chord_is_shown_ahead_on_request(opened: Any) -> None:
    shown = opened(drill())
    assert shown.page.is_hidden("#next")
    shown.page.click("#open")
    shown.page.check("#ahead")
    shown.page.click("#close")
    assert shown.text("#next").startswith("Next: Cm")
    assert shown.page.locator("#keyboard .ahead").count() == 6


@pytest.mark.parametrize(
    ("see", "seen", "unseen"), [("words", "#said", "#score"), ("numerals", "#numeral", "#symbol")]
)
def test_reading_leads_to_knowing(opened: Any, see: str, seen: str, unseen: str) -> None:
    shown = opened(drill())
    shown.page.click("#open")
    shown.page.check(f"#see input[value={see}]")
    shown.page.click("#close")
    assert shown.page.is_visible(seen)
    for part in (unseen, "#score", "#keyboard", "#fingers"):
        assert shown.page.is_hidden(part)


def test_turns_are_shown_and_the_soloist_leaves_yours_free(opened: Any) -> None:
    asked = drill("I IV V7 I", style="improvise", form=Form.CALL_AND_RESPONSE, turn=2, repeats=1)
    shown = opened(asked)
    shown.play()
    shown.go_on(5)
    assert shown.text("#turn") == "Listen"
    shown.go_on(8)
    assert shown.text("#turn") == "Your turn"
    assert shown.text("#live") == "Your turn"


def test_the_styles_band_plays(opened: Any) -> None:
    shown = opened(drill(EIGHT_CHORDS, style="swing", texture=Texture.OVER_BASS, level=2))
    shown.page.click("#open")
    parts = shown.page.locator("#parts legend").all_text_contents()
    assert parts == ["Right hand", "Left hand", "Bass", "Drums", "Click"] or parts == [
        "Right hand",
        "Left hand",
        "Drums",
        "Click",
    ]


def test_single_keys_play_and_step_and_can_be_switched_off(opened: Any) -> None:
    shown = opened(drill())
    shown.page.keyboard.press("ArrowRight")
    assert shown.text("#symbol") == "Cm"
    shown.page.keyboard.press("+")
    assert shown.page.input_value("#tempo") == "62"
    shown.page.keyboard.press("n")
    assert shown.page.input_value("#tempo") == "97"
    shown.page.keyboard.press(" ")
    shown.go_on(1)
    assert shown.text("#play") == "Stop"
    shown.page.keyboard.press(" ")
    assert shown.text("#play") == "Play"
    shown.page.click("#open")
    shown.page.uncheck("#shortcuts")
    shown.page.keyboard.press("Escape")
    assert shown.page.is_hidden("#setup")
    before = shown.text("#symbol")
    shown.page.keyboard.press("ArrowRight")
    assert shown.text("#symbol") == before


def test_everything_is_reached_by_the_keyboard_alone(opened: Any) -> None:
    shown = opened(drill(keys=TWO_KEYS))
    shown.page.keyboard.press("Tab")
    assert shown.page.evaluate("document.activeElement.className") == "skip"
    shown.page.click("#open")
    reached = set()
    for _ in range(120):
        shown.page.keyboard.press("Tab")
        reached.add(shown.page.evaluate("document.activeElement.id || document.activeElement.name"))
    wanted = shown.page.evaluate(
        """[...document.querySelectorAll('button, select, input, summary')]
        .filter((one) => one.checkVisibility() && !one.disabled && one.type !== 'radio')
        .map((one) => one.id)"""
    )
    assert set(filter(None, wanted)) <= reached


def test_german_is_spoken_throughout(opened: Any) -> None:
    shown = opened(drill(keys=TWO_KEYS), locale="de-DE")
    assert shown.page.get_attribute("html", "lang") == "de"
    assert shown.text("#play") == "Spielen"
    assert shown.page.locator("#key option").all_text_contents() == ["Es-Dur", "c-Moll"]
    shown.page.click("#chord-after")
    assert shown.text("#said") == "c-Moll, erste Umkehrung"
    assert "5 geht nach C5, Finger 5" in shown.page.locator("#fingers-right li").all_text_contents()
    shown.page.click("#open")
    shown.setting("language", "en")
    assert shown.text("#play") == "Play"
    assert shown.text("#caution").startswith("Rest often")


def test_controls_lie_under_the_left_hand_on_request_and_stay_there(opened: Any) -> None:
    shown = opened(drill())

    def place() -> float:
        left: float = shown.page.evaluate("document.getElementById('play').getBoundingClientRect().left")
        return left

    before = place()
    shown.page.click("#open")
    shown.page.check("#left-handed")
    assert place() < before
    shown.page.reload()
    shown.page.wait_for_selector("html[data-ready=yes]", state="attached")
    assert place() < before


def test_after_twenty_minutes_the_page_asks_for_a_rest(opened: Any) -> None:
    shown = opened(drill())
    shown.play()
    for _ in range(20):
        shown.go_on(61)
    assert shown.page.is_visible("#rest")
    shown.page.click("#rested")
    assert shown.page.is_hidden("#rest")


# A keyboard on the wire.


def listening(opened: Any, mode: str, **more: Any) -> Any:
    shown = opened(drill(**more))
    shown.page.click("#open")
    shown.setting("mode", mode)
    shown.page.wait_for_function("document.getElementById('midi').textContent.includes('Meadow')")
    return shown


def test_the_page_waits_until_each_chord_is_held(opened: Any) -> None:
    shown = listening(opened, "wait")
    shown.page.click("#close")
    shown.page.click("#play")
    for symbol in ("E♭", "Cm", "A♭", "B♭7", "E♭"):
        assert shown.text("#symbol") == symbol
        keys = keys_of(shown)
        shown.page.evaluate("keys => stage.keys(keys.slice(1))", keys)
        assert shown.text("#report").startswith("Hold ")
        shown.page.evaluate("stage.keys([30])")
        assert "does not belong" in shown.text("#report")
        shown.page.evaluate("stage.keys([30], false)")
        shown.page.evaluate("keys => stage.keys(keys.slice(0, 1))", keys)
        shown.page.evaluate("keys => stage.keys(keys, false)", keys)
    assert shown.text("#report") == "Once through; 5 slips."


def test_right_wrong_missing_early_and_late_are_told_apart(opened: Any) -> None:
    shown = listening(opened, "check", text="I IV V I | ".rstrip("| "))
    shown.page.click("#close")
    shown.play()
    origin = shown.page.evaluate("stage.struck[0].at - stage.context.currentTime")
    shown.go_on(origin + 4)
    told = []
    plans: tuple[tuple[float, int, int], ...] = ((0.0, 0, 0), (0.13, 0, 0), (0.0, 1, 0), (0.0, 0, 1))
    for late, shift, left_out in plans:
        shown.go_on(0.02)
        keys = keys_of(shown)
        shown.go_on(max(0.0, late - 0.02))
        keys = [keys[0] + shift, *keys[1 : len(keys) - left_out]]
        shown.page.evaluate("keys => stage.keys(keys)", keys)
        shown.page.evaluate("keys => stage.keys(keys, false)", keys)
        shown.go_on(2)
        told.append(shown.page.get_attribute("#report", "data-verdict"))
        shown.go_on(4 - 2 - max(0.02, late))
    assert told == ["right", "late", "wrong", "missing"]


def test_the_latency_is_measured_and_kept(opened: Any) -> None:
    shown = listening(opened, "check")
    shown.page.click("#measure")
    for _ in range(400):
        if shown.page.evaluate("stage.struck.length > 0"):
            break
        shown.go_on(0.005)
    shown.go_on(shown.page.evaluate("stage.struck[0].at - stage.context.currentTime"))
    shown.go_on(0.07)
    for _ in range(12):
        shown.page.evaluate("stage.keys([60])")
        shown.go_on(0.6)
    shown.go_on(2)
    assert "70 ms late" in shown.text("#latency")
    shown.page.reload()
    shown.page.wait_for_selector("html[data-ready=yes]", state="attached")
    shown.page.click("#open")
    assert "ms late" in shown.text("#latency")


def test_without_web_midi_the_page_says_what_to_do(opened: Any, browser: Any) -> None:
    shown = opened(drill())
    shown.page.add_init_script(
        "delete Navigator.prototype.requestMIDIAccess; delete navigator.requestMIDIAccess;"
    )
    shown.page.reload()
    shown.page.wait_for_selector("html[data-ready=yes]", state="attached")
    shown.page.click("#open")
    assert "cannot hear a keyboard" in shown.text("#midi")
    assert shown.page.is_hidden("#connect")


# The log.


def test_the_log_is_kept_saved_and_read_again(opened: Any, tmp_path: Path) -> None:
    shown = opened(drill())
    shown.play()
    shown.go_on(120)
    shown.page.click("#clean")
    shown.page.click("#play")
    shown.page.click("#open")
    assert shown.text("#today") == "Today: 2 min"
    assert shown.page.locator("#chart .best").count() == 1
    assert "2031" in shown.text("#days")
    shown.page.click("#export")
    assert shown.text("#imported").startswith("Write your name first")
    shown.page.fill("#student", "Wren")
    shown.page.press("#student", "Enter")
    with shown.page.expect_download() as download:
        shown.page.click("#export")
    saved = tmp_path / "progress.csv"
    download.value.save_as(saved)
    rows = list(csv.DictReader(saved.read_text(encoding="utf-8").splitlines()))
    assert rows == [
        {
            "date": "2031-04-27",
            "student": "Wren",
            "drill": "lantern-week",
            "key": "Eb major",
            "texture": drill().texture.value,
            "bpm": "60",
            "ready": "yes",
            "minutes": rows[0]["minutes"],
        }
    ]
    assert abs(float(rows[0]["minutes"]) - 2) < 0.2
    shown.page.evaluate("localStorage.clear()")
    shown.page.reload()
    shown.page.wait_for_selector("html[data-ready=yes]", state="attached")
    assert shown.text("#best") == "no clean tempo yet"
    shown.page.click("#open")
    shown.page.set_input_files("#import", saved)
    shown.page.wait_for_function("document.getElementById('imported').textContent === 'Read 1 lines.'")
    assert shown.text("#best") == "best clean: 60"
    junk = tmp_path / "junk.csv"
    junk.write_text("not,a,log\n1,2,3\n", encoding="utf-8")
    shown.page.set_input_files("#import", junk)
    shown.page.wait_for_function("document.getElementById('imported').textContent.includes('line 1')")


def test_what_prints_is_the_sheet(opened: Any) -> None:
    shown = opened(drill())
    shown.page.evaluate("dispatchEvent(new Event('beforeprint'))")
    shown.page.emulate_media(media="print")
    for gone in ("#bar", "#now", "#keyboard", ".key"):
        assert shown.page.is_hidden(gone)
    for there in ("#title", "#key-on-paper", "#score .row", "#rows tr", "#caution"):
        assert shown.page.locator(there).first.is_visible()
