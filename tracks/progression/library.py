"""Common progressions of the trade, by name, usable in any key of their mode.

Format: name, text as `tracks.progression.text` reads it, mode, what it is and where it comes from.

Sources: H = Robert Hutchinson, *Music Theory for the 21st-Century Classroom* (open textbook), by section;
OMT = *Open Music Theory* (open textbook), by page. "Convention" marks what the trade just knows.
"""

from dataclasses import dataclass

from tracks.progression.slips import is_readable
from tracks.theory.errors import RequestError, listed, near_names
from tracks.theory.key import Mode


@dataclass(frozen=True, slots=True)
class Entry:
    """A named progression; `text` is written in numerals."""

    name: str
    text: str
    mode: Mode
    about: str
    source: str


def _major(name: str, text: str, about: str, source: str = "convention") -> Entry:
    return Entry(name, text, Mode.MAJOR, about, source)


def _minor(name: str, text: str, about: str, source: str = "convention") -> Entry:
    return Entry(name, text, Mode.MINOR, about, source)


LIBRARY: tuple[Entry, ...] = (
    _major("authentic-cadence", "I V7 I", "home, dominant seventh, home"),
    _minor("authentic-cadence-minor", "i V7 i", "home, dominant seventh, home, in minor"),
    _major("plagal-cadence", "I IV I", "home, subdominant, home"),
    _minor("plagal-cadence-minor", "i iv i", "home, subdominant, home, in minor"),
    _major("half-cadence", "I IV V", "a phrase that stops on the dominant"),
    _minor("half-cadence-minor", "i iv V", "a phrase that stops on the dominant, in minor"),
    _major("deceptive-cadence", "I IV V7 vi", "the dominant goes to the sixth instead of home"),
    _minor("deceptive-cadence-minor", "i iv V7 VI", "the dominant goes to the sixth, in minor"),
    _major("primary-chords", "I IV I V7 I", "the keyboard cadence on the three primary chords"),
    _minor("primary-chords-minor", "i iv i V7 i", "the keyboard cadence on the primary chords, in minor"),
    _major("cadential-six-four", "I ii6 Cad64 V7 I", "the six-four that delays the dominant", "OMT, the six-four chords"),
    _minor("cadential-six-four-minor", "i ii/o65 Cad64 V7 i", "the six-four that delays the dominant, in minor", "OMT, the six-four chords"),
    _minor("neapolitan-cadence", "i N6 V7 i", "the flat second before the dominant", "H 21.2"),
    _minor("german-sixth-cadence", "i iv6 Ger65 Cad64 V7 i", "an augmented sixth opening to the dominant", "H 29.3"),
    _major("circle-of-fifths", "I IV viio iii vi ii V I", "every chord of the key by falling fifths"),
    _minor("circle-of-fifths-minor", "i iv VII III VI iio V i", "every chord of the key by falling fifths, in minor"),
    _major("circle-of-sevenths", "I7 IV7 vii/o7 iii7 vi7 ii7 V7 I7", "falling fifths in seventh chords"),
    _major("two-five-one", "ii7 V7 I7 I7", "the jazz cadence", "H 31.8"),
    _minor("two-five-one-minor", "ii/o7 V7 i i", "the jazz cadence, in minor", "H 31.8"),
    _major("turnaround", "I7 vi7 ii7 V7", "back to the top", "H 31.8"),
    _major("turnaround-from-three", "iii7 vi7 ii7 V7", "back to the top from the third", "H 31.8"),
    _major("secondary-dominants", "I V7/ii ii V7/V V V7 I", "each chord led to by its own dominant", "H 17.3"),
    _major("fifties", "I vi IV V", "the 1950s progression", "H 9.3"),
    _major("axis", "I V vi IV", "four chords of many songs"),
    _major("axis-from-six", "vi IV I V", "the same four chords begun on the sixth"),
    _major("descending-thirds", "I V vi iii IV I IV V", "a sequence of falling thirds over a stepwise bass"),
    _major("stepwise-up", "I ii iii IV V", "up the scale in root positions"),
    _major("flat-seven-rock", "I bVII IV I", "the flat seventh borrowed from the mixolydian mode"),
    _major("minor-four", "I I7 IV iv I", "the subdominant turned minor"),
    _minor("andalusian", "i VII VI V", "a bass falling from the tonic to the dominant"),
    _minor("lament", "i v6 iv6 V", "the falling tetrachord in the bass", "OMT, the lament bass"),
    _minor("folia", "| i | V | i | VII | III | VII | i | V | i | V | i | VII | III | VII | i V | i |", "the old dance ground, a bar to a chord"),
    _minor("passamezzo-antico", "| i | VII | i | V | III | VII | i V | i |", "the old dance bass"),
    _minor("dorian-vamp", "i7 IV7 i7 IV7", "two chords of the dorian mode"),
    _minor("aeolian-rise", "VI VII i i", "up to the tonic by steps from the flat sixth"),
    _major(
        "twelve-bar-blues",
        "Id7 Id7 Id7 Id7 IVd7 IVd7 Id7 Id7 V7 IVd7 Id7 Id7",
        "the twelve bars, all in dominant sevenths",
        "H 12.4 (bars 9 to 12 from memory)",
    ),
    _major(
        "twelve-bar-blues-quick-change",
        "Id7 IVd7 Id7 Id7 IVd7 IVd7 Id7 Id7 V7 IVd7 Id7 V7",
        "the blues with the subdominant in bar 2 and the dominant in bar 12",
    ),
    _minor("minor-blues", "i7 i7 i7 i7 iv7 iv7 i7 i7 VId7 V7 i7 i7", "the twelve bars in minor"),
)  # fmt: skip

_BY_NAME = {entry.name: entry for entry in LIBRARY}


def entry(name: str) -> Entry | None:
    """Return the progression of that name, or None where there is none."""
    return _BY_NAME.get(name)


def suggest(text: str) -> str:
    """Return the library names that a text may have meant, as `one, another or a third`; empty where there is none.

    A text that begins with a chord, or has a bar line or a key, means no name.
    """
    words = text.split()
    if not words or set("|:") & set(text) or is_readable(words[0]):
        return ""
    near = near_names(text, _BY_NAME) or near_names(" ".join(w for w in words if len(w) > 3), _BY_NAME)
    return listed(near)


def text_of(name_or_text: str) -> str:
    """Return the text of a named progression, or the given text where it is no name.

    Raises RequestError for a text that is nearly a name, or the words of one.
    """
    found = entry(name_or_text)
    if found:
        return found.text
    near = suggest(name_or_text)
    if near:
        raise RequestError(
            f"progression {name_or_text!r} is not in the library",
            f"did you mean {near}? rungwise progressions lists all",
        )
    return name_or_text
