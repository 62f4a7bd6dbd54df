"""A chord's numeral as people read it: one spelling for screen, sheet, MusicXML and markers.

Conventions
- What is printed reads back, in its key, to the same chord: no two chords of a key print alike. A bass that
  no figure tells stands after a slash, by its note's name: `ii7/G`.
- A plain 7 (65, 43, 42) is printed only where both readings of it agree, RomanText's, the key's own seventh,
  and the books', a minor seventh above the root (Hutchinson 8.3). Elsewhere it is `maj7` or `dom7`: so I7 in
  a major key, which the two read as different chords, is never printed.
- What is added or altered counts from the root, as in the chord symbol: `V13`, `V7(b9)`, `iii7(9)`.
- Names are ASCII, like a RomanText numeral's; `pitch.signs` puts the signs in.
"""

import re
from collections.abc import Iterator
from functools import lru_cache
from itertools import product

from tracks.theory.chord import Chord, degree_interval
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.numeral import parse_numeral
from tracks.theory.pitch import Interval, accidentals

_PARTS = re.compile(
    r"(?P<stem>[#b]*(?:[IV]+|[iv]+))(?P<quality>/o|o|\+|d)?(?P<figure>\d(?:/?\d)*)?(?P<late>\+)?"
    r"(?:\[[^\]]*\])*(?P<under>/[^\[]+)?(?:\[[^\]]*\])*"
)
_INVERTED = {
    "6": "6", "63": "6", "64": "64", "65": "65", "653": "65", "43": "43", "643": "43", "42": "42", "2": "42",
    "642": "42",
}  # fmt: skip
_ROOT_POSITION = {"5": "53", "53": "53", "75": "753", "753": "753"}
_TRIADS = {"": ("M3", "P5"), "o": ("m3", "d5"), "/o": ("m3", "d5"), "+": ("M3", "A5")}
_m3, _M7 = Interval.parse("m3"), Interval.parse("M7")
_ROUND = str.maketrans("[]", "()")
_WORD = re.compile(r"[^\s|]+")
_KEY_CHANGE = re.compile(r"([A-Za-z][#b]*):(.*)")


@lru_cache(maxsize=4096)
def numeral_name(chord: Chord, key: Key) -> str:
    """Return the numeral of a chord in a key as it is printed, ASCII; "" for a chord without one."""
    readings = [chord.numeral.translate(_ROUND)] if chord.numeral else []
    match = _PARTS.fullmatch(chord.numeral)
    if match:
        readings = [*_spellings(chord, match), *readings]
    for text in readings:
        read = _read(text, key)
        if read and (read.root, read.intervals) == (chord.root, chord.intervals):
            return text if read.bass == chord.bass else f"{text}/{chord.bass}"
    return chord.numeral.translate(_ROUND)


def printed_text(text: str, key: Key) -> str:
    """Return a progression's text with every numeral as it is printed in the key, or in the key named for it.

    Bar lines, symbols, degrees and whatever else it holds stay as they are.
    """
    here = key

    def printed(match: re.Match[str]) -> str:
        nonlocal here
        named = _KEY_CHANGE.fullmatch(match[0])
        before, word = (f"{named[1]}:", named[2]) if named else ("", match[0])
        if named:
            try:
                here = Key.parse(named[1])
            except RequestError:
                return match[0]
        read = _read(word, here) if word else None
        return before + (numeral_name(read, here) if read else word)

    return _WORD.sub(printed, text)


def _read(text: str, key: Key) -> Chord | None:
    try:
        return parse_numeral(text, key)
    except RequestError:
        return None


def _spellings(chord: Chord, match: re.Match[str]) -> Iterator[str]:
    """Yield the ways to print a chord, the best first; some read as another chord in the key."""
    quality = (match["quality"] or match["late"] or "").replace("d", "")
    figure = (match["figure"] or "").replace("/", "")
    qualities = (quality, "") if quality == "+" else (quality,)
    seventh = chord.factor(7)
    words = ("",) if not seventh else ("maj",) if chord.root.up(_M7) == seventh else ("", "dom")
    for sign, word, stacked, add in product(qualities, words, (True, False), ("add", "")):
        number, is_stack = _number(chord, figure, stacked=stacked)
        changes = "".join(_changes(chord, _base(match["stem"], sign), number if is_stack else "", add))
        yield match["stem"] + sign + (word if number else "") + number + changes + (match["under"] or "")


def _number(chord: Chord, figure: str, *, stacked: bool) -> tuple[str, bool]:
    """Return the figures to print, and whether they are a stack of thirds above the root."""
    if figure in _INVERTED or figure in _ROOT_POSITION:
        return {**_INVERTED, **_ROOT_POSITION}[figure], False
    if not chord.factor(7):
        return "", False
    highest = 7
    while stacked and highest < 13 and degree_interval(highest + 2) in chord.intervals:
        highest += 2
    return str(highest), True


def _base(stem: str, quality: str) -> dict[int, Interval]:
    third, fifth = _TRIADS[quality]
    return {2: _m3 if stem.islower() else Interval.parse(third), 4: Interval.parse(fifth)}


def _changes(chord: Chord, base: dict[int, Interval], stack: str, add: str) -> Iterator[str]:
    """Yield what the chord has beside its triad, its seventh and the stack of thirds: `sus4`, `(b9,#11)`."""
    tones = {interval.steps: interval for interval in chord.intervals}
    told = {0, 6, *range(8, int(stack or 0), 2)}
    suspended = next((n for n in (4, 2) if 2 not in tones and tones.get(n - 1) == degree_interval(n)), None)
    if suspended:
        yield f"sus{suspended}"
        told |= {2, suspended - 1}
    changes = [
        f"no{steps + 1}" for steps in (0, 2, 4) if steps not in tones and (steps not in told or not steps)
    ]
    for steps, interval in sorted(tones.items()):
        if steps in told or base.get(steps) == interval:
            continue
        given = base.get(steps) or degree_interval(steps + 1)
        alter = (interval.fifths - given.fifths) // 7
        changes.append((accidentals(alter) or add * (not stack)) + str(steps + 1))
    if changes:
        yield f"({','.join(changes)})"
