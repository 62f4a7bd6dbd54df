"""The lead sheet: the chords of a piece with its bars, meters, keys and repeats, as a file has them.

Conventions
- Times are in ticks; 0 is the start of the first bar, which is short where the piece has a pickup.
- Chords follow one another without gaps to the end of the last bar; a chord may last over bar lines.
- Repeats are kept as signs; `progression` plays them out.
- `number` is the bar's as printed. A first bar that is short is a pickup, whatever its number.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from tracks.progression.written import MOST_CHORDS, Progression, Writing, WrittenChord
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import Meter, Time


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


@dataclass(frozen=True, slots=True)
class SheetRepeat:
    """What is played twice: `start` to `end`, the second time only to `leave`, before a first ending."""

    start: Time
    end: Time
    leave: Time


@dataclass(frozen=True, slots=True)
class LeadSheet:
    """A piece's chords in their bars; `remarks` say what a reader corrected, each with its place."""

    title: str
    writing: Writing | None
    bars: tuple[SheetBar, ...]
    chords: tuple[SheetChord, ...]
    repeats: tuple[SheetRepeat, ...] = ()
    remarks: tuple[str, ...] = ()

    @property
    def meter(self) -> Meter:
        """The meter that the piece begins in."""
        return self.bars[0].meter

    @property
    def pickup(self) -> Time:
        """The length of a short first bar, 0 where there is none."""
        first = self.bars[0]
        return first.length if len(self.bars) > 1 and first.length < first.meter.bar else 0

    def bar_at(self, time: Time) -> SheetBar:
        """Return the bar that a moment lies in; a moment past the end lies in the last."""
        return next((bar for bar in self.bars if bar.start <= time < bar.end), self.bars[-1])


def excerpt(sheet: LeadSheet, first: int, last: int) -> LeadSheet:
    """Return the bars of two numbers and those between; raise RequestError where there is no such bar.

    The chord that sounds into the first bar comes along; repeats are kept where they lie wholly inside.
    """
    numbers = [bar.number for bar in sheet.bars]
    chosen = [bar for bar in sheet.bars if first <= bar.number <= last]
    if not chosen or first not in numbers or last not in numbers:
        raise RequestError(
            f"bars {first}-{last}: the piece has bars {numbers[0]} to {numbers[-1]}; choose of them"
        )
    start, end = chosen[0].start, chosen[-1].end
    chords = tuple(replace(chord, start=chord.start - start) for chord in _clipped(sheet.chords, start, end))
    repeats = tuple(
        SheetRepeat(repeat.start - start, repeat.end - start, repeat.leave - start)
        for repeat in sheet.repeats
        if start <= repeat.start and repeat.end <= end
    )
    bars = tuple(replace(bar, start=bar.start - start) for bar in chosen)
    return replace(sheet, bars=bars, chords=chords, repeats=repeats)


def _clipped(chords: tuple[SheetChord, ...], start: Time, end: Time) -> Iterator[SheetChord]:
    """Yield what sounds between two moments, cut to them."""
    for chord in chords:
        begin, stop = max(chord.start, start), min(chord.end, end)
        if begin < stop:
            yield replace(chord, start=begin, length=stop - begin)


def progression(sheet: LeadSheet) -> Progression:
    """Return the progression of a lead sheet, every repeat played out.

    Bars are numbered on from the first one's number. Raises RequestError, naming the bar and the fix, where
    the meter changes, a bar is longer or shorter than its meter, or a key is named late.
    """
    _check_one_meter(sheet)
    _check_keys(sheet)
    chords: list[WrittenChord] = []
    now, bar = 0, sheet.meter.bar
    first = sheet.bars[0].number + (1 if sheet.pickup else 0)
    for start, end in _played(sheet):
        for number, chord in enumerate(sheet.chords, 1):
            for part in _clipped((chord,), start, end):
                at = now + part.start - start
                place = first + (at - sheet.pickup) // bar
                here = sheet.bar_at(part.start).number
                chords.append(WrittenChord(part.text, here, at, part.length, place, number, part.key))
        now += end - start
    if len(chords) > MOST_CHORDS:
        raise RequestError(
            f"{len(chords)} chords are more than the {MOST_CHORDS} we can play; choose some bars"
        )
    return Progression(sheet.meter, sheet.writing, tuple(chords), now, sheet.pickup, place="measure")


def _check_one_meter(sheet: LeadSheet) -> None:
    meter, last = sheet.meter, sheet.bars[-1]
    for before, bar in pairwise(sheet.bars):
        if bar.meter != meter:
            raise RequestError(
                f"measure {bar.number} changes the meter from {meter} to {bar.meter} and a drill has one; "
                f"choose measures of one meter, like bars {sheet.bars[0].number}-{before.number}"
            )
        if (bar.end - sheet.pickup) % meter.bar and bar is not last:
            following = sheet.bars[sheet.bars.index(bar) + 1]
            if bar.length + following.length != meter.bar:
                raise RequestError(
                    f"measure {bar.number} is no whole bar of {meter}; choose measures before or after it, "
                    f"like bars {sheet.bars[0].number}-{before.number}"
                )


def _check_keys(sheet: LeadSheet) -> None:
    keyed = next((chord for chord in sheet.chords if chord.key), None)
    if keyed and not sheet.chords[0].key:
        number = sheet.bar_at(keyed.start).number
        raise RequestError(
            f"measure {number} changes to {keyed.key}; name the first key too, like C: in measure 1"
        )


def _played(sheet: LeadSheet) -> Iterator[tuple[Time, Time]]:
    """Yield the stretches of the sheet in the order they are played."""
    now, bar = 0, sheet.meter.bar
    for repeat in sheet.repeats:
        back = repeat.start
        if (repeat.end - back) % bar:
            # There is no room for the pickup again: its bar has been filled.
            back = sheet.pickup if repeat.start == 0 and sheet.pickup else back
        if (repeat.end - back) % bar:
            number = sheet.bar_at(repeat.end - 1).number
            raise RequestError(f"the repeat that ends in measure {number} does not come out in whole bars")
        yield from ((now, repeat.end), (back, repeat.leave))
        now = repeat.end
    end = sheet.bars[-1].end
    if now < end:
        yield now, end
