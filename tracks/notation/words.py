"""What is said of a chord on paper: its name and inversion, to be spoken aloud before it is played.

Conventions
- Words keep the musical signs (E♭), as people read them; the double sharp is ×, which every font has.
- The inversion is the right hand's.

Source: the kinds' names are those of the MusicXML table; how they are said is common practice.
"""

import re

from tracks.hands.both import inversion
from tracks.model import VoicedChord
from tracks.theory.chord import Chord, name
from tracks.theory.pitch import signs

INVERSIONS = ("root position", "first inversion", "second inversion", "third inversion")

_SAID = {
    "dominant": "seventh",
    "half-diminished": "half-diminished seventh",
    "major-minor": "minor, major seventh",
    "major-sixth": "sixth",
    "suspended-second": "suspended second",
    "suspended-fourth": "suspended fourth",
    "dominant-suspended-fourth": "seventh, suspended fourth",
    "ninth-suspended-fourth": "ninth, suspended fourth",
    "dominant-ninth": "ninth",
    "dominant-11th": "eleventh",
    "dominant-13th": "thirteenth",
    "Italian": "Italian sixth",
    "German": "German sixth",
    "French": "French sixth",
    "power": "fifth",
}
_ORDINALS = {"11th": "eleventh", "13th": "thirteenth", "six-nine": "six nine"}


def say(voiced: VoicedChord) -> str:
    """Return the line to say aloud for a chord: `C minor, first inversion`; `silence` for none."""
    chord = voiced.at.chord
    if chord is None:
        return "silence"
    words = [said_name(chord)]
    if voiced.right and len(voiced.right.pitches) > 1:
        words.append(INVERSIONS[inversion(voiced)])
    if chord.bass_is_foreign:
        words.append(f"over {for_paper(chord.bass.name)}")
    return ", ".join(words)


def said_name(chord: Chord) -> str:
    """Return a chord's name in words: `B♭ seventh`, `F♯ half-diminished seventh`, `C seventh with ♭9`.

    An augmented sixth is called by its own name, on the flat sixth that it stands on.
    """
    kind, changes = name(chord.intervals)
    root, words = chord.root, _SAID.get(kind.name) or _spelled_out(kind.name)
    if kind.name in ("Italian", "German"):
        root = chord.tones[1]
    elif kind.name == "French" and chord.numeral.startswith("Fr"):
        root = chord.bass
    elif kind.name == "French":
        words, changes = _SAID["dominant"], ("b5",)
    with_changes = f" with {', '.join(map(for_paper, changes))}" if changes else ""
    return f"{for_paper(root.name)} {words}{with_changes}"


def _spelled_out(kind: str) -> str:
    for written, spoken in _ORDINALS.items():
        kind = kind.replace(written, spoken)
    return kind.replace("-", " ")


def numeral_sign(numeral: str) -> str:
    """Return a numeral as people read it: `viio7` as vii°7, `ii/o65` as iiø65, `bVI` as ♭VI."""
    text = re.sub(r"(?<=[ivIV])/o", "ø", for_paper(numeral))
    return re.sub(r"(?<=[ivIV])o", "°", text)


def for_paper(text: str) -> str:
    """Return text with musical signs, none of them rarer than the fonts of a page."""
    return signs(text).replace("𝄫", "♭♭").replace("𝄪", "×")
