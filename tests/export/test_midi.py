"""What a MIDI file must be, read back with mido."""

import io
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import takewhile

import mido
import pytest
from example_piece import example_piece
from hypothesis import given
from hypothesis import strategies as st

from tracks.drill.drill import Mix
from tracks.export.midi import CHANNELS, Encoder, file, meta, to_bytes, track
from tracks.model import Hit, KeyFrom, Marker, Note, Part, Pedal, Piece, Role
from tracks.practice.mixes import at_tempo, mixed, with_count_in
from tracks.theory.key import Key
from tracks.theory.meter import QUARTER, Meter
from tracks.theory.pitch import Pitch, Tone

C4, D4 = Pitch.parse("C4"), Pitch.parse("D4")
TYPES = pytest.mark.parametrize("midi_type", [0, 1])


def piece_of(*parts: Part, bars: int = 4, title: str = "lantern", markers: tuple[Marker, ...] = ()) -> Piece:
    meter = Meter(4, 4)
    keys = (KeyFrom(0, Key.parse("C")),)
    return Piece(title, meter, keys, bars * meter.bar, 0, parts, markers, bpm=60)


def right(*notes: Note) -> Part:
    return Part(Role.RIGHT, notes)


def read(content: bytes) -> mido.MidiFile:
    return mido.MidiFile(file=io.BytesIO(content), charset="utf-8")


def timed(messages: mido.MidiTrack) -> Iterator[tuple[int, mido.Message]]:
    now = 0
    for message in messages:
        now += message.time
        yield now, message


def notes_in(content: bytes) -> list[tuple[int, int, int, int, int]]:
    """Return (channel, key, start tick, end tick, velocity) of every note, sorted.

    Fails where a key is struck while it sounds, ends while it does not, or never ends.
    """
    notes = []
    for messages in read(content).tracks:
        sounding: dict[tuple[int, int], tuple[int, int]] = {}
        for tick, message in timed(messages):
            if message.type not in ("note_on", "note_off"):
                continue
            place = (message.channel, message.note)
            if message.type == "note_on" and message.velocity:
                assert place not in sounding
                sounding[place] = (tick, message.velocity)
            else:
                start, velocity = sounding.pop(place)
                notes.append((*place, start, tick, velocity))
        assert not sounding
    return sorted(notes)


def ticks(ticks: int) -> int:
    return round(Fraction(ticks * 480, QUARTER))


