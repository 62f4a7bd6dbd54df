"""The changes that a progression makes in a key.

Conventions
- A key in the text moves with the first one: what is written in Eb and then G, asked for in C, is in C and
  then E. Keys past seven accidentals are respelled.
"""

import re
from dataclasses import replace

from tracks.model import Changes, ChordAt
from tracks.progression.written import Faults, Progression, Writing, WrittenChord, read
from tracks.theory.analysis import likely_key, numeral_of
from tracks.theory.chord import Chord, parse_symbol
from tracks.theory.errors import RequestError
from tracks.theory.key import Key, Mode
from tracks.theory.pitch import Interval, Tone


def home_key(progression: Progression) -> Key:
    """Return the key to play in where none is asked for.

    It is the first key the text names, else for chord symbols the likeliest, else C major, or C minor
    where a numeral is the minor tonic.
    """
    if progression.first_key:
        return progression.first_key
    texts = [chord.text for chord in progression.chords if chord.text]
    if progression.writing is Writing.SYMBOLS:
        return likely_key(tuple(parse_symbol(text) for text in texts))
    minor = any(re.match(r"i(?![vi])", text) for text in texts)
    return Key(Tone(0), Mode.MINOR if minor else Mode.MAJOR)


def key_written_in(progression: Progression, written_in: Key | None = None) -> Key | None:
    """Return the key that a text stands in as written: one it names itself, or that of its chord symbols.

    None is for a text that stands in no key of its own: numerals, or symbols that sound as written.
    """
    return progression.first_key or (written_in if progression.writing is Writing.SYMBOLS else None)


def realize(progression: Progression, key: Key, written_in: Key | None = None) -> Changes:
    """Return the changes of a progression in a key.

    A text that names its own keys is transposed so that its first becomes `key`. Chord symbols sound as
    written unless `written_in` (or a key in the text) says which key they are written in. Raises RequestError
    where the modes differ or a chord cannot be read in its key.
    """
    faults = Faults(progression.place)
    first = key_written_in(progression, written_in)
    shift = Interval(0, 0)
    if first:
        if first.mode is not key.mode:
            raise RequestError(
                f"the progression is written in {first}, and {key} is not {first.mode.value}",
                f"choose a {first.mode.value} key",
                "keys",
            )
        shift = first.tonic.interval_to(key.tonic)
    chords = tuple(_realized(chord, progression, key, shift, faults) for chord in progression.chords)
    faults.raise_any()
    return Changes(progression.meter, chords, progression.length, progression.pickup)


def _realized(
    written: WrittenChord, progression: Progression, key: Key, shift: Interval, faults: Faults
) -> ChordAt:
    chord: Chord | None = None
    here = written.key.transposed(shift) if written.key else key
    if written.text and progression.writing:
        try:
            chord = read(written.text, progression.writing, here)
            if progression.writing is Writing.SYMBOLS:
                by = written.key.tonic.interval_to(here.tonic) if written.key else shift
                moved = replace(chord, root=chord.root.up(by), bass=chord.bass.up(by))
                chord = replace(moved, numeral=numeral_of(moved, here))
        except RequestError as fault:
            faults.add(written.column, f"in {here}, {fault.reason}", fault.fix)
    return ChordAt(written.start, written.length, chord, here, written.bar, written.written)
