"""Both hands for the changes: voiced, fingered, and told in words.

Conventions
- Hands together, the left hand plays the right hand's voicing an octave lower, but for a key that the
  right hand already holds.
- Over a bass, the left hand plays the bass line, a shell on it, or the bass and the voice that a spread
  voicing drops.
- In four parts the left hand plays the bass, the right hand the other three, two of which may share a key;
  each rule that cannot be kept is told after the moves.
- `moves` and `call` compare a chord with the one heard before it, past any silence; the first has none.
- `omits` of either hand are the chord's tones that neither hand plays, by the key of the keyboard.
- What only one texture needs is imported where it is needed: most drills have the hands together.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tracks.hands.call import call, finger_call
from tracks.hands.fingering import left_fingers, right_fingers
from tracks.hands.motion import what_left_hand_does, what_moves
from tracks.hands.options import Left, VoicingOptions
from tracks.hands.voicing import VoiceLeading, lead_in_keys
from tracks.model import Changes, ChordAt, Hand, Texture, VoicedChord
from tracks.theory.pitch import Pitch

if TYPE_CHECKING:
    from tracks.hands.four_part import FourParts


@dataclass(frozen=True, slots=True)
class VoicedHands:
    """The changes with both hands worked out, and the right hand's movement in semitones.

    Of a spread voicing it is the upper voices' movement, the one in the left hand among them. `own_shape`
    says that the hand has no room here for the shape of the drill's other keys, and has one of its own.
    """

    chords: tuple[VoicedChord, ...]
    movement: int
    own_shape: bool = False


_Left = tuple[Hand, tuple[str, ...]]
"""A left hand for a chord, and what is to be said of it beside the right hand's moves."""


def voice_hands(changes: Changes, options: VoicingOptions) -> VoicedHands:
    """Return both hands for the changes, as asked.

    Raises RequestError where the right hand or the bass has no room, or doubled hands need another bass.
    """
    return voice_in_keys([changes], options)[0]


def voice_in_keys(keys: Sequence[Changes], options: VoicingOptions) -> tuple[VoicedHands, ...]:
    """Return both hands for a drill's changes in each of its keys, the right hand in one shape.

    Raises RequestError as `voice_hands` does.
    """
    if options.texture is Texture.FOUR_PART:
        return _in_four_parts(keys, options)
    leadings = lead_in_keys([changes.chords for changes in keys], options)
    return tuple(
        _with_left_hand(changes, leading, options) for changes, leading in zip(keys, leadings, strict=True)
    )


def _with_left_hand(changes: Changes, leading: VoiceLeading, options: VoicingOptions) -> VoicedHands:
    rights = [Hand(v.pitches, right_fingers(v.pitches)) if v else None for v in leading.voicings]
    lefts: list[_Left | None]
    if options.texture is Texture.DOUBLED:
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
    return VoicedHands(_told(changes.chords, rights, lefts), leading.movement, leading.own_shape)


def _octave_lower(right: Hand) -> Hand:
    lowered = (pitch.octaves_up(-1) for pitch in right.pitches)
    pitches = tuple(pitch for pitch in lowered if pitch.midi < right.pitches[0].midi)
    return Hand(pitches, left_fingers(pitches))


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


def _in_four_parts(keys: Sequence[Changes], options: VoicingOptions) -> tuple[VoicedHands, ...]:
    from tracks.hands.four_part import write_in_keys

    made = []
    writings = write_in_keys([changes.chords for changes in keys], options)
    for changes, writing in zip(keys, writings, strict=True):
        rights = [_upper_hand(parts) if parts else None for parts in writing.chords]
        lefts = _four_part_lefts(writing.chords)
        voices = [parts.pitches[1:] if parts else () for parts in writing.chords]
        told = _told(changes.chords, rights, lefts, voices)
        made.append(VoicedHands(told, writing.movement, writing.own_shape))
    return tuple(made)


def _upper_hand(parts: "FourParts") -> Hand:
    pitches = tuple(dict.fromkeys(parts.pitches[1:]))
    return Hand(pitches, right_fingers(pitches))


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
    before: VoicedChord | None = None
    voices_before: tuple[Pitch, ...] = ()
    for place, (at, right, left, now) in enumerate(zip(chords, rights, lefts, voices, strict=True), start=1):
        last = place == len(chords)
        if right and left:
            played = _with_omits(at, right, left[0])
            said = (what_moves(voices_before, now), *left[1]) if before else ()
            told = VoicedChord(at, *played, said, *_calls(before, *played), last)
            voiced.append(told)
            before, voices_before = told, now
        else:
            voiced.append(VoicedChord(at, last=last))
    return tuple(voiced)


def _with_omits(at: ChordAt, right: Hand, left: Hand) -> tuple[Hand, Hand]:
    """Return both hands with the chord's tones that neither plays."""
    heard = {pitch.tone.chroma for hand in (right, left) for pitch in hand.pitches}
    omits = tuple(tone for tone in at.chord.tones if tone.chroma not in heard) if at.chord else ()
    return Hand(right.pitches, right.fingers, omits), Hand(left.pitches, left.fingers, omits)


def _calls(before: VoicedChord | None, right: Hand, left: Hand) -> tuple[str, tuple[str, ...]]:
    """Return the call of what the right hand's voices do, and of the fingers that change in either hand."""
    if not before or not before.right or not before.left:
        return "", ()
    fingers = (
        finger_call("right", before.right.fingers, right.fingers),
        finger_call("left", before.left.fingers, left.fingers),
    )
    return call(before.right.pitches, right.pitches), tuple(filter(None, fingers))
