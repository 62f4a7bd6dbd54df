"""The smoothest voicings for the right hand: the exact least total movement.

Conventions
- What counts, in this order: semitones moved in all, voices matched low to high; how many moves there are;
  the sum of the squared moves; how far the voices lie from their first position; how often a third is left
  out. Each is a sum over the whole progression, repeats included.
- Silence is passed over: the hand goes on from the chord before it.
- Chords that share `written` are voiced alike.
- Where a bass part plays below, figures and slashes are its business; hands together they set the hand's
  own lowest note.

The costs are packed into one integer, 32 bits each, the first the highest: enough for tens of thousands of
the widest leaps. Equal totals are quantized by the order of the candidates, so that the same options always
has the same answer.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from tracks.hands.close_position import Shape, shapes, third_of, within
from tracks.hands.motion import size
from tracks.hands.options import OCTAVE, VoicingOptions
from tracks.hands.options import Left as Left
from tracks.hands.options import Sevenths as Sevenths
from tracks.hands.options import Start as Start
from tracks.hands.search import cheapest
from tracks.model import ChordAt, Texture
from tracks.theory.chord import Chord
from tracks.theory.errors import RequestError
from tracks.theory.pitch import Pitch, Tone

FIRST_LOWEST = range(60, 72)
"""Where the lowest note of the first voicing lies (MIDI): C4 to B4."""

_MOVEMENT, _VOICES, _SQUARES, _NEARNESS = 128, 96, 64, 32


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


Candidate = tuple[Shape, int]
"""A shape on a lowest note (MIDI)."""


@dataclass(frozen=True, slots=True)
class _Choice:
    """A chord to be voiced and the candidates for it."""

    chord: Chord
    shapes: tuple[Shape, ...]
    candidates: tuple[Candidate, ...]


def voice(chords: Sequence[ChordAt], options: VoicingOptions) -> VoiceLeading:
    """Return the smoothest voicings of the chords.

    Raises RequestError where a chord has no place in the range, where the first cannot start as asked, and
    where the hands together would need a bass that is no tone of the chord.
    """
    sounding = [(at, at.chord) for at in chords if at.chord]
    numbers: dict[int, int] = {}
    choices: list[_Choice] = []
    for at, chord in sounding:
        if at.written not in numbers:
            numbers[at.written] = len(choices)
            choices.append(_choice(at, chord, options, is_first=not choices))
    if not choices:
        return VoiceLeading((None,) * len(chords), 0)
    total, chosen = _smoothest([numbers[at.written] for at, _ in sounding], choices)
    made = [_voicing(choice.chord, pick) for choice, pick in zip(choices, chosen, strict=True)]
    voicings = [made[numbers[at.written]] if at.chord else None for at in chords]
    return VoiceLeading(tuple(voicings), total >> _MOVEMENT)


def candidates(shapes: Sequence[Shape], root: Tone, low: int, high: int) -> tuple[Candidate, ...]:
    """Return the shapes on every lowest note that keeps them within `low` to `high` (MIDI, inclusive)."""
    to_root = root.chroma - low
    return tuple(
        (shape, bottom)
        for shape in shapes
        for bottom in range(low + (to_root + shape.bottom) % 12, high - shape.offsets[-1] + 1, 12)
    )


def _smoothest(order: Sequence[int], choices: Sequence[_Choice]) -> tuple[int, tuple[Candidate, ...]]:
    """Return the least packed cost and the candidates that reach it, trying each first position."""
    opening, *others = choices
    row = cache(lambda later, before: _steps_to(choices[later], before))
    attempts = [
        _smoothest_from(order, [replace(opening, candidates=(first,)), *others], row)
        for first in opening.candidates
    ]
    return min(attempts, key=lambda attempt: attempt[0])


def _smoothest_from(
    order: Sequence[int], choices: Sequence[_Choice], row: Callable[[int, Candidate], list[int]]
) -> tuple[int, tuple[Candidate, ...]]:
    """Return the same where the first choice has one candidate only."""

    def step(earlier: int, option: int, later: int) -> list[int]:
        return row(later, choices[earlier].candidates[option])

    def least(earlier: int, later: int) -> int:
        before, after = choices[earlier], choices[later]
        rise = after.chord.root.chroma - before.chord.root.chroma
        return _least_step(before.shapes, after.shapes, rise % 12)

    first = choices[0].candidates[0]
    total, picks = cheapest(order, [_own_costs(choice, first) for choice in choices], step, least)
    return total, tuple(choice.candidates[pick] for choice, pick in zip(choices, picks, strict=True))


class _Steps(dict[int, int]):
    """The packed cost of going from one shape to another, by how far the lowest note rises."""

    def __init__(self, before: Shape, after: Shape) -> None:
        super().__init__()
        self.before, self.after = before.offsets, after.offsets

    def __missing__(self, rise: int) -> int:
        movement, voices, squares = size(self.before, [rise + offset for offset in self.after])
        cost = self[rise] = (movement << _MOVEMENT) + (voices << _VOICES) + (squares << _SQUARES)
        return cost


# A step costs the same in every key, so twelve keys share what one has measured.
_steps = lru_cache(maxsize=4096)(_Steps)


@lru_cache(maxsize=4096)
def _steps_from(before: Shape, after: tuple[Shape, ...]) -> dict[Shape, _Steps]:
    return {new: _steps(before, new) for new in after}


@lru_cache(maxsize=4096)
def _least_step(before: tuple[Shape, ...], after: tuple[Shape, ...], root_rise: int) -> int:
    """Return the least packed cost between any two of the shapes, in whatever octaves."""
    costs = []
    for old in before:
        for new in after:
            rise = (root_rise + new.bottom - old.bottom) % 12
            costs += [_steps(old, new)[rise + 12 * octave] for octave in (-2, -1, 0, 1)]
    return min(costs)


def _steps_to(choice: _Choice, before: Candidate) -> list[int]:
    """Return the packed cost of going to each candidate of a choice."""
    shape, low = before
    steps = _steps_from(shape, choice.shapes)
    return [steps[new][bottom - low] for new, bottom in choice.candidates]


def _own_costs(choice: _Choice, first: Candidate) -> list[int]:
    """Return the packed cost of each candidate in itself: its distance from the first, and its third."""
    return [
        (step >> _MOVEMENT << _NEARNESS) + shape.without_third
        for step, (shape, _) in zip(_steps_to(choice, first), choice.candidates, strict=True)
    ]


def _choice(at: ChordAt, chord: Chord, options: VoicingOptions, is_first: bool) -> _Choice:
    together = options.texture is Texture.HANDS_TOGETHER
    if together and chord.bass_is_foreign:
        raise RequestError(
            f"bar {at.bar}: {_name(chord)} has a bass, {chord.bass}, that is no tone of its chord; "
            "hands together, nothing can play it; choose the texture over-bass"
        )
    lowest = chord.bass if together and chord.pinned else None
    if is_first and lowest is None:
        lowest = start_tone(at, chord, options.start)
    count = 4 if options.sevenths is Sevenths.FOUR else 3
    keep_third = options.sevenths is Sevenths.KEEP_THIRD
    found = within(shapes(chord, count, keep_third, lowest, together, options.has_left_pairs), options.hand)
    fitting = candidates(found, chord.root, options.low.midi, options.high.midi)
    if options.spread:
        from tracks.hands.left_pairs import has_room_below

        fitting = tuple(
            (shape, bottom)
            for shape, bottom in fitting
            if has_room_below(chord, bottom + shape.offsets[-2] - OCTAVE, options.hand)
        )
    if is_first:
        fitting = tuple((shape, bottom) for shape, bottom in fitting if bottom in FIRST_LOWEST)
    if not fitting:
        on = f" on {lowest}" if lowest else ""
        first = ", its lowest note in C4 to B4," if is_first else ""
        raise RequestError(
            f"bar {at.bar}: {_name(chord)}{on}{first} does not fit the right hand's range "
            f"{options.low} to {options.high} within {options.hand} half steps; widen the range or the hand"
        )
    return _Choice(chord, found, fitting)


def start_tone(at: ChordAt, chord: Chord, start: Start) -> Tone:
    """Return the tone that the right hand starts on; raise RequestError where the chord has none such."""
    tones = {Start.ROOT: chord.root, Start.FIRST: third_of(chord), Start.SECOND: chord.factor(5)}
    tone = tones[start]
    if tone is None:
        missing = "third" if start is Start.FIRST else "fifth"
        raise RequestError(
            f"bar {at.bar}: {_name(chord)} has no {missing} to start on", "choose root", "start"
        )
    return tone


def _name(chord: Chord) -> str:
    # A numeral does not tell a foreign bass, and the symbol does.
    return chord.symbol if chord.bass_is_foreign else chord.numeral or chord.symbol


def _voicing(chord: Chord, candidate: Candidate) -> Voicing:
    shape, low = candidate
    tones = chord.tones
    pitches = tuple(
        Pitch.at_or_above(tones[place], low + offset)
        for place, offset in zip(shape.tones, shape.offsets, strict=True)
    )
    heard = {pitch.tone.chroma for pitch in pitches}
    return Voicing(pitches, tuple(tone for tone in tones if tone.chroma not in heard))
