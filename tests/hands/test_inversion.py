"""Which inversion the lowest tone makes, one reckoning for JSON and for words."""

import pytest

from tracks.hands.inversion import inversion
from tracks.notation.words import INVERSIONS, position
from tracks.theory.chord import parse_symbol
from tracks.theory.pitch import Tone


@pytest.mark.parametrize(
    ("symbol", "lowest", "number"),
    [
        ("C", "C", 0),
        ("C", "E", 1),
        ("C", "G", 2),
        ("G7", "F", 3),
        ("C6", "A", 3),
        ("Csus4", "F", 1),
        ("G9", "F", 3),
        ("G9", "A", None),
        ("Cadd9", "D", None),
    ],
)
def test_third_fifth_and_seventh_make_inversions_and_a_ninth_none(
    symbol: str, lowest: str, number: int | None
) -> None:
    chord, tone = parse_symbol(symbol), Tone.parse(lowest)
    assert inversion(chord, tone) == number
    words = position(chord, tone)
    assert words == (INVERSIONS[number] if number is not None else "ninth lowest")
