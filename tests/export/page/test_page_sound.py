"""The page's sound, rendered offline in a real browser and measured against the drill's own MIDI files.

Measured: where a stroke reaches a twentieth of its own peak. Allowed: a click 0.1 ms, a note 2 ms.
"""

import json
from collections.abc import Iterator
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from page_drills import drill, values_of

from tracks.drill.drill import Drill
from tracks.export.midi import to_bytes
from tracks.model import Texture
from tracks.practice.mixes import at_tempo, with_count_in
from tracks.practice.played import played_in_each_key
from tracks.style.registry import load

SCRIPTS = Path(__file__).parents[3] / "tracks" / "export" / "page" / "script"
ORIGIN = "http://stand.test"
CLICK_S, NOTE_S = 0.0001, 0.002
TEMPOS = (60, 97, 132)
RATE = 48_000

HARNESS = Path(__file__).with_name("harness.js")


@pytest.fixture
def sounded(browser: Any) -> Iterator[Any]:
    """Return a function that puts a drill and the page's modules on a stage of their own."""
    contexts: list[Any] = []

    def put(asked: Drill) -> Any:
        context = browser.new_context()
        contexts.append(context)
        page = context.new_page()

        def answer(route: Any) -> None:
            name = route.request.url.removeprefix(f"{ORIGIN}/")
            if name == "page.json":
                route.fulfill(body=json.dumps(values_of(asked)), content_type="application/json")
            elif name == "harness.js":
                route.fulfill(body=HARNESS.read_text(encoding="utf-8"), content_type="text/javascript")
            elif name.endswith(".js"):
                route.fulfill(
                    body=(SCRIPTS / name).read_text(encoding="utf-8"), content_type="text/javascript"
                )
            else:
                body = '<!doctype html><script type="module" src="harness.js"></script>'
                route.fulfill(body=body, content_type="text/html")

        context.route("**/*", answer)
        page.goto(f"{ORIGIN}/")
        page.wait_for_function("window.isReady")
        return page

    yield put
    for context in contexts:
        context.close()


def midi_onsets(asked: Drill, bpm: int) -> dict[str, list[float]]:
    """Return when each part of the drill's MIDI file strikes, by a reader that is not ours."""
    from mido import MidiFile, tick2second

    (played,) = played_in_each_key(asked, load(asked.style))
    arrangement = played.arrangement
    piece = arrangement(bpm) if callable(arrangement) else arrangement
    file = MidiFile(file=BytesIO(to_bytes(at_tempo(with_count_in(piece, asked.count_in, asked.click), bpm))))
    tempo = next(message.tempo for message in file.tracks[0] if message.type == "set_tempo")
    found: dict[str, list[float]] = {}
    for track in file.tracks[1:]:
        now = 0
        starts = set()
        for message in track:
            now += message.time
            if message.type == "note_on" and message.velocity:
                starts.add(now)
        found[track.name] = [tick2second(tick, file.ticks_per_beat, tempo) for tick in sorted(starts)]
    return found


@pytest.mark.parametrize(
    "asked",
    [drill(), drill("I vi ii V7", style="swing", texture=Texture.OVER_BASS, level=2)],
    ids=("block", "swing"),
)
def test_clicks_and_notes_sound_when_the_midi_file_says(sounded: Any, asked: Drill) -> None:
    page = sounded(asked)
    for bpm in TEMPOS:
        expected = midi_onsets(asked, bpm)
        for role, most in (("click", CLICK_S), ("right hand", NOTE_S), ("left hand", NOTE_S)):
            (times,) = (found for name, found in expected.items() if role.split()[0] in name.lower())
            heard = page.evaluate("([bpm, role, counted]) => onsets(bpm, role, counted)", [bpm, role, 1])
            assert len(heard) == len(times), (bpm, role)
            worst = max(abs(one - other) for one, other in zip(heard, times, strict=True))
            assert worst <= most, f"{role} at {bpm}: {worst * 1000:.3f} ms"


@pytest.mark.parametrize("role", ["right hand", "left hand"])
def test_muting_silences_exactly_that_hand(sounded: Any, role: str) -> None:
    found = sounded(drill()).evaluate("role => muted(role)", role)
    assert found["alone"] == 0, "not a trace of it"
    assert found["muted"] < 1e-6, "and all else as it was, to the rounding of a sum"
    assert found["hand"] > 0.02
    assert 0.1 < found["all"] < 1, "loud enough, and within full scale"


def test_a_full_band_stays_within_full_scale(sounded: Any) -> None:
    page = sounded(drill("I vi ii V7", style="swing", texture=Texture.OVER_BASS, level=3))
    assert page.evaluate("muted('drums')")["all"] < 1


@pytest.mark.parametrize("bpm", [60, 96, 120])  # rounds of whole frames, so that they can be compared
def test_loops_join_without_a_gap_or_a_stroke_twice(sounded: Any, bpm: int) -> None:
    found = sounded(drill()).evaluate("bpm => joined(bpm)", bpm)
    assert found["differs"] < 1e-3, "every round sounds like the one before"
    assert found["quietest"] > 0.003, "no gap at the join"
    starts = sorted(set(found["starts"]))
    assert len(starts) == 8
    assert len(found["starts"]) == 24, "three notes a bar, each struck once"
    steps = [after - before for before, after in pairwise(starts)]
    assert max(steps) - min(steps) < 1e-9
