"""The estimate before work: against what packs then hold, refused past the bounds, told past a minute."""

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tracks.cli.main import run
from tracks.drill.drill import Drill
from tracks.drill.request import request_of
from tracks.pack.estimate import MOST_FILES, Estimate, check, estimate, remark, total
from tracks.pack.files import pack_files
from tracks.style.registry import load
from tracks.theory.errors import RequestError


def drill(progression: str = "I vi IV V", **said: Any) -> Drill:
    (found,) = request_of({"progression": progression, **said}).drills(load("block"))
    return found


@pytest.mark.parametrize(
    "said",
    [
        {},
        {"keys": ("all-30",)},
        {"repeats": 9, "climb": "each-mix"},
        {"climb": "hands-in-turn", "keys": ("C", "G")},
        {"build-up": "forwards", "stems": True},
        {"key-cycle": True, "keys": ("C", "G", "D")},
    ],
    ids=str,
)
def test_an_estimate_lies_near_what_is_made(said: dict[str, Any]) -> None:
    asked = drill(**said)
    made = list(pack_files(asked, load("block")))

    told = estimate(asked, load("block"))

    assert len(made) <= told.files <= 3 * len(made)
    size = sum(len(file.content) for file in made)
    assert size / 3 <= told.size <= 6 * size


@pytest.mark.parametrize("style", ["block", "swing", "improvise"])
@pytest.mark.parametrize("said", [{}, {"keys": ("all-major",), "mixes": ("right-alone", "hands-together")}])
def test_the_files_of_a_ladder_are_counted_as_they_are_made(style: str, said: dict[str, Any]) -> None:
    (asked,) = request_of({"progression": "I vi IV V", "style": style, **said}).drills(load(style))

    assert estimate(asked, load(style)).files == len(list(pack_files(asked, load(style))))


def test_bars_past_the_bound_are_refused_with_the_estimate_and_the_fix() -> None:
    with pytest.raises(RequestError, match=r"repeats: this is 12,800 bars, more than 10,000; ask for fewer"):
        check(estimate(drill(" | ".join(["I"] * 200), repeats=64), load("block")))


def test_a_sound_past_a_quarter_of_an_hour_is_refused_before_any_is_made() -> None:
    asked = drill(repeats=64, audio="mp3", tempos=("60",))

    with pytest.raises(RequestError, match=r"audio: the longest sound would last 17 minutes, more than 15"):
        check(estimate(asked, load("block")))

    check(estimate(replace(asked, audio=None), load("block")))


def test_files_past_the_bound_are_refused() -> None:
    with pytest.raises(RequestError, match=r"about 200,001 files, 1 MB, more than 200,000 files; ask for"):
        check(Estimate(files=MOST_FILES + 1, size=1_000_000))


def test_drills_are_counted_together() -> None:
    together = total((Estimate(2, 3, 4.0, 5.0, 6, 7.0), Estimate(1, 30, 40.0, 50.0, 60, 70.0)))

    assert together == Estimate(2, 33, 40.0, 55.0, 66, 77.0)
    assert total(()) == Estimate()


def test_what_takes_less_than_a_minute_is_not_worth_a_word() -> None:
    assert remark(estimate(drill(keys=("all-30",)), load("block"))) == ""


