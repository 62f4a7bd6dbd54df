"""How a piece ends: the last chord held, slower into it, the last cadence again, or in stop time.

Conventions
- The last chord that sounds is struck once. The hands play it as it was drilled; a bass or a melody plays
  what the style would have begun there; drums end on it. It is held to its end, but in stop time.
- A *ritardando* slows into the last chord, over the fewest bars that have four felt beats, and stays slow on
  it. It is a change of tempo, not of notes: what is written stays as it is.
- A *tag* is the last two bars once more, the last four of twelve bars and over, from further back where that
  would be the last harmony alone. Every part plays again what it played there; the last chord before it
  sounds on where its bar is short.
- In *stop time* the band strikes every chord of the bar before the last chord once and short, rests between,
  and ends on the last chord as short. A melody goes on over it.

Sources: the curve of a ritardando, A. Friberg and J. Sundberg, "Does music performance allude to locomotion?
A model of final ritardandi derived from measurements of stopping runners", Journal of the Acoustical Society
of America 105(3), 1999 (the formula as two public programs that cite it have it; the exponent from memory):
the tempo is (1 + (w^q - 1) x)^(1/q) of what it was, x the share of the notated way, w the last tempo, q = 3.
How far it slows, how long a tag is, and the strokes of a stop: convention.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from tracks.drill.drill import Ending
from tracks.model import Changes, Hand, Marker, Note, PaceFrom, Part, Piece, Role, VoicedChord
from tracks.patterns.drum_kit import last_stroke, stop_stroke
from tracks.patterns.laying import velocity
from tracks.practice.climb import between
from tracks.practice.mixes import part_later
from tracks.style import Brief
from tracks.theory.errors import RequestError
from tracks.theory.meter import Meter, Time

SLOWEST_PACE, CURVE = 0.7, 3
"""The tempo's share on the last chord, and the exponent q."""
SLOWING_BEATS = 4
SHORT_TAG, LONG_TAG, LONG_FROM = 2, 4, 12
"""Bars of a tag, and from how many bars once through it is the long one."""


TEXTS = {Ending.RITARDANDO: "Ritardando", Ending.TAG: "Tag", Ending.STOP: "Stop time"}
"""The marker's text where an ending begins."""
FOR_BANDS = (Ending.TAG, Ending.STOP)
"""The endings that a style without bass and drums has not."""


class Tag(NamedTuple):
    """What is played again: from a bar line to the end of the music, and the bar line that it comes at."""

    start: Time
    end: Time
    at: Time

    @property
    def later(self) -> Time:
        """How much later it is played again."""
        return self.at - self.start


