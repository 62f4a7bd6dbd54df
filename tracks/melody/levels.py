"""What each level likes to play: the choices for a slot, with how much each is liked.

Conventions
- Levels count from 1: chord tones; steps between them; guide-tone lines; approach notes and enclosures; the
  blues and pentatonic; motifs.
- A weight is the product of how the line moves, how near it is to where its phrase stands, and what the level
  looks for. Only proportions matter.

Sources: guide tones, R. Hutchinson, *Music Theory for the 21st-Century Classroom*, 31.7; small steps fall
more often and leaps rise, P. G. Vos and J. M. Troost, "Ascending and descending melodic intervals", Music
Perception 6 (1989), from memory; an approach note a step or half step from a chord tone on the next beat, an
enclosure of one by the scale's step above and the half step below, convention.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from tracks.melody.context import HarmonicContext, half_step_below
from tracks.melody.guide import guide_line
from tracks.melody.line import Liked, Weights
from tracks.melody.motif import motif_choices
from tracks.melody.rhythm import Slot
from tracks.melody.rules import BLUES_FIFTH, FOURTH, STEP, TRITONE, Choice, Kind, comes_back, may_follow
from tracks.theory.pitch import Pitch

if TYPE_CHECKING:
    from random import Random

CHORD_TONES, STEPS, GUIDE_TONES, APPROACHES, BLUES, MOTIFS = range(1, 7)

# Semitones moved up or down -> weight: small steps fall, wide ones rise; a repeated note is spice.
_RISES = (0.2, 0.7, 0.95, 0.75, 0.65, 0.8, 0.0, 0.1, 0.12, 0.12, 0.0, 0.0, 0.12)
_FALLS = (0.2, 1.0, 1.5, 1.2, 0.8, 0.4, 0.0, 0.12, 0.06, 0.06, 0.0, 0.0, 0.03)
_FAR = 0.01
_WIDTH = 0.3
_GOES_ON = {
    ("stays", "stays"): 1.8,
    ("stays", "step down"): 1.4,
    ("stays", "skip up"): 0.6,
    ("stays", "skip down"): 0.35,
    ("step up", "stays"): 0.5,
    ("step down", "stays"): 1.3,
    ("skip up", "stays"): 1.5,
    ("step up", "step down"): 0.75,
    ("step down", "step up"): 0.75,
    ("step down", "skip down"): 1.5,
    ("step down", "skip up"): 0.4,
    ("skip up", "step down"): 0.75,
    ("skip down", "step up"): 0.75,
    ("skip up", "skip up"): 1.4,
    ("skip down", "skip down"): 1.6,
}
"""How a move is liked after another: runs go on, skips follow falls, repeated notes come in runs."""
_BACK = {"step up": 0.2, "step down": 0.2, "skip up": 0.8, "skip down": 0.4}
"""How a move is liked that goes straight back where the line came from."""
_REPEATS_HALF_STEP, _OUTLINES_TRITONE = 0.5, 0.2
_LIKES_RETURN, _LIKES_CADENCE, _OVER_THE_CEILING = 400.0, 3.0, 0.1
_STRANDS = 0.02

_LIKES_STEP, _LIKES_APPROACH, _LIKES_ENCLOSURE, _LIKES_GUIDE = 1.5, 1.8, 1.5, 2.5
_SLOW_LEADING = 0.15
_LIKES_COLOR, _LIKES_BLUE_NOTE, _LIKES_CHORD_ON_BEAT = 0.9, 0.6, 2.5


def weights(level: int, slots: Sequence[Slot], rng: "Random") -> Weights:
    """Return what a level likes at each place of a line over the slots."""
    guides = guide_line(slots, rng) if level == GUIDE_TONES else {}
    bluesy = level == BLUES and is_bluesy(slots)

    def liked(line: Sequence[Choice], place: int) -> Iterator[Liked]:
        slot = slots[place]
        if level == BLUES:
            offers = _blues(slot, bluesy)
        elif level == MOTIFS:
            offers = _with_motif(line, place, slots)
        else:
            offers = _plain(line, place, slots, level)
        for choice, weight in offers:
            if place not in guides or choice.pitch == guides[place]:
                liked = weight * _move(line, choice, slot) * _height(choice.midi, slot)
                liked *= _cadence(choice, slots[place : place + 2]) * _return(line, choice, slot)
                yield choice, liked * _leads_back(line, choice, place, slots, level == BLUES)

    return liked


def has_device(line: Sequence[Choice], slots: Sequence[Slot], level: int) -> bool:
    """Return whether a line does, to be heard, what its level is about.

    Guide tones are joined by steps, and a motif has one; what is too short brings nothing back.
    """
    kinds = {choice.kind for choice in line}
    if level == BLUES:
        return Kind.COLOR in kinds
    if level == APPROACHES:
        return any(_is_heard_to_lead(*each) for each in zip(line, slots, strict=True))
    if level == MOTIFS and any(slot.again is not None or slot.motif not in ("", "state") for slot in slots):
        return Kind.STEP in kinds and any(
            choice.motif or comes_back(line, place, slots) for place, choice in enumerate(line)
        )
    return level == CHORD_TONES or Kind.STEP in kinds


def _is_heard_to_lead(choice: Choice, slot: Slot) -> bool:
    """Return whether a note leads to a chord tone from outside the scale."""
    return choice.kind in (Kind.APPROACH, Kind.ENCLOSURE) and choice.midi % 12 not in slot.context.chromas


def is_bluesy(slots: Sequence[Slot]) -> bool:
    """Return whether most of a tune lies in minor or over dominant sevenths, where blue notes are at home."""
    return 2 * sum(slot.context.key.is_minor or _is_dominant(slot) for slot in slots) > len(slots)


def _is_dominant(slot: Slot) -> bool:
    chord = slot.context.chord
    return {4, 10} <= {(tone.chroma - chord.root.chroma) % 12 for tone in chord.tones}


def _return(line: Sequence[Choice], choice: Choice, slot: Slot) -> float:
    """Return how much more a choice is liked that brings back the note its place should."""
    if slot.again is None:
        return 1.0
    there = line[slot.again]
    if choice.pitch == there.pitch:
        return _LIKES_RETURN if choice.kind is there.kind else _LIKES_RETURN / 10
    return 1 / (1 + abs(choice.pitch.staff_step - there.pitch.staff_step))


def _leads_back(
    line: Sequence[Choice], choice: Choice, place: int, slots: Sequence[Slot], blues: bool
) -> float:
    """Return how much less a choice is liked after which the next note cannot be the one to bring back."""
    again = slots[place + 1].again if place + 1 < len(slots) else None
    if again is None or again >= len(line):
        return 1.0
    return 1.0 if may_follow([*line[-3:], choice], line[again], place + 1, slots, blues) else _STRANDS


def _cadence(choice: Choice, ahead: Sequence[Slot]) -> float:
    """Return how much more a choice is liked for leading by step into the root that ends the tune."""
    if len(ahead) < 2 or not ahead[1].last:
        return 1.0
    away = min(abs(choice.midi - root.midi) for root in ahead[1].context.tones_for(last=True))
    return _LIKES_CADENCE if 0 < away <= STEP else 1.0


def _move(line: Sequence[Choice], choice: Choice, slot: Slot) -> float:
    """Return how much a move is liked: by its size and way, and by how it goes on from the one before."""
    if not line:
        return 1.0
    move, likes = choice.midi - line[-1].midi, slot.likes
    table, size = _RISES if move > 0 else _FALLS, abs(move)
    weight = (table[size] if size < len(table) else 0) or _FAR
    if size == 0:
        weight *= likes.repeats
    elif size > STEP:
        weight *= likes.skips if size <= FOURTH else likes.leaps
    return weight * _going_on(line[-1].midi - line[-2].midi, move) if len(line) > 1 else weight


def _going_on(before: int, move: int) -> float:
    """Return how much a move is liked after the one before it."""
    if move == -before and move:
        return _BACK.get(_way(move), 1.0)
    if before * move > 0 and abs(before + move) == TRITONE:
        return _OUTLINES_TRITONE
    half_step = {abs(before), abs(move)} == {0, 1}
    return _GOES_ON.get((_way(before), _way(move)), 1.0) * (_REPEATS_HALF_STEP if half_step else 1.0)


def _way(move: int) -> str:
    """Return the size and the way of a move in words."""
    size = abs(move)
    if not size:
        return "stays"
    return (
        f"{'step' if size <= STEP else 'skip' if size <= FOURTH else 'leap'} {'up' if move > 0 else 'down'}"
    )


def _height(midi: int, slot: Slot) -> float:
    over = slot.context
    height = (midi - over.low) / (over.high - over.low)
    liked = 1 / (1 + ((height - slot.height) / _WIDTH) ** 4)
    return liked if height <= slot.ceiling else liked * _OVER_THE_CEILING


def _plain(line: Sequence[Choice], place: int, slots: Sequence[Slot], level: int) -> Iterator[Liked]:
    slot = slots[place]
    wants_guides = level >= APPROACHES and slot.strong
    for choice in _chord_tones(slot.context, slot.last):
        yield choice, _LIKES_GUIDE if wants_guides and choice.midi % 12 in slot.context.guides else 1.0
    if slot.quantized or not line or level < STEPS:
        return
    if line[-1].kind in (Kind.CHORD, Kind.STEP):
        yield from ((choice, _LIKES_STEP) for choice in _steps(slot.context, line[-1].midi))
    if level >= APPROACHES and line[-1].kind is Kind.CHORD:
        yield from ((c, w * slot.likes.chromatic) for c, w in _leading(slots[place : place + 3]))


@lru_cache(maxsize=2048)
def _chord_tones(over: HarmonicContext, last: bool) -> tuple[Choice, ...]:
    return tuple(Choice(pitch, pitch.midi) for pitch in over.tones_for(last=last))


@lru_cache(maxsize=8192)
def _steps(over: HarmonicContext, midi: int) -> tuple[Choice, ...]:
    """Return the tones of a chord's scale that are foreign to the chord and a step from a note."""
    return tuple(
        Choice(pitch, pitch.midi, Kind.STEP)
        for pitch in over.scale
        if 0 < abs(pitch.midi - midi) <= STEP and pitch.midi % 12 not in over.factors
    )


