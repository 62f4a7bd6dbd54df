"""Left hands of two notes: shells and the lower half of spread voicings."""

from itertools import pairwise, product

import pytest

from tracks.hands.left_pairs import has_room_below, shell_tones, shells, spread_pairs
from tracks.hands.motion import size
from tracks.model import ChordAt
from tracks.theory.chord import parse_symbol
from tracks.theory.key import Key
from tracks.theory.pitch import Pitch

HIGH = Pitch.parse("C5")


def chords(text: str) -> tuple[ChordAt, ...]:
    key = Key.parse("C")
    return tuple(
        ChordAt(n, 1, None if word == "N.C." else parse_symbol(word), key, n + 1, n)
        for n, word in enumerate(text.split())
    )


def written(pairs: tuple[tuple[Pitch, ...] | None, ...]) -> list[str]:
    return [" ".join(pitch.name for pitch in pair) if pair else "-" for pair in pairs]


def shell_names(text: str, lowest: str = "C5", hand: int = 12) -> list[str]:
    changes = chords(text)
    ceilings = [Pitch.parse(lowest) if at.chord else None for at in changes]
    return written(shells(changes, ceilings, hand))


@pytest.mark.parametrize(
    ("symbol", "tones"),
    [
        ("C7", "E Bb"), ("Cm", "Eb"), ("Csus4", "F"), ("C6", "E A"), ("C/E", "C"), ("C7/E", "Bb"),
        ("C7/Bb", "E"), ("C5", "G"), ("C/D", "E"), ("C13", "E Bb"),
    ],
)  # fmt: skip
def test_shell_is_the_bass_with_third_or_seventh(symbol: str, tones: str) -> None:
    assert [tone.name for tone in shell_tones(parse_symbol(symbol))] == tones.split()


def test_guide_tones_hold_or_fall_by_step_round_the_circle_of_fifths() -> None:
    """R. Hutchinson, 31.7.1: a third holds as the next chord's seventh, a seventh falls to the third."""
    assert shell_names("Dm7 G7 Cmaj7") == ["D3 F3", "G2 F3", "C3 E3"]


def test_no_thick_third_stands_below_c3_where_a_seventh_will_do() -> None:
    for pair in shell_names("E7 F7 G7 A7 Bb7"):
        low, high = (Pitch.parse(name).midi for name in pair.split())
        assert low >= 48 or high - low > 4


@pytest.mark.parametrize("root", "C Db D Eb E F F# G Ab A Bb B".split())
@pytest.mark.parametrize("kind", ["", "m", "7", "maj7", "6", "sus2"])
@pytest.mark.parametrize("lowest", ["F3", "C4", "C5"])
@pytest.mark.parametrize("hand", [7, 12])
def test_neither_third_nor_second_stands_below_c3(root: str, kind: str, lowest: str, hand: int) -> None:
    """Convention: so low they sound thick."""
    for pair in shell_names(f"{root}{kind} {root}{kind}/{root}", lowest, hand):
        low, *high = (Pitch.parse(name).midi for name in pair.split())
        assert not high or high[0] - low > (4 if low < 48 else 2), pair


def test_where_the_third_would_be_a_second_above_the_bass_root_or_fifth_makes_the_shell() -> None:
    assert shell_names("Bb/C") in (["C3 Bb3"], ["C3 F3"])


def test_shells_go_by_step_where_the_bass_does() -> None:
    """Convention, as for the bass alone."""
    basses = [Pitch.parse(pair.split()[0]) for pair in shell_names("Am7 G7 Fmaj7 E7")]
    assert [a.staff_step - b.staff_step for a, b in pairwise(basses)] == [1, 1, 1]


def test_smallest_hand_keeps_to_thirds() -> None:
    assert all(
        Pitch.parse(pair.split()[1]).midi - Pitch.parse(pair.split()[0]).midi <= 7
        for pair in shell_names("Dm7 G7 Cmaj7", hand=7)
    )


def test_bass_stands_alone_where_nothing_has_room_above_it() -> None:
    assert shell_names("Eb", lowest="F3") == ["Eb3"]


def test_silence_has_no_shell_and_repeats_are_alike() -> None:
    assert shell_names("N.C. C")[0] == "-"
    once = chords("C7 F7 G7")
    twice = written(shells(once + once, [HIGH] * 6, 12))
    assert twice[:3] == twice[3:]


def test_spread_bass_lies_within_the_hand_below_the_dropped_voice() -> None:
    changes = chords("C F G")
    dropped = [Pitch.parse(name) for name in ("E3", "A3", "D4")]
    for pair, voice in zip(spread_pairs(changes, dropped, 12), dropped, strict=True):
        assert pair
        assert pair[1] == voice
        assert 0 < voice.midi - pair[0].midi <= 12


def test_room_for_a_spread_bass_is_known_beforehand() -> None:
    chord = parse_symbol("C")
    assert has_room_below(chord, 52, 12)
    assert not has_room_below(chord, 60, 11)
    assert has_room_below(chord, 60, 12)
    assert not has_room_below(chord, 47, 12)


def test_movement_is_the_least_that_any_choice_of_shells_has() -> None:
    changes = chords("Dm7 G7 Cmaj7 A7")
    options = []
    for at in changes:
        assert at.chord
        options.append(
            [
                (low, high)
                for guide in shell_tones(at.chord)
                for low in range(40, 65)
                for high in range(low + 1, min(low + 12, 71) + 1)
                if low % 12 == at.chord.bass.chroma
                and high % 12 == guide.chroma
                and (low >= 48 or high - low > 4)
            ]
        )
    best = min(sum(size(a, b)[0] for a, b in pairwise(way)) for way in product(*options))
    found = [tuple(p.midi for p in pair) for pair in shells(changes, [HIGH] * 4, 12) if pair]
    assert sum(size(a, b)[0] for a, b in pairwise(found)) == best
