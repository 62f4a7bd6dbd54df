"""A drill is worked out once, whatever is written of it."""

from collections import Counter
from dataclasses import replace
from typing import Any

import pytest

import tracks.drill.in_key
import tracks.progression.romantext
from tracks.drill.request import Request
from tracks.pack.files import pack_files
from tracks.style import Style
from tracks.style.registry import load

TUNE = """Time Signature: 4/4
m1 C: I b3 IV
m2 V7 b3 I
"""


def asked(keys: list[str], name: str, **more: Any) -> tuple[Request, Style]:
    return Request(TUNE, {"keys": tuple(keys), "start": "all", "tempos": ("60", "72"), **more}), load(name)


def counting(style: Style, counts: Counter[str]) -> Style:
    def play(*arguments: Any) -> Any:
        counts["played"] += 1
        return style.play(*arguments)

    return replace(style, play=play)


@pytest.fixture
def counts(monkeypatch: pytest.MonkeyPatch) -> Counter[str]:
    found: Counter[str] = Counter()

    def counted(module: Any, name: str, word: str) -> None:
        real = getattr(module, name)

        def call(*arguments: Any, **named: Any) -> Any:
            found[word] += 1
            return real(*arguments, **named)

        monkeypatch.setattr(module, name, call)

    counted(tracks.drill.in_key, "voice_in_keys", "voiced")
    counted(tracks.progression.romantext, "parse_romantext", "read")
    return found


def test_midi_audio_sheets_and_a_key_cycle_take_one_working_out_of_every_key(counts: Counter[str]) -> None:
    request, style = asked(["C", "Eb"], "ballad", audio="wav", sheet=True, **{"key-cycle": True})
    style = counting(style, counts)

    made = [file.path for drill in request.drills(style) for file in pack_files(drill, style)]

    assert {path.rpartition(".")[2] for path in made} == {"mid", "wav", "pdf", "musicxml"}
    assert counts == {"played": 2 * 3, "voiced": 3, "read": 1}


def test_a_style_that_follows_the_tempo_is_asked_once_a_rung(counts: Counter[str]) -> None:
    request, style = asked(["C", "G"], "swing", sheet=True, **{"key-cycle": True})
    style = counting(style, counts)

    for drill in request.drills(style):
        list(pack_files(drill, style))

    assert counts["played"] == 2 * 3 * 2


def test_a_build_up_of_what_is_played_once_anyway_needs_no_other_working_out(counts: Counter[str]) -> None:
    request, style = asked(["C"], "block", **{"build-up": "forwards"})
    style = counting(style, counts)

    for drill in request.drills(style):
        list(pack_files(drill, style))

    assert counts["played"] == 3
