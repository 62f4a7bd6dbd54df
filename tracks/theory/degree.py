"""Bare scale degrees, read as the chords that are practiced on them.

Conventions
- A bare degree is the chord of that degree as practiced: in major 1 2 3 4 5 6 7 are I ii iii IV V vi viio,
  in minor i iio III iv V VI viio: so 3 is the natural III and 7 the viio of the leading tone, while b7 is
  the subtonic VII, and b3 and b6 are the III and VI that they are without the flat. A following 7 adds the
  seventh; `5/7` puts degree 7 in the bass.
- The numerals are those of `tracks.theory.numeral`; an altered degree is the chord of mixture or of the
  leading tone (convention).
"""

import re
from dataclasses import replace
from functools import lru_cache

from tracks.theory.chord import Chord, degree_interval
from tracks.theory.errors import RequestError
from tracks.theory.key import Key, scale_degree
from tracks.theory.numeral import parse_numeral
from tracks.theory.pitch import alteration, ascii_accidentals

_DEGREE = re.compile(r"(#|b)?([1-7])(7)?(?:/(#|b)?([1-7]))?")
_ROMAN = ("I", "II", "III", "IV", "V", "VI", "VII")
_MAJOR_PRACTICE = ("I", "ii", "iii", "IV", "V", "vi", "viio")
_MINOR_PRACTICE = ("i", "iio", "III", "iv", "V", "VI", "viio")


def is_degree(text: str) -> bool:
    """Return whether a text has the form of a bare scale degree."""
    return bool(_DEGREE.fullmatch(text))


@lru_cache(maxsize=1024)
def parse_degree(text: str, key: Key) -> Chord:
    """Return the chord of a bare scale degree such as `6`, `57`, `b7` or `5/7`.

    Raises RequestError for another.
    """
    match = _DEGREE.fullmatch(ascii_accidentals(text))
    if not match:
        raise RequestError(
            f"{text!r} is no scale degree", "write 1 to 7, with a 7 after it for a seventh chord, like 57"
        )
    accidental, number, seventh, bass_accidental, bass = match.groups()
    numeral = _practiced(int(number), accidental or "", key)
    if seventh:
        # The leading tone's seventh chord is half-diminished in major and diminished in minor.
        half_diminished = numeral.endswith("o") and not (key.is_minor and numeral == "viio")
        numeral = (numeral[:-1] + "/o7") if half_diminished else numeral + "7"
    chord = parse_numeral(numeral, key)
    if not bass:
        return chord
    tone = scale_degree(key.tonic, key.mode, int(bass)).up(
        degree_interval(1, alteration(bass_accidental or ""))
    )
    in_chord = next((t for t in chord.tones if t.step == tone.step and not bass_accidental), tone)
    inverted = replace(chord, bass=in_chord, pinned=True)
    if inverted.bass_is_foreign:
        return inverted
    return replace(
        inverted, numeral=with_figure(numeral, inverted.tones.index(in_chord), seventh=bool(seventh))
    )


def with_figure(numeral: str, inversion: int, *, seventh: bool) -> str:
    """Return a root-position numeral (`V`, `V7`) with the figures of an inversion (`V6`, `V65`)."""
    stem = numeral.removesuffix("7") if seventh else numeral
    return stem + (("7", "65", "43", "42") if seventh else ("", "6", "64", ""))[inversion]


def _practiced(number: int, accidental: str, key: Key) -> str:
    """Return the numeral of a degree as practiced; an altered one as mixture or leading tone has it."""
    if not accidental or (key.is_minor and accidental == "b" and number in (3, 6)):
        return (_MINOR_PRACTICE if key.is_minor else _MAJOR_PRACTICE)[number - 1]
    roman = _ROMAN[number - 1]
    return f"b{roman}" if accidental == "b" else f"#{roman.lower()}o"
