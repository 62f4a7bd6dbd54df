import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.theory.chord import Chord, parse_symbol
from tracks.theory.chord_kinds import BY_INTERVALS, BY_SPELLING, KINDS
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.numeral import parse_numeral

ROOTS = ["C", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B", "C#", "Cb"]
written = st.builds(
    lambda root, kind: root + kind.spellings[0],
    st.sampled_from(ROOTS),
    st.sampled_from([kind for kind in KINDS if kind.spellings]),
)


def names(chord: Chord) -> str:
    return " ".join(tone.name for tone in chord.tones)


@pytest.mark.parametrize(
    ("symbol", "tones"),
    [
        ("C", "C E G"),
        ("Ebmaj7", "Eb G Bb D"),
        ("E♭maj7", "Eb G Bb D"),
        ("F#m7b5", "F# A C E"),
        ("F#ø7", "F# A C E"),
        ("C#°7", "C# E G Bb"),
        ("Bbb7", "Bbb Db Fb Abb"),
        ("Am(maj7)", "A C E G#"),
        ("G7sus4", "G C D F"),
        ("C6/9", "C E G A D"),
        ("C7(b9,#11)", "C E G Bb Db F#"),
        ("C7#9#5", "C E G# Bb D#"),
        ("Cadd9", "C E G D"),
        ("C(no3)", "C G"),
        ("G7(omit5)", "G B F"),
        ("Dm11", "D F A C E G"),
        ("F13", "F A C Eb G Bb D"),
        ("Cm7add11", "C Eb G Bb F"),
        ("D+", "D F# A#"),
        ("Cmaj9#11", "C E G B D F#"),
        ("C-7b5", "C Eb Gb Bb"),
        ("Cmi7(b5)", "C Eb Gb Bb"),
        ("CMA7", "C E G B"),
        ("CΔ", "C E G B"),
        ("CΔ9", "C E G B D"),
        ("Cm/maj7", "C Eb G B"),
        ("C-Δ7", "C Eb G B"),
        ("Cm9(maj7)", "C Eb G B D"),
        ("Cdim(maj7)", "C Eb Gb B"),
        ("Cø9", "C Eb Gb Bb D"),
        ("C2", "C E G D"),
        ("C69", "C E G A D"),
        ("Caug7", "C E G# Bb"),
        ("C7+", "C E G# Bb"),
        ("C+9", "C E G# Bb D"),
        ("C7+9", "C E G Bb D#"),
        ("C7-9", "C E G Bb Db"),
        ("C7-5", "C E Gb Bb"),
        ("C(b5)", "C E Gb"),
        ("Cb5", "Cb Gb"),
        ("C7alt", "C E G# Bb D#"),
        ("C13sus4", "C F G Bb D A"),
        ("C7sus2", "C D G Bb"),
        ("Csus4(add7)", "C F G Bb"),
        ("Csus4(addmaj7)", "C F G B"),
        ("C7susb9", "C F G Bb Db"),
        ("Cm11b5", "C Eb Gb Bb D F"),
        ("C7(no1)", "E G Bb"),
    ],
)
def test_tones_of_a_symbol(symbol: str, tones: str) -> None:
    assert names(parse_symbol(symbol)) == tones


@pytest.mark.parametrize(
    ("symbol", "bass", "pinned", "foreign"),
    [
        ("C", "C", False, False),
        ("C/E", "E", True, False),
        ("C/D", "D", True, True),
        ("C6/9/E", "E", True, False),
    ],
)
def test_slash_names_the_bass(symbol: str, bass: str, pinned: bool, foreign: bool) -> None:
    chord = parse_symbol(symbol)

    assert (chord.bass.name, chord.pinned, chord.bass_is_foreign) == (bass, pinned, foreign)


@given(written)
def test_symbol_reads_back_from_what_we_write(symbol: str) -> None:
    chord = parse_symbol(symbol)

    assert chord.symbol == symbol
    assert parse_symbol(chord.symbol) == chord


@pytest.mark.parametrize(
    ("symbol", "written"),
    [
        ("C9#5", "C9#5"),
        ("Cm9b5", "Cm9b5"),
        ("Cmb6", "Cm(addb6)"),
        ("C7alt", "C7#5(#9)"),
        ("C13sus", "C13sus4"),
        ("CM7#11", "Cmaj7(#11)"),
        ("C6add9", "C6/9"),
        ("C7no3no5", "C7(no3,no5)"),
    ],
)
def test_symbol_is_written_the_usual_way(symbol: str, written: str) -> None:
    assert parse_symbol(symbol).symbol == written


@given(
    written,
    st.lists(
        st.sampled_from(
            [
                "(b9)",
                "(#11)",
                "(add9)",
                "(no5)",
                "(b13)",
                "(#9)",
                "(no3)",
                "(add7)",
                "(maj7)",
                "(sus4)",
                "(b5)",
            ]
        ),
        max_size=3,
        unique=True,
    ),
)
def test_changed_symbol_keeps_its_tones_when_written_and_read(symbol: str, changes: list[str]) -> None:
    try:
        chord = parse_symbol(symbol + "".join(changes))
    except RequestError:
        return  # there is no fifth to leave out

    assert parse_symbol(chord.symbol).intervals == chord.intervals


def test_no_two_kinds_share_intervals_or_a_spelling() -> None:
    assert len(BY_INTERVALS) == len(KINDS)
    assert len(BY_SPELLING) == sum(len(kind.spellings) for kind in KINDS)


@pytest.mark.parametrize(
    "text", ["", "H", "Cfoo", "C7b", "c", "/E", "Cno9", "C^7", "C7(b9", "C3", "C7(b15)", "Cmaj5"]
)
def test_what_is_no_symbol_is_refused_with_the_mend(text: str) -> None:
    with pytest.raises(RequestError, match="write one like"):
        parse_symbol(text)


@given(st.text(max_size=12))
def test_any_text_is_a_chord_or_one_line_of_fault(text: str) -> None:
    try:
        parse_symbol(text)
    except RequestError as fault:
        assert "\n" not in repr(str(fault))[1:-1] or text  # noqa: PT017 - the text may itself hold a newline


def test_slash_asks_for_its_bass() -> None:
    chord = parse_symbol("G7/F")

    assert (chord.bass.name, chord.pinned, chord.symbol) == ("F", True, "G7/F")


@pytest.mark.parametrize(
    ("numeral", "tones"),
    [
        ("It6", "Ab C F#"),
        ("Ger65", "Ab C Eb F#"),
        ("Fr43", "Ab C D F#"),
        ("V7", "G B D F"),
        ("N6", "Db F Ab"),
    ],
)
def test_augmented_sixths_are_named_and_counted_from_the_flat_sixth(numeral: str, tones: str) -> None:
    """Tones: Open Music Theory, "Altered subdominants". To count inversions from there is convention."""
    chord = parse_numeral(numeral, Key.parse("c"))
    assert " ".join(tone.name for tone in chord.named_tones) == tones
    assert chord.symbol.startswith(tones.split()[0])
