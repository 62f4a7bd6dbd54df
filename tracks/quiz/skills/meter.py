"""Meter: a bass on every first beat, a chord on the others, and a tune that divides the beat.

The time signature that the file needs is the same for all; the beats last as long in every meter.
"""

from fractions import Fraction
from random import Random

from tracks.model import Note
from tracks.quiz.notes import beats
from tracks.quiz.question import Asked, Level, Skill
from tracks.theory.key import Key, Mode
from tracks.theory.meter import Time
from tracks.theory.numeral import parse_numeral
from tracks.theory.pitch import Pitch, Tone

_BARS = {Mode.MAJOR: "I IV V7 I I IV V7 I", Mode.MINOR: "i iv V7 i i iv V7 i"}
_BASS, _CHORD, _TUNE = 41, 55, 67
"""The lowest bass (F2), note of a chord (G3) and note of the tune (G4)."""
_ACCENTED, _USUAL, _SOFT = 96, 76, 58
_HALVES = ((Fraction(1, 2),) * 2, (Fraction(1),))
_THIRDS = ((Fraction(1, 3),) * 3, (Fraction(2, 3), Fraction(1, 3)))
_METERS = {
    "simple duple (2/4)": (2, _HALVES),
    "simple triple (3/4)": (3, _HALVES),
    "compound duple (6/8)": (2, _THIRDS),
    "compound triple (9/8)": (3, _THIRDS),
}
_BEATS = {"two": 2, "three": 3}
_DIVISIONS = {"in two": _HALVES, "in three": _THIRDS}


def _beats(answer: str, key: Key, rng: Random) -> Asked:
    return _played(_BEATS[answer], _HALVES, key, rng)


def _division(answer: str, key: Key, rng: Random) -> Asked:
    return _played(2, _DIVISIONS[answer], key, rng)


def _meter(answer: str, key: Key, rng: Random) -> Asked:
    return _played(*_METERS[answer], key, rng)


def _played(count: int, divisions: tuple[tuple[Fraction, ...], ...], key: Key, rng: Random) -> Asked:
    """Return eight bars of so many beats, and the tonic held for one more."""
    bars = [parse_numeral(numeral, key).tones for numeral in _BARS[key.mode].split()]
    notes: list[Note] = []
    for bar, tones in enumerate(bars):
        start = beats(bar * count)
        notes.append(_bass(tones, start, beats(1)))
        for beat in range(1, count):
            notes += _chord(tones, start + beats(beat), beats(1))
        notes += _tune(start, count, divisions, tones, rng)
    end, bar = beats(len(bars) * count), beats(count)
    notes += (_bass(bars[0], end, bar), *_chord(bars[0], end, bar))
    return Asked(notes=tuple(notes), told=f"{count} beats in a bar, {len(divisions[0])} notes to a beat")


def _bass(tones: tuple[Tone, ...], start: Time, length: Time) -> Note:
    return Note(start, length, Pitch.at_or_above(tones[0], _BASS), _ACCENTED)


def _chord(tones: tuple[Tone, ...], start: Time, length: Time) -> list[Note]:
    return [Note(start, length, Pitch.at_or_above(tone, _CHORD), _SOFT) for tone in tones[:3]]


def _tune(
    start: int, count: int, divisions: tuple[tuple[Fraction, ...], ...], tones: tuple[Tone, ...], rng: Random
) -> list[Note]:
    """Return a bar of chord notes; one beat at least is divided evenly, the others as chance has it."""
    rhythms = [rng.choice(divisions) for _ in range(count)]
    rhythms[rng.randrange(count)] = divisions[0]
    choice = [Pitch.at_or_above(tone, _TUNE) for tone in tones]
    notes: list[Note] = []
    now = start
    for rhythm in rhythms:
        for length in rhythm:
            others = [pitch for pitch in choice if not notes or pitch != notes[-1].pitch]
            strength = _ACCENTED if now == start else _USUAL
            notes.append(Note(now, beats(length), rng.choice(others), strength))
            now += beats(length)
    return notes


METERS = Skill(
    "meter",
    "meter",
    (
        Level("two beats or three", "How many beats has each bar?", tuple(_BEATS), _beats),
        Level("simple or compound", "How does each beat divide?", tuple(_DIVISIONS), _division),
        Level("four meters", "Which meter is it?", tuple(_METERS), _meter),
    ),
    "Open Music Theory, simple and compound meter",
)
