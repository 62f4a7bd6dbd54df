"""Meters, bars and felt beats, in exact musical time.

Conventions
- Musical time is a whole number of *ticks*. QUARTER (10,080) ticks make a quarter note:
  2^5 x 3^2 x 5 x 7, so that 128th notes, triplets inside triplets, quintuplets and septuplets all
  fall on whole ticks, and one tick is a 21st of a MIDI tick at 480 ticks a quarter.
- Time 0 is the start of the piece it is counted in.
- The *felt beat* is the dotted eighth or quarter where the numerator is 6, 9 or 12 over 8 or 16;
  everywhere else it is the denominator's note (convention).
"""

import re
from dataclasses import dataclass
from typing import TypeAlias

from tracks.theory.errors import RequestError

Time: TypeAlias = int
"""A moment or a length, in ticks."""

QUARTER: Time = 10_080
"""Ticks in a quarter note."""

_DENOMINATORS = (2, 4, 8, 16)
_MOST_BEATS = 32
_SIGNS = {"C": "4/4", "C|": "2/2"}
"""Common time and cut time as they are printed (convention)."""

_METER = re.compile(r"(\d{1,3})/(\d{1,3})")


@dataclass(frozen=True, slots=True)
class Meter:
    """A time signature: 1 to 32 notes of one value (2, 4, 8 or 16) in a bar."""

    numerator: int
    denominator: int

    def __post_init__(self) -> None:
        if not 1 <= self.numerator <= _MOST_BEATS or self.denominator not in _DENOMINATORS:
            raise RequestError(
                f"meter {self} is not one we can count",
                f"write 1 to {_MOST_BEATS} over 2, 4, 8 or 16, like 4/4 or 6/8",
            )

    @classmethod
    def parse(cls, text: str) -> "Meter":
        """Return the meter of a text such as `6/8`, `C` (4/4) or `C|` (2/2).

        Raises RequestError for another text.
        """
        written = text.strip()
        match = _METER.fullmatch(_SIGNS.get(written, written))
        if not match:
            raise RequestError(f"{text!r} is no meter", "write one like 4/4, 3/4 or 6/8")
        return cls(int(match[1]), int(match[2]))

    @property
    def is_compound(self) -> bool:
        """Whether the felt beat divides in three."""
        return self.numerator in (6, 9, 12) and self.denominator in (8, 16)

    @property
    def beat(self) -> Time:
        """The length of a felt beat, in ticks."""
        return 4 * QUARTER // self.denominator * (3 if self.is_compound else 1)

    @property
    def beats(self) -> int:
        """Felt beats in a bar."""
        return self.numerator // 3 if self.is_compound else self.numerator

    @property
    def bar(self) -> Time:
        """The length of a bar, in ticks."""
        return self.beat * self.beats

    @property
    def division(self) -> Time:
        """The felt beat's natural part: its half, or its third in compound time, in ticks."""
        return self.beat // (3 if self.is_compound else 2)

    def __str__(self) -> str:
        return f"{self.numerator}/{self.denominator}"
