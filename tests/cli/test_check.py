"""`rungwise check`, from outside: takes written as MIDI files, and what is said of them."""

import json
import shlex
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import mido
import pytest
from prompt import printed

from tracks.cli.main import run

PROGRESSION = "I vi IV V7 I"
CHORD = ["bar", "beat", "correct", "wrong", "missing", "extra", "skipped", "octave", "inversion", "late_ms"]
CHORD += ["spread_ms", "hesitation_s"]
TOP = ["take", "drill", "key", "tempo", "needs", "ready", "tries", "latency_ms", "chords", "drift_percent"]
TOP += ["costly", "next"]

Chord = tuple[float, list[int]]
"""When, in seconds, and the keys struck."""


pytestmark = pytest.mark.usefixtures("desk")


def shown(capsys: pytest.CaptureFixture[str], key: str = "Eb") -> list[Chord]:
    """Return the chords that `show` shows, 72 beats a minute apart."""
    said = json.loads(printed(capsys, "show", PROGRESSION, "--key", key, "--json"))
    return [
        (4 * number * 60 / 72, [*chord["left"]["midi"], *chord["right"]["midi"]])
        for number, chord in enumerate(said["chords"])
    ]


def record(chords: Sequence[Chord], name: str = "take.mid", clicks: Sequence[float] = ()) -> str:
    """Write a take, in milliseconds, and the click's strokes on the percussion channel."""
    file = mido.MidiFile(ticks_per_beat=500)  # at 120 quarter notes a minute a tick is a millisecond
    struck = [(round(1000 * when), 0, key) for when, keys in chords for key in keys]
    struck += [(round(1000 * when), 9, 76) for when in clicks]
    events = [(at, mido.Message("note_on", note=key, channel=c, velocity=70)) for at, c, key in struck]
    events += [(at + 300, mido.Message("note_off", note=key, channel=c)) for at, c, key in struck]
    track, now = mido.MidiTrack(), 0
    for at, message in sorted(events, key=lambda event: event[0]):
        track.append(message.copy(time=at - now))
        now = at
    file.tracks.append(track)
    file.save(name)
    return name


def checked(capsys: pytest.CaptureFixture[str], *arguments: str) -> Any:
    return json.loads(printed(capsys, "check", *arguments, "--json"))


def test_a_clean_take_is_ready_and_told_in_the_contracts_words(capsys: pytest.CaptureFixture[str]) -> None:
    take = record(shown(capsys))

    told = checked(capsys, take, PROGRESSION, "--needs", "60")

    assert list(told)[: len(TOP)] == TOP
    assert set(CHORD) <= set(told["chords"][0])
    assert told["take"] == "take.mid"
    assert told["key"] == "Eb major"
    assert (told["ready"], told["tries"], told["needs"]) == (True, 1, 60)
    assert told["latency_ms"] is None
    assert told["tempo"] == pytest.approx(72, abs=0.1)
    assert told["next"]["bpm"] == 76
    assert told["next"]["command"].startswith("rungwise make ")
    first = told["chords"][0]
    assert (first["bar"], first["beat"]) == (1, 1)
    assert first["correct"] == ["Eb3", "G3", "Bb3", "Eb4", "G4", "Bb4"]
    assert (first["wrong"], first["missing"], first["extra"]) == ([], [], [])
    assert (first["skipped"], first["octave"], first["inversion"]) == (False, 0, 0)


