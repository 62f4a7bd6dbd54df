"""Where in a drill groups stand that some played notes may be for.

Conventions
- A *kind* is all groups of the same keys; kinds are numbered, and so are the places where they stand.
- A *run* is a few groups in a row, by their pitch classes, whatever the octave and the inversion.
"""

from collections.abc import Iterable, Sequence

from tracks.takes.clusters import NOTE, Notes, cost, keys_of

MOST_AHEAD = 3
"""How many groups come after the first of a run, at most."""


class Costs(dict[int, int]):
    """What some played notes cost for each kind of group; worked out when it is first asked for."""

    def __init__(self, heard: Notes, kinds: Sequence[Notes]) -> None:
        super().__init__()
        self._heard, self._kinds = heard, kinds

    def __missing__(self, kind: int) -> int:
        found = self[kind] = cost(self._heard, self._kinds[kind])
        return found


class Places:
    """The kinds of some groups, and where each kind and each run stands. `kind_of` is each group's kind.

    `looked_at` counts the kinds that were held against what was heard.
    """

    def __init__(self, groups: Sequence[Notes]) -> None:
        self._kinds = list(dict.fromkeys(groups))
        numbers = {kind: number for number, kind in enumerate(self._kinds)}
        self.kind_of = [numbers[group] for group in groups]
        self._places: list[list[int]] = [[] for _ in self._kinds]
        for place, number in enumerate(self.kind_of):
            self._places[number].append(place)
        self._alike: dict[int, list[int]] = {}
        for number, kind in enumerate(self._kinds):
            for classes in _less_a_note(kind.classes):
                self._alike.setdefault(classes, []).append(number)
        self._runs: dict[tuple[int, ...], list[int]] = {}
        every = [group.classes for group in groups]
        for size in range(2, MOST_AHEAD + 2):
            for place in range(len(every) - size + 1):
                self._runs.setdefault(tuple(every[place : place + size]), []).append(place)
        self._costs: dict[Notes, Costs] = {}
        self.looked_at = 0

    def costs_of(self, heard: Notes) -> Costs:
        """Return what some notes cost for each kind."""
        found = self._costs.get(heard)
        if found is None:
            found = self._costs[heard] = Costs(heard, self._kinds)
        return found

    def of_run(self, heard: Iterable[Notes]) -> Sequence[int]:
        """Return where a run of two groups or more begins that is played as heard, but for the octave."""
        return self._runs.get(tuple(notes.classes for notes in heard), ())

    def below(self, heard: Notes, limit: float) -> list[Sequence[int]]:
        """Return the places of each kind that some notes cost less for than a limit."""
        costs, likely = self.costs_of(heard), self._likely(heard, limit)
        self.looked_at += len(likely)
        return [self._places[kind] for kind in likely if costs[kind] < limit]

    def _likely(self, heard: Notes, limit: float) -> Sequence[int]:
        """Return all kinds that cost less than a limit, and others."""
        if limit > 2 * NOTE:
            return range(len(self._kinds))
        found = {kind for classes in _less_a_note(heard.classes) for kind in self._alike.get(classes, ())}
        return sorted(found)


def _less_a_note(classes: int) -> Iterable[int]:
    """Yield some pitch classes, and what they are without each one of them."""
    yield classes
    for one in keys_of(classes):
        yield classes ^ (1 << one)