def _leading(ahead: Sequence[Slot]) -> Iterator[Liked]:
    """Yield what leads into a chord tone on the beat: an approach just before it, an enclosure two before."""
    found: tuple[Liked, ...] = ()
    if len(ahead) > 1 and ahead[1].quantized and ahead[1].joined:
        found = _approaches(ahead[0].context, ahead[1].context, ahead[1].last)
    elif len(ahead) > 2 and ahead[1].joined and ahead[2].quantized and ahead[2].joined:
        found = _enclosures(ahead[1].context, ahead[2].context, ahead[2].last)
    share = 1.0 if all(slot.quick for slot in ahead[:-1]) else _SLOW_LEADING
    return ((choice, weight * share) for choice, weight in found)


@lru_cache(maxsize=8192)
def _approaches(here: HarmonicContext, there: HarmonicContext, last: bool) -> tuple[Liked, ...]:
    return tuple(
        (_promised([leading], target.pitch, Kind.APPROACH), _LIKES_APPROACH)
        for target in _chord_tones(there, last)
        for leading in _neighbors(target.pitch, here)
        if leading.midi % 12 not in here.factors
    )


@lru_cache(maxsize=8192)
def _enclosures(here: HarmonicContext, there: HarmonicContext, last: bool) -> tuple[Liked, ...]:
    pairs = ((target.pitch, _neighbors(target.pitch, here)) for target in _chord_tones(there, last))
    return tuple(
        (_promised(order, target, Kind.ENCLOSURE), weight)
        for target, near in pairs
        if len(near) == 2
        for order, weight in ((near, _LIKES_ENCLOSURE), (near[::-1], _LIKES_ENCLOSURE / 2))
    )


