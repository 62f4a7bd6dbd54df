"""Habanera: a dotted bass under the chords, 3 + 1 + 2 + 2.

Source: R. Hutchinson, Music Theory for the 21st-Century Classroom, 14.6.1 (tresillo, 3 + 3 + 2) and 14.6.1.1
(habanera; its numbers from memory). Drums, convention.
"""

from tracks.model import Texture
from tracks.patterns import (
    ACOUSTIC_BASS,
    HABANERA,
    LIGHT_FILLS,
    LOW_CONGA,
    MARACAS,
    OPEN_HIGH_CONGA,
    PLAYED,
    TRESILLO,
    Groove,
    Level,
    Row,
    figure,
    held,
    rhythm,
    tabled,
    vocabulary,
)
from tracks.theory.meter import Meter

METERS = (Meter(2, 4), Meter(4, 4), Meter(2, 2))


def table(meter: Meter) -> tuple[Level, ...]:
    """Return tresillo and habanera in the left hand, under held chords and under chords on the off-beats."""
    parts = 8 // meter.beats
    drums = Groove(
        {
            LOW_CONGA: figure("x . . x . . . . | x . . x . . . x", parts),
            OPEN_HIGH_CONGA: figure(". . . . x . x . | . (x) . . x . x .", parts),
            MARACAS: figure("x . x x", parts),
        },
        LIGHT_FILLS,
        fill_beats=1,
        phrase=8,
        crash=None,
        loudness=65,
    )
    bass = figure("B - - B - - F - | B - - F - - P -", parts)
    chord = held(meter)
    off = vocabulary(
        ". . A . . . A . | . . A . . . A .",
        ". . A . . . A . | . . A . . A . A+",
        ". . A . . A A . | . . A . . . . A+",
        per_beat=parts,
        fills=(". . A . . A . A+", ". A A . . A A ."),
        sparse=". . A . . . . .",
    )

    def level(words: str, right: Row, cells: str) -> Level:
        over = rhythm(cells, "B", "F", per_beat=parts)
        reaching = rhythm(cells, "L", "V", "H", "V", per_beat=parts)
        return Level(
            words, {Texture.OVER_BASS: (right, over), Texture.DOUBLED: (right, reaching)}, bass, drums
        )

    return (
        level("tresillo, 3 + 3 + 2, under held chords", chord, TRESILLO),
        level("habanera, 3 + 1 + 2 + 2, under held chords", chord, HABANERA),
        level("habanera under chords off the beat", off, HABANERA),
    )


STYLE = tabled(
    "habanera", "habanera: a dotted bass under the chords", METERS, table, PLAYED, bass_program=ACOUSTIC_BASS
)
