"""Lead sheets that music21, a general-purpose reference library, has written, read back through it."""

import zipfile
from pathlib import Path
from typing import Any

import pytest
from music21 import bar, harmony, key, metadata, meter, note, spanner
from music21 import stream as music21_stream

from tracks.progression.files import names_a_file, read_file
from tracks.progression.lead_sheet import LeadSheet
from tracks.progression.playing import progression
from tracks.theory.errors import RequestError
from tracks.theory.meter import QUARTER

stream: Any = music21_stream  # half typed

HEAD = (
    '<?xml version="1.0"?><score-partwise version="4.0">'
    '<part-list><score-part id="P1"/></part-list><part id="P1">'
)
ATTRIBUTES = (
    "<attributes><divisions>1</divisions><key><fifths>0</fifths></key>"
    "<time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
)
NOTE = "<note><pitch><step>C</step><octave>4</octave></pitch><duration>4</duration></note>"


def measure(number: int, *symbols: tuple[float, Any], quarters: float = 4) -> Any:
    made = stream.Measure(number=number)
    made.append(note.Note("C4", quarterLength=quarters))
    for offset, symbol in symbols:
        made.insert(offset, symbol if not isinstance(symbol, str) else harmony.ChordSymbol(symbol))
    return made


def write(folder: Path, *measures: Any, opening: tuple[Any, ...] = (), name: str = "tune.musicxml") -> Path:
    part = stream.Part(measures)
    for element in (*opening, meter.TimeSignature("4/4")):
        measures[0].insert(0, element)
    score = stream.Score([part])
    score.metadata = metadata.Metadata(title="Tune")
    path = folder / name
    score.write("mxl" if name.endswith(".mxl") else "musicxml", fp=path)
    return path


def symbol_file(folder: Path, harmony_element: str, fifths: int = 0) -> Path:
    """Write a file whose one chord symbol is given as the standard has it."""
    path = folder / "symbol.musicxml"
    attributes = ATTRIBUTES.replace("<fifths>0", f"<fifths>{fifths}")
    path.write_text(
        f'{HEAD}<measure number="1">{attributes}{harmony_element}{NOTE}</measure></part></score-partwise>'
    )
    return path


def texts(sheet: LeadSheet) -> list[tuple[int, float, str | None]]:
    found = []
    for chord in sheet.chords:
        place = sheet.bar_at(chord.start)
        found.append((place.number, (chord.start - place.start) / QUARTER, chord.text))
    return found


@pytest.mark.parametrize("name", ["tune.musicxml", "tune.mxl", "tune.xml"])
def test_symbols_stand_in_their_bars_and_beats(tmp_path: Path, name: str) -> None:
    bars = [measure(1, (0, "F"), (2, "Dm7")), measure(2, (0, "Gm7/B-"), (3, "C7")), measure(3, (0, "F"))]
    sheet = read_file(write(tmp_path, *bars, opening=(key.Key("F"),), name=name))

    assert texts(sheet) == [(1, 0, "F"), (1, 2, "Dm7"), (2, 0, "Gm7/Bb"), (2, 3, "C7"), (3, 0, "F")]
    assert (sheet.title, str(sheet.meter), str(sheet.chords[0].key)) == ("Tune", "4/4", "F major")


def test_pickup_keys_meter_and_silence(tmp_path: Path) -> None:
    pickup = measure(0, (0, "D7"), quarters=1)
    pickup.paddingLeft = 3.0
    last = measure(2, (0, harmony.NoChord()), (1, "G"), quarters=3)
    last.insert(0, key.Key("D"))
    sheet = read_file(write(tmp_path, pickup, measure(1, (0, "G")), last, opening=(key.Key("G"),)))

    assert sheet.pickup == QUARTER
    assert texts(sheet) == [(0, 0, "D7"), (1, 0, "G"), (2, 0, None), (2, 1, "G")]
    assert [str(chord.key) for chord in sheet.chords] == ["G major", "G major", "D major", "D major"]
    assert progression(sheet).pickup == QUARTER


def test_change_of_meter_is_kept(tmp_path: Path) -> None:
    waltz = measure(2, (0, "G"), quarters=3)
    waltz.insert(0, meter.TimeSignature("3/4"))
    sheet = read_file(write(tmp_path, measure(1, (0, "G")), waltz, opening=(key.Key("G"),)))

    assert [str(place.meter) for place in sheet.bars] == ["4/4", "3/4"]


def test_bars_before_the_first_symbol_are_silent(tmp_path: Path) -> None:
    sheet = read_file(write(tmp_path, measure(1), measure(2, (2, "C")), opening=(key.Key("C"),)))

    assert texts(sheet) == [(1, 0, None), (2, 2, "C")]


def test_repeats_and_endings_are_played_out(tmp_path: Path) -> None:
    bars = [measure(n, (0, symbol)) for n, symbol in enumerate(("C", "F", "G", "C"), 1)]
    bars[1].leftBarline = bar.Repeat(direction="start")
    bars[2].rightBarline = bar.Repeat(direction="end")
    opening = (
        key.Key("C"),
        spanner.RepeatBracket(bars[2], number=1),
        spanner.RepeatBracket(bars[3], number=2),
    )
    played = progression(read_file(write(tmp_path, *bars, opening=opening)))

    assert [chord.text for chord in played.chords] == ["C", "F", "G", "F", "C"]


