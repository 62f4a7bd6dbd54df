"""The smoothest voicings for the right hand: the exact least cost.

What counts, and in which order, is said in `cost`, movement first; what may be chosen in `choices`; how
several keys keep one shape in `smoothest`.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from tracks.hands.choices import Row, row_of
from tracks.hands.cost import MOVEMENT, Candidate
from tracks.hands.one_shape import alike
from tracks.hands.options import VoicingOptions
from tracks.hands.smoothest import Chosen, in_one_shape
from tracks.model import ChordAt
from tracks.theory.chord import Chord
from tracks.theory.pitch import Pitch


@dataclass(frozen=True, slots=True)
class Voicing:
    """The notes of one chord for one hand, low to high."""

    pitches: tuple[Pitch, ...]


@dataclass(frozen=True, slots=True)
class VoiceLeading:
    """A voicing for each chord, None in silence, and the movement between them in semitones.

    `own_shape` says that the range forbids the shape that the other keys of a drill share.
    """

    voicings: tuple[Voicing | None, ...]
    movement: int
    own_shape: bool = False


def voice(chords: Sequence[ChordAt], options: VoicingOptions) -> VoiceLeading:
    """Return the smoothest voicings of the chords.

    Raises RequestError where a chord has no place in the range, where the first cannot start as asked, and
    where a doubled hand would need a bass that is no tone of the chord.
    """
    return lead_in_keys([chords], options)[0]


def lead_in_keys(keys: Sequence[Sequence[ChordAt]], options: VoicingOptions) -> tuple[VoiceLeading, ...]:
    """Return the smoothest voicings of a progression in each of several keys, in one shape where it fits.

    Raises RequestError as `voice` does.
    """
    rows = [row_of(chords, options) for chords in keys]
    chosen: dict[int, Chosen] = {}
    for group in alike(keys):
        chosen.update(zip(group, in_one_shape([rows[key] for key in group]), strict=True))
    return tuple(_leading(chords, rows[key], *chosen[key]) for key, chords in enumerate(keys))


def _leading(
    chords: Sequence[ChordAt], row: Row, total: int, picks: Sequence[Candidate], own_shape: bool
) -> VoiceLeading:
    made = [_voicing(choice.chord, pick) for choice, pick in zip(row.choices, picks, strict=True)]
    order = iter(row.order)
    voicings = [made[next(order)] if at.chord else None for at in chords]
    return VoiceLeading(tuple(voicings), total >> MOVEMENT, own_shape)


def _voicing(chord: Chord, candidate: Candidate) -> Voicing:
    shape, low = candidate
    tones = chord.tones
    return Voicing(
        tuple(
            Pitch.at_or_above(tones[place], low + offset)
            for place, offset in zip(shape.tones, shape.offsets, strict=True)
        )
    )
