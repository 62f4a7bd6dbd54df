import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.progression.music import parse
from tracks.progression.written import Progression, Writing
from tracks.theory.errors import RequestError
from tracks.theory.meter import Meter


def rhythm(text: str, meter: str = "4/4") -> list[tuple[int, float, str | None]]:
    """Return bar, beats and text of each chord."""
    progression = parse(text, Meter.parse(meter))
    return [(c.bar, c.length / progression.meter.beat, c.text) for c in progression.chords]


def test_without_bar_lines_each_chord_fills_a_bar() -> None:
    assert rhythm("I IV V") == [(1, 4, "I"), (2, 4, "IV"), (3, 4, "V")]


def test_chords_in_one_bar_share_it() -> None:
    assert rhythm("I IV | V") == [(1, 2, "I"), (1, 2, "IV"), (2, 4, "V")]
    assert rhythm("| I V I |", "6/8") == [(1, 2 / 3, "I"), (1, 2 / 3, "V"), (1, 2 / 3, "I")]


def test_two_chords_in_a_bar_of_three_beats_fall_two_and_one() -> None:
    """Convention: the harmony of a waltz changes on 1 or on 3."""
    assert rhythm("| I V |", "3/4") == [(1, 2, "I"), (1, 1, "V")]
    assert rhythm("| I V | vi |", "9/8") == [(1, 2, "I"), (1, 1, "V"), (2, 3, "vi")]
    assert rhythm("| I IV V |", "3/4") == [(1, 1, "I"), (1, 1, "IV"), (1, 1, "V")]


def test_slash_holds_the_chord_before_it_for_a_felt_beat() -> None:
    assert rhythm("| I / IV V7 |") == [(1, 2, "I"), (1, 1, "IV"), (1, 1, "V7")]
    assert rhythm("| I / | V IV |", "6/8") == [(1, 2, "I"), (2, 1, "V"), (2, 1, "IV")]
    assert rhythm("| I | / IV / V |") == [(1, 5, "I"), (2, 2, "IV"), (2, 1, "V")]


def test_percent_repeats_the_bar_and_silence_is_written_out() -> None:
    assert rhythm("| I V | % | N.C. |") == [(1, 2, "I"), (1, 2, "V"), (2, 2, "I"), (2, 2, "V"), (3, 4, None)]


def test_repeat_signs_play_the_same_places_of_the_text_again() -> None:
    chords = parse("|: I V :| IV", Meter(4, 4)).chords

    assert [chord.text for chord in chords] == ["I", "V", "I", "V", "IV"]
    assert [chord.written for chord in chords[:2]] == [chord.written for chord in chords[2:4]]
    assert len({chord.written for chord in chords}) == 3


def test_repeat_without_a_beginning_goes_back_to_the_start() -> None:
    assert [text for _, _, text in rhythm("I IV :| V :|")] == ["I", "IV", "I", "IV", "V", "V"]


def test_short_first_bar_is_a_pickup() -> None:
    progression = parse("| V / | I | IV |", Meter(4, 4))

    assert progression.pickup == 2 * progression.meter.beat
    assert [chord.bar for chord in progression.chords] == [0, 1, 2]


