"""The smoothest voicings for the right hand: the exact least total movement.

Conventions
- Close position: three notes, or four of a chord that has them where four are asked for, the highest less
  than an octave above the lowest. A chord of two tones doubles its lowest note at the octave.
- What counts, in this order: semitones moved in all, voices matched low to high; how many moves there are;
  the sum of the squared moves; how far the voices lie from their first position; how often a third is left
  out. Each is a sum over the whole progression, repeats included.
- Silence is passed over: the hand goes on from the chord before it.
- Chords that share `written` are voiced alike.

The costs of one step are packed into one integer, 32 bits each, the first the highest: enough for tens of
thousands of the widest leaps. Equal totals are settled by the order of the options, so that the same
request always has the same answer.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from functools import lru_cache

from tracks.model import ChordAt, Texture
from tracks.motion import size
from tracks.search import Table, cheapest
from tracks.theory.chord import Chord
from tracks.theory.fault import Fault
from tracks.theory.pitch import Interval, Pitch, Tone

FIRST_LOWEST = range(60, 72)
"""Where the lowest note of the first voicing lies: C4 to B4."""

_FIELD = 32
_MOVEMENT, _VOICES, _SQUARES, _NEARNESS = (_FIELD * place for place in (4, 3, 2, 1))
_DIMINISHED_THIRD = Interval.parse("d3")
_FRENCH = "Fr"


class Start(Enum):
    """The inversion of the right hand's first chord."""

    ROOT = "root"
    FIRST = "first"
    SECOND = "second"


class Sevenths(Enum):
    """How a right hand plays a seventh chord."""

    SMOOTHEST = "smoothest"
    KEEP_THIRD = "keep-third"
    FOUR = "four"


@dataclass(frozen=True, slots=True)
class VoicingRequest:
    """How the right hand is asked to voice; `low` and `high` bound it, both included."""

    texture: Texture
    start: Start
    sevenths: Sevenths
    low: Pitch
    high: Pitch


@dataclass(frozen=True, slots=True)
class Voicing:
    """The notes of one chord for one hand, low to high, and the chord's tones that are left out."""

    pitches: tuple[Pitch, ...]
    omits: tuple[Tone, ...] = ()


@dataclass(frozen=True, slots=True)
class VoiceLeading:
    """A voicing for each chord, None in silence, and the movement between them in semitones."""

    voicings: tuple[Voicing | None, ...]
    movement: int


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """A close position of a kind of chord, on any root and in any octave.

    `tones` are places in the chord's own tones, low to high; `bottom` is the lowest one's semitones
    above the root, `offsets` are semitones above that lowest note.
    """

    tones: tuple[int, ...]
    bottom: int
    offsets: tuple[int, ...]
    without_third: bool


@dataclass(frozen=True, slots=True)
class Candidate:
    """A shape on a lowest note (MIDI)."""

    shape: Shape
    low: int


def tone_sets(
    chord: Chord, count: int, keep_third: bool = False, asked: Tone | None = None, rooted: bool = True
) -> tuple[tuple[Tone, ...], ...]:
    """Return the choices of at most `count` tones that may stand for the chord.

    `asked` is a tone that must be among them. `rooted` says that no bass part plays the root. Of two keys
    that sound alike one is taken.
    """
    orders = _orders_of_need(chord, rooted)
    sets = dict.fromkeys(_sounding_apart(order)[:count] for order in orders)
    if asked:
        holding = [tones for tones in sets if asked in tones]
        fewer = [tone for tone in orders[0] if tone.chroma != asked.chroma]
        sets = dict.fromkeys(holding or [(*_sounding_apart(fewer)[: count - 1], asked)])
    return tuple(sets)[:1] if keep_third else tuple(sets)


def _orders_of_need(chord: Chord, rooted: bool) -> list[list[Tone]]:
    """Return the chord's tones, the most needed first; two orders where the smoother may be taken.

    The table of what may go: a seventh chord keeps root and seventh (or sixth), an augmented sixth b6 and
    #4, a larger chord its third, its seventh and its highest tone; a suspension stands for the third.
    """
    root, third, fifth = chord.root, third_of(chord), chord.factor(5)
    seventh = chord.factor(7) or chord.factor(6)
    more = [tone for tone in reversed(chord.tones) if tone not in (root, third, fifth, seventh)]
    if chord.numeral.startswith(_FRENCH):
        orders = [[third, fifth, root, seventh], [third, fifth, seventh, root]]
    elif _DIMINISHED_THIRD in chord.intervals:
        orders = [[root, third, seventh, fifth], [root, third, fifth, seventh]]
    elif seventh is None:
        orders = [[root, *more[:1], third, *more[1:], fifth]]
    elif not more:
        orders = [[root, seventh, third, fifth], [root, seventh, fifth, third]]
    elif rooted:
        orders = [[third, seventh, more[0], root, *more[1:], fifth]]
    else:
        orders = [[third, seventh, *more, fifth, root]]
    return [[tone for tone in order if tone is not None] for order in orders]


