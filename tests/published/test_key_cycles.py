"""The cycles of keys against music21, a general-purpose library: each step is the interval it names."""

from itertools import pairwise

import pytest

from tracks.theory.key import parse_keys


@pytest.mark.parametrize(
    ("cycle", "semitones"), [("fifths", 7), ("fourths", 5), ("semitones", 1), ("semitones minor", 1)]
)
@pytest.mark.parametrize("first", ["", " from D", " from Ab"])
def test_each_key_lies_its_interval_above_the_one_before(cycle: str, semitones: int, first: str) -> None:
    from music21.pitch import Pitch

    found = [Pitch(key.tonic.name.replace("b", "-")).pitchClass for key in parse_keys((cycle + first,))]

    assert len(set(found)) == 12
    assert all((after - before) % 12 == semitones for before, after in pairwise(found))


@pytest.mark.parametrize("mode", ["major", "minor"])
def test_keys_up_to_so_many_accidentals_have_signatures_of_that_many(mode: str) -> None:
    from music21.key import Key

    for most in range(8):
        found = parse_keys((f"up to {most} accidentals {mode}",))
        sharps = [Key(key.tonic.name.replace("b", "-"), mode).sharps for key in found]
        assert sorted(sharps) == list(range(-most, most + 1))
        assert [abs(count) for count in sharps] == sorted(abs(count) for count in sharps)
