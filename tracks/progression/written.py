"""Written chords: the words of a progression in their time, before they are read in a key.

Conventions
- A word is a Roman numeral, a scale degree or a chord symbol; one progression uses one kind.
- `place` says what counts a chord's place for a fault: the column of a text, the measure of a file.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import Enum

from tracks.theory.analysis import numeral_of
from tracks.theory.chord import Chord, parse_symbol
from tracks.theory.degree import is_degree, parse_degree
from tracks.theory.errors import RequestError, listed
from tracks.theory.key import Key
from tracks.theory.meter import Meter, Time
from tracks.theory.numeral import is_numeral, parse_numeral

MOST_CHORDS = 2000
LONGEST_WORD = 100
"""Letters of a chord: what is longer is none, and is not looked at."""
_MOST_DIGITS = 9


class Writing(Enum):
    """The kind of word that a progression's chords are written in."""

    NUMERALS = "Roman numerals"
    DEGREES = "scale degrees"
    SYMBOLS = "chord symbols"


@dataclass(frozen=True, slots=True)
class WrittenChord:
    """A chord of the text in its time; `text` is None in silence, `key` is the key named for it, if any.

    `column` is its place, as the progression counts them. `written` numbers it in the text, so that what a
    repeat sign plays again is known as the same.
    """

    text: str | None
    column: int
    start: Time
    length: Time
    bar: int
    written: int
    key: Key | None


@dataclass(frozen=True, slots=True)
class Progression:
    """A progression with its rhythm, every repeat sign played out, not yet in a key."""

    meter: Meter
    writing: Writing | None
    chords: tuple[WrittenChord, ...]
    length: Time
    pickup: Time
    place: str = "column"

    @property
    def first_key(self) -> Key | None:
        """The key that the text names at its start, if it names any."""
        return self.chords[0].key


class Faults:
    """Every fault found so far, each with its place."""

    def __init__(self, place: str = "column") -> None:
        self.place = place
        self.found: list[tuple[int, str, str]] = []

    def add(self, number: int, reason: str, fix: str = "") -> None:
        """Note a fault at a place."""
        self.found.append((number, reason, fix))

    def raise_any(self) -> None:
        """Raise one RequestError that names every place, if there is any; what several share is said once.

        Its place is that of the first.
        """
        numbers: dict[tuple[str, str], list[str]] = {}
        for number, reason, fix in sorted(set(self.found)):
            numbers.setdefault((reason, fix), []).append(str(number))
        if not numbers:
            return
        by_fix: dict[str, list[tuple[str, str]]] = {}
        for (reason, fix), at in numbers.items():
            by_fix.setdefault(fix, []).append((f"{self.place} {listed(at, 'and')}", reason))
        groups = [([each], "") for each in by_fix.pop("", [])]
        *before, (last, fix) = [*groups, *((each, fix) for fix, each in by_fix.items())]
        (first, _), *_ = before[0][0] if before else last
        said = [_said(each) + (f"; {fix}" if fix else "") for each, fix in before]
        reason = "; ".join([*said, _said(last)]).removeprefix(f"{first}: ")
        raise RequestError(reason, fix, ("progression", first))


def _said(faults: Iterable[tuple[str, str]]) -> str:
    return ", ".join(f"{place}: {reason}" for place, reason in faults)


def whole_number(digits: str) -> int:
    """Return the number of digits; raise RequestError for more of them than any count in music has."""
    if len(digits) > _MOST_DIGITS:
        raise RequestError(f"a number of {len(digits)} digits is more than we can count", "check it")
    return int(digits)


def check_word(text: str) -> None:
    """Raise RequestError for a word that is too long to be a chord."""
    if len(text) > LONGEST_WORD:
        raise RequestError(f"{text[:LONGEST_WORD]!r}... is no chord", "put spaces between chords")


def writing_of(text: str) -> Writing:
    """Return which kind of word a chord is; raise RequestError where it is none of the three."""
    check_word(text)
    if is_degree(text):
        return Writing.DEGREES
    if is_numeral(text):
        return Writing.NUMERALS
    if text[:1] in "ABCDEFG":
        return Writing.SYMBOLS
    raise RequestError(
        f"{text!r} is no chord", "write a numeral like V7, a degree like 5 or a symbol like Bb7"
    )


def read(text: str, writing: Writing, key: Key) -> Chord:
    """Return the chord of one word; a symbol or a degree gets its numeral in the key. Raises RequestError."""
    if writing is Writing.SYMBOLS:
        chord = parse_symbol(text)
        return replace(chord, numeral=numeral_of(chord, key))
    return (parse_degree if writing is Writing.DEGREES else parse_numeral)(text, key)


def is_silence(text: str) -> bool:
    """Return whether a word says that nothing sounds: `N.C.`."""
    return text.lower() in ("n.c.", "nc", "n.c")
