"""The values of a take: what an instrument recorded, in seconds.

Conventions
- Times are seconds from the start of the file. Pitches are MIDI numbers, 60 is C4; velocities 1 to 127.
- `clicks` are the strokes of a metronome that stands in the file on the percussion channel.
- `grid` is the file's own time: moments in quarter notes and in seconds, between which time runs evenly.
  A piano that knows no tempo writes one all the same, so it counts only where it is asked for.
"""

from bisect import bisect_right
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class PlayedNote:
    """One key struck: when, until when, which, and how loud."""

    onset_s: float
    end_s: float
    midi: int
    velocity: int


@dataclass(frozen=True, slots=True)
class Take:
    """What was played, in order of time, and remarks on what the reader passed over."""

    name: str
    notes: tuple[PlayedNote, ...]
    clicks: tuple[float, ...] = ()
    grid: tuple[tuple[float, float], ...] = ((0.0, 0.0), (1.0, 0.5))
    remarks: tuple[str, ...] = ()

    def quarters_at(self, moment_s: float) -> float:
        """Return where a moment lies in the file's own time, in quarter notes."""
        place = max(1, min(bisect_right([s for _, s in self.grid], moment_s), len(self.grid) - 1))
        (before, start_s), (after, end_s) = self.grid[place - 1], self.grid[place]
        return before + (after - before) * (moment_s - start_s) / (end_s - start_s)
