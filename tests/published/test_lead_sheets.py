"""Lead sheets that music21 ships, each symbol against music21's own reading of it."""

from pathlib import Path

import music21
import pytest

from tracks.progression.files import read_file
from tracks.progression.playing import progression
from tracks.theory.chord import parse_symbol

CORPUS = Path(music21.__file__).parent / "corpus"
SHEETS = {
    "leadSheet/berlinAlexandersRagtime.mxl": 19,
    "leadSheet/fosterBrownHair.mxl": 40,
    "demos/ComprehensiveChordSymbolsTestFile.mxl": 57,
}

# Where music21's reading is not the standard's, by what we write.
KNOWN = {
    "Db/F": "music21 spells the functional kinds from the tonic, not from the bass",
    "Ab7(no5)": "as above",
    "Dm(maj7)": "the file calls the kind minor-major, which music21 does not know; we read its text",
    "Fsus4(#4,add#6,#9,no5)": "the file calls the kind tristan, which music21 does not know in small letters",
}


@pytest.mark.parametrize(("name", "count"), SHEETS.items())
def test_every_symbol_sounds_as_music21_reads_it(name: str, count: int) -> None:
    sheet = read_file(CORPUS / name)
    score = music21.converter.parse(CORPUS / name, forceSource=True)
    theirs = list(score.recurse().getElementsByClass("ChordSymbol"))
    ours = [chord.text for chord in sheet.chords if chord.text]

    assert len(ours) == len(theirs) == count
    differences = []
    for text, symbol in zip(ours, theirs, strict=True):
        chord = parse_symbol(text)
        sounding = {tone.chroma for tone in chord.tones} | {chord.bass.chroma}
        if (sounding, chord.bass.chroma) != (
            {p.pitchClass for p in symbol.pitches},
            symbol.bass().pitchClass,
        ):
            differences.append((text, symbol.figure, [p.name for p in symbol.pitches]))
    assert [text for text, *_ in differences if text not in KNOWN] == [], differences


@pytest.mark.parametrize("name", SHEETS)
def test_every_sheet_makes_a_progression(name: str) -> None:
    assert progression(read_file(CORPUS / name)).length > 0
