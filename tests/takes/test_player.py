"""Takes made by chance, with faults put in: what is found again, in every style.

`python tests/takes/recovered.py 10000` says it for as many takes as you like; docs/takes.md has the figures.
"""

import pytest
from player import PROFESSIONAL, STUDENT, perform
from recovered import asked_of, drills, recover

from tracks.style.registry import names
from tracks.takes.judge import evaluate

TAKES = 400


@pytest.fixture(scope="module")
def asks() -> list:  # type: ignore[type-arg]
    return drills(names())


def test_there_is_a_drill_of_every_style(asks: list) -> None:  # type: ignore[type-arg]
    assert {asked.drill.style for asked in asks} == set(names())


def test_faults_are_found_again_and_no_others(asks: list) -> None:  # type: ignore[type-arg]
    found = recover(asks, STUDENT, range(TAKES))

    assert found.found > 2000
    assert found.precision >= 0.99, found.misjudged
    assert found.recall >= 0.99, found.misjudged
    assert max(found.tempo_off) < 0.01


def test_no_false_alarm_within_professional_spread(asks: list) -> None:  # type: ignore[type-arg]
    found = recover(asks, PROFESSIONAL, range(10_000, 10_000 + TAKES // 2))

    assert found.alarms == 0, found.misjudged
    assert found.false == 0, found.misjudged


def test_the_players_chords_are_as_far_apart_as_professionals() -> None:
    """Vienna 4x22: on one staff 18 ms median and 52 ms at 95 %, of 12,345 chords."""
    asked = asked_of("block", "I vi IV V7 I", "Eb").of_hands("right")
    spreads = sorted(
        heard.spread_s * 1000
        for seed in range(300)
        for heard in evaluate(perform(asked, PROFESSIONAL, seed)[0], asked).best.heard
        if heard.spread_s is not None
    )

    assert spreads[len(spreads) // 2] == pytest.approx(18, abs=2)
    assert spreads[int(len(spreads) * 0.95)] == pytest.approx(52, abs=6)
