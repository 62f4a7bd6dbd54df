"""A tune explained on paper: a mark under each note, words over the staff, and a line that tells the marks.

Conventions
- A mark tells what a note does; the words over the staff what begins there: the motif, what was before, the
  cadence. What goes on is not told again in its bar.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import TypeAlias

from tracks.model import Why
from tracks.notation.score import Bar, Event, Score
from tracks.theory.meter import Time

Whys: TypeAlias = Mapping[Time, Why]
"""What the notes of a tune do, by their beginnings; in one tune no two begin together."""

_MEANINGS = {
    "root": "root, 3rd, 5th and so on are tones of the chord",
    "pass": "pass: passes by step",
    "nbr": "nbr: neighbor, steps away and back",
    "guide": "guide: a guide tone, which tells the harmony",
    "to": "to: leads to a tone of the chord",
    "round": "round: one of two that enclose a tone of the chord",
    "early": "early: the next chord's, before it comes",
    "blues": "blues: of the key's blues scale",
    "pent": "pent: of the key's pentatonic scale",
    "color": "color: an altered tone of the chord",
}
"""What the first word of a mark means; a chord's tones share one meaning."""


def explained(score: Score, whys: Whys) -> Score:
    """Return the score with what the notes of its upper staff do, in its own names."""
    whys = {at: replace(why, mark=score.names.printed(why.mark)) for at, why in whys.items()}
    return replace(score, bars=tuple(_explained(bar, whys) for bar in score.bars))


def legend(score: Score) -> str:
    """Return the line that tells what a score's marks mean; nothing where there are none."""
    marks = (event.mark for bar in score.bars for voice in bar.staves[0] for event in voice if event.mark)
    found = {_first_word(mark) for mark in marks}
    meanings = [meaning for word, meaning in _MEANINGS.items() if word in found]
    return f"Under the notes: {'; '.join(meanings)}." if meanings else ""


def _explained(bar: Bar, whys: Whys) -> Bar:
    upper, *others = bar.staves
    marked = tuple(tuple(_marked(event, whys) for event in voice) for voice in upper)
    figures = tuple(_figures(bar.start, bar.start + bar.length, whys))
    return replace(bar, staves=(marked, *others), figures=figures)


def _marked(event: Event, whys: Whys) -> Event:
    begins = event.pitches and not event.tied_in and event.start in whys
    return replace(event, mark=whys[event.start].mark) if begins else event


def _figures(start: Time, end: Time, whys: Whys) -> Iterator[tuple[Time, str]]:
    """Yield what begins from one time to before another, and when."""
    told = ""
    for at in sorted(time for time in whys if start <= time < end):
        if whys[at].figure not in ("", told):
            yield at, whys[at].figure
        told = whys[at].figure


def _first_word(mark: str) -> str:
    word = mark.split()[0]
    return word if word in _MEANINGS else "root"
