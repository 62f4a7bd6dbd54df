import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.progression.lead_sheet import LeadSheet
from tracks.progression.playing import progression
from tracks.progression.romantext import has_measures, parse_romantext
from tracks.progression.romantext_writer import to_romantext
from tracks.theory.errors import RequestError
from tracks.theory.meter import QUARTER


def chords(text: str) -> list[tuple[int, float, str | None, str | None]]:
    """Return measure, quarter notes from its beginning, word and key of each chord."""
    sheet = parse_romantext(text)
    found = []
    for chord in sheet.chords:
        bar = sheet.bar_at(chord.start)
        key = chord.key.name if chord.key else None
        found.append((bar.number, (chord.start - bar.start) / QUARTER, chord.text, key))
    return found


def test_measure_line_says_where_each_chord_begins() -> None:
    assert chords("m1 C: I b2.5 V65/V b4 V\nm2 a: i b3 NC") == [
        (1, 0, "I", "C major"),
        (1, 1.5, "V65/V", "C major"),
        (1, 3, "V", "C major"),
        (2, 0, "i", "A minor"),
        (2, 2, None, "A minor"),
    ]


def test_headings_and_notes_are_no_music() -> None:
    notes = "Note: m1 b2 is bare\nPedal 1 m1 b1 m2 b1"
    text = f"Composer: N. N.\nTitle: Evening\nTime Signature: 3/4\n\n{notes}\nm1 g: i"
    sheet = parse_romantext(text)

    assert (sheet.title, str(sheet.meter), len(sheet.chords)) == ("Evening", "3/4", 1)


def test_pickup_is_a_short_first_bar_and_shortens_the_last() -> None:
    sheet = parse_romantext("Time Signature: 3/4\nm0 b3 G: V\nm1 I\nm2 V b2 I")

    assert [bar.length // QUARTER for bar in sheet.bars] == [1, 3, 2]
    assert sheet.pickup == QUARTER


@pytest.mark.parametrize(
    ("meter", "mark", "quarters"),
    [
        ("4/4", "b3.75", 2.75),
        ("2/2", "b2", 2),
        ("6/8", "b2", 1.5),
        ("6/8", "b1.33", 0.5),
        ("6/8", "b2.66", 2.5),
        ("Slow 6/8", "b4", 1.5),
        ("Fast 6/8", "b2", 1.5),
        ("9/8", "b3", 3),
        ("3/8", "b1.66", 1),
        ("4/4", "b2.16", 7 / 6),
        ("4/4", "b1.66.5", 5 / 6),
        ("5/8", "b5", 2),
    ],
)
def test_beats_are_the_reference_readers(meter: str, mark: str, quarters: float) -> None:
    _, (_, at, *_) = chords(f"Time Signature: {meter}\nm1 C: I {mark} V")

    assert at == pytest.approx(quarters)


def test_measure_without_a_line_holds_the_chord_before() -> None:
    sheet = parse_romantext("m1 C: I\nm4 V b3 I")

    assert [bar.number for bar in sheet.bars] == [1, 2, 3, 4]
    assert sheet.chords[0].length == 12 * QUARTER


def test_copied_measures_have_the_same_words_in_the_key_that_holds() -> None:
    assert chords("m1 C: I b3 IV\nm2 V\nm3 G: I\nm4-5 = m1-2")[3:] == [
        (3, 0, "I", "G major"),
        (4, 0, "I", "C major"),
        (4, 2, "IV", "C major"),
        (5, 0, "V", "C major"),
    ]
    assert chords("m1 C: I\nm2 V b3 I\nm3 G: V\nm4 = m2")[-1] == (4, 2, "I", "G major")


def test_copy_of_a_measure_that_begins_with_a_held_chord_begins_with_it() -> None:
    assert chords("m1 C: I\nm2 b3 V\nm3 vi\nm4 = m2")[-2:] == [(4, 0, "I", "C major"), (4, 2, "V", "C major")]


def test_pivot_names_one_chord_in_two_keys() -> None:
    assert chords("m1 C: I b3 vi G: ii\nm2 V") == [
        (1, 0, "I", "C major"),
        (1, 2, "vi", "C major"),
        (2, 0, "V", "G major"),
    ]


def test_variants_optional_keys_phrases_and_brackets_are_passed_over() -> None:
    text = "m1 C: I || b3 ( V ) ?(G: b4 I ?)G:\nm1var1 ii\nm1varA iii\nm2 KS0 I"

    assert [word for _, _, word, _ in chords(text)] == ["I", "V", "I", "I"]


def test_repeats_and_endings_are_played_out() -> None:
    text = "m1 C: I\nm2 ||: IV b3 V\nm3a I :||\nm4b vi"
    played = progression(parse_romantext(text))

    assert [chord.text for chord in played.chords] == ["I", "IV", "V", "I", "IV", "V", "vi"]
    assert [chord.bar for chord in played.chords] == [1, 2, 2, 3, 4, 4, 5]
    assert played.chords[1].written == played.chords[4].written


def test_repeat_within_a_bar_takes_the_pickup_again() -> None:
    played = progression(parse_romantext("m0 b4 C: V\nm1 I b3 I :|| b4 V\nm2 I"))

    assert [chord.text for chord in played.chords] == ["V", "I", "I", "V", "I", "I", "V", "I"]
    assert played.length % (4 * QUARTER) == 0


def test_chord_symbols_may_stand_in_the_lines() -> None:
    assert chords("m1 Bb: Bb b3 F7/A\nm2 Gm7") == [
        (1, 0, "Bb", "Bb major"),
        (1, 2, "F7/A", "Bb major"),
        (2, 0, "Gm7", "Bb major"),
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("m1 C: V/ b3 I", "V/ read as V"),
        ("m1 C: viio/43 b3 I", "viio/43 read as viio43"),
        ("m1 C: I V b3 I", "V has no beat of its own"),
        ("m1 C: I\nm1 b3 V", "line 2, measure 1: measure 1 goes on"),
    ],
)
def test_slip_of_the_pen_is_mended_with_a_remark(text: str, said: str) -> None:
    (remark,) = parse_romantext(text).remarks

    assert said in remark


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("m1 C: I\nm2 Q", "line 2, measure 2: 'Q' is no chord"),
        ("m1 C: I\nm2 V8", "line 2, measure 2: 'V8'"),
        ("m1 C: I b5 V", "line 1, measure 1: b5 lies outside a bar of 4/4"),
        ("m1 C: I b3 V b2 I", "I stands after a later beat"),
        ("m1 C: I b1.234567 V", "b1.234567 is no beat"),
        ("m1 H: I", "'H:' is no chord"),
        ("m1 G#: I", "G# major has 8 sharps; write Ab major"),
        ("m1 C: I\nM2 V", "line 2: 'M2 V' is no heading"),
        ("m3 C: I\nm2 V", "measure 2 comes after measure 3"),
        ("m2 = m1", "copies measure 1, which is not there"),
        ("m1 C: I\nm2-4 = m1", "not equally many"),
        ("m1 C: I\nm2-3 V", "needs the measures it copies"),
        ("Time Signature: four\nm1 C: I", "line 1: 'four' is no time signature"),
        ("Seventh Minor: flat\nm1 a: i", "cautionary only"),
        ("m1c C: I", "two endings"),
        ("Title: nothing", "no measure with a chord"),
        ("m1 C: NC", "no measure with a chord"),
        ("m1 C: I b3 G7", "not one of the Roman numerals"),
        ("m1 C: X\nm2 Y\nm3 Z\nm4 W\nm5 Q", "and 2 more"),
    ],
)
def test_fault_names_line_and_measure_in_one_line(text: str, said: str) -> None:
    with pytest.raises(RequestError) as caught:
        parse_romantext(text)

    assert said in str(caught.value)
    assert "\n" not in str(caught.value)


