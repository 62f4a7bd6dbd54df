"""RomanText in: the text format for harmonic analyses, one line a measure.

Grammar
- A line is a heading (`Time Signature: 3/4`, `Title: ...`; Notes and pedals are passed over) or a measure:
  `m4 I b2 V65/V b3.5 G: V`. A beat `b2.5` says where the next chord begins; the first needs none on beat 1.
- `G:` changes the key (a small letter is minor). Two numerals at one beat with a key between them are a
  pivot: the first names the chord, the key goes on.
- `m0 b3 I` is a pickup; `m5-6 = m3-4` copies the words, to be read in the key that now holds; a measure
  without a line, or a beat without a chord, holds the chord before. Variants (`m6var1`) and optional keys
  `?(G: ... ?)G:` are passed over, `||` is a phrase's end, `||: :||` repeat, `m8a`, `m8b` are first and second
  endings, `NC` is silence.
- Chord symbols (or scale degrees) may stand where RomanText has numerals: this is how we keep a piece of
  chord symbols as text.

Conventions
- Beats are those of `tracks.progression.beat_marks`; `Slow 6/8` counts the notes themselves.
- After a pickup the last bar is as much shorter, as notation has it.
- What is plainly a slip of the pen is corrected with a remark: a slash with nothing under it, a second chord
  that has no beat of its own (passed over), a measure that is given twice in a row (it goes on). Anything
  else is a fault with its line.

Sources: the syntax file of the When in Rome collection; music21's romanText reader, the reference.
"""

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field

from tracks.progression.beat_marks import beat_length, is_beat_mark, time_of
from tracks.progression.lead_sheet import MOST_BARS, LeadSheet, SheetBar, SheetChord
from tracks.progression.playing import RepeatSign, repeats_of
from tracks.progression.written import Writing, check_word, is_silence, read, whole_number, writing_of
from tracks.theory.errors import RequestError, one_line
from tracks.theory.key import Key
from tracks.theory.meter import QUARTER, Meter, Time
from tracks.theory.pitch import Tone

_MEASURE = re.compile(r"m ?(\d+)([a-h]?)(?:-(\d+)[a-h]?)?(.*)")
_HEADING = re.compile(r"([A-Za-z][A-Za-z ]*?) *:(.*)")
_LOOSE_HEADINGS = ("Pedal", "Note")
_COPY = re.compile(r" *= *m?(\d+)(?:-m?(\d+))?\s*")
_KEY = re.compile(r"([A-Ga-g][#b]*);?:")
_PASSED_OVER = re.compile(r"[()]|\|\|?|\?[()].*|KS-?\d")
_METER = re.compile(r"(?:(Slow|Fast) +)?(\d+/\d+)")
_TITLES = ("Title", "Piece", "Work")
_ENDINGS = {"": 0, "a": 1, "b": 2}
_MOST_FAULTS_SAID = 3
_MOST_WORDS = 200_000
_USUAL_METER = Meter(4, 4)

# Slips that leave no doubt: what is written, and what stands instead.
_SLIPS = (
    (re.compile(r"(.*[^/])/"), r"\1", "a slash with nothing under it"),
    (re.compile(r"(.*[oø+])/(\d.*)"), r"\1\2", "a slash before the figure"),
    (re.compile(r"VIII(.*)"), r"VII\1", "there is no eighth degree"),
)


def has_measures(text: str) -> bool:
    """Return whether a text has a measure line, and so is RomanText."""
    return any(_MEASURE.match(line.strip()) for line in text.splitlines())


def parse_romantext(text: str) -> LeadSheet:
    """Return the lead sheet of a RomanText document.

    Raises RequestError, in one line, naming the line and the measure of what cannot be read.
    """
    reader = _Reader()
    for number, line in enumerate(text.lstrip("\ufeff").splitlines(), 1):
        try:
            reader.take(line.strip(), number)
        except RequestError as fault:
            measure = f", measure {reader.measure}" if reader.measure is not None else ""
            reader.faults.append(f"line {number}{measure}: {fault}")
    if not reader.faults and not any(chord.text for chord in reader.chords):
        reader.faults.append("there is no measure with a chord; write one like m1 C: I b3 V")
    if reader.faults:
        more = len(reader.faults) - _MOST_FAULTS_SAID
        said = "; ".join(reader.faults[:_MOST_FAULTS_SAID])
        raise RequestError(said + (f"; and {more} more" if more > 0 else ""))
    return reader.finished()


@dataclass(slots=True)
class _Begun:
    """A chord whose end is not known yet."""

    text: str | None
    start: Time
    key: Key | None


