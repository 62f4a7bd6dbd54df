"""Tempos and the metronome's traditional marks.

Conventions
- `bpm` is whole felt beats a minute (see `meter`), 20 to 300.
- The MIDI tempo is microseconds a *quarter* note, rounded once, whatever the felt beat is.

Source of MARKS: the traditional (Maelzel) metronome scale, 40 to 208 by 2, 3, 4, 6 and 8, as printed in
two posts to the horn list (mail-archive, 29183 and 29184, 2009) and on a metronome circuit page (next.gr).
"""

import re

from tracks.theory.errors import RequestError
from tracks.theory.meter import QUARTER, Meter
from tracks.theory.note_names import AMERICAN_VALUES

MARKS: tuple[int, ...] = (
    *range(40, 60, 2),
    *range(60, 72, 3),
    *range(72, 120, 4),
    *range(120, 144, 6),
    *range(144, 209, 8),
)
SLOWEST, FASTEST = 20, 300

_AMERICAN = {"whole": 4, "half": 2, "quarter": 1, "eighth": 0.5, "sixteenth": 0.25}
_NOTE_VALUES = _AMERICAN | {
    british: _AMERICAN[american] for british, american in AMERICAN_VALUES.items() if american in _AMERICAN
}
_TEMPO = re.compile(
    rf"(?:(dotted[- ])?({'|'.join(_NOTE_VALUES)})\s*=\s*)?(-?\d{{1,9}}(?:\.\d{{1,9}})?)\s*(?:bpm)?"
)
_LADDER = re.compile(r"(\d{1,9})\s*(?:-|\N{EN DASH}|to|\.\.)\s*(\d{1,9})(?:\s*bpm)?")


def check_bpm(bpm: int) -> int:
    """Return a tempo in felt beats a minute, or raise RequestError where it lies outside 20 to 300."""
    if not SLOWEST <= bpm <= FASTEST:
        raise RequestError(f"tempo {bpm} is outside {SLOWEST} to {FASTEST} beats a minute")
    return bpm


def parse_bpm(text: str, meter: Meter) -> int:
    """Return the felt beats a minute of `72`, `72 bpm` or a note value, `half=60`, `dotted-crotchet=63`.

    Raises RequestError for another text, for a tempo outside 20 to 300 and for one that is no whole number
    of felt beats in this meter.
    """
    match = _TEMPO.fullmatch(text.strip().lower())
    if not match and (ends := _LADDER.fullmatch(text.strip())):
        raise RequestError(f"{text!r} is no tempo", f"for a ladder write from = {ends[1]}, to = {ends[2]}")
    if (
        not match
        and len(several := re.findall(r"[^\s,;]+", text)) > 1
        and all(map(_TEMPO.fullmatch, several))
    ):
        tempos = ", ".join(each if each.isdecimal() else f'"{each}"' for each in several)
        raise RequestError(f"{text!r} is several tempos", f"write tempos = [{tempos}]")
    if not match:
        raise RequestError(
            f"{text!r} is no tempo", "write felt beats a minute like 72, or half=60, dotted-quarter=60"
        )
    bpm = float(match[3])
    if match[2]:
        ticks = _NOTE_VALUES[match[2]] * QUARTER * (1.5 if match[1] else 1)
        bpm = bpm * ticks / meter.beat
    if bpm != int(bpm):
        raise RequestError(
            f"tempo {text} is {bpm:.2f} felt beats a minute in {meter}", "choose a whole number"
        )
    return check_bpm(int(bpm))


def micros_per_quarter(bpm: float, meter: Meter) -> int:
    """Return the MIDI tempo of felt beats a minute: microseconds a quarter note, rounded half up."""
    numerator, denominator = 60_000_000 * QUARTER, bpm * meter.beat
    return int((2 * numerator + denominator) // (2 * denominator))


def seconds(length: int, bpm: int, meter: Meter) -> float:
    """Return how many seconds a length in ticks lasts at felt beats a minute."""
    return length * 60 / (bpm * meter.beat)
