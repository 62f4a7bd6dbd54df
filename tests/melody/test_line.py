"""The search that joins notes into a line."""

from collections.abc import Iterator, Sequence
from random import Random

from tunes import brief

from tracks.melody.line import Liked, sing
from tracks.melody.rhythm import Slot, slots
from tracks.melody.rules import Choice
from tracks.theory.pitch import Pitch

PITCHES = tuple(map(Pitch.parse, ("C4", "D4", "E4")))


def places(count: int) -> tuple[Slot, ...]:
    return slots(brief("I IV V7 I I IV V7 I"), Random(1))[:count]


def any_of(line: Sequence[Choice], place: int) -> Iterator[Liked]:
    return ((Choice(pitch, pitch.midi), 1.0) for pitch in PITCHES)


def test_line_goes_back_where_it_is_stuck() -> None:
    # Only a line of D D D E may end, which a first guess seldom finds.
    wanted = [62, 62, 62, 64]

    def allowed(line: Sequence[Choice], choice: Choice, place: int) -> bool:
        return place < 3 or [*(each.midi for each in line), choice.midi] == wanted

    for seed in range(20):
        assert [each.midi for each in sing(places(4), any_of, allowed, Random(seed))] == wanted


def test_what_is_liked_more_comes_first_more_often() -> None:
    def liked(line: Sequence[Choice], place: int) -> Iterator[Liked]:
        return ((Choice(pitch, pitch.midi), weight) for pitch, weight in zip(PITCHES, (1, 1, 8), strict=True))

    firsts = [sing(places(1), liked, lambda *_: True, Random(seed))[0].midi for seed in range(300)]

    assert 200 < firsts.count(64) < 270


def test_a_promise_is_kept() -> None:
    c, d, e = (Choice(pitch, pitch.midi) for pitch in PITCHES)
    promising = Choice(c.pitch, c.midi, then=(d, e))

    def liked(line: Sequence[Choice], place: int) -> Iterator[Liked]:
        return iter([(promising, 1.0)])

    line = sing(places(4), liked, lambda *_: True, Random(1))

    assert [each.midi for each in line] == [60, 62, 64, 60]


def test_where_no_line_is_allowed_the_nearest_note_is_taken() -> None:
    line = sing(places(3), any_of, lambda *_: False, Random(1))

    assert [each.midi for each in line] == [60, 60, 60]
