"""Block chords: the whole chord at once, in both hands or over a bass note.

Source: convention; R. Hutchinson, Music Theory for the 21st-Century Classroom, 14.4.3 and 14.4.4
(block chords in whole bars and in repeated beats).
"""

from random import Random

from tracks.model import Part, Role, Texture
from tracks.patterns import EVERYDAY_METERS, figure, held, lay
from tracks.style import Brief, Style, StyleInfo

HANDS = (Role.RIGHT, Role.LEFT)


def play(brief: Brief, _rng: Random) -> tuple[Part, ...]:
    """Return both hands, striking at every bar line (level 1) or on every felt beat (level 2)."""
    rhythm = held(brief.meter) if brief.level == 1 else figure("A")
    return tuple(lay(brief, hand, rhythm) for hand in HANDS)


STYLE = Style(
    StyleInfo(
        name="block",
        summary="block chords: each chord struck together and held",
        meters=EVERYDAY_METERS,
        roles=HANDS,
        textures=(Texture.DOUBLED, Texture.OVER_BASS, Texture.FOUR_PART),
        levels=("each chord held, struck again at every bar line", "a chord on every beat"),
    ),
    play,
)
