from dataclasses import replace

import pytest
from example_piece import example_piece
from hypothesis import given
from hypothesis import strategies as st

from tracks.drill.drill import Mix, usual_count_in
from tracks.model import Marker, Part, Pedal, Piece, Role
from tracks.practice.mixes import at_tempo, later, mixed, on_bar_lines, right_hand, with_count_in
from tracks.theory.errors import RequestError
from tracks.theory.meter import QUARTER, Meter

METERS = ["4/4", "3/4", "6/8", "2/2", "12/8", "5/4"]


def clicks(piece: Piece) -> list[tuple[int, int]]:
    """Return the click's starts and keys."""
    return [(hit.start, hit.key) for part in piece.parts if part.role is Role.CLICK for hit in part.hits]


def without(piece: Piece, *roles: Role) -> Piece:
    return replace(piece, parts=tuple(part for part in piece.parts if part.role not in roles))


def roles(piece: Piece) -> set[str]:
    return {part.role.name for part in piece.parts}


# Count-in


@pytest.mark.parametrize(
    ("meter", "bars"), [("4/4", 1), ("3/4", 1), ("12/8", 1), ("6/8", 2), ("2/4", 2), ("2/2", 2)]
)
def test_two_bars_count_in_where_a_bar_has_under_three_felt_beats(meter: str, bars: int) -> None:
    assert usual_count_in(Meter.parse(meter)) == bars


def test_six_eight_counts_in_two_felt_beats_a_bar() -> None:
    piece = with_count_in(example_piece("6/8"), 2, click=False)

    dotted = QUARTER * 3 // 2
    assert clicks(piece) == [(0, 76), (dotted, 77), (2 * dotted, 76), (3 * dotted, 77)]


@pytest.mark.parametrize("meter", METERS)
def test_everything_moves_by_the_count_in(meter: str) -> None:
    before = example_piece(meter)
    after = with_count_in(before, 2, click=True)

    by = 2 * before.meter.bar
    assert after.length == before.length + by
    assert after.music_from == by
    assert [key.start for key in after.keys] == [0, before.keys[1].start + by]
    for was, now in zip(before.parts, after.parts, strict=False):
        assert [note.start - by for note in now.notes] == [note.start for note in was.notes]
        assert [hit.start - by for hit in now.hits] == [hit.start for hit in was.hits]
        assert [(n.pitch, n.length, n.velocity) for n in now.notes] == [
            (n.pitch, n.length, n.velocity) for n in was.notes
        ]


def test_a_pickup_sounds_inside_the_last_count_in_bar() -> None:
    piece = with_count_in(example_piece("3/4", pickup=QUARTER), 1, click=False)

    assert piece.music_from == 3 * QUARTER
    assert min(note.start for part in piece.parts for note in part.notes) == 2 * QUARTER
    assert clicks(piece) == [(0, 76), (QUARTER, 77), (2 * QUARTER, 77)]