def third_of(chord: Chord) -> Tone | None:
    """Return the chord's third, or the suspended fourth or second that stands for it."""
    return chord.factor(3) or chord.factor(4) or chord.factor(2)


def _sounding_apart(tones: Sequence[Tone]) -> tuple[Tone, ...]:
    """Return the tones in order without those that an earlier one already sounds."""
    first: dict[int, Tone] = {}
    for tone in tones:
        first.setdefault(tone.chroma, tone)
    return tuple(first.values())


def shapes(
    chord: Chord, sevenths: Sevenths, lowest: Tone | None = None, rooted: bool = True
) -> tuple[Shape, ...]:
    """Return the close positions of a chord, all rotations, or those on a lowest tone asked for."""
    place = None if lowest is None else chord.tones.index(lowest)
    return _shapes(chord.intervals, chord.numeral.startswith(_FRENCH), sevenths, place, rooted)


@lru_cache(maxsize=1024)
def _shapes(
    intervals: tuple[Interval, ...], is_french: bool, sevenths: Sevenths, lowest: int | None, rooted: bool
) -> tuple[Shape, ...]:
    """Return the shapes of a kind of chord, worked out on C; every key shares them."""
    chord = Chord(Tone(0), intervals, Tone(0), numeral=_FRENCH if is_french else "")
    asked = None if lowest is None else chord.tones[lowest]
    count = 4 if sevenths is Sevenths.FOUR else 3
    third = third_of(chord)
    found = []
    for tones in tone_sets(chord, count, sevenths is Sevenths.KEEP_THIRD, asked, rooted):
        bottoms = (asked,) if asked else tones[:1] if len(tones) == 2 else tones
        for bottom in bottoms:
            stack = sorted(((tone.chroma - bottom.chroma) % 12, chord.tones.index(tone)) for tone in tones)
            if len(stack) == 2:
                stack.append((12, stack[0][1]))
            offsets, places = zip(*stack, strict=True)
            found.append(Shape(places, bottom.chroma, offsets, third is not None and third not in tones))
    return tuple(found)


def candidates(shapes: Sequence[Shape], root: int, low: int, high: int) -> tuple[Candidate, ...]:
    """Return the shapes on every lowest note that keeps them within `low` to `high` (MIDI, inclusive).

    `root` is the chroma of the chord's root.
    """
    return tuple(
        Candidate(shape, bottom)
        for shape in shapes
        for bottom in range(low + (root + shape.bottom - low) % 12, high - shape.offsets[-1] + 1, 12)
    )


def voice(chords: Sequence[ChordAt], request: VoicingRequest) -> VoiceLeading:
    """Return the smoothest voicings of the chords.

    Raises Fault where a chord has no place in the range, where the first cannot start as asked, and where
    the hands together would need a bass that is no tone of the chord.
    """
    sounding = [(at, at.chord) for at in chords if at.chord]
    numbers = {written: number for number, written in enumerate(dict.fromkeys(at.written for at, _ in sounding))}
    choices: list[_Choice] = []
    for at, chord in sounding:
        if numbers[at.written] == len(choices):
            choices.append(_choice(at, chord, request, is_first=not choices))
    total, chosen = _smoothest([numbers[at.written] for at, _ in sounding], choices)
    made = [_voicing(chord, candidate) for (_, chord), candidate in zip(...)]
def _start_tone(at: ChordAt, chord: Chord, start: Start) -> Tone:
    tones = {Start.ROOT: chord.root, Start.FIRST: third_of(chord), Start.SECOND: chord.factor(5)}
    tone = tones[start]
    if tone is None:
        name = "third" if start is Start.FIRST else "fifth"
        raise Fault(f"bar {at.bar}: {_name(chord)} has no {name} to start on; use --start root")
    return tone


def _name(chord: Chord) -> str:
    return chord.numeral or chord.symbol


def _voicing(chord: Chord, candidate: Candidate) -> Voicing:
    shape = candidate.shape
    pitches = (
        Pitch.at_or_above(tone, candidate.low + offset)
        for tone, offset in zip(shape.tones, shape.offsets, strict=True)
    )
    heard = {tone.chroma for tone in shape.tones}
    return Voicing(tuple(pitches), tuple(tone for tone in chord.tones if tone.chroma not in heard))
