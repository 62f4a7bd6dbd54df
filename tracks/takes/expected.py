"""What a take should be: the notes that a drill asks of the hands, in groups struck together.

Conventions
- Notes are those that are written, without the small chances of feel, but swung where the style swings.
- Positions are felt beats from the start of the piece: 0 is its first moment, pickup or not.
- The hands are the right (a melody where the right hand has no chords) and the left. Band parts are not
  the student's.
- Every chord of the changes, each time through, is an `AskedChord`; its groups are numbered from the first.
- In an echo the student answers each turn of the track with the same notes, a turn later. Where the student
  improvises, in turn with the track or all through, no note is right or wrong: nothing is asked.
"""

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from math import inf

from tracks.drill.drill import Drill, Form, Mix
from tracks.drill.in_key import DrillInKey, beat_of, in_each_key
from tracks.model import Note, Piece, Role, VoicedChord
from tracks.patterns.feel import HANDS_SHARE, swing_ratio, swung
from tracks.practice.arrange import unrolled
from tracks.practice.forms import turn_lines
from tracks.practice.mixes import right_hand
from tracks.practice.played import Played
from tracks.style import Style
from tracks.theory.key import Key
from tracks.theory.meter import Meter, Time
from tracks.theory.numeral_name import numeral_name
from tracks.theory.pitch import Pitch, signs

RIGHT, LEFT = "right", "left"
FREE = (Form.CALL_AND_RESPONSE, Form.TRADING_FOURS, Form.MELODY_OUT)
"""Forms in which the student improvises."""
HANDS: Mapping[str, tuple[str, ...]] = {"both": (RIGHT, LEFT), RIGHT: (RIGHT,), LEFT: (LEFT,)}
"""Which hands a take may be of."""
ALONE: Mapping[str, frozenset[Mix]] = {
    RIGHT: frozenset({Mix.RIGHT_ALONE, Mix.YOU_PLAY_RIGHT}),
    LEFT: frozenset({Mix.LEFT_ALONE, Mix.YOU_PLAY_LEFT}),
}
"""The mixes in which the student plays one hand alone."""


@dataclass(frozen=True, slots=True)
class AskedNote:
    """One note asked for, and the hand that plays it."""

    pitch: Pitch
    hand: str


@dataclass(frozen=True, slots=True)
class Group:
    """Notes written on one moment, low to high; `chord` numbers the chord of the changes it belongs to."""

    beat: float
    notes: tuple[AskedNote, ...]
    chord: int


@dataclass(frozen=True, slots=True)
class AskedChord:
    """A chord of the changes: where it stands as `show` counts, its name, and itself."""

    bar: int
    beat: float
    name: str
    voiced: VoicedChord


@dataclass(frozen=True, slots=True)
class Asked:
    """All that is asked of a take in one key."""

    drill: Drill
    key: Key
    meter: Meter
    groups: tuple[Group, ...]
    chords: tuple[AskedChord, ...]
    hands: str = "both"
    pickup: float = 0.0
    """Felt beats before the first downbeat."""
    steady_to: float = inf
    """The last position at which time is kept: from there on a ritardando is heard note by note alone."""

    def printed(self, text: str) -> str:
        """Return English text, ASCII or with signs, as the drill has its names printed."""
        return self.drill.note_names.printed(signs(text))

    beats: float = 0.0
    """How many felt beats the drill lasts, waiting included."""

    def of_hands(self, hands: str) -> "Asked":
        """Return what is asked of `both` hands, or of the `right` or `left` alone."""
        kept = HANDS[hands]
        groups = (
            replace(group, notes=tuple(note for note in group.notes if note.hand in kept))
            for group in self.groups
        )
        return replace(self, groups=tuple(group for group in groups if group.notes), hands=hands)


def asked_in_each_key(drill: Drill, style: Style) -> Sequence[Asked]:
    """Return what a drill asks in each of its keys.

    Raises RequestError where the drill cannot be read, voiced or played by the style.
    """
    return [_asked(drill, style, in_key) for in_key in in_each_key(drill)]


def _asked(drill: Drill, style: Style, in_key: DrillInKey) -> Asked:
    piece = Played(drill, style, in_key).written(drill.tempos[-1])
    changes, meter = in_key.changes, in_key.changes.meter
    chords = unrolled(changes, in_key.chords, drill.repeats, drill.ending)[1]
    lines = _echoed(drill, piece)
    slower = piece.paces[0].start if piece.paces else None
    if slower is not None and lines:
        slower = _answer(slower, lines)
    return Asked(
        drill,
        in_key.key,
        meter,
        () if drill.form in FREE else tuple(_groups(drill, style, piece, chords, lines)),
        tuple(AskedChord(each.at.bar, beat_of(each, changes), _name(each), each) for each in chords),
        pickup=changes.pickup / meter.beat,
        steady_to=inf if slower is None else slower / meter.beat,
        beats=(2 * lines[-1] - lines[0] if lines else piece.length) / meter.beat,
    )


def _groups(
    drill: Drill, style: Style, piece: Piece, chords: Sequence[VoicedChord], lines: tuple[Time, ...] | None
) -> Iterator[Group]:
    """Yield the notes of the hands, those of a moment together, when the student plays them."""
    roles = {right_hand(piece): RIGHT, Role.LEFT: LEFT}
    notes = [(note, roles[part.role]) for part in piece.parts if part.role in roles for note in part.notes]
    notes.sort(key=lambda each: (each[0].start, each[0].pitch.midi))
    ratio, meter, number = _swing(drill, style, drill.tempos[-1]), piece.meter, 0
    for start, together in groupby(notes, key=lambda each: each[0].start):
        while number < len(chords) - 1 and chords[number].at.end <= start:
            number += 1
        at = start if lines is None else _answer(start, lines)
        if at is not None:
            beat = swung(at, ratio, meter, piece.music_from) / meter.beat
            yield Group(beat, _once(together), number)


def _echoed(drill: Drill, piece: Piece) -> tuple[Time, ...] | None:
    """Return the bar lines at which an echo's turns begin, and the end; None where nothing is echoed."""
    turn = drill.bars_in_turn
    if drill.form is not Form.ECHO or turn is None:
        return None
    lines, bar = turn_lines(piece, turn), piece.meter.bar
    return *lines, lines[0] + -(-(piece.length - lines[0]) // bar) * bar


def _answer(moment: Time, lines: Sequence[Time]) -> Time | None:
    """Return when the student answers what the track plays on a moment: a turn later; a pickup never."""
    place = bisect_right(lines, moment) - 1
    return moment + lines[place + 1] - lines[0] if place >= 0 else None


def _swing(drill: Drill, style: Style, bpm: int) -> float:
    """Return how unevenly the hands divide a beat: 1 is even."""
    feel = style.info.feel
    if not feel or drill.feel is False or (drill.feel is None and not feel.unasked):
        return 1.0
    return 1 + ((feel.swing or swing_ratio(bpm)) - 1) * HANDS_SHARE


def _once(notes: Iterable[tuple[Note, str]]) -> tuple[AskedNote, ...]:
    """Return the notes of a moment, each key of the piano once."""
    found: dict[int, AskedNote] = {}
    for note, hand in notes:
        found.setdefault(note.pitch.midi, AskedNote(note.pitch, hand))
    return tuple(found.values())


def _name(voiced: VoicedChord) -> str:
    """Return a chord's numeral, or its symbol where it has none."""
    chord = voiced.at.chord
    if chord is None:
        return "N.C."
    return numeral_name(chord, voiced.at.key) or chord.symbol