@dataclass(slots=True)
class _Reader:
    """What has been read so far, and what is in force."""

    title: str = ""
    meter: Meter = _USUAL_METER
    beat: Time = QUARTER
    key: Key | None = None
    writing: Writing | None = None
    measure: int | None = None
    line: int = 0
    bars: list[SheetBar] = field(default_factory=list)
    chords: list[_Begun] = field(default_factory=list)
    words: dict[int, tuple[str, ...]] = field(default_factory=dict)
    starts: dict[int, Time] = field(default_factory=dict)
    taken: int = 0
    signs: list[RepeatSign] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)

    @property
    def end(self) -> Time:
        return self.bars[-1].end if self.bars else 0

    def take(self, line: str, number: int) -> None:
        """Take in one line."""
        self.measure, self.line = None, number
        measure = _MEASURE.fullmatch(line)
        if measure:
            first, ending, last, rest = measure.groups()
            self._take_measures(whole_number(first), whole_number(last or first), ending, rest)
            return
        heading = _HEADING.fullmatch(line)
        if heading:
            self._take_heading(heading[1].strip(), heading[2].strip())
        elif line and not line.startswith(("%", *_LOOSE_HEADINGS)):
            raise RequestError(f"{line[:40]!r} is no heading like Title: and no measure like m1 I b3 V")

    def _take_heading(self, tag: str, value: str) -> None:
        name = tag.title()
        if name in _TITLES and not self.title:
            self.title = one_line(value)
        elif name in ("Sixth Minor", "Seventh Minor") and value.lower() not in ("cautionary", "courtesy"):
            raise RequestError(f"{tag} {value!r}: the sixth and seventh of minor are read as cautionary only")
        elif name == "Time Signature":
            match = _METER.fullmatch(value)
            if not match:
                raise RequestError(f"{value!r} is no time signature", "write one like 3/4")
            self.meter = Meter.parse(match[2])
            slow = 4 * QUARTER // self.meter.denominator
            self.beat = slow if match[1] == "Slow" else beat_length(self.meter)

    def _take_measures(self, first: int, last: int, ending: str, rest: str) -> None:
        self.measure = first
        if rest.lstrip().startswith("var"):
            return
        copied = _COPY.fullmatch(rest)
        if copied:
            self._copy(first, last, whole_number(copied[1]), whole_number(copied[2] or copied[1]))
        elif last != first:
            raise RequestError(f"m{first}-{last} needs the measures it copies, like m{first}-{last} = m1-2")
        else:
            if self.bars and first == self.bars[-1].number and not ending:
                self._remark(f"measure {first} goes on in a second line")
            else:
                self._begin(first, ending)
            self._take_words(tuple(rest.split()))

    def _begin(self, number: int, ending: str = "") -> None:
        """Begin a measure, after those before it that have no line of their own."""
        if ending not in _ENDINGS:
            raise RequestError(f"ending {ending!r}: two endings, a and b, are what we play")
        following = self.bars[-1].number + 1 if self.bars else number
        if number < following and not _ENDINGS[ending]:
            raise RequestError(f"measure {number} comes after measure {following - 1}")
        if len(self.bars) + number - following >= MOST_BARS:
            held = len(self.bars) + number - following + 1
            raise RequestError(
                f"measure {number} would make {held:,} bars, since a measure without a line holds the chord",
                f"we take {MOST_BARS:,} at most, so check the number",
            )
        for missing in range(following, number):
            self._add_bar(missing, 0)
        self._add_bar(number, _ENDINGS[ending])

    def _add_bar(self, number: int, ending: int) -> None:
        self.measure = number
        self.words[number] = ()
        self.starts.setdefault(number, self.end)
        self.bars.append(SheetBar(number, self.end, self.meter.bar, self.meter, ending))

    def _copy(self, first: int, last: int, source: int, source_last: int) -> None:
        if last - first != source_last - source:
            raise RequestError(f"m{first}-{last} and m{source}-{source_last} are not equally many measures")
        for number, copied in zip(range(first, last + 1), range(source, source_last + 1), strict=True):
            if copied not in self.words or copied >= number:
                raise RequestError(f"measure {number} copies measure {copied}, which is not there before it")
            words = self.words[copied]
            if not words or (is_beat_mark(words[0]) and time_of(words[0], self.beat)):
                words = (*self._sounding_at(copied), *words)
            self._begin(number)
            self._take_words(words)

    def _sounding_at(self, number: int) -> tuple[str, ...]:
        place = bisect_right(self.chords, self.starts[number], key=lambda chord: chord.start)
        return (self.chords[place - 1].text or "NC",) if place else ()

    def _take_words(self, words: tuple[str, ...]) -> None:
        self.taken += len(words)
        if self.taken > _MOST_WORDS:
            raise RequestError(
                f"more than {_MOST_WORDS:,} words are more than we can read", "divide the piece"
            )
        bar = self.bars[-1]
        self.words[bar.number] += words
        at = bar.start
        waiting: list[bool] = []
        for word in words:
            key = _KEY.fullmatch(word)
            if is_beat_mark(word):
                at = self._moment(word)
                bar = self.bars[-1]
                self.signs += [RepeatSign(at, opens) for opens in waiting]
                waiting = []
            elif word in ("||:", ":||", ":||:"):
                waiting += [False] * word.startswith(":") + [True] * word.endswith(":")
                if word == "||:" and not self._is_taken(at):
                    self.signs.append(RepeatSign(at, waiting.pop()))
            elif key:
                self.key = Key.parse(key[1])
            elif not _PASSED_OVER.fullmatch(word):
                self._take_chord(word, at)
        self.signs += [RepeatSign(bar.end, opens) for opens in waiting]

    def _moment(self, word: str) -> Time:
        """Return the time of a beat, shortening a first measure that begins with it to a pickup."""
        bar = self.bars[-1]
        into = time_of(word, self.beat)
        if not 0 <= into < self.meter.bar:
            raise RequestError(f"{word} lies outside a bar of {self.meter}")
        is_pickup = len(self.bars) == 1 and bar.number == 0 and not self.chords
        if is_pickup and into and bar.length == self.meter.bar:
            self.bars[-1] = SheetBar(0, 0, self.meter.bar - into, self.meter)
            return 0
        return bar.end - self.meter.bar + into

    def _is_taken(self, at: Time) -> bool:
        return bool(self.chords) and self.chords[-1].start == at

    def _take_chord(self, word: str, at: Time) -> None:
        if self.chords and at < self.chords[-1].start:
            raise RequestError(f"{word} stands after a later beat", "put the beats in order")
        text = None if is_silence(word) else self._read(word)
        if self._is_taken(at):
            if self.chords[-1].key == self.key:
                self._remark(f"{word} has no beat of its own and is passed over")
            return  # else a pivot: the same chord, named in the next key as well
        if at > 0 and not self.chords:
            self.chords.append(_Begun(None, 0, self.key))
        self.chords.append(_Begun(text, at, self.key))

    def _remark(self, text: str) -> None:
        self.remarks.append(f"line {self.line}, measure {self.measure}: {text}")

    def _read(self, word: str) -> str:
        """Return a chord's word, corrected where it is a slip, and checked."""
        check_word(word)
        for slip, fix, why in _SLIPS:
            if slip.fullmatch(word):
                corrected = slip.sub(fix, word)
                self._remark(f"{word} read as {corrected} ({why})")
                word = corrected
        writing = writing_of(word)
        if self.writing and writing is not self.writing:
            raise RequestError(
                f"{word} is not one of the {self.writing.value} before it", "write all in one kind"
            )
        read(word, writing, self.key or Key(Tone(0)))
        self.writing = writing
        return word

    def finished(self) -> LeadSheet:
        """Return what has been read."""
        self._shorten_last_bar()
        ends = [*(chord.start for chord in self.chords[1:]), self.end]
        chords = tuple(
            SheetChord(chord.text, chord.start, end - chord.start, chord.key)
            for chord, end in zip(self.chords, ends, strict=True)
        )
        bars = tuple(self.bars)
        repeats = repeats_of(self._signs(), bars)
        return LeadSheet(self.title, self.writing, bars, chords, repeats, tuple(self.remarks))

    def _shorten_last_bar(self) -> None:
        first, last = self.bars[0], self.bars[-1]
        rest = last.length - first.length
        if len(self.bars) > 1 and 0 < rest < last.length and self.chords[-1].start < last.start + rest:
            self.bars[-1] = SheetBar(last.number, last.start, rest, last.meter, last.ending)

    def _signs(self) -> Iterator[RepeatSign]:
        """Yield the repeat signs, with one where each first ending ends; none lies past the last bar."""
        for sign in self.signs:
            yield sign._replace(time=min(sign.time, self.end))
        for bar, after in zip(self.bars, [*self.bars[1:], None], strict=True):
            if bar.ending == 1 and (after is None or after.ending != 1):
                yield RepeatSign(bar.end, opens=False)
