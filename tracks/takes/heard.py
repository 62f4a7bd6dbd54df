"""What was heard of a group: its notes told apart as right, wrong, missing and extra.

Conventions
- `wrong` is a note played in place of one asked for, which is missing then; `extra` stands for nothing.
- A note whose key belongs to a group beside the one it was struck with, half a beat away at most, is that
  group's: a late hand, not a wrong note and a missing one.
- A hand that plays what is asked in another octave or inversion plays no wrong notes.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from tracks.takes.expected import HANDS, RIGHT, AskedNote, Group
from tracks.takes.take import PlayedNote

_NEIGHBORS = (-1, 1, -2, 2)
_LATE_BEATS = 0.5
_OCTAVES = (1, -1, 2, -2)


@dataclass(slots=True)
class Heard:
    """A group as it was played: notes asked for and the notes played for them, and all others.

    `octave` is how many octaves away a hand was played, 0 as asked; `inverted` whether the right hand's
    chord was played in another inversion. `stretch` numbers the pass that it was played in.
    """

    group: Group
    right: dict[AskedNote, PlayedNote] = field(default_factory=dict)
    wrong: list[tuple[AskedNote, PlayedNote]] = field(default_factory=list)
    missing: list[AskedNote] = field(default_factory=list)
    extra: list[PlayedNote] = field(default_factory=list)
    octave: int = 0
    inverted: bool = False
    stretch: int = 0

    @property
    def onset_s(self) -> float | None:
        """When the group was played: the mean of its right notes, else of the wrong; None if it was not."""
        onsets = [note.onset_s for note in self.right.values()] or [note.onset_s for _, note in self.wrong]
        return sum(onsets) / len(onsets) if onsets else None

    @property
    def spread_s(self) -> float | None:
        """The time from the first to the last of the notes played for it; None for less than two."""
        onsets = [note.onset_s for note in self.right.values()] + [note.onset_s for _, note in self.wrong]
        return max(onsets) - min(onsets) if len(onsets) > 1 else None

    def onset_of(self, hand: str) -> float | None:
        """When a hand played its right notes of the group."""
        onsets = [note.onset_s for asked, note in self.right.items() if asked.hand == hand]
        return sum(onsets) / len(onsets) if onsets else None


def unplayed(group: Group) -> Heard:
    """Return a group of which nothing was heard."""
    return Heard(group, missing=list(group.notes))


def take_exact(heard: Heard, notes: list[PlayedNote]) -> list[PlayedNote]:
    """Give a group the notes of its own keys, and return the others.

    Where the group was played in another octave as a whole, those keys are meant.
    """
    asked = {note.pitch.midi for note in heard.missing}
    played = {note.midi for note in notes}
    shift = max((0, *_OCTAVES), key=lambda octave: len(played & {key + 12 * octave for key in asked}))
    as_asked, shifted = len(played & asked), len(played & {key + 12 * shift for key in asked})
    heard.octave = shift if shifted > as_asked and 2 * shifted > len(asked) and len(asked) > 1 else 0
    return [note for note in notes if not _give(heard, note, note.midi - 12 * heard.octave)]


def take_neighbors(
    heard: Mapping[int, Heard],
    left: Mapping[int, list[PlayedNote]],
    strays: list[list[PlayedNote]],
    beat_s: float,
) -> None:
    """Give notes that are left over to a group nearby that misses their key; strays go together."""
    moments = _moments(heard, beat_s)
    for group, notes in left.items():
        for note in tuple(notes):
            for other in (group + offset for offset in _NEIGHBORS):
                near = other in heard and abs(moments[other] - note.onset_s) <= _LATE_BEATS * beat_s
                if near and _give(heard[other], note, note.midi):
                    notes.remove(note)
                    break
    for notes in tuple(strays):
        keys = {note.midi for note in notes}
        for group, each in heard.items():
            near = abs(moments[group] - notes[0].onset_s) <= _LATE_BEATS * beat_s
            if near and keys <= {asked.pitch.midi for asked in each.missing}:
                for note in notes:
                    _give(each, note, note.midi)
                strays.remove(notes)
                break


def _moments(heard: Mapping[int, Heard], beat_s: float) -> dict[int, float]:
    """Return when each group was played, of one that was not when it was due after the one before."""
    found: dict[int, float] = {}
    moment = beat = 0.0
    for group, each in heard.items():
        onset = each.onset_s
        moment = moment + (each.group.beat - beat) * beat_s if onset is None else onset
        beat = each.group.beat
        found[group] = moment
    return found


def tell_apart(heard: Heard, notes: list[PlayedNote]) -> None:
    """Tell what is left over apart: renamed by octave or inversion, wrong, or extra."""
    for hand in HANDS["both"]:
        _rename(heard, hand, notes)
    pairs = sorted(
        (abs(asked.pitch.midi - note.midi), place, other)
        for place, asked in enumerate(heard.missing)
        for other, note in enumerate(notes)
    )
    asked_for: set[int] = set()
    played: set[int] = set()
    for _, place, other in pairs:
        if place not in asked_for and other not in played:
            asked_for.add(place)
            played.add(other)
            heard.wrong.append((heard.missing[place], notes[other]))
    heard.extra += [note for other, note in enumerate(notes) if other not in played]


def _give(heard: Heard, note: PlayedNote, key: int) -> bool:
    """Give a group a note if it misses that key; return whether it did."""
    for asked in heard.missing:
        if asked.pitch.midi == key:
            heard.missing.remove(asked)
            heard.right[asked] = note
            return True
    return False


def _rename(heard: Heard, hand: str, notes: list[PlayedNote]) -> None:
    """Give a hand the notes that it played in another octave or, of a chord, in another inversion."""
    pairs: list[tuple[AskedNote, PlayedNote]] = []
    free = list(notes)
    for asked in (note for note in heard.missing if note.hand == hand):
        same = [note for note in free if note.midi % 12 == asked.pitch.midi % 12]
        if same:
            nearest = min(same, key=lambda note: abs(note.midi - asked.pitch.midi))
            free.remove(nearest)
            pairs.append((asked, nearest))
    if not pairs:
        return
    shifts = {(note.midi - asked.pitch.midi) // 12 for asked, note in pairs}
    as_asked = sum(asked.hand == hand for asked in heard.right)
    if not as_asked and len(shifts) == 1:
        heard.octave = shifts.pop()
    elif hand == RIGHT:
        heard.inverted = True
    for asked, note in pairs:
        notes.remove(note)
        heard.missing.remove(asked)
        heard.right[asked] = note
