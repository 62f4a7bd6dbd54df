"""Spelled notes and intervals on the line of fifths.

Conventions
- A *tone* is a note name without an octave. Its place on the line of fifths is one integer:
  ... Bb = -2, F = -1, C = 0, G = 1, D = 2 ...; seven places on is one sharp more on the same letter.
- A *pitch* is a tone in an octave. C4 is middle C, MIDI 60; the octave number belongs to the
  letter, so Cb4 is MIDI 59 and B#3 is MIDI 60.
- Names are ASCII (`Bb`, `F##`); `sign` gives what people read (B♭, F𝄪).
"""

import re
from dataclasses import dataclass
from functools import lru_cache

from tracks.theory.errors import RequestError

_LETTERS_BY_FIFTHS = "FCGDAEB"
_NATURAL_SEMITONES = (0, 2, 4, 5, 7, 9, 11)
_MOST_ACCIDENTALS = 4

_SIGNS = {"♯": "#", "♭": "b", "𝄪": "##", "𝄫": "bb"}
_TONE = re.compile(r"([A-G])(#*|b*)")
_PITCH = re.compile(r"([A-G](?:#*|b*))(-?\d{1,3})")
_DIMINISHED = re.compile(r"(?<![A-Za-z])([ivIV]+)(/?)o(?![A-Za-z])")
_INTERVAL = re.compile(r"(P|M|m|A+|d+)(\d{1,3})")


def ascii_accidentals(text: str) -> str:
    """Return text with the musical signs written as `b` and `#`."""
    for sign, plain in _SIGNS.items():
        text = text.replace(sign, plain)
    return text


def accidentals(alter: int) -> str:
    """Return the signs that raise a note by half steps, or lower it by a negative number of them."""
    return "#" * alter if alter > 0 else "b" * -alter


def alteration(accidentals: str) -> int:
    """Return the half steps by which `#` and `b` raise a note; lowered is negative."""
    return accidentals.count("#") - accidentals.count("b")


def signs(text: str) -> str:
    """Return an ASCII note name, chord symbol or numeral as people read it.

    `Bb7(#11)` is B♭7(♯11), `viio7` is vii°7, `ii/o65` is iiø65.
    """
    text = re.sub(r"(?<![A-Za-z])b(?=[b0-9IVivN])|(?<=[A-G])b|(?<=[A-G]b)b|(?<=\d)b(?=\d)", "♭", text)
    text = re.sub(r"(?<=♭)b", "♭", text)
    text = _DIMINISHED.sub(lambda match: match[1] + ("ø" if match[2] else "°"), text)
    return text.replace("#", "♯").replace("♭♭", "𝄫").replace("♯♯", "𝄪")


@dataclass(frozen=True, slots=True, order=True)
class Interval:
    """A spelled interval: places on the line of fifths and letter steps (a third is two).

    Both may be negative for a downward interval.
    """

    fifths: int
    steps: int

    @classmethod
    def parse(cls, name: str) -> "Interval":
        """Return the interval of a name such as `P5`, `m7`, `A4` or `d7`.

        Raises RequestError for another text.
        """
        match = _INTERVAL.fullmatch(name)
        if not match or match[2] == "0":
            raise RequestError(f"{name!r} is no interval", "write one like P5, m7 or A4")
        quality, number = match[1], int(match[2])
        fifths = (0, 2, 4, -1, 1, 3, 5)[(number - 1) % 7]
        perfect = (number - 1) % 7 in (0, 3, 4)
        if quality in (("M", "m") if perfect else ("P",)):
            raise RequestError(
                f"{name!r} is no interval", f"this one is {'perfect' if perfect else 'major or minor'}"
            )
        sharps = {"A": len(quality), "m": -1, "d": -len(quality) - (not perfect)}.get(quality[0], 0)
        return cls(fifths + 7 * sharps, number - 1)

    @property
    def semitones(self) -> int:
        """The size in semitones, negative downwards."""
        octaves = (self.steps - 4 * self.fifths) // 7
        return 7 * self.fifths + 12 * octaves


