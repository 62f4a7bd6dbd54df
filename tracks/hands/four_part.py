"""Four-part keyboard style: the exact optimum of a bass line and three upper voices in the right hand.

Conventions
- The right hand holds three voices within an octave (or the hand's own span); two neighbors may meet on
  one key, a unison, where the books double that tone. The bass lies below, within E2 to E4, as written.
- What counts, in this order: broken rules, the gravest rank first (parallels; sevenths, leading tones and
  doubled tendency tones; the outer octave; melody; doubling: see `part_writing` and `doubling`
  beside this room); licenses taken; unisons; the semitones that the upper voices move; how many of them
  move; the sum of their squared moves; the semitones that the bass moves; how often soprano and bass move in
  the same direction, a bass that leaps a fourth or fifth excepted; how far the hands lie from their middle.
  Each is a sum over the whole progression, repeats included, and one part of a count is worth more than any
  number of the next.
- Silence is passed over. Chords that share `written` are voiced alike.
- Where no voicing keeps every rule, the one that breaks the fewest is taken, and each broken rule is told.

The costs are packed into one integer, 20 bits each, the first the highest: enough for ten thousand chords.
Equal totals are quantized by the order of the candidates.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import count, pairwise, permutations, product

from tracks.hands.bass_line import HIGHEST, LOWEST
from tracks.hands.choices import FIRST_LOWEST, start_tone
from tracks.hands.doubling import Upper, uppers
from tracks.hands.options import VoicingOptions
from tracks.hands.part_writing import (
    RANKS,
    Broken,
    Link,
    Position,
    broken_between,
    licenses_between,
    link,
)
from tracks.hands.search import cheapest
from tracks.model import ChordAt
from tracks.theory.chord import Chord
from tracks.theory.errors import RequestError
from tracks.theory.pitch import Pitch, Tone

_BITS = 20
_NEARNESS, _SIMILAR, _BASS, _SQUARES, _VOICES, _MOVEMENT, _UNISONS, _LICENCES = range(0, 8 * _BITS, _BITS)
_WORST = _LICENCES + RANKS * _BITS
_MIDDLE_OF_RIGHT, _MIDDLE_OF_BASS = 67, 48
_FOURTH, _FIFTH, _OCTAVE = 5, 7, 12
_PRICES = tuple(1 << (_WORST - rank * _BITS) for rank in range(RANKS))
_SHAPES = count()


@dataclass(frozen=True, slots=True)
class FourParts:
    """The four voices of a chord, bass first (two may meet), what it leaves out, broken rules in words."""

    pitches: tuple[Pitch, ...]
    omits: tuple[Tone, ...]
    broken: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PartWriting:
    """The four parts of each chord, None in silence, and the upper voices' movement in semitones."""

    chords: tuple[FourParts | None, ...]
    movement: int


@dataclass(frozen=True, slots=True)
class _Choice:
    """A chord to be voiced, where it stands, and the positions it may take."""

    at: ChordAt
    chord: Chord
    positions: tuple[Position, ...]


def write_parts(chords: Sequence[ChordAt], options: VoicingOptions) -> PartWriting:
    """Return the best four parts for the chords.

    Raises RequestError where a chord has no place between the bass and the top of the right hand's range.
    """
    order, choices = _choices(chords, options)
    if not choices:
        return PartWriting((None,) * len(chords), 0)
    search = _Search(choices)
    _, picks = cheapest(order, search.own, search.step, back=search.back)
    chosen = [choice.positions[pick] for choice, pick in zip(choices, picks, strict=True)]
    return _told(chords, order, choices, chosen)


def _choices(chords: Sequence[ChordAt], options: VoicingOptions) -> tuple[list[int], list[_Choice]]:
    """Return which choice each chord that sounds is, and the choices."""
    sounding = [(at, at.chord) for at in chords if at.chord]
    numbers: dict[int, int] = {}
    neighbors: dict[int, list[Chord]] = {at.written: [] for at, _ in sounding}
    for (before, old), (after, new) in pairwise(sounding):
        neighbors[before.written].append(new)
        neighbors[after.written].append(old)
    choices: list[_Choice] = []
    for at, chord in sounding:
        if at.written not in numbers:
            numbers[at.written] = len(choices)
            positions = _positions(at, chord, options, neighbors[at.written])
            choices.append(
                _Choice(at, chord, positions if choices else _first(at, chord, options, positions))
            )
    return [numbers[at.written] for at, _ in sounding], choices


