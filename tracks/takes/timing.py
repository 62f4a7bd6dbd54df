"""The take's own beat: its tempo, how that drifts, where it halts, and how far each group lies from it.

Conventions
- Positions are felt beats, times seconds. `late_s` is positive where a group comes after the take's beat.
- The beat is the line t = a + P b with the least differences, squared where they are usual and absolute where
  they are more, so that a few notes far off do not bend it. Where a curve, + Q b^2, leaves less of the
  differences than chance would let it, it is that curve: the tempo drifts. That is asked for from six groups
  on.
- A *hesitation* is a shift of the beat by more than a quarter of it that stays: after it the beat goes on
  from there. A group that comes late once, and after which all is as before, is only late. A shift the other
  way is a *rush*.
- `drift_percent` is how much faster the curve's tempo is at the end than at the start.
- Latency, a constant distance from the click, is the median of the distances; what is left is unsteadiness.

Source of the fit: P. J. Huber, "Robust estimation of a location parameter", Annals of Mathematical Statistics
35(1), 1964; his bound of 1.345 standard deviations loses 5 % where all is chance (from memory).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median, pstdev

HALT_BEATS = 0.25
"""A shift of the beat below this is unsteadiness, not a hesitation (our judgment)."""
_FEWEST_FOR_DRIFT = 6
_ROUNDS = 25
_STILL = 1e-5
"""A share of the tempo that is not worth another round."""
_FINEST_S = 0.002
_USUAL = 1.345 * 1.4826
"""How many times the median difference counts as usual."""
_MOST_UNLIKE_CLICK = 0.08
"""How far the tempos of take and click may differ: mir_eval 0.8.2's tolerance in tempo.detection."""
_BY_CHANCE = 4
"""A curve takes about one point's share off a line's differences by chance; four times that is a drift."""


@dataclass(frozen=True, slots=True)
class Point:
    """When a group was played: its beat, its time in seconds, and the number of its pass."""

    beat: float
    time_s: float
    stretch: int = 0


@dataclass(frozen=True, slots=True)
class Timing:
    """The beat of a take. Of each point: how late it is, and the shift of the beat just before it.

    Shifts are positive for hesitations, negative for rushes, 0 for most. `unsteady_s` is the standard
    deviation of the lateness.
    """

    bpm: float
    drift_percent: float
    late_s: tuple[float, ...]
    shifts_s: tuple[float, ...]
    unsteady_s: float

    @property
    def beat_s(self) -> float:
        """The length of a felt beat in seconds."""
        return 60 / self.bpm


def validate(points: Sequence[Point]) -> None:
    """Raise ValueError unless there are two points or more, in order of beat within a pass."""
    if len(points) < 2:
        raise ValueError("a beat needs two points at least")
    if any(later.stretch == first.stretch and later.beat <= first.beat for first, later in pairwise(points)):
        raise ValueError("points must come in order of beat")


def timing(points: Sequence[Point]) -> Timing | None:
    """Return the beat of a take; None where its points tell of none."""
    validate(points)
    rates = _rates(points)
    if not rates or (usual := median(rates)) <= 0:
        return None
    sections = _sections(points, usual)
    (slope, bend, offsets), curve = _fit(points, sections, usual)
    first, last = points[0].beat, max(point.beat for point in points)
    first = min(first, *(point.beat for point in points))
    pace = slope + bend * (first + last)
    starts, ends = curve[0] + 2 * curve[1] * first, curve[0] + 2 * curve[1] * last
    if min(pace, starts, ends) <= 0:
        return None
    late = [
        point.time_s - offsets[section] - slope * point.beat - bend * point.beat**2
        for point, section in zip(points, sections, strict=True)
    ]
    shifts = [0.0] + [
        offsets[here] - offsets[before] if here != before and one.stretch == other.stretch else 0.0
        for (before, here), (one, other) in zip(pairwise(sections), pairwise(points), strict=True)
    ]
    return Timing(60 / pace, (starts / ends - 1) * 100, tuple(late), tuple(shifts), pstdev(late))


