"""What a cell of a figure strikes: pitches of a chord as a hand or a bass has it, each with its finger.

The cells are told in `tracks.patterns.figures`.

Sources: the passing diminished seventh chord a half step below the chord it leads to, and the bass that walks
up by step, convention of the trade.
"""

from collections.abc import Sequence
from itertools import starmap

from tracks.hands.fingering import left_fingers, right_fingers
from tracks.model import Hand, Role, VoicedChord
from tracks.patterns.figures import HAND_CELLS, REACHED, Figure
from tracks.patterns.registers import (
    BASS_PLAYER,
    LEFT_HAND,
    LOWEST_REACHED,
    Fingered,
    alternate_bass,
    bass_hand,
    leading_bass,
    reached,
)
from tracks.theory.chord import Chord, degree_interval
from tracks.theory.errors import RequestError
from tracks.theory.pitch import Pitch

_REGISTERS = {Role.LEFT: LEFT_HAND, Role.BASS: BASS_PLAYER}
_ANYWHERE = (0, 127)
_MOST_FINGERED = 4
_DIMINISHED_SEVENTH = tuple(starmap(degree_interval, ((1, 0), (3, -1), (5, -1), (7, -2))))


def hand_of(voiced: VoicedChord, role: Role) -> Hand | None:
    """Return a chord as a role has it: the right hand's, a bass player's, else the left hand's."""
    if role is Role.BASS:
        return bass_hand(voiced)
    return voiced.right if role is Role.RIGHT else voiced.left


def struck(
    cell: str, voiced: VoicedChord, coming: VoicedChord | None, role: Role, within: Sequence[Figure]
) -> tuple[Fingered, ...]:
    """Return what a cell strikes on a chord, before the coming one, in the figures that it stands within.

    Raises RequestError for a drum's cell.
    """
    hand = hand_of(voiced, role)
    if cell == "x":
        raise RequestError(
            f"a drum's figure was laid on the {role.value}", "write A, B or another of the hand's cells"
        )
    if hand is None:
        return ()
    strikes = {stroke.strikes for each in within for stroke in each.strokes}
    if cell in REACHED:
        return reached(voiced, role)[cell]
    if cell == "K":
        return _between(voiced, hand, coming, role)
    if cell in "FP":
        return _moving_bass(cell, voiced, hand, coming, role, low=not strikes.isdisjoint(REACHED))
    fingered = _spread(hand, role) if "8" in strikes else _as_struck(hand)
    if cell == "8":
        return fingered[-1:]
    fingered = fingered[: len(hand.pitches)]
    if cell in HAND_CELLS:
        return fingered[HAND_CELLS[cell]] or fingered
    return (fingered[min(int(cell), len(fingered)) - 1],)


def _moving_bass(
    cell: str, voiced: VoicedChord, hand: Hand, coming: VoicedChord | None, role: Role, low: bool
) -> tuple[Fingered, ...]:
    """Return the bass that alternates, or leads to the coming chord's; `low` where the hand reaches down."""
    bottom, top = _REGISTERS.get(role, _ANYWHERE)
    bass = _bass(voiced, hand, role, low)
    if low:
        bottom, top = min(bottom, LOWEST_REACHED), min(top, hand.pitches[0].midi)
    to = hand_of(coming, role) if coming else None
    target = _bass(coming, to, role, low) if coming and to else None
    if cell == "P" and coming and target and target.midi != bass.midi:
        # Above it the right hand may be at a chord between, up to three half steps under its own.
        rights = [each.right.pitches[0].midi - 4 for each in (voiced, coming) if each.right]
        return ((leading_bass(coming, target, bass, bottom, min(top, *rights)), None),)
    pitch = alternate_bass(voiced, bass, bottom, top)
    return ((pitch, hand.fingers[0] if hand.fingers and pitch == bass else None),)


def _bass(voiced: VoicedChord, hand: Hand, role: Role, low: bool) -> Pitch:
    return reached(voiced, role)["L"][0][0] if low else hand.pitches[0]


def _between(voiced: VoicedChord, hand: Hand, coming: VoicedChord | None, role: Role) -> tuple[Fingered, ...]:
    """Return the diminished seventh chord under the coming chord, or the hand where there is none.

    The right hand leaves out what would lie as low as the left hand.
    """
    to = hand_of(coming, role) if coming else None
    if not coming or not coming.at.chord or not to or to.pitches == hand.pitches:
        return _as_struck(hand)
    root = coming.at.chord.root.up(degree_interval(7))
    passing = Chord(root, _DIMINISHED_SEVENTH, root)
    under: dict[int, Pitch] = {}
    for pitch in to.pitches:
        below = (Pitch.at_or_above(tone, pitch.midi - 12) for tone in passing.tones)
        nearest = max((p for p in below if p.midi < pitch.midi), key=lambda option: option.midi)
        under[nearest.midi] = nearest
    floor = voiced.left.pitches[-1].midi if role is Role.RIGHT and voiced.left else 0
    return tuple((under[midi], None) for midi in sorted(under) if midi > floor) or _as_struck(hand)


def _as_struck(hand: Hand) -> tuple[Fingered, ...]:
    fingers = hand.fingers if len(hand.fingers) == len(hand.pitches) else (None,) * len(hand.pitches)
    return tuple(zip(hand.pitches, fingers, strict=True))


def _spread(hand: Hand, role: Role) -> tuple[Fingered, ...]:
    """Return the hand's notes and the lowest an octave higher, fingered as the chord of them all."""
    octave = hand.pitches[0].octaves_up(1)
    pitches = (*hand.pitches, octave)
    if not hand.fingers or len(pitches) > _MOST_FINGERED:
        return (*_as_struck(hand), (octave, None))
    fingers = (right_fingers if role is Role.RIGHT else left_fingers)(pitches)
    return tuple(zip(pitches, fingers, strict=True))
