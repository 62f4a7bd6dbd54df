"""What is said of a chord on paper: its name and inversion, to be spoken aloud before it is played.

Conventions
- Words keep the musical signs (E♭), as people read them; the double sharp is ×, which every font has.
- A chord's inversion is named by its bass, the lowest note that sounds: hands together the lowest of the
  hands, else the left hand's. Where the right hand has another tone lowest, its own shape is told apart.
- A ninth or higher tone at the bottom makes no inversion that has a number: it is called by its name.

Source: the kinds' names are those of the MusicXML table; how they are said is convention.
"""

from collections.abc import Iterable

from tracks.hands.inversion import inversion
from tracks.hands.motion import factor_name, left_out
from tracks.model import VoicedChord
from tracks.theory.chord import Chord, name
from tracks.theory.pitch import Pitch, Tone, signs

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


def say(voiced: VoicedChord, bass: Tone | None = None) -> str:
    """Return the line to say aloud for a chord: `C minor, first inversion`; `silence` for none.

    `bass` is what the left hand plays lowest where it does not play as charted.
    """
    chord = voiced.at.chord
    if chord is None:
        return "silence"
    if chord.bass_is_foreign:
        return f"{said_name(chord)}, over {for_paper(chord.bass.name)}"
    lowest = _bass(voiced, bass)
    if not lowest or not voiced.right or len(voiced.right.pitches) == 1:
        return said_name(chord)
    return f"{said_name(chord)}, {position(chord, lowest)}"


def say_right_hand(voiced: VoicedChord, bass: Tone | None = None) -> str:
    """Return the right hand's own shape, `right hand in second inversion`; "" where it is the chord's.

    It is "" too for a hand of fewer than three notes, which has no shape of a chord.
    """
    chord, right = voiced.at.chord, voiced.right
    if not chord or not right or len(right.pitches) < 3 or right.pitches[0].tone == _bass(voiced, bass):
        return ""
    shape = position(chord, right.pitches[0].tone)
    return f"right hand with the {shape}" if shape.endswith("lowest") else f"right hand in {shape}"


def say_call(voiced: VoicedChord, *, right_as_charted: bool = True, left_as_charted: bool = True) -> str:
    """Return the short call, with the fingers that change: `top two up (right hand: 2)`; "" for the first.

    A hand's fingers are left out where it does not play as charted.
    """
    charted = {"right": right_as_charted, "left": left_as_charted}
    fingers = [each for each in voiced.finger_calls if charted[each.split()[0]]]
    return f"{voiced.call} ({', '.join(fingers)})" if fingers else voiced.call


def say_left_out(voiced: VoicedChord, below: Iterable[Pitch] | None = None) -> str:
    """Return the sentence of the tones that neither hand plays, `left out: D, the leading tone`, or "".

    `below` is what the left hand plays where it does not play as charted.
    """
    chord, right, left = voiced.at.chord, voiced.right, voiced.left
    if not chord or not right or not left:
        return ""
    heard = {pitch.tone.chroma for pitch in (*right.pitches, *(left.pitches if below is None else below))}
    omits = tuple(tone for tone in chord.tones if tone.chroma not in heard)
    return left_out(chord, omits, voiced.at.key)


def _bass(voiced: VoicedChord, bass: Tone | None) -> Tone | None:
    chord = voiced.at.chord
    if chord and bass in chord.tones:
        return bass
    return voiced.left.pitches[0].tone if voiced.left else None


def position(chord: Chord, lowest: Tone, inversions: tuple[str, ...] = INVERSIONS) -> str:
    """Return the inversion that a chord's tone makes as the lowest one, or else `ninth lowest`."""
    number = inversion(chord, lowest)
    return f"{factor_name(chord, lowest)} lowest" if number is None else inversions[number]


def said_name(chord: Chord) -> str:
    """Return a chord's name in words: `B♭ seventh`, `F♯ half-diminished seventh`, `C seventh with ♭9`.

    An augmented sixth is called by its own name, on the flat sixth that it stands on.
    """
    kind, changes = name(chord.intervals)
    root, words = chord.named_root, _SAID.get(kind.name) or _spelled_out(kind.name)
    if kind.name == "French" and root == chord.root:
        words, changes = _SAID["dominant"], ("b5",)
    with_changes = f" with {', '.join(map(for_paper, changes))}" if changes else ""
    return f"{for_paper(root.name)} {words}{with_changes}"


def _spelled_out(kind: str) -> str:
    for written, spoken in _ORDINALS.items():
        kind = kind.replace(written, spoken)
    return kind.replace("-", " ")


def for_paper(text: str) -> str:
    """Return text with musical signs, none of them rarer than the fonts of a page."""
    return signs(text).replace("𝄫", "♭♭").replace("𝄪", "×")
