"""Where low notes lie: the bass player's, and those that a left hand reaches down for.

Conventions
- A chord's bass is the written one: the slash bass or the inversion's where there is one, else the root.
- A bass player's chord tones stand on a bass from A1 to G#2, so that with all of them above it the line
  stays within E1 to G3, a double bass's everyday range (convention).
- A left hand reaches for a bass from C2 to B2 where the right hand lies at middle C, lower where that lies
  lower, so that the octave above the bass is still free.

Source: convention.
"""

from functools import lru_cache

from tracks.model import Hand, VoicedChord
from tracks.theory.chord import Chord
from tracks.theory.pitch import Pitch, Tone

BASS_PLAYER = (28, 55)
"""A bass player's MIDI numbers, E1 to G3, both ends included."""

LEFT_HAND = (40, 64)
"""Where a left hand's bass line alternates, E2 to E4."""

_BASS_FROM = 33
_REACH_FROM, _REACH_TO = 33, 40
_FIFTH, _OCTAVE = range(5, 11), 12
_LITTLE, _INDEX, _THUMB = 5, 2, 1

Fingered = tuple[Pitch, int | None]
"""A pitch and its finger, where a hand plays it."""


def bass_hand(voiced: VoicedChord) -> Hand | None:
    """Return a chord's tones as a bass player has them, from its bass upwards; None in silence."""
    chord = voiced.at.chord
    if chord is None:
        return None
    bass = Pitch.at_or_above(chord.bass, _BASS_FROM)
    above = (Pitch.at_or_above(t, bass.midi + 1) for t in chord.tones if t.chroma != chord.bass.chroma)
    return Hand((bass, *sorted(above, key=lambda pitch: pitch.midi)), ())


def alternate_bass(voiced: VoicedChord, bass: Pitch, low: int, high: int) -> Pitch:
    """Return the bass that alternates with a chord's bass: the nearest fifth, or root, below the right hand.

    It lies between the MIDI numbers `low` and `high`; of two as near the lower is taken, and where none
    fits the bass itself.
    """
    chord = voiced.at.chord
    if chord is None:
        return bass
    tone = chord.factor(5) if bass.tone == chord.root else chord.root
    if tone is None:
        return bass
    if voiced.right:
        high = min(high, voiced.right.pitches[0].midi - 1)
    return min(octaves(tone, low, high), key=lambda option: abs(option.midi - bass.midi), default=bass)


@lru_cache(maxsize=1024)
def octaves(tone: Tone, low: int, high: int) -> tuple[Pitch, ...]:
    """Return every pitch of a tone between two MIDI numbers, low to high."""
    found = []
    pitch = Pitch.at_or_above(tone, low)
    while pitch.midi <= high:
        found.append(pitch)
        pitch = pitch.octaves_up(1)
    return tuple(found)


def reached(voiced: VoicedChord) -> dict[str, tuple[Fingered, ...]]:
    """Return what a left hand reaches down for, by its cell in a figure; nothing in silence.

    `L` the low bass, `M` the bass that alternates with it, `V` the fifth above it (or the nearest to a
    fifth that the chord has over this bass), `H` its octave, `O` bass and octave together.
    """
    chord = voiced.at.chord
    if chord is None:
        return {}
    lowest = min(_REACH_TO, voiced.right.pitches[0].midi - 2 * _OCTAVE) if voiced.right else _REACH_TO
    low = Pitch.at_or_above(chord.bass, lowest)
    octave = low.octaves_up(1)
    mate = alternate_bass(voiced, low, min(low.midi, _REACH_FROM), LEFT_HAND[1])
    return {
        "L": ((low, _LITTLE),),
        "M": ((mate, _LITTLE),),
        "V": ((_open_fifth(chord, low), _INDEX),),
        "H": ((octave, _THUMB),),
        "O": ((low, _LITTLE), (octave, _THUMB)),
    }


def _open_fifth(chord: Chord, low: Pitch) -> Pitch:
    """Return the fifth above a low root, above another bass the root or what lies nearest a fifth."""
    wanted = chord.factor(5) if chord.bass == chord.root else chord.root
    above = [Pitch.at_or_above(tone, low.midi + 1) for tone in chord.tones]
    fitting = [pitch for pitch in above if pitch.midi - low.midi in _FIFTH]
    return min(
        fitting,
        key=lambda pitch: (pitch.tone != wanted, abs(pitch.midi - low.midi - 7)),
        default=low.octaves_up(1),
    )
