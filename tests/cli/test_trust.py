"""A lesson is data: it starts no program of its own unasked, and nothing is written over unasked."""

import json
import os
from pathlib import Path

import pytest

from tracks.cli.main import run

STYLE = """\
from pathlib import Path
Path(__file__).with_name("ran").touch()
from styles.block import STYLE
"""
LEVEL = """\
[[requirement]]
progressions = ["I IV V7 I"]
keys = ["C"]
styles = ["../elsewhere/own.py"]
minimum-tempo = 80
"""


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A lesson and a level in a folder of their own, which name a style file in another."""
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / "own.py").write_text(STYLE)
    (tmp_path / "mail").mkdir()
    (tmp_path / "mail" / "lesson.toml").write_text(
        '[[drill]]\nname = "lantern"\nprogression = "I V"\ntempos = [60]\nstyle = "../elsewhere/own.py"\n'
    )
    (tmp_path / "mail" / "level.toml").write_text(LEVEL)
    monkeypatch.chdir(tmp_path)
    return tmp_path


COMMANDS = [
    ("build", "mail/lesson.toml"),
    ("build", "mail/lesson.toml", "--dry-run"),
    ("term", "mail/level.toml", "--weeks", "2"),
    ("exam", "mail/level.toml"),
]


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_a_style_file_that_a_file_names_runs_only_where_it_is_allowed(
    words: tuple[str, ...], place: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ran = place / "elsewhere" / "ran"

    assert run(words) == 2
    told = capsys.readouterr().err
    assert "line " in told
    assert "style" in told
    assert "is a program" in told
    assert "--allow-style elsewhere/own.py" in told.replace(os.sep, "/")
    assert len(told.splitlines()) == 1
    assert not ran.exists()
    assert sorted(path.name for path in place.iterdir()) == ["elsewhere", "mail"]

    allowed = run((*words, "--allow-style", "elsewhere/own.py"))
    assert (allowed, ran.exists()) == ((2, False) if "--dry-run" in words else (0, True))


@pytest.mark.parametrize(
    "path", ["//host/share/own.py", r"\\\\host\\share\\own.py", "{there}/own.py", "./own.py", "~/own.py"]
)
def test_no_way_of_writing_a_path_starts_it(
    path: str, place: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    (place / "mail" / "own.py").write_text(STYLE)
    there = (place / "elsewhere").as_posix()
    (place / "mail" / "lesson.toml").write_text(
        f'[[drill]]\nprogression = "I V"\nstyle = "{path.format(there=there)}"\n'
    )
    asked: list[str] = []
    real = Path.read_bytes

    def read_bytes(self: Path) -> bytes:
        asked.append(self.name)
        return real(self)

    monkeypatch.setattr(Path, "read_bytes", read_bytes)

    assert run(("build", "mail/lesson.toml", "--allow-style", "elsewhere/other.py")) == 2
    assert "--allow-style" in capsys.readouterr().err
    assert "own.py" not in asked
    assert not list(place.rglob("ran"))


def test_a_path_at_the_prompt_is_consent(place: Path) -> None:
    assert run(("make", "I V", "--style", "elsewhere/own.py", "--tempo", "60")) == 0
    assert (place / "elsewhere" / "ran").exists()


@pytest.mark.parametrize("out", ["exam", "deep/er", "mail"])
def test_an_exam_and_a_term_find_what_the_level_names_from_wherever_they_lie(out: str, place: Path) -> None:
    (place / "mail" / "tune.rntxt").write_text("Time Signature: 4/4\nm1 C: I b3 IV\nm2 V b3 I\n")
    (place / "mail" / "level.toml").write_text(LEVEL.replace('"I IV V7 I"', '"tune.rntxt"'))
    allow = ("--allow-style", "elsewhere/own.py")

    assert run(("exam", "mail/level.toml", "--out", out, *allow)) == 0
    assert run(("build", f"{out}/exam-1.toml", *allow)) == 0
    assert run(("term", "mail/level.toml", "--weeks", "2", "--out", out, *allow)) == 0
    assert run(("build", f"{out}/week-01.toml", *allow)) == 0


def test_show_writes_over_nothing_unasked_and_never_over_its_source(
    place: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lesson = place / "mail" / "lesson.toml"
    before = lesson.read_bytes()
    tune = place / "tune.rntxt"
    tune.write_text("Time Signature: 4/4\nm1 C: I b3 IV\n")

    assert run(("show", "I V", "--key", "C", "--romantext", str(lesson))) == 2
    assert "is there already" in capsys.readouterr().err
    assert lesson.read_bytes() == before
    assert run(("show", "tune.rntxt", "--romantext", "tune.rntxt", "--force")) == 2
    assert "is what this is made from" in capsys.readouterr().err
    assert tune.read_text().endswith("IV\n")
    assert run(("show", "I V", "--key", "C", "--romantext", "new.rntxt")) == 0
    assert run(("show", "I V", "--key", "G", "--romantext", "new.rntxt", "--force")) == 0
    assert "G: " in (place / "new.rntxt").read_text()


def test_the_second_page_of_a_picture_is_written_over_no_more_than_the_first(
    place: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (place / "page-2.svg").write_text("mine")
    words = ("show", "I V", "--key", "all-major", "--sheet", "page.svg")

    assert run(words) == 2
    assert "page-2.svg is there already" in capsys.readouterr().err
    assert not (place / "page.svg").exists()
    assert (place / "page-2.svg").read_text() == "mine"
    assert run((*words, "--force")) == 0
    assert (place / "page-2.svg").read_text() != "mine"


def test_where_one_start_cannot_be_replaced_none_is(place: Path, capsys: pytest.CaptureFixture[str]) -> None:
    words = ("make", "I V I", "--start", "all", "--tempo", "60", "--json", "--name", "turned")
    assert run(words) == 0
    folders = [Path(row["folder"]) for row in json.loads(capsys.readouterr().out)]
    (folders[1] / "take.mid").write_bytes(b"mine")
    before = {path: path.stat().st_mtime_ns for folder in folders for path in folder.rglob("*")}

    assert run((*words, "--seed", "2")) == 2
    assert "take.mid" in capsys.readouterr().err
    assert before == {path: path.stat().st_mtime_ns for folder in folders for path in folder.rglob("*")}