def _neighbors(target: Pitch, over: HarmonicContext) -> list[Pitch]:
    """Return what leads to a target: the step of the scale above it and the half step below it."""
    letter = target.staff_step + 1
    above = [p for p in over.scale if 0 < p.midi - target.midi <= STEP and p.staff_step == letter]
    below = half_step_below(target)
    return [*above, *([below] if below.midi >= over.low else [])]


def _promised(leading: Sequence[Pitch], target: Pitch, kind: Kind) -> Choice:
    first, *others = (Choice(pitch, pitch.midi, kind, target=target) for pitch in leading)
    then = (*others, Choice(target, target.midi))
    return Choice(first.pitch, first.midi, kind, then, target)


def _with_motif(line: Sequence[Choice], place: int, slots: Sequence[Slot]) -> Iterator[Liked]:
    # What states the motif must fit other chords too, so it has no chromatic notes.
    yield from _plain(line, place, slots, STEPS if slots[place].motif == "state" else MOTIFS)
    yield from motif_choices(line, place, slots)


def _blues(slot: Slot, bluesy: bool) -> Iterator[Liked]:
    """Yield chord tones and the colors of the blues; what grates on a strong beat stays off it."""
    for choice in _chord_tones(slot.context, slot.last):
        yield choice, _LIKES_CHORD_ON_BEAT if slot.quantized else 1.0
    if slot.last or slot.under:
        return
    for choice, color in _colors(slot.context):
        blue = color.startswith("blues")
        if (bluesy or not blue) and not (slot.strong and _grates(choice, color, slot)):
            yield choice, _LIKES_BLUE_NOTE if blue else _LIKES_COLOR


@lru_cache(maxsize=2048)
def _colors(over: HarmonicContext) -> tuple[tuple[Choice, str], ...]:
    return tuple(
        (Choice(pitch, pitch.midi, Kind.COLOR), over.colors[pitch.midi % 12])
        for pitch in over.blues
        if pitch.midi % 12 in over.colors
    )


def _grates(choice: Choice, color: str, slot: Slot) -> bool:
    return color == BLUES_FIFTH or choice.midi % 12 in slot.context.avoided
