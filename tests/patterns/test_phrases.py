"""Phrases: what a comping hand says over a form, and what it remembers."""

from itertools import pairwise
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.model import Note, Role, Texture
from tracks.patterns import lay
from tracks.patterns.phrases import LINE, planned, vocabulary
from tracks.style import Brief
from tracks.style.testing import trial
from tracks.theory.meter import QUARTER, Meter
from tracks.theory.pitch import Pitch

FOUR = Meter(4, 4)
BAR = FOUR.bar
WORDS = vocabulary(
    "A - - A - . . . | A - - A - . . .",
    ". . . A . . . A | . . . A . . . A",
    "A . A . A . A . | A . A . A . A .",
    fills=("A A A A A A A A",),
    sparse="A - - - - - - -",
)


def brief(bars: int, pickup: int = 0, melody: tuple[Note, ...] = ()) -> Brief:
    return Brief((), FOUR, pickup + bars * BAR, Texture.OVER_BASS, pickup=pickup, melody=melody)


@pytest.mark.parametrize("seed", range(10))
def test_a_plan_opens_with_the_first_phrase_and_is_the_same_for_the_same_chance(seed: int) -> None:
    plan = planned(WORDS, brief(16), Random(seed))

    assert plan[0].figure is WORDS.phrases[0]
    assert plan == planned(WORDS, brief(16), Random(seed))


def test_seeds_give_plans_of_their_own_and_phrases_return() -> None:
    plans = [planned(WORDS, brief(32), Random(seed)) for seed in range(20)]

    assert len(set(plans)) > 15
    openings = [[s.figure for s in plan if (s.start // BAR) % LINE == 0] for plan in plans]
    assert sum(len(set(map(id, heard))) < len(heard) for heard in openings) == len(plans)


def test_every_second_line_and_the_last_end_in_a_fill() -> None:
    plan = planned(WORDS, brief(12), Random(3))

    assert [s.start // BAR for s in plan if s.figure in WORDS.fills] == [7, 11]


def test_a_busy_tune_is_left_room() -> None:
    tune = tuple(Note(3 * BAR + at * QUARTER // 4, 10, Pitch.parse("C5")) for at in range(16))

    plan = planned(WORDS, brief(8, melody=tune), Random(1))

    assert [(s.start // BAR, s.end // BAR) for s in plan if s.figure is WORDS.sparse] == [(3, 4)]


@given(
    st.integers(1, 40),
    st.sampled_from([0, QUARTER]),
    st.integers(0, 99),
    st.lists(st.integers(0, 20 * 16), max_size=60),
)
def test_a_plan_covers_the_piece_without_gaps(bars: int, pickup: int, seed: int, struck: list[int]) -> None:
    tune = tuple(Note(at * QUARTER // 4, 10, Pitch.parse("C5")) for at in sorted(struck))
    given_brief = brief(bars, pickup, tune)

    plan = planned(WORDS, given_brief, Random(seed))

    assert plan[0].start == 0
    assert plan[-1].end == given_brief.length
    assert all(a.end == b.start for a, b in pairwise(plan))


def test_both_hands_say_the_same_on_the_chords() -> None:
    chords, length = trial(FOUR, Texture.DOUBLED)
    made = Brief(chords, FOUR, length, Texture.DOUBLED)
    plan = planned(WORDS, made, Random(2))

    right, left = (lay(made, role, plan) for role in (Role.RIGHT, Role.LEFT))

    assert {note.start for note in right.notes} == {note.start for note in left.notes}
