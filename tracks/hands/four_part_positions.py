"""The positions that a chord may take in four-part keyboard style: the hand, the ranges, the first chord.

Conventions
- The right hand holds three voices within an octave (or the hand's own span); two neighbors may meet on
  one key, a unison, where the books double that tone. The bass lies below, within E2 to E4, as written.
- The first chord begins with the right hand's lowest voice in C4 to B4, or below it, which costs (see
  `four_part_cost`). Without a `start` it begins in any position.
- Silence is passed over. Chords that share `written` are voiced alike.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from itertools import count, pairwise, permutations, product

from tracks.hands.bass_line import HIGHEST, LOWEST
from tracks.hands.choices import FIRST_LOWEST, start_tone
from tracks.hands.doubling import Upper, uppers
from tracks.hands.options import VoicingOptions
from tracks.hands.part_writing import Broken, Position, moved
from tracks.hands.search import numbered
from tracks.model import ChordAt
from tracks.theory.chord import Chord
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.pitch import Pitch, Tone

_OCTAVE = 12
_SHAPES = count()


@dataclass(frozen=True, slots=True)
class Choice:
    """A chord to be voiced, where it stands, and the positions it may take.

    `ends` says that it is the tonic of a perfect ending, where the soprano likes the tonic.
    """

    at: ChordAt
    chord: Chord
    positions: tuple[Position, ...]
    is_first: bool = False
    ends: bool = False


def choices(chords: Sequence[ChordAt], options: VoicingOptions) -> tuple[list[int], list[Choice]]:
    """Return which choice each chord that sounds is, and the choices."""
    sounding = [(at, at.chord) for at in chords if at.chord]
    order, firsts = numbered([at.written for at, _ in sounding])
    neighbors: dict[int, list[Chord]] = {at.written: [] for at, _ in sounding}
    for (before, old), (after, new) in pairwise(sounding):
        neighbors[before.written].append(new)
        neighbors[after.written].append(old)
    found: list[Choice] = []
    for at, chord in (sounding[place] for place in firsts):
        positions = _positions(at, chord, options, neighbors[at.written])
        first = _first(at, chord, options, positions) if not found else positions
        found.append(Choice(at, chord, first, is_first=not found))
    if is_perfect_ending([at for at, _ in sounding]):
        found[order[-1]] = replace(found[order[-1]], ends=True)
    return order, found


def is_perfect_ending(sounding: Sequence[ChordAt]) -> bool:
    """Return whether the last two chords are a dominant and its tonic, both over their roots."""
    if len(sounding) < 2 or not (dominant := sounding[-2].chord) or not (tonic := sounding[-1].chord):
        return False
    key = sounding[-1].key
    return (
        (tonic.root, tonic.bass) == (key.tonic, key.tonic)
        and (dominant.root, dominant.bass) == (key.degree(5), key.degree(5))
        and dominant.factor(3) == key.leading_tone
    )


@dataclass(frozen=True, slots=True)
class _Grip:
    """Three voices as the right hand may hold them above a bass: what is the same in every key and octave.

    `tones` are a position's; `above` are semitones above the tenor, low to high.
    """

    tones: tuple[int, ...]
    above: tuple[int, int, int]
    broken: tuple[Broken, ...]
    licenses: int


def _positions(
    at: ChordAt, chord: Chord, options: VoicingOptions, neighbors: Sequence[Chord]
) -> tuple[Position, ...]:
    lowest_bass = Pitch.at_or_above(chord.bass, LOWEST.midi).midi
    shift = at.key.tonic.fifths
    near = tuple(moved(neighbor, shift) for neighbor in neighbors)
    found: list[Position] = []
    for grip in _grips(moved(chord, shift), Key(Tone(0), at.key.mode), near, min(options.hand, _OCTAVE)):
        lowest = Pitch.at_or_above(Tone(chord.root.fifths + grip.tones[1]), options.low.midi).midi
        for tenor in range(lowest, options.high.midi - grip.above[2] + 1, _OCTAVE):
            right = tuple([tenor + above for above in grip.above])
            for bass in range(lowest_bass, min(HIGHEST.midi, tenor - 1) + 1, _OCTAVE):
                shape = _shape(grip.tones, grip.above, tenor - bass)
                found.append(Position((bass, *right), grip.tones, shape, grip.broken, grip.licenses))
    if not found:
        raise RequestError(
            f"bar {at.bar}: {chord.numeral or chord.symbol} does not fit in four parts between {LOWEST} and "
            f"{options.high}, the right hand from {options.low} within {options.hand} half steps",
            "widen the range or the hand",
        )
    return tuple(found)


@lru_cache(maxsize=512)
def _grips(chord: Chord, key: Key, neighbors: tuple[Chord, ...], span: int) -> tuple[_Grip, ...]:
    """Return every way to hold three voices of a chord, written from the key's tonic, in a hand's span."""
    return tuple(
        _grip(chord, upper, tones, (0, on_tenor, on_tenor + on_alto))
        for upper in uppers(chord, key, neighbors)
        for tones in dict.fromkeys(permutations(upper.tones))
        for on_tenor, on_alto in product(_gaps(tones[0], tones[1], upper), _gaps(tones[1], tones[2], upper))
        if on_tenor + on_alto <= span
    )


def _gaps(low: Tone, high: Tone, upper: Upper) -> tuple[int, ...]:
    """Return the semitones, up to an octave, from one voice's tone to the next one's above it."""
    gap = (high.chroma - low.chroma) % _OCTAVE or _OCTAVE
    return (0, gap) if low == high and not upper.rule else (gap,)


def _grip(chord: Chord, upper: Upper, right: tuple[Tone, ...], above: tuple[int, int, int]) -> _Grip:
    voices = (chord.bass, *right)
    doubled = tuple(voice for voice in (3, 2, 1, 0) if voices[voice] == upper.doubled)
    broken = (Broken(upper.rule, doubled),) if upper.rule else ()
    return _Grip(tuple(tone.fifths - chord.root.fifths for tone in voices), above, broken, upper.licenses)


@cache
def _shape(tones: tuple[int, ...], above: tuple[int, ...], bass_below: int) -> int:  # noqa: ARG001
    """Return a number that stands for the shape of a position."""
    return next(_SHAPES)


def _first(
    at: ChordAt, chord: Chord, options: VoicingOptions, positions: tuple[Position, ...]
) -> tuple[Position, ...]:
    """Return the positions that begin as asked, or where the books let none begin so, all that may begin."""
    begins = tuple(position for position in positions if position.keys[1] <= FIRST_LOWEST[-1])
    if not any(position.keys[1] in FIRST_LOWEST for position in begins):
        raise RequestError(
            f"bar {at.bar}: {chord.numeral or chord.symbol}, its right hand beginning in C4 to B4, does not "
            f"fit in the range {options.low} to {options.high}",
            "widen the range",
        )
    if options.start is None:
        return begins
    lowest = start_tone(at, chord, options.start).fifths - chord.root.fifths
    asked = tuple(position for position in begins if position.tones[1] == lowest and not position.broken)
    return asked if any(position.keys[1] in FIRST_LOWEST for position in asked) else begins
