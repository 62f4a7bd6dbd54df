"""The walking bass: one note a felt beat, each bar aiming at the next.

Conventions
- A *stretch* is one chord within one bar. Its first beat is the chord's bass, the root or the written slash
  bass; its last beat approaches the next stretch's first: a half step, a step of the scale, or the fifth
  above it or fourth below; the beats between are tones of the chord or of the scale. So two chords in a bar
  have their targets on 1 and 3, their approaches on 2 and 4.
- Of all lines between the ends the likeliest go one way or turn once, by steps and small leaps, with another
  tone of the chord than its root in the middle of the bar (judgment).
- Over eight bars the targets climb through the register and come down again, an arc.
- A line is made for a register, its MIDI numbers both ends included. No two notes in a row are the same.
- The scale is the key's, with the chord's own tone on each letter that has one.
- A line with skips, now and then, plays an off-beat too: the note of the beat once more before the next.

Source: "How to create a walking bass line" (Dummies.com) and C. Fitzgerald, "Walking Bass Line Theory
Basics": target on 1, chord or scale tones, approach on 4; in two, targets only on 1 and 3 ("two-feel").
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from tracks.model import ChordAt, Note, Part, Role
from tracks.patterns.laying import BASS_VOLUME, beats
from tracks.patterns.registers import BASS_PLAYER, octaves
from tracks.style import Brief
from tracks.theory.chord import Chord
from tracks.theory.meter import Time
from tracks.theory.pitch import Interval, Pitch, Tone

if TYPE_CHECKING:
    from random import Random

ACOUSTIC_BASS = 32
ARC = 8
"""Bars in which a line climbs and comes down again."""

_HALF_STEPS = (Interval(5, -1), Interval(-5, 1))
_WHOLE_STEPS = (Interval(-2, -1), Interval(2, 1))
_FIFTH_UP, _FOURTH_DOWN = Interval(1, 4), Interval(1, -3)
_WIDEST_STEP = 7
_MOST_LINES = 40
"""Lines that are followed at once; a bar of four beats has about so many worth following."""

_LIKED_LEAPS = {1: 4.0, 2: 4.0, 3: 3.0, 4: 3.0, 5: 1.2, 7: 0.5}
_LIKED_TURNS = (8.0, 2.0, 0.3)
"""How much a line is liked that turns never, once, or oftener."""
_ROOT_AGAIN, _PASSING_ON_STRONG = 0.1, 0.01
_SKIPS = 0.12
_SKIP_SOFTER = 14


@dataclass(frozen=True, slots=True)
class _Stretch:
    """One chord within one bar: its chord, where it stands, its beats' starts and ends."""

    chord: Chord
    at: ChordAt
    beats: tuple[tuple[Time, Time], ...]


def walk(
    brief: Brief,
    rng: "Random",
    role: Role = Role.BASS,
    register: tuple[int, int] = BASS_PLAYER,
    loudness: int = 72,
    skips: bool = False,
) -> Part:
    """Return the walking line of a bass, or of a left hand, that stays within a register."""
    stretches = _stretches(brief)
    notes: list[Note] = []
    target: Pitch | None = None
    known: _Known = {}
    for stretch, following in zip(stretches, [*stretches[1:], None], strict=True):
        first = target or _target(stretch, None, register, brief)
        target = _target(following, first, register, brief) if following else None
        line = _line(stretch, first, target, register, rng, known)
        for (start, end), pitch in zip(stretch.beats, line, strict=True):
            half = (start + end) // 2
            if skips and start > stretch.beats[0][0] and rng.random() < _SKIPS:
                notes += [Note(start, half - start, pitch, loudness)]
                notes += [Note(half, end - half, pitch, loudness - _SKIP_SOFTER)]
            else:
                notes.append(Note(start, end - start, pitch, loudness))
    if role is Role.BASS:
        return Part(role, tuple(notes), program=ACOUSTIC_BASS, volume=BASS_VOLUME)
    return Part(role, tuple(notes))


