"""The score holds exactly what the hands play, with the right accidentals, ties, fingers and signatures."""

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracks.drill.drill import Drill
from tracks.drill.in_key import DrillInKey, in_each_key
from tracks.export.mei import mei
from tracks.export.musicxml import musicxml
from tracks.model import Note, Part, Role, Texture
from tracks.notation.held import held_parts
from tracks.notation.score import Event, Score, score
from tracks.practice.arrange import arrange
from tracks.style.registry import load
from tracks.theory.errors import RequestError
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import QUARTER, Meter
from tracks.theory.pitch import Pitch, Tone


def chart_of(progression: str, key: str = "Eb", meter: str = "4/4", over_bass: bool = False) -> DrillInKey:
    texture = Texture.OVER_BASS if over_bass else Texture.DOUBLED
    drill = Drill("drill", progression, (Key.parse(key),), Meter.parse(meter), (60,), texture=texture)
    return in_each_key(drill)[0]


def held(progression: str, key: str = "Eb", meter: str = "4/4") -> Score:
    in_key = chart_of(progression, key, meter)
    return score("title", in_key.changes, in_key.chords, held_parts(in_key.chords))


def tune(*notes: tuple[float, float, str], key: str = "C", bars: int = 2) -> Score:
    """A score of a right hand's notes, each a start and a length in quarters and a name."""
    in_key = chart_of(" ".join(["I"] * bars), key)
    played = (Note(round(s * QUARTER), round(n * QUARTER), Pitch.parse(name)) for s, n, name in notes)
    return score("title", in_key.changes, in_key.chords, (Part(Role.RIGHT, tuple(played)),))


def upper(written: Score) -> list[Event]:
    return [event for bar in written.bars for voice in bar.staves[0] for event in voice]


def accidentals(written: Score) -> list[str]:
    """The names of the upper staff's pitches that have an accidental."""
    return [
        pitch.name
        for event in upper(written)
        for pitch, shown in zip(event.pitches, event.shown, strict=True)
        if shown
    ]


def sounding(written: Score, staff: int) -> set[tuple[int, int, str]]:
    """Start, end and name of every note of a staff, tied pieces joined."""
    found = []
    for layer in (0, 1):
        open_notes: dict[str, int] = {}
        for bar in written.bars:
            for event in bar.staves[staff][layer] if layer < len(bar.staves[staff]) else ():
                if not event.pitches:
                    continue
                end = event.start + (event.value.length if event.value else bar.length)
                for pitch in event.pitches:
                    start = open_notes.pop(pitch.name) if event.tied_in else event.start
                    if event.tied_on:
                        open_notes[pitch.name] = start
                    else:
                        found.append((start, end, pitch.name))
        assert not open_notes
    return set(found)


PROGRESSIONS = (
    "I vi IV V7",
    "| I / vi / | ii65 V42 I6 V |",
    "I | N.C. | bVI V7/V | Ger65 V",
    "| V7 | |: I IV :| I |",
)


@settings(max_examples=40)
@given(
    st.sampled_from(PROGRESSIONS),
    st.sampled_from(KEY_SETS["all-major"]),
    st.sampled_from(["4/4", "2/2", "12/8"]),
    st.sampled_from([(Texture.DOUBLED, "block", 2), (Texture.OVER_BASS, "root-bass", 2)]),
)
def test_what_is_written_sounds_as_what_is_played(
    progression: str, key: Key, meter: str, how: tuple[Texture, str, int]
) -> None:
    texture, name, level = how
    if meter == "2/2":
        progression = "I vi | IV V7 | I"
    drill = Drill(
        "d", progression, (key,), Meter.parse(meter), (60,), texture=texture, style=name, level=level
    )
    (in_key,) = in_each_key(drill)
    piece = arrange(drill, load(name), in_key.changes, in_key.chords)

    written = score("title", in_key.changes, in_key.chords, piece.parts)

    for staff, role in enumerate((Role.RIGHT, Role.LEFT)):
        played = {
            (note.start, note.end, note.pitch.name)
            for part in piece.parts
            if part.role is role
            for note in part.notes
        }
        assert sounding(written, staff) == played


@pytest.mark.parametrize("progression", PROGRESSIONS)
def test_every_voice_fills_its_bar(progression: str) -> None:
    for bar in held(progression).bars:
        for layers in bar.staves:
            for voice in layers:
                lengths = [event.value.length if event.value else bar.length for event in voice]
                assert sum(lengths) == bar.length


@settings(max_examples=60)
@given(
    st.sampled_from(["4/4", "3/4", "5/8", "6/8", "7/4", "2/2", "9/16"]),
    st.lists(st.tuples(st.integers(0, 90_000), st.integers(1, 60_000), st.integers(50, 80)), max_size=12),
)
def test_any_notes_at_any_times_can_be_written(meter: str, notes: list[tuple[int, int, int]]) -> None:
    """A player's uneven notes are written at the nearest places, and every voice still fills its bar."""
    in_key = chart_of("I I I", "C", meter)
    played = tuple(
        Note(start, length, Pitch.at_or_above(Tone.parse("Eb"), midi)) for start, length, midi in notes
    )

    written = score("t", in_key.changes, in_key.chords, (Part(Role.RIGHT, played),))

    for bar in written.bars:
        for voice in bar.staves[0]:
            now = bar.start
            for event in voice:
                assert event.start == now
                now += event.value.length if event.value else bar.length
            assert now == bar.start + bar.length
    assert mei(written)
    assert musicxml(written)


