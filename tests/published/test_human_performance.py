"""A human performance aligned as by hand; with faults in it, as well as by a published matcher."""

import pytest
from human_performance import MATCHERS, f_measure, performance, with_faults

pytestmark = pytest.mark.filterwarnings("ignore")


def test_a_human_performance_is_aligned_as_by_hand() -> None:
    whole = performance()

    assert len(whole.played) == 219
    assert f_measure(MATCHERS["ours"](whole.score, whole.played), whole.pairs) == 1.0


def test_with_faults_put_in_it_is_aligned_as_well_as_by_a_published_matcher() -> None:
    cases = [with_faults(seed) for seed in range(4)]

    mean = {
        name: sum(f_measure(match(case.score, case.played), case.pairs) for case in cases) / len(cases)
        for name, match in MATCHERS.items()
        if name in ("ours", "DualDTWNoteMatcher")
    }

    assert mean["ours"] >= mean["DualDTWNoteMatcher"]
    assert mean["ours"] > 0.98