def slows_from(last: Time, meter: Meter) -> Time:
    """Return where a ritardando into a last chord begins; raise RequestError where nothing is before it."""
    if last <= 0:
        raise RequestError("nothing comes before the last chord to slow down", "leave it plain", "ending")
    return max(0, last - -(-SLOWING_BEATS // meter.beats) * meter.bar)


def pace(way: float) -> float:
    """Return the share of the tempo at a share, 0 to 1, of the notated way of a ritardando."""
    share: float = (1 + (SLOWEST_PACE**CURVE - 1) * way) ** (1 / CURVE)
    return share


def slowing(chords: Sequence[VoicedChord], meter: Meter) -> tuple[PaceFrom, ...]:
    """Return the paces of a ritardando: one for every division of a beat, and that of the last chord.

    Raises RequestError where nothing comes before the last chord.
    """
    last, step = _last(chords).at.start, meter.division
    start = slows_from(last, meter)
    slower = (PaceFrom(at, pace((at + step / 2 - start) / (last - start))) for at in range(start, last, step))
    return *slower, PaceFrom(last, SLOWEST_PACE)


def tag(changes: Changes, chords: Sequence[VoicedChord], length: Time) -> Tag:
    """Return the tag of changes whose chords, every time through, have a length.

    Raises RequestError where they are one chord, or one bar.
    """
    bar, pickup = changes.meter.bar, changes.pickup
    bars = -(-(length - pickup) // bar)
    often = LONG_TAG if changes.length - pickup >= LONG_FROM * bar else SHORT_TAG
    first = min(bars - often, (_resolves(chords) - 1 - pickup) // bar)
    if first < 0:
        raise RequestError(
            "nothing comes before the last chord to play again",
            "raise the repeats, or leave it plain",
            "ending",
        )
    return Tag(pickup + first * bar, length, pickup + bars * bar)


def _resolves(chords: Sequence[VoicedChord]) -> Time:
    """Return where the last harmony is reached; of one harmony throughout, where its last chord is struck."""
    last = _last(chords)
    before = [voiced for voiced in chords if voiced.at.start < last.at.start]
    reached = last.at.start
    for voiced in reversed(before):
        if voiced.at.chord != last.at.chord:
            return reached
        reached = voiced.at.start
    return last.at.start


def with_tag(chords: Sequence[VoicedChord], again: Tag, meter: Meter) -> tuple[tuple[VoicedChord, ...], Time]:
    """Return the chords with those of a tag after them, the last that sounds marked, and their length."""
    final = chords[-1]
    heard = [replace(voiced, last=False) for voiced in chords]
    heard[-1] = replace(heard[-1], at=replace(final.at, length=again.at - final.at.start))
    for voiced in from_moment(again.start, chords):
        at = voiced.at
        moved = replace(at, start=at.start + again.later, bar=at.bar + again.later // meter.bar)
        heard.append(replace(voiced, at=moved))
    return tuple(heard), again.end + again.later


def part_with_tag(part: Part, again: Tag, meter: Meter) -> Part:
    """Return a part that plays a tag after what it plays."""
    more = part_later(between(part, again.start, again.end, meter), again.at)
    return replace(part, notes=part.notes + more.notes, hits=part.hits + more.hits)


def from_moment(start: Time, chords: Sequence[VoicedChord]) -> Iterator[VoicedChord]:
    """Yield the chords from a moment on, what is left of one that sounds there."""
    for voiced in chords:
        if voiced.at.start >= start:
            yield voiced
        elif voiced.at.end > start:
            yield replace(voiced, at=replace(voiced.at, start=start, length=voiced.at.end - start))


def stops(chords: Sequence[VoicedChord], meter: Meter, pickup: Time) -> tuple[VoicedChord, ...]:
    """Return the chords that a stop strikes, each from where it is struck; the last is the final one."""
    last = _last(chords)
    line = _line_before(last.at.start, meter, pickup)
    upto = (voiced for voiced in chords if voiced.at.start <= last.at.start and voiced.at.chord)
    return tuple(from_moment(line, tuple(upto)))


def ended(part: Part, chords: Sequence[VoicedChord], brief: Brief, ending: Ending) -> Part:
    """Return a part whose last chord is struck once: held to its end, or after a stop, short."""
    if ending is not Ending.STOP:
        return _struck_once(part, (_last(chords),), brief)
    struck = stops(chords, brief.meter, brief.pickup)
    if part.role is Role.MELODY:
        struck = struck[-1:]
    return _struck_once(part, struck, brief, brief.meter.division)


def marked(
    ending: Ending, chords: Sequence[VoicedChord], meter: Meter, pickup: Time, again: Tag | None
) -> tuple[Marker, ...]:
    """Return the marker where an ending begins; none where the last chord is simply held."""
    if ending is Ending.PLAIN:
        return ()
    last = _last(chords).at.start
    slower = ending is Ending.RITARDANDO
    start = slows_from(last, meter) if slower else _line_before(last, meter, pickup)
    return (Marker(again.at if again else start, TEXTS[ending]),)


def let_go(
    harmonies: tuple[tuple[Time, Time], ...], piece: Piece, ending: Ending
) -> tuple[tuple[Time, Time], ...]:
    """Return when the pedal may be down for each harmony of a written piece: in a stop, only while struck."""
    if ending is not Ending.STOP or not harmonies:
        return harmonies
    line = _line_before(harmonies[-1][0], piece.meter, piece.music_from)
    before = ((start, min(end, line)) for start, end in harmonies if start < line)
    struck = (max(start, line) for start, end in harmonies if end > line)
    return *before, *((start, start + piece.meter.division) for start in struck)


def _line_before(last: Time, meter: Meter, pickup: Time) -> Time:
    """Return the bar line before a moment, or the start of the music."""
    return max(0, pickup + (last - 1 - pickup) // meter.bar * meter.bar)


def _struck_once(part: Part, struck: Sequence[VoicedChord], brief: Brief, most: Time | None = None) -> Part:
    """Return a part that strikes chords once each, `most` ticks long where that is given, and ends there."""
    start = struck[0].at.start
    if part.role is Role.DRUMS:
        before_it = tuple(hit for hit in part.hits if hit.start < start)
        stroke = stop_stroke if most else last_stroke
        return replace(
            part,
            hits=(*before_it, *(hit for each in struck for hit in stroke(each.at.start)))
            if part.hits
            else (),
        )
    if not part.notes:
        return part
    notes = [_cut(note, start) for note in part.notes if note.start < start]
    for voiced in struck:
        notes += _at_once(part, voiced, brief, min(voiced.at.length, most or voiced.at.length))
    return replace(part, notes=tuple(notes))


def _at_once(part: Part, voiced: VoicedChord, brief: Brief, length: Time) -> list[Note]:
    """Return what a part strikes of a chord at its start, for so long."""
    start = voiced.at.start
    # A stroke that anticipates has begun before the chord, and sounds on into it.
    begun = sorted(
        (note for note in part.notes if note.end > start and note.start < voiced.at.end),
        key=lambda note: note.start,
    )
    on_it = [note for note in begun if note.start >= start]
    strength = max((note.velocity for note in on_it[:1]), default=velocity(brief, start))
    hand = {Role.RIGHT: voiced.right, Role.LEFT: voiced.left}.get(part.role)
    together = [note for note in begun if note.start == begun[0].start]
    if hand and _is_its_own(together, hand):
        kept = together
    elif hand:
        fingers = hand.fingers or (None,) * len(hand.pitches)
        return [
            Note(start, length, pitch, strength, finger)
            for pitch, finger in zip(hand.pitches, fingers, strict=True)
        ]
    else:
        kept = _first_that_fits(on_it, voiced)
    return [replace(note, start=start, length=length) for note in kept]


def _is_its_own(together: list[Note], hand: Hand) -> bool:
    """Whether a style voices a chord in its own way: from below the drill's hand, or in two other tones.

    Then it ends so too: not on an inversion above a low bass, nor with a leap to the drill's voicing.
    """
    keys = {note.pitch.midi for note in together}
    own_tones = len({key % 12 for key in keys}) > 1 and not keys <= {pitch.midi for pitch in hand.pitches}
    return own_tones or (bool(keys) and min(keys) < hand.pitches[0].midi)


def _first_that_fits(begun: list[Note], voiced: VoicedChord) -> list[Note]:
    """Return the first note begun on a chord that belongs to it, else the first; none of none."""
    chord = voiced.at.chord
    tones = (*chord.tones, chord.bass) if chord else ()
    fitting = [note for note in begun if note.pitch.tone in tones]
    return (fitting or begun)[:1]


def _cut(note: Note, end: Time) -> Note:
    return note if note.end <= end else replace(note, length=end - note.start)


def _last(chords: Sequence[VoicedChord]) -> VoicedChord:
    for voiced in reversed(chords):
        if voiced.last:
            return voiced
    raise RequestError("no chord sounds that it could end on", "leave it plain", "ending")
