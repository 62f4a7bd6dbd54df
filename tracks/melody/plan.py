"""The plan of a tune: for every bar its rhythm, its place in the phrase's arch and what it brings back.

Conventions
- Onsets of a bar may lie before its line: a phrase's pickup, or a first note that anticipates the bar.
- Where track and student take turns, no phrase leads in, since the bars before it are the student's; nor does
  the longest, which would want breath.
- A riff is a bar that comes back in its phrase note by note: a a b c, or a b a c.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from tracks.melody.cells import Temper, bar_rhythm, closing_rhythm, pickup_rhythm
from tracks.melody.form import LONGEST, Phrase, phrases
from tracks.style import Brief
from tracks.theory.meter import Meter, Time

if TYPE_CHECKING:
    from random import Random

# Where a phrase stands high and low, 0 the bottom of the compass and 1 its top: at its start, turn and end.
_SHAPES = ((0.25, 0.7, 0.35), (0.7, 0.55, 0.2), (0.2, 0.45, 0.65), (0.55, 0.2, 0.5))
_SHAPE_LIKINGS = (6, 3, 2, 2)
_CLIMAX, _TURN, _CEILING = (0.4, 0.95, 0.4), 0.6, 0.8

_LEVEL_OF_MOTIFS = 6
_KEEPS_RHYTHM = 0.65


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar of the tune, `number` from 0; `until` is where it is silent for a breath, else its end.

    `early`: the first onset anticipates it. `again`: the bar that it brings back. `place` is how far into
    its phrase it begins, `share` how much of the phrase it is; `shape` is the phrase's, and
    `ceiling` how high it likes to go, 0 to 1: to the top only where the climax is.
    """

    number: int
    start: Time
    end: Time
    onsets: tuple[Time, ...]
    until: Time
    place: float
    share: float
    shape: tuple[float, float, float]
    ceiling: float
    early: bool = False
    motif: str = ""
    again: int | None = None

    def height(self, at: Time) -> float:
        """Return where the phrase stands at a moment of the bar, 0 to 1."""
        start, turn, end = self.shape
        into = max(0.0, self.place + self.share * (at - self.start) / (self.end - self.start))
        if into < _TURN:
            return start + (turn - start) * into / _TURN
        return turn + (end - turn) * (into - _TURN) / (1 - _TURN)


@dataclass(frozen=True, slots=True)
class _Rhythm:
    """A bar's onsets from its line; whether the first is early; what the bar does, and brings back."""

    onsets: tuple[Time, ...]
    early: bool = False
    motif: str = ""
    again: int | None = None


def planned(brief: Brief, likes: Temper, rng: "Random") -> list[Bar]:
    """Return every bar of a tune of some temper, with what leads into it."""
    plan = phrases(brief, brief.level, rng)
    pickups = _pickups(brief, likes, plan, rng)
    rhythms: list[_Rhythm] = []
    bars: list[Bar] = []
    kept: dict[bool, list[tuple[Time, ...]]] = {}
    for place, phrase in enumerate(plan):
        yours = bool(brief.turn and place % 2)
        room = brief.meter.bar - _silence(brief.meter, pickups[place + 1])
        closing = closing_rhythm(brief.meter, likes, rng, room)
        if phrase.again is None:
            fresh = yours not in kept or rng.random() > _KEEPS_RHYTHM
            if fresh:
                kept[yours] = [bar_rhythm(brief.meter, likes, rng) for _ in range(2)]
            made = _new(brief, likes, phrase, kept[yours], fresh, rng)
            # What the student does not hear is no motif to come back to.
            rhythms += [replace(rhythm, motif="") for rhythm in made] if yours else made
            rhythms.append(_Rhythm(closing))
        else:
            rhythms += _again(rhythms, plan[phrase.again], phrase, room, closing)
        bars += _bars(brief, phrase, pickups[place], room, rhythms, rng)
    return bars