def _rates(points: Sequence[Point]) -> list[float]:
    """Return the seconds a beat between points a beat apart or more."""
    rates, ahead = [], 0
    for place, point in enumerate(points):
        ahead = max(ahead, place + 1)
        while ahead < len(points) - 1 and points[ahead].beat - point.beat < 1:
            ahead += 1
        other = points[min(ahead, len(points) - 1)]
        if other.stretch == point.stretch and other.beat > point.beat:
            rates.append((other.time_s - point.time_s) / (other.beat - point.beat))
    return rates


def _sections(points: Sequence[Point], usual: float) -> list[int]:
    """Return the section of each point; a new one begins with a pass and after a shift that stays."""
    gaps = [later.beat - before.beat for before, later in pairwise(points)]
    off = [
        later.time_s - before.time_s - gap * _pace_near(points, place, usual)
        for place, ((before, later), gap) in enumerate(zip(pairwise(points), gaps, strict=True))
    ]
    sections = [0]
    for place, (before, later) in enumerate(pairwise(points)):
        shift = off[place]
        after = off[place + 1] if place + 1 < len(off) else 0.0
        same_pass = later.stretch == before.stretch
        stays = abs(shift) > HALT_BEATS * usual and (shift + after) / shift > 0.5
        sections.append(sections[-1] + (not same_pass or stays))
    return sections


def _pace_near(points: Sequence[Point], place: int, usual: float) -> float:
    """Return the seconds a beat around a gap, without the gap itself; the usual where too little tells."""
    near = [
        (later.time_s - before.time_s) / (later.beat - before.beat)
        for at in range(max(place - 4, 0), min(place + 5, len(points) - 1))
        if at != place
        for before, later in [(points[at], points[at + 1])]
        if later.stretch == before.stretch
    ]
    found = median(near) if len(near) >= 4 else usual
    return found if abs(found / usual - 1) < 0.2 else usual


_Fit = tuple[float, float, dict[int, float]]


def _fit(points: Sequence[Point], sections: Sequence[int], usual: float) -> tuple[_Fit, _Fit]:
    """Return slope, bend and each section's offset of the beat, and those of the curve of its drift."""
    line, off = _fitted(points, sections, usual, drift=False)
    if len(points) - sections[-1] < _FEWEST_FOR_DRIFT:
        return line, line
    curve, off_curve = _fitted(points, sections, usual, drift=True)
    curved = off_curve < (1 - _BY_CHANCE / len(points)) * off
    return (curve if curved else line), curve


def _fitted(
    points: Sequence[Point], sections: Sequence[int], usual: float, drift: bool
) -> tuple[_Fit, float]:
    """Return a fit and the sum of the absolute differences that it leaves."""
    middle = sum(point.beat for point in points) / len(points)
    slope, bend, offsets = usual, 0.0, [0.0] * (sections[-1] + 1)
    weights, left = [1.0] * len(points), [0.0]
    for _ in range(_ROUNDS):
        before = slope
        slope, bend = _solve(points, sections, weights, middle, drift) or (usual, 0.0)
        offsets = _offsets(points, sections, weights, middle, slope, bend)
        left = []
        for point, section in zip(points, sections, strict=True):
            away = point.beat - middle
            left.append(abs(point.time_s - offsets[section] - slope * away - bend * away * away))
        if abs(slope - before) < _STILL * usual:
            break
        bound = max(_USUAL * median(left), _FINEST_S)
        weights = [1 / max(each, bound) for each in left]
    # From beats around the middle back to beats from 0.
    base = bend * middle * middle - slope * middle
    fit = slope - 2 * bend * middle, bend, {place: each + base for place, each in enumerate(offsets)}
    return fit, sum(left)


