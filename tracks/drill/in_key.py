"""A drill's progression worked out in one key, for both hands, ready to show or to play."""

from dataclasses import dataclass

from tracks.drill.drill import Drill, Start
from tracks.hands.both import voice_in_keys
from tracks.hands.inversion import inversion
from tracks.model import Changes, Hand, Texture, VoicedChord
from tracks.progression.changes import key_written_in, realize
from tracks.progression.music import parse
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import Meter, Time


@dataclass(frozen=True, slots=True)
class DrillInKey:
    """The voiced chords of a drill in a key; `movement` is the right hand's total, in semitones.

    `written_in` is the key that the drill's text was written in, where it was transposed from one;
    `own_shape` says that the hand has no room here for the shape of the drill's other keys.
    """

    key: Key
    changes: Changes
    chords: tuple[VoicedChord, ...]
    movement: int
    written_in: Key | None = None
    own_shape: bool = False


def in_each_key(drill: Drill) -> tuple[DrillInKey, ...]:
    """Return the drill's progression in each of its keys.

    Raises RequestError where it cannot be read or played: at an option, else at the progression.
    """
    try:
        progression = parse(drill.progression, drill.meter)
        written_in = key_written_in(progression, drill.written_in)
        changes = [realize(progression, key, drill.written_in) for key in drill.keys]
        hands = voice_in_keys(changes, drill.voicing)
    except RequestError as fault:
        placed = fault if fault.place else fault.at("progression")
        raise placed.worded(drill.note_names.printed) from fault
    return tuple(
        DrillInKey(
            key, here, told.chords, told.movement, written_in if written_in != key else None, told.own_shape
        )
        for key, here, told in zip(drill.keys, changes, hands, strict=True)
    )


def first_position(drill: Drill, in_key: DrillInKey) -> int:
    """Return which inversion the right hand starts in: as asked, else root, and in four parts as it does."""
    if drill.start or drill.texture is not Texture.FOUR_PART:
        return list(Start).index(drill.start or Start.ROOT)
    opening = next((voiced for voiced in in_key.chords if voiced.at.chord and voiced.right), None)
    if not opening or not opening.at.chord or not opening.right:
        return 0
    return inversion(opening.at.chord, opening.right.pitches[0].tone) or 0


def record(in_key: DrillInKey) -> dict[str, object]:
    """Return what `show --json` prints: ASCII names, beats in felt beats, counted from 1."""
    keys_change = any(voiced.at.key != in_key.key for voiced in in_key.chords)
    return {
        "key": in_key.key.name,
        "meter": str(in_key.changes.meter),
        "movement": in_key.movement,
        "chords": [_chord_record(voiced, in_key.changes, keys_change) for voiced in in_key.chords],
    }


def beat_of(voiced: VoicedChord, changes: Changes) -> float:
    """Return the felt beat of its bar on which a chord begins, counted from 1; a pickup's first is 1."""
    meter, start = changes.meter, voiced.at.start
    into_bar = (start - changes.pickup) % meter.bar if start >= changes.pickup else start
    return 1 + _beats(into_bar, meter)


def _beats(length: Time, meter: Meter) -> float:
    whole, rest = divmod(length, meter.beat)
    return whole + round(rest / meter.beat, 6) if rest else whole


def _chord_record(voiced: VoicedChord, changes: Changes, keys_change: bool) -> dict[str, object]:
    at, chord = voiced.at, voiced.at.chord
    return {
        "bar": at.bar,
        "beat": beat_of(voiced, changes),
        "beats": _beats(at.length, changes.meter),
        **({"key": at.key.name} if keys_change else {}),
        "numeral": chord.numeral if chord else None,
        "symbol": chord.symbol if chord else None,
        "tones": [tone.name for tone in chord.named_tones] if chord else [],
        "bass": chord.bass.name if chord else None,
        "inversion": inversion(chord, voiced.right.pitches[0].tone) if chord and voiced.right else None,
        "right": _hand_record(voiced.right),
        "left": _hand_record(voiced.left),
        "moves": list(voiced.moves),
        "call": voiced.call,
        **({"finger_call": ", ".join(voiced.finger_calls)} if voiced.finger_calls else {}),
    }


def _hand_record(hand: Hand | None) -> dict[str, object]:
    hand = hand or Hand((), ())
    return {
        "notes": [pitch.name for pitch in hand.pitches],
        "midi": [pitch.midi for pitch in hand.pitches],
        "fingers": list(hand.fingers),
        "omits": [tone.name for tone in hand.omits],
    }
