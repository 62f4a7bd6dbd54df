"""Phrases and rhythm: where the notes of a tune stand, before any pitch is chosen.

Conventions
- A phrase is two or four bars and ends on a longer note and a breath; a bar too many joins the last phrase.
- The first bars of a phrase share one rhythm, and later phrases mostly take it up again, as tunes do.
- A chord never enters under a held note: a note begins with it, or the tune rests. On the chord that ends the
  piece there is one note, held.
- A strong beat is a bar's first and, in a bar of four felt beats or more that halves evenly, its middle.
- Cells are counted in divisions of the felt beat: two, or three in compound time.
"""

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from tracks.melody.context import HarmonicContext, context
from tracks.model import VoicedChord
from tracks.style import Brief
from tracks.theory.meter import Meter, Time

if TYPE_CHECKING:
    from random import Random

# Cell -> the felt beats it fills, and the divisions on which its notes begin.
_SIMPLE = {
    "hold": (1, ()),
    "one": (1, (0,)),
    "pair": (1, (0, 1)),
    "dotted": (2, (0, 3)),
    "syncopated": (2, (0, 1, 3)),
}
_COMPOUND = {"hold": (1, ()), "one": (1, (0,)), "pair": (1, (0, 2)), "run": (1, (0, 1, 2))}

# How much each level likes each cell, from level 1.
_LIKINGS: tuple[dict[str, float], ...] = (
    {"hold": 2, "one": 5},
    {"hold": 1, "one": 4, "pair": 4, "dotted": 1, "run": 1},
    {"hold": 2, "one": 4, "pair": 3, "dotted": 1, "run": 1},
    {"hold": 1, "one": 2, "pair": 6, "syncopated": 0.5, "run": 3},
    {"hold": 1, "one": 2, "pair": 4, "syncopated": 3, "run": 2},
    {"hold": 1, "one": 3, "pair": 4, "dotted": 2, "syncopated": 1, "run": 2},
)

# Where a phrase stands high and low, 0 the bottom of the compass and 1 its top: at its start, turn and end.
_SHAPES = ((0.25, 0.85, 0.35), (0.8, 0.6, 0.2), (0.2, 0.45, 0.75), (0.6, 0.2, 0.55))
_SHAPE_LIKINGS = (6, 3, 2, 2)
_TURN = 0.6

_KEEPS_RHYTHM, _LEVEL_OF_MOTIFS, _KEEPS_MOTIF = 0.65, 6, 0.9


@dataclass(frozen=True, slots=True)
class Slot:
    """A place for a note. `number` counts the bars of the piece; `height`, 0 to 1, is where its phrase is.

    `quantized`: only a tone of the chord will do. `quick`: it lasts a division of the beat at most. `strong`:
    it stands on a strong beat. `enters`: the tune's first note on a new chord, or its last. `joined`: no rest
    parts it from the note before. `motif`: what its bar does with the tune's motif: state, return, answer,
    sequence, or nothing.
    """

    start: Time
    length: Time
    context: HarmonicContext
    number: int
    height: float
    quantized: bool
    quick: bool
    strong: bool
    enters: bool
    joined: bool
    motif: str = ""
    last: bool = False

    @property
    def end(self) -> Time:
        """Where its note stops at the latest."""
        return self.start + self.length


@dataclass(frozen=True, slots=True)
class _Bar:
    start: Time
    end: Time
    onsets: tuple[Time, ...]
    sounds_until: Time
    place: float
    """How far into its phrase the bar begins, 0 to 1."""
    share: float
    shape: tuple[float, float, float]
    motif: str


def slots(brief: Brief, rng: "Random") -> tuple[Slot, ...]:
    """Return the places for a tune's notes, in order of time."""
    made: list[Slot] = []
    bar_length, beat = brief.meter.bar, brief.meter.beat
    home = brief.chords[0].at.key
    sounding = [(voiced, over) for voiced in brief.chords if (over := context(voiced, home))]
    for number, bar in enumerate(_bars(brief, rng)):
        for start, end, voiced, over in _spans(sounding, bar):
            strong = is_strong(brief, start)
            enters = voiced.last or not made or made[-1].context is not over
            closes = bar.sounds_until in range(start + 1, end + 1) and bar.sounds_until < bar.end
            slot = Slot(
                start=start,
                length=end - start,
                context=over,
                number=number,
                height=_height(bar.shape, bar.place + bar.share * (start - bar.start) / bar_length),
                quantized=strong or enters or closes or voiced.last or end - start > beat,
                quick=end - start <= brief.meter.division,
                strong=strong,
                enters=enters,
                joined=bool(made) and made[-1].end == start,
                motif=bar.motif,
                last=voiced.last,
            )
            made.append(slot)
    return tuple(made)


def is_strong(brief: Brief, at: Time) -> bool:
    """Return whether a moment is a bar's first beat, or its middle where it has four felt beats or more."""
    meter = brief.meter
    place = (at - brief.pickup) % meter.bar
    return place == 0 or (meter.beats >= 4 and 2 * place == meter.bar)


def _height(shape: tuple[float, float, float], into: float) -> float:
    start, turn, end = shape
    if into < _TURN:
        return start + (turn - start) * into / _TURN
    return turn + (end - turn) * (into - _TURN) / (1 - _TURN)


