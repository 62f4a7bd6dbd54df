"""How far our reading of real analyses agrees with music21's, and the chorales' notes with our reading.

`python -m tests.published.agreement` writes docs/agreement.md (a minute or two: music21 reads 68 files);
`pytest -m slow tests/published` asserts it, and the plain test run asserts what is quick.

Sources, all of them shipped with music21, a general-purpose reference library:
- 20 chorale analyses (Andrew Jones; proofread by Dmitri Tymoczko and Hamish Robb) and 48 of Monteverdi's
  madrigals (several analysts), in RomanText.
- the chorales' scores. Analyses 9, 11, 14 and 17 are left out of that check: music21 has no score under the
  first two names, and under the other two one that the analysis does not fit.
- music21's own reading of the same files.
"""

import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from pathlib import Path
from typing import Any

import music21

from tracks.progression.files import read_file
from tracks.progression.lead_sheet import LeadSheet
from tracks.theory.key import Key
from tracks.theory.meter import QUARTER
from tracks.theory.numeral import parse_numeral

CORPUS = Path(music21.__file__).parent / "corpus"
FILES = sorted(CORPUS.rglob("*.rntxt"))
PAGE = Path(__file__).parents[2] / "docs" / "agreement.md"

# Riemenschneider's number: the score's name.
SCORES = {
    1: "269", 2: "347", 3: "153.1", 4: "86.6", 5: "267", 6: "281", 7: "17.7", 8: "40.8", 10: "38.6",
    12: "65.2", 13: "33.6", 15: "277", 16: "311", 18: "318", 19: "351", 20: "302",
}  # fmt: skip

_NO_DIGIT = (
    "a variant without a number (`m49var`), which music21 takes for a chord and a measure; we pass over it"
)
_TWICE = "the file gives the measure twice; we go on in the same measure, music21 opens another"

KNOWN = {
    ("chorale 007", 32, "bVII7[maj7]"): "music21 knows no [maj7] and loses the chord's third and fifth",
    ("madrigal 3.10", 35, "I"): "the line reads `m 35 IV`; music21 passes over it and holds the chord before",
    ("madrigal 3.10", 63, "I4"): "a bare 4 is read as 5 4; music21 leaves the fifth out",
    ("madrigal 3.12", 36, "III6+"): "music21 passes over a + after the figure",
    (
        "madrigal 3.6",
        53,
        "IV",
    ): "a copied pivot: music21 reads its first chord in the old key, the rest in the new",
    ("madrigal 4.15", 59, "I"): _TWICE,
    **{
        ("madrigal 4.16", measure, figure): _NO_DIGIT
        for measure, figures in {49: "var ii", 50: "var VII", 51: "var v", 52: "var III", 53: "var"}.items()
        for figure in figures.split()
    },
    ("madrigal 5.8", 36, "V/V[no3]"): "music21 passes over brackets after an applied chord",
}
"""File, measure and numeral (as music21 has it) of every difference, and its reason."""

Sound = tuple[frozenset[int], int]
"""The pitch classes of a chord, and that of its bass."""


@dataclass(frozen=True)
class Difference:
    """A numeral that we and music21 read differently, or that only one of us has."""

    file: str
    measure: int
    figure: str
    ours: str
    theirs: str


def name_of(path: Path) -> str:
    return path.stem.replace("riemenschneider", "chorale ").replace("madrigal.", "madrigal ")


def ours_of(text: str, key: Key) -> tuple[Sound, str]:
    chord = parse_numeral(text, key)
    names = f"{'-'.join(sorted(tone.name for tone in chord.tones))} over {chord.bass}"
    return (frozenset(tone.chroma for tone in chord.tones), chord.bass.chroma), names


def theirs_of(numeral: Any) -> tuple[Sound, str]:
    bass = numeral.bass()
    names = sorted({pitch.name.replace("-", "b") for pitch in numeral.pitches})
    said = f"{'-'.join(names)} over {bass.name.replace('-', 'b')}"
    return (frozenset(pitch.pitchClass for pitch in numeral.pitches), bass.pitchClass), said


def music21_numeral(text: str, key: Key) -> Any:
    """Read a numeral as music21's RomanText reader does."""
    reminder = music21.roman.Minor67Default.CAUTIONARY
    home = music21.key.Key(key.tonic.name.replace("b", "-"), key.mode.value)
    return music21.roman.RomanNumeral(text, home, sixthMinor=reminder, seventhMinor=reminder)


def numerals_of(sheet: LeadSheet) -> Iterator[tuple[int, str, Key]]:
    for chord in sheet.chords:
        if chord.text and chord.key:
            yield sheet.bar_at(chord.start).number, chord.text, chord.key


def compare_numerals(paths: list[Path]) -> tuple[int, list[Difference]]:
    """Compare every numeral that we read in the files with music21's reading of that numeral."""
    count, differences = 0, []
    read: dict[tuple[str, Key], tuple[str, str] | None] = {}
    for path in paths:
        for measure, text, key in numerals_of(read_file(path)):
            count += 1
            if (text, key) not in read:
                (ours, ours_said) = ours_of(text, key)
                (theirs, theirs_said) = theirs_of(music21_numeral(text, key))
                read[text, key] = None if ours == theirs else (ours_said, theirs_said)
            found = read[text, key]
            if found:
                differences.append(Difference(name_of(path), measure, text, *found))
    return count, differences


