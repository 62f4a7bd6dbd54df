"""The judgment of a take: what was right, how steady it was, and whether the student is ready.

Conventions
- Milliseconds in `_ms`, seconds in `_s`; tempos are felt beats a minute. Late is positive, early negative.
- Lateness is against the take's own steady beat (`tracks.takes.timing`), so that a constant latency and the
  choice of tempo are in it nowhere. `latency_ms` is the constant distance from a click, None without one.
- What is played in a ritardando counts by its notes alone: how far to slow down is taste.
- Of several tries the best counts: the fewest wrong notes, then restarts, then hesitation, then the last.
- A *change* is one chord to the next; it costs the time by which the second comes late, and its notes.

Measures: `validate` first, then one function a measure, `evaluate` last.
"""

from collections.abc import Callable, Sequence
from itertools import pairwise
from statistics import median, pstdev

from tracks.lessons.tolerances import USUAL, Tolerances
from tracks.takes.expected import LEFT, RIGHT, Asked
from tracks.takes.hear import Try, hear
from tracks.takes.report import Change, ChordReport, Report
from tracks.takes.take import Take
from tracks.takes.timing import Point, Timing, against_click, click_beats, timing
from tracks.theory.errors import RequestError

_MOST_COSTLY = 3
_NOTE_MS = 250.0
"""What a wrong or missing note adds to the cost of a change, to order them (our judgment)."""


def evaluate(
    take: Take,
    asked: Asked,
    tolerances: Tolerances = USUAL,
    click: Callable[[float], float] | None = None,
) -> Report:
    """Return the report of a take against what was asked.

    `click` tells the beat of a moment where the take was played to a click that does not stand in it. Raises
    RequestError where the take cannot be aligned, or nothing in it is what was asked.
    """
    validate(take, asked)
    tries = hear(take, asked)
    if not tries:
        raise RequestError(
            "nothing in the take is what was asked", "name the drill and the key that it is of"
        )
    timed = [(each, *_timed(each, asked)) for each in tries]
    which = min(range(len(tries)), key=lambda place: (*_rank(timed[place][0], timed[place][2]), -place))
    best, places, found = timed[which]
    offsets = _against_click(take, asked, best, places, found, click)
    chords = _chords(asked, best, places, found, offsets)
    return Report(
        take,
        asked,
        tolerances,
        chords,
        best,
        len(tries),
        which + 1,
        found,
        _ms(median(offsets)) if offsets else None,
        loudness_spread(best),
        costly(chords, found, tolerances),
    )


def validate(take: Take, asked: Asked) -> None:
    """Raise RequestError where there is nothing to compare."""
    if not take.notes:
        raise RequestError("the take holds no notes", "record it again")
    if not asked.groups:
        raise RequestError("the drill asks nothing of the hands", "choose another style or mix")


def loudness_spread(best: Try) -> float:
    """Return the standard deviation of how loud the groups were, in velocities, 0 to 64."""
    groups = [[note.velocity for note in each.right.values()] for each in best.heard if each.right]
    return pstdev(sum(group) / len(group) for group in groups) if len(groups) > 1 else 0.0


def costly(chords: Sequence[ChordReport], found: Timing | None, tolerances: Tolerances) -> tuple[Change, ...]:
    """Return the changes that cost most, the dearest first: late by more than is on time, or with faults."""
    met: dict[tuple[str, str], list[Change]] = {}
    for before, after in pairwise(chords):
        names = before.asked.name, after.asked.name
        if found is None or names[0] == names[1] or after.skipped or "N.C." in names or not after.heard:
            continue
        change = _change(*names, after)
        met.setdefault(names, []).append(change)
    changes = []
    for (name, following), times in met.items():
        worst = max(times, key=lambda each: each.late_ms + _NOTE_MS * each.notes)
        late = sum(each.late_ms for each in times) / len(times)
        notes = sum(each.notes for each in times)
        if late > tolerances.on_time_ms or worst.late_ms > 2 * tolerances.on_time_ms or notes:
            changes.append(Change(name, following, worst.hand, round(max(late, 0.0), 1), notes))
    changes.sort(key=lambda each: -(each.late_ms + _NOTE_MS * each.notes))
    return tuple(changes[:_MOST_COSTLY])


def _change(before: str, after: str, chord: ChordReport) -> Change:
    """Return what a change cost the hand that it cost more."""
    first = chord.heard[0]
    together = first.onset_s
    base = (chord.late_ms or 0.0) + chord.hesitation_s * 1000
    costs = []
    for hand in (RIGHT, LEFT):
        if not any(note.hand == hand for note in first.group.notes):
            continue
        own = first.onset_of(hand)
        late = base + ((own - together) * 1000 if own is not None and together is not None else 0.0)
        notes = sum(note.hand == hand for each in chord.heard for note in each.missing)
        costs.append(Change(before, after, hand, late, notes))
    return max(costs, key=lambda each: each.late_ms + _NOTE_MS * each.notes)


def _rank(each: Try, found: Timing | None) -> tuple[float, ...]:
    return each.faults, len(each.restarts), max((*found.shifts_s, 0.0) if found else (0.0,))


def _timed(each: Try, asked: Asked) -> tuple[list[int], Timing | None]:
    """Return the places of the groups that were played in time, and the beat that they make."""
    places = [
        place
        for place, heard in enumerate(each.heard)
        if heard.onset_s is not None and heard.group.beat <= asked.steady_to
    ]
    return places, timing(_points(each, places)) if len(places) > 1 else None


def _points(each: Try, places: Sequence[int]) -> list[Point]:
    return [
        Point(each.heard[place].group.beat, each.heard[place].onset_s or 0.0, each.heard[place].stretch)
        for place in places
    ]


def _against_click(
    take: Take,
    asked: Asked,
    best: Try,
    places: Sequence[int],
    found: Timing | None,
    click: Callable[[float], float] | None,
) -> tuple[float, ...]:
    if found is None:
        return ()
    beat_of = click or click_beats(take.clicks, found.beat_s)
    return against_click(_points(best, places), found, beat_of, asked.pickup) if beat_of else ()


def _chords(
    asked: Asked, best: Try, places: Sequence[int], found: Timing | None, offsets: Sequence[float]
) -> tuple[ChordReport, ...]:
    at = {place: number for number, place in enumerate(places)}
    by_chord: dict[int, list[int]] = {}
    for place, group in enumerate(asked.groups):
        by_chord.setdefault(group.chord, []).append(place)
    reports = []
    for number, chord in enumerate(asked.chords):
        own = by_chord.get(number, [])
        timed = [at[place] for place in own if place in at]
        spreads = [spread for place in own if (spread := best.heard[place].spread_s) is not None]
        late = median(found.late_s[each] for each in timed) if found and timed else None
        shifts = [found.shifts_s[each] for each in timed] if found else []
        reports.append(
            ChordReport(
                chord,
                tuple(best.heard[place] for place in own),
                None if late is None else _ms(late),
                _ms(max(spreads)) if spreads else None,
                round(max((*shifts, 0.0)), 3),
                _ms(median(offsets[each] for each in timed)) if offsets and timed else None,
            )
        )
    return tuple(reports)


def _ms(seconds: float) -> float:
    """Return milliseconds to a tenth, and nothing as a plain 0."""
    return round(seconds * 1000, 1) + 0.0
