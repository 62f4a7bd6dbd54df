"""A lead sheet played out: what its repeat signs mean, and the progression that sounds.

Conventions
- A backward repeat without its forward sign returns to after the previous one and its second ending, else to
  the beginning (convention).
- The bars of what is played are counted from the end of the pickup; a bar that the page divides (before a
  repeat sign, or at the end of a system) is one bar.
- A repeat of the whole returns to the pickup where the bar before it leaves room for it, else to after it.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator
from itertools import pairwise
from typing import NamedTuple

from tracks.progression.lead_sheet import MOST_BARS, LeadSheet, SheetBar, SheetRepeat
from tracks.progression.written import MOST_CHORDS, Progression, WrittenChord
from tracks.theory.errors import RequestError
from tracks.theory.meter import Time

MOST_TIMES = 64
"""Times that a passage may be played."""


class RepeatSign(NamedTuple):
    """A repeat sign at a moment: it opens a passage, or it sends back until all is played `times` times."""

    time: Time
    opens: bool
    times: int = 2


def repeats_of(signs: Iterable[RepeatSign], bars: tuple[SheetBar, ...]) -> tuple[SheetRepeat, ...]:
    """Return the repeats of a piece's signs and endings.

    Raises RequestError, naming the measure, for endings that do not say what to play.
    """
    repeats: list[SheetRepeat] = []
    start, place = 0, 0
    for sign in sorted(set(signs)):
        until = bisect_left(bars, sign.time, key=lambda bar: bar.start)
        before, place = bars[place:until], max(place, until)
        if sign.opens:
            _check_endings(before)
            start = sign.time
        elif sign.time > start:
            repeats.append(_repeat(start, sign, before))
            # What comes next begins after the second ending, which is this repeat's.
            while repeats[-1].leave < sign.time and place < len(bars) and bars[place].ending == 2:
                place += 1
            start = bars[place - 1].end if place > until else sign.time
        elif before == () and place and bars[place - 1].ending == 2:
            raise RequestError(
                f"measure {bars[place - 1].number}: a second ending that repeats again", "write the piece out"
            )
    _check_endings(bars[place:])
    return tuple(repeats)


def _repeat(start: Time, sign: RepeatSign, bars: tuple[SheetBar, ...]) -> SheetRepeat:
    number = bars[-1].number if bars else 0
    firsts = [bar.start for bar in bars if bar.ending == 1]
    fault = ""
    if not 2 <= sign.times <= MOST_TIMES:
        fault = f"{sign.times} times is outside 2 to {MOST_TIMES}"
    elif firsts and sign.times > 2:
        fault = f"{sign.times} times with endings"
    elif firsts and firsts[0] == start:
        fault = "a first ending with nothing before it"
    if fault:
        raise RequestError(f"measure {number}: {fault}", "write the piece out")
    return SheetRepeat(start, sign.time, firsts[0] if firsts else sign.time, sign.times)


def _check_endings(bars: Iterable[SheetBar]) -> None:
    """Raise RequestError for a first ending that no repeat sign closes."""
    for bar in bars:
        if bar.ending == 1:
            raise RequestError(f"measure {bar.number}: add the repeat sign that ends this first ending")


def progression(sheet: LeadSheet) -> Progression:
    """Return the progression of a lead sheet, every repeat played out.

    Bars are numbered on from the first one's number. Raises RequestError, naming the bar and the fix, where
    the meter changes, a bar is longer or shorter than its meter, or a key is named late, and for more bars or
    chords than we can play.
    """
    _check_one_meter(sheet)
    _check_keys(sheet)
    stretches = tuple(_played(sheet))
    length = sum(end - start for start, end in stretches)
    if length > MOST_BARS * sheet.meter.bar:
        bars = -(-length // sheet.meter.bar)
        raise RequestError(f"{bars} bars are more than the {MOST_BARS} we can play", "choose some bars")
    _check_whole_bars(sheet, stretches)
    chords = tuple(_written(sheet, stretches))
    if len(chords) > MOST_CHORDS:
        raise RequestError(
            f"{len(chords)} chords are more than the {MOST_CHORDS} we can play", "choose some bars"
        )
    return Progression(sheet.meter, sheet.writing, chords, length, sheet.pickup, place="measure")


def _written(sheet: LeadSheet, stretches: tuple[tuple[Time, Time], ...]) -> Iterator[WrittenChord]:
    now = 0
    first = sheet.bars[0].number + (1 if sheet.pickup else 0)
    for start, end in stretches:
        number = bisect_right(sheet.chords, start, key=lambda chord: chord.start)
        for place, chord in enumerate(sheet.chords_between(start, end), number):
            at = now + chord.start - start
            bar = first + (at - sheet.pickup) // sheet.meter.bar
            here = sheet.bar_at(chord.start).number
            yield WrittenChord(chord.text, here, at, chord.length, bar, place, chord.key)
        now += end - start


def _check_one_meter(sheet: LeadSheet) -> None:
    meter = sheet.meter
    for before, bar in pairwise(sheet.bars):
        if bar.meter != meter:
            raise RequestError(
                f"measure {bar.number} changes the meter from {meter} to {bar.meter} and a drill has one",
                f"choose measures of one meter, like bars {sheet.bars[0].number}-{before.number}",
            )


def _check_whole_bars(sheet: LeadSheet, stretches: tuple[tuple[Time, Time], ...]) -> None:
    """Raise RequestError where a bar, as played, goes over the end of a whole one."""
    bar, into = sheet.meter.bar, -sheet.pickup % sheet.meter.bar
    before: SheetBar | None = None
    for start, end in stretches:
        for place, part in enumerate(sheet.bars_between(start, end)):
            whole = into + part.length <= bar or (not into and part.length % bar == 0)
            if not whole and not (part.end == sheet.end and not into):
                number = before.number if before and into else part.number
                if place == 0 and before:
                    raise RequestError(
                        f"the repeat that ends in measure {number} does not come out in whole bars"
                    )
                raise RequestError(_no_whole_bar(sheet, number))
            into = (into + part.length) % bar
            before = part


def _no_whole_bar(sheet: LeadSheet, number: int) -> str:
    numbers = [bar.number for bar in sheet.bars]
    place = numbers.index(number)
    chosen = (numbers[0], numbers[place - 1]) if place else (numbers[-1], numbers[-1])
    return (
        f"measure {number} is no whole bar of {sheet.meter}; choose measures before or after it, "
        f"like bars {chosen[0]}-{chosen[1]}"
    )


def _check_keys(sheet: LeadSheet) -> None:
    keyed = next((chord for chord in sheet.chords if chord.key), None)
    if keyed and not sheet.chords[0].key:
        number = sheet.bar_at(keyed.start).number
        raise RequestError(
            f"measure {number} changes to {keyed.key}", "name the first key too, like C: in measure 1"
        )


def _played(sheet: LeadSheet) -> Iterator[tuple[Time, Time]]:
    """Yield the stretches of the sheet in the order they are played."""
    now = played = 0
    for repeat in sheet.repeats:
        yield now, repeat.end
        played += repeat.end - now
        # There is no room for the pickup again where its bar has been filled.
        back = sheet.pickup if repeat.start == 0 and played % sheet.meter.bar else repeat.start
        for _ in range(repeat.times - 2):
            yield back, repeat.end
        yield back, repeat.leave
        played += (repeat.times - 2) * (repeat.end - back) + repeat.leave - back
        now = repeat.end
    if now < sheet.end:
        yield now, sheet.end
