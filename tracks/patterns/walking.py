"""The walking bass: one note a felt beat, each bar aiming at the next.

Conventions
- A *stretch* is one chord within one bar. Its first beat is the chord's bass, the root or the written slash
  bass; its last beat approaches the next stretch's first: a half step, a step of the scale, or the fifth
  above it or fourth below; the beats between are tones of the chord or of the scale. So two chords in a bar
  have their targets on 1 and 3, their approaches on 2 and 4.
- A line is made for a register, its MIDI numbers both ends included. No two notes in a row are the same.
- The scale is the key's, with the chord's own tone on each letter that has one.

Source: "How to create a walking bass line" (Dummies.com) and C. Fitzgerald, "Walking Bass Line Theory
Basics": target on 1, chord or scale tones, approach on 4; in two, targets only on 1 and 3 ("two-feel").
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tracks.model import ChordAt, Note, Part, Role
from tracks.patterns.figures import BASS_VOLUME, beats
from tracks.patterns.registers import BASS_PLAYER, octaves
from tracks.style import Brief
from tracks.theory.chord import Chord
from tracks.theory.meter import Time
from tracks.theory.pitch import Interval, Pitch, Tone

if TYPE_CHECKING:
    from random import Random

ACOUSTIC_BASS = 32

_HALF_STEPS = (Interval(5, -1), Interval(-5, 1))
_WHOLE_STEPS = (Interval(-2, -1), Interval(2, 1))
_FIFTH_UP, _FOURTH_DOWN = Interval(1, 4), Interval(1, -3)
_WIDEST_STEP = 7
_ON_STRONG_BEATS, _ON_WEAK_BEATS = 100.0, 3.0
"""How many times better a chord tone is liked: passing notes belong on the second beat (convention)."""

_LIKED_LEAPS = {1: 4.0, 2: 4.0, 3: 3.0, 4: 3.0, 5: 1.5, 7: 1.0}


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
) -> Part:
    """Return the walking line of a bass, or of a left hand, that stays within a register."""
    stretches = _stretches(brief)
    notes: list[Note] = []
    target: Pitch | None = None
    for stretch, following in zip(stretches, [*stretches[1:], None], strict=True):
        first = target or _nearest(stretch.chord.bass, None, register)
        target = _nearest(following.chord.bass, first, register) if following else None
        line = _line(stretch, first, target, register, rng)
        notes += [
            Note(start, end - start, pitch, loudness)
            for (start, end), pitch in zip(stretch.beats, line, strict=True)
        ]
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


def _nearest(tone: Tone, before: Pitch | None, register: tuple[int, int]) -> Pitch:
    """Return the octave of a target nearest to the one before, held towards the register's lower half."""
    low, high = register
    rest = low + (high - low) // 3
    near = before.midi if before else rest
    options = octaves(tone, low, high) or (Pitch.at_or_above(tone, low),)
    return min(options, key=lambda option: 2 * abs(option.midi - near) + abs(option.midi - rest))


def _line(
    stretch: _Stretch, first: Pitch, target: Pitch | None, register: tuple[int, int], rng: "Random"
) -> list[Pitch]:
    """Return a pitch for each beat of a stretch, begun on its first and led to the next stretch's."""
    count = len(stretch.beats)
    if count == 1:
        return [first]
    goal = target or first
    scale = _scale(stretch)
    last = rng.choice(_approaches(goal, first, scale, register, keep_off=first if count == 2 else None))
    line = [first]
    options = [pitch for tone in scale for pitch in octaves(tone, *register)]
    for place in range(1, count - 1):
        chord_tone = _ON_STRONG_BEATS if place % 2 == 0 else _ON_WEAK_BEATS
        line.append(_between(line[-1], last, count - 1 - place, options, stretch.chord, chord_tone, rng))
    return [*line, last]


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


def _between(
    before: Pitch,
    last: Pitch,
    steps_left: int,
    options: list[Pitch],
    chord: Chord,
    chord_tone: float,
    rng: "Random",
) -> Pitch:
    """Return the next note on the way to the last: near where a straight way lies.

    `chord_tone` is how many times better than another a tone of the chord is liked.
    """
    tones = chord.tones
    wanted = before.midi + (last.midi - before.midi) / (steps_left + 1)
    choices, likings = [], []
    for option in options:
        leap, rest = abs(option.midi - before.midi), abs(last.midi - option.midi)
        arrives_early = steps_left == 1 and not rest
        if leap in _LIKED_LEAPS and rest <= _WIDEST_STEP * steps_left and not arrives_early:
            away = option.midi - wanted
            choices.append(option)
            likings.append(
                _LIKED_LEAPS[leap] * (chord_tone if option.tone in tones else 1) / (1 + away * away)
            )
    return rng.choices(choices, likings)[0]


def _scale(stretch: _Stretch) -> tuple[Tone, ...]:
    by_letter = {tone.step: tone for tone in (*stretch.at.key.scale, *stretch.chord.tones)}
    return tuple(by_letter.values())
