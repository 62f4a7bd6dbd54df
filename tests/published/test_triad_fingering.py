"""Block triads in every key against the fingering that teaching pages print.

Sources, three independent ones that agree: onlinepianocoach.com (chord inversions), musicfanfare.com
(fingering chords), pianoandvoicewithbrenda.com. All say that it is the same in every key.
"""

import pytest

from tracks.hands.fingering import left_fingers, right_fingers
from tracks.theory.chord import parse_symbol
from tracks.theory.key import KEY_SETS
from tracks.theory.pitch import Pitch

TABLE = {"root": ((1, 3, 5), (5, 3, 1)), "first": ((1, 2, 5), (5, 3, 1)), "second": ((1, 3, 5), (5, 2, 1))}


@pytest.mark.parametrize("position", TABLE)
@pytest.mark.parametrize("quality", ["", "m", "dim"])
def test_triads_in_all_thirty_keys(position: str, quality: str) -> None:
    place = list(TABLE).index(position)
    for tonic in dict.fromkeys(key.tonic for key in KEY_SETS["all-30"]):
        tones = parse_symbol(f"{tonic}{quality}").tones
        pitches: list[Pitch] = []
        for tone in tones[place:] + tones[:place]:
            pitches.append(Pitch.at_or_above(tone, pitches[-1].midi if pitches else 60))
        assert (right_fingers(pitches), left_fingers(pitches)) == TABLE[position], [p.name for p in pitches]


@pytest.mark.parametrize("notes", ["C4 E4 G#4", "E4 G#4 C5", "G#4 C5 E5", "Ab4 C5 E5"])
def test_augmented_triad_is_one_hand_in_every_position(notes: str) -> None:
    """Convention: its keys lie four half steps apart in every position, as in root position."""
    pitches = [Pitch.parse(name) for name in notes.split()]
    assert (right_fingers(pitches), left_fingers(pitches)) == TABLE["root"]
