"""Figures: rhythms written as a line of cells.

A figure is written one cell after another, with spaces between; `|` may stand anywhere for the eye:

    figure("B A A")                        a waltz: bass on 1, chord on 2 and 3, a cell a beat
    figure("1 3 2 3", per_beat=2)          Alberti: low, high, middle, high in eighth notes
    figure("A - - A - - - -", per_beat=2)  a chord on 1 and on the "and" of 2

Cells
- `A` all the hand's notes; `U` all but the lowest; `T` the top; `1` to `5` counted from the lowest (a hand
  with fewer gives its top note); `8` the lowest an octave higher. A bass player's hand is the chord's tones
  upwards from its bass.
- `B` the bass, which is the hand's lowest note; `F` the bass that alternates with it: the chord's fifth, or
  its root where the bass is another tone; `P` the step that leads to the coming chord's bass, `F` where the
  chord goes on.
- What a left hand reaches down for, whatever it was given: `L` the low bass, `M` its alternate, `V` the fifth
  above it, `H` its octave, `O` bass and octave together, and for a boogie `D` the third, `S` the sixth and
  `N` the flat seventh above it. A bass player has them in its own register (`tracks.patterns.registers`).
- `K` the chord between: the diminished seventh chord on the half step below the coming chord, each of its
  notes just under one of that chord's; where the chord goes on, the chord again.
- `x` a stroke of a drum; a drum's figure has no other.
- `-` holds what sounds, `.` is a rest. After a cell's letter `>` accents it and `+` has it *anticipate*: it
  strikes the chord that sounds where it ends, tied into that chord. `(x)` is a ghost note.

How figures meet chords: `tracks.patterns.laying`.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

from tracks.theory.errors import RequestError
from tracks.theory.meter import Meter

EVERYDAY_METERS: tuple[Meter, ...] = (
    *(Meter(beats, 4) for beats in (4, 3, 2, 5, 6, 7)),
    *(Meter(beats, 8) for beats in (6, 9, 12, 3, 4, 5, 7, 8)),
    *(Meter(beats, 2) for beats in (2, 3, 4)),
    *(Meter(beats, 16) for beats in (6, 9, 12)),
)
"""The meters of a style that any bar suits."""

HAND_CELLS = {"A": slice(None), "U": slice(1, None), "T": slice(-1, None), "B": slice(1)}
REACHED = "LMVHODSN"
_SHORTEST_BEAT = Meter(1, 16).beat
_CELLS = frozenset((*HAND_CELLS, *"123458", *REACHED, "F", "P", "K", "x"))


@dataclass(frozen=True, slots=True)
class Stroke:
    """One stroke of a figure: its first cell, how many cells it lasts, what it strikes and how.

    `coming` strikes the chord that sounds where the stroke ends.
    """

    cell: int
    cells: int
    strikes: str
    accented: bool = False
    ghost: bool = False
    coming: bool = False


@dataclass(frozen=True, slots=True)
class Figure:
    """A rhythm: `cells` in all, `per_beat` of them to a felt beat; `anew` starts it again at every chord.

    A chord that ends before such a figure does has the `shorter` one, where there is one.
    """

    strokes: tuple[Stroke, ...]
    cells: int
    per_beat: int = 1
    anew: bool = False
    shorter: "Figure | None" = None

    def length(self, meter: Meter) -> int:
        """Return how long it lasts once through, in ticks."""
        return meter.beat // self.per_beat * self.cells


@lru_cache(maxsize=1024)
def figure(text: str, per_beat: int = 1, anew: bool = False, shorter: Figure | None = None) -> Figure:
    """Return the figure of a line of cells (see the module).

    Raises RequestError for a cell that means nothing.
    """
    cells = [cell for cell in text.split() if cell != "|"]
    strokes: list[Stroke] = []
    for place, cell in enumerate(cells):
        strikes = cell.strip("()").rstrip(">+")
        if cell == "-" and strokes and strokes[-1].cell + strokes[-1].cells == place:
            strokes[-1] = replace(strokes[-1], cells=strokes[-1].cells + 1)
        elif strikes in _CELLS:
            strokes.append(Stroke(place, 1, strikes, ">" in cell, cell[0] == "(", "+" in cell))
        elif cell != ".":
            raise RequestError(f"figure {text!r}: cell {place + 1}, {cell!r}, means nothing there")
    if not strokes:
        raise RequestError(f"figure {text!r}: it strikes nothing")
    if per_beat < 1 or _SHORTEST_BEAT % per_beat:
        raise RequestError(f"figure {text!r}: {per_beat} cells do not divide a beat evenly")
    return Figure(tuple(strokes), len(cells), per_beat, anew, shorter)


def held(meter: Meter, strikes: str = "A") -> Figure:
    """Return the figure that strikes at each bar line, and at each chord, and holds."""
    return figure(strikes + " -" * (meter.beats - 1))
