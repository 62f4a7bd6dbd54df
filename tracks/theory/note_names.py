"""Names of notes, keys and note values as a country has them: one table, to read and to print by.

Conventions
- Inside, in JSON, in MIDI and in names of files everything is English and ASCII (`Bb`, `F# minor`). What a
  person reads is composed in English with musical signs and passes `printed` once, where a screen, a sheet or
  a page is made. What a teacher wrote (titles, notes, names) never does.
- English prints American terms (quarter, half step); British the same note names with British terms
  (crotchet, semitone); German has German note names (H, B, Es; c-Moll) in English sentences.
- Octaves keep their numbers: B3 is the German H3.
- A key in English words stays English among German names: `B major` is no `B-Dur`.

Sources: the German endings, as and es, ases and eses, b and h are those of the table in the LilyPond Notation
Reference, "Note names in other languages". Dur and Moll, small letters for minor tonics, British terms and
the fixed do of Romance languages are common usage (convention).
"""

import re
from enum import Enum

_ALTERS = {"♯": 1, "#": 1, "𝄪": 2, "×": 2, "♭": -1, "b": -1, "𝄫": -2}
_ENDING = r"(?:is)+|(?:es)+|(?<=A)sas|(?<=[AEae])s(?:es)*(?!us)|#+|b+|[♯♭𝄪𝄫]+"
# A note stands by itself or begins a chord symbol; no other word follows on it.
_KIND = r"(?:maj|min|mi|ma|m|dim|aug|sus|add|no|omit|alt|dom|o|j)"
_ALONE = rf"(?![a-z])|(?={_KIND}{{1,2}}(?![a-z]))"

_NOTE = r"[A-G](?:[♯♭𝄪𝄫×]+|#+|b+)?"
_CHORD_IN_WORDS = r",? (?:major |minor )?(?:seventh|sixth|ninth|eleventh|thirteenth|pentatonic)"
_PRINTED = re.compile(
    rf"(?<![A-Za-z\d♯♭#])(?:(?P<tonic>{_NOTE}) (?P<mode>major|minor)\b(?!{_CHORD_IN_WORDS})"
    rf"|(?P<small>[a-g](?:[♯♭]+|#+|b+)?)(?=:)|(?P<note>{_NOTE})(?:{_ALONE}))"
)
_WRITTEN = re.compile(
    rf"(?<![A-Za-z\d])(?:(?P<small>[a-h](?:{_ENDING})?)(?=:)|(?P<note>[A-H](?:{_ENDING})?)(?:{_ALONE}))"
)
_WRITTEN_KEY = re.compile(rf"([A-Ha-h](?:{_ENDING})?)(?:[ -]*(dur|moll|major|minor))?", re.IGNORECASE)
_FROM = re.compile(r"(.* from )(.+)")
_MODES = {"major": "Dur", "minor": "Moll"}

_BRITISH_VALUES = {
    "double whole": "breve",
    "whole": "semibreve",
    "half": "minim",
    "quarter": "crotchet",
    "eighth": "quaver",
    "sixteenth": "semiquaver",
    "32nd": "demisemiquaver",
    "64th": "hemidemisemiquaver",
}
AMERICAN_VALUES = {british: american for american, british in _BRITISH_VALUES.items()}
"""British names of note values, and the American ones."""
_BRITISH = {"half step": "semitone", "whole step": "tone", "the eighths": "the quavers"}

FIXED_DO = {
    "do": "C", "ut": "C", "re": "D", "ré": "D", "mi": "E", "fa": "F", "sol": "G", "la": "A", "si": "B",
    "ti": "B",
}  # fmt: skip

_FIXED_WORD = re.compile("|".join(FIXED_DO), re.IGNORECASE)


