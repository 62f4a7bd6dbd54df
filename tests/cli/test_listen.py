"""`rungwise listen`, with a keyboard, a click and a clock of our own making."""

import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import pytest

from tracks.cli.main import run
from tracks.takes import live

pytestmark = pytest.mark.usefixtures("desk")
CHORDS = (
    (48, 52, 55, 60, 64, 67),
    (48, 53, 57, 60, 65, 69),
    (47, 53, 55, 59, 65, 67),
    (48, 52, 55, 60, 64, 67),
)
ASKED = ("I IV V7 I", "-k", "C", "--tempo", "100")


def said(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """Return what a command that goes well prints; that it listens and where it saves goes elsewhere."""
    assert run(list(arguments)) == 0
    return capsys.readouterr().out


class Keyboard:
    """A keyboard that plays chords, a bar of four beats at 100 each, and a clock that it plays by."""

    def __init__(self, chords: Sequence[Sequence[int]]) -> None:
        self.now = 0.0
        bar = 4 * 60 / 100
        self._to_come = [
            (bar * number + after, bytes((0x90, key, velocity)))
            for number, chord in enumerate(chords, 1)
            for after, velocity in ((0.0, 70), (2.0, 0))
            for key in chord
        ]

    def clock(self) -> float:
        return self.now

    def wait(self, seconds: float) -> None:
        self.now += seconds

    def heard(self) -> list[tuple[float, bytes]]:
        come = [each for each in self._to_come if each[0] <= self.now]
        self._to_come = self._to_come[len(come) :]
        return come


@pytest.fixture
def keyboard(monkeypatch: pytest.MonkeyPatch) -> Keyboard:
    played = Keyboard(CHORDS)

    @contextmanager
    def plugged_in(name: str, clock: object) -> Iterator[tuple[Keyboard, None]]:
        yield played, None

    monkeypatch.setattr(live, "plugged_in", plugged_in)
    monkeypatch.setattr("time.monotonic", played.clock)
    monkeypatch.setattr("time.sleep", played.wait)
    return played


@pytest.mark.usefixtures("keyboard")
def test_what_was_played_is_marked_and_kept_and_can_be_marked_again(
    capsys: pytest.CaptureFixture[str],
) -> None:
    now = json.loads(said(capsys, "listen", *ASKED, "--json"))
    again = json.loads(said(capsys, "check", "take-I-IV-V7-I-1.mid", *ASKED, "--json"))

    assert (now["ready"], now["take"], round(now["tempo"])) == (True, "take-I-IV-V7-I-1.mid", 100)
    assert again == {**now, **{name: again[name] for name in ("latency_ms", "tempo", "steadiness", "chords")}}
    assert again["latency_ms"] == pytest.approx(now["latency_ms"], abs=2)


@pytest.mark.usefixtures("keyboard")
def test_no_recording_is_written_over(capsys: pytest.CaptureFixture[str]) -> None:
    Path("take-I-IV-V7-I-1.mid").write_bytes(b"mine")
    Path("mine.mid").write_bytes(b"mine")

    assert run(["listen", *ASKED, "--save", "mine.mid"]) == 2
    assert "mine.mid is there already" in capsys.readouterr().err
    said(capsys, "listen", *ASKED)

    assert Path("mine.mid").read_bytes() == Path("take-I-IV-V7-I-1.mid").read_bytes() == b"mine"
    assert Path("take-I-IV-V7-I-2.mid").read_bytes().startswith(b"MThd")


@pytest.mark.usefixtures("keyboard")
def test_the_recording_goes_where_it_is_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    said(capsys, "listen", *ASKED, "--save", "takes/monday.mid")

    assert Path("takes/monday.mid").is_file()
    assert run(["listen", *ASKED, "--save", "monday.txt"]) == 2
    assert "monday.txt is no MIDI file" in capsys.readouterr().err


def test_without_a_keyboard_one_line_says_so_and_nothing_is_kept(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["listen", *ASKED, "--keyboard", "no such keyboard"]) in (1, 2)

    error = capsys.readouterr().err
    assert error.count("\n") == 1
    assert "keyboard" in error
    assert not list(Path().glob("*.mid"))
