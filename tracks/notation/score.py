"""The score: one time through a piece, bar by bar, as it is to be written on a grand staff.

Conventions
- Times are ticks from the start of the music or its pickup; there is no count-in on paper.
- The right hand and the melody stand on the upper staff, the left hand on the lower; bass, drums and click
  are not the player's and are left out.
- A signature changes at the bar line from which the new key holds; a key that enters inside a bar waits for
  the next bar line.
- A bar that is the student's to fill stands empty, without a rest, where the turn leaves its staff silent.
- Fingers are written at every chord of the changes, and after that where a key is struck with a finger that
  this chord has not shown yet.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from tracks.model import Changes, Note, Part, Role, VoicedChord
from tracks.notation.accidentals import with_accidentals
from tracks.notation.values import Tuplet, Value, can_be_written, cut, cut_in_tuplet, tuplet_of
from tracks.notation.voices import Struck, voices
from tracks.notation.words import for_paper
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import Meter, Time
from tracks.theory.note_names import NoteNames
from tracks.theory.numeral_name import numeral_name
from tracks.theory.pitch import Pitch

STAVES = ((Role.RIGHT, Role.MELODY), (Role.LEFT,))
"""The roles of the upper staff and of the lower."""

YOUR_TURN, LISTEN = "your turn", "listen"
"""Whose a turn is, in words over its first bar."""

_HIGHEST_IN_BASS = 64  # E4, on the second ledger line: where most notes lie above it, the treble reads better


@dataclass(frozen=True, slots=True)
class Event:
    """A chord, a note or (without pitches) a rest; `value` is None for the rest of a whole bar.

    `shown` tells for each pitch whether its accidental is written. `tied_on` ties all its notes to the next
    event of the voice, `tied_in` to the one before. A hidden rest only takes its time. `mark` stands under a
    note of a tune that is explained.
    """

    start: Time
    value: Value | None
    pitches: tuple[Pitch, ...] = ()
    shown: tuple[bool, ...] = ()
    fingers: tuple[int, ...] = ()
    tied_in: bool = False
    tied_on: bool = False
    hidden: bool = False
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar: for each staff, the upper first, its one or two voices.

    `turn` is said where a turn begins, YOUR_TURN or LISTEN, "" elsewhere. `figures` say what of a tune begins
    in it, and when.
    """

    number: int
    start: Time
    length: Time
    key: Key
    staves: tuple[tuple[tuple[Event, ...], ...], ...]
    turn: str = ""
    figures: tuple[tuple[Time, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Score:
    """A grand staff. `chords` are the changes, `numerals` their numerals as people read them, "" for none.

    The first numeral in a new key names it, as in `G: V7`. `treble` tells each staff's clef. Words
    are printed in `names`.
    """

    title: str
    meter: Meter
    bars: tuple[Bar, ...]
    chords: tuple[VoicedChord, ...]
    numerals: tuple[str, ...]
    treble: tuple[bool, ...]
    names: NoteNames = NoteNames.ENGLISH

    @property
    def symbols(self) -> tuple[str, ...]:
        """The chord symbols as people read them, N.C. for silence."""
        chords = (voiced.at.chord for voiced in self.chords)
        return tuple(self.names.printed(for_paper(chord.symbol)) if chord else "N.C." for chord in chords)

    def chords_of(self, bar: Bar) -> tuple[tuple[VoicedChord, str, str], ...]:
        """Return the chords that begin in a bar, each with its symbol and its numeral."""
        return tuple(
            told
            for told in zip(self.chords, self.symbols, self.numerals, strict=True)
            if bar.start <= told[0].at.start < bar.start + bar.length
        )


def score(
    title: str,
    changes: Changes,
    chords: tuple[VoicedChord, ...],
    parts: Iterable[Part],
    turns: Mapping[Time, str] | None = None,
    names: NoteNames = NoteNames.ENGLISH,
) -> Score:
    """Return the score of parts that play the changes, the first time through of whatever they repeat.

    The parts begin as the changes do: without a count-in. `turns` are the bar lines where one begins, and
    whose it is: YOUR_TURN or LISTEN. `names` are those that its words are printed in.

    Raises RequestError for a short first or last bar of a length that no note values add up to.
    """
    _check_short_bars(changes)
    turns = turns or {}
    parts = tuple(parts)
    fingered = tuple(
        _staff_voices([note for part in parts if part.role in roles for note in part.notes], changes, chords)
        for roles in STAVES
    )
    bars = []
    ringing: list[dict[int, int]] = [{} for _ in STAVES]
    for number, start, length in _bar_lines(changes):
        key = _key_at(start, changes)
        staves = []
        for place, staff in enumerate(fingered):
            layers = _layers(staff, start, length, changes, is_yours=not place and _is_yours(start, turns))
            shown, ringing[place] = with_accidentals(layers, key, ringing[place])
            staves.append(shown)
        bars.append(Bar(number, start, length, key, tuple(staves), turns.get(start, "")))
    treble = (True, _sits_high(fingered[1]))
    return Score(title, changes.meter, tuple(bars), chords, _numerals(chords, names), treble, names)


def _check_short_bars(changes: Changes) -> None:
    for length in (changes.pickup, changes.length - changes.pickup):
        if not can_be_written(length, changes.meter):
            beats = length % changes.meter.bar / changes.meter.beat
            raise RequestError(
                f"a short bar of {beats:.5g} beats cannot be written in notes",
                "mend the length of the piece's first or last bar, or leave out the sheet",
            )


def _bar_lines(changes: Changes) -> Iterator[tuple[int, Time, Time]]:
    """Yield number, start and length of each bar; a pickup is bar 0."""
    if changes.pickup:
        yield 0, 0, changes.pickup
    for number, start in enumerate(range(changes.pickup, changes.length, changes.meter.bar), start=1):
        yield number, start, min(changes.meter.bar, changes.length - start)


def _key_at(start: Time, changes: Changes) -> Key:
    return next((at.key for at in changes.chords if at.start <= start < at.end), changes.chords[-1].key)


def _is_yours(start: Time, turns: Mapping[Time, str]) -> bool:
    begun = [turn for turn in turns if turn <= start]
    return bool(begun) and turns[max(begun)] == YOUR_TURN


def _sits_high(staff: tuple[tuple[Struck, ...], ...]) -> bool:
    """Whether most notes of a lower staff lie above what the bass clef is read well up to."""
    pitches = [pitch.midi for voice in staff for chord in voice for pitch in chord.pitches]
    return sum(midi > _HIGHEST_IN_BASS for midi in pitches) > len(pitches) / 2


def _staff_voices(
    notes: list[Note], changes: Changes, chords: tuple[VoicedChord, ...]
) -> tuple[tuple[Struck, ...], ...]:
    """Return the staff's voices with only the fingers that are to be written."""
    starts = [voiced.at.start for voiced in chords]
    told: dict[int, set[tuple[int, int]]] = {}
    fingered = []
    for voice in voices(notes, changes.meter, changes.pickup, changes.length):
        shown = []
        for struck in voice:
            chord = sum(start <= struck.start for start in starts)
            already = told.setdefault(chord, set())
            pairs = {(p.midi, f) for p, f in zip(struck.pitches, struck.fingers, strict=False)}
            shown.append(struck if pairs - already else replace(struck, fingers=()))
            already |= pairs
        fingered.append(tuple(shown))
    return tuple(fingered)


def _numerals(chords: tuple[VoicedChord, ...], names: NoteNames) -> tuple[str, ...]:
    numerals = []
    key = chords[0].at.key if chords else None
    for voiced in chords:
        chord = voiced.at.chord
        numeral = for_paper(numeral_name(chord, voiced.at.key)) if chord else ""
        if numeral and voiced.at.key != key:
            key = voiced.at.key
            tonic = for_paper(key.tonic.name)
            tonic = names.printed(f"{tonic.lower() if key.is_minor else tonic}:")
            numeral = f"{tonic} {numeral}"
        numerals.append(numeral)
    return tuple(numerals)


# One bar of one staff.


def _layers(
    staff: tuple[tuple[Struck, ...], ...], start: Time, length: Time, changes: Changes, is_yours: bool
) -> tuple[tuple[Event, ...], ...]:
    """Return the voices of a staff that sound in a bar; the whole rest where none does, hidden if yours."""
    inside = [
        [struck for struck in voice if struck.start < start + length and struck.end > start]
        for voice in staff
    ]
    sounding = [voice for voice in inside if voice]
    if not sounding:
        return ((Event(start, None, hidden=is_yours),),)
    if len(sounding) == 1:
        return (tuple(_voice(sounding[0], [], start, length, changes)),)
    upper, lower = inside
    return (
        tuple(_voice(upper, lower, start, length, changes)),
        tuple(_voice(lower, upper, start, length, changes)),
    )


def _voice(
    voice: list[Struck], other: list[Struck], start: Time, length: Time, changes: Changes
) -> Iterator[Event]:
    """Yield a voice's events through a bar; its rests are hidden where the other voice sounds."""
    meter = changes.meter
    zero = changes.pickup - meter.bar if start < changes.pickup else start
    tuplets = _tuplets(voice, zero, start + length, meter)
    for struck in _with_rests(voice, start, start + length):
        begin, end = max(struck.start, start), min(struck.end, start + length)
        pieces = list(_pieces(begin - zero, end - zero, tuplets, meter, not struck.pitches))
        for place, (at, value) in enumerate(pieces):
            last = place == len(pieces) - 1
            at += zero
            yield Event(
                at,
                value,
                struck.pitches,
                fingers=struck.fingers if at == struck.start else (),
                tied_in=bool(struck.pitches) and at > struck.start,
                tied_on=bool(struck.pitches) and (not last or struck.end > end),
                hidden=not struck.pitches and any(o.start < at + value.length and o.end > at for o in other),
            )


def _with_rests(voice: list[Struck], start: Time, end: Time) -> Iterator[Struck]:
    now = start
    for struck in voice:
        if struck.start > now:
            yield Struck(now, struck.start, ())
        yield struck
        now = struck.end
    if now < end:
        yield Struck(now, end, ())


def _tuplets(voice: list[Struck], zero: Time, end: Time, meter: Meter) -> tuple[Tuplet, ...]:
    edges = {max(zero, 0), end}  # a pickup may begin, and the last bar end, inside a tuplet
    times = edges.union(*((struck.start, struck.end) for struck in voice))
    positions = {time - zero for time in times}
    beats = range(0, end - zero, meter.beat)
    return tuple(tuplet for beat in beats if (tuplet := tuplet_of(beat, positions, meter)))


def _pieces(
    start: Time, end: Time, tuplets: tuple[Tuplet, ...], meter: Meter, is_rest: bool
) -> Iterator[tuple[Time, Value]]:
    """Yield the written pieces of a stretch of a bar, cut at the ends of every tuplet that it meets."""
    while start < end:
        inside = next((t for t in tuplets if t.start <= start < t.start + t.length), None)
        if inside:
            stop = min(end, inside.start + inside.length)
            yield from cut_in_tuplet(start, stop, inside)
        else:
            stop = min([end, *(t.start for t in tuplets if t.start > start)])
            yield from cut(start, stop, meter, is_rest)
        start = stop
