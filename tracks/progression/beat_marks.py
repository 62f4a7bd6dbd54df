"""Beat marks: RomanText's `b2.5` as a time within its bar, and back.

Conventions
- A mark counts from 1. The beat is the reference reader's: where the numerator is 6, 9, 12 or 15, and in 3/8
  and 3/16, three of the denominator's notes. It is not always the felt beat of `tracks.theory.meter`.
- Decimals that are no exact part name the nearest usual one: `.33` and `.66` thirds, `.16` and `.83` sixths.
  A second group divides the first's own part: `b1.66.5` is half a third after two thirds.

Source: music21's romanText reader (`RTBeat`), a general-purpose reference library.
"""

import re
from fractions import Fraction

from tracks.theory.errors import RequestError
from tracks.theory.meter import QUARTER, Meter, Time

_MARK = re.compile(r"b(\d{0,4})((?:\.\d{0,9})*)")
_PARTS = (2, 3, 4, 6, 8, 12, 16, 24)
_EXACT = (1, 2, 4, 5, 8, 16)


def beat_length(meter: Meter) -> Time:
    """Return the length of RomanText's beat in a meter, in ticks."""
    note = 4 * QUARTER // meter.denominator
    in_threes = meter.numerator % 3 == 0 and (meter.numerator > 3 or meter.denominator >= 8)
    return 3 * note if in_threes else note


def is_beat_mark(word: str) -> bool:
    """Return whether a word has the form of a beat mark."""
    return word != "b" and bool(_MARK.fullmatch(word))


def time_of(mark: str, beat: Time) -> Time:
    """Return the time from the bar's first beat; raise RequestError for a mark that falls on no tick."""
    match = _MARK.fullmatch(mark)
    groups = [digits for digits in match[2].split(".") if digits] if match else []
    if not match or len(groups) > 2:
        raise RequestError(f"{mark} is no beat we can count", "write one like b2.5, b1.33 or b1.66")
    part = _part(groups[0], beat) if groups else Fraction(0)
    if len(groups) > 1:
        part += Fraction(f"0.{groups[1]}") / part.denominator
    time = (int(match[1] or 1) - 1 + part) * beat
    if time.denominator != 1:
        raise RequestError(f"{mark} is no beat we can count", "write one like b2.5, b1.33 or b1.66")
    return int(time)


def _part(digits: str, beat: Time) -> Fraction:
    given = Fraction(f"0.{digits}")
    if given.denominator in _EXACT and (given * beat).denominator == 1:
        return given
    near = (Fraction(round(given * parts), parts) for parts in _PARTS)
    return next((part for part in near if abs(part - given) < Fraction(1, 10 ** len(digits))), given)


def mark_of(into_bar: Time, beat: Time) -> str:
    """Return the shortest mark of a time within its bar; raise RequestError where no mark names it."""
    whole, rest = divmod(into_bar, beat)
    if not rest:
        return f"b{whole + 1}"
    exact = Fraction(rest, beat)
    for digits in (1, 2, 3, 4, 5):
        decimals = f"{int(exact * 10**digits):0{digits}d}"
        if _part(decimals, beat) == exact:
            return f"b{whole + 1}.{decimals}"
    raise RequestError(f"a chord {exact} of a beat after beat {whole + 1} has no mark in RomanText")
