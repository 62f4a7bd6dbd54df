"""A text of chords: its words, bars, repeats and keys, read into chords with their time.

Grammar
- Chords are separated by spaces, `|` (or `||`) divides bars; without any bar line each chord fills a bar.
- A chord is a Roman numeral, a scale degree or a chord symbol; one progression uses one kind.
- `N.C.` is silence, `%` the bar before again; `|: ... :|` is played twice (`:|` alone goes back to the
  beginning or the last repeat); `Eb:` (a small letter is minor) changes the key from there.
- In a bar with a lone `/` every word is one felt beat, and `/` holds the chord before it; otherwise the
  chords share the bar evenly, in whole or half felt beats (thirds in compound time), but two chords in a
  bar of three beats fall 2 + 1, as in a waltz (convention).
- A first bar with `/` that is short of beats is a pickup, bar 0; so is one that begins with `/`: the beats
  before its first chord are counted and not played (`/ / / V7 | I |` has a pickup of one beat).
- A text with measure lines (`m1 C: I b3 V`) is RomanText; see `tracks.progression.romantext`.

Conventions
- Columns count from 1. A fault names every wrong place, each with its column, in one line.
"""

import re
from dataclasses import dataclass, replace
from itertools import dropwhile, pairwise

from tracks.progression.slips import slip
from tracks.progression.written import (
    LONGEST_WORD,
    MOST_CHORDS,
    Faults,
    Progression,
    Writing,
    WrittenChord,
    is_silence,
    read,
    writing_of,
)
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import Meter, Time
from tracks.theory.pitch import Tone, ascii_accidentals

_WORD = re.compile(r":\|:|\|:|:\|\|?|\|\|?:?|(?:(?!:\|)[^\s|])+")
_KEY_CHANGE = re.compile(r"([A-Za-z][#b]*):(.*)")
_IN_TWO, _IN_THREE = 2, 3


@dataclass(frozen=True, slots=True)
class _Word:
    text: str
    column: int
    key: Key | None = None
    copy: int = 0

    @property
    def written(self) -> int:
        """The place in the text: its column, and which word of a bar that % copies there."""
        return 1000 * self.column + self.copy


_Bar = tuple[_Word, ...]


def parse_text(text: str, meter: Meter) -> Progression:
    """Return the progression that a text of chords writes in a meter.

    Raises RequestError, in one line, for every wrong place with its column and the fix.
    """
    faults = Faults()
    words = _words(text, faults)
    if not any(_is_chord(word.text) for word in words):
        faults.add(1, "there is no chord", "write one like I vi IV V or C Am F G")
    writing = _writing(words, faults)
    faults.raise_any()
    has_bars = any("|" in word.text for word in words)
    _check_no_bar_is_empty(words, faults)
    bars = _bars(words, faults) if has_bars else _bar_for_each(words, faults)
    faults.raise_any()
    return _timed(bars, meter, writing, faults)


def _words(text: str, faults: Faults) -> list[_Word]:
    """Return the words, each with the key in force."""
    words: list[_Word] = []
    key: Key | None = None
    has_keyless = False
    for match in _WORD.finditer(ascii_accidentals(text)):
        word, column = match[0], match.start() + 1
        change = _KEY_CHANGE.fullmatch(word)
        if change:
            try:
                key = Key.parse(change[1])
            except RequestError as fault:
                faults.add(column, fault.reason, fault.fix)
            if key and has_keyless:
                faults.add(1, f"the key changes to {key}, so name the first key too, like C: at the start")
            word, column = change[2], column + len(change[1]) + 1
        if word:
            words.append(_Word(word, column, key))
            has_keyless = has_keyless or (key is None and _is_chord(word))
    return words


def _is_chord(text: str) -> bool:
    return "|" not in text and text not in ("/", "%") and not is_silence(text)


def _writing(words: list[_Word], faults: Faults) -> Writing | None:
    """Return the kind of word the chords are written in, checking each on the way."""
    kinds: dict[Writing, _Word] = {}
    chords = [word for word in words if _is_chord(word.text)]
    texts = [word.text for word in chords if len(word.text) <= LONGEST_WORD]
    for word in chords:
        try:
            kind = writing_of(word.text)
            read(word.text, kind, word.key or Key(Tone(0)))
        except RequestError as fault:
            told = (slip(word.text, texts) if len(word.text) <= LONGEST_WORD else None) or fault
            faults.add(word.column, told.reason, told.fix)
            continue
        kinds.setdefault(kind, word)
    if len(kinds) > 1:
        first, second, *_ = kinds.items()
        faults.add(
            second[1].column,
            f"{second[1].text} is one of the {second[0].value}, but {first[1].text} at column "
            f"{first[1].column} is one of the {first[0].value}",
            "write all in one kind",
        )
    return next(iter(kinds), None)


