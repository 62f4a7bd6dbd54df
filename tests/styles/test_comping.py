"""Comping that lives: chords that come early, and rhythms that come back.

`python -m tests.styles.audit_styles` counts every style. A comping hand mixes chords on the beat with such as
come early (the and of 4: "The First 5 Comping Patterns to Teach Your Students", jazzresources.org); how many
of each is convention: more than a few and, but where it is the style's own way, not the most.
"""

import pytest
from audit_styles import anticipated, comes_back

from tracks.style.registry import load


@pytest.mark.parametrize(
    ("style", "level"),
    [("swing", 2), ("swing", 3), ("swing", 4), ("bossa-nova", 2), ("funk", 2), ("funk", 3), ("rock", 2),
     ("rock", 3), ("shuffle", 2), ("shuffle", 3), ("boogie", 3), ("pop-push", 1), ("pop-push", 2),
     ("jazz-waltz", 2), ("jazz-waltz", 3), ("habanera", 3)],
)  # fmt: skip
def test_some_chords_are_struck_before_they_come_and_not_most(style: str, level: int) -> None:
    assert 0.1 <= anticipated(load(style), level) <= 0.6


@pytest.mark.parametrize("style", ["montuno", "pop-push"])
def test_what_always_comes_early_does(style: str) -> None:
    """The tumbao's and the push's own way, at the hardest level."""
    played = load(style)

    assert anticipated(played, len(played.info.levels)) >= 0.9


@pytest.mark.parametrize("style", ["rock", "waltz", "ballad", "swing"])
def test_an_easy_level_strikes_every_chord_where_it_stands(style: str) -> None:
    assert anticipated(load(style), 1) == 0


@pytest.mark.parametrize("style", ["swing", "bossa-nova", "funk", "rock", "shuffle", "boogie", "montuno"])
def test_phrases_come_back_and_are_not_all_there_is(style: str) -> None:
    assert 0.4 <= comes_back(load(style)) <= 0.95
