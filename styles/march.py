"""March or polka: the bass on the beat, the chord off it.

Over a bass the hands share it; hands together, the left hand plays it all, reaching down for the bass.

Source: bass on the beat and chord after it, the vamp (ataea.co.uk) and the polka (R. Hutchinson, Music
Theory for the 21st-Century Classroom, 14.5.2); root and fifth by turns, from memory; the drums, common
practice.
"""

from tracks.model import Texture
from tracks.patterns import (
    BASS_DRUM,
    DETACHED,
    SNARE,
    STRAIGHT_FILLS,
    TRIPLET_FILLS,
    Groove,
    Hands,
    Level,
    figure,
    held,
    tabled,
    vocabulary,
)
from tracks.theory.meter import Meter

LOW = 65
"""The bass player's loudness under chords that are short."""
METERS = (Meter(2, 4), Meter(4, 4), Meter(2, 2), Meter(6, 8), Meter(12, 8))


def table(meter: Meter) -> tuple[Level, ...]:
    """Return chords on the even beats, then between the beats of a bass that alternates."""
    parts, gap = (3, "- ") if meter.is_compound else (2, "")
    rest = ". . . " if meter.is_compound else ". "
    light, strong, turn = f"(x) {rest}x> .", f"x {rest}x> .", f"x {rest}x> (x)"
    rolls = (light, light, strong, strong) * 2
    drums = Groove(
        {BASS_DRUM: figure("x"), SNARE: figure(" ".join((*rolls[: 2 * meter.beats - 1], turn)), 2 * parts)},
        TRIPLET_FILLS if meter.is_compound else STRAIGHT_FILLS,
        fill_beats=meter.beats // 2,
        loudness=60,
    )
    by_beats = {
        Texture.OVER_BASS: (figure(". A"), figure("B .")),
        Texture.DOUBLED: (held(meter), figure("L A", anew=True)),
    }
    between = {
        Texture.OVER_BASS: (
            figure(f". {'. ' if gap else ''}A", parts),
            figure(f"B {gap}. F {gap}.", parts, anew=True),
        ),
        Texture.DOUBLED: (held(meter), figure(f"L {gap}A M {gap}A", parts, anew=True)),
    }
    turns = meter.beats // 2 * 4
    walks = vocabulary(f"B {gap}. F {gap}. " * (turns - 1) + f"B {gap}. F {gap}P", per_beat=parts)
    reach = vocabulary(f"L {gap}A M {gap}A " * (turns - 1) + f"L {gap}A M {gap}P", per_beat=parts)
    after, twice = (". . A ", ". A A ") if gap else (". A ", "A A ")
    four = 4 * meter.beats
    answers = vocabulary(
        after * four,
        after * (four - 1) + twice,
        twice + after * (four - 1),
        per_beat=parts,
        fills=(after + twice,),
    )
    leading: dict[Texture, Hands] = {
        Texture.OVER_BASS: (answers, walks),
        Texture.DOUBLED: (held(meter), reach),
    }
    return (
        Level("bass on the odd beats, chord on the even", by_beats, figure("B ."), drums, bass_loudness=LOW),
        Level(
            "root and fifth on the beats, chord between",
            between,
            figure("B F", anew=True),
            drums,
            bass_loudness=LOW,
        ),
        Level("the same, the bass walking on at the end of a line", leading, walks, drums, bass_loudness=LOW),
    )


STYLE = tabled("march", "march or polka: bass on the beat, chord off it", METERS, table, DETACHED)