def compare_file(path: Path) -> tuple[int, list[Difference]]:
    """Compare at every numeral that music21 finds in a file, at its measure and beat."""
    sheet = read_file(path)
    bars = {bar.number: bar for bar in sheet.bars}
    count, differences = 0, []
    for measure, offset, numeral in music21_reading(path):
        count += 1
        theirs, theirs_said = theirs_of(numeral)
        at = bars[measure].start + round(Fraction(offset) * QUARTER)
        chord = next((chord for chord in sheet.chords if chord.start <= at < chord.end), None)
        ours, ours_said = None, "silence"
        if chord and chord.text and chord.key:
            ours, ours_said = ours_of(chord.text, chord.key)
        if ours != theirs:
            differences.append(Difference(name_of(path), measure, numeral.figure, ours_said, theirs_said))
    return count, differences


def music21_reading(path: Path) -> Iterator[tuple[int, Any, Any]]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # music21 warns of the files' older encodings
        reader = music21.converter.Converter()
        reader.parseFileNoPickle(path, format="romantext")
    stream: Any = reader.stream
    for measure in stream.recurse().getElementsByClass("Measure"):
        for numeral in measure.getElementsByClass("RomanNumeral"):
            yield measure.number, numeral.offset, numeral


def compare_chorale(number: int) -> tuple[int, int, int]:
    """Return how many numerals a chorale has, at how many its notes are all theirs, and its bass is."""
    sheet = read_file(CORPUS / "bach" / "choraleAnalyses" / f"riemenschneider{number:03}.rntxt")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        score = music21.corpus.parse(f"bach/bwv{SCORES[number]}")
    voices = [list(part.flatten().notesAndRests) for part in score.parts]
    count = within = basses = 0
    for chord in sheet.chords:
        if not chord.text or not chord.key:
            continue
        sounding = [note.pitch for voice in voices if (note := _at(voice, chord.start)) and note.isNote]
        if not sounding:
            continue
        (tones, bass), _ = ours_of(chord.text, chord.key)
        count += 1
        within += {pitch.pitchClass for pitch in sounding} <= tones
        basses += min(sounding).pitchClass == bass
    return count, within, basses


def _at(voice: list[Any], time: int) -> Any:
    offset = Fraction(time, QUARTER)
    return next((n for n in voice if n.offset <= offset < n.offset + n.quarterLength), None)


@dataclass(frozen=True)
class Row:
    """A line of the table: what was compared, how often, how often alike."""

    what: str
    count: int
    alike: int

    def __str__(self) -> str:
        return f"| {self.what} | {self.count} | {self.alike} | {100 * self.alike / self.count:.2f} % |"


def chorale_rows() -> tuple[Row, Row]:
    counts = [compare_chorale(number) for number in SCORES]
    count, within, basses = (sum(column) for column in zip(*counts, strict=True))
    return (
        Row("notes of 16 chorales within our numeral's tones", count, within),
        Row("basses of 16 chorales that are our numeral's", count, basses),
    )


HEAD = """# How far our reading of Roman numerals agrees with music21's

Written by `python -m tests.published.agreement`; change that, not this page. The plain test run asserts
the first, third and fourth line and six whole files; `pytest -m slow` asserts all.
"""
FOOT = """All {files} files are read. 67 make a drill whole; chorale 11 changes meter and asks for `--bars`.
music21's own numerals reach the same shares on the chorales' notes and basses: what is left are passing
and suspended notes.
"""


def page() -> tuple[str, list[Difference]]:
    """Return the page in Markdown, and every difference that it tells."""
    count, of_words = compare_numerals(FILES)
    compared = [compare_file(path) for path in FILES]
    total = sum(number for number, _ in compared)
    differences = [difference for _, found in compared for difference in found]
    rows = (
        Row(f"numerals of {len(FILES)} files, each read by us and by music21", count, count - len(of_words)),
        Row("chords that music21's reader finds, at their measure and beat", total, total - len(differences)),
        *chorale_rows(),
    )
    lines = (
        HEAD,
        "| compared (pitch classes and bass) | count | alike | share |\n| --- | --- | --- | --- |",
        *rows,
        "\n| file | measure | numeral | ours | music21's | reason |\n| --- | --- | --- | --- | --- | --- |",
        *difference_rows(differences),
        "\n" + FOOT.format(files=len(FILES)),
    )
    return "\n".join(map(str, lines)), differences


def difference_rows(differences: list[Difference]) -> Iterator[str]:
    """Give a row for every reason in a file; one reason for several chords is told once."""
    by_reason = groupby(
        differences, key=lambda d: (d.file, KNOWN.get((d.file, d.measure, d.figure), "UNKNOWN"))
    )
    for (file, reason), found in by_reason:
        first, *others = found
        cells = [str(first.measure), first.figure, first.ours, first.theirs]
        if others:
            cells = [f"{first.measure} to {others[-1].measure}", f"{1 + len(others)} chords", "", ""]
        yield f"| {' | '.join((file, *cells, reason))} |"


def main() -> None:
    """Write the page; fail where a difference has no reason, or a reason no difference."""
    text, differences = page()
    if {(d.file, d.measure, d.figure) for d in differences} != set(KNOWN):
        raise SystemExit(f"the differences are not the known ones:\n{text}")
    PAGE.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
