"""Key signatures, against two sources.

- Open Music Theory, "Key signatures": the order of sharps and flats, and how many each key has.
- music21, a general-purpose reference library: sharps and scale of every key.
"""

import music21
import pytest

from tracks.theory.key import KEY_SETS, Key

MAJOR = {
    "C": 0,
    "G": 1,
    "D": 2,
    "A": 3,
    "E": 4,
    "B": 5,
    "F": -1,
    "Bb": -2,
    "Eb": -3,
    "Ab": -4,
    "Db": -5,
    "Gb": -6,
    "Cb": -7,
} | {
    "F#": 6,
    "C#": 7,
}
SHARPS = ["F", "C", "G", "D", "A", "E", "B"]


@pytest.mark.parametrize(("tonic", "count"), MAJOR.items())
def test_signature_of_every_major_key_and_its_relative_minor(tonic: str, count: int) -> None:
    key = Key.parse(tonic)
    relative = Key.parse(f"{key.degree(6)} minor")

    assert key.signature == relative.signature == count
    sharpened = [tone.letter for tone in key.scale if tone.alter > 0]
    flattened = [tone.letter for tone in key.scale if tone.alter < 0]
    assert sorted(sharpened) == sorted(SHARPS[: max(count, 0)])
    assert sorted(flattened) == sorted(SHARPS[::-1][: max(-count, 0)])


@pytest.mark.parametrize("key", KEY_SETS["all-30"], ids=lambda key: key.folder)
def test_scale_is_music21s(key: Key) -> None:
    theirs = music21.key.Key(key.tonic.name.replace("b", "-"), key.mode.value)

    assert theirs.sharps == key.signature
    assert [p.name.replace("-", "b") for p in theirs.pitches[:7]] == [tone.name for tone in key.scale]
