"""What each style plays, held against the table of its pattern.

Hutchinson is R. Hutchinson, Music Theory for the 21st-Century Classroom; "convention" has no source.
"""

from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise
from random import Random

import pytest

from tracks.drill.drill import Drill
from tracks.model import Hit, Note, Part, Role, Texture
from tracks.patterns import BASS_DRUM, CLAVES, CLOSED_HI_HAT, RIDE_CYMBAL, SIDE_STICK, SNARE
from tracks.practice.played import played_in_each_key
from tracks.style import Brief, Style, registry
from tracks.style.registry import load
from tracks.style.testing import trial
from tracks.theory.key import KEY_SETS
from tracks.theory.meter import QUARTER, Meter, Time

EIGHTH, SIXTEENTH = QUARTER // 2, QUARTER // 4
FOUR, THREE, TWO = Meter(4, 4), Meter(3, 4), Meter(2, 4)
SIX_EIGHT, TWELVE_EIGHT = Meter(6, 8), Meter(12, 8)
OVER, TOGETHER = Texture.OVER_BASS, Texture.DOUBLED


def parts(name: str, meter: Meter, level: int = 1, texture: Texture = OVER) -> dict[Role, Part]:
    """The first two bars, C major, in every style: the trial begins with two bars of C."""
    chords, length = trial(meter, texture)
    played = load(name).play(Brief(chords, meter, length, texture, level), Random(1))
    return {part.role: first_bars(part, 2 * meter.bar) for part in played}


def first_bars(part: Part, end: Time) -> Part:
    notes = tuple(note for note in part.notes if note.start < end)
    return Part(part.role, notes, tuple(hit for hit in part.hits if hit.start < end), part.program)


def onsets(strokes: Iterable[Note | Hit], unit: Time, end: Time) -> list[float]:
    """Where something is struck before an end, in units."""
    return sorted({stroke.start / unit for stroke in strokes if stroke.start < end})


def key(part: Part, number: int) -> list[Hit]:
    return [hit for hit in part.hits if hit.key == number]


def names(part: Part, end: Time) -> list[str]:
    return [note.pitch.name for note in part.notes if note.start < end]


