"""A player made by chance: what a drill asks, performed with noise and faults, and what faults they were.

The model
- The beat runs at a tempo, drifts evenly by some percent, and each group of notes strays from it by a normal
  deviate of 2 % of the beat, the best that trained tappers keep (Repp, Psychonomic Bulletin & Review 12(6),
  2005; the figure from memory).
- Within a hand the notes of a chord stray by a normal deviate whose size is itself log-normal, so that their
  spread has the median of 18 ms and the 95 % point of 52 ms that 22 professionals keep on one staff; the left
  hand strays from the right by a normal deviate of 26 ms, which gives 18 and 52 ms again (Vienna 4x22 corpus,
  12,345 chords, measured for this project).
- Faults come by chance and are written down: a wrong note is one to three half steps off; a chord left out;
  a whole chord struck twice; an extra note beside a chord; a hesitation of one or two beats; one restart;
  strays before and after; pedal and the notes' own lengths change nothing.
- An extra note never comes with a chord that lacks one: that is a wrong note, as far as anybody hears.
- A chord left out, struck twice or hesitated before never comes right after another such: a chord struck
  twice and the like one after it left out would be what it sounds like, one that came early.
- A restart is never from a chord like the first: that would be heard as a start from the beginning.
- What is played again after a restart is played without a fault the first time, so that the truth is one.
"""

from dataclasses import dataclass, field
from math import exp
from random import Random

from tracks.takes.expected import RIGHT, Asked, Group
from tracks.takes.take import PlayedNote, Take

NOTE_S, STRAY_SIZE, HANDS_S, BEAT_SHARE = 0.0115, 0.42, 0.026, 0.02


@dataclass(frozen=True)
class Chances:
    """How often each fault comes: of a note, of a group, or of a take."""

    wrong: float = 0.0
    missing: float = 0.0
    extra: float = 0.0
    skipped: float = 0.0
    repeated: float = 0.0
    hesitation: float = 0.0
    restart: float = 0.0
    strays: float = 0.0
    drift_percent: float = 0.0


STUDENT = Chances(0.02, 0.02, 0.01, 0.01, 0.01, 0.01, 0.2, 0.2, 5.0)
PROFESSIONAL = Chances(drift_percent=2.0)


@dataclass
class Truth:
    """What was put in: (group, key) of wrong and missing notes, groups hesitated before, restarts."""

    bpm: float
    drift_percent: float
    wrong: set[tuple[int, int]] = field(default_factory=set)
    missing: set[tuple[int, int]] = field(default_factory=set)
    extra: int = 0
    hesitations: dict[int, float] = field(default_factory=dict)
    restarts: list[int] = field(default_factory=list)


def perform(asked: Asked, chances: Chances, seed: int, bpm: float | None = None) -> tuple[Take, Truth]:
    """Return a take of what is asked, and the truth of it."""
    return _Player(asked, chances, Random(seed), bpm).play()


def _keys(group: Group) -> set[int]:
    return {note.pitch.midi for note in group.notes}


