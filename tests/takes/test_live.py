"""Listening to a keyboard: with a keyboard, a click and a clock of our own making."""

from collections.abc import Sequence

import pytest
from player import PROFESSIONAL, perform
from recovered import asked_of

from tracks.takes import live
from tracks.takes.judge import evaluate
from tracks.takes.read import take_of
from tracks.takes.saving import midi_of
from tracks.theory.errors import RequestError


class Desk:
    """A clock that goes on when it is waited for, a keyboard that plays by it, and what it was sent."""

    def __init__(self, messages: Sequence[tuple[float, bytes]]) -> None:
        self.now = 100.0
        self.sent: list[tuple[float, tuple[int, ...]]] = []
        self._messages = sorted(messages)

    def clock(self) -> float:
        return self.now

    def wait(self, seconds: float) -> None:
        self.now += seconds

    def heard(self) -> list[tuple[float, bytes]]:
        come = [(100 + when, message) for when, message in self._messages if 100 + when <= self.now]
        self._messages = self._messages[len(come) :]
        return come

    def send(self, message: Sequence[int]) -> None:
        self.sent.append((self.now - 100, tuple(message)))


def test_what_is_played_against_the_click_is_marked_against_it() -> None:
    asked = asked_of("block", "I vi IV V7 I", "Eb")
    take, _ = perform(asked, PROFESSIONAL, 3, bpm=60)
    first = take.notes[0].onset_s
    messages = [(note.onset_s - first + 4.03, bytes((0x90, note.midi, 70))) for note in take.notes]
    messages += [(note.end_s - first + 4.03, bytes((0x80, note.midi, 0))) for note in take.notes]
    messages += [(1.0, b"\xfe"), (2.0, bytes((0xB0, 64, 127)))]  # active sensing, pedal
    desk = Desk(messages)
    beats = round(asked.chords[-1].voiced.at.end / asked.meter.beat)

    recording = live.record(desk, desk, beats, asked.meter, 60, count_in=1, clock=desk.clock, wait=desk.wait)
    heard = recording.take
    report = evaluate(heard, asked)
    again = take_of(midi_of(recording, asked.meter, 60))

    assert len(heard.notes) == len(take.notes)
    assert report.in_the_way(60) == ()
    by_key = [
        sorted((note.midi, note.onset_s, note.velocity) for note in each.notes) for each in (again, heard)
    ]
    for saved, note in zip(*by_key, strict=True):
        assert saved == pytest.approx(note, abs=0.001)
    assert again.clicks == pytest.approx(heard.clicks, abs=0.001)
    assert again.remarks == ()
    assert report.latency_ms == pytest.approx(30, abs=40)
    assert [round(when) for when, _ in desk.sent] == list(range(4 + beats))
    assert desk.sent[0][1] == (0x99, 76, 110)
    assert {message[1] for _, message in desk.sent[1:4]} == {77}


def test_silence_is_told_in_a_line() -> None:
    desk = Desk([])

    with pytest.raises(RequestError, match="nothing was heard"):
        live.record(desk, None, 1, asked_of("block", "I vi IV V7 I", "Eb").meter, 240, count_in=0,
                    clock=desk.clock, wait=desk.wait)  # fmt: skip


@pytest.mark.parametrize(
    ("ports", "wanted", "place"),
    [
        ([], "", None),
        (["Midi Through:0"], "", None),
        (["Midi Through:0", "Piano 1:0"], "", 1),
        (["Piano 1:0", "Stage 2:0"], "stage", 1),
        (["Piano 1:0"], "organ", None),
    ],
)
def test_the_keyboard_is_found_by_its_name(ports: list[str], wanted: str, place: int | None) -> None:
    assert live._port(ports, wanted) == place


def test_without_a_keyboard_one_line_says_so() -> None:
    with pytest.raises(RequestError, match="keyboard") as fault, live.plugged_in("no such keyboard", float):
        pass
    assert "\n" not in str(fault.value)