def _spans(
    sounding: Sequence[tuple[VoicedChord, HarmonicContext]], bar: _Bar
) -> Iterator[tuple[Time, Time, VoicedChord, HarmonicContext]]:
    """Yield start, end and chord of every note in a bar."""
    first = bisect_right(sounding, bar.start, key=lambda each: each[0].at.end)
    for voiced, over in sounding[first:]:
        at = voiced.at
        if at.start >= bar.end:
            return
        if voiced.last:
            if bar.start <= at.start:
                yield at.start, at.end, voiced, over
            continue
        begin, stop = max(at.start, bar.start), min(at.end, bar.sounds_until)
        onsets = {begin, *(onset for onset in bar.onsets if begin < onset)}
        edges = [*sorted(onset for onset in onsets if onset < stop), stop]
        yield from ((on, off, voiced, over) for on, off in pairwise(edges) if on < off)


def _bars(brief: Brief, rng: "Random") -> Iterator[_Bar]:
    """Yield every bar with its rhythm, the pickup first where there is one."""
    meter, level = brief.meter, min(brief.level, len(_LIKINGS))
    if brief.pickup:
        beats = range(brief.pickup % meter.beat, brief.pickup, meter.beat)
        yield _Bar(0, brief.pickup, tuple(beats), brief.pickup, 0, 0, _SHAPES[0], "")
    with_motif = level == _LEVEL_OF_MOTIFS
    keeps = _KEEPS_MOTIF if with_motif else _KEEPS_RHYTHM
    starts = range(brief.pickup, brief.length, meter.bar)
    lengths = (4, 4, 2) if with_motif and len(starts) >= 8 else (2, 4)
    rhythms: list[tuple[Time, ...]] = []
    number = 0
    for phrase, bars in enumerate(_phrases(len(starts), brief.turn, lengths, rng)):
        if not rhythms or rng.random() > keeps:
            rhythms = [_rhythm(meter, level, rng), _rhythm(meter, level, rng)]
            phrase = 0
        shape = rng.choices(_SHAPES, _SHAPE_LIKINGS)[0]
        for place in range(bars):
            start = starts[number]
            closes = place == bars - 1
            onsets = _closing(meter, level, rng) if closes else rhythms[_which(place, bars)]
            yield _Bar(
                start,
                min(start + meter.bar, brief.length),
                tuple(start + onset for onset in onsets),
                start + meter.bar - (_breath(meter) if closes else 0),
                place / bars,
                1 / bars,
                shape,
                "" if closes or not with_motif else _part_of(phrase, place, bars),
            )
            number += 1


def _phrases(bars: int, turn: int | None, lengths: tuple[int, ...], rng: "Random") -> list[int]:
    """Return the lengths of the phrases of a piece, all of a turn or one of the lengths, drawn.

    What is left over is a phrase too, but for a single bar, which joins the last.
    """
    length = turn or rng.choice(lengths)
    phrases: list[int] = []
    while bars >= length:
        phrases.append(length)
        bars -= length
    if bars == 1 and phrases:
        phrases[-1] += 1
    elif bars:
        phrases.append(bars)
    return phrases


def _which(place: int, bars: int) -> int:
    """Return which of a phrase's two rhythms a bar has: the first again in bar two, then the other."""
    return 0 if place < max(2, bars - 2) else 1


def _part_of(phrase: int, place: int, bars: int) -> str:
    """Return what a bar does with the motif: state, answer or return it, or go on in sequence."""
    if _which(place, bars):
        return ""
    if place:
        return "sequence"
    return "state" if phrase == 0 else ("answer", "return")[phrase % 2 == 0]


def _breath(meter: Meter) -> Time:
    return meter.beat if meter.beats >= 3 else meter.division


def _rhythm(meter: Meter, level: int, rng: "Random") -> tuple[Time, ...]:
    """Return where the notes of a bar begin, from its start."""
    cells = _COMPOUND if meter.is_compound else _SIMPLE
    weights = {cell: weight for cell, weight in _LIKINGS[level - 1].items() if cell in cells}
    onsets: list[Time] = []
    beat = 0
    while beat < meter.beats:
        fitting = [
            cell
            for cell in weights
            if beat + cells[cell][0] <= meter.beats
            and not (cell == "hold" and beat == 0)
            and not (cells[cell][0] == 2 and beat % 2)
        ]
        beats, places = cells[rng.choices(fitting, [weights[cell] for cell in fitting])[0]]
        onsets += [beat * meter.beat + place * meter.division for place in places]
        beat += beats
    return tuple(onsets)


def _closing(meter: Meter, level: int, rng: "Random") -> tuple[Time, ...]:
    """Return where the notes of a phrase's last bar begin: one or a few that lead to a longer one."""
    if meter.beats < 3:
        return (0,)
    lead = rng.choice((0, 1, 2) if meter.beats >= 4 else (0, 1))
    onsets = [beat * meter.beat for beat in range(lead + 1)]
    if lead and level > 1 and rng.random() < 0.5:
        onsets.append(lead * meter.beat - meter.division)
    return tuple(sorted(onsets))
