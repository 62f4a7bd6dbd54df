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
from tracks.melody.context import HarmonicContext, context, free_from
from tracks.melody.plan import Bar, planned
from tracks.model import VoicedChord
from tracks.style import Brief
from tracks.theory.chord import Chord
from tracks.theory.key import Key
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
    bars = planned(brief, likes, rng)
    for span in _spans(_sounding(brief, bars), bars):
        bar, into = span.bar, span.start - span.bar.start
        places.setdefault((bar.number, into), len(made))
        again = None if bar.again is None else places.get((bar.again, into))
        made.append(_slot(brief, span, likes, made[-1] if made else None, again))
    return tuple(made)


def _slot(brief: Brief, span: _Span, likes: Temper, before: Slot | None, again: int | None) -> Slot:
    """Return the place of a note after another."""
    bar, length = span.bar, span.end - span.start
    strong = is_strong(brief, span.start)
    enters = span.voiced.last or before is None or before.context is not span.context
    closes = span.end == bar.until < bar.end
    return Slot(
        start=span.start,
        length=length,
        context=span.context,
        number=bar.number,
        into=span.start - bar.start,
        height=bar.height(span.start),
        ceiling=bar.ceiling,
        likes=likes,
        quantized=strong or enters or closes or length > brief.meter.beat,
        quick=length <= brief.meter.division,
        strong=strong,
        enters=enters,
        joined=before is not None and before.end == span.start,
        motif=bar.motif,
        again=again,
        under=span.under,
        last=span.voiced.last,
    )


def is_strong(brief: Brief, at: Time) -> bool:
    """Return whether a moment is a bar's first beat, or its middle where it has four felt beats or more."""
    meter = brief.meter
    place = (at - brief.pickup) % meter.bar
    return place == 0 or (meter.beats >= 4 and 2 * place == meter.bar)


@dataclass(frozen=True, slots=True)
class _Sounding:
    """The chords that sound, voiced and as harmony, and what each offers in every bar."""

    chords: Sequence[VoicedChord]
    harmonies: Sequence[Chord]
    home: Key
    free: Sequence[int]

    def first_after(self, start: Time) -> int:
        """Return the number of the first chord that ends after a moment."""
        return bisect_right(self.chords, start, key=lambda voiced: voiced.at.end)

    def over(self, number: int, bar: Bar, under: int | None = None) -> HarmonicContext:
        """Return what a chord offers to a bar, or to what leads into it under another chord."""
        lefts = (free_from(self.chords[each]) for each in (number, number if under is None else under))
        free = max(self.free[bar.number], *lefts)
        return context(self.harmonies[number], self.chords[number].at.key, self.home, free)


def _sounding(brief: Brief, bars: Sequence[Bar]) -> _Sounding:
    """Return the chords that sound; a bar and those that bring it back lie over one left hand."""
    chords = [voiced for voiced in brief.chords if voiced.at.chord]
    free = [0] * len(bars)
    for voiced in chords:
        first = max(0, voiced.at.start - brief.pickup) // brief.meter.bar
        last = max(0, voiced.at.end - 1 - brief.pickup) // brief.meter.bar
        for number in range(first, last + 1):
            free[number] = max(free[number], free_from(voiced))
    for bar in bars:
        if bar.again is not None:
            free[bar.again] = max(free[bar.again], free[bar.number])
    for bar in bars:
        if bar.again is not None:
            free[bar.number] = free[bar.again]
    harmonies = [chord for voiced in chords if (chord := voiced.at.chord)]
    return _Sounding(chords, harmonies, brief.chords[0].at.key, free)


def _spans(sounding: _Sounding, bars: Sequence[Bar]) -> Iterator[_Span]:
    """Yield the notes of a tune in order, up to the one that ends it."""
    # What an early note of the next bar would cut short is not begun.
    ends = (*(bar.onsets[0] for bar in bars[1:]), bars[-1].end)
    onsets = [
        (onset, bar) for bar, end in zip(bars, ends, strict=True) for onset in bar.onsets if onset < end
    ]
    final = next((number for number, voiced in enumerate(sounding.chords) if voiced.last), None)
    stop = bars[-1].end if final is None else sounding.chords[final].at.start
    for (start, bar), (following, _) in pairwise([*onsets, (stop, bars[-1])]):
        end = min(following, bar.until, stop)
        if bar.early and start == bar.onsets[0] and bar.start < end:
            if anticipated := _anticipated(sounding, bar, start, end):
                yield anticipated
                start = anticipated.end
            else:
                start = bar.start
        yield from _under_each_chord(sounding, bar, start, end)
    if final is not None:
        last = sounding.chords[final]
        bar = next(bar for bar in reversed(bars) if bar.start <= last.at.start or bar is bars[0])
        yield _Span(last.at.start, last.at.end, last, sounding.over(final, bar), bar)


def _under_each_chord(sounding: _Sounding, bar: Bar, start: Time, end: Time) -> Iterator[_Span]:
    """Yield a note for every chord that sounds within a time."""
    for number in range(sounding.first_after(start), len(sounding.chords)):
        voiced = sounding.chords[number]
        if voiced.at.start >= end:
            return
        begin, stop = max(voiced.at.start, start), min(voiced.at.end, end)
        if begin < stop:
            yield _Span(begin, stop, voiced, sounding.over(number, bar), bar)


def _anticipated(sounding: _Sounding, bar: Bar, start: Time, end: Time) -> _Span | None:
    """Return the note that brings in a bar's chord early, where one chord sounds until then."""
    number = sounding.first_after(start)
    if number + 1 >= len(sounding.chords):
        return None
    before, coming = sounding.chords[number : number + 2]
    if not before.at.start <= start < before.at.end == coming.at.start == bar.start:
        return None
    over = sounding.over(number + 1, bar, under=number)
    return _Span(start, min(end, coming.at.end), coming, over, bar, sounding.over(number, bar))
