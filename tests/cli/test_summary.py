"""What `make` says when it is done, and what people are told on the way."""

import shlex
from collections.abc import Callable
from pathlib import Path

import pytest

from tracks.cli.main import run

Make = Callable[..., list[str]]


@pytest.fixture
def made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Make:
    """Return a function that makes a pack and returns the lines printed."""
    monkeypatch.chdir(tmp_path)

    def make(*words: str) -> list[str]:
        assert run(("make", *words, "--tempo", "60")) == 0
        return capsys.readouterr().out.splitlines()

    return make


def told(lines: list[str], start: str) -> str:
    """Return the line that starts so, without its start."""
    return next(line.removeprefix(start) for line in lines if line.startswith(start))


def test_only_the_mixes_written_are_listed_and_the_others_accounted_for(made: Make) -> None:
    lines = made("I IV V7 I", *"--style improvise --form call-and-response --mix all".split())

    assert told(lines, "  mixes   ") == "right-alone, hands-together, you-play-left, panned-apart"
    assert told(lines, "          without ").startswith("left-alone, you-play-right: no call")
    assert told(lines, "Next: ").endswith("listen, then answer in your turns.")


def test_nothing_is_said_of_passing_over_where_all_are_written(made: Make) -> None:
    lines = made("I V", "--stems", "--audio", "wav")

    assert told(lines, "  mixes   ") == "right-alone, left-alone, hands-together, panned-apart"
    assert not any("without" in line for line in lines)
    assert told(lines, "Next: ").endswith("one hand, the other, both.")


@pytest.mark.parametrize(
    ("mixes", "words"),
    [
        (("you-play-right",), "the right hand, which the track leaves to you."),
        (("hands-together", "left-alone"), "the left hand, then both hands."),
    ],
)
def test_next_step_fits_the_mixes_made(made: Make, mixes: tuple[str, ...], words: str) -> None:
    lines = made("I V", *(word for mix in mixes for word in ("--mix", mix)))

    assert told(lines, "Next: ").endswith(f": {words}")


@pytest.mark.parametrize(
    ("asked", "command"),
    [
        (("axis",), "rungwise show axis"),
        (
            ("two-five-one", "-k", "F", "--style", "swing"),
            "rungwise show two-five-one --key F --texture over-bass",
        ),
        (
            ("| I / V |", "-k", "F# minor", "-m", "3/4", "--hand", "9th", "--start", "first"),
            'rungwise show "| I / V |" --key "F# minor" --start first --meter 3/4 --hand 9th',
        ),
    ],
)
def test_command_that_shows_the_notes_has_what_was_asked_and_what_the_style_wishes(
    made: Make,
    asked: tuple[str, ...],
    command: str,
    capsys: pytest.CaptureFixture[str],
) -> None:
    shown = told(made(*asked), "Notes and fingers: ")

    assert shown == command
    assert run(shlex.split(shown)[1:]) == 0
    assert "half steps in all" in capsys.readouterr().out


@pytest.mark.parametrize("command", [("show",), ("make", "--tempo", "60", "--json")])
def test_major_numerals_in_minor_are_remarked_on_beside_the_answer(
    command: tuple[str, ...],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)

    assert run((*command, "I IV V I", "--key", "Am")) == 0

    said = capsys.readouterr()
    assert said.err == "Remark: I IV V are major chords; in A minor the usual ones are i iv V\n"
    assert said.out
