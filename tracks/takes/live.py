"""Listening: a take recorded from a keyboard that is plugged in, against a click that is played to it.

Conventions
- A *port in* tells what has come since it was last asked: seconds on the clock, and a message's bytes. A
  *port out* takes a message's bytes. A clock is seconds that only grow. The three are handed in, so that a
  test needs neither a keyboard nor time.
- The click goes to the keyboard's percussion channel, with the strokes that our files have. Times of the take
  count from the first of them.
- Recording ends two bars after the music's length.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import NamedTuple, Protocol, TypeAlias

from tracks.practice.mixes import HIGH_WOOD_BLOCK, LOW_WOOD_BLOCK
from tracks.takes.events import NOTE_OFF, NOTE_ON
from tracks.takes.take import PlayedNote, Take
from tracks.theory.errors import RequestError
from tracks.theory.meter import Meter

Clock: TypeAlias = Callable[[], float]
Heard: TypeAlias = Sequence[tuple[float, bytes]]

PERCUSSION = 9
_STEP_S = 0.002
_BARS_AFTER = 2


class Recording(NamedTuple):
    """A take, and all that the keyboard sent for it: seconds from the first stroke, and a message's bytes."""

    take: Take
    messages: Heard


class PortIn(Protocol):
    """Where a keyboard is heard."""

    def heard(self) -> Heard:
        """Return what has come since the last time: seconds on the clock, and a message's bytes."""
        ...


class PortOut(Protocol):
    """Where the click goes."""

    def send(self, message: Sequence[int]) -> None:
        """Send a message's bytes."""
        ...


def record(
    keyboard: PortIn,
    click: PortOut | None,
    beats: int,
    meter: Meter,
    bpm: int,
    *,
    count_in: int,
    clock: Clock,
    wait: Callable[[float], None],
) -> Recording:
    """Return what is played against a click of some bars of count-in and then so many felt beats.

    Raises RequestError where nothing was played.
    """
    beat_s = 60 / bpm
    strokes = count_in * meter.beats + beats
    end_s = (strokes + _BARS_AFTER * meter.beats) * beat_s
    start, struck = clock(), 0
    messages: list[tuple[float, bytes]] = []
    while (now := clock() - start) < end_s:
        while struck < strokes and now >= struck * beat_s:
            if click:
                click.send(_stroke(struck % meter.beats == 0))
            struck += 1
        messages += [(when - start, message) for when, message in keyboard.heard()]
        wait(_STEP_S)
    notes = tuple(sorted(_notes(messages, end_s), key=lambda note: (note.onset_s, note.midi)))
    if not notes:
        raise RequestError(
            "nothing was heard", "is the keyboard's local control or another channel in the way?"
        )
    return Recording(
        Take("played now", notes, tuple(place * beat_s for place in range(strokes))), tuple(messages)
    )


def _stroke(first: bool) -> tuple[int, int, int]:
    key, velocity = (HIGH_WOOD_BLOCK, 110) if first else (LOW_WOOD_BLOCK, 80)
    return NOTE_ON | PERCUSSION, key, velocity


def _notes(messages: Iterable[tuple[float, bytes]], end_s: float) -> Iterator[PlayedNote]:
    sounding: dict[int, tuple[float, int]] = {}
    for when, message in messages:
        if len(message) < 3 or message[0] & 0xF0 not in (NOTE_ON, NOTE_OFF):
            continue
        status, key, velocity = message[0] & 0xF0, message[1], message[2]
        if begun := sounding.pop(key, None):
            yield PlayedNote(begun[0], when, key, begun[1])
        if status == NOTE_ON and velocity:
            sounding[key] = (when, velocity)
    for key, (begun_s, velocity) in sounding.items():
        yield PlayedNote(begun_s, end_s, key, velocity)


@contextmanager
def plugged_in(name: str, clock: Clock) -> Iterator[tuple[PortIn, PortOut | None]]:
    """Open the keyboard whose name holds some letters, the first where there are none.

    Raises RequestError where none is plugged in, or none is called so.
    """
    import rtmidi

    try:
        with _in_silence():
            source, sink = rtmidi.MidiIn(), rtmidi.MidiOut()
        ports, ways_back = source.get_ports(), sink.get_ports()
    except Exception as error:  # of the library's own kinds, where the system has no MIDI at all
        raise RequestError(
            "no keyboard can be heard: the system has no MIDI", "plug it in and switch it on, then try again"
        ) from error
    place = _port(ports, name)
    if place is None:
        known = f"; there are {', '.join(ports)}" if ports else ""
        called = f" called {name}" if name else ""
        raise RequestError(f"no keyboard{called} is plugged in{known}", "plug it in, switch it on, try again")
    source.open_port(place)
    back = _port(ways_back, ports[place].split(":")[0])
    if back is not None:
        sink.open_port(back)
    try:
        yield _Keyboard(source, clock), _Click(sink) if back is not None else None
    finally:
        source.close_port()
        sink.close_port()


@contextmanager
def _in_silence() -> Iterator[None]:
    """Keep what the system's own library would print off the terminal: our line says what is wrong."""
    import os

    kept, nothing = os.dup(2), os.open(os.devnull, os.O_WRONLY)
    os.dup2(nothing, 2)
    try:
        yield
    finally:
        os.dup2(kept, 2)
        os.close(kept)
        os.close(nothing)


def _port(names: Sequence[str], wanted: str) -> int | None:
    """Return the first port that is called so, none of the system's own loop back where nothing is asked."""
    for place, name in enumerate(names):
        if wanted.lower() in name.lower() and (wanted or "through" not in name.lower()):
            return place
    return None


class _Keyboard:
    def __init__(self, source: "object", clock: Clock) -> None:
        self._source, self._clock = source, clock

    def heard(self) -> Heard:
        """Return what has come, each at the moment at which it is taken: some 2 ms after it was played."""
        found = []
        while message := self._source.get_message():  # type: ignore[attr-defined]
            found.append((self._clock(), bytes(message[0])))
        return found


class _Click:
    def __init__(self, sink: "object") -> None:
        self._sink = sink

    def send(self, message: Sequence[int]) -> None:
        """Send a stroke."""
        self._sink.send_message(list(message))  # type: ignore[attr-defined]
