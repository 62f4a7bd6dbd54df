"""The lead sheet: the chords of a piece with its bars, meters, keys and repeats, as a file has them.

Conventions
- Times are in ticks; 0 is the start of the first bar, which is short where the piece has a pickup.
- Chords follow one another without gaps to the end of the last bar; a chord may last over bar lines.
- Repeats are kept as signs; `tracks.progression.playing` plays them out.
- `number` is the bar's as printed, so that several may share one. A first bar that is short is a pickup,
  whatever its number, unless the bar after it fills it up.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TypeVar

from tracks.progression.written import Writing
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import Meter, Time

MOST_BARS = 10_000
"""Bars of a piece, and of what is played of it, that we take on."""


@dataclass(frozen=True, slots=True)
class SheetBar:
    """A bar; `ending` is 1 for a first ending, 2 for a second, 0 elsewhere."""

    number: int
    start: Time
    length: Time
    meter: Meter
    ending: int = 0

    @property
    def end(self) -> Time:
        """Where the bar stops."""
        return self.start + self.length


@dataclass(frozen=True, slots=True)
class SheetChord:
    """A chord as written, or silence where `text` is None; `key` is the key in force, if any is named."""

    text: str | None
    start: Time
    length: Time
    key: Key | None

    @property
    def end(self) -> Time:
        """Where the chord stops."""
        return self.start + self.length


_Part = TypeVar("_Part", SheetBar, SheetChord)


@dataclass(frozen=True, slots=True)
class SheetRepeat:
    """What is played `times` times: `start` to `end`, but at last only to `leave`, before a first ending."""

    start: Time
    end: Time
    leave: Time
    times: int = 2


@dataclass(frozen=True, slots=True)
class LeadSheet:
    """A piece's chords in their bars; `remarks` say what a reader corrected, each with its place.

    Raises RequestError for bars or chords that leave gaps or end apart, and for more bars than we can play.
    """

    title: str
    writing: Writing | None
    bars: tuple[SheetBar, ...]
    chords: tuple[SheetChord, ...]
    repeats: tuple[SheetRepeat, ...] = ()
    remarks: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.bars or not self.chords:
            raise RequestError("there is no bar with a chord")
        if len(self.bars) > MOST_BARS:
            raise RequestError(
                f"{len(self.bars)} bars are more than the {MOST_BARS} we can play", "divide it"
            )
        ends = {_end_of_all(self.bars), _end_of_all(self.chords)}
        if len(ends) > 1:
            raise RequestError("the chords do not end with the last bar")
        if any(not 0 <= r.start < r.leave <= r.end <= self.end or r.times < 2 for r in self.repeats):
            raise RequestError("a repeat lies outside the bars")

    @property
    def end(self) -> Time:
        """Where the last bar stops."""
        return self.bars[-1].end

    @property
    def meter(self) -> Meter:
        """The meter that the piece begins in."""
        return self.bars[0].meter

    @property
    def pickup(self) -> Time:
        """The length of a short first bar, 0 where there is none."""
        first, bar = self.bars[0], self.meter.bar
        following = [following.length for following in self.bars[1:3]]
        is_half_of_a_bar = first.number != 0 and following == [bar - first.length, bar]
        return first.length if following and first.length < bar and not is_half_of_a_bar else 0

    def bar_at(self, time: Time) -> SheetBar:
        """Return the bar that a moment lies in; a moment past the end lies in the last."""
        return self.bars[max(bisect_right(self.bars, time, key=lambda bar: bar.start) - 1, 0)]

    def bars_between(self, start: Time, end: Time) -> tuple[SheetBar, ...]:
        """Return the bars that sound between two moments, cut to them."""
        return tuple(_clipped(self.bars, start, end))

    def chords_between(self, start: Time, end: Time) -> tuple[SheetChord, ...]:
        """Return the chords that sound between two moments, cut to them."""
        return tuple(_clipped(self.chords, start, end))


def excerpt(sheet: LeadSheet, first: int, last: int) -> LeadSheet:
    """Return the bars of two numbers and those between; raise RequestError where there is no such bar.

    The chord that sounds into the first bar comes along; repeats are kept where they lie wholly inside.
    """
    numbers = [bar.number for bar in sheet.bars]
    if first not in numbers or last not in numbers or first > last:
        raise RequestError(
            f"bars {first}-{last}: the piece has bars {numbers[0]} to {numbers[-1]}", "choose of them"
        )
    begin, stop = numbers.index(first), len(numbers) - numbers[::-1].index(last)
    chosen = sheet.bars[begin:stop]
    start, end = chosen[0].start, chosen[-1].end
    chords = tuple(replace(chord, start=chord.start - start) for chord in sheet.chords_between(start, end))
    repeats = tuple(
        replace(repeat, start=repeat.start - start, end=repeat.end - start, leave=repeat.leave - start)
        for repeat in sheet.repeats
        if start <= repeat.start and repeat.end <= end
    )
    bars = tuple(replace(bar, start=bar.start - start) for bar in chosen)
    return replace(sheet, bars=bars, chords=chords, repeats=repeats)


def _clipped(parts: tuple[_Part, ...], start: Time, end: Time) -> Iterator[_Part]:
    first = max(bisect_right(parts, start, key=lambda part: part.start) - 1, 0)
    stop = bisect_left(parts, end, key=lambda part: part.start)
    for part in parts[first:stop]:
        begin, leave = max(part.start, start), min(part.end, end)
        if begin < leave:
            yield replace(part, start=begin, length=leave - begin)


def _end_of_all(parts: tuple[SheetBar, ...] | tuple[SheetChord, ...]) -> Time:
    """Return where parts stop that follow one another from 0; raise RequestError where they do not."""
    end = 0
    for part in parts:
        if part.start != end or part.length <= 0:
            raise RequestError("bars and chords must follow one another without gaps")
        end = part.end
    return end
