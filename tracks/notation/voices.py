"""Voices: the notes of a staff sorted into chords, and the chords into one voice or two.

Conventions
- Notes that begin and end together are one chord, low to high, each key once.
- Two voices at most: where three chords sound at once, the earlier ones end as the third enters.
- An end that falls short of the next beginning by less than half of the beat's part (an early release) is
  written as reaching it.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from tracks.model import Note
from tracks.notation.values import quantized
from tracks.theory.meter import Meter, Time
from tracks.theory.pitch import Pitch


@dataclass(frozen=True, slots=True)
class Struck:
    """A chord of one voice, or a single note: pitches low to high, a finger for each, or none at all."""

    start: Time
    end: Time
    pitches: tuple[Pitch, ...]
    fingers: tuple[int, ...] = ()

    @property
    def height(self) -> float:
        """The mean of its MIDI numbers."""
        return sum(pitch.midi for pitch in self.pitches) / len(self.pitches)


def voices(notes: Iterable[Note], meter: Meter, downbeat: Time, end: Time) -> tuple[tuple[Struck, ...], ...]:
    """Return a staff's chords up to `end` as two voices, the upper first; the second is often empty.

    `downbeat` is where any bar begins, for beats are counted from there.
    """
    chords = _chords([note for note in notes if note.start < end], meter, downbeat, end)
    chords = _at_most_two_at_once(chords)
    upper: list[Struck] = []
    lower: list[Struck] = []
    for cluster in _clusters(chords):
        one, other = _two_lines(cluster)
        if other and _height(other) > _height(one):
            one, other = other, one
        upper += one
        lower += other
    return tuple(upper), tuple(lower)


def _chords(notes: list[Note], meter: Meter, downbeat: Time, end: Time) -> list[Struck]:
    spans = _written_spans(notes, meter, downbeat, end)
    together: dict[tuple[Time, Time], dict[int, Note]] = {}
    for note, (start, stop) in zip(notes, spans, strict=True):
        if stop > start:
            together.setdefault((start, stop), {}).setdefault(note.pitch.midi, note)
    return [_struck(*times, list(chord.values())) for times, chord in sorted(together.items())]


def _written_spans(notes: list[Note], meter: Meter, downbeat: Time, end: Time) -> list[tuple[Time, Time]]:
    """Return where each note begins and ends in writing."""
    starts = sorted({note.start for note in notes} | {end})
    stops = [min(_reaching(note.end, starts, meter.division // 2), end) for note in notes]
    edges = (-downbeat, end - downbeat)
    places = quantized((time - downbeat for time in (*starts, *stops)), meter, edges)
    return [
        (downbeat + places[note.start - downbeat], downbeat + places[stop - downbeat])
        for note, stop in zip(notes, stops, strict=True)
    ]


def _reaching(stop: Time, starts: list[Time], lift: Time) -> Time:
    following = next((start for start in starts if start >= stop), None)
    return following if following is not None and following - stop < lift else stop


def _struck(start: Time, stop: Time, notes: list[Note]) -> Struck:
    notes.sort(key=lambda note: note.pitch.midi)
    fingers = tuple(note.finger for note in notes if note.finger)
    return Struck(
        start,
        stop,
        tuple(note.pitch for note in notes),
        fingers if len(fingers) == len(notes) else (),
    )


def _at_most_two_at_once(chords: list[Struck]) -> list[Struck]:
    kept: list[Struck] = []
    for chord in chords:
        sounding = [place for place, other in enumerate(kept) if other.end > chord.start]
        for place in sounding[:-1]:
            if kept[place].start < chord.start:
                kept[place] = replace(kept[place], end=chord.start)
        if sum(other.end > chord.start for other in kept) < 2:
            kept.append(chord)
        else:  # three that begin together: what there is no voice for joins the last
            last = kept[-1]
            kept[-1] = Struck(last.start, last.end, _merged(last, chord))
    return kept


def _merged(one: Struck, other: Struck) -> tuple[Pitch, ...]:
    by_key = {pitch.midi: pitch for pitch in (*one.pitches, *other.pitches)}
    return tuple(by_key[midi] for midi in sorted(by_key))


def _clusters(chords: list[Struck]) -> Iterable[list[Struck]]:
    """Yield the chords in runs between which nothing sounds on."""
    cluster: list[Struck] = []
    sounds_until = 0
    for chord in chords:
        if cluster and chord.start >= sounds_until:
            yield cluster
            cluster = []
        cluster.append(chord)
        sounds_until = max(sounds_until, chord.end)
    if cluster:
        yield cluster


def _two_lines(cluster: list[Struck]) -> tuple[list[Struck], list[Struck]]:
    """Return a run's chords as two lines in which nothing overlaps, each as long as it may be."""
    lines: tuple[list[Struck], list[Struck]] = ([], [])
    for chord in cluster:
        free = [line for line in lines if not line or line[-1].end <= chord.start]
        nearest = min(free, key=lambda line: abs(line[-1].height - chord.height) if line else 99)
        nearest.append(chord)
    return lines


def _height(chords: list[Struck]) -> float:
    return sum(chord.height for chord in chords) / len(chords)
