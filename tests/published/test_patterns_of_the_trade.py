"""Rhythms, walking bass, percussion and swing, against what is published of them.

Each source stands beside its check. Hutchinson is R. Hutchinson, Music Theory for the 21st-Century Classroom.
"""

from itertools import pairwise
from random import Random

import pretty_midi
import pytest

from tracks.drill.drill import Drill
from tracks.drill.in_key import in_each_key
from tracks.model import Role, Texture
from tracks.patterns import (
    ACOUSTIC_BASS,
    BOSSA_CLAVE,
    CHARLESTON,
    CINQUILLO,
    ELECTRIC_BASS,
    HABANERA,
    SON_CLAVE,
    SON_CLAVE_2_3,
    TRESILLO,
    drum_kit,
    rhythm,
    walk,
)
from tracks.patterns.feel import swing_ratio, swung
from tracks.practice.arrange import arrange
from tracks.progression.library import LIBRARY
from tracks.style import Brief
from tracks.style.registry import load
from tracks.theory.chord import Chord
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import QUARTER, Meter

C = Key.parse("C")
FOUR, THREE = Meter(4, 4), Meter(3, 4)
LOWEST, HIGHEST = 28, 55


@pytest.mark.parametrize(
    ("cells", "count", "onsets"),
    [
        # Attacks on 1 and the "and" of 2: Hutchinson 14.4.1 ("1 (2) &"); the Charleston's are the same
        # (thejazzchameleon.com; Modern Drummer).
        (CHARLESTON, 8, [0, 3]),
        # 3 + 3 + 2: Hutchinson 14.6.1.
        (TRESILLO, 8, [0, 3, 6]),
        # Dotted eighth, sixteenth, eighth, eighth: Hutchinson 14.6.1.1 names it; the numbers are from memory.
        (HABANERA, 8, [0, 3, 4, 6]),
        # G. Toussaint, "The Rhythm that Conquered the World": son clave 3-2 in one bar of sixteenths.
        (SON_CLAVE, 16, [0, 3, 6, 10, 12]),
        # 2-3: the same rotated by half, 2 4 8 11 14 (the same source).
        (SON_CLAVE_2_3, 16, [2, 4, 8, 11, 14]),
        # Long, short, long, short, long: from memory.
        (CINQUILLO, 8, [0, 2, 3, 5, 6]),
        # Gaps 3-3-4-3-3, in several public copies, one of which corrects that the *son* clave were Euclidean.
        (BOSSA_CLAVE, 16, [0, 3, 6, 10, 13]),
    ],
)
def test_named_rhythm_has_its_onsets(cells: str, count: int, onsets: list[int]) -> None:
    written = rhythm(cells, "x")

    assert written.cells == count
    assert [stroke.cell for stroke in written.strokes] == onsets


@pytest.mark.parametrize(
    ("cells", "gaps"), [(SON_CLAVE, [3, 3, 4, 2, 4]), (BOSSA_CLAVE, [3, 3, 4, 3, 3]), (TRESILLO, [3, 3, 2])]
)
def test_named_rhythm_has_its_gaps(cells: str, gaps: list[int]) -> None:
    # The same sources, which print the gaps too.
    onsets = [stroke.cell for stroke in rhythm(cells, "x").strokes]

    assert [later - earlier for earlier, later in pairwise([*onsets, len(cells.split())])] == gaps


def walked(text: str, key: Key, meter: Meter = FOUR, seed: int = 1) -> tuple[Brief, list[int]]:
    """A brief and the walking bass on it, a MIDI number a beat."""
    (in_key,) = in_each_key(Drill("sedge", text, (key,), meter, (120,), texture=Texture.OVER_BASS))
    brief = Brief(in_key.chords, meter, in_key.changes.length, Texture.OVER_BASS)
    return brief, [note.pitch.midi for note in walk(brief, Random(seed)).notes]


# "How to create a walking bass line" (Dummies.com); C. Fitzgerald, Walking Bass Line Theory Basics,
# agrees: a note a beat, the root or written bass on 1, chord or scale tones between, and on the last
# beat a half step, a scale step or the fifth that leads to the next root. Two chords in a bar: targets
# on 1 and 3, approaches on 2 and 4.


