"""Forms for practicing: who plays when."""

from dataclasses import replace

import pytest
from example_piece import example_piece

from tracks.drill.drill import Drill, Form, Mix
from tracks.model import Hit, Note, Part, Pedal, Piece, Role
from tracks.practice.forms import LISTEN, YOU_PLAY, echo, formed, in_turns, melody_out, soloist
from tracks.practice.mixes import with_count_in
from tracks.practice.plan import jobs
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import Meter, Time
from tracks.theory.pitch import Pitch

FOUR = Meter(4, 4)
BAR, BEAT = FOUR.bar, FOUR.beat
C = Key.parse("C")
BAND = (Role.LEFT, Role.BASS, Role.DRUMS)


def piece(bars: int = 8, roles: tuple[Role, ...] = (Role.MELODY, *BAND), pickup: Time = 0) -> Piece:
    """A note on every beat of each part, and a stroke of the drums, after a pickup in the melody."""
    made = replace(example_piece(), keys=(replace(example_piece().keys[0], key=C),))
    end = pickup + bars * BAR
    beats = range(pickup, end, BEAT)

    def notes(role: Role) -> tuple[Note, ...]:
        upbeat = (Note(0, pickup, Pitch.parse("G4")),) if pickup and role is Role.MELODY else ()
        return (*upbeat, *(Note(start, BEAT, Pitch.parse("C4")) for start in beats))

    drums = tuple(Hit(start, 51) for start in beats)
    parts = tuple(Part(role, hits=drums) if role is Role.DRUMS else Part(role, notes(role)) for role in roles)
    marks = tuple(replace(made.markers[0], start=pickup + bar * BAR, text="C | I") for bar in range(bars))
    return replace(made, meter=FOUR, length=end, music_from=pickup, parts=parts, markers=marks)


def drill(form: Form, turn: int | None = None) -> Drill:
    return Drill("lantern", "I", (C,), FOUR, (60,), form=form, turn=turn)


