"""A tune told: at the prompt, for machines, under the notes of the sheet and in MusicXML."""

import json
import shlex
from pathlib import Path
from xml.etree.ElementTree import Element, parse

import mido
import pytest
from pypdf import PdfReader

from tracks.cli.main import run
from tracks.theory.pitch import Pitch

CHORDS = "I vi ii V7 I IV V7 I"


def shown(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert run(["show", *words]) == 0
    return capsys.readouterr().out


def told(printed: str) -> list[str]:
    lines = printed.splitlines()
    return lines[next(n for n, line in enumerate(lines) if line.startswith("The tune of")) :]


def is_tied_on(note: Element) -> bool:
    return any(tie.get("type") == "stop" for tie in note.iter("tie"))


@pytest.mark.parametrize("level", range(1, 7))
@pytest.mark.parametrize("key", ["C", "Gb"])
def test_a_tune_is_told_bar_by_bar_in_80_columns(
    level: int, key: str, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = told(shown(capsys, CHORDS, "--key", key, "--tune", "--level", str(level)))

    assert lines[0].startswith(f"The tune of seed 1, level {level}: ")
    assert [line.split(" · ")[0] for line in lines if line.startswith("Bar ")] == [
        f"Bar {n}" for n in range(1, 9)
    ]
    assert max(map(len, lines[:-2])) <= 80
    assert any(line.startswith("  cadence: ") for line in lines)


def test_what_is_told_at_the_prompt_is_what_machines_read(capsys: pytest.CaptureFixture[str]) -> None:
    words = (CHORDS, "--key", "Eb", "--tune", "--level", "6", "--seed", "4")
    printed = " ".join(" ".join(told(shown(capsys, *words))).split())
    record = json.loads(shown(capsys, *words, "--json"))

    assert {"key", "meter", "movement", "chords", "tune"} <= set(record)
    for note in record["tune"]:
        pitch = Pitch.parse(note["note"])
        assert pitch.midi == note["midi"]
        assert f"{pitch.sign} {note['why'].removeprefix('chord tone, ').split()[0]}" in printed
        assert note["figure"].isascii()
        assert note["why"].isascii()
    figures = {note["figure"] for note in record["tune"]}
    assert {"motif", "cadence"} <= figures
    assert [note["beat"] for note in record["tune"] if note["bar"] == 8] == [1]


def test_json_without_a_tune_is_as_ever(capsys: pytest.CaptureFixture[str]) -> None:
    plain = json.loads(shown(capsys, "I V7 I", "--json"))
    with_tune = json.loads(shown(capsys, "I V7 I", "--json", "--tune"))

    assert {key: value for key, value in with_tune.items() if key != "tune"} == plain


def test_the_tune_told_is_the_one_a_pack_plays_and_the_pack_says_how_to_see_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    asked = ["--style", "improvise", "--level", "4", "--seed", "9", "--repeats", "2", "--no-feel"]
    assert run(["make", CHORDS, "--key", "G", "--tempo", "72", "--out", str(tmp_path), *asked]) == 0
    lines = capsys.readouterr().out.splitlines()
    (notes,) = (line.partition(": ")[2] for line in lines if line.startswith("Notes and fingers: "))
    (more,) = (line.partition(" with ")[2] for line in lines if line.startswith("What its tune does: "))
    command = shlex.split(f"{notes} {more}")

    assert command[:2] == ["rungwise", "show"]
    record = json.loads(shown(capsys, *command[2:], "--json"))

    (path,) = tmp_path.rglob("*hands-together.mid")
    (melody,) = (track for track in mido.MidiFile(path).tracks if track.name == "Melody")
    struck = [each.note for each in melody if each.type == "note_on" and each.velocity]
    assert [note["midi"] for note in record["tune"]] == struck
    assert max(note["bar"] for note in record["tune"]) == 16


def test_in_turns_only_what_the_track_plays_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    words = (CHORDS, "--key", "C", "--tune", "--form", "call-and-response")
    lines = told(shown(capsys, *words))
    record = json.loads(shown(capsys, *words, "--json"))

    assert [line for line in lines if line.endswith(": your turn")] == [
        "Bar 3 · Dm: your turn",
        "Bar 7 · G7: your turn",
    ]
    assert {note["bar"] for note in record["tune"]} == {1, 2, 5, 6}


def test_a_pickup_is_told_in_bar_0(capsys: pytest.CaptureFixture[str]) -> None:
    record = json.loads(shown(capsys, "/ / / V7 | I | IV | V7 | I |", "--key", "C", "--tune", "--json"))

    assert (record["tune"][0]["bar"], record["tune"][0]["beat"]) == (0, 1)
    assert record["tune"][1]["bar"] == 1


@pytest.mark.parametrize(
    ("words", "fault"),
    [
        (["show", "I V", "--level", "3"], "--level: it says which tune; give --tune too"),
        (["show", "I V", "--tune", "--form", "melody-out"], "--explain: the melody is left out"),
        (["show", "I V", "--tune", "--level", "7"], "--level: style improvise has no level 7"),
        (["make", "I V", "--explain"], "--explain: it is told on the sheet; ask for the sheet too"),
        (["make", "I V", "--sheet", "--explain"], "--explain: style block plays no tune to explain"),
    ],
)
def test_what_cannot_be_told_is_refused(
    words: list[str], fault: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run([*words, *(["--out", str(tmp_path)] if words[0] == "make" else [])]) == 2

    assert fault in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_the_sheet_tells_under_the_notes_what_they_do(tmp_path: Path) -> None:
    page, edited = tmp_path / "tune.pdf", tmp_path / "tune.musicxml"
    words = ["show", CHORDS, "--key", "C", "--tune", "--level", "4", "--seed", "9"]
    assert run([*words, "--sheet", str(page)]) == 0
    assert run([*words, "--sheet", str(edited)]) == 0

    text = " ".join(PdfReader(page).pages[0].extract_text().split())
    assert "Under the notes: root, 3rd, 5th and so on are tones of the chord; pass: passes by step;" in text
    assert "Goal" not in text
    for mark in ("root", "3rd", "5th", "pass", "cadence"):
        assert mark in text.partition("Under the notes")[0]
    begun = [
        note
        for note in parse(edited).iter("note")
        if note.findtext("staff") == "1" and note.find("pitch") is not None and not is_tied_on(note)
    ]
    lyrics = [(note.findtext("pitch/step"), note.findtext("lyric/text")) for note in begun]
    assert lyrics[:4] == [("C", "root"), ("E", "3rd"), ("G", "5th"), ("E", "3rd")]
    assert all(text for _, text in lyrics)


def test_no_word_of_the_tune_stands_in_the_students_bars(tmp_path: Path) -> None:
    asked = ["--style", "improvise", "--key", "C", "--tempo", "72", "--form", "call-and-response"]
    assert run(["make", CHORDS, *asked, "--sheet", "--explain", "--out", str(tmp_path)]) == 0

    (edited,) = tmp_path.rglob("*.musicxml")
    above = [
        [words.text for words in measure.iterfind("direction[@placement='above']/direction-type/words")]
        for measure in parse(edited).iter("measure")
    ]
    assert [above[2], above[3], above[6], above[7]] == [["your turn"], [], ["your turn"], []]


def test_a_tune_is_told_in_the_names_asked_for(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ("ii7 V7 I I", "--key", "Bb", "--tune", "--level", "4", "--seed", "2", "--note-names", "german")
    lines = " ".join(told(shown(capsys, *words, "--sheet", str(tmp_path / "tune.musicxml"))))
    record = json.loads(shown(capsys, *words, "--json"))

    assert "♭" not in lines
    assert {note["note"] for note in record["tune"]} & {"Bb4", "Bb5"}
    marks = " ".join(text.text or "" for text in parse(tmp_path / "tune.musicxml").iterfind(".//lyric/text"))
    assert "♭" not in marks