EXAMPLE = at_tempo(with_count_in(example_piece("6/8", pickup=QUARTER // 2), 2, click=True), 60)


# The file as a whole


@TYPES
def test_a_file_has_480_ticks_a_quarter_and_the_type_asked_for(midi_type: int) -> None:
    opened = read(to_bytes(EXAMPLE, midi_type))

    assert (opened.type, opened.ticks_per_beat) == (midi_type, 480)
    assert len(opened.tracks) == (1 if midi_type == 0 else 1 + len(EXAMPLE.parts))


@TYPES
def test_every_track_ends_where_the_piece_ends(midi_type: int) -> None:
    for messages in read(to_bytes(EXAMPLE, midi_type)).tracks:
        last, message = list(timed(messages))[-1]
        assert message.type == "end_of_track"
        assert last == ticks(EXAMPLE.length)


def test_the_first_track_bears_the_drills_name_and_each_part_its_own() -> None:
    names = [messages.name for messages in read(to_bytes(EXAMPLE)).tracks]

    assert names == ["lantern-waltz, Eb major", "Right hand", "Left hand", "Bass", "Drums", "Melody", "Click"]


def test_type_0_holds_no_part_names() -> None:
    (messages,) = read(to_bytes(EXAMPLE, 0)).tracks

    assert [message.name for message in messages if message.type == "track_name"] == [
        "lantern-waltz, Eb major"
    ]


@TYPES
def test_the_first_track_holds_tempo_meter_keys_and_markers(midi_type: int) -> None:
    first = read(to_bytes(EXAMPLE, midi_type)).tracks[0]
    found = [(tick, message) for tick, message in timed(first) if message.is_meta]

    bar = ticks(EXAMPLE.meter.bar)
    assert [(t, m.tempo) for t, m in found if m.type == "set_tempo"] == [(0, 666_667)]
    meters = [(t, m.numerator, m.denominator) for t, m in found if m.type == "time_signature"]
    assert meters == [(0, 6, 8)]
    assert [m.clocks_per_click for _, m in found if m.type == "time_signature"] == [36]
    assert [(t, m.key) for t, m in found if m.type == "key_signature"] == [(0, "Eb"), (4 * bar, "G")]
    assert [(t, m.text) for t, m in found if m.type == "marker"] == [
        (0, "Count-in"),
        (2 * bar, "Bar 1, Eb | I"),
        (3 * bar, "Cm | vi"),
        (4 * bar, "G | I"),
        (5 * bar, "D | V"),
    ]


def test_of_the_first_tracks_events_only_the_keys_stand_in_the_pitched_parts_too() -> None:
    """RP-001 keeps tempo and meter to the first track; a program that reads a key a track guesses."""
    first, *others = read(to_bytes(EXAMPLE)).tracks
    keys = [(tick, m.key) for tick, m in timed(first) if m.type == "key_signature"]

    for messages in others:
        metas = [(tick, m) for tick, m in timed(messages) if m.is_meta]
        pitched = messages.name not in ("Drums", "Click")
        assert {m.type for _, m in metas} - {"key_signature"} == {"track_name", "end_of_track"}
        assert [(tick, m.key) for tick, m in metas if m.type == "key_signature"] == (keys if pitched else [])


def test_a_tick_has_one_marker() -> None:
    marks = (Marker(0, "Listen"), Marker(0, "C | I"), Marker(0, "C | I"), Marker(QUARTER, "F | IV"))
    (messages,) = read(to_bytes(piece_of(markers=marks), 0)).tracks

    assert [(tick, m.text) for tick, m in timed(messages) if m.type == "marker"] == [
        (0, "Listen, C | I"),
        (480, "F | IV"),
    ]


@TYPES
def test_a_reset_to_general_midi_comes_before_all_and_banks_before_programs(midi_type: int) -> None:
    """General MIDI System On is F0 7E 7F 09 01 F7; CC 0 and 32 choose a program's bank (MIDI 1.0)."""
    plain, reset = read(to_bytes(EXAMPLE, midi_type)), read(to_bytes(EXAMPLE, midi_type, gm_reset=True))

    sent = [m for m in reset.tracks[0] if not m.is_meta]
    assert sent[0] == mido.Message("sysex", data=(0x7E, 0x7F, 0x09, 0x01))
    assert not [m for messages in plain.tracks for m in messages if m.type == "sysex"]
    for messages in reset.tracks:
        for place, message in enumerate(messages):
            if message.type == "program_change":
                banks = [
                    (m.control, m.value) for m in messages[place - 2 : place] if m.type == "control_change"
                ]
                assert (banks == [(0, 0), (32, 0)]) is (message.channel != 9)
    assert notes_in(to_bytes(EXAMPLE, midi_type, gm_reset=True)) == notes_in(to_bytes(EXAMPLE, midi_type))


@TYPES
def test_each_part_has_its_channel_program_volume_and_pan_before_its_notes(midi_type: int) -> None:
    opened = read(to_bytes(EXAMPLE, midi_type))
    for part in EXAMPLE.parts:
        channel = CHANNELS[part.role]
        sent = [m for messages in opened.tracks for m in messages if not m.is_meta and m.channel == channel]
        setup = [m for m in sent if m.type not in ("note_on", "note_off")]
        shared = sum(CHANNELS[other.role] == channel for other in EXAMPLE.parts)
        assert midi_type == 1 or sent[: len(setup)] == setup
        assert [m.program for m in setup if m.type == "program_change"] == [part.program] * shared
        controls = {m.control: m.value for m in setup if m.type == "control_change"}
        assert controls == {7: part.volume, 10: part.pan}


def test_only_drums_and_click_use_channel_10() -> None:
    assert {role for role, channel in CHANNELS.items() if channel == 9} == {Role.DRUMS, Role.CLICK}
    others = [channel for channel in CHANNELS.values() if channel != 9]
    assert len(others) == len(set(others))


@TYPES
def test_both_types_hold_every_note_of_the_piece(midi_type: int) -> None:
    expected = [
        (CHANNELS[part.role], note.pitch.midi, ticks(note.start), ticks(note.end), note.velocity)
        for part in EXAMPLE.parts
        for note in part.notes
    ]
    found = notes_in(to_bytes(EXAMPLE, midi_type))
    assert [note for note in found if note[0] != 9] == sorted(expected)

    hits = [(h.key, ticks(h.start), h.velocity) for part in EXAMPLE.parts for h in part.hits]
    assert [(key, start, velocity) for ch, key, start, _, velocity in found if ch == 9] == sorted(hits)


# Notes at close quarters


def test_key_struck_again_at_once_sounds_twice() -> None:
    part = right(Note(0, QUARTER, C4), Note(QUARTER, QUARTER, C4))

    assert notes_in(to_bytes(piece_of(part))) == [(0, 60, 0, 480, 80), (0, 60, 480, 960, 80)]


def test_a_key_struck_while_it_sounds_ends_first() -> None:
    part = right(Note(0, 4 * QUARTER, C4), Note(QUARTER, QUARTER, C4, 90))

    assert notes_in(to_bytes(piece_of(part))) == [(0, 60, 0, 480, 80), (0, 60, 480, 960, 90)]


def test_one_key_struck_twice_at_one_moment_is_the_longer_and_louder_note() -> None:
    part = right(Note(0, QUARTER, C4, 100), Note(0, 2 * QUARTER, C4, 60))

    assert notes_in(to_bytes(piece_of(part))) == [(0, 60, 0, 960, 100)]


def test_a_note_shorter_than_a_tick_gets_one() -> None:
    assert notes_in(to_bytes(piece_of(right(Note(QUARTER, 1, C4))))) == [(0, 60, 480, 481, 80)]


def test_nothing_sounds_past_the_end() -> None:
    part = right(Note(15 * QUARTER, 9 * QUARTER, C4))
    drums = Part(Role.DRUMS, hits=(Hit(16 * QUARTER - 210, 42),))

    assert [note[3] for note in notes_in(to_bytes(piece_of(part, drums)))] == [16 * 480, 16 * 480]


def test_septuplets_come_out_on_the_barline() -> None:
    each = 4 * QUARTER // 7
    part = right(*(Note(n * each, each, (C4, D4)[n % 2]) for n in range(7)))

    assert max(note[3] for note in notes_in(to_bytes(piece_of(part)))) == 1920


def test_ends_come_before_starts_and_setup_before_both() -> None:
    (messages,) = read(to_bytes(EXAMPLE, 0)).tracks
    order = {"note_on": 2, "program_change": 0, "control_change": 0}
    for tick in {tick for tick, _ in timed(messages)}:
        at_tick = [m for t, m in timed(messages) if t == tick and not m.is_meta]
        ranks = [1 if m.type == "note_on" and m.velocity == 0 else order[m.type] for m in at_tick]
        assert ranks == sorted(ranks)


_TIME = st.integers(0, 16 * QUARTER - 1)
_NOTE = st.builds(
    Note,
    start=_TIME,
    length=st.integers(1, 4 * QUARTER),
    pitch=st.builds(Pitch, st.integers(-3, 8).map(Tone), st.integers(3, 4)),
    velocity=st.integers(1, 127),
)
_HIT = st.builds(Hit, start=_TIME, key=st.integers(35, 81), velocity=st.integers(1, 127))
_PITCHED = st.sampled_from([role for role in Role if CHANNELS[role] != 9])
_PARTS = st.lists(st.builds(Part, _PITCHED, st.lists(_NOTE, max_size=24).map(tuple)), max_size=4)


@given(_PARTS, st.lists(_HIT, max_size=24).map(tuple), st.sampled_from([0, 1]))
def test_any_parts_read_back_as_they_are_struck(
    parts: list[Part], hits: tuple[Hit, ...], midi_type: int
) -> None:
    by_role = {part.role: part for part in parts}
    piece = piece_of(*by_role.values(), Part(Role.DRUMS, hits=hits))
    found = notes_in(to_bytes(piece, midi_type))

    starts: dict[tuple[int, int, int], list[int]] = {}
    ends: dict[tuple[int, int, int], int] = {}
    for part in piece.parts:
        for note in part.notes:
            place = (CHANNELS[part.role], note.pitch.midi, ticks(note.start))
            starts.setdefault(place, []).append(note.velocity)
            ends[place] = max(ends.get(place, 0), ticks(note.end), place[2] + 1)
    for hit in hits:
        place = (9, hit.key, ticks(hit.start))
        starts.setdefault(place, []).append(hit.velocity)

    assert {note[:3]: note[4] for note in found} == {place: max(loud) for place, loud in starts.items()}
    for number, (channel, key, start, end, _) in enumerate(found):
        again = [note[2] for note in found[number + 1 : number + 2] if note[:2] == (channel, key)]
        if channel != 9:
            assert end == min(ends[channel, key, start], max(16 * 480, start + 1), *again)


# Text


@TYPES
@given(st.text(max_size=40))
def test_no_text_breaks_a_file(midi_type: int, text: str) -> None:
    opened = read(
        to_bytes(piece_of(right(Note(0, QUARTER, C4)), title=text, markers=(Marker(0, text),)), midi_type)
    )

    assert len(notes_in(to_bytes(piece_of(right(Note(0, QUARTER, C4)), title=text), midi_type))) == 1
    assert any(message.type == "marker" for message in opened.tracks[0])


def test_musical_signs_become_ascii_and_other_characters_utf_8() -> None:
    opened = read(to_bytes(piece_of(title="B♭ Dvořák", markers=(Marker(0, "F♯m7♭5"),))))

    assert opened.tracks[0].name == "Bb Dvořák, C major"
    assert [m.text for m in opened.tracks[0] if m.type == "marker"] == ["F#m7b5"]


def test_a_title_that_looks_like_a_tempo_event_leaves_the_tempo_alone() -> None:
    title = "\x00\x7fQ\x03\x07¡ MTrk"
    for bpm in (60, 75):
        first = read(to_bytes(replace(piece_of(title=title), bpm=bpm))).tracks[0]
        assert [m.tempo for m in first if m.type == "set_tempo"] == [60_000_000 // bpm]


# The encoder


@TYPES
def test_one_encoder_gives_the_same_bytes_as_many(midi_type: int) -> None:
    encoder = Encoder(midi_type)
    wholes = [
        with_count_in(example_piece(meter, pickup), 1, click=True)
        for meter in ("4/4", "6/8")
        for pickup in (0, QUARTER)
    ]
    for whole in wholes:
        for mix in Mix:
            for bpm in (60, 92):
                piece = at_tempo(mixed(whole, mix), bpm)
                assert encoder.encode(piece) == to_bytes(piece, midi_type)


def test_rungs_differ_in_their_tempo_bytes_alone() -> None:
    slow, fast = to_bytes(at_tempo(EXAMPLE, 60)), to_bytes(at_tempo(EXAMPLE, 61))

    assert len(slow) == len(fast)
    assert {i for i, (a, b) in enumerate(zip(slow, fast, strict=True)) if a != b} <= {26, 27, 28}


def test_an_encoder_is_not_fooled_by_parts_that_come_and_go() -> None:
    encoder = Encoder()
    for number in range(400):
        piece = piece_of(right(Note(0, QUARTER, C4, 1 + number % 127)))
        assert encoder.encode(piece) == to_bytes(piece)


def test_an_encoder_sees_every_change() -> None:
    encoder, notes = Encoder(), (Note(0, 8 * QUARTER, C4),)
    piece = piece_of(Part(Role.RIGHT, notes))
    variants = [
        piece,
        replace(piece, title="harbor"),
        replace(piece, meter=Meter(3, 4)),
        replace(piece, keys=(KeyFrom(0, Key.parse("Ab")),)),
        replace(piece, markers=(Marker(0, "C | I"),)),
        replace(piece, length=4 * QUARTER),
        replace(piece, parts=(Part(Role.LEFT, notes),)),
        replace(piece, parts=(Part(Role.RIGHT, notes, pan=16),)),
        replace(piece, bpm=61),
    ]

    written = [encoder.encode(variant) for variant in variants]

    assert written == [to_bytes(variant) for variant in variants]
    assert len(set(written)) == len(variants)


def test_a_piece_without_a_tempo_is_refused() -> None:
    with pytest.raises(ValueError, match="no tempo"):
        to_bytes(example_piece())


def test_a_type_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="MIDI type 2"):
        Encoder(2)


def test_a_piece_of_no_parts_is_still_a_file() -> None:
    assert [len(read(to_bytes(piece_of(), midi_type)).tracks) for midi_type in (0, 1)] == [1, 1]


def test_a_system_event_cancels_running_status() -> None:
    events = [(0, bytes((0x90, 60, 80))), (10, meta(0x01, b"x")), (20, bytes((0x90, 60, 0)))]

    assert bytes((10, 0x90, 60, 0)) in track(events, 20)
    assert len(notes_in(file(1, 480, [track(events, 20)]))) == 1


@TYPES
def test_the_pedal_is_controller_64_and_lets_go_before_the_next_chord(midi_type: int) -> None:
    # Controller 64 is the damper pedal, 0 to 63 off and 64 to 127 on: "MIDI 1.0 Detailed Specification", MMA.
    chords = (Note(0, QUARTER, C4), Note(QUARTER, QUARTER, D4))
    pedals = (Pedal(60, QUARTER - 60), Pedal(QUARTER + 60, 16 * QUARTER))
    part = replace(right(*chords), pedals=pedals)

    content = to_bytes(piece_of(part, bars=1), midi_type)

    heard = [
        (tick, message.type, message.velocity if message.type == "note_on" else message.value)
        for tick, message in timed(read(content).tracks[-1])
        if message.type == "note_on" or (message.type == "control_change" and message.control == 64)
    ]
    assert heard == [
        (0, "note_on", 80),
        (3, "control_change", 127),
        (480, "note_on", 0),
        (480, "control_change", 0),
        (480, "note_on", 80),
        (483, "control_change", 127),
        (960, "note_on", 0),
        (4 * 480, "control_change", 0),
    ]


def test_a_part_that_differs_only_by_its_pedal_is_written_anew() -> None:
    plain = right(Note(0, QUARTER, C4))
    encoder = Encoder()

    without = encoder.encode(piece_of(plain))
    with_pedal = encoder.encode(piece_of(replace(plain, pedals=(Pedal(60, QUARTER),))))

    assert b"\xb0\x40\x7f" not in without
    assert with_pedal != without


def test_every_role_has_the_channel_that_all_packs_have_had() -> None:
    channels = {role.value: channel for role, channel in CHANNELS.items()}

    assert channels == {
        "right hand": 0,
        "left hand": 1,
        "bass": 2,
        "melody": 3,
        "drums": 9,
        "click": 9,
    }


@pytest.mark.parametrize("midi_type", [0, 1])
def test_every_name_stands_at_the_beginning_of_its_track(midi_type: int) -> None:
    """A name stands at time 0: RP-001, Standard MIDI Files 1.0."""
    read = mido.MidiFile(file=io.BytesIO(to_bytes(at_tempo(example_piece(), 72), midi_type)))

    for written in read.tracks:
        before = takewhile(lambda message: message.type != "track_name", written)
        assert sum(message.time for message in before) == written[0].time == 0
        assert [message.time for message in written if message.type == "track_name"] == [0]


def test_a_stroke_of_percussion_is_a_thirty_second_note_long() -> None:
    part = Part(Role.DRUMS, hits=(Hit(0, 38),))
    piece = replace(at_tempo(example_piece(), 72), parts=(part,))

    (_, drums) = mido.MidiFile(file=io.BytesIO(to_bytes(piece))).tracks
    (end,) = (message for message in drums if message.type.startswith("note") and message.time)

    assert end.time == 480 // 8
