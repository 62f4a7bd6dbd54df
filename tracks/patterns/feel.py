"""Feel: what makes a band sound played, put upon parts that are written even.

Conventions
- Swing moves what lies inside a felt beat: its first half takes the longer share. A beat in three parts
  (compound time) is even already and stays.
- A part's loudness gets the weight of each moment in the bar, and a little chance.
- Both hands, and a melody, share one clock, so that what is written together is struck together; the bass
  and the drums each have their own. Chance is seeded, and the same in every key.
- Time never runs backwards: what follows on stays in order, nothing leaves the piece, and what belongs to a
  bar never comes before its bar line, where sequencers cut.
- How long the hands hold their keys, and the pedal, is `touch`'s.

Source of the swing ratio: A. Friberg and A. Sundstroem, "Swing ratios and ensemble timing in jazz
performance", Music Perception 19(3), 2002 (abstract read): a drummer's ratio falls from about 3.5 at slow
tempos to 1 at fast ones, the short note staying near 100 ms, and a soloist's is smaller. The formula is
derived from that; the hands' share of the drummer's ratio, and how far time and loudness stray, are our
judgment.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from tracks.model import Hit, Note, Part, Pedal, Piece, Role
from tracks.patterns.laying import weight
from tracks.patterns.touch import held, rolled, voiced, with_pedal
from tracks.style import WIDEST_SWING, Brief, Feel
from tracks.theory.meter import Meter, Time

SHORT_NOTE_MS = 100
HANDS_SHARE = 0.5
"""How much of the drummer's unevenness the hands have."""

if TYPE_CHECKING:
    from random import Random

_TOGETHER = (Role.RIGHT, Role.LEFT, Role.MELODY)
_STRAYS = 96
"""A stroke strays by a felt beat divided by this, at most: 6 ms at 100 beats a minute."""
_LOUDNESS = 4
_LOUDNESSES = {asked: max(1, min(127, asked)) for asked in range(-40, 180)}
"""A velocity for each that is asked for."""


def swing_ratio(bpm: float) -> float:
    """Return the drummer's swing ratio at felt beats a minute: 3.5 up to 133, 2 at 200, 1 from 300 on."""
    return min(WIDEST_SWING, max(1.0, 60_000 / bpm / SHORT_NOTE_MS - 1))


def with_feel(
    parts: tuple[Part, ...],
    feel: Feel,
    seed: int,
    brief: Brief,
    bpm: int | None = None,
    harmonies: Sequence[tuple[Time, Time]] = (),
) -> tuple[Part, ...]:
    """Return a brief's parts as a band plays them; without a tempo, a swing that follows it stays even.

    `harmonies` are the start and end of each chord that sounds: where a feel has a pedal, it changes there.
    """
    from random import Random

    parts = tuple(_touched(part, feel, brief.meter) for part in parts)
    if feel.pedal:
        parts = with_pedal(parts, harmonies, brief)
    ratio = _ratio(feel, bpm)
    clocks: dict[str, dict[Time, Time]] = {}
    played = []
    for part in parts:
        is_hand = part.role in _TOGETHER
        player = "hands" if is_hand else part.role.value
        if player not in clocks:
            share = HANDS_SHARE if is_hand else 1.0
            same = [other for other in parts if other.role in _TOGETHER] if is_hand else [part]
            clocks[player] = _clock(same, 1 + (ratio - 1) * share, brief, Random(f"{seed} {player}"))
        loudness = Random(f"{seed} {part.role.value} loudness")
        part = _played(part, clocks[player], brief, loudness)
        played.append(rolled(part, brief.meter) if feel.rolls and is_hand else part)
    return tuple(played)


def swing_of(piece: Piece, feel: Feel, bpm: int | None = None) -> float:
    """Return how much longer the drums play a beat's first half, in a written piece that is given a feel.

    A band that is written in thirds of a beat, as a shuffle is, plays long and short: twice as long.
    """
    beat = piece.meter.beat
    band = [part for part in piece.parts if part.role is not Role.MELODY]
    moments = {note.start for part in band for note in part.notes}
    moments.update(hit.start for part in band for hit in part.hits)
    thirds = any((moment - piece.music_from) % beat == 2 * beat // 3 for moment in moments)
    return 2.0 if thirds else _ratio(feel, bpm)


def _ratio(feel: Feel, bpm: int | None) -> float:
    return feel.swing or (swing_ratio(bpm) if bpm else 1.0)


def _touched(part: Part, feel: Feel, meter: Meter) -> Part:
    if not part.notes or part.role is Role.MELODY:
        return part
    if part.role is Role.BASS:
        return held(part, feel.bass_touch, meter)
    shaped = held(part, feel.touch, meter)
    return voiced(shaped) if part.role is Role.RIGHT else shaped


def swung(at: Time, ratio: float, meter: Meter, downbeat: Time = 0) -> Time:
    """Return where a moment goes when felt beats are divided long and short in a ratio."""
    if ratio == 1 or meter.is_compound:
        return at
    beat = meter.beat
    place = (at - downbeat) % beat
    long, half = round(beat * ratio / (ratio + 1)), beat // 2
    moved = place * long // half if place <= half else long + (place - half) * (beat - long) // (beat - half)
    return at - place + moved


def _clock(parts: Iterable[Part], ratio: float, brief: Brief, rng: "Random") -> dict[Time, Time]:
    """Return where each moment of the parts goes: not before its bar's line, nor before another's turn."""
    moments = {hit.start for part in parts for hit in part.hits}
    for part in parts:
        moments.update(note.start for note in part.notes)
        moments.update(note.end for note in part.notes)
        moments.update(pedal.start for pedal in part.pedals)
        moments.update(pedal.end for pedal in part.pedals)
    most, end, bar = brief.meter.beat // _STRAYS, brief.length, brief.meter.bar
    clock: dict[Time, Time] = {}
    now = 0
    for moment in sorted(moments):
        moved = swung(moment, ratio, brief.meter, brief.pickup) + _strays(rng, most)
        line = moment - (moment - brief.pickup) % bar
        now = min(max(now, moved, line), end - 1)
        clock[moment] = now if moment < end else end
    return clock


def _played(part: Part, clock: dict[Time, Time], brief: Brief, rng: "Random") -> Part:
    """Return the part by a clock, each moment as loud as its weight and chance make it."""
    bar, weights = brief.meter.bar, {}
    louder = {}
    for moment in sorted({note.start for note in part.notes} | {hit.start for hit in part.hits}):
        place = (moment - brief.pickup) % bar
        if place not in weights:
            weights[place] = weight(brief.meter, place)
        louder[moment] = weights[place] + _strays(rng, _LOUDNESS)
    notes = []
    for note in part.notes:
        start = clock[note.start]
        loud = _LOUDNESSES[note.velocity + louder[note.start]]
        # Two moments may meet, and a note lasts a tick all the same.
        notes.append(Note(start, clock[note.end] - start or 1, note.pitch, loud, note.finger, note.why))
    hits = tuple(
        Hit(clock[hit.start], hit.key, _LOUDNESSES[hit.velocity + louder[hit.start]]) for hit in part.hits
    )
    pedals = tuple(
        Pedal(clock[pedal.start], clock[pedal.end] - clock[pedal.start] or 1) for pedal in part.pedals
    )
    return replace(part, notes=tuple(notes), hits=hits, pedals=pedals)


def _strays(rng: "Random", most: int) -> int:
    """Return a whole number from -most to most."""
    return int(rng.random() * (2 * most + 1)) - most
