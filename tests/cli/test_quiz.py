import json
from pathlib import Path

import pytest
import soundfile

from tracks.cli.main import run
from tracks.quiz.questions import LEVELS


def made(out: Path, *more: str) -> Path:
    assert run(["quiz", "--name", "ears", "--out", str(out), *more]) == 0
    return out / "ears"


def test_a_quiz_is_a_pack_of_questions_and_a_paper(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = made(tmp_path, "-n", "3", "--seed", "7")

    manifest = json.loads((folder / "manifest.json").read_text())
    assert [row["path"] for row in manifest["files"]] == [
        "question-01.mid", "question-02.mid", "question-03.mid", "quiz.md",
    ]  # fmt: skip
    assert manifest["drill"]["seed"] == 7
    assert [row["question"] for row in manifest["files"]] == [1, 2, 3, None]
    assert "moderate" in capsys.readouterr().out


@pytest.mark.parametrize("level", range(1, len(LEVELS) + 1))
def test_answers_stand_only_at_the_back_of_the_paper(
    level: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = made(tmp_path, "-n", "12", "--level", str(level))
    questions, answers = (folder / "quiz.md").read_text(encoding="utf-8").split("## Answers")
    listed = [line for line in answers.splitlines() if line]
    asked = [line for line in questions.splitlines() if line[:1].isdigit()]

    assert len(asked) == len(listed) == 12
    # Every question offers the same choices, so none of them tells.
    assert len({line.split("` ")[1] for line in asked}) == 1
    assert "moderate" in questions
    assert all(any(f"**{answer}**" in line for answer in LEVELS[level - 1].answers) for line in listed)
    # All files of a level are alike but for their notes: the manifest's own words give nothing away.
    said = capsys.readouterr().out + (folder / "manifest.json").read_text()
    assert not any(f"**{answer}**" in said for answer in LEVELS[level - 1].answers)


def test_the_same_seed_gives_the_same_bytes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    packs = [
        {path.name: path.read_bytes() for path in made(tmp_path / name, "-n", "4", "--level", "4").iterdir()}
        for name in "ab"
    ]

    assert packs[0] == packs[1]
    assert packs[0] != {p.name: p.read_bytes() for p in made(tmp_path, "-n", "4", "--seed", "2").iterdir()}


def test_json_tells_a_machine_the_answers(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    made(tmp_path, "-n", "2", "--level", "4", "--json")

    record = json.loads(capsys.readouterr().out)
    assert record["files"] == 3
    for question in record["questions"]:
        changed = [
            place
            for place, (before, after) in enumerate(
                zip(question["chords"], question["again"], strict=True), start=1
            )
            if before != after
        ]
        assert [f"chord {place}" for place in changed] == [question["answer"]]


def test_keys_asked_for_are_the_keys_played(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    made(tmp_path, "-n", "8", "-k", "Eb", "-k", "c#", "--json")

    record = json.loads(capsys.readouterr().out)
    assert {question["key"] for question in record["questions"]} == {"Eb major", "C# minor"}


def test_questions_sound_and_their_tags_give_nothing_away(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = made(tmp_path, "-n", "2", "--level", "2", "--tempo", "240", "--audio", "ogg")

    with soundfile.SoundFile(folder / "question-02.ogg") as file:
        said = file.copy_metadata()
    assert (said["title"], said["album"], said["tracknumber"]) == ("Question 02", "ears", "2")
    assert not any(word in str(said) for word in ("major", "minor", "Key"))
    assert "question-02.ogg" in (folder / "quiz.md").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (("--level", "9"), "level 9 is none"),
        (("-n", "0"), "questions 0"),
        (("--key", "H"), "--key: 'H' is no key"),
        (("--tempo", "fast"), "--tempo: 'fast' is no tempo"),
        (("--name", "../up"), "--name: '../up'"),
        (("--soundfont", "x.sf2"), "--soundfont: it is"),
    ],
)
def test_a_wrong_wish_is_one_line_and_leaves_nothing(
    more: tuple[str, ...], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["quiz", "--out", str(tmp_path), *more]) == 2

    error = capsys.readouterr().err
    assert said in error
    assert error.count("\n") == 1
    assert not list(tmp_path.iterdir())
