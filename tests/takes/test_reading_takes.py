"""What instruments write, and what nobody should: read as notes in seconds, or refused in a line.

Source: "Standard MIDI Files 1.0", RP-001 (MIDI Manufacturers Association, 1996): running status, SMPTE
division, 120 quarter notes a minute where no tempo stands.
"""

from io import BytesIO
from pathlib import Path
from random import Random

import mido
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.takes.events import raw_file
from tracks.takes.read import MOST_BYTES, _by_mido, read_take, take_of
from tracks.theory.errors import RequestError

CHORD = (51, 55, 58, 63, 67, 70)


def saved(file: mido.MidiFile) -> bytes:
    content = BytesIO()
    file.save(file=content)
    return content.getvalue()


def recorded(midi_type: int = 1, tracks: int = 1, channels: int = 1, division: int = 480) -> bytes:
    """Four chords a second apart, at 120 quarter notes a minute, 0.4 s long."""
    file = mido.MidiFile(type=midi_type, ticks_per_beat=division)
    for number in range(tracks):
        track = mido.MidiTrack()
        file.tracks.append(track)
        own = CHORD if tracks == 1 else CHORD[:3] if number else CHORD[3:]
        wait = 0
        for _ in range(4):
            for place, key in enumerate(own):
                channel = place % channels if tracks == 1 else number
                track.append(mido.Message("note_on", note=key, velocity=70, channel=channel, time=wait))
                wait = 0
            wait = 4 * division // 5
            for place, key in enumerate(own):
                channel = place % channels if tracks == 1 else number
                track.append(mido.Message("note_off", note=key, channel=channel, time=wait))
                wait = 0
            wait = 2 * division - 4 * division // 5
    return saved(file)


def onsets(data: bytes) -> list[float]:
    return sorted({round(note.onset_s, 3) for note in take_of(data).notes})


def one_track(body: bytes, division: bytes = b"\x01\xe0", midi_type: int = 0) -> bytes:
    header = b"MThd\x00\x00\x00\x06" + bytes((0, midi_type, 0, 1)) + division
    return header + b"MTrk" + len(body).to_bytes(4) + body


@pytest.mark.parametrize(
    "data",
    [recorded(0), recorded(1), recorded(1, tracks=2), recorded(1, channels=2), recorded(1, division=96)],
    ids=["type 0", "type 1", "a track a hand", "a channel a hand", "division 96"],
)
def test_every_usual_way_to_record_is_the_same_take(data: bytes) -> None:
    take = take_of(data)

    assert onsets(data) == [0.0, 1.0, 2.0, 3.0]
    assert [note.midi for note in take.notes[:6]] == list(CHORD)
    assert take.notes[0].end_s == pytest.approx(0.4, abs=0.005)
    assert take.remarks == ()


def test_the_tracks_of_type_2_follow_one_another() -> None:
    take = take_of(recorded(2, tracks=2))

    assert len(take.notes) == 24
    assert onsets(recorded(2, tracks=2))[4] > 5


def test_smpte_division_counts_milliseconds() -> None:
    body = b"\x00\x90\x3c\x40" + b"\x87\x68\x90\x3c\x00" + b"\x00\xff\x2f\x00"

    (note,) = take_of(one_track(body, b"\xe7\x28")).notes

    assert note.end_s == pytest.approx(1.0)  # 25 frames of 40: a tick is a millisecond; 87 68 hex are 1000


def test_active_sensing_among_running_status_costs_no_note() -> None:
    body = b"\x00\x90\x3c\x40\x00\x40\x40\x10\xfe\x60\x3c\x00\x00\x40\x00\x00\xff\x2f\x00"

    take = take_of(one_track(body))

    assert [note.midi for note in take.notes] == [60, 64]
    assert "passed over" in take.remarks[0]


def test_a_tempo_that_changes_is_followed() -> None:
    slow, quick = b"\xff\x51\x03\x0f\x42\x40", b"\xff\x51\x03\x07\xa1\x20"
    body = b"\x00" + slow + b"\x00\x90\x3c\x40\x83\x60" + quick + b"\x83\x60\x90\x3c\x00\x00\xff\x2f\x00"

    (note,) = take_of(one_track(body)).notes

    assert note.end_s == pytest.approx(1.5)


def test_a_sound_of_two_layers_is_one_note() -> None:
    body = b"\x00\x90\x3c\x40\x00\x91\x3c\x40\x83\x60\x80\x3c\x00\x00\x81\x3c\x00\x00\xff\x2f\x00"

    assert len(take_of(one_track(body)).notes) == 1


