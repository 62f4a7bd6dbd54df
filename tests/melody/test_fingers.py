"""Fingers of a tune."""

from itertools import pairwise

import pytest
from tunes import LEVELS, brief, tune

from tracks.hands.line_fingering import SPANS


@pytest.mark.parametrize("level", LEVELS)
@pytest.mark.parametrize("key", ["C", "Eb", "F#"])
def test_within_a_phrase_hardly_a_pair_of_notes_is_out_of_the_fingers_reach(key: str, level: int) -> None:
    given = brief("I vi ii V7 I IV V7 I", key)
    pairs = [
        (before, after)
        for seed in range(20)
        for before, after in pairwise(tune(given, seed, level))
        if before.end == after.start and before.pitch != after.pitch
    ]

    shifts = 0
    for before, after in pairs:
        low, high = sorted((before, after), key=lambda note: note.finger or 0)
        span = SPANS.get((low.finger or 0, high.finger or 0))
        move = high.pitch.midi - low.pitch.midi
        shifts += span is None or not span.min_practical <= move <= span.max_practical

    assert len(pairs) > 200
    assert shifts <= len(pairs) / 50
