"""Lessons with mistakes: all are told at once, in one line, and nothing is built."""

from pathlib import Path

import pytest

from tracks.cli.main import run

SOUND = '[[drill]]\nname = "cadence"\nprogression = "I IV V7 I"\nkeys = "C"\n'


def test_every_mistake_is_told_in_one_line_and_nothing_is_built(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    texts = {
        "alder.toml": SOUND,
        "birch.toml": SOUND.replace("IV", "IX") + SOUND.replace('"cadence"', '"other"').replace('"C"', '"Q"'),
        "cedar.toml": SOUND.replace("keys", "kees"),
        "elm.toml": SOUND,
    }
    for name, text in texts.items():
        (desk / name).write_text(text)

    assert run(("build", ".", "--zip")) == 2
    captured = capsys.readouterr()

    assert captured.out.endswith("The others alone: rungwise build alder.toml elm.toml\n")
    assert captured.err.count("\n") == 1
    assert [fault.split(", ")[:2] for fault in captured.err.split("; also ")] == [
        ["rungwise: birch.toml", "line 3"],
        ["birch.toml", "line 8"],
        ["cedar.toml", "line 4"],
    ]
    assert not (desk / "out").exists()


def test_a_mistake_in_a_lesson_alone_is_one_line(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (desk / "alder.toml").write_text(SOUND.replace("IV", "IX"))

    assert run(("build", "alder.toml")) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err.count("\n") == 1


def test_a_mistake_of_the_defaults_is_told_once_and_many_are_counted(
    desk: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    drills = SOUND.replace('keys = "C"\n', "")
    (desk / "alder.toml").write_text('[defaults]\nkeys = "Q"\n' + drills + drills.replace("cadence", "other"))
    (desk / "birch.toml").write_text("".join(SOUND.replace("IV", f"I{'X' * n}") for n in range(2, 40)))

    assert run(("build", "alder.toml")) == 2
    assert capsys.readouterr().err.count("alder.toml") == 1
    assert run(("build", "birch.toml")) == 2
    told = capsys.readouterr().err
    assert told.count("\n") == 1
    assert told.rstrip().endswith("more")
