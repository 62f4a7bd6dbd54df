"""Phrases: how a comping hand talks for longer than a bar.

A vocabulary is a style's phrases, each of one bar or more, its first the one that names the level. A plan
is what is played of it on a piece: lines of four bars, in each a phrase and its answer.

Conventions
- The first line opens with the first phrase. A later line most often comes back to one that was heard, whole
  or with another answer; now and then it brings a phrase that is new (judgment).
- Every second line, and the last, ends in a fill where the vocabulary has some.
- A line is four bars, longer where the first phrase is longer than two: it has an answer always.
- A bar of which the tune fills more than three quarters of the eighths (the beats' own halves or thirds) has
  the sparse figure: a comping hand leaves room (convention; the share, our judgment: in a level-6 tune it is
  one bar in five).
- A pickup has the end of the first phrase.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple, TypeAlias

from tracks.patterns.figures import Figure, figure
from tracks.style import Brief
from tracks.theory.meter import Meter, Time

if TYPE_CHECKING:
    from random import Random

LINE = 4
"""Bars in a line."""
_COMES_BACK, _ANSWERS_ANEW = 0.45, 0.8
_DENSE = 0.75


@dataclass(frozen=True, slots=True)
class Phrases:
    """A vocabulary: phrases, fills of a bar for the ends of lines, and what a busy tune leaves room for."""

    phrases: tuple[Figure, ...]
    fills: tuple[Figure, ...] = ()
    sparse: Figure | None = None


class Section(NamedTuple):
    """A stretch of a plan: from where to where a figure is played, and from where its cells are counted."""

    start: Time
    end: Time
    figure: Figure
    downbeat: Time


Plan: TypeAlias = tuple[Section, ...]


def planned(words: Phrases, brief: Brief, rng: "Random") -> Plan:
    """Return what is played of a vocabulary on a brief: the same for the same source of chance."""
    meter = brief.meter
    sections = [Section(0, brief.pickup, words.phrases[0], brief.pickup)] if brief.pickup else []
    heard: list[tuple[Figure, ...]] = []
    line_length = _line_length(words, meter)
    starts = range(brief.pickup, brief.length, line_length)
    for number, start in enumerate(starts):
        heard.append(_line(words, heard, meter, rng))
        end = min(start + line_length, brief.length)
        now = start
        for each in heard[-1]:
            length = each.length(meter)
            if now < end:
                sections.append(Section(now, min(now + length, end), each, now))
            now += length
        if words.fills and (number % 2 or number == len(starts) - 1):
            fill = rng.choice(words.fills)
            last = end - fill.length(meter)
            if last > start:
                sections = [*_before(sections, last), Section(last, end, fill, last)]
    return tuple(_with_room(sections, words.sparse, brief))


def vocabulary(
    *phrases: str, per_beat: int = 2, fills: tuple[str, ...] = (), sparse: str = "", anew: bool = False
) -> Phrases:
    """Return the vocabulary of phrases, fills and a sparse figure that are written as lines of cells."""
    written = [figure(text, per_beat, anew) for text in phrases]
    ends = [figure(text, per_beat, anew) for text in fills]
    return Phrases(tuple(written), tuple(ends), figure(sparse, per_beat, anew) if sparse else None)


def _line_length(words: Phrases, meter: Meter) -> Time:
    return max(LINE * meter.bar, 2 * words.phrases[0].length(meter))


def _line(words: Phrases, heard: list[tuple[Figure, ...]], meter: Meter, rng: "Random") -> tuple[Figure, ...]:
    """Return the phrases of the next line: one that was heard, one half new, or the first of all."""
    way = rng.random()
    if heard and way < _COMES_BACK:
        return rng.choice(heard)
    opening = words.phrases[0] if not heard else rng.choice(heard)[0]
    if heard and way >= _ANSWERS_ANEW:
        opening = rng.choice(words.phrases)
    line = [opening]
    answer = rng.choice(words.phrases)
    whole, filled = _line_length(words, meter), opening.length(meter)
    while filled < whole:
        line.append(answer if 2 * filled >= whole else opening)
        filled += line[-1].length(meter)
    return tuple(line)


def _before(sections: list[Section], end: Time) -> list[Section]:
    """Return what of some sections lies before a moment."""
    return [each._replace(end=min(each.end, end)) for each in sections if each.start < end]


def _with_room(sections: list[Section], sparse: Figure | None, brief: Brief) -> list[Section]:
    """Return the sections, those bars in which the tune is dense played sparsely."""
    if not sparse or not brief.melody:
        return sections
    bar, most = brief.meter.bar, _DENSE * brief.meter.bar / brief.meter.division
    struck: dict[int, int] = {}
    for note in brief.melody:
        line = (note.start - brief.pickup) // bar
        struck[line] = struck.get(line, 0) + 1
    roomy: list[Section] = []
    for each in sections:
        for line in range((each.start - brief.pickup) // bar, -(-(each.end - brief.pickup) // bar)):
            start = max(each.start, brief.pickup + line * bar)
            end = min(each.end, brief.pickup + (line + 1) * bar)
            dense = struck.get(line, 0) > most
            share = Section(start, end, sparse, start) if dense else each._replace(start=start, end=end)
            whole = roomy and roomy[-1][2:] == share[2:]
            roomy[-1:] = [roomy[-1]._replace(end=end)] if whole else [*roomy[-1:], share]
    return roomy
