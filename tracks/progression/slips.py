"""Slips of the pen: what was probably meant by a progression that cannot be read, or reads oddly.

Conventions
- A slip is told with the text as it should stand, its first chords at least.
- Chord letters are capitals and V is major in minor keys too (convention).
"""

import re
from collections.abc import Sequence

from tracks.progression.written import Progression, Writing, read, writing_of
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.pitch import Tone

_BETWEEN = re.compile(r"[-–—,;.>→]+")
_APPLIED = re.compile(r"/[#b]*[IViv]")
_HEAD = re.compile(r"[IVX]+|[ivx]+")
_SHOWN = 6
_USUAL_IN_MINOR = {"I": "i", "IV": "iv", "V": "V"}


def slip(word: str, words: Sequence[str]) -> str:
    """Return what is wrong with an unreadable word among a text's chords; empty where it is no slip."""
    if _meant(word) is not None:
        shown = [chord for each in words[:_SHOWN] for chord in _meant(each) or ()]
        example = " ".join(shown[:_SHOWN])
        if _BETWEEN.search(word):
            return f"put spaces between chords, nothing else, like {example}"
        return f"chord letters are capitals: write {example} (m makes a chord minor, like Cm)"
    if len(words) == 1 and len(word) > 3 and word.replace("-", "").isalpha() and word[0] not in "ABCDEFGIViv":
        return (
            f"{word!r} is no chord, nor a name that rungwise progressions lists; write chords like I vi IV V"
        )
    return ""


def major_in_minor(progression: Progression, key: Key) -> str:
    """Return a remark where numerals have two of I, IV and V in a minor key and no minor one, else nothing.

    A text that has i or iv too knows what it does; symbols and degrees cannot slip so.
    """
    if progression.writing is not Writing.NUMERALS or not key.is_minor:
        return ""
    heads = {
        head[0]
        for chord in progression.chords
        if chord.text and (chord.key or key).is_minor and not _APPLIED.search(chord.text)
        if (head := _HEAD.match(chord.text))
    }
    major = [numeral for numeral in _USUAL_IN_MINOR if numeral in heads]
    if len(major) < 2 or heads & {"i", "iv"}:
        return ""
    usual = " ".join(_USUAL_IN_MINOR[numeral] for numeral in major)
    return f"{' '.join(major)} are major chords; in {key} the usual ones are {usual}"


def is_readable(word: str) -> bool:
    """Return whether a word is a chord as it stands, of whichever kind."""
    try:
        read(word, writing_of(word), Key(Tone(0)))
    except RequestError:
        return False
    return True


def _meant(word: str) -> list[str] | None:
    """Return the chords that a word runs together or writes in small letters; None where it is none."""
    if is_readable(word):
        return [word]
    chords = []
    for part in filter(None, _BETWEEN.split(word)):
        chord = next((text for text in (part, part[0].upper() + part[1:]) if is_readable(text)), None)
        if chord is None:
            return None
        chords.append(chord)
    return chords
