"""A thousand seeds over the library's progressions, in six meters, six levels, both textures, all keys.

What a tune must keep is worked out here from the notes alone, not by the engine's own rules. Convention.
"""

from collections import Counter
from collections.abc import Iterator
from itertools import pairwise

import pytest
from tunes import LEVELS, brief, case, chord_under, does, figure, tune

from tracks.melody.context import LOWEST_TONIC
from tracks.melody.tune import improvise
from tracks.model import Note, VoicedChord
from tracks.progression.library import Entry
from tracks.style import Brief
from tracks.theory.chord_scales import chord_scales
from tracks.theory.pitch import Pitch

SEEDS = range(1000)
BLUES = 5
Tune = tuple[Brief, int, Entry, tuple[Note, ...]]


@pytest.fixture(scope="module")
def tunes() -> list[Tune]:
    from random import Random

    return [(*case(seed), improvise(case(seed)[0], Random(seed))) for seed in SEEDS]


def notes_at(tunes: list[Tune], *levels: int) -> Iterator[tuple[Brief, Note]]:
    return ((given, note) for given, level, _, notes in tunes if level in levels for note in notes)


def is_strong(given: Brief, note: Note) -> bool:
    """On a bar's first beat, at the middle of a bar of four beats, or where a chord begins."""
    bar = given.meter.bar
    half = bar // 2 if given.meter.beats in (4, 8) else bar
    return note.start % bar == 0 or note.start % bar == half or chord_under(given, note).start == note.start


def test_strong_beats_are_chord_tones(tunes: list[Tune]) -> None:
    counted = Counter(
        note.pitch.tone in chord.tones
        for given, note in notes_at(tunes, 1, 2, 3, 4, 6)
        if is_strong(given, note) and (chord := chord_under(given, note).chord)
    )

    assert counted[False] == 0
    assert counted[True] > 5000


def test_at_the_blues_level_a_strong_beat_takes_the_blues_or_the_pentatonic_scale_too(
    tunes: list[Tune],
) -> None:
    for given, note in notes_at(tunes, BLUES):
        chord = chord_under(given, note).chord
        assert chord
        if is_strong(given, note):
            assert note.pitch.tone in chord.tones or does(note).startswith(("blues", "pentatonic")), note


def test_every_note_is_in_its_chord_scale_or_says_why_it_is_not(tunes: list[Tune]) -> None:
    for given, note in notes_at(tunes, *LEVELS):
        at = chord_under(given, note)
        assert at.chord
        scale = chord_scales(at.chord, at.key)[0]
        if note.pitch.tone not in (*scale.tones, *at.chord.tones):
            assert does(note).startswith(("approach", "enclosure", "blues", "pentatonic")), note


def test_a_leap_of_more_than_a_fourth_is_recovered(tunes: list[Tune]) -> None:
    for _, _, named, notes in tunes:
        for (before, here), (_, after) in pairwise(pairwise(notes)):
            leap, move = here.pitch.midi - before.pitch.midi, after.pitch.midi - here.pitch.midi
            if abs(leap) > 5:
                assert leap * move < 0, named.name
                assert abs(move) <= 4, named.name
        assert len(notes) < 2 or abs(notes[-1].pitch.midi - notes[-2].pitch.midi) <= 5, named.name


def test_no_interval_is_hard_to_sing(tunes: list[Tune]) -> None:
    sizes = {
        abs(after.pitch.midi - before.pitch.midi)
        for _, _, _, notes in tunes
        for before, after in pairwise(notes)
    }

    assert sizes <= {0, 1, 2, 3, 4, 5, 7, 8, 9, 12}


def test_a_seventh_is_held_or_falls_by_step_into_the_next_chord(tunes: list[Tune]) -> None:
    for given, level, named, notes in tunes:
        for before, after in pairwise(notes) if level != BLUES else ():
            left, entered = chord_under(given, before).chord, chord_under(given, after).chord
            assert left
            assert entered
            if left.tones != entered.tones and before.pitch.tone == left.factor(7):
                assert -2 <= after.pitch.midi - before.pitch.midi <= 0, named.name


