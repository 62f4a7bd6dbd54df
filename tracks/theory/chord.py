"""Chords, and the chord symbols that name them.

Conventions
- A chord is a root and spelled intervals above it, root first, in thirds; the bass is one of its tones
  or, under a slash, a foreign one.
- `pinned` says that a figure or a slash was written and so asks for that lowest note; a chord without
  one leaves the inversion to the voicing.

Grammar of a symbol: root, kind (a spelling of `chord_kinds`), changes, slash and bass.
A change is `b9`, `#11`, `b5`, `add9`, `addmaj7`, `no3`, `sus4`, alone or in brackets, separated by commas or
not at all; `-9` and `+9` are older ways to write `b9` and `#9`. `add7` is the minor seventh, as in `7`.
"""

import re
from dataclasses import dataclass
from functools import lru_cache

from tracks.theory.chord_kinds import BY_INTERVALS, BY_SPELLING, KINDS, ChordKind, without_brackets
from tracks.theory.errors import RequestError
from tracks.theory.pitch import Interval, Tone, accidentals, ascii_accidentals

_DIMINISHED_THIRD, _MINOR_THIRD, _DIMINISHED_FIFTH = (Interval.parse(name) for name in ("d3", "m3", "d5"))
_MAJOR_SCALE_FIFTHS = (0, 2, 4, -1, 1, 3, 5)
_SYMBOL = re.compile(r"([A-G](?:##?|bb?)?)(.*?)(?:/([A-G](?:#+|b+)?))?")
_CHANGE = re.compile(r"(add|no|omit|sus)?(maj|bb?|##?|[+-]|)(1[0-3]|[1-9])")
_ALTERS = {"bb": -2, "b": -1, "-": -1, "#": 1, "+": 1, "##": 2, "maj": 0, "": 0}
_UNTIDY = ("add", "no", "b6", "bb", "##")
_LONGEST_SPELLING = max(map(len, BY_SPELLING))


def degree_interval(degree: int, alter: int = 0) -> Interval:
    """Return the interval of a major-scale degree, 1 to 13, raised or lowered by semitones."""
    return Interval(_MAJOR_SCALE_FIFTHS[(degree - 1) % 7] + 7 * alter, degree - 1)


@dataclass(frozen=True, slots=True)
class Chord:
    """A root, the intervals above it (root first) and the bass; `numeral` is its name in the key."""

    root: Tone
    intervals: tuple[Interval, ...]
    bass: Tone
    pinned: bool = False
    numeral: str = ""

    def __post_init__(self) -> None:
        if not self.intervals:
            raise RequestError(f"the chord on {self.root} has no tone left")

    @property
    def tones(self) -> tuple[Tone, ...]:
        """The chord's own tones, root first; a foreign bass is not among them."""
        return tuple(self.root.up(interval) for interval in self.intervals)

    @property
    def bass_is_foreign(self) -> bool:
        """Whether the bass is no tone of the chord."""
        return self.bass not in self.tones

    def factor(self, number: int) -> Tone | None:
        """Return the chord's third (3), fifth (5), seventh (7) and so on, or None where it has none."""
        return next((self.root.up(i) for i in self.intervals if i.steps == number - 1), None)

    @property
    def third_or_suspension(self) -> Tone | None:
        """The third, or the suspended fourth or second that stands for it."""
        return self.factor(3) or self.factor(4) or self.factor(2)

    @property
    def seventh_or_sixth(self) -> Tone | None:
        """The seventh, or the added sixth that stands for it."""
        return self.factor(7) or self.factor(6)

    @property
    def is_diminished(self) -> bool:
        """Whether it is a diminished triad, or a larger chord on one."""
        return _MINOR_THIRD in self.intervals and _DIMINISHED_FIFTH in self.intervals

    @property
    def is_italian_or_german_sixth(self) -> bool:
        """Whether it is an augmented sixth on the raised fourth, told by its diminished third."""
        return _DIMINISHED_THIRD in self.intervals

    @property
    def is_french_sixth(self) -> bool:
        """Whether it is named a French sixth: its tones alone are those of a chord with a flat fifth."""
        return self.numeral.startswith("Fr")

    @property
    def named_root(self) -> Tone:
        """The tone that the chord is named on and its inversions count from.

        It is the root; of an augmented sixth the flat sixth, as in its symbol and its name (convention).
        """
        if self.is_italian_or_german_sixth:
            return self.root.up(_DIMINISHED_THIRD)
        french = self.factor(5) if self.is_french_sixth else None
        return french or self.root

    @property
    def named_tones(self) -> tuple[Tone, ...]:
        """The chord's own tones from the one it is named on: that at place 1 is lowest in first inversion."""
        start = self.named_root
        return (
            self.tones
            if start == self.root
            else tuple(sorted(self.tones, key=lambda t: start.interval_to(t).steps))
        )

    @property
    def symbol(self) -> str:
        """The chord symbol, ASCII, with its slash bass: `Bb7/D`.

        Augmented sixths are written as the dominant seventh they sound like, on the flat sixth.
        """
        kind, changes = name(self.intervals)
        root, suffix = self.named_root, (*kind.spellings, "")[0]
        if kind.name in ("Italian", "German"):
            suffix = "7" if kind.name == "German" else "7(no5)"
        elif not kind.spellings:
            kind, changes = _nearest(self.intervals)
            suffix = kind.spellings[0]
        if changes:
            suffix += f"({','.join(changes)})"
        return f"{root}{suffix}" + (f"/{self.bass}" if self.bass != root else "")