def _pickups(brief: Brief, likes: Temper, plan: Sequence[Phrase], rng: "Random") -> list[tuple[Time, ...]]:
    """Return what leads into every phrase, from its bar line; and nothing into what follows the last."""
    meter, pickup = brief.meter, brief.pickup
    pickups: list[tuple[Time, ...]] = [tuple(range(pickup % meter.beat - pickup, 0, meter.beat))]
    for phrase in plan[1:]:
        before = pickups[phrase.again] if phrase.again is not None else ()
        without = brief.turn or phrase.bars == LONGEST
        pickups.append(() if without else before or pickup_rhythm(meter, likes, rng))
    return [*pickups, ()]


def _silence(meter: Meter, pickup: Sequence[Time]) -> Time:
    """Return how much of a phrase's last bar is its breath and what leads into the next."""
    if pickup:
        return meter.division // 2 - pickup[0]
    return meter.beat if meter.beats >= 3 else meter.division


def _new(
    brief: Brief,
    likes: Temper,
    phrase: Phrase,
    kept: Sequence[tuple[Time, ...]],
    fresh: bool,
    rng: "Random",
) -> list[_Rhythm]:
    """Return the bars of a new phrase but its last; `fresh` where its rhythm is."""
    riff = rng.choice((1, 2)) if rng.random() < likes.riffs else 0
    made = []
    for place in range(phrase.bars - 1):
        other = (place == 1 and riff == 2) or (place >= max(2, phrase.bars - 2) and riff != place)
        again = phrase.first if riff and place == riff else None
        early = place > 0 and again is None and rng.random() < likes.early
        onsets = kept[other]
        plays_motif = brief.level == _LEVEL_OF_MOTIFS and not other and again is None
        motif = _part(fresh, place, rng) if plays_motif else ""
        if early:
            onsets = (-brief.meter.division, *onsets[1:])
        made.append(_Rhythm(onsets, early, motif, again))
    return made


def _part(fresh: bool, place: int, rng: "Random") -> str:
    """Return what a bar does with the motif: state, answer or return it, or go on in sequence."""
    if place:
        return "sequence"
    return "state" if fresh else rng.choice(("answer", "return"))


def _again(
    rhythms: Sequence[_Rhythm], origin: Phrase, phrase: Phrase, room: Time, closing: tuple[Time, ...]
) -> list[_Rhythm]:
    """Return the bars of a phrase that brings another back; it may end anew, and must where room lacks."""
    made = []
    for place in range(phrase.bars):
        there = rhythms[origin.first + place]
        anew = place == phrase.bars - 1 and not (phrase.whole and there.onsets[-1] < room)
        made.append(
            _Rhythm(closing) if anew else _Rhythm(there.onsets, there.early, again=origin.first + place)
        )
    return made


def _bars(
    brief: Brief,
    phrase: Phrase,
    pickup: tuple[Time, ...],
    room: Time,
    rhythms: Sequence[_Rhythm],
    rng: "Random",
) -> list[Bar]:
    alone = phrase.bars * brief.meter.bar >= brief.length - brief.pickup
    shape = _CLIMAX if phrase.climax and not alone else rng.choices(_SHAPES, _SHAPE_LIKINGS)[0]
    made = []
    for place in range(phrase.bars):
        number = phrase.first + place
        rhythm, start = rhythms[number], brief.pickup + number * brief.meter.bar
        made.append(
            Bar(
                number=number,
                start=start,
                end=min(start + brief.meter.bar, brief.length),
                onsets=tuple(start + onset for onset in (*(pickup if not place else ()), *rhythm.onsets)),
                until=start + (room if place == phrase.bars - 1 else brief.meter.bar),
                place=place / phrase.bars,
                share=1 / phrase.bars,
                shape=shape,
                ceiling=1.0 if phrase.climax else _CEILING,
                early=rhythm.early,
                motif=rhythm.motif,
                again=rhythm.again,
            )
        )
    return made
