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
            f"a drum's figure was laid on the {role.value}; write A, B or another of the hand's cells"
        )
    if hand is None:
        return ()
    if cell in REACHED:
        return reached(voiced, role)[cell]
    if cell == "K":
        return _between(hand, coming, role)
    if cell in "FP":
        return _moving_bass(cell, voiced, hand, coming, role)
    strikes = [stroke.strikes for each in within for stroke in each.strokes]
    fingered = _spread(hand, role) if "8" in strikes else _as_struck(hand)
    if cell == "8":
        return fingered[-1:]
    fingered = fingered[: len(hand.pitches)]
    if cell in HAND_CELLS:
        return fingered[HAND_CELLS[cell]] or fingered
    return (fingered[min(int(cell), len(fingered)) - 1],)


def _moving_bass(
    cell: str, voiced: VoicedChord, hand: Hand, coming: VoicedChord | None, role: Role
) -> tuple[Fingered, ...]:
    low, high = _REGISTERS.get(role, _ANYWHERE)
    bass = hand.pitches[0]
    to = hand_of(coming, role) if coming else None
    if cell == "P" and coming and to and to.pitches[0].midi != bass.midi:
        return ((leading_bass(coming, to.pitches[0], bass, low, high), None),)
    pitch = alternate_bass(voiced, bass, low, high)
    return ((pitch, hand.fingers[0] if hand.fingers and pitch == bass else None),)


def _between(hand: Hand, coming: VoicedChord | None, role: Role) -> tuple[Fingered, ...]:
    """Return the diminished seventh chord under the coming chord, or the hand where there is none."""
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
    return tuple((under[midi], None) for midi in sorted(under))


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
