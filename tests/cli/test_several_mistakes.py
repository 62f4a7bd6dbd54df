"""Lessons with mistakes: all are told at once, a line each, and nothing is built."""

from pathlib import Path

import pytest

from tracks.cli.main import run

SOUND = '[[drill]]\nname = "cadence"\nprogression = "I IV V7 I"\nkeys = "C"\n'


def test_every_mistake_is_told_on_a_line_of_its_own_and_nothing_is_built(
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
    lines = captured.err.splitlines()
    assert [line.split(", ")[:2] for line in lines] == [
        ["rungwise: birch.toml", "line 3"],
        ["rungwise: birch.toml", "line 8"],
        ["rungwise: cedar.toml", "line 4"],
    ]
    assert not (desk / "out").exists()


def test_a_mistake_in_a_lesson_alone_is_one_line(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (desk / "alder.toml").write_text(SOUND.replace("IV", "IX"))

    assert run(("build", "alder.toml")) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err.count("\n") == 1
