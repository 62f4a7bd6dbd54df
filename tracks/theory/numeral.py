"""Roman numerals, read in a key.

Conventions
- Numerals follow the RomanText format: the case is the third's, the figure 7 is the key's own seventh
  (`o7` diminished, `/o7` or `ø7` half-diminished, `d7` a minor seventh over a major triad).
- In minor, a number alone means: III the natural third degree (C E G in A minor; III+ is the augmented chord
  of the harmonic minor), VI and VII the natural degrees, vi and vii the raised ones (vi is F# A C#, viio
  G# B D). A flat before VI or VII, or a sharp before vi or vii, only says so again, as RomanText's reading
  ("cautionary") has it; a second one alters. Every other accidental counts from the key's own degree.
- `V7/V` is read in the key of the chord under the slash. `Cad64` is the tonic's six-four.
- In brackets: `[add9]` adds the key's own ninth, `[no3]` leaves the third out, `[sus4]` puts the fourth in
  its place, `[b5]` alters a tone that is there or adds one counted in the root's major scale, `[maj7]` is a
  major seventh. Where the bass is left out, the next tone of the chord above it is the bass.
- Written as on lead sheets they are read too, and called as in RomanText: `vii°7` viio7, `iiø7` ii/o7,
  `Idom7` Id7, `Imaj7` I[maj7], `V7sus4` V7[sus4], `V7b9` V7[b9]; round brackets are square ones.

Sources: syntax file of the When in Rome collection (RomanText); the cautionary sixth and seventh, music21's
RomanText reader; inversion figures, the augmented sixths
and the Neapolitan, Open Music Theory (thoroughbass figures; altered subdominants).
"""

import re
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import NamedTuple

from tracks.theory.chord import Chord, degree_interval
from tracks.theory.chord_kinds import BY_NAME
from tracks.theory.errors import RequestError
from tracks.theory.key import Key, Mode, scale_degree
from tracks.theory.pitch import Interval, Tone, alteration, ascii_accidentals

_DEGREES = {"I": 1, "II": 2, "III": 3, "IV": 4, "V": 5, "VI": 6, "VII": 7}

# Figure -> (degrees above the root that it adds to the triad, place in the chord of its bass, None: free).
_FIGURES: dict[str, tuple[tuple[int, ...], int | None]] = {
    "": ((), None), "5": ((), 0), "53": ((), 0), "6": ((), 1), "63": ((), 1), "64": ((), 2),
    "7": ((7,), None), "75": ((7,), 0), "753": ((7,), 0),
    "65": ((7,), 1), "653": ((7,), 1), "43": ((7,), 2), "643": ((7,), 2),
    "42": ((7,), 3), "2": ((7,), 3), "642": ((7,), 3),
    "9": ((7, 9), None), "97": ((7, 9), None), "11": ((7, 9, 11), None), "13": ((7, 9, 11, 13), None),
    "4": ((4,), None), "54": ((4,), None), "74": ((4, 7), None), "754": ((4, 7), None),
}  # fmt: skip

# Name -> (degree of the root in the major scale, semitones it is altered by, kind, its usual figure).
_NAMED: dict[str, tuple[int, int, str, str]] = {
    "N": (2, -1, "major", "6"),
    "It": (4, 1, "Italian", "6"),
    "Ger": (4, 1, "German", "65"),
    "Fr": (2, 0, "French", "43"),
}

_TRIADS = {
    "major": ("M3", "P5"), "minor": ("m3", "P5"), "o": ("m3", "d5"), "ø": ("m3", "d5"), "+": ("M3", "A5"),
    "d": ("M3", "P5"),
}  # fmt: skip