def _stretches(brief: Brief) -> list[_Stretch]:
    bar = brief.meter.bar
    stretches: list[_Stretch] = []
    for voiced in brief.chords:
        if voiced.at.chord is None:
            continue
        bars: dict[int, list[tuple[Time, Time]]] = {}
        for start, end in beats(brief, voiced.at):
            bars.setdefault((start - brief.pickup) // bar, []).append((start, end))
        stretches += [_Stretch(voiced.at.chord, voiced.at, tuple(within)) for within in bars.values()]
    return stretches


def _target(stretch: _Stretch, before: Pitch | None, register: tuple[int, int], brief: Brief) -> Pitch:
    """Return the octave of a stretch's bass that is near to the one before and to the arc of the line."""
    low, high = register
    bars = 2 * (stretch.beats[0][0] - brief.pickup) / brief.meter.bar
    climbed = 1 - abs(bars % (2 * ARC) - ARC) / ARC
    rest = low + (high - low) * (0.15 + 0.5 * climbed)
    near = before.midi if before else rest
    tone = stretch.chord.bass
    options = octaves(tone, low, high) or (Pitch.at_or_above(tone, low),)
    return min(options, key=lambda option: abs(option.midi - near) + 1.5 * abs(option.midi - rest))


def _line(
    stretch: _Stretch,
    first: Pitch,
    target: Pitch | None,
    register: tuple[int, int],
    rng: "Random",
    known: "_Known",
) -> list[Pitch]:
    """Return a pitch for each beat of a stretch, begun on its first and led to the next stretch's."""
    count = len(stretch.beats)
    if count == 1:
        return [first]
    goal = target or first
    scale = _scale(stretch)
    last = rng.choice(_approaches(goal, first, scale, register, keep_off=first if count == 2 else None))
    key = (id(stretch.chord), id(stretch.at.key), count, first.midi, last.midi)
    if key not in known:
        options = [pitch for tone in scale for pitch in octaves(tone, *register)]
        known[key] = _ways(first, last, count - 2, options, stretch.chord)
    lines, likings = known[key]
    return [first, *rng.choices(lines, likings)[0], last]


def _approaches(
    goal: Pitch, start: Pitch, scale: tuple[Tone, ...], register: tuple[int, int], keep_off: Pitch | None
) -> list[Pitch]:
    """Return the notes that lead to a goal, those nearest to where the line comes from."""
    steps = [goal.up(interval) for interval in _WHOLE_STEPS]
    ways = [
        *(goal.up(interval) for interval in _HALF_STEPS),
        *(pitch for pitch in steps if pitch.tone in scale),
        goal.up(_FIFTH_UP),
        goal.up(_FOURTH_DOWN),
    ]
    low, high = register
    off = keep_off.midi if keep_off else None
    fitting = [way for way in ways if low <= way.midi <= high and way.midi != off]
    near = [way for way in fitting if abs(way.midi - start.midi) <= _WIDEST_STEP]
    return near or fitting


_Lines = tuple[list[tuple[Pitch, ...]], list[float]]
_Known = dict[tuple[int, int, int, int, int], _Lines]
"""What lies between two notes, and how much each is liked, by chord, key, beats and the notes."""


def _ways(first: Pitch, last: Pitch, between: int, options: list[Pitch], chord: Chord) -> _Lines:
    """Return the lines of so many notes between two, and how much each is liked."""
    lines: list[tuple[tuple[Pitch, ...], float]] = [((), 1.0)]
    for left in range(between, 0, -1):
        on_strong_beat = (between - left) % 2 == 1
        lines = [
            ((*line, option), liked * liking)
            for line, liked in lines
            for option, liking in _next((first, *line)[-1], last, left, options, chord, on_strong_beat)
        ]
        lines = sorted(lines, key=lambda each: -each[1])[:_MOST_LINES]
    return [line for line, _ in lines], [
        liked * _LIKED_TURNS[min(2, _turns((first, *line, last)))] for line, liked in lines
    ]


def _next(
    before: Pitch, last: Pitch, left: int, options: list[Pitch], chord: Chord, on_strong_beat: bool
) -> Iterator[tuple[Pitch, float]]:
    """Yield the notes that may follow one, `left` steps before the last, and how much each is liked."""
    for option in options:
        liking = _LIKED_LEAPS.get(abs(option.midi - before.midi), 0.0)
        rest = abs(last.midi - option.midi)
        if liking and rest <= _WIDEST_STEP * left and (left > 1 or rest in _LIKED_LEAPS):
            if left == 1:
                liking *= _LIKED_LEAPS[rest]
            if on_strong_beat and option.tone not in chord.tones:
                liking *= _PASSING_ON_STRONG
            elif on_strong_beat and option.tone == chord.bass:
                liking *= _ROOT_AGAIN
            yield option, liking


def _turns(line: tuple[Pitch, ...]) -> int:
    """Return how often a line changes direction."""
    rises = [b.midi > a.midi for a, b in pairwise(line)]
    return sum(a != b for a, b in pairwise(rises))


def _scale(stretch: _Stretch) -> tuple[Tone, ...]:
    by_letter = {tone.step: tone for tone in (*stretch.at.key.scale, *stretch.chord.tones)}
    return tuple(by_letter.values())
