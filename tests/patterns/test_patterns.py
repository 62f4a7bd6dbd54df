"""The rhythm tools. Hutchinson is R. Hutchinson, Music Theory for the 21st-Century Classroom."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.model import ChordAt, Hand, Note, Role, Texture, VoicedChord
from tracks.patterns import (
    EVERYDAY_METERS,
    Figure,
    Stroke,
    alternate_bass,
    beats,
    drum,
    figure,
    held,
    lay,
    velocity,
    without_overlap,
)
from tracks.style import Brief
from tracks.theory.chord import parse_symbol
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import QUARTER, Meter, Time
from tracks.theory.pitch import Pitch

C = Key.parse("C")
FOUR, THREE, TWO = Meter(4, 4), Meter(3, 4), Meter(2, 4)
SIX_EIGHT, TWELVE_EIGHT = Meter(6, 8), Meter(12, 8)
EIGHTH = QUARTER // 2
HANDS = {
    "Cmaj7": ("C4 E4 B4", "C3 E3 B3"),
    "C": ("C4 E4 G4", "C3 E3 G3"),
    "F": ("C4 F4 A4", "C3 F3 A3"),
    "G7": ("B3 F4 G4", "B2 F3 G3"),
    "C/E": ("C4 E4 G4", "E3"),
}


def hand(names: str) -> Hand:
    return Hand(tuple(Pitch.parse(name) for name in names.split()), ())


def brief(meter: Meter, *chords: tuple[str, Time], pickup: Time = 0) -> Brief:
    voiced, now = [], 0
    for place, (name, length) in enumerate(chords):
        chord = parse_symbol(name) if name in HANDS else None
        at = ChordAt(now, length, chord, C, bar=1, written=place)
        right, left = map(hand, HANDS[name]) if chord else (None, None)
        voiced.append(VoicedChord(at, right, left))
        now += length
    return Brief(tuple(voiced), meter, now, Texture.DOUBLED, pickup=pickup)


def heard(notes: tuple[Note, ...], unit: Time = QUARTER) -> list[tuple[float, float, str]]:
    """Start, length and pitch of each note, the times in units (quarters)."""
    return [(note.start / unit, note.length / unit, note.pitch.name) for note in notes]


def struck(notes: tuple[Note, ...], unit: Time = QUARTER) -> dict[float, str]:
    """What is struck at each moment."""
    moments: dict[float, str] = {}
    for note in notes:
        before = moments.get(note.start / unit)
        moments[note.start / unit] = f"{before} {note.pitch}" if before else note.pitch.name
    return moments


def test_figure_reads_cells_holds_rests_and_accents() -> None:
    read = figure("B - . | A>", per_beat=2)

    assert read == Figure((Stroke(0, 2, "B"), Stroke(3, 1, "A", accented=True)), cells=4, per_beat=2)


@pytest.mark.parametrize(
    ("text", "per_beat"),
    [("A Q", 1), ("- A", 1), ("A . -", 1), ("", 1), (". .", 1), ("6", 1), ("A", 0), ("A", 11)],
)
def test_figure_that_means_nothing_is_refused(text: str, per_beat: int) -> None:
    with pytest.raises(RequestError, match="figure"):
        figure(text, per_beat)


def test_waltz_puts_the_bass_on_one_and_the_chord_on_two_and_three() -> None:
    # Waltz accompaniment: bass note on 1, chord on 2 and 3 (klavier.susannegerdts.de, Walzerbegleitung).
    part = lay(brief(THREE, ("C", THREE.bar)), Role.LEFT, figure("B U U"))

    assert struck(part.notes) == {0: "C3", 1: "E3 G3", 2: "E3 G3"}


def test_alberti_goes_low_high_middle_high() -> None:
    # Hutchinson 14.3.2: low, high, middle, high of a close chord.
    part = lay(brief(FOUR, ("C", FOUR.bar)), Role.LEFT, figure("1 3 2 3", per_beat=2))

    assert [note.pitch.name for note in part.notes] == ["C3", "G3", "E3", "G3"] * 2
    assert {note.length for note in part.notes} == {EIGHTH}


def test_charleston_strikes_on_one_and_on_the_and_of_two() -> None:
    # Hutchinson 14.4.1, the "1 (2) &" pattern: eighths 0 and 3.
    part = lay(brief(FOUR, ("C", FOUR.bar)), Role.RIGHT, figure("A - - A - - - -", per_beat=2))

    assert list(struck(part.notes, EIGHTH)) == [0, 3]


def test_son_clave_over_two_bars_does_not_start_again_at_the_second() -> None:
    # G. Toussaint, "The Rhythm that Conquered the World": 3-2 son clave in sixteenths 0 3 6 10 12; here
    # in eighths, over two bars of 4/4.
    clave = figure("x . . x . . x . | . . x . x . . .", per_beat=2)

    part = drum(brief(FOUR, ("C", 4 * FOUR.bar)), {75: clave})

    assert [hit.start // EIGHTH for hit in part.hits] == [0, 3, 6, 10, 12, 16, 19, 22, 26, 28]


def test_figure_shorter_than_the_bar_starts_again_at_the_bar_line() -> None:
    part = lay(brief(THREE, ("C", 2 * THREE.bar)), Role.LEFT, figure("B T"))

    assert [note.pitch.name for note in part.notes] == ["C3", "G3", "C3"] * 2


@pytest.mark.parametrize(
    ("meter", "beats_struck"), [(TWO, 2), (THREE, 3), (FOUR, 4), (SIX_EIGHT, 2), (TWELVE_EIGHT, 4)]
)
def test_a_cell_is_a_felt_beat(meter: Meter, beats_struck: int) -> None:
    part = lay(brief(meter, ("C", meter.bar)), Role.LEFT, figure("B"))

    assert [note.start for note in part.notes] == [beat * meter.beat for beat in range(beats_struck)]


def test_held_chord_is_struck_again_at_the_bar_line_and_at_a_new_chord() -> None:
    changes = brief(FOUR, ("C", 6 * QUARTER), ("F", 2 * QUARTER))

    part = lay(changes, Role.LEFT, held(FOUR, "B"))

    assert heard(part.notes) == [(0, 4, "C3"), (4, 2, "C3"), (6, 2, "C3")]


def test_chord_entering_between_beats_is_struck_at_its_own_start() -> None:
    changes = brief(TWO, ("C", QUARTER + EIGHTH), ("F", EIGHTH))

    part = lay(changes, Role.RIGHT, figure("T"))

    assert heard(part.notes) == [(0, 1, "G4"), (1, 0.5, "G4"), (1.5, 0.5, "A4")]


def test_rest_stays_a_rest_where_a_chord_enters() -> None:
    changes = brief(FOUR, ("C", QUARTER), ("F", 3 * QUARTER))

    part = lay(changes, Role.RIGHT, figure("T . T ."))

    assert heard(part.notes) == [(0, 1, "G4"), (2, 1, "A4")]


def test_figure_begun_anew_starts_at_every_chord() -> None:
    changes = brief(FOUR, ("C", QUARTER), ("F", 3 * QUARTER))

    part = lay(changes, Role.LEFT, figure("B T . .", anew=True))

    assert heard(part.notes) == [(0, 1, "C3"), (1, 1, "C3"), (2, 1, "A3")]


def test_first_bass_on_a_chord_is_the_chords_bass() -> None:
    changes = brief(FOUR, ("C", 2 * QUARTER), ("F", 2 * QUARTER))

    part = lay(changes, Role.LEFT, figure("B - F -"))

    assert heard(part.notes) == [(0, 2, "C3"), (2, 2, "C3")]  # the C of F: its left hand's lowest


def test_chord_that_a_figure_rests_through_is_struck_as_it_enters() -> None:
    changes = brief(FOUR, ("C", 2 * QUARTER), ("F", 2 * QUARTER))

    part = lay(changes, Role.RIGHT, figure("T - . ."))

    assert heard(part.notes) == [(0, 2, "G4"), (2, 2, "A4")]


def test_long_figure_begun_anew_counts_its_bars_from_the_chords_first() -> None:
    changes = brief(THREE, ("C", THREE.bar), ("F", 2 * THREE.bar))

    part = lay(changes, Role.LEFT, figure("1 . . 2 . .", anew=True))

    assert [note.pitch.name for note in part.notes] == ["C3", "C3", "F3"]


def test_chords_and_bar_lines_come_early_where_they_are_pushed() -> None:
    changes = brief(FOUR, ("C", FOUR.bar), ("F", FOUR.bar), ("N.C.", FOUR.bar), ("C", FOUR.bar))

    part = lay(changes, Role.RIGHT, figure("T - T -"), early=EIGHTH)

    assert heard(part.notes) == [
        (0, 1.5, "G4"), (1.5, 2, "G4"), (3.5, 2, "A4"), (5.5, 2, "A4"),
        (12, 1.5, "G4"), (13.5, 2, "G4"), (15.5, 0.5, "G4"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("cell", "names"),
    [("L", ["C2"]), ("M", ["G1"]), ("V", ["G2"]), ("H", ["C3"]), ("O", ["C2", "C3"]), ("8", ["C4"])],
)
def test_left_hand_reaches_for_what_its_voicing_lacks(cell: str, names: list[str]) -> None:
    part = lay(brief(FOUR, ("C", FOUR.bar)), Role.LEFT, figure(f"L {cell} - -" if cell != "8" else "1 8 - -"))

    assert [note.pitch.name for note in part.notes if note.start == QUARTER] == names


def test_bass_player_has_the_chords_tones_upwards_from_its_bass() -> None:
    changes = brief(FOUR, ("C", FOUR.bar), ("C/E", FOUR.bar), ("G7", FOUR.bar))

    part = lay(changes, Role.BASS, figure("1 2 3 4"))

    names = [note.pitch.name for note in part.notes]
    assert names == ["C2", "E2", "G2", "G2", "E2", "G2", "C3", "C3", "G2", "B2", "D3", "F3"]


def test_nothing_is_struck_in_silence() -> None:
    changes = brief(FOUR, ("C", FOUR.bar), ("N.C.", FOUR.bar), ("F", FOUR.bar))

    part = lay(changes, Role.LEFT, held(FOUR, "B"))

    assert heard(part.notes) == [(0, 4, "C3"), (8, 4, "C3")]


def test_pickup_takes_the_end_of_the_bar() -> None:
    changes = brief(FOUR, ("G7", QUARTER), ("C", FOUR.bar), pickup=QUARTER)

    part = lay(changes, Role.LEFT, figure("B . T 2"))

    assert heard(part.notes) == [(0, 1, "F3"), (1, 1, "C3"), (3, 1, "G3"), (4, 1, "E3")]


def test_hand_with_fewer_notes_gives_its_top_note() -> None:
    part = lay(brief(FOUR, ("C/E", FOUR.bar)), Role.LEFT, figure("1 2 U 4"))

    assert [note.pitch.name for note in part.notes] == ["E3"] * 4


def test_fingers_follow_their_notes() -> None:
    at = ChordAt(0, FOUR.bar, parse_symbol("C"), C, 1, 0)
    left = Hand(tuple(map(Pitch.parse, ("C3", "E3", "G3"))), (5, 3, 1))
    fingered = Brief((VoicedChord(at, None, left),), FOUR, FOUR.bar, Texture.DOUBLED)

    part = lay(fingered, Role.LEFT, figure("1 3 2 F"))

    assert [note.finger for note in part.notes] == [5, 1, 3, None]


def test_figures_over_one_another_never_hold_a_key_that_is_struck() -> None:
    part = lay(brief(FOUR, ("C", FOUR.bar)), Role.LEFT, held(FOUR, "B"), figure(". A . A"))

    bass = [note for note in part.notes if note.pitch.name == "C3"]
    assert heard(tuple(bass)) == [(0, 1, "C3"), (1, 1, "C3"), (3, 1, "C3")]


def test_drum_figure_on_a_hand_is_refused() -> None:
    with pytest.raises(RequestError, match="drum"):
        lay(brief(FOUR, ("C", FOUR.bar)), Role.LEFT, figure("x"))


@pytest.mark.parametrize(
    ("symbol", "bass", "right", "expected"),
    [
        ("C", "C3", "C4 E4 G4", "G2"),  # the fourth below is nearer than the fifth above
        ("C", "E2", "C4 E4 G4", "C3"),  # the bass is the third: the root
        ("C", "G2", "C4 E4 G4", "C3"),  # the bass is the fifth: the root
        ("E", "E2", "B3 E4 G#4", "B2"),  # nothing below E2
        ("F", "F2", "F3 A3 C4", "C3"),
        ("Bdim", "B2", "B3 D4 F4", "F2"),  # two a tritone away: the lower
        ("C5", "C3", "G2 C3", "C3"),  # no room below the right hand
        ("Csus4", "C3", "C4 F4 G4", "G2"),
    ],
)
def test_alternate_bass_is_the_nearest_fifth_or_the_root(
    symbol: str, bass: str, right: str, expected: str
) -> None:
    voiced = VoicedChord(ChordAt(0, FOUR.bar, parse_symbol(symbol), C, 1, 0), hand(right), hand(bass))

    assert alternate_bass(voiced, Pitch.parse(bass), 40, 64).name == expected


def test_weight_falls_from_the_downbeat_to_the_offbeat() -> None:
    four = brief(FOUR, ("C", FOUR.bar))
    weights = [velocity(four, at) for at in (0, 2 * QUARTER, QUARTER, EIGHTH)]

    assert weights == sorted(weights, reverse=True)
    assert len(set(weights)) == 4
    assert velocity(four, 3 * QUARTER) == velocity(four, QUARTER)


def test_weight_counts_from_the_first_downbeat_after_a_pickup() -> None:
    lead_in = brief(FOUR, ("G7", QUARTER), ("C", FOUR.bar), pickup=QUARTER)

    assert velocity(lead_in, QUARTER) > velocity(lead_in, 0)


def test_accent_is_louder() -> None:
    plain, accented = lay(brief(TWO, ("C", 2 * TWO.bar)), Role.LEFT, figure("B . B> .")).notes

    assert accented.velocity > plain.velocity


def test_beats_of_a_chord_are_the_bars_and_what_it_cuts_of_them() -> None:
    changes = brief(SIX_EIGHT, ("C", 4 * EIGHTH), ("F", 2 * EIGHTH))

    assert beats(changes, changes.chords[0].at) == ((0, 3 * EIGHTH), (3 * EIGHTH, 4 * EIGHTH))
    assert beats(changes, changes.chords[1].at) == ((4 * EIGHTH, 6 * EIGHTH),)


NOTES = st.lists(
    st.builds(
        Note,
        start=st.integers(0, 20),
        length=st.integers(1, 10),
        pitch=st.sampled_from([Pitch.parse("C4"), Pitch.parse("B#3"), Pitch.parse("E4")]),
    )
)


@given(NOTES)
def test_without_overlap_keeps_every_attack_and_holds_no_struck_key(notes: list[Note]) -> None:
    kept = without_overlap(notes)

    assert {(n.start, n.pitch.midi) for n in kept} == {(n.start, n.pitch.midi) for n in notes}
    for key in {note.pitch.midi for note in kept}:
        line = [note for note in kept if note.pitch.midi == key]
        assert all(a.end <= b.start for a, b in pairwise(line))


CELLS = st.lists(st.sampled_from("AUTBF123.-"), min_size=1, max_size=12)


@given(
    cells=CELLS,
    per_beat=st.sampled_from([1, 2, 3, 4, 6]),
    anew=st.booleans(),
    meter=st.sampled_from(EVERYDAY_METERS),
    lengths=st.lists(st.tuples(st.sampled_from([*HANDS, "N.C."]), st.integers(1, 9)), min_size=1, max_size=8),
)
def test_no_note_crosses_its_chord_or_lies_in_silence(
    cells: list[str], per_beat: int, anew: bool, meter: Meter, lengths: list[tuple[str, int]]
) -> None:
    try:
        rhythm = figure(" ".join(cells), per_beat, anew)
    except RequestError:
        return
    changes = brief(meter, *((name, count * meter.division) for name, count in lengths))

    for note in lay(changes, Role.LEFT, rhythm).notes:
        within = [v for v in changes.chords if v.at.start <= note.start and note.end <= v.at.end]
        assert len(within) == 1
        assert within[0].at.chord is not None


def test_every_everyday_meter_is_named_once() -> None:
    assert len(set(EVERYDAY_METERS)) == len(EVERYDAY_METERS)
    assert {FOUR, THREE, TWO, SIX_EIGHT, TWELVE_EIGHT} <= set(EVERYDAY_METERS)


def test_a_stroke_that_anticipates_is_the_coming_chords_and_is_not_struck_again() -> None:
    # The and of 4 plays the coming chord: "The First 5 Comping Patterns to Teach Your Students",
    # jazzresources.org.
    changes = brief(FOUR, ("C", FOUR.bar), ("F", FOUR.bar))

    notes = lay(changes, Role.LEFT, figure("B . . . . . . B+ | - - . . B . . .", 2)).notes

    assert heard(notes) == [(0, 0.5, "C3"), (3.5, 1.5, "C3"), (6, 0.5, "C3")]
    names = [n.pitch.name for n in lay(changes, Role.RIGHT, figure("A . . . . . . A+", 2)).notes]
    assert names == ["C4", "E4", "G4", "C4", "F4", "A4", "C4", "F4", "A4", "C4", "F4", "A4"]


def test_silence_is_not_anticipated_and_a_chord_that_goes_on_is_struck_again() -> None:
    into_silence = brief(TWO, ("C", TWO.bar), ("N.C.", TWO.bar))
    goes_on = brief(TWO, ("C", 2 * TWO.bar))

    for changes, starts in ((into_silence, [0, 1.5]), (goes_on, [0, 1.5, 2, 3.5])):
        notes = lay(changes, Role.LEFT, figure("B . . B+", 2)).notes
        assert [start for start, _, _ in heard(notes)] == starts
        assert {note.pitch.name for note in notes} == {"C3"}


def test_a_chord_whose_only_stroke_is_the_coming_ones_is_struck_as_it_enters() -> None:
    notes = lay(brief(TWO, ("C", TWO.bar), ("G7", TWO.bar)), Role.LEFT, figure(". . . B+", 2)).notes

    assert heard(notes)[:2] == [(0, 1.5, "C3"), (1.5, 0.5, "B2")]


def test_a_bass_leads_by_step_to_the_coming_chord() -> None:
    notes = lay(brief(TWO, ("C", TWO.bar), ("F", TWO.bar)), Role.BASS, figure("B P")).notes

    assert [note.pitch.name for note in notes][:3] == ["C2", "E2", "F2"]


def test_the_chord_between_is_the_diminished_seventh_under_the_coming_chord() -> None:
    # A passing diminished seventh chord a half step below: convention.
    notes = lay(brief(TWO, ("C", TWO.bar), ("F", TWO.bar)), Role.RIGHT, figure("A K")).notes

    passing = [note.pitch for note in notes if note.start == TWO.beat]
    assert [pitch.name for pitch in passing] == ["Bb3", "E4", "G4"]
    assert {tone.name for tone in parse_symbol("Edim7").tones} >= {pitch.name[:-1] for pitch in passing}


def test_a_figure_gives_way_to_its_shorter_one_on_a_chord_that_ends_before_it() -> None:
    turning = figure("B - - F - -", anew=True, shorter=figure("B - F"))

    short, long = (lay(brief(THREE, ("C", bars * THREE.bar)), Role.LEFT, turning).notes for bars in (1, 2))

    assert [start for start, _, _ in heard(short)] == [0, 2]
    assert [start for start, _, _ in heard(long)] == [0, 3]


def test_a_ghost_note_is_softer_than_the_stroke_and_the_accent_louder() -> None:
    part = drum(brief(TWO, ("C", TWO.bar)), {38: figure("(x) x x> .", 2)})

    velocities = [hit.velocity for hit in part.hits]
    assert velocities == sorted(velocities)
    assert velocities[0] < velocities[1] - 20


def test_a_boogies_cells_are_root_third_fifth_sixth_and_flat_seventh() -> None:
    # 1-3-5-6-b7: common practice of boogie-woogie.
    low = figure("L D V S | N S V D")

    notes = lay(brief(FOUR, ("C", 2 * FOUR.bar)), Role.LEFT, low).notes

    assert [n.pitch.midi - notes[0].pitch.midi for n in notes] == [0, 4, 7, 9, 10, 9, 7, 4]


def test_over_a_major_seventh_a_boogie_climbs_to_the_octave() -> None:
    notes = lay(brief(FOUR, ("Cmaj7", FOUR.bar)), Role.LEFT, figure("L S N S")).notes

    assert [n.pitch.midi - notes[0].pitch.midi for n in notes] == [0, 9, 12, 9]