@pytest.mark.parametrize(
    ("text", "meter", "beats", "bars"),
    [
        ("/ / / V7 | I | IV |", "4/4", 1, [0, 1, 2]),
        ("| / / V | I |", "3/4", 1, [0, 1]),
        ("/ / IV V | I |", "4/4", 2, [0, 0, 1]),
        ("/ / V / | I |", "4/4", 2, [0, 1]),
        ("/ V | I |", "6/8", 1, [0, 1]),
    ],
)
def test_beats_counted_out_before_the_first_chord_make_a_pickup(
    text: str, meter: str, beats: int, bars: list[int]
) -> None:
    progression = parse(text, Meter.parse(meter))

    assert progression.pickup == beats * progression.meter.beat
    assert [chord.bar for chord in progression.chords] == bars
    assert progression.chords[0].start == 0
    assert sum(chord.length for chord in progression.chords) == progression.length


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("/ V7 | I |", "counts out all 4 beats of 4/4; write it like / / / V7 |"),
        ("/ / / / / V7 | I |", "write it like / / / V7 |"),
        ("/ / / / | I |", "/ holds the chord before it, and there is none"),
        ("| / / / V7 |", "/ holds the chord before it, and there is none"),
        ("/ V7", "needs bar lines"),
    ],
)
def test_pickup_that_does_not_come_out_is_refused_with_the_mend(text: str, said: str) -> None:
    with pytest.raises(RequestError) as caught:
        parse(text, Meter(4, 4))
    assert said in str(caught.value)


@pytest.mark.parametrize(
    ("text", "writing"),
    [
        ("I vi", Writing.NUMERALS),
        ("1 6 57", Writing.DEGREES),
        ("Cm7 F7", Writing.SYMBOLS),
        ("Fr43 V", Writing.NUMERALS),
        ("bVI V", Writing.NUMERALS),
        ("b6 5", Writing.DEGREES),
    ],
)
def test_kind_of_writing(text: str, writing: Writing) -> None:
    assert parse(text, Meter(4, 4)).writing is writing


@pytest.mark.parametrize(
    ("text", "places"),
    [
        ("", ["column 1: there is no chord"]),
        ("N.C. %", ["column 1: there is no chord"]),
        ("I Q V", ["column 3: 'Q'"]),
        ("I H7 Zz 9", ["column 3: 'H7'", "column 6: 'Zz'", "column 9: '9'"]),
        ("I C V", ["column 3: C is one of the chord symbols", "column 1"]),
        ("I / V", ["column 3: /"]),
        ("| I V IV |", ["column 3: bar 1: 3 chords"]),
        ("| I / V |", ["column 3: bar 1 has 3 beats and 4/4 has 4"]),
        ("|: I V", ["column 1: the repeat"]),
        ("|: I |: V :|", ["column 6: a repeat begins inside another"]),
        ("| I | | V |", ["column 7: the bar before this line is empty"]),
        ("% I", ["column 1: % repeats"]),
        ("| I % |", ["column 5: % stands for a whole bar"]),
        ("| / I V I |", ["column 3: / holds"]),
        ("H: I", ["column 1: 'H' is no key"]),
        ("G#: I", ["column 1: G# major has 8 sharps; write Ab major"]),
        ("I | G: V", ["column 1: the key changes to G major"]),
    ],
)
def test_every_fault_names_its_column_in_one_line(text: str, places: list[str]) -> None:
    with pytest.raises(RequestError) as caught:
        parse(text, Meter(4, 4))
    message = str(caught.value)
    assert "\n" not in message
    for place in places:
        assert place in message


def test_more_chords_than_we_can_play_are_refused() -> None:
    with pytest.raises(RequestError, match="2001 chords"):
        parse("I " * 2001, Meter(4, 4))


words = st.sampled_from(
    ["I", "ii65", "V7/V", "bVI", "viio7", "/", "%", "|", "|:", ":|", "||", "N.C.", "Eb:", "g:", "Q", "C", "5"]
)


@given(st.lists(words, max_size=14).map(" ".join), st.sampled_from(["4/4", "3/4", "6/8", "12/8"]))
def test_any_text_makes_gapless_chords_or_one_line_of_fault(text: str, meter: str) -> None:
    try:
        progression = parse(text, Meter.parse(meter))
    except RequestError as fault:
        assert "column" in str(fault)  # noqa: PT017
        return
    assert_gapless(progression)


def assert_gapless(progression: Progression) -> None:
    at = 0
    for chord in progression.chords:
        assert chord.start == at
        assert chord.length > 0
        at += chord.length
    assert at == progression.length
    assert (progression.length - progression.pickup) % progression.meter.bar == 0
