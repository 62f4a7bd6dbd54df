"""The options of the band: feel, parts left out, the lead-in."""

from pathlib import Path

import mido
import pytest

from tracks.cli.main import run


def made(folder: Path, *arguments: str) -> mido.MidiFile:
    assert run(["make", "two-five-one", "--key", "C", "--tempo", "120", "--name", "reed", "--mix",
                "hands-together", "--out", str(folder), *arguments]) == 0  # fmt: skip
    (path,) = folder.rglob("*.mid")
    return mido.MidiFile(path)


def names(file: mido.MidiFile) -> list[str]:
    return [track.name for track in file.tracks[1:]]


def starts(file: mido.MidiFile, name: str) -> list[int]:
    track, now, found = next(t for t in file.tracks if t.name == name), 0, []
    for message in track:
        now += message.time
        if message.type == "note_on" and message.velocity:
            found.append(now)
    return found


def test_band_has_a_track_for_each_part(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert names(made(tmp_path, "--style", "rock")) == ["Right hand", "Left hand", "Bass", "Drums", "Click"]


@pytest.mark.parametrize("part", ["bass", "drums"])
def test_part_of_the_band_can_be_left_out(
    part: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert part.capitalize() not in names(made(tmp_path, "--style", "rock", "--without", part))


def test_both_can_be_left_out(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = made(tmp_path, "--style", "rock", "--without", "bass", "--without", "drums")

    assert names(file) == ["Right hand", "Left hand", "Click"]


def test_no_feel_plays_what_is_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with_feel, written = (
        starts(made(tmp_path / option, "--style", "swing", "--level", "3", option), "Right hand")
        for option in ("--feel", "--no-feel")
    )

    assert all(start % 240 == 0 for start in written)
    assert any(start % 240 for start in with_feel)
    assert len(with_feel) == len(written)


def test_drill_is_played_as_written_unless_feel_is_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plain = made(tmp_path / "a", "--style", "block", "--level", "2")
    with_feel = made(tmp_path / "b", "--style", "block", "--level", "2", "--feel")

    assert all(start % 480 == 0 for start in starts(plain, "Right hand"))
    assert any(start % 480 for start in starts(with_feel, "Right hand"))
    assert starts(with_feel, "Right hand") == starts(with_feel, "Left hand")


def test_lead_in_is_a_fill_in_the_count_in(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = made(tmp_path, "--style", "rock", "--lead-in", "--no-click")

    assert starts(file, "Click") == [0, 480, 960, 1200, 1440, 1680]


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (["--without", "piano"], "--without: 'piano' is no choice; write bass or drums"),
        (["--lead-in", "--count-in", "0"], "lead-in: it is played in the count-in"),
    ],
)
def test_wrong_wish_is_told_in_a_line(
    options: list[str], told: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["make", "two-five-one", "--key", "C", "--out", str(tmp_path), *options]) == 2
    assert told in capsys.readouterr().err
    assert not list(tmp_path.iterdir())