class NoteNames(Enum):
    """Whose names of notes, keys and note values a teacher writes and reads."""

    ENGLISH = "english"
    BRITISH = "british"
    GERMAN = "german"

    def printed(self, text: str) -> str:
        """Return English text, ASCII or with signs, in these names; once only, for B names two notes."""
        if self is NoteNames.GERMAN:
            return _PRINTED.sub(_in_german, text)
        if self is NoteNames.BRITISH:
            for american, british in _BRITISH.items():
                text = text.replace(american, british)
        return text

    def note_value(self, plain: str) -> str:
        """Return the American name of a note value in these names: `quarter` is a `crotchet`."""
        return _BRITISH_VALUES.get(plain, plain) if self is NoteNames.BRITISH else plain

    def note_of(self, value: str) -> str:
        """Return a note of a value that is named already: `dotted quarter note`, `dotted crotchet`."""
        return value if self is NoteNames.BRITISH else f"{value} note"

    def english(self, text: str) -> str:
        """Return chords or pitches written in these names as English has them: `C F H7 E` is `C F B7 E`."""
        return _WRITTEN.sub(_in_english, text) if self is NoteNames.GERMAN else text

    def english_key(self, text: str) -> str:
        """Return a key or a set of keys as English has it: `Es-Dur` is `Eb major`, `all` itself."""
        if self is not NoteNames.GERMAN:
            return text
        match = _FROM.fullmatch(text)
        before, tonic = match.groups() if match else ("", text)
        return before + (_german_key(tonic) or self.english(tonic))


def key_meant(text: str) -> str:
    """Return a German or fixed-do name of a key in English: `Es-Dur` is `Eb major`; "" where it is none."""
    return FIXED_DO.get(text.strip().lower(), "") or _german_key(text)


def fix(meant: str, *words: str) -> str:
    """Return how to mend words of another country: in English, or by the option of German names."""
    either = f'write {meant}, or say note-names = "german"'
    return either if any(map(is_german, words)) else f"write {meant}"


def is_german(word: str) -> bool:
    """Whether a word is a key or a chord in German names that are not English too."""
    if _FIXED_WORD.match(word):
        return False
    key = _WRITTEN_KEY.fullmatch(word.strip())
    return bool(chord_meant(word) or (key and (key[2] or len(key[1]) > 1 or key[1] in "Hh")))


def chord_meant(text: str) -> str:
    """Return a chord symbol in English where its root is German or fixed do (`H7`, `Sol7`), else ""."""
    fixed = _FIXED_WORD.match(text)
    if fixed and re.fullmatch(r"m?[^A-Za-z]*", text[fixed.end() :]):
        return FIXED_DO[fixed[0].lower()] + text[fixed.end() :]
    english = NoteNames.GERMAN.english(text)
    return english if english != text and not text.startswith("B") else ""


def _german_key(text: str) -> str:
    match = _WRITTEN_KEY.fullmatch(text.strip())
    if not match:
        return ""
    tonic, mode = match[1].capitalize(), (match[2] or "").lower()
    if mode in _MODES:
        return f"{tonic if tonic == 'B' else _english_note(tonic)} {mode}"
    minor = mode == "moll" if mode else match[1][0].islower()
    return f"{_english_note(tonic)} {'minor' if minor else 'major'}"


def _in_german(match: "re.Match[str]") -> str:
    if match["note"]:
        return _german_note(match["note"])
    if match["small"]:
        return _german_note(match["small"].capitalize()).lower()
    name = _german_note(match["tonic"])
    return f"{name.lower() if match['mode'] == 'minor' else name}-{_MODES[match['mode']]}"


def _german_note(english: str) -> str:
    letter, alter = english[0], _alter(english[1:])
    if (letter, alter) == ("B", -1):
        return "B"
    flats = "es" * -alter
    return ("H" if letter == "B" else letter) + ("is" * alter or (flats[1:] if letter in "AE" else flats))


def _in_english(match: "re.Match[str]") -> str:
    if match["note"]:
        return _english_note(match["note"])
    name = _english_note(match["small"].capitalize())
    return name[0].lower() + name[1:]


def _english_note(german: str) -> str:
    if german == "B":
        return "Bb"
    letter, ending = german[0], german[1:]
    raised = ending.count("is")
    alter = 2 * raised - ending.count("s") + _alter(ending)
    return ("B" if letter == "H" else letter) + ("#" * alter or "b" * -alter)


def _alter(signs: str) -> int:
    return sum(_ALTERS.get(sign, 0) for sign in signs)
