"""A score in words, for whoever hears a page instead of seeing it.

Conventions
- Bar by bar: the chord and its numeral, then each staff from left to right, pitches with the number of their
  octave (middle C is C4), a chord's from the lowest up.
- A note value is said once for all the notes in a row that have it.
"""

from collections.abc import Iterable, Iterator
from itertools import groupby

from tracks.notation.score import Bar, Event, Score
from tracks.notation.values import BREVE
from tracks.notation.words import for_paper, say
from tracks.theory.meter import QUARTER, Time
from tracks.theory.note_names import NoteNames
from tracks.theory.pitch import Pitch

_NAMES: dict[Time, str] = {
    BREVE: "double whole",
    4 * QUARTER: "whole",
    2 * QUARTER: "half",
    QUARTER: "quarter",
    QUARTER // 2: "eighth",
}
_STAVES = ("Upper staff", "Lower staff")
_SIGNS = {"♭♭": " double flat", "♯": " sharp", "♭": " flat", "♮": " natural", "×": " double sharp"}


def value_name(plain: Time, dots: int = 0, names: NoteNames = NoteNames.ENGLISH) -> str:
    """Return the name of a note value: `dotted quarter`, `sixteenth`, `32nd`."""
    parts = 4 * QUARTER // plain
    name = _NAMES.get(plain) or ("sixteenth" if parts == 16 else f"{parts}{'nd' if parts == 32 else 'th'}")
    return f"{('', 'dotted ', 'double dotted ')[dots]}{names.note_value(name)}"


def described(score: Score, bars: range) -> str:
    """Return what stands in some bars of a score, counted from 0 in its own order."""
    shown = [score.bars[place] for place in bars]
    first, last = shown[0].number, shown[-1].number
    which = f"Bars {first} to {last}" if last > first else f"Bar {first}"
    return " ".join(
        (
            f"{which}, in {_said(score.names.printed(shown[0].key.sign))}.",
            *(_bar(score, bar) for bar in shown),
        )
    )


def _bar(score: Score, bar: Bar) -> str:
    names = score.names
    chords = [
        f"{names.printed(say(voiced))}{', ' if numeral else ''}{numeral}"
        for voiced, _, numeral in score.chords_of(bar)
    ]
    figures = (figure for _, figure in bar.figures)
    told = [f"Bar {bar.number}", *([bar.turn] if bar.turn else ()), *chords, *figures]
    staves = (
        f"{name}: {' Second voice: '.join(_voice(layer, names) for layer in layers)}"
        for name, layers in zip(_STAVES, bar.staves, strict=True)
    )
    return _said(f"{'; '.join(told)}. {' '.join(staves)}")


def _voice(events: tuple[Event, ...], names: NoteNames) -> str:
    written = (event for event in events if not event.hidden or not event.value)
    alike = groupby(written, lambda event: _kind(event, names))
    return f"{', '.join(_alike(kind, each, names) for kind, each in alike)}."


def _alike(kind: str, events: Iterable[Event], names: NoteNames) -> str:
    notes = [" ".join(_note(event, names)) for event in events]
    return f"{kind} {', '.join(notes)}" if notes[0] else ", ".join([kind] * len(notes))


def _kind(event: Event, names: NoteNames) -> str:
    """Return what an event is, for the notes that follow: `dotted half`, `quarter rest`, `empty`."""
    if event.value is None:
        return "empty" if event.hidden else "rest"
    name = value_name(event.value.plain, event.value.dots, names)
    name = f"{name} in a group of {event.value.tuplet.actual}" if event.value.tuplet else name
    return name if event.pitches else f"{name} rest"


def _note(event: Event, names: NoteNames) -> Iterator[str]:
    if len(event.pitches) > 1:
        yield "chord"
    yield from (_pitch(pitch, names) for pitch in event.pitches)
    if event.fingers:
        yield f"finger{'s' if len(event.fingers) > 1 else ''} {' '.join(map(str, event.fingers))}"
    if event.mark:
        yield f"({event.mark})"
    if event.tied_on:
        yield "tied on"


def _pitch(pitch: Pitch, names: NoteNames) -> str:
    """Return a pitch to be heard: `E flat 4`, or `Es 4`."""
    return f"{_said(names.printed(pitch.tone.sign))}{' ' if pitch.tone.alter else ''}{pitch.octave}"


def _said(text: str) -> str:
    text = for_paper(text)
    for sign, word in _SIGNS.items():
        text = text.replace(sign, word)
    return text
