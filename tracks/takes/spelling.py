"""Played keys as note names, in the chord's spelling, else the key's, else the nearest in fifths."""

from tracks.takes.expected import AskedChord
from tracks.theory.key import Key
from tracks.theory.pitch import Pitch, Tone

_FLATTEST, _SHARPEST = -5, 6
"""From the tonic of a major key on the line of fifths: from its lowered second to its raised fourth."""


def spelled(midi: int, chord: AskedChord) -> Pitch:
    """Return a played key, 0 to 127, as it is spelled beside a chord."""
    at = chord.voiced.at
    named = at.chord.named_tones if at.chord else ()
    tones = (*named, *at.key.scale, *_chromatic(at.key))
    tone = next(tone for tone in tones if tone.chroma == midi % 12)
    return Pitch.at_or_above(tone, midi)


def _chromatic(key: Key) -> list[Tone]:
    tonic = key.signature
    return [Tone(tonic + away) for away in range(_FLATTEST, _SHARPEST + 1)]