_NUMERAL = re.compile(
    r"(?P<accidentals>#*|b*)(?P<degree>VII|VI|IV|V|III|II|I|vii|vi|iv|v|iii|ii|i)"
    r"(?P<quality>o|ø|/o|\+|d)?(?P<figure>\d(?:/?\d)*)?(?P<late>\+)?(?P<brackets>(?:\[[^\]]+\])*)"
)
_SPECIAL = re.compile(r"(?P<name>N|It|Ger|Fr|Cad)(?P<figure>\d(?:/?\d)*)?(?P<brackets>(?:\[[^\]]+\])*)")
_APPLIED = re.compile(r"(.+?)/(?=[#b]*[IViv])(.+)")
_BRACKET = re.compile(r"(add|no|sus)?(#+|b+)?(\d{1,2})|maj(7|9|11|13)")
_SIGNS = str.maketrans({"°": "o", "ø": "/o", "(": "[", ")": "]"})
# A change without its brackets; what is in brackets already is found first, and left alone.
_UNBRACKETED = re.compile(
    r"\[[^\]]*\]|maj(65|43|42)|(maj(?:7|9|11|13)|(?:add|no|sus)\d+|(?<=\d)(?:#|b)(?:5|9|11|13))"
)


@dataclass(frozen=True, slots=True)
class _Home:
    """A tonic and mode that a numeral is read in; unlike a Key it may need any number of accidentals."""

    tonic: Tone
    mode: Mode

    def degree(self, number: int) -> Tone:
        return scale_degree(self.tonic, self.mode, number)


class _Root(NamedTuple):
    """The tone that a numeral stands on, its degree in the key, and the whole text, to be told in a fault."""

    tone: Tone
    number: int
    home: _Home
    whole: str

    def own(self, degree: int, *, suspended: bool = False) -> Interval:
        """Return the interval to the key's own tone, so many degrees above.

        A fourth suspended over an altered root is perfect: bVII[sus4] in C has Eb.
        """
        if suspended and degree == 4 and self.tone != self.home.degree(self.number):
            return Interval.parse("P4")
        own = self.home.degree(self.number + degree - 1)
        return Interval(own.fifths - self.tone.fifths, degree - 1)


def is_numeral(text: str) -> bool:
    """Return whether a text has the form of a Roman numeral, in whatever key."""
    plain = _as_romantext(text)
    head = _APPLIED.fullmatch(plain)
    return bool(_NUMERAL.match(plain) or _SPECIAL.fullmatch(head[1] if head else plain))


@lru_cache(maxsize=4096)
def parse_numeral(text: str, key: Key) -> Chord:
    """Return the chord of a Roman numeral in a key.

    Raises RequestError for another text, saying what it lacks.
    """
    plain = _as_romantext(text)
    return replace(_read(plain, _Home(key.tonic, key.mode), text), numeral=plain)


def _as_romantext(text: str) -> str:
    plain = ascii_accidentals(text).translate(_SIGNS).replace("dom", "d")
    return _UNBRACKETED.sub(_bracketed, plain)


def _bracketed(match: re.Match[str]) -> str:
    inverted, change = match.groups()
    return f"{inverted}[maj7]" if inverted else f"[{change}]" if change else match[0]


def _read(text: str, home: _Home, whole: str) -> Chord:
    applied = _APPLIED.fullmatch(text)
    if applied:
        head, under = applied.groups()
        # RomanText files also write a chord's brackets after the slash.
        stem, bracket, rest = under.partition("[")
        return _read(head + bracket + rest, _tonicized(stem, home, whole), whole)
    special = _SPECIAL.fullmatch(text)
    if special:
        return _read_special(special["name"], special["figure"], special["brackets"], home, whole)
    match = _NUMERAL.fullmatch(text)
    if not match:
        raise RequestError(f"{whole!r} is no numeral", "write one like ii, V7, V65, viio7, bVI or V7/V")
    return _read_plain(match, home, whole)


def _tonicized(text: str, home: _Home, whole: str) -> _Home:
    chord = _read(text, home, whole)
    third, fifth = chord.factor(3), chord.factor(5)
    if third is None or fifth is None or chord.root.interval_to(fifth) != Interval.parse("P5"):
        raise RequestError(f"{whole!r}: {text} is no major or minor chord, so nothing can be applied to it")
    minor = chord.root.interval_to(third) == Interval.parse("m3")
    return _Home(chord.root, Mode.MINOR if minor else Mode.MAJOR)


