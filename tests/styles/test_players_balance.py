"""The band stays under the hands: loudness by ITU-R BS.1770-4, where chords are few and short.

`python -m tests.styles.balance` measures every style; docs/benchmarks.md has the table.
"""

import pytest
from balance import beside_the_right_hand

from tracks.export.audio.soundfont import soundfont
from tracks.model import Role
from tracks.style.registry import load


@pytest.mark.parametrize(
    ("style", "level"), [("swing", 4), ("reggae", 1), ("country-train", 3), ("march", 3), ("funk", 3)]
)
def test_bass_and_drums_lie_under_the_right_hand(style: str, level: int) -> None:
    lu, rms = beside_the_right_hand(load(style), level, soundfont())

    assert lu[Role.BASS] <= -3
    assert lu[Role.DRUMS] <= -0.5
    assert rms[Role.BASS] <= 1.0
