import json
import re
from pathlib import Path

import pytest
import soundfile
from pypdf import PdfReader

from tracks.cli.main import run
from tracks.export.paper import NEW_PAGE
from tracks.quiz.skills import SKILLS
from tracks.safety import CAUTION
from tracks.theory.pitch import signs

LEVELS = [(skill.name, number) for skill in SKILLS for number in range(1, len(skill.levels) + 1)]


def made(out: Path, *more: str) -> Path:
    assert run(["quiz", "--name", "ears", "--out", str(out), *more]) == 0
    return out / "ears"


def plain(folder: Path) -> tuple[str, str]:
    """The two parts of the paper as plain text."""
    asked, answers = (folder / "quiz.txt").read_text(encoding="utf-8").split(NEW_PAGE)
    return asked, answers


def test_a_quiz_is_a_pack_of_questions_and_a_paper(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = made(tmp_path, "-n", "3", "--seed", "7")

    manifest = json.loads((folder / "manifest.json").read_text())
    assert [row["path"] for row in manifest["files"]] == [
        "question-01.mid", "question-02.mid", "question-03.mid", "quiz.pdf", "quiz.txt",
    ]  # fmt: skip
    assert manifest["drill"]["seed"] == 7
    assert [row["question"] for row in manifest["files"]] == [1, 2, 3, None, None]
    assert "moderate" in capsys.readouterr().out


@pytest.mark.parametrize(("skill", "level"), LEVELS)
def test_answers_stand_only_on_the_last_page(
    skill: str,
    level: int,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("tracks.pack.papers.has_pdf", lambda: False)
    folder = made(tmp_path, "-n", "8", "--skill", skill, "--level", str(level), "--json")
    told = [signs(question["answer"]) for question in json.loads(capsys.readouterr().out)["questions"]]
    questions, answers = plain(folder)

    given = [line.strip() for line in answers.splitlines() if line.strip()[:1].isdigit()]
    assert len(given) == len(told) == 8
    assert all(line.split(". ", 1)[1].startswith(answer) for line, answer in zip(given, told, strict=True))
    assert " ".join(CAUTION.split()) in " ".join(questions.split())
    # Every question offers the same choices, so none of them tells.
    choices = re.split(r"\d+\. question-\d\d\.mid", questions.split("\nLog\n")[0])[1:]
    offered = {" ".join(each[each.index("☐") :].split()) for each in choices}
    assert len(offered) == 1
    if skill == "echo":
        assert not any(answer in questions for answer in told)
    manifest = json.loads((folder / "manifest.json").read_text())["files"]
    assert {key for row in manifest for key in row} == {
        "path", "key", "mix", "bpm", "bytes", "sha256", "question",
    }  # fmt: skip
    assert {row["key"] for row in manifest} == {None}


def test_the_printed_paper_has_its_answers_on_a_page_of_their_own(tmp_path: Path) -> None:
    folder = made(
        tmp_path,
        "--skill",
        "degrees",
        "--level",
        "4",
        "--student",
        "Ines Lantern",
        "--paper",
        "letter",
    )

    pages = PdfReader(folder / "quiz.pdf").pages
    *asked, answers = [page.extract_text() for page in pages]
    assert "Answers" in answers
    assert not any("Answers" in page for page in asked)
    assert "Ines Lantern" in asked[0]
    assert "♯4" in asked[0]
    assert round(pages[0].mediabox.width) == 612


def test_a_name_in_any_script_is_no_failure(tmp_path: Path) -> None:
    folder = made(tmp_path, "-n", "1", "--student", "光")

    assert (folder / "quiz.pdf").read_bytes().startswith(b"%PDF")
    assert "光" in plain(folder)[0]


def test_without_the_extra_the_paper_is_plain_text_and_that_is_said(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tracks.pack.papers.has_pdf", lambda: False)
    folder = made(tmp_path, "-n", "2")

    said = capsys.readouterr()
    assert said.err == 'Remark: the paper is quiz.txt only; for a PDF: pip install "rungwise[sheets]"\n'
    assert f"tick an answer on {folder / 'quiz.txt'};" in " ".join(said.out.split())
    assert not (folder / "quiz.pdf").exists()


def test_the_same_seed_gives_the_same_bytes(tmp_path: Path) -> None:
    packs = [
        {path.name: path.read_bytes() for path in made(tmp_path / name, "-n", "4", *more).iterdir()}
        for name, more in (("a", ()), ("b", ()), ("c", ("--seed", "2")))
    ]

    assert packs[0] == packs[1]
    assert packs[0] != packs[2]


def test_json_tells_a_machine_the_answers(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    made(tmp_path, "-n", "2", "--skill", "different", "--level", "2", "--json")

    record = json.loads(capsys.readouterr().out)
    assert record["files"] == 4
    for question in record["questions"]:
        pairs = zip(question["chords"], question["again"], strict=True)
        changed = [place for place, (before, after) in enumerate(pairs, start=1) if before != after]
        assert [f"chord {place}" for place in changed] == [question["answer"]]


def test_json_tells_the_notes_and_a_key_only_where_there_is_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    made(tmp_path, "-n", "2", "--skill", "intervals", "-k", "Eb", "--json")

    for question in json.loads(capsys.readouterr().out)["questions"]:
        assert question["key"] is None
        assert question["notes"][0] == question["notes"][2] == "Eb4"


def test_keys_asked_for_are_the_keys_played(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    made(tmp_path, "-n", "8", "-k", "Eb", "-k", "c#", "--json")

    record = json.loads(capsys.readouterr().out)
    assert {question["key"] for question in record["questions"]} == {"Eb major", "C# minor"}


@pytest.mark.parametrize(
    ("level", "title", "remark"),
    [
        ("1", "cadences, level 1", ""),
        ("2", "major or minor, level 1", "--skill mode --level 1"),
        ("3", "inversions, level 1", "--skill inversions --level 1"),
        ("4", "which one is different, level 2", "--skill different --level 2"),
    ],
)
def test_a_level_alone_means_what_it_meant(
    level: str, title: str, remark: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    made(tmp_path, "-n", "2", "--level", level)

    said = capsys.readouterr()
    assert f"2 questions on {title}" in " ".join(said.out.split())
    assert said.err == (remark and f"Remark: a level alone is read as before; write {remark}\n")


def test_the_skills_are_listed_for_people_and_for_machines(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["quiz", "--skills"]) == 0
    said = capsys.readouterr().out
    assert max(map(len, said.splitlines())) <= 100
    assert run(["quiz", "--list", "--json"]) == 0
    listed = json.loads(capsys.readouterr().out)
    assert [skill["name"] for skill in listed] == [skill.name for skill in SKILLS]
    for skill in listed:
        assert skill["name"] in said
        assert [grade["level"] for grade in skill["levels"]] == list(range(1, len(skill["levels"]) + 1))


def test_questions_sound_and_their_tags_give_nothing_away(tmp_path: Path) -> None:
    folder = made(tmp_path, "-n", "2", "--skill", "mode", "--tempo", "240", "--audio", "ogg")

    with soundfile.SoundFile(folder / "question-02.ogg") as file:
        said = file.copy_metadata()
    assert (said["title"], said["album"], said["tracknumber"]) == ("Question 02", "ears", "2")
    assert not any(word in str(said) for word in ("major", "minor", "Key"))
    assert "question-02.ogg" in plain(folder)[0]


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (("--level", "9"), "cadences has no level 9"),
        (("--skill", "degree"), "--skill: 'degree' is no skill; did you mean degrees?"),
        (("--skill", "echo", "--level", "4"), "--level: echo has no level 4"),
        (("-n", "0"), "questions: 0"),
        (("--key", "H"), "--key: 'H' is no key"),
        (("--tempo", "fast"), "--tempo: 'fast' is no tempo"),
        (("--name", "../up"), "--name: '../up'"),
        (("--soundfont", "x.sf2"), "--soundfont: it is"),
        (("--skill", "mode", "--key", "C"), "--key: the key of a phrase: this is asked in minor"),
        (("--paper", "b5"), "--paper"),
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


def test_many_answers_stay_on_the_screen(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    made(tmp_path, "-n", "1", "--skill", "intervals", "--level", "6")

    said = capsys.readouterr().out.replace(str(tmp_path), "out")
    assert max(map(len, said.splitlines())) <= 100
    assert "major seventh, octave" in " ".join(said.split())
