"""Notes recorded from a SoundFont: carried in the page, decoded in a browser, and begun at their onset."""

import json
from base64 import b64encode
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest

from tracks.export.page.recorded import COUNT, recorded_notes

SCRIPTS = Path(__file__).parents[3] / "tracks" / "export" / "page" / "script"
ABOUT_BYTES = 330_000


@pytest.fixture(scope="module")
def notes() -> dict[int, bytes]:
    """Return notes of the small SoundFont that the audio's own tests play on."""
    found = find_spec("pretty_midi")
    assert found
    assert found.origin
    return recorded_notes(Path(found.origin).with_name("TimGM6mb.sf2"))


def test_fourteen_notes_are_carried_in_about_a_third_of_a_megabyte(notes: dict[int, bytes]) -> None:
    assert len(notes) == COUNT == 14
    assert len(json.dumps({midi: b64encode(mp3).decode() for midi, mp3 in notes.items()})) < ABOUT_BYTES


def test_recorded_notes_begin_at_once_and_are_in_tune(browser: Any, notes: dict[int, bytes]) -> None:
    context = browser.new_context()
    page = context.new_page()

    def answer(route: Any) -> None:
        name = route.request.url.removeprefix("http://stand.test/")
        if name.endswith(".js"):
            route.fulfill(body=(SCRIPTS / name).read_text(encoding="utf-8"), content_type="text/javascript")
        else:
            route.fulfill(body="<!doctype html>", content_type="text/html")

    context.route("**/*", answer)
    page.goto("http://stand.test/")
    found = page.evaluate(
        """async (sounds) => {
          const { Bank, Sound } = await import("/sound.js");
          const { soundsOf } = await import("/unpack.js");
          const bank = new Bank();
          await bank.record(soundsOf(sounds));
          const told = {};
          for (const midi of [41, 60, 62, 75]) {
            const context = new OfflineAudioContext(2, 48000, 48000);
            const sound = new Sound(context, bank);
            const part = { role: "right hand", program: 0, pan: 64, volume: 100, notes: [1], hits: [] };
            sound.play({ at: 0, role: "right hand", length: 1, midi, velocity: 90, part }, 0.1, 0.8);
            const wave = (await context.startRendering()).getChannelData(0);
            const peak = wave.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
            const onset = wave.findIndex((sample) => Math.abs(sample) >= 0.05 * peak) / 48000;
            const size = (hertz) => {
              let [real, imaginary] = [0, 0];
              for (let at = 9600; at < 33600; at++) {
                const angle = (2 * Math.PI * hertz * at) / 48000;
                real += wave[at] * Math.cos(angle);
                imaginary += wave[at] * Math.sin(angle);
              }
              return Math.hypot(real, imaginary);
            };
            const hertz = 440 * 2 ** ((midi - 69) / 12);
            const beside = Math.max(size(hertz * 1.03), size(hertz / 1.03));
            told[midi] = { onset, peak, inTune: size(hertz) > 4 * beside };
          }
          return told;
        }""",
        json.dumps({midi: b64encode(mp3).decode() for midi, mp3 in notes.items()}),
    )
    for midi, told in found.items():
        assert abs(told["onset"] - 0.1) < 0.002, midi
        assert told["peak"] > 0.02
        assert told["inTune"], midi
    context.close()