def stretches(brief: Brief) -> list[tuple[int, int, Chord, Key]]:
    """First beat, beats, chord and key of each chord in each bar, beats counted from 0."""
    found = []
    for voiced in brief.chords:
        assert voiced.at.chord
        first, last = voiced.at.start // QUARTER, voiced.at.end // QUARTER
        while first < last:
            stop = min(last, first - first % brief.meter.beats + brief.meter.beats)
            found.append((first, stop - first, voiced.at.chord, voiced.at.key))
            first = stop
    return found


@pytest.mark.parametrize("seed", range(4))
def test_walking_bass_keeps_the_rules_on_every_common_progression(seed: int) -> None:
    for number, entry in enumerate(LIBRARY):
        key = KEY_SETS[f"all-{entry.mode.value}"][(5 * seed + number) % 12]
        brief, line = walked(entry.text, key, seed=seed)
        parts = stretches(brief)
        assert len(line) == brief.length // QUARTER
        assert all(LOWEST <= note <= HIGHEST for note in line)
        for first, count, chord, here in parts:
            assert line[first] % 12 == chord.bass.chroma, entry.name
            for note in line[first + 1 : first + count - 1]:
                scale = {tone.chroma for tone in (*here.scale, *chord.tones)}
                assert note % 12 in scale, entry.name
        for (first, count, *_), (following, *_) in pairwise(parts):
            if count > 1:
                approach, root = line[first + count - 1], line[following]
                assert approach - root in (-5, -2, -1, 1, 2, 7), entry.name
        # No note twice in a row, across a bar line or within one.
        assert all(a != b for a, b in pairwise(line)), entry.name


def test_walking_bass_of_two_chords_in_a_bar_has_its_targets_on_one_and_three() -> None:
    _, line = walked("| Dm7 G7 | Em7 A7 | Dm7 G7 | C |", C)

    assert [note % 12 for note in line[:12:2]] == [2, 7, 4, 9, 2, 7]
    for approach, target in zip(line[1:12:2], line[2:13:2], strict=True):
        assert approach - target in (-5, -2, -1, 1, 2, 7)


def test_walking_bass_stands_on_the_chord_in_the_middle_of_the_bar() -> None:
    # Passing notes belong on the second and fourth beats (convention).
    on_three = []
    for seed in range(40):
        brief, line = walked("| Dm7 | G7 | Cmaj7 | Am7 |", C, seed=seed)
        for first, _, chord, _ in stretches(brief):
            on_three.append(line[first + 2] % 12 in {tone.chroma for tone in chord.tones})

    assert sum(on_three) >= 0.9 * len(on_three)


def test_walking_bass_goes_somewhere() -> None:
    # The goal is ours: under a fifth of the bars back on the root at 3, two fifths that go one way or make
    # one arch. `python -m tests.styles.audit_styles` counts the whole library.
    back, arches, bars = 0, 0, 0
    for number, entry in enumerate(LIBRARY[::5]):
        brief, line = walked(entry.text, KEY_SETS[f"all-{entry.mode.value}"][number % 12], seed=number)
        for first, count, _, _ in stretches(brief):
            if count == 4:
                bar = line[first : first + 4]
                rises = [b > a for a, b in pairwise(bar)]
                bars += 1
                back += bar[2] % 12 == bar[0] % 12
                arches += sum(a != b for a, b in pairwise(rises)) <= 1

    assert bars > 50
    assert back < 0.2 * bars
    assert arches > 0.4 * bars


def test_walking_bass_skips_now_and_then_only_where_it_is_asked() -> None:
    brief, line = walked("ii V I vi", C)

    plain, skipping = (walk(brief, Random(4), skips=skips).notes for skips in (False, True))

    assert len(plain) == len(line)
    assert any(
        note.start % QUARTER for skips in range(9) for note in walk(brief, Random(skips), skips=True).notes
    )
    assert {note.start for note in skipping} >= {note.start for note in plain}


def test_walking_bass_plays_a_written_slash_bass() -> None:
    _, line = walked("| C/E | F | G7/B | C |", C)

    assert [note % 12 for note in line[::4]] == [4, 5, 11, 0]


def test_walking_bass_steps_in_three_too() -> None:
    brief, line = walked("| C | A7 | Dm | G7 |", C, THREE)

    assert [note % 12 for note in line[::3]] == [0, 9, 2, 7]
    assert len(line) == brief.length // QUARTER


