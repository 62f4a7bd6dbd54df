"""Both hands for the changes: voiced, fingered, and told in words.

Conventions
- Hands together, the left hand plays the right hand's voicing an octave lower, but for a key that the
  right hand already holds.
- Over a bass, the left hand plays the bass line.
- `moves` compare a chord with the one heard before it, past any silence; the first has none.
"""

from dataclasses import dataclass

from tracks.bass_line import bass_line
from tracks.fingering import left_fingers, right_fingers
from tracks.model import Changes, ChordAt, Hand, Texture, VoicedChord
from tracks.motion import what_left_hand_does, what_moves
from tracks.theory.pitch import Pitch
from tracks.voicing import Sevenths, Start, Voicing, VoicingRequest, voice

_HIGHEST_INVERSION = 3


@dataclass(frozen=True, slots=True)
class VoicedHands:
    """The changes with both hands worked out, and the right hand's movement in semitones."""

    chords: tuple[VoicedChord, ...]
    movement: int


_Left = tuple[Hand, tuple[str, ...]]
"""A left hand for a chord, and what is to be said of it beside the right hand's moves."""


def voice_hands(
    changes: Changes, texture: Texture, start: Start, sevenths: Sevenths, low: Pitch, high: Pitch
) -> VoicedHands:
    """Return both hands for the changes, the right hand within `low` to `high`.

    Raises Fault where the right hand or the bass has no room, or the hands together need another bass.
    """
    leading = voice(changes.chords, VoicingRequest(texture, start, sevenths, low, high))
    rights = [_right_hand(voicing) if voicing else None for voicing in leading.voicings]
    if texture is Texture.OVER_BASS:
        lefts = _bass_hands(changes.chords, rights)
    else:
        lefts = [(_octave_lower(right), ()) if right else None for right in rights]
    return VoicedHands(_told(changes.chords, rights, lefts), leading.movement)


def inversion(voiced: VoicedChord) -> int:
    """Return which of the chord's tones the right hand has at the bottom: 0, the root, to 3; 0 in silence."""
    if not voiced.right or not voiced.at.chord:
        return 0
    return min(voiced.at.chord.tones.index(voiced.right.pitches[0].tone), _HIGHEST_INVERSION)


def _right_hand(voicing: Voicing) -> Hand:
    return Hand(voicing.pitches, right_fingers(voicing.pitches), voicing.omits)


def _octave_lower(right: Hand) -> Hand:
    lowered = (pitch.octaves_up(-1) for pitch in right.pitches)
    pitches = tuple(pitch for pitch in lowered if pitch.midi < right.pitches[0].midi)
    return Hand(pitches, left_fingers(pitches), right.omits)


def _bass_hands(chords: tuple[ChordAt, ...], rights: list[Hand | None]) -> list[_Left | None]:
    lefts: list[_Left | None] = []
    before: Pitch | None = None
    for note in bass_line(chords, [right.pitches[0] if right else None for right in rights]):
        if note:
            said = (what_left_hand_does(before, note.pitch), *note.marks) if before else ()
            lefts.append((Hand((note.pitch,), (note.finger,)), said))
            before = note.pitch
        else:
            lefts.append(None)
    return lefts


def _told(
    chords: tuple[ChordAt, ...], rights: list[Hand | None], lefts: list[_Left | None]
) -> tuple[VoicedChord, ...]:
    voiced = []
    before: Hand | None = None
    for place, (at, right, left) in enumerate(zip(chords, rights, lefts, strict=True), start=1):
        last = place == len(chords)
        if right and left:
            moves = (what_moves(before.pitches, right.pitches), *left[1]) if before else ()
            voiced.append(VoicedChord(at, right, left[0], moves, last))
            before = right
        else:
            voiced.append(VoicedChord(at, last=last))
    return tuple(voiced)
