"""Where the notes of a tune stand, before any pitch is chosen.

Conventions
- A phrase (see `tracks.melody.form`) ends on a longer note and a breath. Notes may lead into its first bar.
- The first bars of a phrase share one rhythm, and later phrases mostly take it up again, as tunes do; a
  phrase that brings another back has its rhythm.
- A chord never enters under a held note, unless the note anticipates it: begins a division of the beat
  before the bar line with the coming chord and is held into it. On the chord that ends the piece there is one
  note, held.
- A strong beat is a bar's first and, in a bar of four felt beats or more that halves evenly, its middle.
"""

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from tracks.melody.cells import Temper, temper
from tracks.melody.context import HarmonicContext, context
from tracks.melody.plan import Bar, planned
from tracks.model import VoicedChord
from tracks.style import Brief
from tracks.theory.meter import Time

if TYPE_CHECKING:
    from random import Random


@dataclass(frozen=True, slots=True)
class Slot:
    """A place for a note.

    `number` counts the bars of the piece from 0, `into` is how far from its bar's line it begins, negative in
    what leads into the bar; `height`, 0 to 1, is where its phrase is, `ceiling` where it likes to end.

    `quantized`: only a tone of the chord will do. `quick`: it lasts a division of the beat at most. `strong`:
    it stands on a strong beat. `enters`: the tune's first note on a new chord, or its last. `joined`: no rest
    parts it from the note before. `motif`: what its bar does with the tune's motif: state, return, answer,
    sequence, or nothing. `again`: the place of the note that it brings back. `under`: the chord that an
    anticipation begins under.
    """

    start: Time
    length: Time
    context: HarmonicContext
    number: int
    into: Time
    height: float
    ceiling: float
    likes: Temper
    quantized: bool
    quick: bool
    strong: bool
    enters: bool
    joined: bool
    motif: str = ""
    again: int | None = None
    under: HarmonicContext | None = None
    last: bool = False

    @property
    def end(self) -> Time:
        """Where its note stops at the latest."""
        return self.start + self.length

    @property
    def leads(self) -> bool:
        """Whether it leads into its bar from before the line."""
        return self.into < 0 and self.under is None


@dataclass(frozen=True, slots=True)
class _Span:
    """A note's time, its chord, and its bar; `under` where it anticipates the chord."""

    start: Time
    end: Time
    voiced: VoicedChord
    context: HarmonicContext
    bar: Bar
    under: HarmonicContext | None = None


def slots(brief: Brief, rng: "Random") -> tuple[Slot, ...]:
    """Return the places for a tune's notes, in order of time."""
    made: list[Slot] = []
    places: dict[tuple[int, Time], int] = {}
    likes = temper(brief.level, brief.meter, rng)
    home = brief.chords[0].at.key
    sounding = [(voiced, over) for voiced in brief.chords if (over := context(voiced, home))]
    for span in _spans(sounding, planned(brief, likes, rng)):
        bar, into = span.bar, span.start - span.bar.start
        strong = is_strong(brief, span.start)
        enters = span.voiced.last or not made or made[-1].context is not span.context
        length = span.end - span.start
        places.setdefault((bar.number, into), len(made))
        closes = span.end == bar.until < bar.end
        slot = Slot(
            start=span.start,
            length=length,
            context=span.context,
            number=bar.number,
            into=into,
            height=bar.height(span.start),
            ceiling=bar.ceiling,
            likes=likes,
            quantized=strong or enters or closes or span.voiced.last or length > brief.meter.beat,
            quick=length <= brief.meter.division,
            strong=strong,
            enters=enters,
            joined=bool(made) and made[-1].end == span.start,
            motif=bar.motif,
            again=None if bar.again is None else places.get((bar.again, into)),
            under=span.under,
            last=span.voiced.last,
        )
        made.append(slot)
    return tuple(made)


def is_strong(brief: Brief, at: Time) -> bool:
    """Return whether a moment is a bar's first beat, or its middle where it has four felt beats or more."""
    meter = brief.meter
    place = (at - brief.pickup) % meter.bar
    return place == 0 or (meter.beats >= 4 and 2 * place == meter.bar)


_Sounding = Sequence[tuple[VoicedChord, HarmonicContext]]


def _spans(sounding: _Sounding, bars: Sequence[Bar]) -> Iterator[_Span]:
    """Yield the notes of a tune in order, up to the one that ends it."""
    # What an early note of the next bar would cut short is not begun.
    ends = (*(bar.onsets[0] for bar in bars[1:]), bars[-1].end)
    onsets = [
        (onset, bar) for bar, end in zip(bars, ends, strict=True) for onset in bar.onsets if onset < end
    ]
    final = next(((voiced, over) for voiced, over in sounding if voiced.last), None)
    stop = final[0].at.start if final else bars[-1].end
    for (start, bar), (following, _) in pairwise([*onsets, (stop, bars[-1])]):
        end = min(following, bar.until, stop)
        if bar.early and start == bar.onsets[0] and bar.start < end:
            if anticipated := _anticipated(sounding, bar, start, end):
                yield anticipated
                start = anticipated.end
            else:
                start = bar.start
        yield from _under_each_chord(sounding, bar, start, end)
    if final:
        at = final[0].at
        last_bar = next(bar for bar in reversed(bars) if bar.start <= at.start or bar is bars[0])
        yield _Span(at.start, at.end, *final, last_bar)


def _under_each_chord(sounding: _Sounding, bar: Bar, start: Time, end: Time) -> Iterator[_Span]:
    """Yield a note for every chord that sounds within a time."""
    for number in range(bisect_right(sounding, start, key=lambda each: each[0].at.end), len(sounding)):
        voiced, over = sounding[number]
        if voiced.at.start >= end:
            return
        begin, stop = max(voiced.at.start, start), min(voiced.at.end, end)
        if begin < stop:
            yield _Span(begin, stop, voiced, over, bar)


def _anticipated(sounding: _Sounding, bar: Bar, start: Time, end: Time) -> _Span | None:
    """Return the note that brings in a bar's chord early, where one chord sounds until then."""
    number = bisect_right(sounding, start, key=lambda each: each[0].at.end)
    if number + 1 >= len(sounding):
        return None
    (before, under), (coming, over) = sounding[number : number + 2]
    if not before.at.start <= start < before.at.end == coming.at.start == bar.start:
        return None
    return _Span(start, min(end, coming.at.end), coming, over, bar, under)