def _positions(
    at: ChordAt, chord: Chord, options: VoicingOptions, neighbors: Sequence[Chord]
) -> tuple[Position, ...]:
    lowest_bass = Pitch.at_or_above(chord.bass, LOWEST.midi).midi
    found = [
        _position(chord, upper, (bass, *keys), tones)
        for upper in uppers(chord, at.key, neighbors)
        for keys, tones in _stacks(upper, options)
        for bass in range(lowest_bass, min(HIGHEST.midi, keys[0] - 1) + 1, _OCTAVE)
    ]
    if not found:
        raise RequestError(
            f"bar {at.bar}: {chord.numeral or chord.symbol} does not fit in four parts between {LOWEST} and "
            f"{options.high}, the right hand from {options.low} within {options.hand} half steps; widen the "
            "range or the hand"
        )
    return tuple(found)


def _stacks(upper: Upper, options: VoicingOptions) -> Iterator[tuple[tuple[int, ...], tuple[Tone, ...]]]:
    """Yield the keys and tones of every way to hold three voices in the right hand, low to high."""
    span = min(options.hand, _OCTAVE)
    for tones in dict.fromkeys(permutations(upper.tones)):
        low, middle, high = tones
        first = Pitch.at_or_above(low, options.low.midi).midi
        for by_middle, on_top in product(_gaps(low, middle, upper), _gaps(middle, high, upper)):
            by_high = by_middle + on_top
            if by_high <= span:
                for bottom in range(first, options.high.midi - by_high + 1, _OCTAVE):
                    yield (bottom, bottom + by_middle, bottom + by_high), tones


def _gaps(low: Tone, high: Tone, upper: Upper) -> tuple[int, ...]:
    """Return the semitones, up to an octave, from one voice's tone to the next one's above it."""
    gap = (high.chroma - low.chroma) % _OCTAVE or _OCTAVE
    return (0, gap) if low == high and not upper.rule else (gap,)


def _position(chord: Chord, upper: Upper, keys: tuple[int, ...], right: tuple[Tone, ...]) -> Position:
    voices = (chord.bass, *right)
    doubled = tuple(voice for voice in (3, 2, 1, 0) if voices[voice] == upper.doubled)
    broken = (Broken(upper.rule, doubled),) if upper.rule else ()
    tones = tuple(tone.fifths - chord.root.fifths for tone in voices)
    return Position(keys, tones, _shape(tones, tuple(key - keys[1] for key in keys)), broken, upper.licenses)


@cache
def _shape(tones: tuple[int, ...], offsets: tuple[int, ...]) -> int:  # noqa: ARG001
    """Return a number that stands for the shape of a position."""
    return next(_SHAPES)


def _first(
    at: ChordAt, chord: Chord, options: VoicingOptions, positions: tuple[Position, ...]
) -> tuple[Position, ...]:
    """Return the positions that begin as asked, or where the books let none begin so, all that may begin."""
    begins = [position for position in positions if position.keys[1] in FIRST_LOWEST]
    if not begins:
        raise RequestError(
            f"bar {at.bar}: {chord.numeral or chord.symbol}, its right hand beginning in C4 to B4, does not "
            f"fit in the range {options.low} to {options.high}; widen the range"
        )
    lowest = start_tone(at, chord, options.start).fifths - chord.root.fifths
    asked = tuple(position for position in begins if position.tones[1] == lowest and not position.broken)
    return asked or tuple(begins)


class _Search:
    """The packed costs that the exact search asks for, each pair of positions measured once."""

    def __init__(self, choices: Sequence[_Choice]) -> None:
        self.choices = choices
        self.own = [[_own_cost(position) for position in choice.positions] for choice in choices]
        self.links: dict[tuple[int, int], Link] = {}

    def step(self, earlier: int, option: int, later: int) -> list[int]:
        """Return the cost of going on from an option of one choice to each option of a later one."""
        asked, before = self._link(earlier, later), self.choices[earlier].positions[option]
        return [_step_cost(asked, before, after) for after in self.choices[later].positions]

    def back(self, earlier: int, option: int, later: int) -> list[int]:
        """Return the cost of coming back to an option of a choice from each option of a later one."""
        asked, after = self._link(later, earlier), self.choices[earlier].positions[option]
        return [_step_cost(asked, before, after) for before in self.choices[later].positions]

    def _link(self, before: int, after: int) -> Link:
        if (before, after) not in self.links:
            old, new = self.choices[before], self.choices[after]
            self.links[before, after] = link(old.chord, new.chord, old.at.key)
        return self.links[before, after]