def name(intervals: tuple[Interval, ...]) -> tuple[ChordKind, tuple[str, ...]]:
    """Return the kind nearest to the intervals and the changes that make up the difference.

    A change reads `b9`, `#11`, `add9`, `no3`; the fewest are taken, rather altered tones than added or
    missing ones, then the kind that stands first.
    """
    exact = BY_INTERVALS.get(intervals)
    return (exact, ()) if exact else _nearest(intervals)


def _nearest(intervals: tuple[Interval, ...]) -> tuple[ChordKind, tuple[str, ...]]:
    named = ((kind, _changes(kind, intervals)) for kind in KINDS if kind.spellings)
    return min(named, key=lambda pair: (len(pair[1]), sum(c.startswith(_UNTIDY) for c in pair[1])))


def _changes(kind: ChordKind, intervals: tuple[Interval, ...]) -> tuple[str, ...]:
    wanted = {interval.steps: interval for interval in intervals}
    given = {interval.steps: interval for interval in kind.intervals}
    changes = [
        _change(interval, added=steps not in given)
        for steps, interval in sorted(wanted.items())
        if given.get(steps) != interval
    ]
    return (*changes, *(f"no{steps + 1}" for steps in sorted(given) if steps not in wanted))


def _change(interval: Interval, *, added: bool) -> str:
    degree = interval.steps + 1
    alter = (interval.fifths - degree_interval(degree).fifths) // 7
    accidental = accidentals(alter)
    if degree == 7 and alter in (0, -1):
        accidental = "" if alter and added else "b" if alter else "maj"
    plain_addition = added and not (accidental and degree > 8)
    return ("add" if plain_addition else "") + accidental + str(degree)


@lru_cache(maxsize=1024)
def parse_symbol(text: str) -> Chord:
    """Return the chord of a symbol such as `Ebmaj7`, `F#m7b5` or `C/E`.

    Raises RequestError for another text.
    """
    plain = ascii_accidentals(text)
    match = _SYMBOL.fullmatch(plain)
    if not match:
        raise RequestError(f"{text!r} is no chord symbol", "write one like Ebmaj7, F#m7b5 or C/E")
    root = Tone.parse(match[1])
    intervals = _read_kind(match[2], text)
    bass = Tone.parse(match[3]) if match[3] else root
    return Chord(root, intervals, bass, pinned=match[3] is not None)


def _read_kind(suffix: str, text: str) -> tuple[Interval, ...]:
    plain = without_brackets(suffix)
    if suffix.count("(") == suffix.count(")"):
        for end in range(min(len(plain), _LONGEST_SPELLING), -1, -1):
            kind = BY_SPELLING.get(plain[:end])
            intervals = _apply_changes(kind.intervals, plain[end:]) if kind else None
            if intervals:
                return intervals
    raise RequestError(
        f"{text!r}: {suffix!r} is no kind of chord", "write one like m7, maj7, dim7, 7b9, sus4 or add9"
    )


def _apply_changes(intervals: tuple[Interval, ...], text: str) -> tuple[Interval, ...] | None:
    """Return the intervals with the written changes made, or None where the text is no list of changes."""
    tones = {interval.steps: interval for interval in intervals}
    while text:
        match = _CHANGE.match(text)
        if not match or not _apply_change(tones, match[1] or "", match[2], int(match[3])):
            return None
        text = text[match.end() :]
    return tuple(tones[steps] for steps in sorted(tones))


def _apply_change(tones: dict[int, Interval], word: str, sign: str, degree: int) -> bool:
    if not (word or sign) or (sign == "maj" and degree != 7) or (degree == 1 and word != "no"):
        return False
    steps = degree - 1
    if word in ("no", "omit"):
        return tones.pop(steps, None) is not None
    if word == "sus":
        tones.pop(2, None)
        tones.pop(steps + 7, None)
    # An added seventh is the dominant's unless its sign says otherwise (convention).
    alter = _ALTERS[sign] - (degree == 7 and not sign)
    tones[steps] = degree_interval(degree, alter)
    return True
