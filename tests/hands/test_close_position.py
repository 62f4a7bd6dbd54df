"""What a hand leaves out of a chord: each rule with its source, by hand-written tables."""

import pytest

from tracks.hands.close_position import Reduction, is_large, tone_sets
from tracks.theory.chord import Chord, parse_symbol
from tracks.theory.chord_kinds import BY_NAME
from tracks.theory.pitch import Tone


def kept(symbol: str, lowest: str = "", count: int = 3, rooted: bool = True) -> str:
    """The tones of the one set that a symbol has, root first."""
    chord = parse_symbol(symbol)
    asked = Reduction(count, lowest=Tone.parse(lowest) if lowest else None, rooted=rooted)
    (tones,) = tone_sets(chord, asked)
    return " ".join(tone.name for tone in chord.tones if tone in tones)


@pytest.mark.parametrize(
    ("symbol", "tones"),
    [
        ("G7", "G B F"),
        ("Cmaj7", "C E B"),
        ("Dm7", "D F C"),
        ("Cm(maj7)", "C Eb B"),
        ("C6", "C E A"),
        ("Cm6", "C Eb A"),
        ("D7sus4", "D G C"),
    ],
)
@pytest.mark.parametrize("rooted", [True, False])
def test_third_and_seventh_stay_and_the_fifth_goes(symbol: str, tones: str, rooted: bool) -> None:
    """R. Hutchinson, Music Theory for the 21st-Century Classroom, 31.7: guide tones; the fifth goes first.

    A suspended fourth stands for the third, the sixth for the seventh (31.7.1).
    """
    assert kept(symbol, rooted=rooted) == tones


@pytest.mark.parametrize(
    ("symbol", "fifth", "tones"),
    [("G7", "D", "B D F"), ("Dm7", "A", "F A C"), ("C6", "G", "E G A"), ("D7sus4", "A", "G A C")],
)
def test_the_root_goes_where_the_fifth_is_asked_for(symbol: str, fifth: str, tones: str) -> None:
    """Convention: of a 43 in three notes the guide tones stay, the bass of the chord is anyone's."""
    assert kept(symbol, fifth) == tones


@pytest.mark.parametrize("lowest", ["G", "B", "F"])
def test_any_other_tone_lowest_changes_nothing(lowest: str) -> None:
    assert kept("G7", lowest) == "G B F"


@pytest.mark.parametrize(("symbol", "tones"), [("Bm7b5", "B F A"), ("Bdim7", "B F Ab")])
def test_diminished_fifth_stays_and_the_third_goes(symbol: str, tones: str) -> None:
    """Convention: without its diminished fifth the chord is another one."""
    assert [kept(symbol, lowest) for lowest in ("", *tones.split())] == [tones] * 4
    assert kept(symbol, "D") == tones.replace("B ", "D ")


@pytest.mark.parametrize(
    ("symbol", "tones"), [("G7#5", "B D# F"), ("Gmaj7#5", "B D# F#"), ("G7b5", "B Db F")]
)
def test_altered_fifth_stays_and_the_root_goes(symbol: str, tones: str) -> None:
    """Convention: an altered fifth names the chord; asked for lowest, the root stays with the guide tones."""
    assert kept(symbol) == tones
    assert kept(symbol, "G") == f"G B {tones.split()[-1]}"


@pytest.mark.parametrize(
    ("symbol", "sets"),
    [("G7", ["BFG", "DFG"]), ("Bm7b5", ["ABF", "ABD"]), ("D7sus4", ["CDG", "ACD"]), ("G7#5", ["BD#F"])],
)
def test_the_smoothest_may_leave_out_third_or_fifth(symbol: str, sets: list[str]) -> None:
    found = tone_sets(parse_symbol(symbol), Reduction(3, smoothest=True))
    assert ["".join(sorted(tone.name for tone in tones)) for tones in found] == sets


def test_the_smoothest_43_may_have_its_third_or_its_root() -> None:
    found = tone_sets(parse_symbol("G7"), Reduction(3, smoothest=True, lowest=Tone.parse("D")))
    assert ["".join(sorted(tone.name for tone in tones)) for tones in found] == ["BDF", "DFG"]


@pytest.mark.parametrize(
    ("symbol", "doubled", "over_bass"),
    [
        ("C9", "C E Bb D", "E G Bb D"),
        ("Cmaj13", "C E B A", "E B D A"),
        ("G13", "G B F E", "B F A E"),
        ("C6/9", "C E A D", "E G A D"),
        ("C9sus4", "C F Bb D", "F G Bb D"),
        ("G7alt", "G B D# F", "B D# F A#"),
        ("G9#5", "G B D# F", "B D# F A"),
        ("G13b5", "G B Db F", "B Db F E"),
    ],
)
def test_large_chords_keep_their_root_where_no_bass_has_it(symbol: str, doubled: str, over_bass: str) -> None:
    """Hutchinson 31.7.1 and 31.7.2 (guide tones and the highest tone, no fifth); the root is convention.

    Cmaj13 without its root, B E A in both hands, would be another chord.
    """
    assert is_large(parse_symbol(symbol))
    assert kept(symbol, count=4) == doubled
    assert kept(symbol, count=4, rooted=False) == over_bass


@pytest.mark.parametrize("symbol", ["C", "C7", "C6", "Cadd9", "Csus4", "Bdim7"])
def test_smaller_chords_are_not_large(symbol: str) -> None:
    assert not is_large(parse_symbol(symbol))


def test_added_ninth_keeps_root_ninth_and_third() -> None:
    assert kept("Cadd9") == "C E D"
    assert kept("G+add9") == "G B D#"  # the altered fifth names it


@pytest.mark.parametrize(
    ("name", "kind", "root", "naming"),
    [("It6", "Italian", "F#", "C"), ("Ger65", "German", "F#", "Eb"), ("Fr43", "French", "D", "D")],
)
@pytest.mark.parametrize("smoothest", [False, True])
@pytest.mark.parametrize("rooted", [False, True])
@pytest.mark.parametrize("guided", [False, True])
def test_augmented_sixths_keep_their_outer_tones_and_the_one_that_names_them(
    name: str, kind: str, root: str, naming: str, smoothest: bool, rooted: bool, guided: bool
) -> None:
    chord = Chord(Tone.parse(root), BY_NAME[kind].intervals, Tone.parse("Ab"), True, name)
    for lowest in (None, *chord.tones):
        for tones in tone_sets(chord, Reduction(3, smoothest, lowest, rooted, guided)):
            kept = {tone.name for tone in tones}
            assert {"Ab", "F#"} <= kept, lowest
            assert naming in kept or (lowest and lowest.name == "C"), lowest  # C was asked for


def test_tones_on_one_key_of_the_keyboard_are_not_struck_twice() -> None:
    (tones,) = tone_sets(parse_symbol("C7(b5,#11)"), Reduction(4, rooted=False))
    assert len({tone.chroma for tone in tones}) == 4