@pytest.mark.parametrize(("level", "unit"), [(1, EIGHTH), (2, SIXTEENTH)])
def test_alberti_is_low_high_middle_high(level: int, unit: Time) -> None:
    # Hutchinson 14.3.2: low, high, middle, high of a close chord, as C G E G.
    left = parts("alberti", FOUR, level, TOGETHER)[Role.LEFT]

    assert names(left, 4 * unit) == ["C3", "G3", "E3", "G3"]
    assert onsets(left.notes, unit, FOUR.bar) == list(range(FOUR.bar // unit))


def test_alberti_leaves_the_right_hand_its_chord() -> None:
    right = parts("alberti", FOUR, 1, TOGETHER)[Role.RIGHT]

    assert names(right, FOUR.bar) == ["C4", "E4", "G4"]
    assert {note.length for note in right.notes} == {FOUR.bar}


def test_broken_chord_goes_up_and_down_in_both_hands_alike() -> None:
    hands = parts("broken", FOUR, 2, TOGETHER)

    assert names(hands[Role.RIGHT], 2 * QUARTER) == ["C4", "E4", "G4", "E4"]
    assert names(hands[Role.LEFT], 2 * QUARTER) == ["C3", "E3", "G3", "E3"]


def test_arpeggio_goes_to_the_octave_and_back_with_the_fingers_of_four_notes() -> None:
    # Up, and up and down: Hutchinson 14.3.1. Fingers 1-2-3-5 and 5-4-2-1 or 5-3-2-1: convention.
    hands = parts("arpeggio", THREE, 2, TOGETHER)

    assert names(hands[Role.RIGHT], THREE.bar) == ["C4", "E4", "G4", "C5", "G4", "E4"]
    assert [note.finger for note in hands[Role.RIGHT].notes[:4]] == [1, 2, 3, 5]
    assert [note.finger for note in hands[Role.LEFT].notes[:4]] in ([5, 4, 2, 1], [5, 3, 2, 1])


def test_waltz_over_a_bass_has_the_bass_on_one_and_the_chord_on_two_and_three() -> None:
    # Bass note on 1, chord on 2 and 3: klavier.susannegerdts.de, Walzerbegleitung.
    hands = parts("waltz", THREE)

    assert onsets(hands[Role.LEFT].notes, QUARTER, THREE.bar) == [0]
    assert onsets(hands[Role.RIGHT].notes, QUARTER, THREE.bar) == [1, 2]
    assert len(hands[Role.RIGHT].notes) == 3 * 2 * 2


def test_waltz_in_one_hand_reaches_down_for_the_bass() -> None:
    left = parts("waltz", THREE, 1, TOGETHER)[Role.LEFT]

    assert names(left, THREE.bar) == ["C2", "C3", "E3", "G3", "C3", "E3", "G3"]


def test_waltz_bass_alternates_bar_by_bar() -> None:
    # Root and fifth by turns: convention.
    left = parts("waltz", THREE, 2)[Role.LEFT]

    assert names(left, 2 * THREE.bar) == ["C3", "G2"]


@pytest.mark.parametrize("meter", [TWO, FOUR])
def test_march_has_the_bass_on_odd_beats_and_the_chord_on_even(meter: Meter) -> None:
    # The vamp: bass on the beat, chord off it, in 4/4 on 2 and 4 (ataea.co.uk; Hutchinson 14.5.2).
    hands = parts("march", meter)

    assert onsets(hands[Role.LEFT].notes, QUARTER, 4 * QUARTER) == [0, 2]
    assert onsets(hands[Role.RIGHT].notes, QUARTER, 4 * QUARTER) == [1, 3]


@pytest.mark.parametrize(("meter", "off"), [(TWO, EIGHTH), (SIX_EIGHT, 2 * EIGHTH)])
def test_polka_puts_the_chord_between_the_beats(meter: Meter, off: Time) -> None:
    hands = parts("march", meter, 2)

    assert onsets(hands[Role.LEFT].notes, 1, meter.bar) == [0, meter.beat]
    assert onsets(hands[Role.RIGHT].notes, 1, meter.bar) == [off, meter.beat + off]


@pytest.mark.parametrize(
    ("level", "low"), [(1, ["C2", "C2"]), (2, ["C2", "G1"]), (3, ["C2", "C3", "C2", "C3"])]
)
def test_stride_has_low_basses_on_one_and_three_and_chords_on_two_and_four(
    level: int, low: list[str]
) -> None:
    # Single bass note or octave on 1 and 3, chord on 2 and 4: "Stride (music)", encyclopedia text.
    left = parts("stride", FOUR, level, TOGETHER)[Role.LEFT]
    by_beat = {beat: [n.pitch.name for n in left.notes if n.start == beat * QUARTER] for beat in range(4)}

    assert by_beat[0] + by_beat[2] == low
    assert by_beat[1] == by_beat[3] == ["C3", "E3", "G3"]


def test_ballad_left_hand_opens_to_fifth_and_octave() -> None:
    # Root, fifth, octave in eighths: convention.
    left = parts("ballad", FOUR, 2, TOGETHER)[Role.LEFT]

    assert names(left, FOUR.bar) == ["C2", "G2", "C3"]
    assert onsets(left.notes, EIGHTH, FOUR.bar) == [0, 1, 2]


def test_rock_repeats_eighths_over_a_back_beat() -> None:
    # Repeated eighths: Hutchinson 14.4.4. Snare on 2 and 4: convention.
    band = parts("rock", FOUR, 2)

    for role in (Role.RIGHT, Role.LEFT, Role.BASS):
        assert onsets(band[role].notes, EIGHTH, FOUR.bar) == list(range(8))
    assert onsets(key(band[Role.DRUMS], SNARE), QUARTER, FOUR.bar) == [1, 3]
    assert onsets(key(band[Role.DRUMS], CLOSED_HI_HAT), EIGHTH, FOUR.bar) == list(range(8))


@pytest.mark.parametrize("meter", [FOUR, TWELVE_EIGHT])
def test_shuffle_is_a_triplet_with_its_middle_left_out(meter: Meter) -> None:
    # Positions 0 and 2/3 of each beat: daviddarling.info, shuffle; beats 1 and 3 of each three in 12/8:
    # pianoplane.com.
    band = parts("shuffle", meter, 2)
    third = meter.beat // 3

    expected = [place for beat in range(4) for place in (3 * beat, 3 * beat + 2)]
    assert onsets(band[Role.RIGHT].notes, third, meter.bar) == expected
    assert onsets(key(band[Role.DRUMS], RIDE_CYMBAL), third, meter.bar) == expected


@pytest.mark.parametrize("level", [1, 2])
def test_swing_comps_the_charleston_on_one_and_the_and_of_two(level: int) -> None:
    # Hutchinson 14.4.1; the Charleston's attacks are the same two.
    assert onsets(parts("swing", FOUR, level)[Role.RIGHT].notes, EIGHTH, FOUR.bar) == [0, 3]


def test_swing_comps_off_the_beat_at_its_hardest() -> None:
    assert onsets(parts("swing", FOUR, 3)[Role.RIGHT].notes, EIGHTH, FOUR.bar) == [3, 7]


def test_swing_begins_in_two() -> None:
    # "Two-feel": targets on 1 and 3 (C. Fitzgerald, by way of talkbass.com).
    assert onsets(parts("swing", FOUR, 1)[Role.BASS].notes, QUARTER, FOUR.bar) == [0, 2]


@pytest.mark.parametrize(("meter", "unit"), [(FOUR, EIGHTH), (TWO, SIXTEENTH)])
def test_bossa_nova_keeps_its_clave_through_two_bars(meter: Meter, unit: Time) -> None:
    # Gaps 3-3-4-3-3: 0 3 6 10 13 of sixteen (public copies; compared with Toussaint's list of six).
    band = parts("bossa-nova", meter, 2)

    assert onsets(key(band[Role.DRUMS], SIDE_STICK), unit, 16 * unit) == [0, 3, 6, 10, 13]
    assert onsets(band[Role.RIGHT].notes, unit, 16 * unit) == [0, 3, 6, 10, 13]


def test_bossa_nova_bass_is_dotted_root_and_fifth() -> None:
    # 1, and of 2, 3, and of 4; root, root, fifth, fifth: from memory.
    band = parts("bossa-nova", FOUR)

    assert onsets(band[Role.BASS].notes, EIGHTH, FOUR.bar) == [0, 3, 4, 7]
    assert names(band[Role.BASS], FOUR.bar) == ["C2", "C2", "G1", "G1"]
    assert onsets(key(band[Role.DRUMS], BASS_DRUM), EIGHTH, FOUR.bar) == [0, 3, 4, 7]


@pytest.mark.parametrize("meter", [SIX_EIGHT, TWELVE_EIGHT])
def test_gospel_plays_three_chords_to_a_beat(meter: Meter) -> None:
    # Twelve eighths in four threes: pianoplane.com.
    right = parts("gospel", meter, 2)[Role.RIGHT]

    assert onsets(right.notes, EIGHTH, meter.bar) == list(range(meter.bar // EIGHTH))


def test_pop_pushes_a_chord_onto_the_sixteenth_before_three() -> None:
    assert 7 in onsets(parts("pop-push", FOUR, 2)[Role.RIGHT].notes, SIXTEENTH, FOUR.bar)


def test_pop_brings_every_new_chord_a_sixteenth_early_and_the_bass_on_the_beat() -> None:
    chords, length = trial(FOUR, OVER)
    played = load("pop-push").play(Brief(chords, FOUR, length, OVER, 3), Random(1))
    right, bass = ({note.start for note in part.notes} for part in (played[0], played[2]))
    sounding = [(a, b) for a, b in pairwise(chords) if a.at.chord and b.at.chord]

    for before, voiced in sounding:
        if before.at.length > SIXTEENTH:
            assert voiced.at.start - SIXTEENTH in right
            assert voiced.at.start in bass


@pytest.mark.parametrize(("meter", "unit"), [(TWO, SIXTEENTH), (FOUR, EIGHTH)])
@pytest.mark.parametrize(("level", "cells"), [(1, [0, 3, 6]), (2, [0, 3, 4, 6])])
def test_habanera_and_tresillo_stand_in_the_left_hand(
    meter: Meter, unit: Time, level: int, cells: list[int]
) -> None:
    # Tresillo 3 + 3 + 2: Hutchinson 14.6.1. Habanera 0 3 4 6 of eight: 14.6.1.1, its numbers from memory.
    for texture in (OVER, TOGETHER):
        left = parts("habanera", meter, level, texture)[Role.LEFT]
        assert onsets(left.notes, unit, meter.bar) == cells


@pytest.mark.parametrize("level", [1, 2])
def test_montuno_keeps_its_clave_and_the_bar_on_the_beat_on_the_clave_s_two(level: int) -> None:
    # Son clave 2-3 and 3-2 in eighths of two bars: Toussaint. The bar that begins on the beat stands on the
    # two-side, the syncopated one on the three-side: "Playing in Clave", keyboardmag.com.
    band = parts("montuno", FOUR, level)
    clave = {1: [2, 4, 8, 11, 14], 2: [0, 3, 6, 10, 12]}[level]
    two_side = {1: 0, 2: 8}[level]

    assert onsets(key(band[Role.DRUMS], CLAVES), EIGHTH, 2 * FOUR.bar) == clave
    assert two_side in onsets(band[Role.RIGHT].notes, EIGHTH, 2 * FOUR.bar)
    assert 8 - two_side not in onsets(band[Role.RIGHT].notes, EIGHTH, 2 * FOUR.bar)


def test_reggae_drops_on_three_under_chords_on_two_and_four() -> None:
    # One drop: bass drum and side stick together on 3 (drummermauri.it; artsentertainment.cc).
    band = parts("reggae", FOUR)

    for drum in (BASS_DRUM, SIDE_STICK):
        assert 2 in onsets(key(band[Role.DRUMS], drum), QUARTER, FOUR.bar)
        assert 0 not in onsets(key(band[Role.DRUMS], drum), QUARTER, FOUR.bar)
    assert onsets(band[Role.RIGHT].notes, QUARTER, FOUR.bar) == [1, 3]
    # Chords between the beats and no downbeat: Hutchinson 14.5.2.
    assert onsets(parts("reggae", FOUR, 2)[Role.RIGHT].notes, EIGHTH, FOUR.bar) == [1, 3, 5, 7]


@pytest.mark.parametrize("name", ["boogie", "shuffle"])
def test_boogie_bass_climbs_to_the_sixth_and_the_flat_seventh(name: str) -> None:
    # 1-3-5-6-b7: common practice.
    bass = parts(name, FOUR, 3, TOGETHER)[Role.BASS]
    steps = [note.pitch.midi - bass.notes[0].pitch.midi for note in bass.notes]

    assert steps == [0, 0, 4, 4, 7, 7, 9, 9, 10, 10, 9, 9, 7, 7, 4, 4]


def test_bolero_bass_stands_on_one_three_and_four() -> None:
    assert onsets(parts("bolero", FOUR)[Role.BASS].notes, QUARTER, FOUR.bar) == [0, 2, 3]


def test_country_train_rolls_on_the_snare_accented_off_the_beat() -> None:
    snare = key(parts("country-train", FOUR)[Role.DRUMS], SNARE)
    loudest = max(hit.velocity for hit in snare)

    assert onsets(snare, SIXTEENTH, FOUR.bar) == list(range(16))
    assert {hit.start % QUARTER for hit in snare if hit.velocity == loudest} == {EIGHTH}


def test_funk_meets_on_one_and_has_ghost_notes_between_the_back_beats() -> None:
    band = parts("funk", FOUR, 2)
    snare = key(band[Role.DRUMS], SNARE)
    loudest = max(hit.velocity for hit in snare)

    assert {hit.start % FOUR.bar // QUARTER for hit in snare if hit.velocity == loudest} == {1, 3}
    assert min(hit.velocity for hit in snare) < loudest - 30
    for role in (Role.RIGHT, Role.BASS):
        assert 0 in onsets(band[role].notes, QUARTER, FOUR.bar)


def test_hymn_moves_all_voices_together() -> None:
    for level in (1, 2, 3):
        hands = parts("hymn", FOUR, level, Texture.FOUR_PART)
        assert {n.start for n in hands[Role.RIGHT].notes} == {n.start for n in hands[Role.LEFT].notes}


def test_lyric_holds_the_top_while_the_hand_ripples() -> None:
    right = parts("lyric", FOUR, 1)[Role.RIGHT]
    top = max(right.notes, key=lambda note: note.length)

    assert (top.pitch.name, top.length) == ("G4", FOUR.bar)
    assert all(note.pitch.midi < top.pitch.midi for note in right.notes if note.length < FOUR.bar)


def test_jazz_waltz_comps_on_one_and_the_and_of_two_over_a_bass_in_one() -> None:
    band = parts("jazz-waltz", THREE)

    assert onsets(band[Role.RIGHT].notes, EIGHTH, THREE.bar) == [0, 3]
    assert onsets(band[Role.BASS].notes, QUARTER, THREE.bar)[0] == 0


def test_waltz_bass_alternates_within_the_bar_where_every_bar_has_its_chord() -> None:
    chords, length = trial(THREE, OVER)
    played = load("waltz").play(Brief(chords, THREE, length, OVER, 2), Random(1))
    left = next(part for part in played if part.role is Role.LEFT)

    assert onsets([n for n in left.notes if n.start >= 7 * THREE.bar], QUARTER, 8 * THREE.bar)[:2] == [21, 23]


def test_stride_leaps_a_fifth_or_more_down_to_its_bass() -> None:
    chords, length = trial(FOUR, TOGETHER)
    for level in (1, 2):
        left = load("stride").play(Brief(chords, FOUR, length, TOGETHER, level), Random(1))[1]
        lows: dict[int, list[int]] = {}
        for note in left.notes:
            lows.setdefault(note.start, []).append(note.pitch.midi)
        struck = [lows[start] for start in sorted(lows)]
        leaps = [min(b) - a[0] for a, b in pairwise(struck) if len(a) == 1 and len(b) > 1]
        assert len(leaps) > 10
        assert min(leaps) >= 7


BANDS = [style for style in map(load, registry.names()) if Role.DRUMS in style.info.roles]


@pytest.mark.parametrize("style", BANDS, ids=lambda style: style.info.name)
def test_drums_play_a_groove_of_two_bars(style: Style) -> None:
    """A groove shared by two bars with a few variations: K. Cullen, "Two-bar grooves", Rhythm, 2017."""
    for meter in style.info.meters:
        for level in range(1, len(style.info.levels) + 1):
            bars = bars_of_drums(style, meter, level)
            first, second = bars[:2] if bars[0] != bars[1] else (bars[0], bars[2])
            frame = {(at, key) for at, key, _ in first} & {(at, key) for at, key, _ in second}
            assert first != second, (str(meter), level)
            assert meter.beats == 2 or bars[0] != bars[1], (str(meter), level)
            assert len(frame) >= len(first) / 3, (str(meter), level)


@pytest.mark.parametrize("style", BANDS, ids=lambda style: style.info.name)
def test_every_groove_has_ghost_notes_far_softer_than_its_accents(style: Style) -> None:
    """J. Riley, "Ghost Notes 101", Modern Drummer, December 2015: at a low volume, under loud back beats."""
    meter = style.info.meters[0]
    for level in range(1, len(style.info.levels) + 1):
        strokes = [hit for bar in bars_of_drums(style, meter, level) for hit in bar]
        softest, loudest = (each(velocity for _, _, velocity in strokes) for each in (min, max))
        assert loudest - softest >= 30, level


def bars_of_drums(style: Style, meter: Meter, level: int) -> list[set[tuple[int, int, int]]]:
    """Three bars: when, which, how loud. No fill is in them; in two beats a groove may last longer."""
    chords, _ = trial(meter, style.info.textures[0])
    long = tuple(
        replace(chords[0], at=replace(chords[0].at, start=number * meter.bar, length=meter.bar))
        for number in range(16)
    )
    brief = Brief(long, meter, 16 * meter.bar, style.info.textures[0], level, bpm=96)
    (drums,) = (part for part in style.play(brief, Random(1)) if part.role is Role.DRUMS)
    return [
        {
            (hit.start - begin, hit.key, hit.velocity)
            for hit in drums.hits
            if begin <= hit.start < begin + meter.bar
        }
        for begin in (0, meter.bar, 2 * meter.bar)
    ]


def test_a_boogie_climbs_to_the_flat_seventh_in_a_chord_of_one_bar_too() -> None:
    # Root, third, fifth, sixth and flat seventh: common practice.
    chords, _ = trial(FOUR, TOGETHER)
    bar = replace(chords[0], at=replace(chords[0].at, length=FOUR.bar))
    played = load("boogie").play(Brief((bar,), FOUR, FOUR.bar, TOGETHER, 3), Random(1))

    for role in (Role.LEFT, Role.BASS):
        line = next(part for part in played if part.role is role).notes
        assert [note.pitch.tone.name for note in line] == ["C", "C", "E", "E", "G", "A", "Bb", "A"]


@pytest.mark.parametrize("level", [1, 2])
@pytest.mark.parametrize("meter", ["4/4", "2/4", "2/2"])
def test_a_bossa_novas_left_hand_stays_low(level: int, meter: str) -> None:
    for key in KEY_SETS["all-major"]:
        drill = Drill(
            "sedge",
            "ii7 Vdom7 Imaj7",
            (key,),
            Meter.parse(meter),
            (120,),
            "bossa-nova",
            texture=OVER,
            level=level,
        )
        piece = next(iter(played_in_each_key(drill, load("bossa-nova")))).written(None)
        left = next(part for part in piece.parts if part.role is Role.LEFT)
        assert all(40 <= note.pitch.midi <= 55 for note in left.notes), key
