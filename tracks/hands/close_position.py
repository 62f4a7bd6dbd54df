"""Close positions: which tones of a chord one hand plays, and in which order from the bottom.

Conventions
- The highest note lies less than an octave above the lowest. A chord of one or two tones is the exception: it
  doubles its lowest note at the octave.
- A shape knows no key and no octave, so that all twelve keys share one.

Sources: R. Hutchinson, Music Theory for the 21st-Century Classroom, 31.7: the third and the seventh are the
guide tones that stay, the fifth is the first to go. Convention: what goes after it, the root where a bass has
it, then the tones between the seventh and the highest; that a half-diminished or diminished seventh keeps
the diminished fifth that names it before its third; that an altered fifth stays before the root.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple

from tracks.theory.chord import Chord
from tracks.theory.pitch import Interval, Tone

_PERFECT_FIFTH, _ELEVENTH = Interval.parse("P5"), Interval.parse("P11")
_FRENCH = "Fr"
_THREE = 3


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """A close position of a kind of chord, on any root and in any octave.

    `tones` are places in the chord's own tones, low to high; `bottom` is the lowest one's semitones above
    the root, 0 to 11, `offsets` are the semitones of each note above that lowest one, and `over_bass` those
    above the chord's bass, 0 to 11.
    """

    tones: tuple[int, ...]
    bottom: int
    offsets: tuple[int, ...]
    over_bass: tuple[int, ...]
    without_third: bool


class Reduction(NamedTuple):
    """How a chord is reduced to what one hand plays of it: `most` notes or fewer.

    `smoothest` lets a seventh chord of three notes leave its third out instead of its fifth. `lowest` is a
    tone that must be among them, `rooted` says that no bass part plays the root, `guided` that one does and
    that a seventh chord too leaves it out.
    """

    most: int
    smoothest: bool = False
    lowest: Tone | None = None
    rooted: bool = True
    guided: bool = False


def is_large(chord: Chord) -> bool:
    """Return whether a chord has more tones than a seventh or sixth chord has: a ninth, an eleventh."""
    return len(chord.intervals) > _THREE and bool(chord.seventh_or_sixth and _color_of(chord))


def tone_sets(chord: Chord, asked: Reduction) -> tuple[tuple[Tone, ...], ...]:
    """Return the choices of tones that may stand for the chord, the guide tones first.

    Of tones that share a key of the keyboard one is taken.
    """
    sets = [_kept(_order_of_need(chord, asked), asked.most, asked.lowest)]
    if asked.smoothest and not asked.guided and _may_lose_its_third(chord, asked.most):
        root, seventh = chord.root, chord.seventh_or_sixth
        for third_or_fifth in (chord.third_or_suspension, chord.factor(5)):
            more = [tone for tone in (root, seventh, third_or_fifth) if tone]
            if asked.lowest is None or asked.lowest in more:
                sets.append(_kept(more, asked.most, None))
    different: dict[frozenset[Tone], tuple[Tone, ...]] = {}
    for tones in sets:
        different.setdefault(frozenset(tones), tones)
    return tuple(different.values())


def _kept(order: Sequence[Tone], count: int, lowest: Tone | None) -> tuple[Tone, ...]:
    """Return the first tones of the order; a lowest one that is not among them takes the last one's place."""
    kept = _sounding_apart(order)[:count]
    if lowest is None or lowest in kept:
        return kept
    others = _sounding_apart([tone for tone in order if tone.chroma != lowest.chroma])
    return (*others[: count - 1], lowest)


def _may_lose_its_third(chord: Chord, count: int) -> bool:
    is_augmented_sixth = chord.is_french_sixth or chord.is_italian_or_german_sixth
    is_seventh = chord.seventh_or_sixth is not None and not _color_of(chord)
    return count == _THREE and is_seventh and not is_augmented_sixth and not _has_altered_fifth(chord)


def _order_of_need(chord: Chord, asked: Reduction) -> list[Tone]:
    """Return the chord's tones, the most needed first.

    This is the table of what may go: a seventh chord keeps its third and its seventh (or sixth), a
    half-diminished or diminished one its diminished fifth and its seventh, an augmented sixth b6, #4 and
    the tone that names it (b3 the German, 2 the French), a larger chord its third, its seventh and its
    highest tone; an altered fifth names a chord, and the root goes before it.
    """
    root, third, fifth = chord.factor(1), chord.third_or_suspension, chord.factor(5)
    seventh, more = chord.seventh_or_sixth, _color_of(chord)
    order: list[Tone | None]
    if chord.is_french_sixth:
        order = [third, fifth, root, seventh]
    elif chord.is_italian_or_german_sixth:
        order = [root, third, seventh, fifth]
    elif seventh is None:
        altered = _has_altered_fifth(chord)
        order = [root, fifth, third, *more] if altered else [root, *more[:1], third, *more[1:], fifth]
    elif _has_altered_fifth(chord):
        order = [third, seventh, fifth, *([root, *more] if asked.rooted else [*more, root])]
    elif more or asked.guided:
        order = [third, seventh, *([root, *more, fifth] if asked.rooted else [*more, fifth, root])]
    elif chord.is_diminished:
        order = [fifth, seventh, root, third]
    else:
        order = [third, seventh, root, fifth]
    return [tone for tone in order if tone is not None]