def test_days_of_work_are_told_before_they_begin(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("tracks.pack.folder.write_packs", stop)
    words = ["I V", "--key", "all-30", "--from", "20", "--to", "300", "--step", "1", "--audio", "wav"]

    assert run(["make", *words, "--out", str(tmp_path)]) == 130

    told = capsys.readouterr().err
    assert "Remark: this makes about 67,440 files, " in told
    assert "of sound, " in told
    assert "it may take " in told


def test_a_lesson_past_the_bounds_is_refused_at_its_drill(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lesson = tmp_path / "long.toml"
    chords = " | ".join(["I"] * 200)
    lesson.write_text(f'[[drill]]\nname = "hours"\nprogression = "{chords}"\nrepeats = 64\n')

    assert run(["build", str(lesson), "--out", str(tmp_path / "out")]) == 2

    assert "long.toml, drill hours, repeats: this is 12,800 bars" in capsys.readouterr().err
    assert not list((tmp_path / "out").rglob("*.mid"))


UNENDING = pytest.mark.skipif(not Path("/dev/zero").exists(), reason="there are no such devices here")


def held(folder: Path, *words: str, most_bytes: int = 600_000_000) -> subprocess.CompletedProcess[str]:
    """Run in a child that may take no more memory than that, nor twenty seconds of the processor."""
    resource = pytest.importorskip("resource", reason="there are no such bounds on Windows")

    def bounds() -> None:
        resource.setrlimit(resource.RLIMIT_AS, (most_bytes, most_bytes))
        resource.setrlimit(resource.RLIMIT_CPU, (20, 20))

    return subprocess.run(
        [sys.executable, "-c", "from tracks.cli import main; main()", *words],
        capture_output=True, text=True, cwd=folder, env={**os.environ, "PYTHONPATH": str(Path.cwd())},
        preexec_fn=bounds,
    )  # fmt: skip


@UNENDING
@pytest.mark.parametrize("ending", ["toml", "py", "rntxt", "musicxml", "mxl"])
@pytest.mark.parametrize("made", ["pipe", "device"])
def test_what_has_no_end_is_refused_without_reading_it(ending: str, made: str, tmp_path: Path) -> None:
    place = tmp_path / f"endless.{ending}"
    if made == "pipe":
        os.mkfifo(place)
    else:
        place.symlink_to("/dev/zero")
    words = {"toml": ("build",), "py": ("make", "I", "--style")}.get(ending, ("show",))

    done = held(tmp_path, *words, place.name)

    assert (done.returncode, done.stderr.count("\n")) == (2, 1), done.stderr
    assert "this is no file with an end" in done.stderr


@UNENDING
@pytest.mark.parametrize(
    "row", ["7", "null", '"a.mid"', "[]", '{"path": "/dev/zero", "bytes": 0, "sha256": "x"}']
)
def test_a_manifest_that_lies_only_makes_the_pack_again(row: str, tmp_path: Path) -> None:
    lesson = tmp_path / "week.toml"
    lesson.write_text('[[drill]]\nname = "one"\nprogression = "I V"\ntempos = [60]\n')
    assert held(tmp_path, "build", "week.toml").returncode == 0
    (manifest,) = (tmp_path / "out").rglob("manifest.json")
    text = manifest.read_text()
    manifest.write_text(text[: text.index('"files"')] + f'"files": [{row}]}}\n')

    done = held(tmp_path, "build", "week.toml", "--force")

    assert (done.returncode, done.stderr) == (0, "")


@UNENDING
@pytest.mark.parametrize("unit", [" ", "(", "b", "=", "[", '"', "I "])
@pytest.mark.parametrize(
    ("name", "head", "words"),
    [
        ("week.toml", "[[drill]]\nprogression = ", ["build"]),
        ("week.toml", "[[drill", ["build"]),
        ("level.toml", "[[requirement]]\nkeys = [", ["exam"]),
        ("tune.rntxt", "m1 C: I b3 V", ["show"]),
        ("tune.musicxml", "<score-partwise><movement-title>", ["show"]),
        ("progress.csv", "date,student,drill,key,texture,bpm,ready\n", ["students", "."]),
    ],
)
def test_a_line_without_end_takes_little_memory_and_time(
    name: str, head: str, words: list[str], unit: str, tmp_path: Path
) -> None:
    (tmp_path / name).write_text(f"{head}{unit * (200_000 // len(unit))}x\n")
    if name == "progress.csv":
        (tmp_path / "week.toml").write_text('student = "Wren"\n[[drill]]\nprogression = "I V"\n')

    done = held(tmp_path, *words, *([name] if len(words) == 1 else []))

    assert done.returncode in (0, 2), done.stderr[-300:]
    assert "internal error" not in done.stderr


@UNENDING
@pytest.mark.parametrize("words", [
    ("show", "C:I " * 30_000), ("show", "I " * 60_000), ("show", "|: " * 40_000 + "I"),
    ("show", "(" * 100_000), ("show", " ".join(f"Q{place}" for place in range(2000))),
])  # fmt: skip
def test_long_texts_take_little_memory_and_time(words: tuple[str, ...], tmp_path: Path) -> None:
    done = held(tmp_path, *words)

    assert (done.returncode, done.stderr.count("\n")) == (2, 1), done.stderr[-300:]
    assert "internal error" not in done.stderr
    assert "memory" not in done.stderr


def page_with_a_long_first_ending(bars: int) -> str:
    """Return RomanText whose first ending is that long: the second leaves from what was chosen before it."""
    lines = ["Time Signature: 4/4", "m1 C: ||: I7 b2 vi7 b3 ii7 b4 V7", "m2 iii7 b2 vi7 b3 ii7 b4 V7"]
    lines += [f"m{number}a iii7 b2 vi7 b3 ii7 b4 V7" for number in range(3, 3 + bars)]
    lines[-1] += " :||"
    return "\n".join([*lines, "m3b I7 b2 vi7 b3 IV7 b4 V7", ""])


@UNENDING
def test_four_parts_over_a_long_first_ending_stay_small(tmp_path: Path) -> None:
    (tmp_path / "long.rntxt").write_text(page_with_a_long_first_ending(20))

    done = held(tmp_path, "show", "long.rntxt", "--json", "--texture", "four-part", most_bytes=400_000_000)

    assert (done.returncode, done.stderr) == (0, "")


@UNENDING
def test_four_note_sevenths_over_the_whole_keyboard_stay_small(tmp_path: Path) -> None:
    chords = " | ".join(["Imaj7", "vi7", "ii7", "V7", "iii7"] * 80)

    done = held(
        tmp_path, "show", chords, "--json", "--range", "A0-C8", "--sevenths", "four", most_bytes=400_000_000
    )

    assert (done.returncode, done.stderr) == (0, "")
