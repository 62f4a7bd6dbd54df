"""The MIDI writer against the standards it claims.

Sources, each named again beside its check:
- "Standard MIDI Files 1.0", RP-001, MIDI Manufacturers Association, revised February 1996.
- "General MIDI System Level 1", MIDI Manufacturers Association, 1991, percussion key map.
"""

import hashlib
import io
from typing import Any

import mido
import pytest

from tracks.export.midi import file, key_signature, meta, time_signature, track, variable_length
from tracks.practice.mixes import HIGH_WOOD_BLOCK, LOW_WOOD_BLOCK
from tracks.theory.key import Key
from tracks.theory.meter import Meter
from tracks.theory.tempo import micros_per_quarter

# RP-001, "Some Terms and Conventions": the table of variable-length quantities.
QUANTITIES = {
    0x00000000: "00",
    0x00000040: "40",
    0x0000007F: "7F",
    0x00000080: "81 00",
    0x00002000: "C0 00",
    0x00003FFF: "FF 7F",
    0x00004000: "81 80 00",
    0x00100000: "C0 80 00",
    0x001FFFFF: "FF FF 7F",
    0x00200000: "81 80 80 00",
    0x08000000: "C0 80 80 00",
    0x0FFFFFFF: "FF FF FF 7F",
}

# RP-001, the worked example: "program change", "note on" and the rest, in format 0 and format 1.
FORMAT_0 = bytes.fromhex(
    """
    4D 54 68 64 00 00 00 06 00 00 00 01 00 60
    4D 54 72 6B 00 00 00 3B
    00 FF 58 04 04 02 18 08  00 FF 51 03 07 A1 20  00 C0 05  00 C1 2E  00 C2 46
    00 92 30 60  00 3C 60  60 91 43 40  60 90 4C 20
    81 40 82 30 40  00 3C 40  00 81 43 40  00 80 4C 40  00 FF 2F 00
    """
)
FORMAT_1 = bytes.fromhex(
    """
    4D 54 68 64 00 00 00 06 00 01 00 04 00 60
    4D 54 72 6B 00 00 00 14  00 FF 58 04 04 02 18 08  00 FF 51 03 07 A1 20  83 00 FF 2F 00
    4D 54 72 6B 00 00 00 10  00 C0 05  81 40 90 4C 20  81 40 4C 00  00 FF 2F 00
    4D 54 72 6B 00 00 00 0F  00 C1 2E  60 91 43 40  82 20 43 00  00 FF 2F 00
    4D 54 72 6B 00 00 00 15  00 C2 46  00 92 30 60  00 3C 60  83 00 30 00  00 3C 00  00 FF 2F 00
    """
)
# Of the bytes above, so that a slip of the hand in either shows.
DIGESTS = {
    FORMAT_0: "9c512dc6fc73b8bef93a39c93142b7e828cfe51bf5340b84fe0fc87f0b8536ed",
    FORMAT_1: "83ba1f523c7d4591f9c190d76f5fc62e04c3eb0b4a87132e03067224061729c7",
}


@pytest.mark.parametrize(("number", "written"), QUANTITIES.items())
def test_variable_length_quantities_are_the_standards_table(number: int, written: str) -> None:
    assert variable_length(number) == bytes.fromhex(written)


@pytest.mark.parametrize("number", [-1, 0x1000_0000])
def test_a_quantity_past_the_standards_largest_is_refused(number: int) -> None:
    with pytest.raises(ValueError, match=rf"^{number} does not fit .* quantity, 0 to 268435455$"):
        variable_length(number)


# RP-001 prints the bytes of 6/8 clicking on dotted quarters and says how 4/4 is written; the other rows
# follow from its rule. Some copies print 18 in the 6/8 row, or 24 in the 4/4 one: hex and decimal mixed.
@pytest.mark.parametrize(
    ("meter", "written"),
    [
        ("4/4", "04 02 18 08"),
        ("6/8", "06 03 24 08"),
        ("3/4", "03 02 18 08"),
        ("2/2", "02 01 30 08"),
        ("12/8", "0C 03 24 08"),
        ("5/4", "05 02 18 08"),
    ],
)
def test_time_signatures_click_on_the_felt_beat(meter: str, written: str) -> None:
    assert time_signature(Meter.parse(meter)) == bytes.fromhex("FF 58 04" + written)


# RP-001, key signature: sf counts sharps, flats as negative, mi is 1 for minor. All thirty follow.
_MAJORS = "Cb Gb Db Ab Eb Bb F C G D A E B F# C#"
_MINORS = "Ab Eb Bb F C G D A E B F# C# G# D# A#"
_SHARPS = bytes.fromhex("F9 FA FB FC FD FE FF 00 01 02 03 04 05 06 07")


