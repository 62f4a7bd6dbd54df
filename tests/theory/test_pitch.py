import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tracks.theory.errors import RequestError
from tracks.theory.pitch import Interval, Pitch, Tone, signs

tones = st.integers(-15, 19).map(Tone)
pitches = st.builds(Pitch, tones, st.integers(1, 7))
intervals = st.sampled_from(
    [
        "P1",
        "m2",
        "M2",
        "A2",
        "m3",
        "M3",
        "d4",
        "P4",
        "A4",
        "d5",
        "P5",
        "A5",
        "m6",
        "M6",
        "d7",
        "m7",
        "M7",
        "P8",
        "m9",
        "M9",
        "P11",
        "M13",
    ]
).map(Interval.parse)


@pytest.mark.parametrize(
    ("name", "midi"),
    [("C4", 60), ("Cb4", 59), ("B#3", 60), ("Eb4", 63), ("F##5", 79), ("A0", 21), ("C-1", 0)],
)
def test_octave_number_belongs_to_the_letter(name: str, midi: int) -> None:
    assert Pitch.parse(name).midi == midi


@given(pitches)
def test_pitch_reads_back_from_its_name_and_its_signs(pitch: Pitch) -> None:
    assert Pitch.parse(pitch.name) == pitch
    assert Pitch.parse(pitch.sign) == pitch


@given(pitches, intervals)
def test_interval_up_adds_its_semitones_and_its_letters(pitch: Pitch, interval: Interval) -> None:
    assume(pitch.midi + interval.semitones <= 127)

    above = pitch.up(interval)

    assert above.midi - pitch.midi == interval.semitones
    assert above.staff_step - pitch.staff_step == interval.steps


@given(tones, tones)
def test_interval_to_leads_to_the_other_tone(low: Tone, high: Tone) -> None:
    interval = low.interval_to(high)

    assert low.up(interval) == high
    assert 0 <= interval.steps < 7


@given(tones, st.integers(24, 96))
def test_at_or_above_is_the_lowest_such_pitch(tone: Tone, midi: int) -> None:
    pitch = Pitch.at_or_above(tone, midi)

    assert midi <= pitch.midi < midi + 12
    assert pitch.tone == tone


@pytest.mark.parametrize(
    ("name", "semitones"),
    [
        ("P1", 0),
        ("m2", 1),
        ("M3", 4),
        ("d4", 4),
        ("A4", 6),
        ("d5", 6),
        ("d7", 9),
        ("P8", 12),
        ("M9", 14),
        ("M13", 21),
    ],
)
def test_interval_sizes(name: str, semitones: int) -> None:
    assert Interval.parse(name).semitones == semitones


@pytest.mark.parametrize("text", ["M5", "P3", "m4", "5", "", "P0", "X2"])
def test_what_is_no_interval_is_refused(text: str) -> None:
    with pytest.raises(RequestError, match="is no interval"):
        Interval.parse(text)


@pytest.mark.parametrize("text", ["H", "h", "", "Cb#", "B-", "C4 "])
def test_what_is_no_tone_is_refused_with_the_mend(text: str) -> None:
    with pytest.raises(RequestError, match="write one like"):
        Tone.parse(text)


def test_pitch_beyond_midi_is_refused() -> None:
    with pytest.raises(RequestError, match="MIDI 132"):
        Pitch.parse("C10")


@pytest.mark.parametrize(
    ("plain", "shown"),
    [
        ("Bb7(b9,#11)/Ab", "B♭7(♭9,♯11)/A♭"),
        ("bVI", "♭VI"),
        ("V7/bVI", "V7/♭VI"),
        ("Ebm7b5", "E♭m7♭5"),
        ("Abb", "A𝄫"),
        ("F##", "F𝄪"),
        ("Csus4", "Csus4"),
        ("viio7", "vii°7"),
        ("V7/bVI ii/o65 viio7/V", "V7/♭VI iiø65 vii°7/V"),
        ("voices go up, IV or not", "voices go up, IV or not"),
    ],
)
def test_people_see_the_signs(plain: str, shown: str) -> None:
    assert signs(plain) == shown