class _Player:
    def __init__(self, asked: Asked, chances: Chances, rng: Random, bpm: float | None) -> None:
        self._asked, self._chances, self._rng = asked, chances, rng
        bpm = bpm or rng.uniform(50, 110)
        self._truth = Truth(bpm, rng.uniform(-1, 1) * chances.drift_percent)
        self._beat = 60 / bpm
        self._span = max(asked.groups[-1].beat - asked.groups[0].beat, 1.0)
        self._notes: list[PlayedNote] = []
        self._late = rng.uniform(0.2, 6.0)
        self._plain = True

    def play(self) -> tuple[Take, Truth]:
        rng, groups = self._rng, self._asked.groups
        order, replayed = list(range(len(groups))), range(0)
        if len(groups) > 6 and rng.random() < self._chances.restart:
            end = rng.randrange(4, len(groups))
            start = rng.randrange(max(end - 12, 1), end - 2)
            if _keys(groups[start]) != _keys(groups[0]):
                order = [*range(end), *range(start, len(groups))]
                replayed = range(start, end)
                self._truth.restarts.append(start)
        if rng.random() < self._chances.strays:
            self._strike(self._late - 4 * self._beat, rng.randrange(40, 80))
        for place, group in enumerate(order):
            first_time = group in replayed and place < replayed.stop
            if place and group != order[place - 1] + 1:
                before = order[place - 1]
                self._late += self._at(before) + self._gap(before) - self._at(group)
                self._late += rng.uniform(2, 4) * self._beat
            self._group(group, clean=first_time or group + 1 in replayed or group - 1 in replayed)
        end_s = max(note.onset_s for note in self._notes)
        if rng.random() < self._chances.strays:
            self._strike(end_s + 4 * self._beat, rng.randrange(40, 80))
        self._notes.sort(key=lambda note: (note.onset_s, note.midi))
        return Take("made by chance", tuple(self._notes)), self._truth

    def _at(self, group: int) -> float:
        """Return the steady time of a group, the mean tempo kept while the tempo drifts."""
        beat = self._asked.groups[group].beat - self._asked.groups[0].beat
        bend = self._truth.drift_percent / 100 / 2 / self._span
        return self._beat * (beat - bend * beat * (beat - self._span))

    def _group(self, number: int, clean: bool) -> None:
        rng, chances = self._rng, self._chances
        group = self._asked.groups[number]
        plain = not clean and self._plain
        self._plain = True
        if plain and 0 < number < len(self._asked.groups) - 1 and rng.random() < chances.skipped:
            self._plain = False
            self._truth.missing |= {(number, note.pitch.midi) for note in group.notes}
            return
        if plain and number and rng.random() < chances.hesitation:
            self._plain = False
            wait = rng.uniform(1, 2) * self._beat
            self._truth.hesitations[number] = wait
            self._late += wait
        at = self._late + self._at(number) + rng.gauss(0, BEAT_SHARE * self._beat)
        self._chord(number, at, clean)
        whole = not any(number == group for group, _ in self._truth.missing)
        if whole and plain and len(group.notes) > 1 and rng.random() < chances.repeated:
            self._plain = False
            gap = self._gap(number)
            for note in group.notes:
                self._strike(at + gap / 2 + rng.gauss(0, NOTE_S), note.pitch.midi)
            self._truth.extra += len(group.notes)

    def _gap(self, number: int) -> float:
        if number + 1 < len(self._asked.groups):
            return self._at(number + 1) - self._at(number)
        return self._beat

    def _chord(self, number: int, at: float, clean: bool) -> None:
        rng, chances = self._rng, self._chances
        notes = self._asked.groups[number].notes
        asked = {note.pitch.midi for note in notes}
        size = NOTE_S * exp(rng.gauss(0, STRAY_SIZE))
        left = rng.gauss(0, HANDS_S)
        for note in notes:
            key = note.pitch.midi
            onset = at + rng.gauss(0, size) + (0 if note.hand == RIGHT else left)
            chance = rng.random()
            if clean or chance >= chances.wrong + chances.missing:
                self._strike(onset, key)
                continue
            self._truth.missing.add((number, key))
            if chance < chances.wrong:
                near = [key + by for by in (-3, -2, -1, 1, 2, 3)]
                played = rng.choice([each for each in near if each % 12 not in {k % 12 for k in asked}])
                asked.add(played)
                self._truth.wrong.add((number, played))
                self._strike(onset, played)
        whole = not any(group == number for group, _ in self._truth.missing)
        if whole and not clean and rng.random() < chances.extra:
            key = rng.choice([each for each in range(36, 84) if each % 12 not in {k % 12 for k in asked}])
            self._truth.extra += 1
            self._strike(at + rng.gauss(0, size), key)

    def _strike(self, at: float, key: int) -> None:
        self._notes.append(PlayedNote(at, at + 0.4, key, max(1, min(127, round(self._rng.gauss(72, 6))))))