def bars_of(formed_piece: Piece, role: Role) -> list[int]:
    """The bars, counted from 0, in which a part sounds."""
    part = next((part for part in formed_piece.parts if part.role is role), Part(role))
    starts = [note.start for note in part.notes] + [hit.start for hit in part.hits]
    return sorted({(start - formed_piece.music_from) // BAR for start in starts})


def switches(formed_piece: Piece) -> list[tuple[str, int]]:
    return [
        (mark.text, (mark.start - formed_piece.music_from) // BAR)
        for mark in formed_piece.markers
        if mark.text in (LISTEN, YOU_PLAY)
    ]


@pytest.mark.parametrize(
    ("form", "turn", "bars"),
    [
        (Form.CALL_AND_RESPONSE, None, [0, 1, 4, 5]),
        (Form.CALL_AND_RESPONSE, 4, [0, 1, 2, 3]),
        (Form.TRADING_FOURS, None, [0, 1, 2, 3]),
    ],
)
def test_the_melody_is_silent_in_the_students_turns_and_the_band_goes_on(
    form: Form, turn: int | None, bars: list[int]
) -> None:
    made = formed(piece(), drill(form, turn))

    assert bars_of(made, Role.MELODY) == bars
    assert all(bars_of(made, role) == list(range(8)) for role in BAND)
    assert made.length == piece().length


def test_the_switches_are_marked_beside_the_chords() -> None:
    made = formed(piece(), drill(Form.CALL_AND_RESPONSE))

    assert switches(made) == [(LISTEN, 0), (YOU_PLAY, 2), (LISTEN, 4), (YOU_PLAY, 6)]
    assert [mark for mark in made.markers if mark.text == "C | I"] == list(piece().markers)


def test_without_a_melody_the_right_hand_takes_turns() -> None:
    made = in_turns(piece(roles=(Role.RIGHT, Role.LEFT)), 2)

    assert bars_of(made, Role.RIGHT) == [0, 1, 4, 5]
    assert bars_of(made, Role.LEFT) == list(range(8))


def test_a_note_held_into_the_students_turn_stops_at_the_bar_line() -> None:
    held = replace(
        piece(), parts=(Part(Role.MELODY, (Note(BAR, 2 * BAR, Pitch.parse("E4")),)), *piece().parts[1:])
    )

    assert in_turns(held, 2).parts[0].notes == (Note(BAR, BAR, Pitch.parse("E4")),)


def test_the_pedal_keeps_the_turns_of_the_part_that_it_holds() -> None:
    def pedaled(form_in: Piece) -> Piece:
        pedals = tuple(Pedal(bar * BAR + 1, BAR) for bar in range(7))
        return replace(form_in, parts=tuple(replace(part, pedals=pedals) for part in form_in.parts))

    called, waiting = (made(pedaled(piece()), 2) for made in (in_turns, echo))

    assert [pedal.end for pedal in called.parts[0].pedals] == [BAR + 1, 2 * BAR, 5 * BAR + 1, 6 * BAR]
    left = next(part for part in waiting.parts if part.role is Role.LEFT)
    assert {pedal.start // BAR % 4 for pedal in left.pedals} == {0, 1}


def test_a_pickup_leads_into_the_first_turn() -> None:
    made = in_turns(piece(pickup=BEAT), 2)

    assert made.parts[0].notes[0] == Note(0, BEAT, Pitch.parse("G4"))
    assert switches(made)[:2] == [(LISTEN, 0), (YOU_PLAY, 2)]


@pytest.mark.parametrize(("bars", "turn"), [(2, 2), (4, 4), (3, 4)])
def test_a_piece_too_short_for_a_turn_each_is_refused_with_the_mend(bars: int, turn: int) -> None:
    with pytest.raises(
        RequestError, match=f"{bars} bars are too few for a turn of {turn} each; raise the repeats"
    ):
        in_turns(piece(bars), turn)


def test_a_piece_without_a_soloist_is_refused() -> None:
    with pytest.raises(RequestError, match="choose another style"):
        soloist(piece(roles=BAND))


def test_in_echo_the_track_plays_and_then_waits_while_the_band_plays_those_bars_again() -> None:
    made = formed(piece(4), drill(Form.ECHO))

    assert made.length == 8 * BAR
    assert bars_of(made, Role.MELODY) == bars_of(made, Role.LEFT) == [0, 1, 4, 5]
    assert bars_of(made, Role.BASS) == bars_of(made, Role.DRUMS) == list(range(8))
    assert switches(made) == [(LISTEN, 0), (YOU_PLAY, 2), (LISTEN, 4), (YOU_PLAY, 6)]
    assert [m.start // BAR for m in made.markers if m.text == "C | I"] == list(range(8))


def test_echo_waits_in_the_key_that_it_echoes() -> None:
    made = echo(example_piece(), 4)

    bar = example_piece().meter.bar
    assert [(key.start // bar, key.key.name) for key in made.keys] == [
        (0, "Eb major"),
        (2, "G major"),
        (4, "Eb major"),
        (6, "G major"),
    ]


def test_echo_keeps_its_turns_on_the_bar_lines_after_a_pickup() -> None:
    made = echo(piece(4, pickup=BEAT), 2)

    assert made.length % BAR == 0
    assert all((mark.start - made.music_from) % BAR == 0 for mark in made.markers if mark.text == YOU_PLAY)


def test_with_the_melody_out_the_rest_goes_on() -> None:
    made = melody_out(piece())

    assert [part.role for part in made.parts] == list(BAND)
    assert switches(made) == [(YOU_PLAY, 0)]


def test_the_plain_form_is_the_piece_itself() -> None:
    given = piece()

    assert formed(given, drill(Form.PLAIN)) is given


@pytest.mark.parametrize("form", [Form.CALL_AND_RESPONSE, Form.TRADING_FOURS, Form.ECHO, Form.MELODY_OUT])
def test_the_click_goes_on_through_every_bar(form: Form) -> None:
    counted = with_count_in(formed(piece(), drill(form)), 1, click=True)

    assert bars_of(counted, Role.CLICK) == list(range(-1, (counted.length - counted.music_from) // BAR))


def test_a_mix_in_which_nobody_calls_is_passed_over() -> None:
    made = formed(piece(roles=(Role.MELODY, Role.LEFT)), drill(Form.CALL_AND_RESPONSE))

    mixes = {job.mix for job in jobs(drill(Form.CALL_AND_RESPONSE), C, made)}

    assert mixes == {Mix.RIGHT_ALONE, Mix.HANDS_TOGETHER, Mix.PANNED_APART}


@pytest.mark.parametrize(
    ("form", "turn", "words"),
    [
        (Form.CALL_AND_RESPONSE, 3, "a turn lasts 2 or 4 bars"),
        (Form.PLAIN, 2, "the form plain has no turns"),
        (Form.TRADING_FOURS, 2, "choose the form call-and-response"),
    ],
)
def test_a_turn_that_makes_no_sense_is_refused(form: Form, turn: int, words: str) -> None:
    with pytest.raises(RequestError, match=words):
        drill(form, turn)
