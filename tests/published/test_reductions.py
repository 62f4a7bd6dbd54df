"""Which tones of a ninth chord or a larger one are left out, against what handbooks say.

Source: R. Hutchinson, Music Theory for the 21st-Century Classroom, 31.7.1 (third and seventh are the guide
tones; the sixth of a sixth chord acts as its seventh, a suspended fourth as its third) and 31.7.2 (to keep
few parts, the fifth is left out). That the highest tone, which names the chord, stays, and before it an
altered fifth, and where no bass has it the root: convention.
"""

import pytest

from tracks.hands.close_position import Reduction, tone_sets
from tracks.theory.chord import Chord
from tracks.theory.chord_kinds import KINDS, ChordKind
from tracks.theory.pitch import Interval, Tone

LARGE = [kind for kind in KINDS if len(kind.intervals) > 4]


def chord_of(kind: ChordKind) -> Chord:
    return Chord(Tone(0), kind.intervals, Tone(0))


@pytest.mark.parametrize("kind", LARGE, ids=lambda kind: kind.name)
@pytest.mark.parametrize("count", [3, 4])
@pytest.mark.parametrize("rooted", [True, False])
def test_guide_tones_an_altered_fifth_and_the_highest_tone_stay(
    kind: ChordKind, count: int, rooted: bool
) -> None:
    chord = chord_of(kind)
    fifth = chord.factor(5)
    is_plain = fifth in (None, chord.root.up(Interval.parse("P5")))
    needed = [chord.third_or_suspension, chord.factor(7) or chord.factor(6), *([] if is_plain else [fifth])]
    needed += [chord.root, chord.tones[-1]] if rooted else [chord.tones[-1]]
    for tones in tone_sets(chord, Reduction(count, rooted=rooted)):
        assert set(needed[:count]) <= set(tones)


@pytest.mark.parametrize("kind", LARGE, ids=lambda kind: kind.name)
def test_perfect_fifth_goes_before_any_other_tone(kind: ChordKind) -> None:
    chord = chord_of(kind)
    fifth = chord.factor(5)
    if fifth == chord.root.up(Interval.parse("P5")):
        for count in range(3, len(chord.tones)):
            assert all(fifth not in tones for tones in tone_sets(chord, Reduction(count)))


@pytest.mark.parametrize("kind", [k for k in KINDS if len(k.intervals) == 4], ids=lambda kind: kind.name)
def test_over_a_bass_that_has_the_root_a_guided_seventh_keeps_third_and_seventh(kind: ChordKind) -> None:
    chord = chord_of(kind)
    seventh = chord.factor(7) or chord.factor(6)
    if seventh and chord.third_or_suspension and kind.name not in ("Italian", "German", "French", "Tristan"):
        (tones,) = tone_sets(chord, Reduction(3, rooted=False, guided=True))
        assert {chord.third_or_suspension, seventh} <= set(tones)
        assert chord.root not in tones