def test_percussion_is_the_click_and_the_band_is_passed_over() -> None:
    file = mido.MidiFile(type=1)
    for name, channel in (("Click", 9), ("Bass", 2), ("Right hand", 0)):
        track = mido.MidiTrack([mido.MetaMessage("track_name", name=name)])
        track += [
            mido.Message("note_on", note=60, channel=channel),
            mido.Message("note_off", note=60, channel=channel, time=480),
        ]
        file.tracks.append(track)

    take = take_of(saved(file))

    assert len(take.notes) == 1
    assert take.clicks == (0.0,)
    assert take.remarks == ("passed over the track 'Bass'",)


@pytest.mark.parametrize("cut", [1, 3, 9, 40])
def test_a_file_cut_short_gives_what_is_left(cut: int) -> None:
    take = take_of(recorded()[:-cut])

    assert len(take.notes) >= 18
    assert take.remarks


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"", "no MIDI file"),
        (b"RIFF" * 100, "no MIDI file"),
        (b"MThd\x00\x00\x00\x06\x00\x01\x00\x00\x01\xe0", "no notes"),
        (saved(mido.MidiFile(tracks=[mido.MidiTrack()])), "no notes"),
    ],
)
def test_what_is_no_take_is_refused(data: bytes, reason: str) -> None:
    with pytest.raises(RequestError, match=reason):
        take_of(data)


def test_a_file_is_named_where_it_cannot_be_read(tmp_path: Path) -> None:
    long = tmp_path / "long.mid"
    long.write_bytes(bytes(MOST_BYTES + 1))
    for path, reason in (
        (tmp_path / "none.mid", "no such file"),
        (tmp_path, "no file with an end"),
        (long, "divide it"),
    ):
        with pytest.raises(RequestError, match=reason) as fault:
            read_take(path)
        assert str(path) in str(fault.value)


def test_both_readers_read_alike() -> None:
    for data in (recorded(0), recorded(1, tracks=2), recorded(1, channels=2)):
        by_mido, lenient = _by_mido(data), raw_file(data)
        assert by_mido
        assert [track.messages for track in by_mido.tracks] == [track.messages for track in lenient.tracks]


def told(data: bytes) -> bool:
    """Return whether a file is read as notes, or refused in one line."""
    try:
        return bool(take_of(data).notes)
    except RequestError as fault:
        return "\n" not in str(fault)


def mutated(data: bytes, rng: Random) -> bytes:
    """Return a file with a few bytes changed, cut, doubled or moved."""
    changed = bytearray(data)
    for _ in range(rng.randint(1, 8)):
        at, length = rng.randrange(len(changed) + 1), rng.randint(1, 12)
        kind = rng.randrange(4)
        if kind == 0:
            changed[at : at + length] = rng.randbytes(length)
        elif kind == 1:
            del changed[at : at + length]
        elif kind == 2:
            changed[at:at] = changed[at : at + length] * rng.randint(1, 40)
        else:
            changed[at:at] = bytes([rng.choice((0xFF, 0xF0, 0xF7, 0xFE, 0x00, 0x7F, 0x80, 0x90))]) * length
    return bytes(changed)


@pytest.mark.parametrize("seed", range(40))
def test_damaged_files_are_read_or_refused_in_a_line(seed: int) -> None:
    rng = Random(seed)
    for data in (recorded(0), recorded(1, tracks=2, channels=2)) * 5:
        assert told(mutated(data, rng))


@given(st.binary(max_size=400))
def test_any_bytes_behind_a_header_are_read_or_refused(body: bytes) -> None:
    assert told(one_track(body))


@pytest.mark.parametrize(
    ("struck", "ticking"),
    [
        ((76, 77, 77, 77), (0, 1, 2, 3)),
        ((76, 38, 77, 45, 36, 77), (0, 2, 5)),
        ((33, 38, 33, 45, 36), (0, 2)),
        ((37, 56, 56, 56), (0, 1, 2, 3)),
        ((36, 42, 38, 42, 46), ()),
    ],
)
def test_a_drummers_strokes_are_no_click(struck: tuple[int, ...], ticking: tuple[int, ...]) -> None:
    # Wood blocks tick in our own files, keys 33 and 34 in General MIDI 2's (from memory).
    drums, right = mido.MidiTrack(), mido.MidiTrack()
    for key in struck:
        drums.append(mido.Message("note_on", note=key, channel=9))
        drums.append(mido.Message("note_off", note=key, channel=9, time=480))
    right += [mido.Message("note_on", note=60), mido.Message("note_off", note=60, time=480)]

    take = take_of(saved(mido.MidiFile(type=1, tracks=[drums, right])))

    assert take.clicks == tuple(place * 0.5 for place in ticking)
