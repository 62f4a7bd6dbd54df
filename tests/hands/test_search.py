"""The exact search over abstract choices against trying every way."""

from itertools import pairwise, product

from hypothesis import given, settings
from hypothesis import strategies as st

from tracks.hands.search import cheapest


def test_a_plain_row_takes_the_cheap_way_not_the_cheap_step() -> None:
    tables = {(0, 1): [[0, 1]], (1, 2): [[9], [1]]}
    found = cheapest(range(3), [[0], [0, 0], [0]], lambda a, option, b: tables[a, b][option])
    assert found == (2, (0, 1, 0))


def test_equal_ways_take_the_first_option() -> None:
    assert cheapest(range(2), [[0], [3, 3]], lambda *_: [0, 0]) == (3, (0, 0))


@st.composite
def rows(draw: st.DrawFn) -> tuple[list[int], list[list[int]], dict[tuple[int, int, int], list[int]]]:
    """An order with repeats of any kind, each choice numbered by its first coming, and its costs."""
    order: list[int] = []
    for _ in range(draw(st.integers(1, 9))):
        order.append(draw(st.integers(0, min(len(set(order)), 4))))
    counts = [draw(st.integers(1, 3)) for _ in set(order)]
    cost = st.integers(0, 9)
    own = [[draw(cost) for _ in range(count)] for count in counts]
    steps = {
        (a, option, b): [draw(cost) for _ in range(counts[b])]
        for b in range(len(counts))
        for a in range(b)
        for option in range(counts[a])
    }
    return order, own, steps


@settings(max_examples=200)
@given(rows())
def test_any_pattern_of_repeats_is_exact(
    row: tuple[list[int], list[list[int]], dict[tuple[int, int, int], list[int]]],
) -> None:
    order, own, steps = row

    def total(options: tuple[int, ...]) -> int:
        paid = sum(own[choice][options[choice]] for choice in order)
        for pair in pairwise(order):
            a, b = min(pair), max(pair)
            paid += steps[a, options[a], b][options[b]] if a != b else 0
        return paid

    every = product(*(range(len(costs)) for costs in own))
    best = min(total(options) for options in every)
    least_cost, options = cheapest(order, own, lambda a, option, b: steps[a, option, b])
    assert least_cost == best == total(options)


@settings(max_examples=150)
@given(rows(), st.data())
def test_a_way_back_may_cost_another_price(
    row: tuple[list[int], list[list[int]], dict[tuple[int, int, int], list[int]]], data: st.DataObject
) -> None:
    order, own, steps = row
    backs = {key: [data.draw(st.integers(0, 9)) for _ in costs] for key, costs in steps.items()}

    def total(options: tuple[int, ...]) -> int:
        paid = sum(own[choice][options[choice]] for choice in order)
        for a, b in pairwise(order):
            table = steps if a < b else backs
            paid += table[min(a, b), options[min(a, b)], max(a, b)][options[max(a, b)]] if a != b else 0
        return paid

    least_cost, options = cheapest(
        order, own, lambda a, option, b: steps[a, option, b], back=lambda a, option, b: backs[a, option, b]
    )
    assert least_cost == min(map(total, product(*(range(len(costs)) for costs in own)))) == total(options)
