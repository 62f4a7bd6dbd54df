"""Montuno: the two-bar figure of a son's piano over its bass, in 2-3 and in 3-2 clave.

The clave takes two bars: eighths of 4/4, sixteenths of 2/4. The bar on the beat goes with the clave's two
strokes, the syncopated one with its three.

Sources: son clave, G. Toussaint, "The Rhythm that Conquered the World" (see `tracks.patterns`); which bar of
the montuno stands on which side, "Playing in Clave", keyboardmag.com; its own strokes, the bass on the and of
2 and on 4, which anticipates, and the congas' march, from memory.
"""

from tracks.patterns import (
    ACOUSTIC_BASS,
    CLAVES,
    COWBELL,
    LOW_CONGA,
    MARACAS,
    MUTE_HIGH_CONGA,
    OPEN_HIGH_CONGA,
    PLAYED,
    SON_CLAVE,
    SON_CLAVE_2_3,
    Groove,
    Level,
    Phrases,
    both,
    figure,
    tabled,
    vocabulary,
)
from tracks.patterns.drum_kit import HIGH_TIMBALE, LOW_TIMBALE
from tracks.theory.meter import Meter

METERS = (Meter(4, 4), Meter(2, 4), Meter(2, 2))
ON, OFF = "A . A A . A . A+", ". A . A . A . A+"
ON_BROKEN, OFF_BROKEN = "A . 1 U . 1 . A+", ". 1 . U . 1 . A+"
ON_OPEN, OFF_OPEN = "A - - A . A . A+", ". A . A - - . A+"
FILLS = (
    {HIGH_TIMBALE: figure("x x . x", 4), LOW_TIMBALE: figure(". . x .", 4)},
    {LOW_TIMBALE: figure("x . x x", 4)},
)
TUMBAO = ". . . F - - B+ -"
"""Eighths of a bar of four: the and of 2, and 4, which is the coming bar's."""


def table(meter: Meter) -> tuple[Level, ...]:
    """Return chords, then the chords broken, each in 2-3 and in 3-2."""
    parts = 8 // meter.beats
    bass = figure(TUMBAO, parts)

    def drums(clave: str) -> Groove:
        rows = {
            CLAVES: figure(clave, parts),
            COWBELL: figure("x . x x . x . x" if clave == SON_CLAVE_2_3 else "x x . x x . x .", parts),
            MARACAS: figure("x> x", parts),
            MUTE_HIGH_CONGA: figure("(x) (x) x (x) (x) (x) . . | (x) (x) x . . (x) . .", parts),
            OPEN_HIGH_CONGA: figure(". . . . . . x x", parts),
            LOW_CONGA: figure(". . . . . . . . | . . . x x . . .", parts),
        }
        return Groove(rows, FILLS, fill_beats=1, phrase=8, crash=None)

    def words(first: str, second: str, *others: str) -> Phrases:
        return vocabulary(f"{first} | {second}", *others, per_beat=parts, fills=("A . A . A . A .",))

    def level(name: str, comp: Phrases, clave: str) -> Level:
        return Level(name, both(comp, bass), bass, drums(clave))

    return (
        level("2-3 clave, chords", words(ON, OFF, f"{ON_OPEN} | {OFF}"), SON_CLAVE_2_3),
        level("3-2 clave, chords", words(OFF, ON, f"{OFF} | {ON_OPEN}"), SON_CLAVE),
        level("2-3 clave, broken", words(ON_BROKEN, OFF_BROKEN, f"{ON_BROKEN} | {OFF_OPEN}"), SON_CLAVE_2_3),
        level("3-2 clave, broken", words(OFF_BROKEN, ON_BROKEN, f"{OFF_OPEN} | {ON_BROKEN}"), SON_CLAVE),
    )


STYLE = tabled(
    "montuno",
    "montuno: a two-bar figure in 2-3 or 3-2 clave",
    METERS,
    table,
    PLAYED,
    bass_program=ACOUSTIC_BASS,
)