def _read_special(name: str, figure: str | None, brackets: str, home: _Home, whole: str) -> Chord:
    if name == "Cad":
        if (figure or "64").replace("/", "") != "64":
            raise RequestError(f"{whole!r}: the cadential chord is written Cad64")
        tonic = "i" if home.mode is Mode.MINOR else "I"
        return _read(f"{tonic}64{brackets}", home, whole)
    degree, alter, kind, usual = _NAMED[name]
    root = _Root(home.tonic.up(degree_interval(degree, alter)), degree, home, whole)
    intervals = BY_NAME[kind].intervals
    # "Fr6" is how many books name the chord, whose bass is b6 all the same.
    added, place = _figure(usual if figure in (None, "6") else figure, whole)
    if added and len(intervals) < 4:
        raise RequestError(f"{whole!r}: a chord of {len(intervals)} tones has no figure {figure}")
    return _finished(root, {i.steps: i for i in intervals}, brackets, place)


def _figure(figure: str, whole: str) -> tuple[tuple[int, ...], int | None]:
    try:
        return _FIGURES[figure.replace("/", "")]
    except KeyError:
        raise RequestError(f"{whole!r}: {figure} is no figure", "write 6, 64, 7, 65, 43 or 42") from None


def _read_plain(match: re.Match[str], home: _Home, whole: str) -> Chord:
    roman = match["degree"]
    number = _DEGREES[roman.upper()]
    minor = roman.islower()
    quality = (match["quality"] or match["late"] or "").replace("/o", "ø")
    alter = alteration(match["accidentals"])
    if home.mode is Mode.MINOR and number in (6, 7):
        alter = _from_natural(alter, raised=minor)
    root = _Root(home.degree(number).up(degree_interval(1, alter)), number, home, whole)

    third, fifth = _TRIADS[quality or ("minor" if minor else "major")]
    tones = {0: degree_interval(1), 2: Interval.parse(third), 4: Interval.parse(fifth)}
    added, place = _figure(match["figure"] or "", whole)
    for degree in added:
        tones[degree - 1] = root.own(degree, suspended=True)
    if 7 in added and quality in ("o", "ø", "d"):
        tones[6] = Interval.parse("d7" if quality == "o" else "m7")
    elif 7 in added and minor and tones[6] == Interval.parse("M7"):
        # A minor chord borrowed into major brings its own minor seventh along: iv7 in C has Eb.
        tones[6] = Interval.parse("m7")
    if 4 in added:
        del tones[2]
    return _finished(root, tones, match["brackets"], place)


def _from_natural(alter: int, *, raised: bool) -> int:
    """Return how far a minor key's sixth or seventh degree is raised, for its written accidentals.

    The first sharp before a chord that stands on the raised degree, or flat before one that does not,
    only reminds of it.
    """
    if raised:
        return alter if alter > 0 else alter + 1
    return alter if alter >= 0 else alter + 1


def _finished(root: _Root, tones: dict[int, Interval], brackets: str, place: int | None) -> Chord:
    bass_steps = sorted(tones)[place or 0]
    for change in re.findall(r"[^\[\]]+", brackets):
        # Several may share a bracket: [no3no5].
        for part in re.findall(r"(?:add|no|sus|maj)?[#b]*\d+|[^,]+", change):
            _alter(root, tones, part)
    if not tones:
        raise RequestError(f"{root.whole!r}: its brackets leave no tone")
    left = sorted(tones)
    bass = tones[next((steps for steps in left if steps >= bass_steps), left[0])]
    intervals = tuple(tones[steps] for steps in left)
    return Chord(root.tone, intervals, root.tone.up(bass), pinned=place is not None)


def _alter(root: _Root, tones: dict[int, Interval], change: str) -> None:
    match = _BRACKET.fullmatch(change)
    if match and match[4]:
        tones |= {degree - 1: degree_interval(degree) for degree in range(7, int(match[4]) + 1, 2)}
        return
    if not match or not 1 <= int(match[3]) <= 13:
        raise RequestError(f"{root.whole!r}: [{change}] is no change", "write [add9], [no3], [sus4] or [b5]")
    word, accidental, degree = match[1], match[2] or "", int(match[3])
    steps, shift = degree - 1, degree_interval(1, alteration(accidental)).fifths
    if word == "no":
        tones.pop(steps, None)
    elif word or steps not in tones:
        if word == "sus":
            tones.pop(2, None)
        own = root.own(degree, suspended=word == "sus") if word else degree_interval(degree)
        tones[steps] = Interval(own.fifths + shift, steps)
    else:
        tones[steps] = Interval(tones[steps].fifths + shift, steps)
