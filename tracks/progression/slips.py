"""Slips of the pen: what was probably meant by a progression that cannot be read, or reads oddly.

Conventions
- A slip is told with the text as it should stand, its first chords at least.
- Chord letters are capitals and V is major in minor keys too (convention).
"""

import re
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

from tracks.progression.written import Progression, Writing, read, writing_of
from tracks.theory.errors import RequestError, listed
from tracks.theory.key import Key
from tracks.theory.note_names import FIXED_DO, NoteNames, chord_meant, fix, is_german
from tracks.theory.pitch import Tone

_BETWEEN = re.compile(r"[-–—,;.>→]+")
_APPLIED = re.compile(r"/[#b]*[IViv]")
_HEAD = re.compile(r"(?!It)(?:[IVX]+|[ivx]+)")
_TONIC_SEVENTH = re.compile(r"I(?:7|65|43|42|2)")
_FOUR = re.compile(r"[Ii][Vv](?![Ii])")
_BARE_SEVENTH = re.compile(r"(?:I|IV)(?:7|65|43|42|2)")
_NAME = re.compile(r"[A-Za-z](?<![A-GIViv])[A-Za-z-]{3,}|[A-Z][a-z-]{6,}")
_FILE = re.compile(r".+\.([A-Za-z][A-Za-z0-9]{1,7})")
_FOR_FILES = {
    "toml": "the files of a lesson are made by rungwise build",
    "mid": "a take is marked by rungwise check",
}
_MUSIC_FILES = "files of music that we read end in .rntxt, .musicxml, .mxl or .xml"
_MARKS = {"dim": "o", "aug": "+", "min": ""}
_FEW = 3
_SHOWN = 6
_USUAL_IN_MINOR = {"I": "i", "IV": "iv", "V": "V"}


def slip(word: str, words: Sequence[str]) -> RequestError | None:
    """Return what is wrong with an unreadable word among a text's chords; None where it is no slip."""
    if all(each.lower() in FIXED_DO for each in words):
        return RequestError(f"{word!r} is no chord", fix(" ".join(FIXED_DO[each.lower()] for each in words)))
    if len(words) == 1 and (named := _FILE.fullmatch(word)):
        return RequestError(f"{word!r} is no progression", _FOR_FILES.get(named[1].lower(), _MUSIC_FILES))
    if marked := re.fullmatch(r"([#b]*[IViv]+)(dim|aug|min)(\d*)", word):
        numeral = f"{marked[1] if marked[2] == 'aug' else marked[1].lower()}{_MARKS[marked[2]]}{marked[3]}"
        return RequestError(f"{word!r} is no numeral", f"write {numeral}, as numerals are marked")
    if minor_twice := re.fullmatch(r"([#b]*)([IV]+)m(\d*)", word):
        numeral = minor_twice[1] + minor_twice[2].lower() + minor_twice[3]
        return RequestError(f"{word!r} is no numeral", f"small letters are minor: write {numeral}")
    if _meant(word) is not None:
        shown = [chord for each in words[:_SHOWN] for chord in _meant(each) or ()]
        example = " ".join(shown[:_SHOWN])
        if _BETWEEN.search(word):
            return RequestError(f"put spaces between chords, nothing else, like {example}")
        return RequestError(f"chord letters are capitals: write {example} (m makes a chord minor, like Cm)")
    if any(map(_elsewhere, words)):
        return RequestError(f"{word!r} is no chord", fix(_here(words[:_SHOWN]), *words))
    if re.fullmatch("[1-7]{2,}", word):
        return RequestError(f"{word!r} is no chord", f"put spaces between: {' '.join(word)}")
    if len(words) == 1 and _NAME.fullmatch(word):
        return RequestError(
            f"{word!r} is no chord, nor a name that rungwise progressions lists",
            "write chords like I vi IV V",
        )
    return None


@lru_cache(maxsize=4096)  # every wrong word looks at all the others
def _elsewhere(word: str) -> str:
    """Return a chord named as other countries do in our words; nothing where it is one of ours."""
    # A Do is ours to the letter, and nobody means a diminished D by it where others write Sol and Fa.
    if word != "Do" and is_readable(word):
        return ""
    return chord_meant(word)


def _here(words: Sequence[str]) -> str:
    """Return chords in our words, all of them German where one is: then B is B flat too."""
    here = [_elsewhere(word) or word for word in words]
    return NoteNames.GERMAN.english(" ".join(words)) if any(map(is_german, words)) else " ".join(here)


def remarks(progression: Progression, keys: Sequence[Key]) -> tuple[str, ...]:
    """Return what reads oddly in the keys asked for: chords of another mode or other sevenths."""
    return tuple(filter(None, (major_in_minor(progression, keys), major_sevenths(progression, keys))))


def major_in_minor(progression: Progression, keys: Sequence[Key]) -> str:
    """Return a remark where numerals have two of I, IV and V in a minor key and no minor one, else nothing.

    A text that has i or iv too knows what it does; symbols and degrees cannot slip so.
    """
    minor = [key for key in keys if key.is_minor]
    if not minor:
        return ""
    heads = _heads(progression, minor=True)
    major = [numeral for numeral in _USUAL_IN_MINOR if numeral in heads]
    if len(major) < 2 or heads & {"i", "iv"}:
        return ""
    usual = " ".join(_USUAL_IN_MINOR[numeral] for numeral in major)
    named = listed([key.name for key in minor], "and") if len(minor) <= _FEW else "minor keys"
    return f"{' '.join(major)} are major chords; in {named} the usual ones are {usual}"


def major_sevenths(progression: Progression, keys: Sequence[Key]) -> str:
    """Return a remark where I7 goes to IV in a major key, as in a blues, and is no dominant seventh.

    In a circle of sevenths, which passes through vii, it is meant.
    """
    if progression.writing is not Writing.NUMERALS or all(key.is_minor for key in keys):
        return ""
    texts = [chord.text or "" for chord in progression.chords]
    heads = _heads(progression, minor=False)
    tonic_goes_to_four = any(_TONIC_SEVENTH.fullmatch(a) and _FOUR.match(b) for a, b in pairwise(texts))
    if not tonic_goes_to_four or "vii" in heads:
        return ""
    found = [text for text in dict.fromkeys(texts) if _BARE_SEVENTH.fullmatch(text)]
    dominant = " ".join(re.sub(r"(?=\d)", "dom", text, count=1) for text in found)
    one = len(found) == 1
    are, those = ("is a major seventh", "one is") if one else ("are major sevenths", "ones are")
    return f"{' '.join(found)} {are} in a major key; the dominant {those} written {dominant}"


def _heads(progression: Progression, *, minor: bool) -> set[str]:
    """Return the degrees, I to VII in their case, of the numerals that stand in keys of a mode."""
    if progression.writing is not Writing.NUMERALS:
        return set()
    return {
        head[0]
        for chord in progression.chords
        if chord.text and (chord.key is None or chord.key.is_minor is minor)
        if not _APPLIED.search(chord.text) and (head := _HEAD.match(chord.text))
    }


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
