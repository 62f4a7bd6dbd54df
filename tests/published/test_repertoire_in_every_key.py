"""The library against music21's `roman.RomanNumeral`, a general-purpose reference library: every chord of
every progression in all keys of its mode, by its tones and its bass.

Left to the list by hand in tests/progression/test_repertoire.py: what music21 does not read, the bracketed
changes and the dominant quality `d`.
"""

from functools import lru_cache

import music21
import pytest

from tracks.progression.changes import realize
from tracks.progression.library import LIBRARY, Entry
from tracks.progression.music import parse
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import Meter

CAUTIONARY = music21.roman.Minor67Default.CAUTIONARY


@lru_cache(maxsize=4096)
def theirs(numeral: str, key: Key) -> tuple[set[int], int]:
    tonic = key.tonic.name.replace("b", "-")
    home = music21.key.Key(tonic.lower() if key.is_minor else tonic)
    read = music21.roman.RomanNumeral(numeral, home, sixthMinor=CAUTIONARY, seventhMinor=CAUTIONARY)
    return {pitch.pitchClass for pitch in read.pitches}, read.bass().pitchClass


@pytest.mark.parametrize("each", LIBRARY, ids=lambda each: each.name)
def test_progression_is_what_music21_reads(each: Entry) -> None:
    progression = parse(each.text, Meter(4, 4))
    for home in KEY_SETS["all-major"] if each.mode.value == "major" else KEY_SETS["all-minor"]:
        for at in realize(progression, home).chords:
            assert at.chord
            numeral = at.chord.numeral
            if "[" in numeral or "d" in numeral.replace("Cad", "") or numeral.endswith(("9", "13")):
                continue
            tones, bass = theirs(numeral, at.key)
            assert {tone.chroma for tone in at.chord.tones} == tones, (numeral, at.key)
            assert at.chord.bass.chroma == bass, (numeral, at.key)