# Accidentals: convention.


def test_flat_sixth_is_spelled_with_its_own_flats() -> None:
    assert accidentals(held("I bVI")) == ["Gb4", "Cb5"]


def test_accidental_holds_to_the_end_of_its_bar() -> None:
    assert accidentals(tune((0, 1, "F#4"), (1, 1, "F#4"), (4, 1, "F#4"))) == ["F#4", "F#4"]


def test_note_back_in_the_key_needs_a_natural_in_the_same_bar_only() -> None:
    assert accidentals(tune((0, 1, "F#4"), (1, 1, "F4"), (4, 1, "F4"))) == ["F#4", "F4"]


def test_accidental_holds_in_its_own_octave_only() -> None:
    assert accidentals(tune((0, 1, "F#4"), (1, 1, "F#5"))) == ["F#4", "F#5"]


def test_tie_over_the_bar_line_carries_the_accidental_and_the_next_note_has_its_own() -> None:
    assert accidentals(tune((3, 2, "F#4"), (5, 1, "F#4"))) == ["F#4", "F#4"]


@pytest.mark.parametrize("key", KEY_SETS["all-30"], ids=str)
def test_scale_notes_need_no_accidental_in_any_key(key: Key) -> None:
    names = [f"{tone.name}4" for tone in key.scale]
    notes = [(n, 1, name) for n, name in enumerate(names)]
    in_key = chart_of("i i" if key.is_minor else "I I", key.name)
    played = tuple(Note(round(s * QUARTER), QUARTER, Pitch.parse(name)) for s, _, name in notes)
    assert not accidentals(score("t", in_key.changes, in_key.chords, (Part(Role.RIGHT, played),)))


# Fingers, rests, signatures, pickups.


def test_every_chord_shows_its_fingers_though_it_is_struck_often() -> None:
    in_key = chart_of("I | IV")
    drill = Drill("d", "I | IV", (Key.parse("Eb"),), Meter(4, 4), (60,), level=2)
    piece = arrange(drill, load("block"), in_key.changes, in_key.chords)
    written = score("t", in_key.changes, in_key.chords, piece.parts)

    assert [event.fingers for event in upper(written) if event.fingers] == [(1, 3, 5), (1, 3, 5)]


def test_silence_is_the_rest_of_a_whole_bar() -> None:
    assert [event.value for event in upper(held("I | N.C. | I"))][1] is None


def test_signature_changes_where_the_key_does() -> None:
    bars = held("Eb: I V7 | I | G: V7 I | I").bars
    assert [bar.key.name for bar in bars] == ["Eb major", "Eb major", "G major", "G major"]


def test_pickup_is_bar_nought_and_ends_at_the_bar_line() -> None:
    changes = chart_of("| I / / / | V / / / |", "C").changes
    short = replace(changes, pickup=QUARTER, length=changes.length + QUARTER)
    written = score("t", short, (), (Part(Role.RIGHT, (Note(0, QUARTER, Pitch.parse("G4")),)),))

    assert [(bar.number, bar.length // QUARTER) for bar in written.bars] == [(0, 1), (1, 4), (2, 4)]


def test_left_hand_that_lies_high_is_written_in_the_treble() -> None:
    low, high = (
        score("t", in_key.changes, in_key.chords, (Part(Role.LEFT, (Note(0, QUARTER, Pitch.parse(name)),)),))
        for in_key in [chart_of("I")]
        for name in ("C3", "C5")
    )
    assert (low.treble, high.treble) == ((True, False), (True, True))


def test_only_the_first_time_through_is_written() -> None:
    in_key = chart_of("I V")
    drill = Drill("d", "I V", (Key.parse("Eb"),), Meter(4, 4), (60,), repeats=3)
    piece = arrange(drill, load("block"), in_key.changes, in_key.chords)

    assert len(score("t", in_key.changes, in_key.chords, piece.parts).bars) == 2


PARTS_OF_A_BEAT = [0, QUARTER // 2, QUARTER // 3, QUARTER // 4, QUARTER // 5, QUARTER * 2 // 3]


@given(
    pickup=st.sampled_from([part for part in PARTS_OF_A_BEAT if part]),
    within=st.sampled_from(PARTS_OF_A_BEAT),
    repeated=st.booleans(),
)
@settings(max_examples=40, deadline=None)
def test_a_pickup_of_any_part_of_a_beat_fills_its_bars(pickup: int, within: int, repeated: bool) -> None:
    """The bars at both ends are short; what sounds in them may lie where no tuplet of theirs reaches."""
    changes = chart_of("I V").changes
    bar = changes.meter.bar
    length = 2 * bar if repeated else 2 * bar + pickup
    short = replace(changes, pickup=pickup, length=length)
    times = sorted({0, min(within, pickup), pickup, pickup + bar, length - within, length})
    notes = tuple(Note(at, to - at, Pitch.parse("C5")) for at, to in pairwise(times))
    written = score("title", short, (), (Part(Role.RIGHT, notes),))
    for each in written.bars:
        values = [event.value for event in each.staves[0][0]]
        assert sum(value.length if value else each.length for value in values) == each.length


def test_a_pickup_that_no_notes_add_up_to_is_refused_on_paper() -> None:
    in_key = chart_of("I V")
    odd = replace(in_key.changes, pickup=13, length=in_key.changes.length + 13)
    with pytest.raises(RequestError, match="cannot be written in notes"):
        score("title", odd, (), ())