def _bar_for_each(words: list[_Word], faults: Faults) -> list[_Bar]:
    for word in words:
        if word.text == "/":
            faults.add(
                word.column, "/ holds a chord for a beat and needs bar lines", "write like | I / IV / |"
            )
    return _with_bars_copied([(word,) for word in words], faults)


def _bars(words: list[_Word], faults: Faults) -> list[_Bar]:
    """Return the bars in the order they are played."""
    played: list[_Bar] = []
    bar: list[_Word] = []
    section, opened = 0, None
    for word in words:
        if "|" not in word.text:
            bar.append(word)
            continue
        if bar:
            played.append(tuple(bar))
            bar = []
        if word.text.startswith(":"):
            played += played[section:]
            section, opened = len(played), None
        if word.text.endswith(":"):
            if opened:
                faults.add(word.column, "a repeat begins inside another", "end the first with :|")
            section, opened = len(played), word
    if bar:
        played.append(tuple(bar))
    if opened:
        faults.add(opened.column, "the repeat that begins here is never ended", "write :| where it ends")
    return _with_bars_copied(played, faults)


def _check_no_bar_is_empty(words: list[_Word], faults: Faults) -> None:
    for before, word in pairwise(words):
        if "|" in before.text and word.text == "|":
            faults.add(word.column, "the bar before this line is empty", "write a chord, % or N.C. in it")


def _with_bars_copied(bars: list[_Bar], faults: Faults) -> list[_Bar]:
    """Return the bars with each `%` replaced by the bar before it."""
    whole: list[_Bar] = []
    for bar in bars:
        sign = next((word for word in bar if word.text == "%"), None)
        if sign is None:
            whole.append(bar)
        elif len(bar) > 1:
            faults.add(sign.column, "% stands for a whole bar", "give it a bar of its own")
        elif not whole:
            faults.add(sign.column, "% repeats the bar before it, and there is none")
        else:
            # The copy is new music: only repeat signs say that the same voicings come again.
            whole.append(tuple(_Word(w.text, sign.column, w.key, n) for n, w in enumerate(whole[-1], 1)))
    return whole


def _timed(bars: list[_Bar], meter: Meter, writing: Writing | None, faults: Faults) -> Progression:
    chords: list[WrittenChord] = []
    bars, pickup = _with_pickup(bars, meter, faults)
    start = 0
    for place, bar in enumerate(bars):
        is_pickup = place == 0 and pickup > 0
        lengths = [meter.beat] * len(bar) if is_pickup else _lengths(bar, place, meter, faults)
        for word, length in zip(bar, lengths, strict=True):
            if word.text == "/":
                if chords:
                    chords[-1] = replace(chords[-1], length=chords[-1].length + length)
                else:
                    faults.add(word.column, "/ holds the chord before it, and there is none")
            else:
                text = None if is_silence(word.text) else word.text
                number = place if pickup else place + 1
                chords.append(WrittenChord(text, word.column, start, length, number, word.written, word.key))
            start += length
    if len(chords) > MOST_CHORDS:
        faults.add(1, f"{len(chords)} chords are more than the {MOST_CHORDS} we can play", "divide it")
    faults.raise_any()
    return Progression(meter, writing, tuple(chords), start, pickup)


def _with_pickup(bars: list[_Bar], meter: Meter, faults: Faults) -> tuple[list[_Bar], Time]:
    """Return the bars, the first without what is counted before its first chord, and a pickup's length."""
    first, *rest = bars
    sounding = tuple(dropwhile(lambda word: word.text == "/", first))
    is_in_beats = any(word.text == "/" for word in first)
    is_whole = sounding == first and len(first) >= meter.beats
    if not rest or not sounding or not is_in_beats or is_whole:
        return bars, 0
    if sounding != first and len(first) != meter.beats:
        faults.add(
            first[0].column,
            f"a pickup bar that begins with / counts out all {meter.beats} beats of {meter}",
            f"write it like {'/ ' * (meter.beats - 1)}{sounding[0].text} |",
        )
    return [sounding, *rest], len(sounding) * meter.beat


def _lengths(bar: _Bar, place: int, meter: Meter, faults: Faults) -> list[Time]:
    """Return how long each word of a full bar lasts, noting a fault where the bar does not come out."""
    count, column = len(bar), bar[0].column
    if any(word.text == "/" for word in bar):
        if count != meter.beats:
            faults.add(
                column,
                f"bar {place + 1} has {count} beats and {meter} has {meter.beats}",
                "with / each chord and each / is one felt beat",
            )
        return [meter.beat] * count
    if count == _IN_TWO and meter.beats == _IN_THREE:
        return [2 * meter.beat, meter.beat]
    if meter.bar % (count * meter.division):
        faults.add(
            column,
            f"bar {place + 1}: {count} chords do not share a bar of {meter} in whole or "
            f"{'third' if meter.is_compound else 'half'} beats",
            "write the beats out with /",
        )
    return [meter.bar // count] * count