@pytest.mark.parametrize(("tonics", "mode", "mi"), [(_MAJORS, "major", 0), (_MINORS, "minor", 1)])
def test_all_thirty_key_signatures_are_the_standards(tonics: str, mode: str, mi: int) -> None:
    written = [key_signature(Key.parse(f"{tonic} {mode}")) for tonic in tonics.split()]

    assert written == [bytes((0xFF, 0x59, 2, sharps, mi)) for sharps in _SHARPS]


# RP-001, set tempo: microseconds a MIDI quarter note in three bytes; 120 is its own example, 07 A1 20.
# The other rows are 60,000,000 / bpm, rounded. In 6/8 the beat is dotted but the event is not:
# 60 felt beats are 90 quarters.
@pytest.mark.parametrize(
    ("bpm", "meter", "written"),
    [
        (40, "4/4", "16 E3 60"),
        (60, "4/4", "0F 42 40"),
        (63, "4/4", "0E 88 3D"),
        (80, "4/4", "0B 71 B0"),
        (100, "4/4", "09 27 C0"),
        (104, "4/4", "08 CD 9B"),
        (120, "4/4", "07 A1 20"),
        (132, "4/4", "06 EF 91"),
        (138, "4/4", "06 A2 5F"),
        (144, "4/4", "06 5B 9B"),
        (208, "4/4", "04 66 CE"),
        (60, "6/8", "0A 2C 2B"),
    ],
)
def test_tempos_are_microseconds_a_quarter_note(bpm: int, meter: str, written: str) -> None:
    assert micros_per_quarter(bpm, Meter.parse(meter)).to_bytes(3, "big") == bytes.fromhex(written)


# RP-001, "Calculating Delta Times" example: 6144 ticks at division 96 and 500,000 microseconds are 32,000 ms.
def test_elapsed_time_is_the_standards_example() -> None:
    tempo = (0, meta(0x51, (500_000).to_bytes(3, "big")))
    content = file(1, 96, [track([tempo], 6144)])

    assert mido.MidiFile(file=io.BytesIO(content)).length == pytest.approx(32.0)


def _head() -> list[tuple[int, bytes]]:
    return [(0, time_signature(Meter(4, 4))), (0, meta(0x51, bytes.fromhex("07 A1 20")))]


def _events(*lines: str) -> list[tuple[int, bytes]]:
    return [
        (int(tick), bytes.fromhex(message)) for tick, _, message in (line.partition(" ") for line in lines)
    ]


def test_the_format_0_example_is_reproduced_byte_for_byte() -> None:
    events = _events(
        "0 C005", "0 C12E", "0 C246", "0 923060", "0 923C60", "96 914340", "192 904C20",
        "384 823040", "384 823C40", "384 814340", "384 804C40",
    )  # fmt: skip

    assert file(0, 96, [track([*_head(), *events], 384)]) == FORMAT_0


def test_the_format_1_example_is_reproduced_byte_for_byte() -> None:
    tracks = (
        _head(),
        _events("0 C005", "192 904C20", "384 904C00"),
        _events("0 C12E", "96 914340", "384 914300"),
        _events("0 C246", "0 923060", "0 923C60", "384 923000", "384 923C00"),
    )

    assert file(1, 96, [track(events, 384) for events in tracks]) == FORMAT_1


# RP-001's picture of the example: channel 3 holds C3 and C4 from the start, channel 2 G4 from the second
# quarter, channel 1 E5 from the third. Here (key, start, end, velocity), in seconds at 120 quarters a minute.
SOUNDING = [(48, 0.0, 2.0, 96), (60, 0.0, 2.0, 96), (67, 0.5, 2.0, 64), (76, 1.0, 2.0, 32)]


@pytest.mark.parametrize("example", [FORMAT_0, FORMAT_1], ids=["format 0", "format 1"])
def test_readers_find_the_same_notes_in_both_examples(example: bytes) -> None:
    import pretty_midi
    import symusic

    opened = pretty_midi.PrettyMIDI(io.BytesIO(example))
    notes = [(n.pitch, n.start, n.end, n.velocity) for i in opened.instruments for n in i.notes]
    score: Any = symusic.Score.from_midi(example)
    beats = [(n.pitch, n.time, n.time + n.duration, n.velocity) for t in score.tracks for n in t.notes]

    assert sorted(notes) == SOUNDING
    assert sorted((key, start / 192, end / 192, velocity) for key, start, end, velocity in beats) == SOUNDING
    assert mido.MidiFile(file=io.BytesIO(example)).length == 2.0


@pytest.mark.parametrize("example", [FORMAT_0, FORMAT_1])
def test_the_examples_are_as_copied(example: bytes) -> None:
    assert hashlib.sha256(example).hexdigest() == DIGESTS[example]


# "General MIDI System Level 1", percussion key map: 76 Hi Wood Block, 77 Low Wood Block; the map runs from 35
# to 81. Keys 33 and 34, metronome click and bell, belong to later sets only.
def test_the_click_is_general_midi_1s_two_wood_blocks() -> None:
    assert (HIGH_WOOD_BLOCK, LOW_WOOD_BLOCK) == (76, 77)
