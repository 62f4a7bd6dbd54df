"""Tapes: sounds kept whole at little cost of memory, the short ones in it, the long ones on the disk.

Convention: a tape is written once, from its first frame on, and then read anywhere, by several threads.
Outside of what was written there is silence.
"""

from tempfile import SpooledTemporaryFile
from threading import Lock
from weakref import finalize

from tracks.export.audio import Sound

_IN_MEMORY = 16_000_000
"""Bytes of a tape that are kept in memory, 42 seconds; a longer one moves to a file without a name."""

_FRAME = 8


class Tape:
    """A sound that is kept; `length` is how many frames were written."""

    def __init__(self) -> None:
        self.length = 0
        self._file = SpooledTemporaryFile(_IN_MEMORY)  # noqa: SIM115 - it lasts as long as the tape
        self._lock = Lock()
        finalize(self, self._file.close)

    def write(self, sound: Sound) -> None:
        """Put a sound after what was written so far; raise OSError where the disk is full."""
        self._file.write(sound.tobytes())
        self.length += len(sound)

    def read(self, start: int, stop: int) -> Sound:
        """Return the frames from `start` up to `stop`, of which some may lie outside of the tape."""
        from numpy import concatenate, float32, frombuffer, zeros

        first, last = (min(max(at, 0), self.length) for at in (start, stop))
        with self._lock:
            self._file.seek(first * _FRAME)
            content = self._file.read((last - first) * _FRAME)
        heard: Sound = frombuffer(content, float32).reshape(-1, 2)
        if len(heard) == stop - start:
            return heard
        before = min(max(-start, 0), stop - start)
        after = stop - start - before - len(heard)
        return concatenate((zeros((before, 2), float32), heard, zeros((after, 2), float32)))
