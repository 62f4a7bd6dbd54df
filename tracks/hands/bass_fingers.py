"""The fingers of a bass line whose octaves are chosen, and its moves out of position in words.

Conventions
- In position each degree has its finger; steps that the position cannot hold are a walk, fingered as a line
  between the notes before and after it, which keep their fingers.
- Chords that come again keep their fingers.

Source: convention; the walks' fingers as `line_fingering` says.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, takewhile

from tracks.hands.line_fingering import LineHand, line_fingers
from tracks.hands.motion import interval_words
from tracks.theory.pitch import Pitch

_FINGERS = {-1: 5, 0: 5, 1: 4, 2: 3, 3: 2, 4: 1, 5: 1}
_BELOW_TONIC, _SIXTH_DEGREE = -1, 5
_LITTLE = 5


@dataclass(frozen=True, slots=True)
class BassNote:
    """One note of the line, its finger, and in words each move out of position that it asks for."""

    pitch: Pitch
    finger: int
    marks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Place:
    """A bass note in the position whose tonic stands in one octave; `step` counts letters above it."""

    tonic: Pitch
    step: int
    pitch: Pitch

    @property
    def finger(self) -> int:
        """The finger that the position has for it."""
        return _FINGERS[self.step]

    def shift_from(self, before: "Place") -> int:
        """Return the octaves that the position shifts; a position on another tonic is no shift."""
        is_same = self.tonic.tone == before.tonic.tone
        return self.tonic.octave - before.tonic.octave if is_same else 0


def fingered(chosen: Sequence[Place], order: Sequence[int]) -> list[BassNote]:
    """Return the notes of the line; `order` is the place of each note in what is chosen."""
    line = [chosen[number] for number in order]
    walking = _walking_fingers(line, order)
    notes: list[BassNote] = []
    is_out = False
    position: Place | None = None
    for moment, (number, place) in enumerate(zip(order, line, strict=True)):
        marks: tuple[str, ...] = ()
        if number not in walking:
            marks = _marks(place, position, line[moment - 1] if moment else None, is_out)
            position = place
        elif not is_out:
            walk = takewhile(walking.__contains__, order[moment:])
            marks = (f"left hand leaves its position: fingers {' '.join(str(walking[n]) for n in walk)}",)
        is_out = number in walking
        notes.append(BassNote(place.pitch, walking.get(number, place.finger), marks))
    return notes


def _walking_fingers(line: Sequence[Place], order: Sequence[int]) -> dict[int, int]:
    """Return the fingers of what lies in a walk, by its place in what is chosen."""
    fingers: dict[int, int] = {}
    for start, end in _walks(line):
        before, after = line[max(0, start - 1) : start], line[end : end + 1]
        given = {0: before[0].finger} if before else {}
        if after:
            given[len(before) + end - start] = after[0].finger
        pitches = [place.pitch for place in (*before, *line[start:end], *after)]
        found = line_fingers(pitches, LineHand.LEFT, given)[len(before) :]
        for number, finger in zip(order[start:end], found, strict=False):
            fingers.setdefault(number, finger)
    return fingers


def _walks(line: Sequence[Place]) -> Iterator[tuple[int, int]]:
    """Yield where the position cannot hold the line: the first note and the one after the last."""
    start = 0
    for end in range(1, len(line) + 1):
        if end == len(line) or not _is_step(line[end - 1].pitch, line[end].pitch):
            if _is_trouble(line[start:end]):
                yield start, end
            start = end


def _is_step(old: Pitch, new: Pitch) -> bool:
    return abs(new.staff_step - old.staff_step) <= 1


def _is_trouble(run: Sequence[Place]) -> bool:
    """Return whether the position would shift within a run of steps, or finger 5 take three keys running."""
    if any(new.shift_from(old) for old, new in pairwise(run)):
        return True
    moves = [place for place, before in zip(run, (None, *run), strict=False) if not _is_held(before, place)]
    return any(
        {place.finger for place in three} == {_LITTLE}
        for three in zip(moves, moves[1:], moves[2:], strict=False)
    )


def _is_held(before: Place | None, place: Place) -> bool:
    return before is not None and before.pitch == place.pitch


def _marks(place: Place, position: Place | None, before: Place | None, was_out: bool) -> tuple[str, ...]:
    """Return what is to be said of a note in position, after the note before and the position held last."""
    marks = []
    name = place.pitch.tone.name
    if position and position.tonic.tone != place.tonic.tone:
        marks.append(f"left hand takes the position on {place.tonic.tone}")
    shift = place.shift_from(position) if position else 0
    if shift:
        marks.append(f"left hand shifts {'up' if shift > 0 else 'down'} {interval_words(12 * abs(shift))}")
    if was_out and not marks:
        marks.append("left hand back in position")
    if not before or before.pitch != place.pitch:
        if place.step == _SIXTH_DEGREE:
            marks.append(f"thumb steps up to {name}")
        if place.step == _BELOW_TONIC:
            marks.append(f"move finger 5 down to {name}")
    return tuple(marks)
