"""Which played note stands for which note asked: as mir_eval's note matching has it.

Source: mir_eval 0.8 (Raffel et al., "mir_eval: a transparent implementation of common MIR metrics", ISMIR
2014), transcription.match_notes: onsets within 50 ms, pitches within a quarter tone, the largest matching.
It takes hertz; given MIDI numbers it would call a half step the same.
"""

import sys
from pathlib import Path

import mir_eval
import numpy as np
import pytest

sys.path.append(str(Path(__file__).parents[1] / "takes"))

from player import Chances, perform
from recovered import asked_of

from tracks.takes.heard import Heard
from tracks.takes.judge import evaluate
from tracks.takes.report import Report

CHANCES = Chances(wrong=0.05, missing=0.05, extra=0.03)
ONSET_S = 0.05


@pytest.mark.parametrize("style", ["block", "alberti", "waltz", "ballad"])
@pytest.mark.parametrize("seed", range(8))
def test_pairs_are_those_of_the_published_matching(style: str, seed: int) -> None:
    asked = asked_of(style, "I vi IV V7 I", "Eb")
    take, _ = perform(asked, CHANCES, seed, bpm=72)
    report = evaluate(take, asked)
    assert report.timing
    notes = [(each, note) for each in report.best.heard for note in each.group.notes]
    expected = [_expected(report, each) for each, _ in notes]
    theirs = mir_eval.transcription.match_notes(
        _spans(expected),
        mir_eval.util.midi_to_hz(np.array([note.pitch.midi for _, note in notes])),
        _spans([note.onset_s for note in take.notes]),
        mir_eval.util.midi_to_hz(np.array([note.midi for note in take.notes])),
        onset_tolerance=ONSET_S,
        offset_ratio=None,
    )

    ours = {
        (place, take.notes.index(each.right[note]))
        for place, (each, note) in enumerate(notes)
        if note in each.right
    }
    assert set(theirs) <= ours
    for place, played in ours - set(theirs):
        assert abs(take.notes[played].onset_s - expected[place]) > ONSET_S - 0.001


def _expected(report: Report, each: Heard) -> float:
    """Return when a group would come on the take's own steady beat: where it came, less how late it was."""
    timed = [other for other in report.best.heard if other.onset_s is not None]
    assert report.timing
    near = each if each in timed else timed[0]
    assert near.onset_s is not None
    steady = near.onset_s - report.timing.late_s[timed.index(near)]
    return steady + (each.group.beat - near.group.beat) * report.timing.beat_s


def _spans(onsets: list[float]) -> np.ndarray:
    return np.array([(onset, onset + 0.1) for onset in onsets])
