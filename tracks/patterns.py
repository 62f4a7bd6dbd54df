"""The rhythm tools that styles share: figures, written as a line of cells, and the parts they make.

A figure is written one cell after another, with spaces between; `|` may stand anywhere for the eye:

    figure("B A A")                        a waltz: bass on 1, chord on 2 and 3, a cell a beat
    figure("1 3 2 3", per_beat=2)          Alberti: low, high, middle, high in eighth notes
    figure("A - - A - - - -", per_beat=2)  a chord on 1 and on the "and" of 2

Cells
- `A` all the hand's notes; `U` all but the lowest; `T` the top; `1` to `5` counted from the lowest (a hand
  with fewer gives its top note).
- `B` the bass, which is the hand's lowest note; `F` the bass that alternates with it: the chord's fifth, or
  its root where the bass is another tone.
- `x` a stroke of a drum; a drum's figure has no other.
- `-` holds what sounds, `.` is a rest. `>` after a cell's letter accents it.

How a figure meets the chords
- It starts at every bar line (a longer one at every second, third ...) and repeats until the next; with
  `anew` it starts again at every chord too.
- A chord that enters while a stroke is held strikes again: nothing sounds past its own chord's end.
- In silence nothing is struck. A pickup takes the end of a bar.
- A beat is the felt beat, so one figure serves 2/4 and 6/8, 4/4 and 12/8.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from tracks.model import ChordAt, Hand, Hit, Note, Part, Role, VoicedChord
from tracks.style import Brief
from tracks.theory.fault import Fault
from tracks.theory.meter import Meter, Time
from tracks.theory.pitch import Pitch

EVERYDAY_METERS: tuple[Meter, ...] = (
    *(Meter(beats, 4) for beats in (4, 3, 2, 5, 6, 7)),
    *(Meter(beats, 8) for beats in (6, 9, 12, 3, 4, 5, 7, 8)),
    *(Meter(beats, 2) for beats in (2, 3, 4)),
    *(Meter(beats, 16) for beats in (6, 9, 12)),
)
"""The meters of a style that any bar suits."""

_SHORTEST_BEAT = Meter(1, 16).beat

# A left-hand bass alternates between these MIDI numbers, E2 to E4; a bass part between E1 and G3.
_ALTERNATE_BETWEEN = {Role.LEFT: (40, 64), Role.BASS: (28, 55)}
_HAND_CELLS = {"A": slice(None), "U": slice(1, None), "T": slice(-1, None), "B": slice(1)}
_CELLS = frozenset((*_HAND_CELLS, *"12345", "F", "x"))

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
    """Return the figure of a line of cells (see the module); raise Fault for a cell that means nothing."""
    cells = [cell for cell in text.split() if cell != "|"]
    strokes: list[Stroke] = []
    for place, cell in enumerate(cells):
        strikes = cell.removesuffix(">")
        if cell == "-" and strokes and strokes[-1].cell + strokes[-1].cells == place:
            strokes[-1] = replace(strokes[-1], cells=strokes[-1].cells + 1)
        elif strikes in _CELLS:
            strokes.append(Stroke(place, 1, strikes, accented=cell != strikes))
        elif cell != ".":
            raise Fault(f"figure {text!r}: cell {place + 1}, {cell!r}, means nothing there")
    if not strokes:
        raise Fault(f"figure {text!r}: it strikes nothing")
    if per_beat < 1 or _SHORTEST_BEAT % per_beat:
        raise Fault(f"figure {text!r}: {per_beat} cells do not divide a beat evenly")
    return Figure(tuple(strokes), len(cells), per_beat, anew)


def held(meter: Meter, strikes: str = "A") -> Figure:
    """Return the figure that strikes at each bar line, and at each chord, and holds."""
    return figure(strikes + " -" * (meter.beats - 1))


def lay(brief: Brief, role: Role, *figures: Figure, loudness: int = 76) -> Part:
    """Return the part of a hand or a bass that plays figures, one over another, on the brief's chords.

    The right hand takes the chord's right hand, every other role its left. `loudness` is the velocity
    of a beat that is not stressed.
    """
    notes = []
    for voiced in brief.chords:
        hand = voiced.right if role is Role.RIGHT else voiced.left
        if hand is None:
            continue
        for each in figures:
            struck = {s.strikes: _chosen(s.strikes, voiced, hand, role) for s in each.strokes}
            for start, end, stroke in _strokes(each, brief, voiced.at.start, voiced.at.end):
                strength = velocity(brief, start, loudness + _ACCENT * stroke.accented)
                notes += [
                    Note(start, end - start, pitch, strength, finger)
                    for pitch, finger in struck[stroke.strikes]
                ]
    return Part(role, without_overlap(notes))


def drum(brief: Brief, rows: dict[int, Figure], loudness: int = 76) -> Part:
    """Return the drums that play one figure for each General MIDI percussion key, chords or none."""
    hits = [
        Hit(start, key, velocity(brief, start, loudness + _ACCENT * stroke.accented))
        for key, each in rows.items()
        for start, _, stroke in _strokes(each, brief, 0, brief.length)
    ]
    return Part(Role.DRUMS, hits=tuple(sorted(hits, key=lambda hit: (hit.start, hit.key))))


def beats(brief: Brief, at: ChordAt) -> tuple[tuple[Time, Time], ...]:
    """Return the start and end of each felt beat of a chord; one cut by the chord keeps what is left."""
    beat = brief.meter.beat
    first = at.start - (at.start - brief.pickup) % beat
    return tuple((max(on, at.start), min(on + beat, at.end)) for on in range(first, at.end, beat))


def velocity(brief: Brief, at: Time, loudness: int = 76) -> int:
    """Return the velocity at a moment, 1 to 127, by its weight in the bar (common practice).

    The downbeat is strongest, then the middle of a bar of four beats or more, the other beats, and
    what lies between them.
    """
    meter = brief.meter
    place = (at - brief.pickup) % meter.bar
    if place == 0:
        loudness += _DOWNBEAT
    elif meter.beats >= 4 and 2 * place == meter.bar:
        loudness += _HALF_BAR
    elif place % meter.beat:
        loudness += _OFF_BEAT
    return max(1, min(127, loudness))


def without_overlap(notes: list[Note]) -> tuple[Note, ...]:
    """Return the notes in order of time and pitch, each ended where its own key is struck again.

    Of two on one key at one moment the longer stays.
    """
    ordered = sorted(notes, key=lambda note: (note.start, note.pitch.midi, -note.length))
    kept: list[Note] = []
    latest: dict[int, int] = {}
    for note in ordered:
        place = latest.get(note.pitch.midi)
        if place is not None and kept[place].start == note.start:
            continue
        if place is not None and kept[place].end > note.start:
            kept[place] = replace(kept[place], length=note.start - kept[place].start)
        latest[note.pitch.midi] = len(kept)
        kept.append(note)
    return tuple(kept)


def alternate_bass(voiced: VoicedChord, bass: Pitch, low: int, high: int) -> Pitch:
    """Return the bass that alternates with a chord's bass: the nearest fifth, or root, below the right hand.

    It lies between the MIDI numbers `low` and `high`; of two as near the lower is taken, and where none
    fits the bass itself.
    """
    chord = voiced.at.chord
    if chord is None:
        return bass
    tone = chord.factor(5) if bass.tone == chord.root else chord.root
    if tone is None:
        return bass
    if voiced.right:
        high = min(high, voiced.right.pitches[0].midi - 1)
    options = []
    pitch = Pitch.at_or_above(tone, low)
    while pitch.midi <= high:
        options.append(pitch)
        pitch = pitch.octaves_up(1)
    return min(options, key=lambda option: abs(option.midi - bass.midi), default=bass)


def _strokes(each: Figure, brief: Brief, start: Time, end: Time) -> Iterator[tuple[Time, Time, Stroke]]:
    """Yield start, end and stroke for all that a figure sounds between two moments, cut to fit there."""
    cell = brief.meter.beat // each.per_beat
    length = cell * each.cells
    period = -(-length // brief.meter.bar) * brief.meter.bar
    first = start - (start - brief.pickup) % period
    for begin in range(first, end, period):
        stop = min(begin + period, end)
        for turn in range(max(begin, start) if each.anew else begin, stop, length):
            for stroke in each.strokes:
                sounds = max(turn + cell * stroke.cell, start)
                ends = min(turn + cell * (stroke.cell + stroke.cells), stop)
                if sounds < ends:
                    yield sounds, ends, stroke


def _chosen(
    strikes: str, voiced: VoicedChord, hand: Hand, role: Role
) -> tuple[tuple[Pitch, int | None], ...]:
    """Return the pitches that a cell strikes, each with its finger where the hand knows it."""
    fingers = hand.fingers if len(hand.fingers) == len(hand.pitches) else (None,) * len(hand.pitches)
    fingered = tuple(zip(hand.pitches, fingers, strict=True))
    if strikes in _HAND_CELLS:
        return fingered[_HAND_CELLS[strikes]] or fingered
    if strikes == "F":
        low, high = _ALTERNATE_BETWEEN.get(role, (0, 127))
        pitch = alternate_bass(voiced, hand.pitches[0], low, high)
        return ((pitch, hand.fingers[0] if hand.fingers and pitch == hand.pitches[0] else None),)
    if strikes == "x":
        raise Fault(
            f"a drum's figure was laid on the {role.value}; write A, B or another of the hand's cells"
        )
    return (fingered[min(int(strikes), len(fingered)) - 1],)
