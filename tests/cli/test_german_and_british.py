"""German and British names from the prompt to the paper: what is read and printed, what stays English."""

import json
import re
from pathlib import Path

import pytest

from tracks.cli.main import run
from tracks.drill.in_key import in_each_key
from tracks.drill.request import request_of
from tracks.export.mei import mei
from tracks.lessons.lesson import read_lesson_text
from tracks.notation.aloud import described
from tracks.pack.sheets import sheet
from tracks.style.registry import load
from tracks.theory.errors import RequestError
from tracks.theory.note_names import NoteNames

GERMAN = ("--note-names", "german")


@pytest.fixture(autouse=True)
def _desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "140")


def told(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert run(words) == 0
    return capsys.readouterr().out


@pytest.mark.parametrize(
    ("german", "english"),
    [
        (("C F H7 E", "--key", "E"), ("C F B7 E", "--key", "E")),
        (("I ii65 V7 I", "--key", "H"), ("I ii65 V7 I", "--key", "B")),
        (("i iv V7 i", "--key", "b"), ("i iv V7 i", "--key", "bb")),
        (("i iv V7 i", "-k", "fis-Moll", "--range", "H3-B5"), ("i iv V7 i", "-k", "f#", "--range", "B3-Bb5")),
        (("| B: B Es | H: Fis7 H |", "--key", "B-Dur"), ("| Bb: Bb Eb | B: F#7 B |", "--key", "Bb")),
        (("Es B7 Es", "--written-in", "Es", "-k", "As"), ("Eb Bb7 Eb", "--written-in", "Eb", "-k", "Ab")),
    ],
)  # fmt: skip
def test_german_is_read_as_the_same_english(
    german: tuple[str, ...], english: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    read = json.loads(told(capsys, "show", *german, *GERMAN, "--json"))

    assert read == json.loads(told(capsys, "show", *english, "--json"))


def test_what_is_shown_in_german_is_the_english_translated(capsys: pytest.CaptureFixture[str]) -> None:
    asked = ("show", "I vi ii7 V7 I", "--key", "all-major", "--scales", "--left", "shells", "-t", "over-bass")
    in_english = told(capsys, *asked)
    in_german = told(capsys, *asked, *GERMAN)

    def words(text: str) -> list[str]:
        """Return the words, without the fingers and rules whose places follow the names' widths."""
        return [word for word in text.split() if not re.fullmatch(r"[─\d]+", word)]

    assert words(in_german) == words(NoteNames.GERMAN.printed(in_english))
    assert "♭" not in re.sub(r"♭\d", "", in_german)


def test_a_sheet_is_in_german_wherever_it_names_a_note_or_key() -> None:
    asked = {"progression": "I V7 bVII I", "tempos": ("60",), "meter": "6/8"}
    in_names = ({"keys": ("B", "Bb")}, {"keys": ("H", "B"), "note-names": "german"})
    both = [request_of({**asked, **more}).drills(load("block"))[0] for more in in_names]
    for english, german in zip(*map(in_each_key, both), strict=True):
        plain, ours = sheet(both[0], english), sheet(both[1], german)
        printed = NoteNames.GERMAN.printed

        assert ours.key == printed(plain.key)
        assert ours.rows == tuple(tuple(map(printed, row)) for row in plain.rows)
        assert ours.title == plain.title
        harmonies = re.findall(r'type="symbol">([^<]*)<', mei(ours.score))
        assert harmonies == [
            printed(each) for each in re.findall(r'type="symbol">([^<]*)<', mei(plain.score))
        ]
        said = described(ours.score, range(1))
        assert not {"flat", "sharp"} & set(said.split())
        assert f"in {ours.key}" in said


def test_british_sheets_have_crotchets() -> None:
    asked = {"progression": "I V", "keys": ("C",), "meter": "6/8", "note-names": "british"}
    (drill,) = request_of(asked).drills(load("block"))
    (in_key,) = in_each_key(drill)

    made = sheet(drill, in_key, load("block"))

    assert made.goal
    assert made.goal.name == "dotted crotchet"
    assert "dotted minim" in described(made.score, range(2))
    assert "half step" not in str(made.rows)
    assert "semitone" in str(made.rows)


def test_a_lesson_reads_and_writes_german() -> None:
    drill = '[[drill]]\nname = "a"\nprogression = "Es As B7 Es"\nkeys = ["Es", "H"]\n'

    with pytest.raises(RequestError, match='is no key; write Eb major, or say note-names = "german"'):
        read_lesson_text(drill, Path("x.toml"), load)
    (made,) = read_lesson_text(f'[defaults]\nnote-names = "german"\n{drill}', Path("x.toml"), load).drills

    assert [key.name for key in made.drill.keys] == ["Eb major", "B major"]
    assert made.drill.progression == "Eb Ab Bb7 Eb"


def test_a_pack_keeps_english_names_and_says_how_to_show_it_again(capsys: pytest.CaptureFixture[str]) -> None:
    said = told(
        capsys, "make", "Es As B7 Es", "-k", "H", "-k", "As-Dur", *GERMAN, "--tempo", "60", "--name", "x"
    )

    assert "keys    H-Dur, As-Dur" in said
    assert 'rungwise show "Es As B7 Es" --key H --key As-Dur --note-names german' in said
    drill = json.loads(Path("out/x/manifest.json").read_text(encoding="utf-8"))["drill"]
    assert (drill["keys"], drill["progression"]) == (["B major", "Ab major"], "Eb Ab Bb7 Eb")
    assert drill["note_names"] == "german"
    assert {path.name for path in Path("out/x").iterdir() if path.is_dir()} == {"B-major", "Ab-major"}


def test_a_fault_is_told_in_the_names_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(("show", "I", "--key", "Gis-Dur", *GERMAN)) == 2
    assert capsys.readouterr().err == "rungwise: --key: Gis-Dur has 8 sharps; write As-Dur\n"
    assert run(("show", "Es: I", "--key", "h", *GERMAN)) == 2
    assert "the progression is written in Es-Dur, and h-Moll is not major" in capsys.readouterr().err
    assert run(("show", "I", "--key", "B H", *GERMAN)) == 2
    assert "'B H' is several keys; write --key B --key H" in capsys.readouterr().err