def _offsets(
    points: Sequence[Point],
    sections: Sequence[int],
    weights: Sequence[float],
    middle: float,
    slope: float,
    bend: float,
) -> list[float]:
    total, mass = [0.0] * (sections[-1] + 1), [0.0] * (sections[-1] + 1)
    for point, section, weight in zip(points, sections, weights, strict=True):
        away = point.beat - middle
        total[section] += weight * (point.time_s - slope * away - bend * away * away)
        mass[section] += weight
    return [each / held for each, held in zip(total, mass, strict=True)]


def _solve(
    points: Sequence[Point], sections: Sequence[int], weights: Sequence[float], middle: float, drift: bool
) -> tuple[float, float] | None:
    """Return the weighted least squares' slope and bend within sections; None where they tell nothing."""
    count = sections[-1] + 1
    sums = [[0.0] * 4 for _ in range(count)]
    for point, section, weight in zip(points, sections, weights, strict=True):
        away = point.beat - middle
        for place, value in enumerate((1.0, away, away * away, point.time_s)):
            sums[section][place] += weight * value
    xx = xy = yy = xt = yt = 0.0
    for point, section, weight in zip(points, sections, weights, strict=True):
        mass, mean_x, mean_y, mean_t = sums[section]
        away = point.beat - middle
        x, y, t = away - mean_x / mass, away * away - mean_y / mass, point.time_s - mean_t / mass
        xx += weight * x * x
        xy += weight * x * y
        yy += weight * y * y
        xt += weight * x * t
        yt += weight * y * t
    if xx <= 0:
        return None
    area = xx * yy - xy * xy
    if not drift or area <= 1e-9 * xx * yy:
        return xt / xx, 0.0
    return (xt * yy - yt * xy) / area, (yt * xx - xt * xy) / area


def click_beats(clicks: Sequence[float], beat_s: float) -> Callable[[float], float] | None:
    """Return what tells the beat of a moment by the click, counted from its first stroke.

    None where there are fewer than four strokes, or the take was played at another tempo. The click may come
    on every beat, on some or between them, and may leave strokes out.
    """
    strokes = [
        stroke for place, stroke in enumerate(clicks) if not place or stroke - clicks[place - 1] > 0.02
    ]
    gaps = [later - before for before, later in pairwise(strokes)]
    if len(gaps) < 3:
        return None
    usual = median(gaps)
    per_beat = usual / beat_s
    beats = round(per_beat) if per_beat >= 0.75 else 1 / max(round(1 / per_beat), 1)
    if abs(per_beat / beats - 1) > _MOST_UNLIKE_CLICK:
        return None
    known = [(strokes[0], 0.0)]
    for gap in gaps:
        known.append((known[-1][0] + gap, known[-1][1] + max(round(gap / usual), 1) * beats))
    return lambda moment: _between(known, moment)


def _between(known: Sequence[tuple[float, float]], moment: float) -> float:
    from bisect import bisect_right

    place = max(1, min(bisect_right(known, (moment, 0.0)), len(known) - 1))
    (start_s, before), (end_s, after) = known[place - 1], known[place]
    return before + (after - before) * (moment - start_s) / (end_s - start_s)


def against_click(
    points: Sequence[Point], found: Timing, beat_of: Callable[[float], float], pickup: float = 0.0
) -> tuple[float, ...]:
    """Return how many seconds each point comes after the click's own beat, latency still in it.

    `pickup` is the beats before the first downbeat, on which the click falls.
    """
    ahead = [beat_of(point.time_s) - (point.beat - pickup) for point in points]
    sections: dict[tuple[int, int], list[float]] = {}
    numbers, number = [], 0
    for place, point in enumerate(points):
        number += place > 0 and found.shifts_s[place] != 0
        numbers.append((point.stretch, number))
        sections.setdefault(numbers[-1], []).append(ahead[place])
    base = {section: round(median(values)) for section, values in sections.items()}
    return tuple((each - base[section]) * found.beat_s for each, section in zip(ahead, numbers, strict=True))
