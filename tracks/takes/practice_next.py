"""What to practice next, as commands: the next rung, and a drill that mends a change.

Conventions
- A rung is the drill's own where its ladder has one, else a traditional mark of the metronome.
- A take that is ready goes up a rung; one that was only too slow goes up a rung, as far as the tempo that is
  needed; one with faults is played again at its own rung, or a rung below where they were many.
- The music of a file is written out as a text; a command is None where no text says the same.
"""

from dataclasses import dataclass

from tracks.drill.drill import Drill, Mix
from tracks.drill.options import BY_NAME
from tracks.drill.typed import line, typed_for
from tracks.progression.changes import realize
from tracks.progression.music import parse
from tracks.progression.text_writer import to_text
from tracks.takes.expected import RIGHT, Asked
from tracks.takes.report import Change, Report
from tracks.theory.errors import RequestError
from tracks.theory.tempo import FASTEST, MARKS, SLOWEST

_MANY_NOTES = 4
_SLOWER = 0.8
_AS_GOOD_AS = 1.02
"""A tempo this little short of a rung has reached it."""
_MENDING_REPEATS = 4
_MUSIC = tuple(
    BY_NAME[name]
    for name in (
        "start", "sevenths", "range", "hand", "left", "spread", "style", "band", "level", "feel",
        "without", "seed", "count-in", "click", "written-in",
    )
)  # fmt: skip
"""What makes the music of a drill. A next step is of one tempo and plain: form and files are not here."""


@dataclass(frozen=True, slots=True)
class Rung:
    """A tempo to practice at, and the command that makes the drill at it."""

    bpm: int
    command: str | None


def next_rung(report: Report, needs: float | None, progression: str | None = None) -> Rung:
    """Return what to play next; `progression` is what it was called at the prompt, if it was."""
    bpm = _next_bpm(report, needs)
    text = progression or _typed(report.asked)
    return Rung(bpm, _command(text, report.asked, "--tempo", str(bpm)) if text else None)


def mending(change: Change, report: Report) -> str | None:
    """Return the command that makes a drill of one change: two chords, back and forth, a rung slower."""
    bpm = _rung_below(report.asked.drill, _SLOWER * (report.bpm or MARKS[0]))
    mix = Mix.RIGHT_ALONE if change.hand == RIGHT else Mix.LEFT_ALONE
    return _command(
        f"{change.before} {change.after}",
        report.asked,
        *("--mix", mix.value, "--mix", Mix.HANDS_TOGETHER.value),
        *("--repeats", str(_MENDING_REPEATS), "--tempo", str(bpm)),
    )


def _next_bpm(report: Report, needs: float | None) -> int:
    drill, bpm = report.asked.drill, report.bpm
    if bpm is None:
        return round(needs) if needs else drill.tempos[0]
    if not report.in_the_way(needs):
        return _rung_above(drill, max(bpm, needs or 0))
    if not report.in_the_way(None):
        return min(_rung_above(drill, bpm), round(needs or FASTEST))
    slower = report.notes > _MANY_NOTES or len(report.best.restarts) > 1
    return _rung_below(drill, (_SLOWER if slower else _AS_GOOD_AS) * bpm)


def _rungs(drill: Drill) -> list[int]:
    """Return the drill's rungs, with the metronome's marks below and above them."""
    own = drill.tempos
    return [
        *(mark for mark in (SLOWEST, *MARKS) if mark < own[0]),
        *own,
        *(mark for mark in (*MARKS, FASTEST) if mark > own[-1]),
    ]


def _rung_above(drill: Drill, bpm: float) -> int:
    return next((rung for rung in _rungs(drill) if rung > bpm * _AS_GOOD_AS), FASTEST)


def _rung_below(drill: Drill, bpm: float) -> int:
    return next((rung for rung in reversed(_rungs(drill)) if rung <= bpm), SLOWEST)


def _typed(asked: Asked) -> str | None:
    """Return the drill's progression as it is typed; that of a file only where the text says the same."""
    drill = asked.drill
    if isinstance(drill.progression, str):
        return drill.progression
    music = parse(drill.progression, drill.meter)
    text = to_text(music)
    if text is None:
        return None
    try:
        again = realize(parse(text, drill.meter), asked.key, drill.written_in)
    except RequestError:
        return None
    once = realize(music, asked.key, drill.written_in)
    same = [(at.start, at.chord) for at in again.chords] == [(at.start, at.chord) for at in once.chords]
    return text if same else None


def _command(progression: str, asked: Asked, *rest: str) -> str:
    """Return the command that makes the drill's music in the take's key, with its hands, style and click."""
    drill = asked.drill
    words = ("rungwise", "make", progression, "--key", asked.key.name, "--texture", drill.texture.value)
    meter = () if str(drill.meter) == "4/4" else ("--meter", str(drill.meter))
    return line((*words, *typed_for(drill, _MUSIC), *meter, *rest))
