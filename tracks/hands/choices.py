"""What the right hand may choose from: the candidates for each chord of a progression.

Conventions
- Silence is passed over. Chords that share `written` are one choice, made alike each time.
- Where a bass part plays below, figures and slashes are its business; doubled they set the hand's own lowest
  note. A chord larger than a seventh is played in four notes with its root where no bass has it; over a bass
  that has it, in three without. The first one holds the tone that it starts on in any case.
- A last chord on the tonic keeps its third.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from tracks.hands.close_position import Reduction, Shape, is_large, shapes, tone_sets, within
from tracks.hands.cost import Candidate
from tracks.hands.options import OCTAVE, Sevenths, Start, VoicingOptions
from tracks.hands.search import numbered
from tracks.model import ChordAt, Texture
from tracks.theory.chord import Chord
from tracks.theory.errors import RequestError
from tracks.theory.pitch import Tone

FIRST_LOWEST = range(60, 72)
"""Where the lowest note of the first voicing lies (MIDI): C4 to B4."""


@dataclass(frozen=True, slots=True)
class Choice:
    """A chord to be voiced and the candidates for it."""

    chord: Chord
    shapes: tuple[Shape, ...]
    candidates: tuple[Candidate, ...]


@dataclass(frozen=True, slots=True)
class Row:
    """The chords of a progression in a key: what may be chosen for each, and which one comes when."""

    choices: tuple[Choice, ...]
    order: tuple[int, ...]

    @property
    def comes_home(self) -> bool:
        """Whether the last chord is the first one once more."""
        first, last = self.choices[0].chord, self.choices[self.order[-1]].chord
        return (first.root, first.intervals) == (last.root, last.intervals)


def row_of(chords: Sequence[ChordAt], options: VoicingOptions) -> Row:
    """Return what may be chosen for the chords; silence is none of them."""
    sounding = [(at, at.chord) for at in chords if at.chord]
    order, firsts = numbered([at.written for at, _ in sounding])
    choices = tuple(
        _choice(*sounding[place], options, is_first=place == 0, is_last=order[place] == order[-1])
        for place in firsts
    )
    return Row(choices, tuple(order))


def candidates(shapes: Sequence[Shape], root: Tone, low: int, high: int) -> tuple[Candidate, ...]:
    """Return the shapes on every lowest note that keeps them within `low` to `high` (MIDI, inclusive)."""
    to_root = root.chroma - low
    return tuple(
        (shape, bottom)
        for shape in shapes
        for bottom in range(low + (to_root + shape.bottom) % 12, high - shape.offsets[-1] + 1, 12)
    )


def _choice(at: ChordAt, chord: Chord, options: VoicingOptions, *, is_first: bool, is_last: bool) -> Choice:
    is_doubled = options.texture is Texture.DOUBLED
    if is_doubled and chord.bass_is_foreign:
        raise RequestError(
            f"bar {at.bar}: {_name(chord)} has a bass, {chord.bass}, that is no tone of its chord; "
            "hands together, nothing can play it",
            "choose the texture over-bass",
        )
    lowest = chord.bass if is_doubled and chord.pinned else None
    if is_first and lowest is None:
        lowest = start_tone(at, chord, options.start or Start.ROOT)
    rooted = is_doubled or chord.bass != chord.root
    is_final_tonic = is_last and chord.root == at.key.tonic
    smoothest = options.sevenths is Sevenths.SMOOTHEST and not is_final_tonic
    guided = options.has_left_pairs and not rooted
    for count in _counts(chord, options, lowest, rooted):
        found = within(shapes(chord, Reduction(count, smoothest, lowest, rooted, guided)), options.hand)
        fitting = _fitting(chord, found, options, is_first)
        if fitting:
            return Choice(chord, found, fitting)
    on = f" on {lowest}" if lowest else ""
    first = ", its lowest note in C4 to B4," if is_first else ""
    raise RequestError(
        f"bar {at.bar}: {_name(chord)}{on}{first} does not fit the right hand's range "
        f"{options.low} to {options.high} within {options.hand} half steps",
        "widen the range or the hand",
    )


def _counts(chord: Chord, options: VoicingOptions, lowest: Tone | None, rooted: bool) -> tuple[int, ...]:
    """Return how many notes a chord is played in, and what is taken where the hand cannot hold so many."""
    if options.sevenths is Sevenths.FOUR:
        return (4,)
    if not is_large(chord):
        return (3,)
    needs_more = lowest and lowest not in tone_sets(chord, Reduction(3, rooted=False))[0]
    return (4, 3) if rooted or needs_more else (3,)


def _fitting(
    chord: Chord, found: tuple[Shape, ...], options: VoicingOptions, is_first: bool
) -> tuple[Candidate, ...]:
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
    return fitting


def start_tone(at: ChordAt, chord: Chord, start: Start) -> Tone:
    """Return the tone that the right hand starts on; raise RequestError where the chord has none such."""
    tones = {Start.ROOT: chord.root, Start.FIRST: chord.third_or_suspension, Start.SECOND: chord.factor(5)}
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
