"""Figures: rhythms written as a line of cells, and the parts they make on voiced chords.

A figure is written one cell after another, with spaces between; `|` may stand anywhere for the eye:

    figure("B A A")                        a waltz: bass on 1, chord on 2 and 3, a cell a beat
    figure("1 3 2 3", per_beat=2)          Alberti: low, high, middle, high in eighth notes
    figure("A - - A - - - -", per_beat=2)  a chord on 1 and on the "and" of 2

Cells
- `A` all the hand's notes; `U` all but the lowest; `T` the top; `1` to `5` counted from the lowest (a hand
  with fewer gives its top note); `8` the lowest an octave higher. A bass player's hand is the chord's tones
  upwards from its bass.
- `B` the bass, which is the hand's lowest note; `F` the bass that alternates with it: the chord's fifth, or
  its root where the bass is another tone.
- What a left hand reaches down for, whatever it was given: `L` the low bass, `M` its alternate, `V` the fifth
  above it, `H` its octave, `O` bass and octave together (see `tracks.patterns.registers`).
- `x` a stroke of a drum; a drum's figure has no other.
- `-` holds what sounds, `.` is a rest. `>` after a cell's letter accents it.

How a figure meets the chords
- It starts at every bar line (a longer one at every second, third ...) and repeats until the next; with
  `anew` it starts again at every chord too, and a longer one counts its bars from the chord's first.
- A chord that enters while a stroke is held strikes again: nothing sounds past its own chord's end.
- What a bass strikes first on a chord is the chord's bass: an alternate, a fifth, an octave gives way there.
- No chord is passed over: where a figure rests all through one, it is struck as it enters, and held.
- In silence nothing is struck. A pickup takes the end of a bar.
- A beat is the felt beat, so one figure serves 2/4 and 6/8, 4/4 and 12/8.

Loudness is even but for accents; the weight of a moment is played where a part is with_feel (`feel`).
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from tracks.hands.fingering import left_fingers, right_fingers
from tracks.model import ACOUSTIC_GRAND_PIANO, ChordAt, Hand, Hit, Note, Part, Role, VoicedChord
from tracks.patterns.registers import BASS_PLAYER, LEFT_HAND, Fingered, alternate_bass, bass_hand, reached
from tracks.style import Brief
from tracks.theory.errors import RequestError
from tracks.theory.meter import Meter, Time

EVERYDAY_METERS: tuple[Meter, ...] = (
    *(Meter(beats, 4) for beats in (4, 3, 2, 5, 6, 7)),
    *(Meter(beats, 8) for beats in (6, 9, 12, 3, 4, 5, 7, 8)),
    *(Meter(beats, 2) for beats in (2, 3, 4)),
    *(Meter(beats, 16) for beats in (6, 9, 12)),
)
"""The meters of a style that any bar suits."""

FULL_VOLUME, BASS_VOLUME = 100, 80
"""Volumes of a hand and of a bass player, whom a sound set makes much the louder (measured on one)."""

_SHORTEST_BEAT = Meter(1, 16).beat

_ALTERNATE_BETWEEN = {Role.LEFT: LEFT_HAND, Role.BASS: BASS_PLAYER}
_HAND_CELLS = {"A": slice(None), "U": slice(1, None), "T": slice(-1, None), "B": slice(1)}
_REACHED = "LMVHO"
_FIRST_ON_CHORD = {"F": "B", "M": "L", "V": "L", "H": "L"}
_CELLS = frozenset((*_HAND_CELLS, *"123458", *_REACHED, "F", "x"))
_MOST_FINGERED = 4

_DOWNBEAT, _HALF_BAR, _OFF_BEAT, _ACCENT = 8, 4, -6, 12


@dataclass(frozen=True, slots=True)
class Stroke:
    """One stroke of a figure: its first cell, how many cells it lasts, what it strikes."""

    cell: int
    cells: int
    strikes: str
    accented: bool = False


@dataclass(frozen=True, slots=True)
class Figure:
    """A rhythm: `cells` in all, `per_beat` of them to a felt beat; `anew` starts it again at every chord."""

    strokes: tuple[Stroke, ...]
    cells: int
    per_beat: int = 1
    anew: bool = False


@lru_cache(maxsize=256)
def figure(text: str, per_beat: int = 1, anew: bool = False) -> Figure:
    """Return the figure of a line of cells (see the module).

    Raises RequestError for a cell that means nothing.
    """
    cells = [cell for cell in text.split() if cell != "|"]
    strokes: list[Stroke] = []
    for place, cell in enumerate(cells):
        strikes = cell.removesuffix(">")
        if cell == "-" and strokes and strokes[-1].cell + strokes[-1].cells == place:
            strokes[-1] = replace(strokes[-1], cells=strokes[-1].cells + 1)
        elif strikes in _CELLS:
            strokes.append(Stroke(place, 1, strikes, accented=cell != strikes))
        elif cell != ".":
            raise RequestError(f"figure {text!r}: cell {place + 1}, {cell!r}, means nothing there")
    if not strokes:
        raise RequestError(f"figure {text!r}: it strikes nothing")
    if per_beat < 1 or _SHORTEST_BEAT % per_beat:
        raise RequestError(f"figure {text!r}: {per_beat} cells do not divide a beat evenly")
    return Figure(tuple(strokes), len(cells), per_beat, anew)


def held(meter: Meter, strikes: str = "A") -> Figure:
    """Return the figure that strikes at each bar line, and at each chord, and holds."""
    return figure(strikes + " -" * (meter.beats - 1))


def lay(
    brief: Brief,
    role: Role,
    *figures: Figure,
    loudness: int = 76,
    early: Time = 0,
    program: int = ACOUSTIC_GRAND_PIANO,
) -> Part:
    """Return the part of a hand or a bass that plays figures, one over another, on the brief's chords.

    The right hand takes the chord's right hand, a bass the chord's tones in its register, every other role
    the left hand. `loudness` is the velocity of a stroke without accent. `early` is how many ticks bar lines
    and chords come early for this part, as a push does; the first chord, and one after silence, stay.
    """
    notes = []
    # A chord that comes again is the same object: what its cells strike is worked out once.
    known: dict[tuple[int, ...], dict[str, tuple[Fingered, ...]]] = {}
    for voiced, start, end in _entering(brief, early):
        hand = _hand(voiced, role)
        if hand is None:
            continue
        for each in figures:
            struck = known.setdefault((id(voiced.right), id(voiced.left), id(voiced.at.chord), id(each)), {})
            for sounds, ends, stroke in _on_chord(each, brief.meter, brief.pickup - early, start, end):
                cell = stroke.strikes
                if cell not in struck:
                    struck[cell] = _chosen(cell, voiced, hand, role, each)
                strength = min(127, loudness + _ACCENT * stroke.accented)
                notes += [
                    Note(sounds, ends - sounds, pitch, strength, finger) for pitch, finger in struck[cell]
                ]
    volume = BASS_VOLUME if role is Role.BASS else FULL_VOLUME
    return Part(role, without_overlap(notes), program=program, volume=volume)


def drum(brief: Brief, rows: dict[int, Figure], loudness: int = 76) -> Part:
    """Return the drums that play one figure for each General MIDI percussion key, chords or none."""
    hits = [
        Hit(start, key, min(127, loudness + _ACCENT * stroke.accented))
        for key, each in rows.items()
        for start, _, stroke in _strokes(each, brief.meter, brief.pickup, 0, brief.length)
    ]
    return Part(Role.DRUMS, hits=tuple(sorted(hits, key=lambda hit: (hit.start, hit.key))))


def beats(brief: Brief, at: ChordAt) -> tuple[tuple[Time, Time], ...]:
    """Return the start and end of each felt beat of a chord; one cut by the chord keeps what is left."""
    beat = brief.meter.beat
    first = at.start - (at.start - brief.pickup) % beat
    return tuple((max(on, at.start), min(on + beat, at.end)) for on in range(first, at.end, beat))


def weight(meter: Meter, since_downbeat: Time) -> int:
    """Return how much louder a moment is than a plain beat, in steps of velocity (convention).

    The downbeat is strongest, then the middle of a bar of four beats or more, the other beats, and
    what lies between them.
    """
    place = since_downbeat % meter.bar
    if place == 0:
        return _DOWNBEAT
    if meter.beats >= 4 and 2 * place == meter.bar:
        return _HALF_BAR
    return _OFF_BEAT if place % meter.beat else 0


def velocity(brief: Brief, at: Time, loudness: int = 76) -> int:
    """Return the velocity at a moment, 1 to 127: a beat's loudness and the moment's weight in the bar."""
    return max(1, min(127, loudness + weight(brief.meter, at - brief.pickup)))


def without_overlap(notes: list[Note]) -> tuple[Note, ...]:
    """Return the notes in order of time and pitch, each ended where its own key is struck again.

    Of two on one key at one moment the longer stays.
    """
    ordered = sorted(
        [(note.start, note.pitch.midi, -note.length, number) for number, note in enumerate(notes)]
    )
    kept: list[Note] = []
    latest: dict[int, int] = {}
    for start, key, _, number in ordered:
        place = latest.get(key)
        if place is not None:
            before = kept[place]
            if before.start == start:
                continue
            if before.start + before.length > start:
                kept[place] = replace(before, length=start - before.start)
        latest[key] = len(kept)
        kept.append(notes[number])
    return tuple(kept)


def _entering(brief: Brief, early: Time) -> list[tuple[VoicedChord, Time, Time]]:
    """Return each chord with its start and end, early where a sounding chord goes before."""
    starts = []
    before: VoicedChord | None = None
    for voiced in brief.chords:
        pushes = before and before.at.chord and before.at.length > early
        starts.append(voiced.at.start - early if pushes else voiced.at.start)
        before = voiced
    return list(zip(brief.chords, starts, [*starts[1:], brief.length], strict=True))


def _on_chord(
    each: Figure, meter: Meter, downbeat: Time, start: Time, end: Time
) -> Iterator[tuple[Time, Time, Stroke]]:
    """Yield the strokes of a chord: its bass first where a bass is struck, and one at the least."""
    first = True
    for sounds, ends, stroke in _strokes(each, meter, downbeat, start, end):
        if first and stroke.strikes in _FIRST_ON_CHORD:
            stroke = replace(stroke, strikes=_FIRST_ON_CHORD[stroke.strikes])
        first = False
        yield sounds, ends, stroke
    if first:
        yield start, end, replace(each.strokes[0], accented=False)


def _strokes(
    each: Figure, meter: Meter, downbeat: Time, start: Time, end: Time
) -> Iterator[tuple[Time, Time, Stroke]]:
    """Yield start, end and stroke for all that a figure sounds between two moments, cut to fit there."""
    cell = meter.beat // each.per_beat
    length = cell * each.cells
    for begin, stop in _segments(length, each.anew, meter.bar, downbeat, start, end):
        for turn in range(begin, stop, length):
            for stroke in each.strokes:
                sounds = max(turn + cell * stroke.cell, start)
                ends = min(turn + cell * (stroke.cell + stroke.cells), stop)
                if sounds < ends:
                    yield sounds, ends, stroke


def _segments(
    length: Time, anew: bool, bar: Time, downbeat: Time, start: Time, end: Time
) -> Iterator[tuple[Time, Time]]:
    """Yield where a figure begins, and up to where it repeats from there."""
    period = -(-length // bar) * bar
    first = start - (start - downbeat) % period
    if anew:
        first = start + (downbeat - start) % bar
        if start < first:
            yield start, min(first, end)
    for begin in range(first, end, period):
        yield begin, min(begin + period, end)


def _hand(voiced: VoicedChord, role: Role) -> Hand | None:
    if role is Role.BASS:
        return bass_hand(voiced)
    return voiced.right if role is Role.RIGHT else voiced.left


def _chosen(
    strikes: str, voiced: VoicedChord, hand: Hand, role: Role, within: Figure
) -> tuple[Fingered, ...]:
    """Return the pitches that a cell strikes, each with its finger where the hand knows it."""
    if strikes == "x":
        raise RequestError(
            f"a drum's figure was laid on the {role.value}; write A, B or another of the hand's cells"
        )
    if strikes in _REACHED:
        return reached(voiced)[strikes]
    if strikes == "F":
        low, high = _ALTERNATE_BETWEEN.get(role, (0, 127))
        pitch = alternate_bass(voiced, hand.pitches[0], low, high)
        return ((pitch, hand.fingers[0] if hand.fingers and pitch == hand.pitches[0] else None),)
    fingered = _spread(hand, role) if any(s.strikes == "8" for s in within.strokes) else _as_struck(hand)
    if strikes == "8":
        return fingered[-1:]
    fingered = fingered[: len(hand.pitches)]
    if strikes in _HAND_CELLS:
        return fingered[_HAND_CELLS[strikes]] or fingered
    return (fingered[min(int(strikes), len(fingered)) - 1],)


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
