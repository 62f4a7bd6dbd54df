"""Players: engines in processes of their own, as many as are asked at once.

Conventions
- The engine holds Python's lock while it plays, and a broken SoundFont can end its process: a child for every
  thread that asks plays on every core, and its end is one line for whoever asked.
- A child is started when none is idle, and ends with its input, at the latest when this process ends.
"""

from pathlib import Path
from subprocess import DEVNULL, PIPE, Popen
from threading import Lock, Timer
from typing import TYPE_CHECKING, cast

from tracks.export.audio import engine

if TYPE_CHECKING:
    from io import BufferedReader, BufferedWriter

_LONGEST_S = 120
"""How long a stretch of half a minute may take to play; it takes under a second."""


class BrokenError(RuntimeError):
    """The engine refused, broke or hung."""


class Players:
    """Plays MIDI files on SoundFonts."""

    def __init__(self) -> None:
        self._idle: list[_Player] = []
        self._lock = Lock()
        self._fonts: dict[bytes, int] = {}

    def play(self, font: bytes, midi: bytes) -> bytes:
        """Return the WAV of a MIDI file; raise BrokenError where the font does not play."""
        with self._lock:
            number = self._fonts.setdefault(font, len(self._fonts))
            player = self._idle.pop() if self._idle else None
        player = player or _Player()
        try:
            wave = player.play(number, font, midi)
        except BaseException:
            player.end()
            raise
        with self._lock:
            self._idle.append(player)
        return wave

    def close(self) -> None:
        """End the idle players; another request starts new ones."""
        with self._lock:
            ended, self._idle = self._idle, []
        for player in ended:
            player.end()


class _Player:
    """One child; the SoundFonts that it was sent it keeps."""

    def __init__(self) -> None:
        import sys

        command = (sys.executable, "-P", str(Path(engine.__file__)))
        self._child = Popen(command, stdin=PIPE, stdout=PIPE, stderr=DEVNULL)  # noqa: S603 - ours
        self._asked, self._answered = (
            cast("BufferedWriter", self._child.stdin),
            cast("BufferedReader", self._child.stdout),
        )
        self._sent: set[int] = set()

    def play(self, number: int, font: bytes, midi: bytes) -> bytes:
        sent = b"" if number in self._sent else font
        self._sent.add(number)
        watchdog = Timer(_LONGEST_S, self._child.kill)
        watchdog.daemon = True
        watchdog.start()
        try:
            self._asked.write(engine.REQUEST.pack(number, len(sent), len(midi)) + sent + midi)
            self._asked.flush()
            head = self._answered.read(engine.ANSWER.size)
            length = engine.ANSWER.unpack(head)[0] if len(head) == engine.ANSWER.size else 0
            wave = self._answered.read(length)
        except OSError as error:
            raise BrokenError from error
        finally:
            watchdog.cancel()
        if not length or len(wave) < length:
            raise BrokenError
        return wave

    def end(self) -> None:
        self._child.kill()
        for pipe in (self._asked, self._answered):
            try:
                pipe.close()
            except OSError:  # what it did not read any more
                continue
        self._child.wait()
