"""Slips that teachers make, each met with what to write instead; and outputs that cannot hold every sign."""

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tracks.cli import asking
from tracks.cli.main import run
from tracks.cli.plainly import plainly
from tracks.lessons.lesson import read_lesson_text
from tracks.style.registry import load
from tracks.theory.other_names import chord_meant, key_meant

DRILL = '[[drill]]\nname = "a"\nprogression = "I"\n'
SLIPS = [
    (("show", "I", "--key", "H"), "--key: 'H' is no key; here that is B"),
    (("show", "I", "--key", "Es-Dur"), "here that is Eb major"),
    (("show", "C F H7 E"), "here that is C F B7 E"),
    (("show", "Do Fa Sol Do"), "here that is C F G C"),
    (("show", "1451"), "put spaces between: 1 4 5 1"),
    (("show", "251"), "put spaces between: 2 5 1"),
    (("show", "I", "--key", "C G F"), "--key: 'C G F' is several keys; name each by itself"),
    (("make", "I", "--tempo", "60,72"), "--tempo: '60,72' is several tempos; name each by itself"),
    (("show", "I", "--inversion", "first"), "did you mean --start?"),
    (("show", "I", "--start", "1"), "did you mean first?"),
    (("show", "I", "--texture", "parallel"), "did you mean doubled?"),
    (("make", "I", "--name", "week 3"), "digits, - and _ only, like week-3"),
    (("improvise",), 'it is a style: rungwise make "I IV V7 I" --style improvise'),
    (("twelve-bar-blues",), "it is a progression: rungwise show twelve-bar-blues"),
    (("styles", "zither"), "no style has zither; rungwise styles lists all"),
]
FILES = [
    (DRILL + 'notes = "slow"\n', "line 4, notes: this is said of the whole file; write it at the top"),
    (DRILL + 'name = "b"\n', "a name stands there twice; leave one out"),
    (DRILL.replace('"I"', "\u201cI\u201d"), 'write straight quotes, "like these", in place of curly ones'),
    (DRILL + 'level = "2"\n', "level: '2' is not a whole number; leave out the quotes: 2"),
    (
        '[[requirement]]\nkeys = "C"\n',
        "x.toml: this is a level, not a lesson; plan a term: rungwise term x.toml",
    ),
]


@pytest.fixture(autouse=True)
def _desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