FAULTS: dict[str, tuple[Callable[[list[Chord]], object], dict[str, object]]] = {
    "a wrong note": (lambda c: c[1][1].__setitem__(5, 73), {"wrong": ["Db5"], "missing": ["C5"]}),
    "a missing note": (lambda c: c[1][1].pop(4), {"missing": ["G4"], "wrong": []}),
    "an extra note": (lambda c: c[1][1].append(77), {"extra": ["F5"], "missing": []}),
    "a chord left out": (lambda c: c.pop(1), {"skipped": True, "correct": []}),
    "both hands an octave up": (
        lambda c: c[1][1].__setitem__(slice(None), [k + 12 for k in c[1][1]]),
        {"octave": 1, "wrong": [], "missing": [], "extra": []},
    ),
    "the left hand an octave down": (
        lambda c: c[1][1].__setitem__(slice(3), [k - 12 for k in c[1][1][:3]]),
        {"octave": -1, "wrong": [], "missing": []},
    ),
    "the right hand in second inversion": (
        lambda c: c[1][1].__setitem__(slice(3, None), [67, 72, 75]),
        {"inversion": 2, "octave": 0, "wrong": [], "missing": [], "extra": []},
    ),
}


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_is_told_at_its_chord(capsys: pytest.CaptureFixture[str], name: str) -> None:
    played = [(when, list(keys)) for when, keys in shown(capsys)]
    put_in, expected = FAULTS[name]
    put_in(played)

    told = checked(capsys, record(played), PROGRESSION, "--key", "Eb")

    chord = told["chords"][1]
    assert {field: chord[field] for field in expected} == expected
    for other in (*told["chords"][:1], *told["chords"][2:]):
        assert not other["wrong"] + other["missing"] + other["extra"]


def test_late_chords_halts_and_latency_are_told_apart(capsys: pytest.CaptureFixture[str]) -> None:
    played = shown(capsys)
    played = [(when + 0.02 + (0.9 if place > 3 else 0), keys) for place, (when, keys) in enumerate(played)]
    played[2] = (played[2][0] + 0.1, played[2][1])
    clicks = [beat * 60 / 72 for beat in range(24)]

    told = checked(capsys, record(played, clicks=clicks), PROGRESSION)

    assert told["latency_ms"] == pytest.approx(20, abs=5)
    assert told["chords"][2]["late_ms"] == pytest.approx(100, abs=5)
    assert told["chords"][4]["hesitation_s"] == pytest.approx(0.9, abs=0.01)
    assert [chord["hesitation_s"] for chord in told["chords"][:4]] == [0.0] * 4
    assert told["ready"] is False
    assert (told["costly"][0]["from"], told["costly"][0]["to"]) == ("V7", "I")
    assert told["costly"][0]["late_ms"] == pytest.approx(900, abs=20)


def test_of_several_tries_the_best_counts(capsys: pytest.CaptureFixture[str]) -> None:
    chords = shown(capsys)
    wrong = [(when + 4, [*keys[:-1], keys[-1] + 1]) for when, keys in chords[:3]]
    right = [(when + 20, keys) for when, keys in chords]

    told = checked(capsys, record([(0.2, [40]), *wrong, *right, (60, [41])]), PROGRESSION)

    assert (told["tries"], told["best_try"], told["ready"]) == (2, 2, True)


def test_a_restart_from_a_bar_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    chords = shown(capsys)
    first = chords[:4]
    again = [(when + 12, keys) for when, keys in chords[1:]]

    told = checked(capsys, record([*first, *again]), PROGRESSION)

    assert told["restarts"] == [{"bar": 2, "beat": 1}]
    assert (told["tries"], told["ready"]) == (1, False)


def test_too_slow_is_not_ready_and_the_slack_is_two_percent(capsys: pytest.CaptureFixture[str]) -> None:
    take = record(shown(capsys))

    assert checked(capsys, take, PROGRESSION, "--needs", "73")["ready"] is True
    assert checked(capsys, take, PROGRESSION, "--needs", "76")["ready"] is False


def test_a_pack_is_found_by_its_manifest_and_the_key_is_recognized(
    capsys: pytest.CaptureFixture[str],
) -> None:
    printed(
        capsys, "make", PROGRESSION, "-k", "Eb", "-k", "A", "-k", "C", "--name", "week-5", "--tempo", "60"
    )

    told = checked(capsys, record(shown(capsys, "A")), "--drill", "out/week-5")

    assert (told["drill"], told["key"], told["needs"], told["ready"]) == ("week-5", "A major", 60, True)


def test_one_hand_is_recognized(capsys: pytest.CaptureFixture[str]) -> None:
    right = [(when, keys[3:]) for when, keys in shown(capsys)]

    told = checked(capsys, record(right), PROGRESSION)

    assert (told["hands"], told["ready"]) == ("right", True)


