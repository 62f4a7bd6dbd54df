"""A human performance aligned as by hand; with faults in it, as well as by a published matcher."""

import pytest
from human_performance import MATCHERS, f_measure, performance, with_faults

pytestmark = pytest.mark.filterwarnings("ignore")


def test_a_human_performance_is_aligned_as_by_hand() -> None:
    whole = performance()

    assert len(whole.played) == 219
    assert f_measure(MATCHERS["ours"](whole.score, whole.played), whole.pairs) == 1.0


def test_with_faults_put_in_it_is_aligned_as_well_as_by_a_published_matcher() -> None:
    found = {
        name: [f_measure(match(case.score, case.played), case.pairs) for case in map(with_faults, range(10))]
        for name, match in MATCHERS.items()
        if name in ("ours", "DualDTWNoteMatcher")
    }

    for ours, theirs in zip(found["ours"], found["DualDTWNoteMatcher"], strict=True):
        assert ours >= theirs
    assert sum(found["ours"]) / 10 > 0.99
