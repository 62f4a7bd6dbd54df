"""Roman numerals, against three sources.

- Robert Hutchinson, *Music Theory for the 21st-Century Classroom*, 7.2, 7.3, 8.3 (diatonic triads and
  sevenths), 17.3 to 18.2 (applied chords), 21.2, 29.3 (Neapolitan, augmented sixths).
- Open Music Theory, "Thoroughbass figures" and "Altered subdominants".
- music21's `roman.RomanNumeral`, a general-purpose reference library: every numeral in all 30 keys, spelled
  alike, not merely sounding alike.
"""

import music21
import pytest

from tracks.theory.key import KEY_SETS, Key
from tracks.theory.numeral import parse_numeral


def bass_up(text: str, key: str) -> str:
    """Return the tones of a numeral from its bass up, as the textbooks list them."""
    chord = parse_numeral(text, Key.parse(key))
    place = chord.tones.index(chord.bass)
    return " ".join(tone.name for tone in chord.tones[place:] + chord.tones[:place])


@pytest.mark.parametrize(
    ("key", "numerals", "chords"),
    [
        ("C", "I ii iii IV V vi viio", ["C E G", "D F A", "E G B", "F A C", "G B D", "A C E", "B D F"]),
        (
            "C",
            "I7 ii7 iii7 IV7 V7 vi7 vii/o7",
            ["C E G B", "D F A C", "E G B D", "F A C E", "G B D F", "A C E G", "B D F A"],
        ),
        (
            "a",
            "i iio III+ III iv V v VI viio VII",
            ["A C E", "B D F", "C E G#", "C E G", "D F A", "E G# B", "E G B", "F A C", "G# B D", "G B D"],
        ),
        ("a", "ii/o7 iv7 V7 VI7 viio7", ["B D F A", "D F A C", "E G# B D", "F A C E", "G# B D F"]),
    ],
)
def test_diatonic_chords_of_the_textbook(key: str, numerals: str, chords: list[str]) -> None:
    assert [bass_up(numeral, key) for numeral in numerals.split()] == chords


@pytest.mark.parametrize(
    ("text", "key", "chord"),
    [
        ("I6", "C", "E G C"),
        ("I64", "C", "G C E"),
        ("V65", "C", "B D F G"),
        ("V43", "C", "D F G B"),
        ("V42", "C", "F G B D"),
        ("V2", "C", "F G B D"),
        ("V/V", "C", "D F# A"),
        ("V65/V", "C", "F# A C D"),
        ("V7/ii", "C", "A C# E G"),
        ("V7/iii", "C", "B D# F# A"),
        ("V7/IV", "C", "C E G Bb"),
        ("V7/vi", "C", "E G# B D"),
        ("viio7/V", "C", "F# A C Eb"),
        ("N6", "C", "F Ab Db"),
        ("N6", "a", "D F Bb"),
        ("It6", "C", "Ab C F#"),
        ("Fr43", "C", "Ab C D F#"),
        ("Ger65", "C", "Ab C Eb F#"),
        ("It6", "a", "F A D#"),
        ("Fr43", "a", "F A B D#"),
        ("Ger65", "a", "F A C D#"),
        ("Cad64", "C", "G C E"),
    ],
)
def test_figures_applied_and_altered_chords_of_the_textbooks(text: str, key: str, chord: str) -> None:
    assert bass_up(text, key) == chord


# How music21's RomanText reader takes the sixth and seventh of minor; a bVII there is a reminder.
CAUTIONARY = music21.roman.Minor67Default.CAUTIONARY

TRIADS = {
    "major": "I ii iii IV V vi viio",
    "minor": "i iio III III+ iv IV V v VI vi VII viio",
}
SEVENTHS = {
    "major": "I ii iii IV V vi vii/o viio",
    "minor": "i ii/o III iv IV V v VI VII viio",
}
COLORED = [
    "V/V",
    "V7/V",
    "V65/V",
    "V43/V",
    "V42/V",
    "viio7/V",
    "vii/o7/V",
    "viio6/V",
    "V7/IV",
    "N6",
    "N",
    "It6",
    "Fr43",
    "Ger65",
    "Cad64",
    "bII6",
    "I+",
    "V+",
    "V+7",
    "#ivo7",
    "#iv/o7",
    "Id7",
    "IVd7",
    "V9",
    "ii9",
    "i",
    "iv",
    "iv7",
    "v",
    "V54",
    "V7[no5]",
    "I[no3]",
    "V7/V/V",
    "N64",
    "It",
    "Ger",
    "Fr",
    "Ger6",
    "Fr6",
    "V11",
    "V13",
    "I[add9]",
    "I[add6]",
    "V[add4][no3]",
    "i[no3][no5]",
    "V[no1]",
    "V7[no1]",
    "V7[b5]",
    "V7[addb9]",
    "V7[add#11]",
    "ii65[no5]",
    "N6[add9]",
]
APPLIED = {"major": "ii iii IV V vi bII bIII bVI", "minor": "III iv V VI VII bII"}
REMINDED = [
    "bVI",
    "bVI6",
    "bVI7",
    "bVII",
    "bVII7",
    "#vi",
    "#vio7",
    "#viio7",
    "#viio65",
    "bvi",
    "#VI",
    "bbVII",
]


def numerals(mode: str) -> list[str]:
    """Return the vocabulary: triads and sevenths in every inversion, applied, borrowed, altered chords."""
    triads = [numeral + figure for numeral in TRIADS[mode].split() for figure in ("", "6", "64")]
    sevenths = [numeral + figure for numeral in SEVENTHS[mode].split() for figure in ("7", "65", "43", "42")]
    applied = [
        f"{head}/{target}"
        for target in APPLIED[mode].split()
        for head in ("V", "V6", "V7", "V65", "V43", "V42", "viio", "viio6", "viio7", "viio65", "vii/o7")
    ]
    borrowed = ["bIII", "bVI", "bVI7", "bVII", "bVII7"] if mode == "major" else REMINDED
    return [*triads, *sevenths, *applied, *borrowed, *COLORED]


@pytest.mark.parametrize("key", KEY_SETS["all-30"], ids=lambda key: key.folder)
def test_every_numeral_is_spelled_as_music21_spells_it(key: Key) -> None:
    home = music21.key.Key(key.tonic.name.replace("b", "-"), key.mode.value)
    differences = []
    for text in numerals(key.mode.value):
        ours = parse_numeral(text, key)
        theirs = music21.roman.RomanNumeral(text, home, sixthMinor=CAUTIONARY, seventhMinor=CAUTIONARY)
        spelled = sorted({pitch.name.replace("-", "b") for pitch in theirs.pitches})
        if (sorted(tone.name for tone in ours.tones), ours.bass.name) != (
            spelled,
            theirs.bass().name.replace("-", "b"),
        ):
            differences.append((text, [tone.name for tone in ours.tones], spelled))

    assert differences == []