def _color_of(chord: Chord) -> list[Tone]:
    """Return the tones above a seventh chord's, the highest first, one that nobody plays last."""
    plain = (chord.factor(1), chord.third_or_suspension, chord.factor(5), chord.seventh_or_sixth)
    more = [tone for tone in reversed(chord.tones) if tone not in plain]
    seldom = unplayed_eleventh(chord)
    return sorted(more, key=lambda tone: tone == seldom)


def unplayed_eleventh(chord: Chord) -> Tone | None:
    """Return the natural eleventh of a thirteenth chord, which nobody plays (convention), or None."""
    eleventh = chord.factor(11)
    return eleventh if chord.factor(13) and eleventh == chord.root.up(_ELEVENTH) else None


def _has_altered_fifth(chord: Chord) -> bool:
    """Return whether the fifth is not perfect, but for that of a half-diminished or diminished seventh."""
    is_altered = chord.factor(5) not in (None, chord.root.up(_PERFECT_FIFTH))
    return is_altered and not (chord.is_diminished and not _color_of(chord))


def _sounding_apart(tones: Sequence[Tone]) -> tuple[Tone, ...]:
    """Return the tones in order without those that an earlier one already sounds."""
    first: dict[int, Tone] = {}
    for tone in tones:
        first.setdefault(tone.chroma, tone)
    return tuple(first.values())


def shapes(chord: Chord, asked: Reduction) -> tuple[Shape, ...]:
    """Return the close positions of a chord, every rotation of each of its tone sets.

    Where a lowest tone is asked for, only those that stand on it.
    """
    if asked.lowest is not None:
        asked = asked._replace(lowest=Tone(asked.lowest.fifths - chord.root.fifths))
    is_french = chord.is_french_sixth
    bass = (chord.bass.chroma - chord.root.chroma) % 12
    return _shapes(chord.intervals, bass, is_french, asked)


@lru_cache(maxsize=1024)
def _shapes(
    intervals: tuple[Interval, ...], bass: int, is_french: bool, asked: Reduction
) -> tuple[Shape, ...]:
    """Return the same of a chord on C, which stands for every root."""
    chord = Chord(Tone(0), intervals, Tone(0), numeral=_FRENCH if is_french else "")
    third, lowest = chord.third_or_suspension, asked.lowest
    found = []
    for tones in tone_sets(chord, asked):
        without_third = third is not None and third not in tones
        bottoms = (lowest,) if lowest else tones[:1] if len(tones) == 2 else tones
        found += [_stacked(chord, tones, bottom, bass, without_third) for bottom in bottoms]
    return tuple(found)


def within(found: tuple[Shape, ...], hand: int) -> tuple[Shape, ...]:
    """Return the shapes that a hand of so many semitones can hold.

    Where none fits because a note is doubled at the octave, they are given without the doubling.
    """
    fitting = tuple(shape for shape in found if shape.offsets[-1] <= hand)
    if fitting or any(len(set(shape.tones)) == len(shape.tones) for shape in found):
        return fitting
    return tuple(_undoubled(shape) for shape in found if shape.offsets[-2] <= hand)


@lru_cache(maxsize=64)
def _undoubled(shape: Shape) -> Shape:
    return replace(shape, tones=shape.tones[:-1], offsets=shape.offsets[:-1], over_bass=shape.over_bass[:-1])


def _stacked(chord: Chord, tones: tuple[Tone, ...], bottom: Tone, bass: int, without_third: bool) -> Shape:
    stack = sorted(((tone.chroma - bottom.chroma) % 12, chord.tones.index(tone)) for tone in tones)
    if len(stack) <= 2:
        stack.append((12, stack[0][1]))
    offsets, places = zip(*stack, strict=True)
    over_bass = tuple((bottom.chroma + offset - bass) % 12 for offset in offsets)
    return Shape(places, bottom.chroma, offsets, over_bass, without_third)