@pytest.mark.parametrize(("words", "told"), SLIPS)
def test_a_slip_is_told_what_to_write(
    words: tuple[str, ...], told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(words) == 2
    said = capsys.readouterr().err
    assert told in said
    assert said.count("\n") == 1


@pytest.mark.parametrize(("text", "told"), FILES)
def test_a_slip_in_a_file_is_told_what_to_write(
    text: str, told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("x.toml").write_text(text, encoding="utf-8")

    assert run(("build", "x.toml")) == 2
    assert told in capsys.readouterr().err


def test_a_lesson_given_as_a_level_says_how_to_build_it(capsys: pytest.CaptureFixture[str]) -> None:
    Path("x.toml").write_text(DRILL, encoding="utf-8")

    assert run(("term", "x.toml")) == 2
    assert "this is a lesson, not a level; make its files: rungwise build x.toml" in capsys.readouterr().err


def test_a_level_by_its_name_is_begun_as_one(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(("new", "level.toml")) == 0
    assert "rungwise term level.toml" in capsys.readouterr().out
    assert "[[requirement]]" in Path("level.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("german", "ours"),
    [
        ("H", "B"), ("B-Dur", "Bb major"), ("h-Moll", "B minor"), ("fis", "F# minor"), ("As", "Ab"),
        ("Cis dur", "C# major"), ("Ces-Dur", "Cb major"), ("sol", "G"), ("Q", ""), ("Hund", ""),
    ],
)  # fmt: skip
def test_keys_of_other_countries(german: str, ours: str) -> None:
    assert key_meant(german) == ours


@pytest.mark.parametrize(
    ("word", "ours"),
    [("H7", "B7"), ("Cis7", "C#7"), ("Esm", "Ebm"), ("Sol7", "G7"), ("lam", "Am"), ("C", ""), ("Dove", "")],
)
def test_chords_of_other_countries(word: str, ours: str) -> None:
    assert chord_meant(word) == ours


# Outputs


def test_signs_become_plain_where_the_output_has_none() -> None:
    told = io.TextIOWrapper(io.BytesIO(), "ascii", errors=plainly())
    told.write("E♭ · F♯m7 → 𝄫 ─┼ ☃")
    told.flush()

    assert told.buffer.getvalue() == b"Eb - F#m7 -> bb -- ?"


@pytest.mark.parametrize("encoding", ["ascii", "cp1252"])
def test_an_output_that_is_not_utf_8_loses_no_pack_and_no_word(encoding: str) -> None:
    for words in (("make", "I V", "-k", "Eb", "--tempo", "60"), ("show", "I vi", "-k", "Eb")):
        done = subprocess.run(
            [sys.executable, "-m", "tracks", *words],
            env={**os.environ, "PYTHONIOENCODING": encoding},
            capture_output=True,
            check=False,
        )
        assert (done.returncode, done.stderr) == (0, b"")
        # The parser's library takes ASCII for a mistake of set-up and writes UTF-8 then.
        assert "Eb major" in done.stdout.decode("utf-8" if encoding == "ascii" else encoding).replace(
            "♭", "b"
        )
    assert Path("out/I-V/manifest.json").is_file()


# Narrow screens


@pytest.mark.parametrize("width", [30, 40, 60, 79])
def test_a_narrow_screen_loses_no_word(width: int) -> None:
    from rich.console import Console

    from tracks.cli.table import in_key_list
    from tracks.drill.in_key import in_each_key
    from tracks.drill.request import request_of

    (drill,) = request_of({"progression": "I vi ii7 V7 I", "keys": ("Eb",)}).drills()
    (in_key,) = in_each_key(drill)
    told = io.StringIO()
    Console(file=told, width=width).print(in_key_list(in_key))

    lines = told.getvalue().splitlines()
    assert max(map(len, lines)) <= width
    words = " ".join(told.getvalue().split())
    for voiced in in_key.chords:
        assert all(" ".join(move.split()) in words.replace("♭", "b") for move in voiced.moves)
    assert "fingers 1 3 5" in words


# A lesson by questions


def test_the_answers_make_a_lesson_and_a_wrong_one_is_asked_again(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    answers = iter(
        [
            "Wren",
            "I IX",
            "twelve-bar-blues",
            "c",
            "Bb, F",
            "neither",
            "one by one",
            "60",
            "50",
            "80",
            "telephone",
            "Paper, old piano",
        ]
    )
    monkeypatch.setattr("typer.prompt", lambda *_, **__: next(answers))

    lesson = read_lesson_text(asking.asked_lesson(), Path("x.toml"), load)

    (made,) = lesson.drills
    assert lesson.heading.student == "Wren"
    assert lesson.heading.date is not None
    assert [key.name for key in made.drill.keys] == ["Bb major", "F major"]
    assert (made.drill.tempos[0], made.drill.tempos[-1]) == (60, 80)
    assert [mix.value for mix in made.drill.mixes or ()] == ["right-alone", "left-alone", "hands-together"]
    assert (made.drill.sheet, made.drill.audio, made.drill.short_names) == (True, None, True)
    told = capsys.readouterr().err
    assert "'telephone' is none of them" in told
    assert "'IX' is no numeral" in told
    assert "50 is slower than 60; write the fastest tempo" in told


@pytest.mark.parametrize(
    "choice", ["paper", "large print", "phone", "browser", "old piano", "sequencer", "nothing"]
)
def test_whatever_it_is_played_with_is_a_lesson_that_builds(
    choice: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    answers = iter(["", "I V7 I", "C", "together", "60", "60", choice])
    monkeypatch.setattr("typer.prompt", lambda *_, **__: next(answers))

    assert read_lesson_text(asking.asked_lesson(), Path("x.toml"), load).drills


def test_what_most_play_with_is_offered_as_far_as_it_is_installed(monkeypatch: pytest.MonkeyPatch) -> None:
    offered: list[str] = []

    def take_the_usual(question: str, default: str, **_: object) -> str:
        offered.append(default)
        return default

    monkeypatch.setattr("typer.prompt", take_the_usual)
    asking.asked_lesson()
    monkeypatch.setattr("tracks.extras.find_spec", lambda _module: None)
    asking.asked_lesson()

    assert (offered[6], offered[13]) == ("paper, phone", "nothing")


def test_without_a_terminal_nothing_is_asked(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(("new", "x.toml")) == 0
    assert "# A lesson:" in Path("x.toml").read_text(encoding="utf-8")