def _own_cost(position: Position) -> int:
    bass, *right = position.keys
    nearness = abs(sum(right) - 3 * _MIDDLE_OF_RIGHT) + abs(bass - _MIDDLE_OF_BASS)
    unisons = len(right) - len(set(right))
    allowed = (position.licenses << _LICENCES) + (unisons << _UNISONS)
    return _broken_cost(position.broken) + allowed + (nearness << _NEARNESS)


def _broken_cost(broken: Sequence[Broken]) -> int:
    cost = 0
    for each in broken:
        cost += _PRICES[each.rule.rank]
    return cost


def _step_cost(asked: Link, before: Position, after: Position) -> int:
    """Return the cost of a step, which is measured once for all keys and octaves."""
    place = before.shape, after.shape, after.keys[1] - before.keys[1]
    cost = asked.costs.get(place)
    if cost is None:
        cost = asked.costs[place] = _measured(asked, before, after)
    return cost


def _measured(asked: Link, before: Position, after: Position) -> int:
    bass, tenor, alto, soprano = (new - old for old, new in zip(before.keys, after.keys, strict=True))
    upper = abs(tenor) + abs(alto) + abs(soprano)
    voices = bool(tenor) + bool(alto) + bool(soprano)
    squares = tenor * tenor + alto * alto + soprano * soprano
    similar = bass * soprano > 0 and abs(bass) not in (_FOURTH, _FIFTH)
    return (
        _broken_cost(broken_between(asked, before, after))
        + (licenses_between(asked, before, after) << _LICENCES)
        + (upper << _MOVEMENT)
        + (voices << _VOICES)
        + (squares << _SQUARES)
        + (abs(bass) << _BASS)
        + (similar << _SIMILAR)
    )


def _told(
    chords: Sequence[ChordAt], order: Sequence[int], choices: Sequence[_Choice], chosen: Sequence[Position]
) -> PartWriting:
    """Return the parts with their broken rules in words; those of the first chord stand with the second."""
    parts: list[FourParts | None] = []
    turn = iter(order)
    movement, before = 0, -1
    waiting: tuple[str, ...] = ()
    for at in chords:
        if not at.chord:
            parts.append(None)
            continue
        now = next(turn)
        said = (*waiting, *_said_between(choices, chosen, before, now), *_said_in(choices[now], chosen[now]))
        waiting = () if before >= 0 else said
        parts.append(_parts(choices[now].chord, chosen[now], () if before < 0 else said))
        if before >= 0:
            steps = zip(chosen[before].keys[1:], chosen[now].keys[1:], strict=True)
            movement += sum(abs(new - old) for old, new in steps)
        before = now
    return PartWriting(tuple(parts), movement)


def _said_between(
    choices: Sequence[_Choice], chosen: Sequence[Position], before: int, now: int
) -> tuple[str, ...]:
    if before < 0:
        return ()
    old, new = choices[before], choices[now]
    broken = broken_between(link(old.chord, new.chord, old.at.key), chosen[before], chosen[now])
    return _said(f"from {_name(old)} to {_name(new)}", broken, old.chord, chosen[before])


def _said_in(choice: _Choice, position: Position) -> tuple[str, ...]:
    return _said(f"in {_name(choice)}", position.broken, choice.chord, position)


def _said(place: str, broken: Sequence[Broken], chord: Chord, position: Position) -> tuple[str, ...]:
    return tuple(f"{place}: {each.said(_tone(chord, position.tones[each.voices[0]]))}" for each in broken)


def _parts(chord: Chord, position: Position, broken: tuple[str, ...]) -> FourParts:
    pitches = tuple(
        Pitch.at_or_above(_tone(chord, fifths), key)
        for fifths, key in zip(position.tones, position.keys, strict=True)
    )
    heard = {key % _OCTAVE for key in position.keys}
    return FourParts(pitches, tuple(tone for tone in chord.tones if tone.chroma not in heard), broken)


def _tone(chord: Chord, fifths: int) -> Tone:
    return Tone(chord.root.fifths + fifths)


def _name(choice: _Choice) -> str:
    return choice.chord.numeral or choice.chord.symbol
