"""Four independent readers, general-purpose libraries, must find in our files what the piece says.

mido, pretty_midi, symusic and music21. Each sees a file differently: pretty_midi in seconds and without
markers, symusic in ticks, music21 in quarter notes with chords gathered.
"""

import io
from contextlib import nullcontext
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

import mido
import pytest
from example_piece import example_piece

from tracks.export.midi import CHANNELS, to_bytes
from tracks.model import Piece, Role
from tracks.practice.mixes import at_tempo, with_count_in
from tracks.theory.meter import QUARTER
from tracks.theory.tempo import micros_per_quarter

CASES = [
    ("4/4", 0, 72),
    ("4/4", QUARTER, 208),
    ("6/8", QUARTER // 2, 60),
    ("3/4", 0, 100),
    ("2/2", QUARTER, 63),
]


@dataclass(frozen=True)
class Case:
    """A piece, its file and what every reader must find."""

    piece: Piece
    content: bytes
    midi_type: int

    @property
    def micros(self) -> int:
        assert self.piece.bpm
        return micros_per_quarter(self.piece.bpm, self.piece.meter)

    @property
    def names(self) -> list[str]:
        return [part.role.value.capitalize() for part in self.piece.parts]

    def seconds(self, tick: int) -> float:
        return tick * self.micros / 480 / 1e6

    def notes(self, role: Role) -> list[tuple[int, int, int, int]]:
        """Return (start tick, end tick, key, velocity) of a pitched part, sorted."""
        return sorted(
            (ticks(n.start), ticks(n.end), n.pitch.midi, n.velocity)
            for part in self.piece.parts
            if part.role is role
            for n in part.notes
        )

    def hits(self, *roles: Role) -> list[tuple[int, int, int]]:
        """Return (start tick, key, velocity) of percussion parts, sorted."""
        return sorted(
            (ticks(h.start), h.key, h.velocity) for p in self.piece.parts if p.role in roles for h in p.hits
        )


PITCHED = [role for role in CHANNELS if CHANNELS[role] != 9]


def ticks(ticks: int) -> int:
    return round(Fraction(ticks * 480, QUARTER))


@pytest.fixture(scope="module", params=[(*case, kind) for case in CASES for kind in (0, 1)], ids=str)
def case(request: pytest.FixtureRequest) -> Case:
    meter, pickup, bpm, kind = request.param
    piece = at_tempo(with_count_in(example_piece(meter, pickup), 1, click=True), bpm)
    return Case(piece, to_bytes(piece, kind), kind)


def test_mido_finds_the_notes_of_every_channel_and_the_length_in_seconds(case: Case) -> None:
    opened = mido.MidiFile(file=io.BytesIO(case.content))
    found: dict[int, list[tuple[int, int, int, int]]] = {}
    sounding: dict[tuple[int, int], tuple[int, int]] = {}
    now = 0
    for message in mido.merge_tracks(opened.tracks):
        now += message.time
        if message.type == "note_on" and message.velocity:
            sounding[message.channel, message.note] = (now, message.velocity)
        elif message.type == "note_on":
            start, velocity = sounding.pop((message.channel, message.note))
            found.setdefault(message.channel, []).append((start, now, message.note, velocity))

    for role in PITCHED:
        assert sorted(found[CHANNELS[role]]) == case.notes(role)
    drummed = sorted((start, key, velocity) for start, _, key, velocity in found[9])
    assert drummed == case.hits(Role.DRUMS, Role.CLICK)
    assert opened.length == pytest.approx(case.seconds(ticks(case.piece.length)))


def read_by_pretty_midi(content: bytes, midi_type: int = 1) -> Any:
    """Read by a library that warns of a key in a part's track, and then reads that of the first."""
    import pretty_midi

    with pytest.warns(RuntimeWarning, match="non-zero tracks") if midi_type else nullcontext():
        return pretty_midi.PrettyMIDI(io.BytesIO(content))


def test_pretty_midi_finds_notes_tempo_meter_keys_and_names(case: Case) -> None:
    import pretty_midi

    opened = read_by_pretty_midi(case.content, case.midi_type)
    times, tempi = opened.get_tempo_changes()
    assert list(times) == [0]
    assert list(tempi) == pytest.approx([6e7 / case.micros])
    (meter,) = opened.time_signature_changes
    assert (meter.numerator, meter.denominator) == (case.piece.meter.numerator, case.piece.meter.denominator)
    keys = [pretty_midi.key_number_to_key_name(change.key_number) for change in opened.key_signature_changes]
    assert keys == ["Eb Major", "G Major"]
    if case.midi_type == 1:
        assert [instrument.name for instrument in opened.instruments] == case.names

    found = sorted(
        (n.start, n.end, n.pitch, n.velocity) for i in opened.instruments if not i.is_drum for n in i.notes
    )
    expected = sorted(
        (case.seconds(a), case.seconds(b), key, velocity)
        for role in PITCHED
        for a, b, key, velocity in case.notes(role)
    )
    assert sorted(note[2:] for note in found) == sorted(note[2:] for note in expected)
    assert [note[0] for note in found] == pytest.approx([note[0] for note in expected])
    assert sorted(note[1] for note in found) == pytest.approx(sorted(note[1] for note in expected))
    drummed = [n for i in opened.instruments if i.is_drum for n in i.notes]
    assert sorted(n.pitch for n in drummed) == sorted(key for _, key, _ in case.hits(Role.DRUMS, Role.CLICK))


def test_symusic_finds_notes_tempo_meter_keys_markers_and_names(case: Case) -> None:
    import symusic

    score: Any = symusic.Score.from_midi(case.content)
    assert score.ticks_per_quarter == 480
    assert [(tempo.time, tempo.mspq) for tempo in score.tempos] == [(0, case.micros)]
    (meter,) = score.time_signatures
    assert (meter.numerator, meter.denominator) == (case.piece.meter.numerator, case.piece.meter.denominator)
    keys = [(ticks(change.start), change.key.signature, 0) for change in case.piece.keys]
    found_keys = {(change.time, change.key, change.tonality) for change in score.key_signatures}
    assert sorted(found_keys) == keys
    said = {ticks(marker.start): "" for marker in case.piece.markers}
    for marker in case.piece.markers:
        at = ticks(marker.start)
        said[at] = f"{said[at]}, {marker.text}" if said[at] else marker.text
    assert [(marker.time, marker.text) for marker in score.markers] == list(said.items())
    if case.midi_type == 1:
        assert [track.name for track in score.tracks] == case.names

    found = sorted(
        (n.time, n.time + n.duration, n.pitch, n.velocity)
        for t in score.tracks
        if not t.is_drum
        for n in t.notes
    )
    assert found == sorted(note for role in PITCHED for note in case.notes(role))
    drummed = sorted((n.time, n.pitch, n.velocity) for t in score.tracks if t.is_drum for n in t.notes)
    assert drummed == case.hits(Role.DRUMS, Role.CLICK)


@pytest.mark.parametrize(("meter", "pickup", "bpm"), CASES[1:3])
def test_music21_finds_notes_tempo_meter_keys_and_names(meter: str, pickup: int, bpm: int) -> None:
    from music21.midi import MidiFile
    from music21.midi.translate import midiFileToStream

    piece = at_tempo(with_count_in(example_piece(meter, pickup), 1, click=True), bpm)
    case = Case(piece, to_bytes(piece), 1)
    opened = MidiFile()
    opened.readstr(case.content)
    score = midiFileToStream(opened, quantizePost=False)

    assert [part.partName for part in score.parts] == case.names
    for part, role in zip(score.parts, (part.role for part in piece.parts), strict=True):
        if role in PITCHED:
            found = [
                (round(480 * n.offset), round(480 * (n.offset + n.quarterLength)), pitch.midi)
                for n in part.flatten().notes
                for pitch in n.pitches
            ]
            assert sorted(found) == [note[:3] for note in case.notes(role)]
    flat = score.parts[0].flatten()
    assert {signature.ratioString for signature in flat.getElementsByClass("TimeSignature")} == {meter}
    signatures = sorted({(key.offset, key.sharps) for key in flat.getElementsByClass("KeySignature")})
    assert [sharps for _, sharps in signatures] == [-3, 1]
    # music21 rounds what it reads to whole quarter notes a minute.
    tempos = [mark.getQuarterBPM() for mark in flat.getElementsByClass("MetronomeMark")]
    assert tempos == [pytest.approx(6e7 / case.micros, abs=0.5)]
