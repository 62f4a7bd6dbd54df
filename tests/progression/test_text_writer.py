"""A progression written as a text of chords says the same when it is read again."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.progression.library import LIBRARY
from tracks.progression.text import parse_text
from tracks.progression.text_writer import to_text
from tracks.progression.written import Progression
from tracks.theory.meter import Meter

CHORDS = st.sampled_from(("I", "IV", "V7", "vi", "N.C.", "/", "V65/V", "bVII"))


def said(progression: Progression) -> list[tuple[object, ...]]:
    return [(each.text, each.start, each.length, each.key) for each in progression.chords]


@given(st.lists(st.lists(CHORDS, min_size=4, max_size=4), min_size=1, max_size=8))
def test_a_text_in_beats_is_read_again_as_it_was(bars: list[list[str]]) -> None:
    bars[0][0] = "I"
    text = "| " + " | ".join(" ".join(bar) for bar in bars) + " |"
    read = parse_text(text, Meter(4, 4))

    written = to_text(read)

    assert written is not None
    assert said(parse_text(written, Meter(4, 4))) == said(read)


@pytest.mark.parametrize(
    ("text", "meter", "written"),
    [
        ("I vi IV V7 I", "4/4", "| I | vi | IV | V7 | I |"),
        ("|: I / V7 / :| I |", "4/4", "| I / V7 / | I / V7 / | I |"),
        ("/ / / V7 | I | V7 |", "4/4", "| / / / V7 | I | V7 |"),
        ("C: I Eb: V7 I c: i", "3/4", "| C: I | Eb: V7 | I | c: i |"),
        ("| I V7 | I |", "3/4", "| I / V7 | I |"),
        ("| I ii V7 I I ii V7 I | I |", "4/4", None),
    ],
)
def test_how_it_is_written(text: str, meter: str, written: str | None) -> None:
    assert to_text(parse_text(text, Meter.parse(meter))) == written


def test_every_progression_of_the_library_in_beats_is_read_again() -> None:
    for entry in LIBRARY:
        read = parse_text(entry.text, Meter(4, 4))
        if written := to_text(read):
            assert said(parse_text(written, Meter(4, 4))) == said(read), entry.name
