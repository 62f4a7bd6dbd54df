"""The search that joins notes into a line: the most liked first, going back where the line is stuck.

Conventions
- A weight is a weight; with chance handed in, a note is tried first about as often as it is liked.
- Where no line keeps every rule, the nearest note that is offered is taken, and not gone back on.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, TypeAlias

from tracks.melody.rhythm import Slot
from tracks.melody.rules import Choice

if TYPE_CHECKING:
    from random import Random

Liked: TypeAlias = tuple[Choice, float]
Weights: TypeAlias = Callable[[Sequence[Choice], int], Iterable[Liked]]
Allowed: TypeAlias = Callable[[Sequence[Choice], Choice, int], bool]

_MOST_TRIES_PER_NOTE = 60


def sing(slots: Sequence[Slot], weights: Weights, allowed: Allowed, rng: "Random") -> list[Choice]:
    """Return a choice for every slot, each allowed after those before it."""
    line: list[Choice] = []
    waiting: list[list[Choice]] = []
    forced, tries = 0, _MOST_TRIES_PER_NOTE * len(slots)
    while len(line) < len(slots):
        place = len(line)
        if place == len(waiting):
            waiting.append(_in_turn(_offered(line, place, weights), rng))
        choice = _next(waiting[place], line, place, allowed)
        tries -= 1
        if choice:
            line.append(choice)
        elif place == forced or tries <= 0:
            line.append(_least_bad(line, place, weights))
            forced, tries = len(line), _MOST_TRIES_PER_NOTE * len(slots)
        else:
            waiting.pop()
            line.pop()
    return line


def _offered(line: Sequence[Choice], place: int, weights: Weights) -> Iterable[Liked]:
    """Return what may come next: what the note before has promised, else whatever is liked."""
    if line and line[-1].then:
        first, *others = line[-1].then
        return [(replace(first, then=tuple(others)), 1.0)]
    return weights(line, place)


def _in_turn(liked: Iterable[Liked], rng: "Random") -> list[Choice]:
    """Return the choices, the one to try first last, drawn without replacement by their weights."""
    drawn = [(rng.random() ** (1 / weight), number, choice) for number, (choice, weight) in enumerate(liked)]
    return [choice for _, _, choice in sorted(drawn, key=lambda draw: draw[:2])]


def _next(waiting: list[Choice], line: Sequence[Choice], place: int, allowed: Allowed) -> Choice | None:
    while waiting:
        choice = waiting.pop()
        if allowed(line, choice, place):
            return choice
    return None


def _least_bad(line: Sequence[Choice], place: int, weights: Weights) -> Choice:
    """Return the nearest of the choices that promise nothing: no rule can be kept there."""
    offers = [choice for choice, _ in weights(line, place) if not choice.then]
    before = line[-1].midi if line else offers[0].midi
    return min(offers, key=lambda choice: abs(choice.midi - before))