def test_text_with_a_measure_line_is_romantext() -> None:
    assert has_measures("Time Signature: 3/4\nm1 C: I")
    assert not has_measures("I vi | IV m V")


words = st.sampled_from(
    [
        "I",
        "V7/V",
        "b2",
        "b3",
        "b2.5",
        "b1.33",
        "||:",
        ":||",
        "||",
        "G:",
        "a:",
        "NC",
        "N6",
        "?(F:",
        "Q",
        "=",
        "m1",
    ]
)
lines = st.builds(
    lambda number, mark, line: f"m{number}{mark} {' '.join(line)}",
    st.integers(0, 9),
    st.sampled_from(["", "", "", "a", "b", "var1", "-3 ="]),
    st.lists(words, max_size=6),
)


@given(st.lists(lines, max_size=6).map("\n".join))
def test_any_document_is_gapless_chords_or_one_line_of_fault(text: str) -> None:
    try:
        sheet = parse_romantext(text)
    except RequestError as fault:
        assert "\n" not in str(fault)  # noqa: PT017
        return
    assert_gapless(sheet)


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        parse_romantext(text)
    except RequestError:
        return


def assert_gapless(sheet: LeadSheet) -> None:
    at = 0
    for chord in sheet.chords:
        assert chord.start == at
        assert chord.length > 0
        at = chord.end
    assert at == sheet.bars[-1].end


@st.composite
def documents(draw: st.DrawFn) -> str:
    """Documents as we would write them: pickups, keys, repeats, endings, odd beats."""
    meter = draw(st.sampled_from(["4/4", "3/4", "6/8"]))
    marks = {
        "4/4": ["b2", "b2.5", "b3", "b4.75"],
        "3/4": ["b2", "b3", "b3.5"],
        "6/8": ["b1.33", "b2", "b2.66"],
    }
    symbols = draw(st.booleans())
    chord = st.sampled_from(
        ["C", "F7/A", "Bbmaj7", "NC"] if symbols else ["I", "V65/V", "viio7", "bVII", "NC"]
    )
    bars = [f"Time Signature: {meter}", f"m1 C: {'C' if symbols else 'I'}"]
    for number in range(2, draw(st.integers(3, 7))):
        line = [f"m{number}"]
        if draw(st.booleans()):
            line += [draw(st.sampled_from(["", "G:", "a:"])), draw(chord)]
        for mark in draw(st.lists(st.sampled_from(marks[meter]), max_size=2, unique=True).map(sorted)):
            line += [mark, draw(chord)]
        if draw(st.integers(0, 3)) == 0:
            line.append(":||")
        bars.append(" ".join(filter(None, line)))
    return "\n".join(bars)


@given(documents())
def test_lead_sheet_reads_back_from_what_we_write(text: str) -> None:
    sheet = parse_romantext(text)

    assert parse_romantext(to_romantext(sheet)) == sheet
