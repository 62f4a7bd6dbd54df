import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.theory.degree import is_degree, parse_degree, with_figure
from tracks.theory.errors import RequestError
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.numeral import is_numeral, parse_numeral
from tracks.theory.pitch import signs


def spelled(text: str, key: str) -> str:
    """Return the bass, then the tones from the root up."""
    chord = (parse_degree if is_degree(text) else parse_numeral)(text, Key.parse(key))
    return f"{chord.bass}: {' '.join(tone.name for tone in chord.tones)}"


@pytest.mark.parametrize(
    ("text", "key", "expected"),
    [
        ("V[sus4]", "C", "G: G C D"),
        ("V7[sus4]", "C", "G: G C D F"),
        ("V[add4][no3]", "C", "G: G C D"),
        ("V54", "C", "G: G C D"),
        ("I[add9]", "C", "C: C E G D"),
        ("V7[b9]", "C", "G: G B D F Ab"),
        ("V7[b9]", "a", "E: E G# B D F"),
        ("V[b5]", "C", "G: G B Db"),
        ("I[no3no5]", "C", "C: C"),
        ("I[no1no3no5]", "C", None),
        ("V[no1]", "C", "B: B D"),
        ("bVII[sus4]", "C", "Bb: Bb Eb F"),
        ("N6[add9]", "C", "F: Db F Ab E"),
        ("I[maj7]", "C", "C: C E G B"),
        ("I[maj11]", "C", "C: C E G B D F"),  # a stack of thirds
        ("bVII", "a", "G: G B D"),
        ("bVI", "a", "F: F A C"),
        ("#viio7", "a", "G#: G# B D F"),
        ("#vi", "a", "F#: F# A C#"),
        ("bvi", "a", "F: F Ab C"),
        ("#VI", "a", "F#: F# A# C#"),
        ("bbVII", "a", "Gb: Gb Bb Db"),
        ("Id7", "Bb", "Bb: Bb D F Ab"),
        ("iv7", "C", "F: F Ab C Eb"),
        ("V7/V/V", "C", "A: A C# E G"),
        ("N", "C", "F: Db F Ab"),
        ("bVI", "Gb", "Ebb: Ebb Gb Bbb"),
        ("V/bVI", "Db", "Fb: Fb Ab Cb"),
        ("♭VII", "C", "Bb: Bb D F"),
    ],
)
def test_numerals_beyond_the_plain_ones(text: str, key: str, expected: str | None) -> None:
    if expected is None:
        with pytest.raises(RequestError, match="leave no tone"):
            spelled(text, key)
    else:
        assert spelled(text, key) == expected


@pytest.mark.parametrize(
    ("key", "triads", "sevenths"),
    [
        ("C", "I ii iii IV V vi viio", "I7 ii7 iii7 IV7 V7 vi7 vii/o7"),
        ("c", "i iio III iv V VI viio", "i7 ii/o7 III7 iv7 V7 VI7 viio7"),
    ],
)
def test_bare_degrees_are_the_chords_as_practiced(key: str, triads: str, sevenths: str) -> None:
    home = Key.parse(key)

    assert [parse_degree(str(n), home).numeral for n in range(1, 8)] == triads.split()
    assert [parse_degree(f"{n}7", home).numeral for n in range(1, 8)] == sevenths.split()


@pytest.mark.parametrize(
    ("text", "key", "expected"),
    [
        ("5/7", "C", "B: G B D"),
        ("57/4", "C", "F: G B D F"),
        ("1/2", "C", "D: C E G"),
        ("b7", "C", "Bb: Bb D F"),
        ("#4", "C", "F#: F# A C"),
        ("5/7", "c", "B: G B D"),
        ("7", "c", "B: B D F"),
        ("b7", "c", "Bb: Bb D F"),
        ("b3", "c", "Eb: Eb G Bb"),
        ("3", "c", "Eb: Eb G Bb"),
        ("b6", "c", "Ab: Ab C Eb"),
        ("b2", "c", "Db: Db F Ab"),
        ("#6", "c", "A: A C Eb"),
    ],
)
def test_degrees_with_accidentals_and_slash_basses(text: str, key: str, expected: str) -> None:
    assert spelled(text, key) == expected


@pytest.mark.parametrize(
    ("text", "pinned"),
    [("V", False), ("V7", False), ("V6", True), ("I53", True), ("Cad64", True), ("V42", True)],
)
def test_only_an_inversion_figure_asks_for_a_bass(text: str, pinned: bool) -> None:
    assert parse_numeral(text, Key.parse("D")).pinned is pinned


@pytest.mark.parametrize(
    ("text", "key", "numeral"),
    [
        ("vii°7", "C", "viio7"),
        ("vii°65/V", "C", "viio65/V"),
        ("iiø7", "c", "ii/o7"),
        ("♭VI", "C", "bVI"),
        ("Imaj7", "C", "I[maj7]"),
        ("♭VImaj7", "C", "bVI[maj7]"),
        ("imaj7", "c", "i[maj7]"),
        ("Idom7", "C", "Id7"),
        ("Vsus4", "C", "V[sus4]"),
        ("V7sus4/ii", "C", "V7[sus4]/ii"),
        ("Iadd9", "C", "I[add9]"),
        ("V7b9", "C", "V7[b9]"),
        ("V7♯9♭13", "C", "V7[#9][b13]"),
        ("V7(b9)", "C", "V7[b9]"),
        ("V7[#9b13]", "C", "V7[#9b13]"),
    ],
)
def test_numeral_as_on_lead_sheets_is_the_romantext_one(text: str, key: str, numeral: str) -> None:
    chord = parse_numeral(text, Key.parse(key))

    assert is_numeral(text)
    assert chord.numeral == numeral
    assert chord == parse_numeral(numeral, Key.parse(key))


