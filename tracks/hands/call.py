"""The short call of what moves, as a teacher says it in time: `top two up`, `bottom up, top two down`.

Conventions
- Voices that go the same way are called together, the lowest first; how far they go is not said. Voices not
  named hold.
- Where the voicings differ in size, a note that divides `splits` and notes that come together `meet`; the
  voices are those of the voicing before.
- A changed finger between the outer ones is called with its hand: `right hand: 2`.

Source: convention.
"""

from collections.abc import Sequence
from functools import lru_cache

from tracks.hands.motion import groups
from tracks.theory.pitch import Pitch

_HOLD = "hold"
_NAMES: dict[int, dict[tuple[int, ...], str]] = {
    1: {},
    2: {(0,): "bottom", (1,): "top"},
    3: {
        (0,): "bottom",
        (1,): "middle",
        (2,): "top",
        (0, 1): "bottom two",
        (1, 2): "top two",
        (0, 2): "outside",
    },
    4: {
        (0,): "bottom",
        (1,): "lower middle",
        (2,): "upper middle",
        (3,): "top",
        (0, 1): "bottom two",
        (1, 2): "middle two",
        (2, 3): "top two",
        (0, 3): "outside",
        (0, 1, 2): "bottom three",
        (1, 2, 3): "top three",
        (0, 2): "bottom and upper middle",
        (1, 3): "lower middle and top",
        (0, 1, 3): "bottom two and top",
        (0, 2, 3): "bottom and top two",
    },
}


def call(before: Sequence[Pitch], after: Sequence[Pitch]) -> str:
    """Return the call for going from one voicing to the next, of up to four notes each, low to high."""
    lowest = before[0].midi
    return _call(
        tuple([pitch.midi - lowest for pitch in before]), tuple([pitch.midi - lowest for pitch in after])
    )


@lru_cache(maxsize=4096)
def _call(before: tuple[int, ...], after: tuple[int, ...]) -> str:
    """Return the call between two voicings in semitones above any key, for all keys share it."""
    together: dict[str, list[int]] = {}
    for olds, news in groups(before, after):
        together.setdefault(_word(before, after, olds, news), []).extend(olds)
    moving = {word: places for word, places in together.items() if word != _HOLD}
    if not moving:
        return f"all {_HOLD}"
    names = _NAMES[len(before)]
    return ", ".join(f"{names.get(tuple(places), 'all')} {word}" for word, places in moving.items())


def _word(before: Sequence[int], after: Sequence[int], olds: list[int], news: list[int]) -> str:
    if len(olds) > 1:
        return "meet"
    if len(news) > 1:
        return "splits"
    move = after[news[0]] - before[olds[0]]
    return "up" if move > 0 else "down" if move < 0 else _HOLD


def finger_call(hand: str, before: Sequence[int], after: Sequence[int]) -> str:
    """Return the call for a hand's fingers between the outer ones, where they change: `right hand: 2`."""
    inner = after[1:-1]
    if not inner or inner == before[1:-1]:
        return ""
    return f"{hand} hand: {' '.join(map(str, inner))}"
