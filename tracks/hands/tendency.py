"""Tendency tones: the tones of a chord that want to resolve, and which way.

Source: Open Music Theory, tendency tones; the raised fourth and the sixth degree of an augmented sixth, the
same, altered subdominants.
"""

from functools import lru_cache

from tracks.theory.chord import Chord
from tracks.theory.key import Key
from tracks.theory.pitch import Interval, Tone

_PERFECT_FIFTH, _MAJOR_THIRD = Interval.parse("P5"), Interval.parse("M3")
_RAISED_SIXTH, _MINOR_SEVENTH = Interval.parse("M6"), Interval.parse("m7")

_TRIAD = 3


@lru_cache(maxsize=1024)
def leading_tones(chord: Chord, key: Key) -> frozenset[Tone]:
    """Return the chord's tones that want to rise a half step.

    They are the third of a dominant seventh, of the key's dominant and of an applied one; the root of a
    diminished chord on a leading tone; the fifth of the minor key's III+; and the raised fourth of an
    augmented sixth.
    """
    root, third, fifth = chord.root, chord.factor(3), chord.factor(5)
    leading = key.leading_tone
    found = set()
    if chord.is_italian_or_german_sixth:
        found.add(root)
    elif third and third == root.up(_MAJOR_THIRD):
        is_dominant_seventh = chord.factor(7) == root.up(_MINOR_SEVENTH)
        if third == leading or is_dominant_seventh or third not in own_tones(key):
            found.add(third)
        if fifth == leading and fifth != root.up(_PERFECT_FIFTH):
            found.add(fifth)
    elif chord.is_diminished and (root == leading or root not in key.scale):
        found.add(root)
    return frozenset(found)


@lru_cache(maxsize=1024)
def dissonances(chord: Chord, key: Key) -> frozenset[Tone]:
    """Return the chord's tones that want to step down.

    They are its seventh and ninth, a suspended fourth, the fifth of a diminished triad on a leading tone, and
    the sixth degree of an augmented sixth.
    """
    found = [chord.factor(7), chord.factor(9)]
    if chord.factor(3) is None:
        found.append(chord.factor(4))
    if chord.is_diminished and chord.root in leading_tones(chord, key):
        found.append(chord.factor(5))
    if chord.is_italian_or_german_sixth:
        found.append(chord.factor(3))
    elif chord.is_french_sixth:
        found.append(chord.factor(5))
    return frozenset(tone for tone in found if tone)


def leaning_tones(before: Chord, after: Chord) -> frozenset[Tone]:
    """Return the fourth and the sixth above a six-four's bass, if the next chord has that bass as its root.

    They lean on its third and fifth and step down to them, as in Cad64 V7 (Open Music Theory, cadential 6/4).
    """
    is_six_four = len(before.intervals) == _TRIAD and before.bass == before.factor(5)
    is_left = before.bass == after.bass == after.root
    return frozenset(before.tones[:2]) if is_six_four and is_left else frozenset()


def own_tones(key: Key) -> frozenset[Tone]:
    """Return the key's own tones; in minor the raised sixth and seventh are among them."""
    raised = (key.tonic.up(_RAISED_SIXTH), key.leading_tone) if key.is_minor else ()
    return frozenset((*key.scale, *raised))
