from dataclasses import replace

import pytest
from example_piece import example_piece
from hypothesis import given
from hypothesis import strategies as st

from tracks.drill.drill import BuildUp, Mix
from tracks.model import Note, Part, Pedal, Piece, Role, TempoFrom
from tracks.practice.climb import MOST_STEPS, build_up, excerpt, in_a_row
from tracks.practice.mixes import at_tempo, mixed, on_bar_lines, with_count_in
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import QUARTER
from tracks.theory.pitch import Pitch

METERS = st.sampled_from(["4/4", "3/4", "6/8", "2/2", "5/4"])


def rung(piece: Piece, bpm: int) -> Piece:
    return at_tempo(with_count_in(piece, 1, click=True), bpm)


def keys_of(piece: Piece) -> list[tuple[int, str]]:
    return [(key.start, key.key.name) for key in piece.keys]


def starts(piece: Piece, role: Role) -> list[int]:
    return [note.start for part in piece.parts if part.role is role for note in part.notes]


# In a row


def test_a_climb_changes_tempo_at_the_bar_line_where_each_count_in_begins() -> None:
    piece = example_piece()
    climbed = in_a_row([("60", rung(piece, 60)), ("72", rung(piece, 72)), ("80", rung(piece, 80))])

    bars = 5 * piece.meter.bar
    assert climbed.bpm == 60
    assert climbed.tempos == (TempoFrom(bars, 72), TempoFrom(2 * bars, 80))
    assert climbed.length == 3 * bars
    assert [mark.start for mark in climbed.markers if mark.text == "Count-in"] == [0, bars, 2 * bars]
    assert [mark.start for mark in climbed.markers if mark.text in ("60", "72", "80")] == [0, bars, 2 * bars]


def test_sections_of_one_tempo_change_it_nowhere() -> None:
    assert in_a_row([("a", rung(example_piece(), 60))] * 3).tempos == ()


@given(METERS, st.integers(0, 3), st.integers(0, 2), st.integers(1, 4))
def test_every_section_sounds_as_it_does_alone_only_later(
    meter: str, pickup_eighths: int, count_in: int, times: int
) -> None:
    piece = with_count_in(example_piece(meter, pickup_eighths * QUARTER // 2), count_in, click=True)
    alone = on_bar_lines(piece)

    row = in_a_row([("again", piece)] * times)

    assert row.length == times * alone.length
    assert row.length % piece.meter.bar == 0
    for part in row.parts:
        (single,) = [each for each in alone.parts if each.role is part.role]
        assert [note.start for note in part.notes] == [
            note.start + n * alone.length for n in range(times) for note in single.notes
        ]
        assert [hit.start for hit in part.hits] == [
            hit.start + n * alone.length for n in range(times) for hit in single.hits
        ]


def test_a_role_that_one_section_lacks_keeps_silent_there() -> None:
    whole = with_count_in(example_piece(), 1, click=True)
    row = in_a_row([("right", mixed(whole, Mix.RIGHT_ALONE)), ("left", mixed(whole, Mix.LEFT_ALONE))])

    assert [part.role for part in row.parts] == [Role.RIGHT, Role.LEFT, Role.CLICK]
    assert max(starts(row, Role.RIGHT)) < whole.length <= min(starts(row, Role.LEFT))


def test_keys_are_told_once_where_they_change() -> None:
    piece = example_piece()
    row = in_a_row([("a", piece), ("b", piece)])

    bar = piece.meter.bar
    assert keys_of(row) == [
        (0, "Eb major"), (2 * bar, "G major"), (4 * bar, "Eb major"), (6 * bar, "G major"),
    ]  # fmt: skip


def test_nothing_in_a_row_is_an_error() -> None:
    with pytest.raises(ValueError, match="nothing"):
        in_a_row([])


# Excerpts


def test_an_excerpt_begins_in_the_key_that_holds_there() -> None:
    piece = example_piece()
    bar = piece.meter.bar

    assert keys_of(excerpt(piece, bar, 3 * bar)) == [(0, "Eb major"), (bar, "G major")]
    assert keys_of(excerpt(piece, 2 * bar, 3 * bar)) == [(0, "G major")]
    assert keys_of(excerpt(piece, 3 * bar, 4 * bar)) == [(0, "G major")]


def test_an_excerpt_from_inside_a_bar_has_a_pickup() -> None:
    piece = example_piece()
    begun = excerpt(piece, 2 * QUARTER, piece.length)

    assert begun.music_from == 2 * QUARTER
    counted = with_count_in(begun, 1, click=False)
    assert counted.length % piece.meter.bar == 0
    assert min(starts(counted, Role.RIGHT)) == 2 * QUARTER


def test_notes_are_cut_at_both_ends_of_an_excerpt() -> None:
    c4 = Pitch.parse("C4")
    held = (Note(0, 4 * QUARTER, c4), Note(4 * QUARTER, 4 * QUARTER, c4))
    piece = replace(example_piece(), parts=(Part(Role.RIGHT, held),))

    (part,) = excerpt(piece, 3 * QUARTER, 5 * QUARTER).parts

    assert [(note.start, note.length) for note in part.notes] == [(0, QUARTER), (QUARTER, QUARTER)]


def test_the_pedal_is_cut_at_both_ends_of_an_excerpt_and_kept_in_a_row() -> None:
    pedaled = replace(
        example_piece(), parts=(replace(example_piece().parts[0], pedals=(Pedal(0, 100), Pedal(150, 200))),)
    )

    cut = excerpt(pedaled, 50, 250)

    assert cut.parts[0].pedals == (Pedal(0, 50), Pedal(100, 100))
    bar = pedaled.meter.bar
    assert in_a_row([("a", cut), ("b", cut)]).parts[0].pedals[0].start % bar == (-cut.music_from) % bar
    assert len(in_a_row([("a", cut), ("b", cut)]).parts[0].pedals) == 4


def test_what_is_left_of_a_note_must_be_worth_striking() -> None:
    rest = QUARTER // 16
    note = Note(0, QUARTER + rest, Pitch.parse("C4"))
    piece = replace(example_piece(), parts=(Part(Role.RIGHT, (note,)),))

    assert excerpt(piece, QUARTER, 2 * QUARTER).parts[0].notes == ()


# Build-ups


def test_forwards_adds_to_the_first_chord_and_backwards_to_the_last() -> None:
    piece = example_piece()
    bar = piece.meter.bar
    chords = [number * bar for number in range(4)]

    forwards = build_up(piece, chords, BuildUp.FORWARDS)
    backwards = build_up(piece, chords, BuildUp.BACKWARDS)

    assert [label for label, _ in forwards] == ["Chord 1", "Chords 1 to 2", "Chords 1 to 3", "Chords 1 to 4"]
    assert [label for label, _ in backwards] == ["Chord 4", "Chords 3 to 4", "Chords 2 to 4", "Chords 1 to 4"]
    assert [step.length for _, step in forwards] == [bar, 2 * bar, 3 * bar, 4 * bar]
    assert [len(starts(step, Role.RIGHT)) for _, step in backwards] == [6, 12, 18, 24]
    assert forwards[-1][1] == backwards[-1][1] == piece
    assert backwards[0][1].keys[0].key == Key.parse("G")


def test_a_build_up_of_too_many_chords_is_refused() -> None:
    with pytest.raises(RequestError, match="build-up: 33 chords"):
        build_up(example_piece(), range(MOST_STEPS + 1), BuildUp.FORWARDS)
