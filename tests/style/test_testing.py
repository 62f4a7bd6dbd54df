"""The public contract check finds each way of breaking the contract, and passes what keeps it."""

import random
from dataclasses import replace

import pytest

from tracks.model import Hit, Note, Part, Role, Texture
from tracks.patterns import held, lay
from tracks.style import Brief, Style, StyleInfo
from tracks.style.testing import check_style, complaints
from tracks.theory.errors import RequestError
from tracks.theory.meter import QUARTER, Meter
from tracks.theory.pitch import Pitch

INFO = StyleInfo("drone", "a drone", (Meter(3, 4),), (Role.LEFT,), (Texture.OVER_BASS,))
LOW_C, TOO_LOW = Pitch.parse("C3"), Pitch.parse("C0")


def drone(brief: Brief, rng: random.Random) -> tuple[Part, ...]:
    return (lay(brief, Role.LEFT, held(brief.meter)),)


def test_style_that_keeps_the_contract_passes() -> None:
    check_style(Style(INFO, drone))


def _beyond_the_end(brief: Brief, rng: random.Random) -> tuple[Part, ...]:
    return (Part(Role.LEFT, (Note(brief.length, QUARTER, LOW_C),)),)


def _too_low(brief: Brief, rng: random.Random) -> tuple[Part, ...]:
    return (Part(Role.LEFT, (Note(0, QUARTER, TOO_LOW),)),)


def _struck_while_held(brief: Brief, rng: random.Random) -> tuple[Part, ...]:
    return (Part(Role.LEFT, (Note(0, 2 * QUARTER, LOW_C), Note(QUARTER, QUARTER, LOW_C))),)


def _through_silence(brief: Brief, rng: random.Random) -> tuple[Part, ...]:
    return (Part(Role.LEFT, (Note(0, brief.length, LOW_C),)),)


def _undeclared(brief: Brief, rng: random.Random) -> tuple[Part, ...]:
    return (*drone(brief, rng), Part(Role.BASS))


def _twice(brief: Brief, rng: random.Random) -> tuple[Part, ...]:
    return drone(brief, rng) * 2


def _hits_in_a_hand(brief: Brief, rng: random.Random) -> tuple[Part, ...]:
    return (replace(drone(brief, rng)[0], hits=(Hit(0, 38),)),)


def _by_both_hands(brief: Brief, rng: random.Random) -> tuple[Part, ...]:
    return (*drone(brief, rng), replace(drone(brief, rng)[0], role=Role.RIGHT))


def _stroke_twice(brief: Brief, rng: random.Random) -> tuple[Part, ...]:
    return (*drone(brief, rng), Part(Role.DRUMS, hits=(Hit(0, 38), Hit(0, 38, 60))))


def _nothing(brief: Brief, rng: random.Random) -> tuple[Part, ...]:
    return (Part(Role.LEFT),)


def _list(brief: Brief, rng: random.Random) -> tuple[Part, ...]:
    return list(drone(brief, rng))  # type: ignore[return-value]


def _crash(brief: Brief, rng: random.Random) -> tuple[Part, ...]:
    raise KeyError("swing")


def _chance_from_elsewhere(brief: Brief, rng: random.Random) -> tuple[Part, ...]:
    return (Part(Role.LEFT, (Note(0, random.randrange(1, QUARTER), LOW_C),)),)


@pytest.mark.parametrize(
    ("play", "told"),
    [
        (_beyond_the_end, "plays on after the end"),
        (_too_low, "plays C0, outside MIDI 21 to 108"),
        (_struck_while_held, "strikes C3 while it still holds it"),
        (_through_silence, "sounds where the chords are silent"),
        (_undeclared, "the bass is played and not declared"),
        (_twice, "the left hand is given twice"),
        (_hits_in_a_hand, "the left hand has strokes of percussion"),
        (_by_both_hands, "both hands hold"),
        (_stroke_twice, "the drums strikes one key twice at a moment"),
        (_nothing, "the left hand is declared and never played"),
        (_list, "it gives no tuple of parts"),
        (_crash, "it fails with KeyError"),
        (_chance_from_elsewhere, "gave other parts the second time"),
    ],
)
def test_breach_is_told_in_plain_words(play: object, told: str) -> None:
    with pytest.raises(AssertionError, match=told):
        check_style(Style(INFO, play))  # type: ignore[arg-type]


def test_complaint_names_meter_texture_and_level() -> None:
    found = complaints(Style(replace(INFO, levels=("easy", "hard")), _too_low))

    assert any(line.startswith("3/4 over-bass level 2 with a pickup: ") for line in found)


def test_style_that_remembers_is_found_out() -> None:
    played: list[Brief] = []

    def remembers(brief: Brief, rng: random.Random) -> tuple[Part, ...]:
        played.append(brief)
        return (Part(Role.LEFT, (Note(0, len(played), LOW_C),)),)

    assert any("the second time" in line for line in complaints(Style(INFO, remembers)))


def test_style_that_follows_the_tempo_is_told_tempos_and_another_none() -> None:
    told: set[int | None] = set()

    def listens(brief: Brief, rng: random.Random) -> tuple[Part, ...]:
        told.add(brief.bpm)
        return drone(brief, rng)

    check_style(Style(INFO, listens))
    assert told == {None}
    told.clear()
    check_style(Style(replace(INFO, follows_tempo=True), listens))
    assert None not in told
    assert len(told) > 1


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"name": "My Style"}, "style name 'My Style'"),
        ({"summary": "two\nlines"}, "summary must be one line"),
        ({"meters": ("4/4",)}, "meters must be a tuple"),
        ({"roles": ()}, "roles must be a tuple"),
        ({"textures": (Texture.OVER_BASS, Texture.OVER_BASS)}, "textures names one of its values twice"),
        ({"levels": "easy"}, "levels must be a tuple"),
        ({"roles": (Role.CLICK,)}, "the click belongs to practice"),
    ],
)
def test_info_that_listings_could_not_show_is_refused(change: dict[str, object], told: str) -> None:
    with pytest.raises(RequestError, match=told):
        replace(INFO, **change)  # type: ignore[arg-type]
