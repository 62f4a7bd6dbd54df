"""A file that climbs: four independent readers must find its tempos, and the seconds that they make."""

import io
from dataclasses import replace
from typing import Any

import mido
import pytest
from example_piece import example_piece

from tracks.export.midi import Encoder, to_bytes
from tracks.model import Piece
from tracks.practice.climb import in_a_row
from tracks.practice.mixes import at_tempo, with_count_in
from tracks.theory.meter import QUARTER
from tracks.theory.tempo import micros_per_quarter

BPMS = (60, 76, 63)


def climb(meter: str = "4/4") -> Piece:
    counted = with_count_in(example_piece(meter), 1, click=True)
    return in_a_row([(str(bpm), at_tempo(counted, bpm)) for bpm in BPMS])


def expected_seconds(piece: Piece) -> float:
    each = piece.length // len(BPMS)
    return sum(each * micros_per_quarter(bpm, piece.meter) / QUARTER / 1e6 for bpm in BPMS)


@pytest.mark.parametrize("midi_type", [0, 1])
@pytest.mark.parametrize("meter", ["4/4", "6/8"])
def test_mido_finds_every_tempo_in_the_first_track(meter: str, midi_type: int) -> None:
    piece = climb(meter)
    opened = mido.MidiFile(file=io.BytesIO(to_bytes(piece, midi_type)))

    now, found = 0, []
    for message in opened.tracks[0]:
        now += message.time
        if message.type == "set_tempo":
            found.append((now, message.tempo))
    each = piece.length // len(BPMS) * 480 // QUARTER
    assert found == [(n * each, micros_per_quarter(bpm, piece.meter)) for n, bpm in enumerate(BPMS)]
    assert opened.length == pytest.approx(expected_seconds(piece))


def test_pretty_midi_symusic_and_music21_find_the_tempos_too() -> None:
    import pretty_midi
    import symusic
    from music21.midi import MidiFile
    from music21.midi.translate import midiFileToStream

    piece = climb()
    content = to_bytes(piece)

    with pytest.warns(RuntimeWarning, match="non-zero tracks"):  # the key in every pitched track
        _, tempi = pretty_midi.PrettyMIDI(io.BytesIO(content)).get_tempo_changes()
    assert list(tempi) == pytest.approx(BPMS, abs=0.001)

    score: Any = symusic.Score.from_midi(content)
    assert [tempo.qpm for tempo in score.tempos] == pytest.approx(BPMS, abs=0.001)

    opened = MidiFile()
    opened.readstr(content)
    marks = midiFileToStream(opened).parts[0].flatten().getElementsByClass("MetronomeMark")
    assert [mark.getQuarterBPM() for mark in marks] == pytest.approx(BPMS, abs=0.5)


def test_an_encoder_keeps_pieces_apart_that_differ_in_later_tempos_only() -> None:
    encoder = Encoder()
    slow = climb()
    fast = replace(slow, tempos=slow.tempos[:1])

    assert encoder.encode(slow) != encoder.encode(fast)
    assert encoder.encode(slow) == to_bytes(slow)