@pytest.mark.parametrize(
    ("fifths", "symbols", "expected"),
    [
        (0, ("Am", "E7", "Am"), "A minor"),
        (0, ("Am", "G7", "C"), "C major"),
        (0, ("F", "B-", "C7", "F"), "F major"),
    ],
)
def test_key_is_the_signatures_or_what_the_chords_say(
    tmp_path: Path, fifths: int, symbols: tuple[str, ...], expected: str
) -> None:
    bars = [measure(n, (0, symbol)) for n, symbol in enumerate(symbols, 1)]
    sheet = read_file(write(tmp_path, *bars, opening=(key.KeySignature(fifths),)))

    assert {str(chord.key) for chord in sheet.chords} == {expected}
    assert bool(sheet.remarks) == (expected == "F major")


@pytest.mark.parametrize(
    ("element", "written"),
    [
        ("<kind>dominant</kind>", "C7"),
        ("<kind>major-minor</kind>", "Cm(maj7)"),
        (
            "<kind>half-diminished</kind><bass><bass-step>G</bass-step><bass-alter>-1</bass-alter></bass>",
            "Cm7b5/Gb",
        ),
        ("<kind>dominant</kind>{alter 5 1}{add 9 1}", "C7#5(#9)"),
        ("<kind>major</kind>{add 9 0}", "Cadd9"),
        ("<kind>suspended-fourth</kind>{add 7 0}", "C7sus4"),
        ("<kind>suspended-fourth</kind>{add 7 1}", "Cmaj7sus4"),
        ("<kind>dominant</kind>{subtract 3 0}", "C7(no3)"),
        ("<kind>diminished</kind>{alter 5 1}", "Cm"),
        ("<kind>power</kind>", "C5"),
        ("<kind>Neapolitan</kind>", "Db/F"),
        ("<kind>Italian</kind>", "Ab7(no5)"),
        ("<kind>German</kind>", "Ab7"),
        ("<kind>French</kind>", "Ab7b5"),
        ('<kind text="7alt">other</kind>', "C7#5(#9)"),
    ],
)
def test_symbol_of_the_standard(tmp_path: Path, element: str, written: str) -> None:
    for sort in ("alter", "add", "subtract"):
        for number in (3, 5, 7, 9):
            for alter in (0, 1):
                degree = (
                    f"<degree><degree-value>{number}</degree-value><degree-alter>{alter}</degree-alter>"
                    f"<degree-type>{sort}</degree-type></degree>"
                )
                element = element.replace(f"{{{sort} {number} {alter}}}", degree)
    root = "<root><root-step>C</root-step></root>"
    sheet = read_file(symbol_file(tmp_path, f"<harmony>{root}{element}</harmony>"))

    assert sheet.chords[0].text == written


@pytest.mark.parametrize("kind", ["pedal", "other"])
def test_symbol_that_names_no_chord_is_refused_with_its_measure(tmp_path: Path, kind: str) -> None:
    root = "<root><root-step>C</root-step></root>"

    with pytest.raises(RequestError, match=r"symbol.musicxml, measure 1: .* write "):
        read_file(symbol_file(tmp_path, f"<harmony>{root}<kind>{kind}</kind></harmony>"))


def test_broken_files_are_one_line_that_names_the_file(tmp_path: Path) -> None:
    cases = {
        "cut.musicxml": (b"<score-partwise>\n<part-list>\n</part>", "line 3, column 3"),
        "other.xml": (b"<html></html>", "it"),
        "zip.mxl": (b"not a zip", "it is no .mxl file"),
        "silent.musicxml": (
            f"{HEAD}<measure>{ATTRIBUTES}{NOTE}</measure></part></score-partwise>".encode(),
            "no chord symbols",
        ),
        "empty.musicxml": (b"", "line 1"),
    }
    for name, (content, said) in cases.items():
        path = tmp_path / name
        path.write_bytes(content)
        with pytest.raises(RequestError) as caught:
            read_file(path)
        assert str(caught.value).startswith(f"{name}: ")
        assert said in str(caught.value)
        assert "\n" not in str(caught.value)


def test_zip_with_no_music_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "bare.mxl"
    with zipfile.ZipFile(path, "w") as zipped:
        zipped.writestr("readme.txt", "nothing")

    with pytest.raises(RequestError, match=r"bare\.mxl: it "):
        read_file(path)


def test_missing_file_is_said(tmp_path: Path) -> None:
    for name in ("gone.mxl", "gone.rntxt"):
        with pytest.raises(RequestError, match=f"{name}: there is no such file"):
            read_file(tmp_path / name)


@pytest.mark.parametrize(
    ("text", "is_file"),
    [("tune.mxl", True), ("a b/Tune.RNTXT", True), ("I V", False), ("turnaround", False), ("x.mid", False)],
)
def test_file_is_known_by_its_ending(text: str, is_file: bool) -> None:
    assert names_a_file(text) is is_file
