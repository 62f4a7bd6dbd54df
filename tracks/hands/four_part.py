"""Four-part keyboard style: a bass line and three upper voices in the right hand.

Conventions
- What a chord may take is told in `four_part_positions`, what counts in `four_part_cost`, and how all keys
  of a drill come to one shape in `four_part_search`.
- Where no voicing keeps every rule, the one that breaks the fewest is taken, and each broken rule is told.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from tracks.hands.four_part_positions import Choice, choices
from tracks.hands.four_part_search import Search, in_one_shape
from tracks.hands.one_shape import alike
from tracks.hands.options import VoicingOptions
from tracks.hands.part_writing import Broken, Position, broken_between, link
from tracks.model import ChordAt
from tracks.theory.chord import Chord
from tracks.theory.pitch import Pitch, Tone


@dataclass(frozen=True, slots=True)
class FourParts:
    """The four voices of a chord, bass first (two may meet), and the broken rules in words."""

    pitches: tuple[Pitch, ...]
    broken: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PartWriting:
    """The four parts of each chord, None in silence, and the upper voices' movement in semitones.

    `own_shape` says that the right hand has another shape than in the drill's other keys, for want of room.
    """

    chords: tuple[FourParts | None, ...]
    movement: int
    own_shape: bool = False


def write_parts(chords: Sequence[ChordAt], options: VoicingOptions) -> PartWriting:
    """Return the best four parts for the chords.

    Raises RequestError where a chord has no place between the bass and the top of the right hand's range.
    """
    (writing,) = write_in_keys([chords], options)
    return writing


def write_in_keys(keys: Sequence[Sequence[ChordAt]], options: VoicingOptions) -> tuple[PartWriting, ...]:
    """Return four parts for a drill's chords in each of its keys, in one shape where there is room for one.

    Raises RequestError as `write_parts` does.
    """
    made = [choices(chords, options) for chords in keys]
    written: dict[int, PartWriting] = {}
    for group in alike(keys):
        ways = in_one_shape([Search(*made[key]) for key in group])
        for key, (way, own_shape) in zip(group, ways, strict=True):
            written[key] = _told(keys[key], *made[key], way.taken, own_shape)
    return tuple(written[key] for key in range(len(keys)))


def _told(
    chords: Sequence[ChordAt],
    order: Sequence[int],
    choices: Sequence[Choice],
    chosen: Sequence[Position],
    own_shape: bool,
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
    return PartWriting(tuple(parts), movement, own_shape)


def _said_between(
    choices: Sequence[Choice], chosen: Sequence[Position], before: int, now: int
) -> tuple[str, ...]:
    if before < 0:
        return ()
    old, new = choices[before], choices[now]
    broken = broken_between(link(old.chord, new.chord, old.at.key), chosen[before], chosen[now])
    return _said(f"from {_name(old)} to {_name(new)}", broken, old.chord, chosen[before])


def _said_in(choice: Choice, position: Position) -> tuple[str, ...]:
    return _said(f"in {_name(choice)}", position.broken, choice.chord, position)


def _said(place: str, broken: Sequence[Broken], chord: Chord, position: Position) -> tuple[str, ...]:
    return tuple(f"{place}: {each.said(_tone(chord, position.tones[each.voices[0]]))}" for each in broken)


def _parts(chord: Chord, position: Position, broken: tuple[str, ...]) -> FourParts:
    voices = zip(position.tones, position.keys, strict=True)
    return FourParts(tuple(Pitch.at_or_above(_tone(chord, fifths), key) for fifths, key in voices), broken)


def _tone(chord: Chord, fifths: int) -> Tone:
    return Tone(chord.root.fifths + fifths)


def _name(choice: Choice) -> str:
    return choice.chord.numeral or choice.chord.symbol