def test_an_exams_takes_are_marked_in_the_order_of_its_calls(capsys: pytest.CaptureFixture[str]) -> None:
    drill = '[[drill]]\nname = "{}"\nprogression = "{}"\nkeys = ["{}"]\ntempos = [60]\n'
    Path("exam-1.toml").write_text(
        drill.format("01-cadence", PROGRESSION, "A") + drill.format("02-cadence", PROGRESSION, "Eb")
    )
    takes = record(shown(capsys, "A"), "a.mid"), record(shown(capsys), "b.mid")

    told = checked(capsys, *takes, "--drill", "exam-1.toml")
    swapped = checked(capsys, *reversed(takes), "--drill", "exam-1.toml")

    assert [(each["drill"], each["key"], each["ready"]) for each in told] == [
        ("01-cadence", "A major", True),
        ("02-cadence", "Eb major", True),
    ]
    assert [each["ready"] for each in swapped] == [False, False]


def test_one_recording_of_an_exam_is_parted_where_the_player_waits(
    capsys: pytest.CaptureFixture[str],
) -> None:
    drill = '[[drill]]\nname = "{}"\nprogression = "{}"\nkeys = ["{}"]\ntempos = [60]\n'
    Path("exam-1.toml").write_text(
        drill.format("01-cadence", PROGRESSION, "A") + drill.format("02-cadence", PROGRESSION, "Eb")
    )
    second = [(when + 5 * 4 * 60 / 72 + 4, keys) for when, keys in shown(capsys)]
    both = record([*shown(capsys, "A"), *second])

    told = checked(capsys, both, "--drill", "exam-1.toml")
    first = checked(capsys, record(shown(capsys, "A")), "--drill", "exam-1.toml")

    assert [(each["take"], each["drill"], each["ready"]) for each in told] == [
        ("take.mid, 1", "01-cadence", True),
        ("take.mid, 2", "02-cadence", True),
    ]
    assert (first["take"], first["drill"], first["ready"]) == ("take.mid", "01-cadence", True)


def test_in_an_echo_the_answers_are_the_students(capsys: pytest.CaptureFixture[str]) -> None:
    bar = 4 * 60 / 72
    later = (2, 2, 4, 4, 4)  # bars: turns of two, and the last of one
    answers = [(when + bar * by, keys) for (when, keys), by in zip(shown(capsys), later, strict=True)]

    told = checked(capsys, record(answers), PROGRESSION, "-k", "Eb", "--form", "echo")

    assert (told["ready"], round(told["tempo"])) == (True, 72)


@pytest.mark.parametrize("form", ["call-and-response", "trading-fours", "melody-out"])
def test_where_the_student_improvises_no_note_is_right_or_wrong_and_that_is_said(
    capsys: pytest.CaptureFixture[str], form: str
) -> None:
    printed(capsys, "make", PROGRESSION, "-k", "Eb", "--repeats", "2", "--form", form, "--name", "free")
    take = record(shown(capsys))

    assert run(["check", take, "--drill", "out/free"]) == 2
    assert "the student improvises, so no note is right or wrong" in capsys.readouterr().err
    assert checked(capsys, take, "--drill", "out/free", "--form", "plain", "--repeats", "1", "--needs", "72")[
        "ready"
    ]


def test_a_level_sets_what_may_be_wrong(capsys: pytest.CaptureFixture[str]) -> None:
    chords = [(when, list(keys)) for when, keys in shown(capsys)]
    chords[1][1].pop()
    chords[2][1].pop()
    take = record(chords)
    Path("level.toml").write_text(
        '[check]\nmost-notes = 2\n[[requirement]]\nname = "cadence"\nprogressions = ["I vi IV V7 I"]\n'
        'keys = ["Eb"]\nminimum-tempo = 66\n'
    )

    assert checked(capsys, take, PROGRESSION)["ready"] is False
    told = checked(capsys, take, PROGRESSION, "--requirement", "level.toml")
    assert (told["ready"], told["needs"]) == (True, 66)