@given(st.sampled_from(METERS), st.integers(0, 3), st.integers(0, 4), st.booleans())
def test_accents_fall_on_the_bars_of_the_music_pickup_or_not(
    meter: str, bars: int, pickup_eighths: int, through: bool
) -> None:
    before = example_piece(meter, pickup=pickup_eighths * QUARTER // 2)
    piece = with_count_in(before, bars, through)

    bar, beat = piece.meter.bar, piece.meter.beat
    end = piece.length if through else bars * bar
    on_grid = (piece.music_from + number * beat for number in range(-60, 60))
    struck = clicks(piece)
    assert [start for start, _ in struck] == [start for start in on_grid if 0 <= start < end]
    assert all((key == 76) == ((start - piece.music_from) % bar == 0) for start, key in struck)


@pytest.mark.parametrize("meter", METERS)
@pytest.mark.parametrize("pickup", [0, QUARTER // 2])
def test_a_lead_in_takes_the_last_count_in_bar_in_the_clicks_own_part(meter: str, pickup: int) -> None:
    before = example_piece(meter, pickup=pickup)
    plain, led = (with_count_in(before, 2, click=True, lead_in=lead_in) for lead_in in (False, True))

    bar = before.meter.bar
    kept = [click for click in clicks(plain) if not bar <= click[0] < 2 * bar]
    assert [click for click in clicks(led) if not bar <= click[0] < 2 * bar] == kept
    filled = [click for click in clicks(led) if bar <= click[0] < 2 * bar]
    assert filled[0][0] == bar
    assert not {key for _, key in filled} & {76, 77}
    assert led.parts[:-1] == plain.parts[:-1]


def test_without_a_count_in_there_is_nothing_to_lead_in() -> None:
    piece = example_piece("4/4")

    assert with_count_in(piece, 0, True, lead_in=True) == with_count_in(piece, 0, True)


def test_click_goes_on_through_the_music_only_if_asked() -> None:
    piece = example_piece("4/4")

    assert len(clicks(with_count_in(piece, 1, click=True))) == 5 * 4
    assert len(clicks(with_count_in(piece, 1, click=False))) == 4


def test_without_count_in_nothing_moves_and_no_click_is_added() -> None:
    piece = example_piece("4/4", pickup=QUARTER)
    after = with_count_in(piece, 0, click=False)

    assert after.parts == piece.parts
    assert (after.length, after.music_from) == (piece.length, QUARTER)
    assert Marker(QUARTER, "Bar 1") in after.markers
    assert "Count-in" not in [marker.text for marker in after.markers]


def test_without_count_in_the_click_meets_a_pickup_on_its_beat() -> None:
    piece = with_count_in(example_piece("4/4", pickup=QUARTER * 3 // 2), 0, click=True)

    assert clicks(piece)[:3] == [(QUARTER // 2, 77), (QUARTER * 3 // 2, 76), (QUARTER * 5 // 2, 77)]


def test_markers_name_the_count_in_and_the_first_downbeat_in_order_of_time() -> None:
    piece = with_count_in(example_piece("4/4"), 1, click=True)

    bar = 4 * QUARTER
    assert piece.markers == (
        Marker(0, "Count-in"),
        Marker(bar, "Bar 1"),
        Marker(bar, "Eb | I"),
        Marker(2 * bar, "Cm | vi"),
        Marker(3 * bar, "G | I"),
        Marker(4 * bar, "D | V"),
    )


def test_the_click_is_as_loud_as_the_drums_whose_channel_it_shares() -> None:
    click = with_count_in(example_piece("4/4"), 1, click=True).parts[-1]

    assert (click.role, click.volume, click.pan) == (Role.CLICK, 90, 64)


def test_a_negative_count_in_is_refused() -> None:
    with pytest.raises(RequestError, match=r"^count-in: -1 bars is too few; give 0 or more$"):
        with_count_in(example_piece(), -1, click=True)


# Mixes

WHOLE = with_count_in(example_piece("4/4"), 1, click=True)
EVERY = {"RIGHT", "LEFT", "BASS", "DRUMS", "MELODY", "CLICK"}


@pytest.mark.parametrize(
    ("mix", "sounding"),
    [
        (Mix.HANDS_TOGETHER, EVERY),
        (Mix.RIGHT_ALONE, {"RIGHT", "CLICK"}),
        (Mix.LEFT_ALONE, {"LEFT", "CLICK"}),
        (Mix.YOU_PLAY_RIGHT, EVERY - {"RIGHT"}),
        (Mix.YOU_PLAY_LEFT, EVERY - {"LEFT"}),
        (Mix.PANNED_APART, EVERY),
    ],
)
def test_a_mix_is_a_filter_of_parts(mix: Mix, sounding: set[str]) -> None:
    assert roles(mixed(WHOLE, mix)) == sounding


def test_a_melody_is_the_right_hand_where_that_hand_has_no_chords() -> None:
    piece = without(WHOLE, Role.RIGHT)

    assert right_hand(piece) is Role.MELODY
    assert roles(mixed(piece, Mix.RIGHT_ALONE)) == {"MELODY", "CLICK"}
    assert roles(mixed(piece, Mix.YOU_PLAY_RIGHT)) == {"LEFT", "BASS", "DRUMS", "CLICK"}
    assert next(part.pan for part in mixed(piece, Mix.PANNED_APART).parts if part.role is Role.MELODY) >= 96


def test_split_pans_the_hands_apart_and_leaves_the_band_where_it_is() -> None:
    pans = {part.role: part.pan for part in mixed(WHOLE, Mix.PANNED_APART).parts}
    before = {part.role: part.pan for part in WHOLE.parts}

    assert pans[Role.LEFT] <= 32
    assert pans[Role.RIGHT] >= 96
    assert all(pans[role] == before[role] for role in pans if role not in (Role.LEFT, Role.RIGHT))


@pytest.mark.parametrize("mix", [mix for mix in Mix if mix is not Mix.PANNED_APART])
def test_parts_of_a_mix_are_the_same_objects(mix: Mix) -> None:
    known = {id(part) for part in WHOLE.parts}

    assert all(id(part) in known for part in mixed(WHOLE, mix).parts)


def test_split_keeps_the_notes_the_same_objects() -> None:
    known = {id(part.notes) for part in WHOLE.parts}

    assert all(id(part.notes) in known for part in mixed(WHOLE, Mix.PANNED_APART).parts)


# Tempo


def test_a_tempo_changes_nothing_else() -> None:
    piece = at_tempo(WHOLE, 72)

    assert piece.bpm == 72
    assert at_tempo(piece, 60) == at_tempo(WHOLE, 60)


def test_a_tempo_out_of_range_is_refused() -> None:
    with pytest.raises(RequestError, match="tempo 12"):
        at_tempo(WHOLE, 12)


def test_an_empty_right_hand_part_gives_way_to_the_melody() -> None:
    piece = without(WHOLE, Role.RIGHT)

    assert right_hand(replace(piece, parts=(Part(Role.RIGHT), *piece.parts))) is Role.MELODY


# The values that every pack is made with


def test_the_first_click_of_a_bar_is_the_louder_one() -> None:
    piece = with_count_in(example_piece("4/4"), 1, click=False)
    (click,) = (part for part in piece.parts if part.role is Role.CLICK)

    assert [(hit.key, hit.velocity) for hit in click.hits] == [(76, 108), (77, 84), (77, 84), (77, 84)]


def test_hands_panned_apart_are_heard_in_both_ears() -> None:
    pans = {part.role: part.pan for part in mixed(WHOLE, Mix.PANNED_APART).parts}

    assert (pans[Role.LEFT], pans[Role.RIGHT]) == (16, 111)


# A whole number of bars


@pytest.mark.parametrize(("pickup", "short_by"), [(0, 0), (QUARTER, QUARTER), (QUARTER, 0), (0, QUARTER)])
def test_a_piece_on_bar_lines_has_whole_bars_and_its_first_downbeat_on_one(
    pickup: int, short_by: int
) -> None:
    bar = WHOLE.meter.bar
    piece = replace(later(WHOLE, pickup), music_from=pickup, length=3 * bar + pickup - short_by)

    placed = on_bar_lines(piece)

    assert placed.length % bar == placed.music_from % bar == 0
    assert placed.music_from == (bar if pickup else 0)
    assert 0 <= placed.length - (placed.music_from - pickup) - piece.length < bar


def test_a_last_bar_cut_short_by_the_pickup_is_filled_up_behind_a_count_in() -> None:
    bar = WHOLE.meter.bar
    piece = replace(later(WHOLE, QUARTER), music_from=QUARTER, length=3 * bar)

    counted = with_count_in(piece, 1, click=True)

    assert counted.music_from == bar
    assert counted.length == 4 * bar


# The pedal


def test_a_pedal_moves_with_its_notes_and_is_none_of_the_clicks() -> None:
    down = (Pedal(0, QUARTER),)
    piece = replace(WHOLE, parts=tuple(replace(part, pedals=down) for part in WHOLE.parts))

    moved = with_count_in(piece, 1, click=True)

    by = moved.music_from - piece.music_from
    pedals = {part.role: part.pedals for part in moved.parts}
    assert pedals.pop(Role.CLICK) == ()
    assert set(pedals.values()) == {(Pedal(by, QUARTER),)}