@pytest.mark.parametrize("text", ["Imaj7", "IVmaj7"])
def test_major_seventh_is_the_keys_own_on_one_and_four(text: str) -> None:
    plain = parse_numeral(text.replace("maj", ""), Key.parse("Eb"))
    assert parse_numeral(text, Key.parse("Eb")).tones == plain.tones


@given(
    st.sampled_from(["I", "ii", "bVI", "viio", "ii/o7", "V65", "Id7", "V7", "#ivo7", "bVIId7", "viio43"]),
    st.sampled_from(["", "maj7", "sus4", "add9", "[add9]", "b9", "[b9]", "(#11)"]),
    st.sampled_from(["", "/V", "/bVI"]),
    st.sampled_from(KEY_SETS["all-30"]),
)
def test_numeral_reads_back_from_its_name_and_its_signs(head: str, change: str, under: str, key: Key) -> None:
    try:
        chord = parse_numeral(head + change + under, key)
    except RequestError:
        return
    assert chord.numeral.isascii()
    assert parse_numeral(chord.numeral, key) == chord
    assert parse_numeral(signs(chord.numeral), key) == chord


@pytest.mark.parametrize("text", ["V7/viio", "V8", "IIII", "", "Cad6", "It7", "I[xyz]", "V/", "iM7"])
def test_what_is_no_numeral_is_refused_by_name(text: str) -> None:
    with pytest.raises(RequestError) as caught:
        parse_numeral(text, Key.parse("C"))
    assert repr(text) in str(caught.value)


@given(st.text(alphabet="IViv67o+b#/[]addno5sNGer2349", max_size=10), st.sampled_from(KEY_SETS["all-30"]))
def test_any_text_is_a_chord_or_a_fault(text: str, key: Key) -> None:
    try:
        chord = parse_numeral(text, key)
    except RequestError:
        return
    assert is_numeral(text)
    assert chord.tones[0] == chord.root or 0 not in [interval.steps for interval in chord.intervals]


# Every figure of the table. Figures and their intervals above the bass: Open Music Theory, "thoroughbass
# figures"; 9, 11, 13 and the suspended fourths (4 stands for the third): convention.
FIGURES = {
    "": "G B D, free", "5": "G B D, G", "53": "G B D, G", "6": "G B D, B", "63": "G B D, B", "64": "G B D, D",
    "7": "G B D F, free", "75": "G B D F, G", "753": "G B D F, G", "65": "G B D F, B", "653": "G B D F, B",
    "43": "G B D F, D", "643": "G B D F, D", "42": "G B D F, F", "2": "G B D F, F", "642": "G B D F, F",
    "9": "G B D F A, free", "97": "G B D F A, free", "11": "G B D F A C, free", "13": "G B D F A C E, free",
    "4": "G C D, free", "54": "G C D, free", "74": "G C D F, free", "754": "G C D F, free",
}  # fmt: skip


@pytest.mark.parametrize("figure", FIGURES)
def test_every_figure_has_its_tones_and_its_bass(figure: str) -> None:
    chord = parse_numeral(f"V{figure}", Key.parse("C"))

    bass = chord.bass.name if chord.pinned else "free"
    assert f"{' '.join(tone.name for tone in chord.tones)}, {bass}" == FIGURES[figure]


def test_inversions_are_figured_by_the_books() -> None:
    """6 and 64 for triads, 65, 43 and 42 for sevenths: Open Music Theory, "thoroughbass figures"."""
    assert [with_figure("IV", place, seventh=False) for place in range(3)] == ["IV", "IV6", "IV64"]
    assert [with_figure("V7", place, seventh=True) for place in range(4)] == ["V7", "V65", "V43", "V42"]


def test_a_figure_that_is_none_is_told_with_the_usual_ones() -> None:
    with pytest.raises(RequestError) as caught:
        parse_numeral("V8", Key.parse("C"))
    assert str(caught.value) == "'V8': 8 is no figure; write 6, 64, 7, 65, 43 or 42"


@pytest.mark.parametrize("change", ["add14", "add0", "up5"])
def test_a_change_that_is_none_is_refused_in_whole(change: str) -> None:
    with pytest.raises(RequestError) as refused:
        parse_numeral(f"V[{change}]", Key.parse("C"))

    assert (
        refused.value.told == f"'V[{change}]': [{change}] is no change; write [add9], [no3], [sus4] or [b5]"
    )


@pytest.mark.parametrize(
    ("numeral", "bass"), [("N", "F"), ("It", "Ab"), ("Ger", "Ab"), ("Fr", "Ab"), ("N6", "F"), ("N53", "Db")]
)
def test_named_chords_stand_on_their_usual_bass(numeral: str, bass: str) -> None:
    """Neapolitan sixth on 4, augmented sixths on flat 6: Open Music Theory, "altered subdominants"."""
    assert parse_numeral(numeral, Key.parse("C")).bass.name == bass