LEVEL = (
    '[[requirement]]\nname = "cadence"\nprogressions = ["I vi IV V7 I"]\nkeys = ["Eb"]\nminimum-tempo = 66\n'
)


@pytest.mark.parametrize(
    ("limit", "words"),
    [
        ("together-ms = 100", "a chord is 150 ms apart"),
        ("steady-percent = 1", "the beat is unsteady by"),
    ],
)
def test_a_limit_of_timing_decides_where_the_teacher_sets_it(
    limit: str, words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    chords = shown(capsys)
    late = [(when + 0.15 + 0.05 * (place % 2), keys[:3]) for place, (when, keys) in enumerate(chords)]
    parted = sorted(
        [(when + 0.05 * (place % 2), keys[3:]) for place, (when, keys) in enumerate(chords)] + late
    )
    take = record(parted)
    Path("level.toml").write_text(LEVEL)
    Path("strict.toml").write_text(f"[check]\n{limit}\n{LEVEL}")

    assert checked(capsys, take, PROGRESSION, "--requirement", "level.toml")["ready"] is True
    assert checked(capsys, take, PROGRESSION, "--requirement", "strict.toml")["ready"] is False
    assert words in printed(capsys, "check", take, PROGRESSION, "--requirement", "strict.toml")


@pytest.mark.parametrize(
    ("mixes", "ready"), [('"hands-together"', False), ('"right-alone", "hands-together"', True)]
)
def test_one_hand_is_ready_only_where_it_is_practiced_alone_and_never_reaches_the_goal(
    mixes: str, ready: bool, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("week.toml").write_text(
        f'[[drill]]\nprogression = "{PROGRESSION}"\nkeys = ["Eb"]\ntempos = [60]\nmixes = [{mixes}]\n'
    )
    take = record([(when, keys[3:]) for when, keys in shown(capsys)])

    told = checked(capsys, take, "--drill", "week.toml", "--progress", ".", "--student", "Pia")

    assert (told["hands"], told["ready"]) == ("right", ready)
    assert Path("progress.csv").read_text().splitlines()[1].endswith(",no")


def test_words_say_what_json_says(capsys: pytest.CaptureFixture[str]) -> None:
    chords = [(when, list(keys)) for when, keys in shown(capsys)]
    chords[1][1][5] += 1
    chords[2][1][0] -= 1

    words = printed(capsys, "check", record(chords), PROGRESSION, "--needs", "80")

    assert "28 of 30 notes are right" in words
    assert "Bar 2, beat 1, vi: D♭5 for C5." in words
    assert "Next: " in words
    assert "stop at pain" in words


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["none.mid", PROGRESSION], "none.mid: there is no such file"),
        (["take.mid"], "--drill"),
        (["take.mid", "--drill", "out/none.toml"], "none.toml"),
        ([PROGRESSION], "no take"),
        (["take.mid", "I", "IV"], "too many words"),
        (["empty.mid", PROGRESSION], "no MIDI file"),
    ],
)
def test_what_cannot_be_marked_is_told_in_a_line(
    capsys: pytest.CaptureFixture[str], arguments: list[str], said: str
) -> None:
    record([(0, [60])])
    Path("empty.mid").write_bytes(b"")

    assert run(["check", *arguments]) == 2
    error = capsys.readouterr().err
    assert error.count("\n") == 1
    assert said in error


def test_pictures_a_page_and_progress_are_written_beside_the_words(
    capsys: pytest.CaptureFixture[str],
) -> None:
    take = record(shown(capsys))
    wanted = ("--picture", "take.svg", "--report", "marks.html", "--progress", ".", "--student", "Wren")

    for day in ("2026-03-02", "2026-03-09"):
        printed(
            capsys,
            "check",
            take,
            PROGRESSION,
            *wanted,
            "--date",
            day,
            "--needs",
            "60",
            "--chart",
            "chart.png",
        )

    assert Path("take.svg").read_text().startswith("<svg")
    page = Path("marks.html").read_text()
    assert "<svg" in page
    assert "Ready at 72" in page
    assert "src=" not in page  # it needs nothing else
    assert Path("chart.png").read_bytes().startswith(b"\x89PNG")
    assert Path("progress.csv").read_text().splitlines() == [
        "date,student,drill,key,texture,bpm,ready",
        "2026-03-02,Wren,I-vi-IV-V7-I,Eb major,doubled,72,yes",
        "2026-03-09,Wren,I-vi-IV-V7-I,Eb major,doubled,72,yes",
    ]


