"""A lesson begun by questions."""

from pathlib import Path

import pytest

from tracks.cli import asking
from tracks.cli.main import run
from tracks.lessons.lesson import read_lesson_text
from tracks.style.registry import load


@pytest.fixture(autouse=True)
def _desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


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


def _asked_keys(monkeypatch: pytest.MonkeyPatch, progression: str, keys: str | None) -> list[str]:
    """Return the keys of the lesson that is asked for; None takes what stands in brackets."""

    def answer(question: str, default: str, **_: object) -> str:
        said = {"Which chords": progression, "In which keys": keys, "Played with": "nothing"}
        told = next((word for begun, word in said.items() if question.startswith(begun)), None)
        return default if told is None else told

    monkeypatch.setattr("typer.prompt", answer)
    (made,) = read_lesson_text(asking.asked_lesson(), Path("x.toml"), load).drills
    return [key.name for key in made.drill.keys]


@pytest.mark.parametrize(
    ("progression", "keys", "names"),
    [
        ("I V", None, ["C major", "G major", "F major"]),
        ("minor-blues", None, ["A minor", "E minor", "D minor"]),
        ("Ebmaj7 Bb7 Ebmaj7", None, ["Eb major"]),
        ("I V", "F Bb Eb", ["F major", "Bb major", "Eb major"]),
        ("I V", "up to 1 sharp", ["C major", "G major"]),
    ],
)
def test_keys_are_offered_as_the_progression_has_them_and_taken_with_or_without_commas(
    progression: str, keys: str | None, names: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert _asked_keys(monkeypatch, progression, keys) == names


def test_without_a_terminal_nothing_is_asked(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(("new", "x.toml")) == 0
    assert "# A lesson:" in Path("x.toml").read_text(encoding="utf-8")
