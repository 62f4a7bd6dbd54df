"""Close positions: which tones of a chord one hand plays, and in which order from the bottom.

Conventions
- The highest note lies less than an octave above the lowest. A chord of one or two tones is the exception: it
  doubles its lowest note at the octave.
- A shape knows no key and no octave, so that all twelve keys share one.

Sources: R. Hutchinson, Music Theory for the 21st-Century Classroom, 31.7: the third and the seventh are the
guide tones that stay, the fifth is the first to go. What goes after it is convention: the root, where a
bass has it; then the tones between the seventh and the highest.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from tracks.theory.chord import Chord
from tracks.theory.pitch import Interval, Tone

_DIMINISHED_THIRD = Interval.parse("d3")
_PERFECT_FIFTH, _ELEVENTH = Interval.parse("P5"), Interval.parse("P11")
_FRENCH = "Fr"


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """A close position of a kind of chord, on any root and in any octave.

    `tones` are places in the chord's own tones, low to high; `bottom` is the lowest one's semitones above
    the root, 0 to 11, and `offsets` are the semitones of each note above that lowest one.
    """

    tones: tuple[int, ...]
    bottom: int
    offsets: tuple[int, ...]
    without_third: bool


def third_of(chord: Chord) -> Tone | None:
    """Return the chord's third, or the suspended fourth or second that stands for it."""
    return chord.factor(3) or chord.factor(4) or chord.factor(2)


def tone_sets(
    chord: Chord,
    count: int,
    keep_third: bool = False,
    lowest: Tone | None = None,
    rooted: bool = True,
    guided: bool = False,
) -> tuple[tuple[Tone, ...], ...]:
    """Return the choices of at most `count` tones that may stand for the chord.

    `lowest` is a tone that must be among them, `rooted` says that no bass part plays the root, `guided` that
    one does and that a seventh chord too shall keep its guide tones first. Of tones that share a key of the
    keyboard one is taken.
    """
    orders = _orders_of_need(chord, rooted, guided)
    sets = dict.fromkeys(_sounding_apart(order)[:count] for order in orders)
    if lowest:
        holding = [tones for tones in sets if lowest in tones]
        others = _sounding_apart([tone for tone in orders[0] if tone.chroma != lowest.chroma])
        sets = dict.fromkeys(holding or [(*others[: count - 1], lowest)])
    return tuple(sets)[:1] if keep_third else tuple(sets)


def _orders_of_need(chord: Chord, rooted: bool, guided: bool) -> list[list[Tone]]:
    """Return the chord's tones, the most needed first; two orders where the smoother may be taken.

    This is the table of what may go: a seventh chord keeps root and seventh (or sixth), an augmented
    sixth b6, #4 and the tone that names it (b3 the German, 2 the French), a larger chord its third, its
    seventh and its highest tone; an altered fifth names such a chord, and the root goes before it.
    """
    root, third, fifth = chord.factor(1), third_of(chord), chord.factor(5)
    seventh = chord.factor(7) or chord.factor(6)
    seldom = unplayed_eleventh(chord)
    more = [tone for tone in reversed(chord.tones) if tone not in (root, third, fifth, seventh)]
    more.sort(key=lambda tone: tone == seldom)
    if chord.numeral.startswith(_FRENCH):
        orders = [[third, fifth, root, seventh]]
    elif _DIMINISHED_THIRD in chord.intervals:
        orders = [[root, third, seventh, fifth]]
    elif more and _has_altered_fifth(chord):
        orders = [[seventh, fifth, third, *more, root] if seventh else [root, fifth, third, *more]]
    elif seventh is None:
        orders = [[root, *more[:1], third, *more[1:], fifth]]
    elif not more and not guided:
        orders = [[root, seventh, third, fifth], [root, seventh, fifth, third]]
    elif rooted:
        orders = [[third, seventh, more[0], root, *more[1:], fifth]]
    else:
        orders = [[third, seventh, *more, fifth, root]]
    return [[tone for tone in order if tone is not None] for order in orders]


def unplayed_eleventh(chord: Chord) -> Tone | None:
    """Return the natural eleventh of a thirteenth chord, which nobody plays (convention), or None."""
    eleventh = chord.factor(11)
    return eleventh if chord.factor(13) and eleventh == chord.root.up(_ELEVENTH) else None


def _has_altered_fifth(chord: Chord) -> bool:
    return chord.factor(5) not in (None, chord.root.up(_PERFECT_FIFTH))


def _sounding_apart(tones: Sequence[Tone]) -> tuple[Tone, ...]:
    """Return the tones in order without those that an earlier one already sounds."""
    first: dict[int, Tone] = {}
    for tone in tones:
        first.setdefault(tone.chroma, tone)
    return tuple(first.values())


def shapes(
    chord: Chord,
    count: int,
    keep_third: bool = False,
    lowest: Tone | None = None,
    rooted: bool = True,
    guided: bool = False,
) -> tuple[Shape, ...]:
    """Return the close positions of a chord, every rotation of each of its tone sets.

    Where a lowest tone is asked for, only those that stand on it. See `tone_sets` for what is asked.
    """
    place = None if lowest is None else chord.tones.index(lowest)
    is_french = chord.numeral.startswith(_FRENCH)
    return _shapes(chord.intervals, is_french, count, keep_third, place, rooted, guided)


@lru_cache(maxsize=1024)
def _shapes(
    intervals: tuple[Interval, ...],
    is_french: bool,
    count: int,
    keep_third: bool,
    lowest: int | None,
    rooted: bool,
    guided: bool,
) -> tuple[Shape, ...]:
    chord = Chord(Tone(0), intervals, Tone(0), numeral=_FRENCH if is_french else "")
    asked = None if lowest is None else chord.tones[lowest]
    third = third_of(chord)
    found = []
    for tones in tone_sets(chord, count, keep_third, asked, rooted, guided):
        without_third = third is not None and third not in tones
        bottoms = (asked,) if asked else tones[:1] if len(tones) == 2 else tones
        found += [_stacked(chord, tones, bottom, without_third) for bottom in bottoms]
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
    return Shape(shape.tones[:-1], shape.bottom, shape.offsets[:-1], shape.without_third)


def _stacked(chord: Chord, tones: tuple[Tone, ...], bottom: Tone, without_third: bool) -> Shape:
    stack = sorted(((tone.chroma - bottom.chroma) % 12, chord.tones.index(tone)) for tone in tones)
    if len(stack) <= 2:
        stack.append((12, stack[0][1]))
    offsets, places = zip(*stack, strict=True)
    return Shape(places, bottom.chroma, offsets, without_third)