@dataclass(frozen=True, slots=True, order=True)
class Tone:
    """A note name without an octave, by its place on the line of fifths (C = 0, G = 1, F = -1)."""

    fifths: int

    def __post_init__(self) -> None:
        if abs(self.alter) > _MOST_ACCIDENTALS:
            raise RequestError(f"a note {self.alter:+d} semitones from {self.letter} is beyond notation")

    @classmethod
    def parse(cls, name: str) -> "Tone":
        """Return the tone of a name such as `Bb`, `F#` or `E♭`; raise RequestError for another text."""
        match = _TONE.fullmatch(ascii_accidentals(name))
        if not match:
            raise RequestError(f"{name!r} is no note name", "write one like C, Bb or F#")
        return cls(_LETTERS_BY_FIFTHS.index(match[1]) - 1 + 7 * alteration(match[2]))

    @property
    def letter(self) -> str:
        """The letter, A to G."""
        return _LETTERS_BY_FIFTHS[(self.fifths + 1) % 7]

    @property
    def step(self) -> int:
        """The letter's place in the octave: C = 0 to B = 6."""
        return 4 * self.fifths % 7

    @property
    def alter(self) -> int:
        """Semitones that the accidentals add: -1 for a flat."""
        return (self.fifths + 1) // 7

    @property
    def chroma(self) -> int:
        """The pitch class, 0 (C) to 11 (B)."""
        return 7 * self.fifths % 12

    @property
    def name(self) -> str:
        """The ASCII name: `Bb`, `F##`."""
        return self.letter + accidentals(self.alter)

    @property
    def sign(self) -> str:
        """The name as people read it: B♭, F𝄪."""
        return signs(self.name)

    def up(self, interval: Interval) -> "Tone":
        """Return the tone that lies the interval above (below, for a downward interval)."""
        return Tone(self.fifths + interval.fifths)

    def interval_to(self, other: "Tone") -> Interval:
        """Return the upward interval to another tone, from a unison to a seventh (0 to 6 steps)."""
        return Interval(other.fifths - self.fifths, (other.step - self.step) % 7)

    def __str__(self) -> str:
        return self.name


@lru_cache(maxsize=1024)
def _midi(fifths: int, octave: int) -> int:
    return 12 * (octave + 1) + _NATURAL_SEMITONES[4 * fifths % 7] + (fifths + 1) // 7


@dataclass(frozen=True, slots=True)
class Pitch:
    """A spelled note in an octave; C4 is middle C. Its MIDI number lies in 0 to 127."""

    tone: Tone
    octave: int

    def __post_init__(self) -> None:
        if not 0 <= self.midi <= 127:
            raise RequestError(f"{self.name} is MIDI {self.midi}, outside 0 to 127")

    @classmethod
    def parse(cls, name: str) -> "Pitch":
        """Return the pitch of a name such as `Eb4`; raise RequestError for another text."""
        match = _PITCH.fullmatch(ascii_accidentals(name))
        if not match:
            raise RequestError(
                f"{name!r} is no pitch", "write a note and an octave like Eb4 (C4 is middle C)"
            )
        return cls(Tone.parse(match[1]), int(match[2]))

    @classmethod
    def at_or_above(cls, tone: Tone, midi: int) -> "Pitch":
        """Return the lowest pitch of the tone whose MIDI number is at least `midi`."""
        natural_in_octave_0 = _midi(tone.fifths, 0)
        return cls(tone, -((natural_in_octave_0 - midi) // 12))

    @property
    def midi(self) -> int:
        """The MIDI number; 60 is C4."""
        return _midi(self.tone.fifths, self.octave)

    @property
    def staff_step(self) -> int:
        """The place on the staff, counted in letters from C0: C4 = 28."""
        return 7 * self.octave + self.tone.step

    @property
    def name(self) -> str:
        """The ASCII name with its octave: `Eb4`."""
        return f"{self.tone.name}{self.octave}"

    @property
    def sign(self) -> str:
        """The name as people read it: E♭4."""
        return f"{self.tone.sign}{self.octave}"

    def up(self, interval: Interval) -> "Pitch":
        """Return the pitch that lies the interval above (below, for a downward interval)."""
        step = self.staff_step + interval.steps
        return Pitch(self.tone.up(interval), step // 7)

    def octaves_up(self, octaves: int) -> "Pitch":
        """Return the same tone some octaves higher (lower, for a negative number)."""
        return Pitch(self.tone, self.octave + octaves)

    def __str__(self) -> str:
        return self.name
