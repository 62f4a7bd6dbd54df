"""One shape for all keys: which one is taken, and who keeps a shape of its own."""

from dataclasses import dataclass

from tracks.hands.one_shape import alike, one_shape
from tracks.progression.changes import realize
from tracks.progression.music import parse
from tracks.theory.key import Key
from tracks.theory.meter import Meter


@dataclass(frozen=True)
class Way:
    shape: str
    cost: int


def taken(best: list[Way], room: list[dict[str, int]]) -> list[str]:
    """The shapes taken, where each key has room for some shapes at a cost."""

    def fit_in(costs: dict[str, int]):  # type: ignore[no-untyped-def]
        return lambda way: Way(way.shape, costs[way.shape]) if way.shape in costs else None

    return [way.shape for way in one_shape(best, [fit_in(costs) for costs in room])]


def test_one_shape_of_all_is_kept_without_asking() -> None:
    assert taken([Way("a", 3), Way("a", 3)], [{}, {}]) == ["a", "a"]


def test_shape_that_most_keys_have_room_for_is_taken() -> None:
    best = [Way("a", 3), Way("b", 1), Way("a", 3)]
    assert taken(best, [{"a": 3, "b": 9}, {"a": 9, "b": 1}, {"a": 3}]) == ["a", "a", "a"]


def test_of_shapes_that_fit_alike_the_cheapest_in_all_keys_is_taken() -> None:
    assert taken([Way("a", 3), Way("b", 1)], [{"a": 3, "b": 4}, {"a": 5, "b": 1}]) == ["b", "b"]


def test_of_equal_shapes_the_first_keys_is_taken() -> None:
    assert taken([Way("a", 1), Way("b", 1)], [{"a": 1, "b": 1}] * 2) == ["a", "a"]


def test_key_without_room_keeps_its_own_best() -> None:
    best = [Way("a", 1), Way("b", 1), Way("a", 1)]
    assert taken(best, [{"a": 1}, {"b": 1}, {"a": 1}]) == ["a", "b", "a"]


def test_keys_are_alike_that_play_the_same_chords_from_their_tonic() -> None:
    def chords(text: str, key: str):  # type: ignore[no-untyped-def]
        return realize(parse(text, Meter(4, 4)), Key.parse(key)).chords

    rows = [chords("I V7 I", "C"), chords("i V7 i", "c"), chords("I V7 I", "F#"), chords("i V7 i", "g")]
    assert alike(rows) == [[0, 2], [1, 3]]
    assert alike([chords("I V I", "C"), chords("I V6 I", "G")]) == [[0], [1]]
