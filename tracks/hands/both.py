"""Both hands for the changes: voiced, fingered, and told in words.

Conventions
- Hands together, the left hand plays the right hand's voicing an octave lower, but for a key that the
  right hand already holds.
- Over a bass, the left hand plays the bass line, a shell on it, or the bass and the voice that a spread
  voicing drops.
- In four parts the left hand plays the bass, the right hand the other three, two of which may share a key;
  each rule that cannot be kept is told after the moves.
- `moves` compare a chord with the one heard before it, past any silence; the first has none.
- What only one texture needs is imported where it is needed: most drills have the hands together.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tracks.hands.fingering import left_fingers, right_fingers
from tracks.hands.motion import what_left_hand_does, what_moves
from tracks.hands.options import Left, VoicingOptions
from tracks.hands.voicing import Voicing, voice
from tracks.model import Changes, ChordAt, Hand, Texture, VoicedChord
from tracks.theory.pitch import Pitch

if TYPE_CHECKING:
    from tracks.hands.four_part import FourParts

_HIGHEST_INVERSION = 3


@dataclass(frozen=True, slots=True)
class VoicedHands:
    """The changes with both hands worked out, and the right hand's movement in semitones.

    Of a spread voicing it is the upper voices' movement, the one in the left hand among them.
    """

    chords: tuple[VoicedChord, ...]
    movement: int


_Left = tuple[Hand, tuple[str, ...]]
"""A left hand for a chord, and what is to be said of it beside the right hand's moves."""


def voice_hands(changes: Changes, options: VoicingOptions) -> VoicedHands:
    """Return both hands for the changes, as asked.

    Raises RequestError where the right hand or the bass has no room, or the hands together need another bass.
    """
    if options.texture is Texture.FOUR_PART:
        return _in_four_parts(changes, options)
    leading = voice(changes.chords, options)
    rights = [_right_hand(voicing) if voicing else None for voicing in leading.voicings]
    lefts: list[_Left | None]
    if options.texture is Texture.HANDS_TOGETHER:
        lefts = [(_octave_lower(right), ()) if right else None for right in rights]
    elif options.spread:
        from tracks.hands.left_pairs import spread_pairs

        dropped = [right.pitches[-2].octaves_up(-1) if right else None for right in rights]
        lefts = _pair_hands(spread_pairs(changes.chords, dropped, options.hand))
        rights = [_without_second(right) if right else None for right in rights]
    elif options.left is Left.SHELLS:
        from tracks.hands.left_pairs import shells

        lefts = _pair_hands(shells(changes.chords, [_lowest(right) for right in rights], options.hand))
    else:
        lefts = _bass_hands(changes.chords, rights)
    return VoicedHands(_told(changes.chords, rights, lefts), leading.movement)


def inversion(voiced: VoicedChord) -> int:
    """Return which of the chord's tones the right hand has at the bottom: 0, the root, to 3; 0 in silence."""
    if not voiced.right or not voiced.at.chord:
        return 0
    return min(voiced.at.chord.named_tones.index(voiced.right.pitches[0].tone), _HIGHEST_INVERSION)


def _right_hand(voicing: Voicing) -> Hand:
    return Hand(voicing.pitches, right_fingers(voicing.pitches), voicing.omits)


def _octave_lower(right: Hand) -> Hand:
    lowered = (pitch.octaves_up(-1) for pitch in right.pitches)
    pitches = tuple(pitch for pitch in lowered if pitch.midi < right.pitches[0].midi)
    return Hand(pitches, left_fingers(pitches), right.omits)


def _lowest(right: Hand | None) -> Pitch | None:
    return right.pitches[0] if right else None


def _without_second(right: Hand) -> Hand:
    """Return the right hand of a spread voicing, without the second voice from the top."""
    pitches = (*right.pitches[:-2], right.pitches[-1])
    return replace(right, pitches=pitches, fingers=right_fingers(pitches))


def _bass_hands(chords: tuple[ChordAt, ...], rights: list[Hand | None]) -> list[_Left | None]:
    from tracks.hands.bass_line import bass_line

    lefts: list[_Left | None] = []
    before: Pitch | None = None
    for note in bass_line(chords, [_lowest(right) for right in rights]):
        if note:
            said = (what_left_hand_does(before, note.pitch), *note.marks) if before else ()
            lefts.append((Hand((note.pitch,), (note.finger,)), said))
            before = note.pitch
        else:
            lefts.append(None)
    return lefts


def _pair_hands(pairs: Sequence[tuple[Pitch, ...] | None]) -> list[_Left | None]:
    lefts: list[_Left | None] = []
    before: tuple[Pitch, ...] = ()
    for pitches in pairs:
        if pitches:
            said = (f"left hand: {what_moves(before, pitches)}",) if before else ()
            lefts.append((Hand(pitches, left_fingers(pitches)), said))
            before = pitches
        else:
            lefts.append(None)
    return lefts


def _in_four_parts(changes: Changes, options: VoicingOptions) -> VoicedHands:
    from tracks.hands.four_part import write_parts

    writing = write_parts(changes.chords, options)
    rights = [_upper_hand(parts) if parts else None for parts in writing.chords]
    lefts = _four_part_lefts(writing.chords)
    voices = [parts.pitches[1:] if parts else () for parts in writing.chords]
    return VoicedHands(_told(changes.chords, rights, lefts, voices), writing.movement)


def _upper_hand(parts: "FourParts") -> Hand:
    pitches = tuple(dict.fromkeys(parts.pitches[1:]))
    return Hand(pitches, right_fingers(pitches), parts.omits)


def _four_part_lefts(chords: "Sequence[FourParts | None]") -> list[_Left | None]:
    """Return the bass notes, fingered as one line past any silence."""
    from tracks.hands.line_fingering import LineHand, line_fingers

    fingers = iter(line_fingers([parts.pitches[0] for parts in chords if parts], LineHand.LEFT))
    lefts: list[_Left | None] = []
    before: Pitch | None = None
    for parts in chords:
        if parts:
            bass = parts.pitches[0]
            said = (what_left_hand_does(before, bass), *parts.broken) if before else ()
            lefts.append((Hand((bass,), (next(fingers),)), said))
            before = bass
        else:
            lefts.append(None)
    return lefts


def _told(
    chords: tuple[ChordAt, ...],
    rights: list[Hand | None],
    lefts: list[_Left | None],
    voices: Sequence[tuple[Pitch, ...]] = (),
) -> tuple[VoicedChord, ...]:
    """Return the chords with the words; `voices` are the right hand's, where some share a key."""
    voices = voices or [right.pitches if right else () for right in rights]
    voiced = []
    before: tuple[Pitch, ...] = ()
    for place, (at, right, left, now) in enumerate(zip(chords, rights, lefts, voices, strict=True), start=1):
        last = place == len(chords)
        if right and left:
            moves = (what_moves(before, now), *left[1]) if before else ()
            voiced.append(VoicedChord(at, right, left[0], moves, last))
            before = now
        else:
            voiced.append(VoicedChord(at, last=last))
    return tuple(voiced)