def _gives_way(given: Brief) -> bool:
    """Whether the left hand climbs into the compass, as in a bass that goes up a whole octave."""
    tonic = Pitch.at_or_above(given.chords[0].at.key.tonic, LOWEST_TONIC).midi
    return any(v.left and v.left.pitches[-1].midi >= tonic + 3 for v in given.chords)


def test_tune_has_a_singers_compass_above_the_left_hand(tunes: list[Tune]) -> None:
    for given, _, named, notes in tunes:
        midis = [note.pitch.midi for note in notes]
        assert 58 <= min(midis) <= max(midis) <= 86, named.name
        if not _gives_way(given):
            assert max(midis) - min(midis) <= 17, named.name
        for note in notes:
            left = next(v.left for v in given.chords if v.at.start <= note.start < v.at.end)
            assert left
            assert note.pitch.midi > left.pitches[-1].midi, named.name


def test_no_two_notes_overlap(tunes: list[Tune]) -> None:
    for given, _, _, notes in tunes:
        for before, after in pairwise(notes):
            assert before.end <= after.start
        assert notes[-1].end <= given.length


def test_phrases_breathe(tunes: list[Tune]) -> None:
    for given, _, named, notes in tunes:
        bar, sung = given.meter.bar, notes[0].start
        for before, after in pairwise(notes):
            if after.start > before.end:
                sung = after.start
            assert after.end - sung <= 5 * bar or after is notes[-1], named.name


def test_no_chord_enters_under_a_held_note_unless_the_note_anticipates_it(tunes: list[Tune]) -> None:
    anticipating = 0
    for given, note in notes_at(tunes, *LEVELS):
        entering = [v.at for v in given.chords if note.start < v.at.start < note.end]
        if entering:
            (at,) = entering
            anticipating += 1
            assert at.chord
            assert note.pitch.tone in at.chord.tones
            assert at.start - note.start <= given.meter.division
            assert does(note).startswith(f"anticipates {at.chord.symbol}")
    assert anticipating > 20


def test_phrases_lead_in_before_their_bar_and_bars_are_not_all_begun_alike(tunes: list[Tune]) -> None:
    led, begun = 0, 0
    for given, level, _, notes in tunes:
        for before, after in pairwise(notes) if level > 1 else ():
            if after.start > before.end:
                begun += 1
                led += (after.start - given.pickup) % given.meter.bar != 0
    assert begun / 4 < led < begun


def test_tune_ends_on_the_root_of_the_last_chord_held(tunes: list[Tune]) -> None:
    for given, _, _, notes in tunes:
        last: VoicedChord = given.chords[-1]
        assert last.at.chord
        assert notes[-1].pitch.tone == last.at.chord.root
        assert (notes[-1].start, notes[-1].end) == (last.at.start, last.at.end)


def test_every_note_has_a_finger_and_its_reason(tunes: list[Tune]) -> None:
    assert all(note.finger and note.why for _, note in notes_at(tunes, *LEVELS))


def test_each_level_has_its_own_device(tunes: list[Tune]) -> None:
    heads = {
        level: Counter(does(note).split(",")[0].split()[0] for _, note in notes_at(tunes, level))
        for level in LEVELS
    }

    assert set(heads[1]) == {"chord"}
    assert set(heads[2]) == {"chord", "passing", "upper", "lower"}
    assert heads[3]["guide"] > 200
    assert min(heads[4]["approach"], heads[4]["enclosure"]) > 50
    assert min(heads[5]["blues"], heads[5]["pentatonic"]) > 50
    assert not {"approach", "enclosure", "blues"} & {*heads[1], *heads[2], *heads[3]}
    motifs = Counter(figure(note) for _, note in notes_at(tunes, 6))
    assert {"motif", "motif again", "motif answered, upside down", "motif, a step higher"} <= set(motifs)


@pytest.mark.parametrize("level", LEVELS)
def test_another_seed_is_another_tune(level: int) -> None:
    given = brief("I IV viio iii vi ii V I")

    tunes = {tuple((note.start, note.pitch) for note in tune(given, seed, level)) for seed in range(170)}

    assert len(tunes) == 170
