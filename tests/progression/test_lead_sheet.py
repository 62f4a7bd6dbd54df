import pytest

from tracks.progression.lead_sheet import excerpt
from tracks.progression.playing import progression
from tracks.progression.romantext import parse_romantext
from tracks.theory.errors import RequestError

PIECE = parse_romantext("m0 b4 C: V\nm1 I\nm2 IV b3 V\nm3 G: V7\nm4 I")


def test_excerpt_takes_the_chord_that_sounds_into_it_and_the_numbers_along() -> None:
    sheet = parse_romantext("m1 C: I\nm2 b3 IV\nm3 V")
    part = excerpt(sheet, 2, 2)

    assert [(chord.text, chord.start, chord.length) for chord in part.chords] == [
        ("I", 0, part.meter.bar // 2),
        ("IV", part.meter.bar // 2, part.meter.bar // 2),
    ]
    assert [chord.bar for chord in progression(part).chords] == [2, 2]


def test_excerpt_without_the_pickup_has_none() -> None:
    made = progression(excerpt(PIECE, 2, 3))

    assert made.pickup == 0
    assert [(chord.bar, chord.text, str(chord.key)) for chord in made.chords] == [
        (2, "IV", "C major"),
        (2, "V", "C major"),
        (3, "V7", "G major"),
    ]


@pytest.mark.parametrize(("first", "last"), [(5, 9), (3, 7), (8, 9)])
def test_bars_that_are_not_there_are_refused(first: int, last: int) -> None:
    with pytest.raises(RequestError, match="the piece has bars 0 to 4"):
        excerpt(PIECE, first, last)


def test_change_of_meter_is_refused_with_the_measures_to_choose() -> None:
    sheet = parse_romantext("m1 C: I\nm2 V\nTime Signature: 3/4\nm3 I")

    with pytest.raises(RequestError, match=r"measure 3 changes the meter from 4/4 to 3/4 .* bars 1-2"):
        progression(sheet)
    assert len(progression(excerpt(sheet, 3, 3)).chords) == 1


def test_key_named_late_is_refused() -> None:
    with pytest.raises(RequestError, match="measure 2 changes to G major; name the first key too"):
        progression(parse_romantext("m1 I\nm2 G: I"))


def test_repeat_that_does_not_come_out_in_bars_is_refused() -> None:
    with pytest.raises(RequestError, match="the repeat that ends in measure 2"):
        progression(parse_romantext("m1 C: I\nm2 V :|| b3 I\nm3 I"))


def test_repeat_goes_back_past_a_pickup_that_has_no_room() -> None:
    made = progression(parse_romantext("m0 b4 C: V\nm1 I\nm2 IV :||\nm3 I"))

    assert [chord.text for chord in made.chords] == ["V", "I", "IV", "I", "IV", "I"]


def test_too_many_chords_are_refused() -> None:
    lines = "\n".join(f"m{number} I b2 IV b3 V b4 I" for number in range(1, 502))

    with pytest.raises(RequestError, match="2004 chords"):
        progression(parse_romantext(lines))