def test_percussion_keys_bear_the_standards_names() -> None:
    # "General MIDI System Level 1", MMA, 1991, as pretty_midi transcribes it.
    spelled = {
        "BASS_DRUM": "Bass Drum 1",
        "SIDE_STICK": "Side Stick",
        "SNARE": "Acoustic Snare",
        "LOW_FLOOR_TOM": "Low Floor Tom",
        "CLOSED_HI_HAT": "Closed Hi Hat",
        "PEDAL_HI_HAT": "Pedal Hi Hat",
        "LOW_TOM": "Low Tom",
        "OPEN_HI_HAT": "Open Hi Hat",
        "HIGH_MID_TOM": "Hi Mid Tom",
        "CRASH_CYMBAL": "Crash Cymbal 1",
        "HIGH_TOM": "High Tom",
        "RIDE_CYMBAL": "Ride Cymbal 1",
        "TAMBOURINE": "Tambourine",
        "COWBELL": "Cowbell",
        "HIGH_BONGO": "Hi Bongo",
        "LOW_BONGO": "Low Bongo",
        "MUTE_HIGH_CONGA": "Mute Hi Conga",
        "OPEN_HIGH_CONGA": "Open Hi Conga",
        "LOW_CONGA": "Low Conga",
        "HIGH_TIMBALE": "High Timbale",
        "LOW_TIMBALE": "Low Timbale",
        "MARACAS": "Maracas",
        "CLAVES": "Claves",
    }
    keys = {name: value for name, value in vars(drum_kit).items() if name.isupper() and name[0] != "_"}
    ours = {name: key for name, key in keys.items() if not name.endswith("_KIT")}

    assert set(ours) == set(spelled)
    for name, key in ours.items():
        said = pretty_midi.note_number_to_drum_name(key)
        assert said.replace("-", " ").lower() == spelled[name].lower()


def test_bass_programs_are_the_standards() -> None:
    # The same standard; programs count from 0 on the wire.
    assert pretty_midi.program_to_instrument_name(ACOUSTIC_BASS) == "Acoustic Bass"
    assert pretty_midi.program_to_instrument_name(ELECTRIC_BASS) == "Electric Bass (finger)"


@pytest.mark.parametrize(
    ("bpm", "ratio"),
    [(100, 3.5), (120, 3.5), (133, 3.5), (150, 3.0), (160, 2.75), (200, 2.0), (240, 1.5), (300, 1.0)],
)
def test_swing_ratio_falls_with_the_tempo(bpm: int, ratio: float) -> None:
    # A. Friberg and A. Sundstroem, Music Perception 19(3), 2002, abstract: as high as 3.5:1 at slow tempos,
    # 1:1 at fast ones, the short note constant at about 100 ms. The table is derived from that, not printed.
    assert swing_ratio(bpm) == pytest.approx(ratio, abs=0.02)


@pytest.mark.parametrize("bpm", [150, 160, 200, 240])
def test_swung_short_note_lasts_a_tenth_of_a_second(bpm: int) -> None:
    off_beat = swung(QUARTER // 2, swing_ratio(bpm), FOUR)

    assert (QUARTER - off_beat) / QUARTER * 60 / bpm == pytest.approx(0.100, abs=0.001)


def test_hands_swing_less_than_the_drums() -> None:
    # The same abstract: a soloist's ratio is smaller than the cymbal's.
    style = load("swing")
    drill = Drill(
        "sedge",
        "| Dm7 | G7 | C | C |",
        KEY_SETS["all-major"][:1],
        FOUR,
        (120,),
        "swing",
        3,
        Texture.OVER_BASS,
    )
    (in_key,) = in_each_key(drill)
    made = {part.role: part for part in arrange(drill, style, in_key.changes, in_key.chords, 120).parts}

    def off_beats(starts: list[int]) -> list[float]:
        return [place for start in starts if 0.4 < (place := start % QUARTER / QUARTER) < 0.9]

    hands = off_beats([note.start for note in made[Role.RIGHT].notes])
    drums = off_beats([hit.start for hit in made[Role.DRUMS].hits if hit.key == drum_kit.RIDE_CYMBAL])
    assert 0.5 < max(hands) < min(drums)
