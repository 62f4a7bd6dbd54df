"""`build`, `new`, `term` and `exam`, as a teacher types them."""

import json
import re
import zipfile
from pathlib import Path

import mido
import pytest
from prompt import complaint, printed
from pypdf import PdfReader

from tracks.cli.main import run

LESSON = """\
title = "Tuesday"
[[drill]]
name = "one"
progression = "I V7 I"
keys = ["C", "G"]
tempos = [60, 72]
mixes = "hands-together"
"""


pytestmark = pytest.mark.usefixtures("desk")


# build


def test_a_wrong_progress_file_is_told_before_anything_is_made(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (desk / "tuesday.toml").write_text(LESSON)
    (desk / "progress.csv").write_text(
        "date,student,drill,key,texture,bpm,ready\n2026-03-09,Wren,one,C major,,fast,yes\n"
    )

    assert "progress.csv, line 2, bpm: 'fast' is no tempo" in complaint(capsys, "build", "tuesday.toml")
    assert not (desk / "out").exists()


def test_build_makes_a_folder_for_each_lesson_and_drill(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (desk / "tuesday.toml").write_text(LESSON)

    first = printed(capsys, "build", "tuesday.toml")
    again = printed(capsys, "build", "tuesday.toml")

    assert "tuesday: Tuesday" in first
    assert "out/tuesday/one: new, 4 files" in first
    assert "0 made, 1 as they should be." in again
    assert "stop at pain" in again
    assert len(list(desk.glob("out/tuesday/one/*/*.mid"))) == 4


def test_build_takes_a_folder_of_lessons(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name in ("b", "a"):
        (desk / f"{name}.toml").write_text(LESSON)

    rows = json.loads(printed(capsys, "build", ".", "--json"))

    assert [(row["lesson"], row["drill"], row["made"], row["reason"]) for row in rows] == [
        ("a", "one", True, "new"),
        ("b", "one", True, "new"),
    ]


def test_build_remarks_on_major_numerals_in_a_minor_key(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (desk / "odd.toml").write_text(
        '[[drill]]\nname = "cadence"\nprogression = "I IV V I"\nkeys = ["Eb", "c"]\n', encoding="utf-8"
    )

    assert run(("build", "odd.toml", "--dry-run")) == 0

    assert capsys.readouterr().err == (
        "Remark: odd, cadence: I IV V are major chords; in C minor the usual ones are i iv V\n"
    )


def test_build_may_be_tried_dry(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (desk / "tuesday.toml").write_text(LESSON)

    text = printed(capsys, "build", "tuesday.toml", "--dry-run")

    assert "1 to make, 0 as they should be." in text
    assert not (desk / "out").exists()


def test_no_lesson_is_made_where_one_of_them_is_wrong(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (desk / "a.toml").write_text(LESSON)
    (desk / "b.toml").write_text(LESSON.replace("I V7 I", "I Q I"))

    assert "b.toml, line 4, progression, column 3: 'Q'" in complaint(capsys, "build", ".")
    assert not (desk / "out").exists()


def test_a_folder_without_lessons_and_two_of_one_name_are_refused(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert "there is no lesson (.toml)" in complaint(capsys, "build", ".")
    (desk / "x").mkdir()
    for folder in (desk, desk / "x"):
        (folder / "a.toml").write_text(LESSON)
    (desk / "y" / "x").mkdir(parents=True)
    (desk / "y" / "x" / "a.toml").write_text(LESSON)
    told = complaint(capsys, "build", "x/a.toml", "y/x/a.toml")
    assert "y/x/a.toml and x/a.toml would share the folder out/x/a; rename one of them" in told
    assert not (desk / "out").exists()


# new


def test_new_writes_a_lesson_that_builds_and_never_writes_over_one(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert "rungwise build lesson.toml" in printed(capsys, "new")
    (desk / "lesson.toml").write_text("mine")

    assert "lesson.toml is there already" in complaint(capsys, "new")
    assert (desk / "lesson.toml").read_text() == "mine"

    printed(capsys, "new", "--force")
    assert "3 made" in printed(capsys, "build", "lesson.toml")


def test_new_writes_where_it_is_told(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    printed(capsys, "new", "lessons/maya.toml")

    assert (desk / "lessons" / "maya.toml").exists()
    assert "end the name in .toml" in complaint(capsys, "new", "maya")


def test_new_prints_the_schemas(capsys: pytest.CaptureFixture[str]) -> None:
    for kind, field in (("lesson", "drill"), ("level", "requirement")):
        assert field in json.loads(printed(capsys, "new", "--schema", kind))["properties"]


# term and exam


def test_a_level_becomes_a_term_of_lessons_that_build(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    printed(capsys, "new", "--level")

    text = printed(capsys, "term", "level.toml", "--weeks", "4", "--out", "spring")

    assert "print spring/plan.pdf" in text
    assert sorted(path.name for path in (desk / "spring").iterdir()) == [
        "plan.pdf", "plan.txt", "week-01.toml", "week-02.toml", "week-03.toml", "week-04.toml",
    ]  # fmt: skip
    plan = (desk / "spring" / "plan.txt").read_text(encoding="utf-8")
    assert plan.startswith("Lamplighter, second lamp: a term of 4 weeks\n")
    assert "Minor (new)" in plan
    assert "stop at pain" in " ".join(plan.split())
    assert "0 as they should be" in printed(capsys, "build", "spring", "--dry-run")
    assert "is there already" in complaint(capsys, "term", "level.toml", "--out", "spring")


def test_a_level_becomes_a_mock_exam_with_its_call_sheet(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    printed(capsys, "new", "--level")

    printed(capsys, "exam", "level.toml", "--seed", "7", "--draws", "1")

    assert sorted(path.name for path in (desk / "exam").iterdir()) == [
        "exam-7.pdf", "exam-7.toml", "exam-7.txt",
    ]  # fmt: skip
    sheet = (desk / "exam" / "exam-7.txt").read_text(encoding="utf-8")
    assert "mock exam 7" in sheet
    assert re.findall(r"^ (\d)\. ", sheet, re.MULTILINE) == ["1", "2", "3", "4"]
    assert "begins on" in sheet
    assert "4 made" in printed(capsys, "build", "exam/exam-7.toml")


@pytest.mark.parametrize(
    ("words", "size"),
    [((), 595), (("--paper", "letter"), 612)],
    ids=["the level's", "as asked"],
)
def test_papers_are_printed_on_the_levels_paper_unless_another_is_asked_for(
    desk: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], size: int
) -> None:
    level = '[defaults]\nsheet = true\npaper = "a4"\nminimum-tempo = 60\n[[requirement]]\n'
    (desk / "level.toml").write_text(level + 'progressions = "I V7 I"\nkeys = "C"\n')

    printed(capsys, "term", "level.toml", "--out", "t", *words)
    printed(capsys, "exam", "level.toml", "--out", "t", *words)

    for name in ("plan.pdf", "exam-1.pdf"):
        assert round(PdfReader(desk / "t" / name).pages[0].mediabox.width) == size


def test_without_the_extra_papers_are_plain_text_and_that_is_said(
    desk: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tracks.pack.papers.has_pdf", lambda: False)
    printed(capsys, "new", "--level")

    for words, name in ((("term", "level.toml", "--out", "t"), "plan"), (("exam", "level.toml"), "exam-1")):
        assert run(words) == 0
        said = capsys.readouterr()
        assert (
            said.err == f'Remark: the paper is {name}.txt only; for a PDF: pip install "rungwise[sheets]"\n'
        )
        assert f"{name}.txt" in said.out
    assert not list(desk.rglob("*.pdf"))


# make


def test_make_climbs_builds_up_cycles_and_hands_over_stems(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ask = (
        "--tempo 60 --tempo 72 --mix hands-together --climb each-mix --build-up forwards --key-cycle --stems"
    )
    printed(capsys, "make", "I V7 I", "-k", "up to 1 sharp", "--name", "all", *ask.split())

    pack = desk / "out" / "all"
    names = sorted(path.relative_to(pack).as_posix() for path in pack.rglob("*.*"))
    assert [name for name in names if name.startswith(("C-major", "key"))] == [
        "C-major/all_01-C-major_060_3-hands-together.mid",
        "C-major/all_01-C-major_072_3-hands-together.mid",
        "C-major/build-up/all_01-C-major_build-up_060_3-hands-together.mid",
        "C-major/build-up/all_01-C-major_build-up_072_3-hands-together.mid",
        "C-major/climb/all_01-C-major_climb_060-072_3-hands-together.mid",
        "C-major/stems/all_01-C-major_stems_072.zip",
        "C-major/stems/all_01-C-major_stems_072_click.mid",
        "C-major/stems/all_01-C-major_stems_072_left-hand.mid",
        "C-major/stems/all_01-C-major_stems_072_right-hand.mid",
        "key-cycle/all_all-keys_060_3-hands-together.mid",
        "key-cycle/all_all-keys_072_3-hands-together.mid",
    ]
    rows = json.loads((pack / "manifest.json").read_bytes())["files"]
    assert sorted(row["path"] for row in rows) == [name for name in names if name != "manifest.json"]


def test_stems_in_the_zip_are_the_stems_and_of_one_length(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    printed(capsys, *"make I --tempo 60 --stems --style root-bass --type 0 --repeats 3 --name x".split())

    folder = desk / "out" / "x" / "C-major" / "stems"
    with zipfile.ZipFile(next(folder.glob("*.zip"))) as opened:
        assert opened.testzip() is None
        inside = {name: opened.read(name) for name in opened.namelist()}
    assert inside == {path.name: path.read_bytes() for path in folder.glob("*.mid")}
    stems = [mido.MidiFile(path) for path in sorted(folder.glob("*.mid"))]
    assert {stem.length for stem in stems} == {3 * 4.0}
    assert {stem.type for stem in stems} == {1}
    assert [stem.tracks[1].name for stem in stems] == ["Click", "Left hand", "Right hand"]


def test_short_names_hold_for_the_whole_pack(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    printed(capsys, *"make I -k f# --tempo 60 --short-names --type 0 --name P --mix split".split())

    assert [path.name for path in (desk / "out" / "P" / "FSMIN").iterdir()] == ["A01-0606.MID"]
    assert (desk / "out" / "P" / "A-LEGEND.TXT").read_bytes() == (
        b"A is P: F# minor\r\n\r\nA01-0606.MID  F# minor, 60, panned apart\r\n"
    )