def test_a_take_that_is_only_too_slow_for_the_goal_has_reached_its_own_tempo(
    capsys: pytest.CaptureFixture[str],
) -> None:
    take = record(shown(capsys))

    told = printed(
        capsys, "check", take, PROGRESSION, "--progress", ".", "--student", "Wren", "--needs", "100",
        "--date", "2026-03-02",
    )  # fmt: skip

    assert "Not ready yet: the tempo is 72 of 100" in told
    assert Path("progress.csv").read_text().endswith("2026-03-02,Wren,I-vi-IV-V7-I,Eb major,doubled,72,yes\n")


@pytest.mark.parametrize(
    ("arguments", "place"),
    [
        (["--picture", "x.gif"], "--picture"),
        (["--student", "Wren"], "--student"),
        (["--progress", "."], "--student"),
        (["--progress", ".", "--student", "W", "--date", "May"], "--date"),
        (["--progress", "none", "--student", "W"], "--progress"),
    ],
)
def test_what_cannot_be_written_is_refused_and_nothing_is(
    capsys: pytest.CaptureFixture[str], arguments: list[str], place: str
) -> None:
    take = record(shown(capsys))
    before = set(Path().iterdir())

    assert run(["check", take, PROGRESSION, "--report", "marks.html", *arguments]) == 2
    assert capsys.readouterr().err.startswith(f"rungwise: {place}: ")
    assert set(Path().iterdir()) == before


def test_the_next_rung_is_of_the_same_music(capsys: pytest.CaptureFixture[str]) -> None:
    hands = ("--start", "first", "--left", "shells", "--texture", "over-bass")
    printed(capsys, "make", PROGRESSION, "-k", "Eb", *hands, "--style", "ballad", "--name", "week-6")
    take = next(Path("out/week-6").glob("Eb-major/*_060_*hands-together.mid"))

    told = checked(capsys, str(take), "--drill", "out/week-6")
    printed(capsys, *shlex.split(told["next"]["command"])[1:], "--name", "week-7")

    asked, again = (manifest_drill(Path("out") / name) for name in ("week-6", "week-7"))
    assert {name for name, value in asked.items() if again[name] != value} == {"name", "tempos"}


def manifest_drill(pack: Path) -> dict[str, object]:
    drill: dict[str, object] = json.loads((pack / "manifest.json").read_text())["drill"]
    return drill


def test_a_mistyped_pack_is_corrected(capsys: pytest.CaptureFixture[str]) -> None:
    printed(capsys, "make", PROGRESSION, "-k", "Eb", "--name", "Week-6", "--tempo", "60")

    assert run(("check", record(shown(capsys)), "--drill", "out/week6")) == 2
    assert capsys.readouterr().err == "rungwise: --drill: out/week6 is not there; did you mean Week-6?\n"


def test_the_next_rung_of_a_file_is_told_as_a_text_that_works(capsys: pytest.CaptureFixture[str]) -> None:
    Path("song.rntxt").write_text("Title: Song\nm1 Eb: I b3 vi\nm2 IV\nm3 V7\nm4 I\n")
    printed(capsys, "make", "song.rntxt", "--name", "song")
    take = next(Path("out/song").glob("Eb-major/*_060_*hands-together.mid"))

    told = checked(capsys, str(take), "--drill", "out/song")
    printed(capsys, *shlex.split(told["next"]["command"])[1:], "--name", "again")

    again = next(Path("out/again").glob("Eb-major/*hands-together.mid"))
    assert checked(capsys, str(again), "--drill", "out/song", "--needs", "60")["ready"]
