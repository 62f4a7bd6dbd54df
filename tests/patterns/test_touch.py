"""The hands: how long keys are held, the top note, the roll, and the pedal."""

from itertools import pairwise

import pytest

from tracks.drill.drill import Drill
from tracks.drill.in_key import in_each_key
from tracks.model import Note, Part, Role, Texture
from tracks.patterns.feel import with_feel
from tracks.patterns.touch import held, rolled, voiced, with_pedal
from tracks.practice.arrange import arrange
from tracks.style import Brief, Feel, Touch
from tracks.style.registry import load
from tracks.theory.key import Key
from tracks.theory.meter import QUARTER, Meter
from tracks.theory.pitch import Pitch

FOUR = Meter(4, 4)
BAR = FOUR.bar
BRIEF = Brief((), FOUR, 4 * BAR, Texture.DOUBLED)
HARMONIES = [(0, BAR), (BAR, 2 * BAR), (3 * BAR, 4 * BAR)]


def right(*notes: tuple[int, int, str]) -> Part:
    return Part(
        Role.RIGHT, tuple(Note(start, length, Pitch.parse(name), 70) for start, length, name in notes)
    )


@pytest.mark.parametrize(
    ("touch", "share"), [(Touch.LEGATO, 1.0), (Touch.TENUTO, 0.9), (Touch.STACCATO, 0.4)]
)
def test_a_touch_holds_its_share_of_a_note(touch: Touch, share: float) -> None:
    # Staccato tones lasted about 40 % of the time to the next: Bresin and Battel, Journal of New Music
    # Research 29(3), 2000, abstract. Tenuto: convention.
    (note,) = held(right((0, QUARTER, "C4")), touch, FOUR).notes

    assert note.length == pytest.approx(share * QUARTER, abs=1)


def test_a_note_longer_than_a_beat_is_held_whatever_the_touch() -> None:
    (note,) = held(right((0, 2 * QUARTER, "C4")), Touch.STACCATO, FOUR).notes

    assert note.length == 2 * QUARTER


@pytest.mark.parametrize("touch", Touch)
def test_a_key_is_let_up_before_it_is_struck_again(touch: Touch) -> None:
    line = right(*((beat * QUARTER, QUARTER, "C4") for beat in range(4)), (0, BAR, "E4"), (BAR, 10, "E4"))

    notes = held(line, touch, FOUR).notes

    for name in ("C4", "E4"):
        assert all(a.end < b.start for a, b in pairwise(n for n in notes if n.pitch.name == name))


def test_the_top_note_of_a_chord_is_louder_and_a_single_note_is_not() -> None:
    notes = voiced(right((0, QUARTER, "G4"), (0, QUARTER, "C4"), (QUARTER, QUARTER, "C4"))).notes

    assert [(note.pitch.name, note.velocity > 70) for note in notes] == [
        ("G4", True),
        ("C4", False),
        ("C4", False),
    ]


def test_a_wide_chord_is_rolled_upwards_from_its_beat_and_a_close_one_is_not() -> None:
    wide = right(*((0, BAR, name) for name in ("C4", "E4", "G4", "B4")))
    close = right(*((0, BAR, name) for name in ("C4", "E4", "G4")))

    notes = rolled(wide, FOUR).notes

    starts = [note.start for note in notes]
    assert starts[0] == 0
    assert starts == sorted(set(starts))
    assert {note.end for note in notes} == {BAR}
    # Realistic chord asynchronies in experiments: 25 to 50 ms (Hove, Keller and Krumhansl 2007).
    assert starts[-1] * 60_000 / 100 / QUARTER <= 50
    assert rolled(close, FOUR).notes == close.notes


def test_the_pedal_goes_down_after_a_chord_and_up_with_the_next_and_is_up_in_silence() -> None:
    # "How to pedal chords" (Dummies.com): the change happens as the next chord is played.
    (part,) = with_pedal((right(*((bar * BAR, BAR, "C4") for bar in range(4))),), HARMONIES, BRIEF)

    assert [pedal.end for pedal in part.pedals] == [BAR, 2 * BAR, 4 * BAR]
    for pedal, (start, _) in zip(part.pedals, HARMONIES, strict=True):
        assert start < pedal.start < start + QUARTER // 4


def test_the_pedal_changes_at_every_bar_line_and_with_a_chord_that_comes_early() -> None:
    early = right((0, BAR, "C4"), (2 * BAR - QUARTER // 2, BAR, "D4"))

    (part,) = with_pedal((early,), [(0, 2 * BAR), (2 * BAR, 3 * BAR)], BRIEF)

    assert [pedal.end for pedal in part.pedals] == [BAR, 2 * BAR - QUARTER // 2, 3 * BAR]


def test_only_hands_have_a_pedal() -> None:
    bass = Part(Role.BASS, right((0, BAR, "C2")).notes)

    made = with_feel((bass, right((0, BAR, "C4"))), Feel(pedal=True), 1, BRIEF, harmonies=HARMONIES)

    assert [bool(part.pedals) for part in made] == [False, True]


@pytest.mark.parametrize(
    ("style", "feel", "pedaled"),
    [
        ("ballad", None, True),
        ("gospel", None, True),
        ("ballad", False, False),
        ("arpeggio", None, False),
        ("arpeggio", True, True),
        ("block", True, False),
        ("broken", True, False),
        ("root-bass", True, False),
    ],
)
def test_singing_styles_have_the_pedal_when_played_with_feel_and_drills_never(
    style: str, feel: bool | None, pedaled: bool
) -> None:
    chosen = load(style)
    meter = chosen.info.meters[0]
    drill = Drill(
        "osier", "I IV N.C. V7 I", (Key.parse("D"),), meter, (72,), style, 1, Texture.OVER_BASS, feel=feel
    )
    (found,) = in_each_key(drill)

    made = arrange(drill, chosen, found.changes, found.chords)

    assert any(part.pedals for part in made.parts) is pedaled
    silence = 2 * meter.bar, 3 * meter.bar
    for part in made.parts:
        assert all(p.end <= silence[0] + meter.beat or p.start >= silence[1] for p in part.pedals)
