"""`rungwise show --tune`: an improvised tune told bar by bar, what each of its notes does.

Conventions
- The tune is the one that `make --style improvise` plays with the same level, seed, repeats and form.
- A line tells a figure: what it is, where it is something, then its notes in turn. Lines fit 80 columns.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import groupby
from textwrap import wrap
from typing import Any

from tracks.drill.options import TUNES
from tracks.drill.request import Request
from tracks.practice.arrange import unrolled
from tracks.practice.explaining import ToldNote, told
from tracks.practice.played import Played
from tracks.theory.pitch import ascii_accidentals, signs

_EXPLAINED = {"style": TUNES, "sheet": True, "explain": True}
_WIDTH = 80
_KEPT_WHOLE = "\N{NO-BREAK SPACE}"
_CHORD_TONE = "chord tone, "


def tune_of(request: Request, which: Mapping[str, Any]) -> Request:
    """Return what is asked of a progression as asked of a tune over it; `which` are the options that tell."""
    return Request(request.progression, {**request.given, **which, **_EXPLAINED})


def tune_record(played: Played) -> list[dict[str, object]]:
    """Return a tune's notes for machines: place, name, key and finger, what each is part of and does."""
    return [
        {
            "bar": each.bar,
            "beat": _number(each.beat),
            "beats": _number(each.beats),
            "note": each.note.pitch.name,
            "midi": each.note.pitch.midi,
            "finger": each.note.finger,
            "figure": ascii_accidentals(each.why.figure),
            "why": ascii_accidentals(each.why.does),
        }
        for each in told(played)[0]
    ]


def tune_lines(played: Played) -> Iterator[str]:
    """Yield a tune as lines for a person: each bar, its chords, and its notes by their figures."""
    drill, info = played.drill, played.style.info
    printed = drill.note_names.printed
    notes, turns = told(played)
    yield from wrap(
        f"The tune of seed {drill.seed}, level {drill.level}: {info.levels[drill.level - 1]}.", _WIDTH
    )
    yield from wrap("Root, third, fifth and so on are tones of the bar's chord.", _WIDTH)
    yield ""
    by_bar = {bar: list(each) for bar, each in groupby(notes, key=lambda note: note.bar)}
    yours = False
    for bar, chords in _chords_by_bar(played).items():
        yours = turns.get(bar, yours)
        whose = ": your turn" if yours and bar in turns else ""
        yield f"Bar {bar} · {' '.join(chords)}{whose}"
        for figure, group in groupby(by_bar.get(bar, ()), key=lambda each: each.why.figure):
            yield from _figure(figure, list(group), printed)
    highest = max(notes, key=lambda each: each.note.pitch.midi)
    yield ""
    yield f"The highest note is {printed(highest.note.pitch.sign)}, in bar {highest.bar}."


def _figure(figure: str, notes: Sequence[ToldNote], printed: Callable[[str], str]) -> Iterator[str]:
    """Yield the lines of a figure; no note is torn from its words."""
    said = [f"{each.note.pitch.sign} {each.why.does.removeprefix(_CHORD_TONE)}" for each in notes]
    told = "; ".join(each.replace(" ", _KEPT_WHOLE) for each in said)
    words = f"{figure.replace(' ', _KEPT_WHOLE)}: {told}" if figure else told
    for line in wrap(printed(signs(words)), _WIDTH, initial_indent="  ", subsequent_indent="    "):
        yield line.replace(_KEPT_WHOLE, " ")


def _chords_by_bar(played: Played) -> dict[int, list[str]]:
    """Return the symbols of the chords that begin in each bar, or of the one that goes on there."""
    in_key = played.in_key
    changes, chords = unrolled(in_key.changes, in_key.chords, played.drill.repeats, played.drill.ending)
    bars = range(0 if changes.pickup else 1, 1 + -(-(changes.length - changes.pickup) // changes.meter.bar))
    found: dict[int, list[str]] = {}
    printed, going_on = played.drill.note_names.printed, ""
    for bar in bars:
        begun = [v.at.chord.symbol if v.at.chord else "N.C." for v in chords if v.at.bar == bar]
        found[bar] = [printed(signs(each)) for each in begun or [going_on]]
        going_on = (begun or [going_on])[-1]
    return found


def _number(value: float) -> float:
    return int(value) if value == int(value) else value
