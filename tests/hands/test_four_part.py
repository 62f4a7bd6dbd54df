"""Four parts: the exact search against brute force, and what each rule asks.

The brute force here has its own list of positions, and tries them all; it takes only the rules' verdicts,
whose own tests stand in test_part_writing.
"""

import random
from itertools import pairwise, permutations, product

import pytest

from tracks.hands.doubling import uppers
from tracks.hands.four_part import PartWriting, write_parts
from tracks.hands.options import Start, VoicingOptions
from tracks.hands.part_writing import Broken, Position, broken_between, licenses_between, link
from tracks.model import ChordAt, Texture
from tracks.theory.chord import Chord
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.numeral import parse_numeral
from tracks.theory.pitch import Pitch

REQUEST = VoicingOptions(Texture.FOUR_PART)
Cost = tuple[int, ...]


def changes(text: str, key: str = "C", order: tuple[int, ...] | None = None) -> tuple[ChordAt, ...]:
    """Chords of numerals, or those of them that `order` plays; `-` is silence."""
    words = text.split()
    here = Key.parse(key)
    return tuple(
        ChordAt(bar, 1, None if words[i] == "-" else parse_numeral(words[i], here), here, bar + 1, i)
        for bar, i in enumerate(order or range(len(words)))
    )


def written(text: str, key: str = "C", **asked: object) -> list[str]:
    options = VoicingOptions(Texture.FOUR_PART, **asked)  # type: ignore[arg-type]
    return names(write_parts(changes(text, key), options))


def names(writing: PartWriting) -> list[str]:
    return [" ".join(p.name for p in parts.pitches) if parts else "-" for parts in writing.chords]


def broken(text: str, key: str = "C") -> list[str]:
    writing = write_parts(changes(text, key), REQUEST)
    return [words for parts in writing.chords if parts for words in parts.broken]


# The brute force ---------------------------------------------------------------------------------


def positions(
    at: ChordAt, chord: Chord, near: list[Chord], asked: VoicingOptions
) -> list[tuple[Position, Cost]]:
    """Every position as the books allow it, and the ranks it breaks with its licenses."""
    found = {}
    for upper in uppers(chord, at.key, near):
        for tones in permutations(upper.tones):
            keys = [
                [key for key in range(asked.low.midi, asked.high.midi + 1) if key % 12 == tone.chroma]
                for tone in tones
            ]
            for right in product(*keys):
                for bass in range(40, 65):
                    if (
                        bass % 12 == chord.bass.chroma
                        and (not upper.rule or len(set(right)) == 3)
                        and bass < right[0] <= right[1] <= right[2] <= right[0] + asked.hand
                    ):
                        fifths = tuple(tone.fifths - chord.root.fifths for tone in (chord.bass, *tones))
                        wrong = (Broken(upper.rule, (0,)),) if upper.rule else ()
                        position = Position((bass, *right), fifths, 0, wrong)
                        ranks = [0] * 5
                        if upper.rule:
                            ranks[upper.rule.rank] += 1
                        found[position.keys, fifths] = (
                            position,
                            (*ranks, upper.licenses, 3 - len(set(right))),
                        )
    return list(found.values())


def step_cost(before: Position, after: Position, old: ChordAt, new: ChordAt) -> Cost:
    assert old.chord
    assert new.chord
    asked = link(old.chord, new.chord, old.key)
    ranks = [0] * 5
    for each in broken_between(asked, before, after):
        ranks[each.rule.rank] += 1
    moves = [b - a for a, b in zip(before.keys, after.keys, strict=True)]
    upper = [abs(move) for move in moves[1:]]
    similar = moves[0] * moves[3] > 0 and abs(moves[0]) not in (5, 7)
    return (
        *ranks,
        licenses_between(asked, before, after),
        0,
        sum(upper),
        sum(1 for move in upper if move),
        sum(move**2 for move in upper),
        abs(moves[0]),
        int(similar),
    )


def total_cost(path: list[tuple[Position, Cost]], chords: list[ChordAt]) -> Cost:
    total = [0] * 13
    for position, own in path:
        for place, cost in enumerate(own):
            total[place] += cost
        total[12] += abs(sum(position.keys[1:]) - 3 * 67) + abs(position.keys[0] - 48)
    for (before, after), (old, new) in zip(pairwise(path), pairwise(chords), strict=True):
        if old.written != new.written:
            for place, cost in enumerate(step_cost(before[0], after[0], old, new)):
                total[place] += cost
    return tuple(total)


def options(chords: list[ChordAt], asked: VoicingOptions) -> dict[int, list[tuple[Position, Cost]]]:
    found: dict[int, list[tuple[Position, Cost]]] = {}
    for at in chords:
        assert at.chord
        near = [
            other.chord
            for pair in pairwise(chords)
            for one, other in (pair, pair[::-1])
            if one.written == at.written and other.chord
        ]
        found[at.written] = positions(at, at.chord, near, asked)
    first = chords[0]
    assert first.chord
    root = [pair for pair in found[first.written] if pair[0].keys[1] in range(60, 72)]
    on_root = [pair for pair in root if pair[0].tones[1] == 0 and not pair[0].broken]
    found[first.written] = on_root or root
    return found


def least_cost(chords: list[ChordAt], asked: VoicingOptions) -> Cost:
    found = options(chords, asked)
    ways = product(*found.values())
    return min(
        total_cost([dict(zip(found, way, strict=True))[at.written] for at in chords], chords) for way in ways
    )


def cost_of(chords: list[ChordAt], writing: PartWriting, asked: VoicingOptions) -> Cost:
    found = options(chords, asked)
    path = []
    for at, parts in zip(chords, writing.chords, strict=True):
        assert at.chord
        assert parts
        keys = tuple(pitch.midi for pitch in parts.pitches)
        tones = tuple(pitch.tone.fifths - at.chord.root.fifths for pitch in parts.pitches)
        path.append(
            next(pair for pair in found[at.written] if (pair[0].keys, pair[0].tones) == (keys, tones))
        )
    return total_cost(path, chords)


POOL = "I I6 ii ii6 ii65 IV IV6 V V6 V7 V65 V43 V42 vi viio6 V7/V bVI N6 iii I64 Cad64 iv6 Ger65".split()
ORDERS = ((0, 1, 2), (0, 1, 0, 2), (0, 1, 2, 1, 2), (0, 0, 1, 2))


@pytest.mark.parametrize("seed", range(4))
def test_search_equals_brute_force_in_every_place_of_the_cost(seed: int) -> None:
    dice = random.Random(seed)
    for _ in range(5):
        text = " ".join(dice.choices(POOL, k=3))
        low = dice.choice(["F3", "A3", "C4"])
        asked = VoicingOptions(
            Texture.FOUR_PART, low=Pitch.parse(low), high=Pitch.parse("E5"), hand=dice.choice([9, 12])
        )
        chords = list(changes(text, dice.choice(["C", "Eb", "A"]), dice.choice(ORDERS)))
        writing = write_parts(chords, asked)
        expected = least_cost(chords, asked)
        assert cost_of(chords, writing, asked) == expected, (text, names(writing))
        assert writing.movement == expected[7]


# What the rules ask ------------------------------------------------------------------------------


def test_cadence_keeps_every_rule() -> None:
    assert written("I vi IV V7 I", "Eb") == [
        "Eb3 Eb4 G4 Bb4", "C3 Eb4 G4 C5", "Ab2 Eb4 Ab4 C5", "Bb2 D4 Ab4 Bb4", "Eb3 Eb4 G4 Bb4",
    ]  # fmt: skip
    assert broken("I vi IV V7 I", "Eb") == []


def test_root_position_seventh_before_its_tonic_drops_its_fifth() -> None:
    writing = write_parts(changes("I IV V7 I"), REQUEST)
    seventh = writing.chords[2]
    assert seventh
    assert [tone.name for tone in seventh.omits] == ["D"]


def test_upper_voices_go_against_a_bass_that_steps() -> None:
    four, five = write_parts(changes("IV V"), REQUEST).chords
    assert four
    assert five
    assert five.pitches[0].midi > four.pitches[0].midi
    assert all(new.midi < old.midi for old, new in zip(four.pitches[1:], five.pitches[1:], strict=True))


@pytest.mark.parametrize(
    ("figure", "bass"), [("I6", "E"), ("V65", "B"), ("ii65", "F"), ("I64", "G"), ("V42", "F")]
)
def test_bass_follows_the_written_figure(figure: str, bass: str) -> None:
    parts = write_parts(changes(f"I {figure}"), REQUEST).chords[1]
    assert parts
    assert parts.pitches[0].tone.name == bass


def test_deceptive_cadence_doubles_the_third() -> None:
    parts = write_parts(changes("i V7 VI", "c"), REQUEST).chords[2]
    assert parts
    assert sorted(pitch.tone.name for pitch in parts.pitches) == ["Ab", "C", "C", "Eb"]
    assert parts.broken == ()


@pytest.mark.parametrize("key", ["C", "c", "F#", "eb"])
@pytest.mark.parametrize("six_four", ["Cad64", "I64"])
@pytest.mark.parametrize("dominant", ["V", "V7"])
def test_six_four_on_the_dominant_falls_into_it_by_step(key: str, six_four: str, dominant: str) -> None:
    home = Key.parse(key)
    tonic, subdominant = ("i", "iv") if home.is_minor else ("I", "IV")
    here = six_four if six_four == "Cad64" else f"{tonic}64"
    falls(write_parts(changes(f"{tonic} {subdominant} {here} {dominant} {tonic}", key), REQUEST), 2, home)


@pytest.mark.parametrize(
    ("text", "key", "place"),
    [("I ii6 Cad64 V7 I", "C", 2), ("i ii/o65 Cad64 V7 i", "c", 2), ("i iv6 Ger65 Cad64 V7 i", "c", 3)],
)
def test_cadential_six_four_falls_in_the_cadences_of_the_library(text: str, key: str, place: int) -> None:
    falls(write_parts(changes(text, key), REQUEST), place, Key.parse(key))


def falls(writing: PartWriting, place: int, key: Key) -> None:
    """Check 6-5 and 4-3 above the bass at a place, and that every rule is kept."""
    before, after = writing.chords[place : place + 2]
    assert before
    assert after
    for old, new in zip(before.pitches[1:], after.pitches[1:], strict=True):
        if old.tone != before.pitches[0].tone:
            assert old.tone in (key.tonic, key.degree(3))
            assert old.staff_step - new.staff_step == 1
    assert not any(parts.broken for parts in writing.chords if parts)


def test_two_voices_meet_on_one_key_where_the_dominant_goes_to_the_sixth() -> None:
    assert written("I IV V vi")[-2:] == ["G3 B3 D4 G4", "A3 C4 C4 E4"]
    assert written("I IV V7 vi")[-2:] == ["G3 B3 D4 F4", "A3 C4 C4 E4"]
    assert written("i iv V7 VI", "c")[-1] == "Ab3 C4 C4 Eb4"


def test_soprano_takes_the_chromatic_step_into_the_augmented_sixth() -> None:
    sopranos = [line.split()[-1] for line in written("i iv6 Ger65 Cad64 V7 i", "c")]
    assert sopranos == ["G4", "F4", "F#4", "G4", "F4", "Eb4"]


def test_what_cannot_be_kept_is_told_with_the_rule_the_chords_and_the_voices() -> None:
    assert broken("I V42 I") == ["from V42 to I: F in the bass does not step down"]
    assert broken("V6 I64") == ["from V6 to I64: the leading tone B in the bass does not rise"]


def test_first_chords_broken_rule_is_told_with_the_second() -> None:
    narrow = VoicingOptions(Texture.FOUR_PART, low=Pitch.parse("G4"), high=Pitch.parse("F5"))
    first, second = write_parts(changes("IV6 I"), narrow).chords
    assert first
    assert second
    assert first.broken == ()
    assert second.broken == ("in IV6: tenor and bass double A where the books double another note",)


def test_silence_is_passed_over_and_repeats_are_alike() -> None:
    assert written("- I - V -")[0] == "-"
    found = names(write_parts(changes("I V7 vi", order=(0, 1, 2, 1, 2)), REQUEST))
    assert found[1:3] == found[3:]


@pytest.mark.parametrize(("start", "lowest"), [(Start.ROOT, "C4"), (Start.FIRST, "E4"), (Start.SECOND, "G4")])
def test_start_sets_the_right_hands_lowest_tone(start: Start, lowest: str) -> None:
    assert written("I V", start=start)[0].split()[1] == lowest


def test_chord_that_cannot_start_on_the_tone_asked_for_starts_elsewhere() -> None:
    assert written("viio7 i", "c")[0].split()[0].startswith("B")


@pytest.mark.parametrize("hand", [8, 9, 10, 11, 12])
def test_right_hand_stays_within_the_hand(hand: int) -> None:
    for line in written("I vi ii65 V7 I IV V42 I6", hand=hand):
        right = [Pitch.parse(name).midi for name in line.split()[1:]]
        assert right[-1] - right[0] <= hand


def test_larger_chords_keep_third_seventh_and_highest_tone() -> None:
    parts = write_parts(changes("I V9 I"), REQUEST).chords[1]
    assert parts
    assert sorted(pitch.tone.name for pitch in parts.pitches) == ["A", "B", "F", "G"]


def test_foreign_bass_leaves_the_chord_to_the_right_hand() -> None:
    from tracks.theory.chord import parse_symbol

    key = Key.parse("C")
    at = ChordAt(0, 1, parse_symbol("F/G"), key, 1, 0)
    parts = write_parts([at], REQUEST).chords[0]
    assert parts
    assert parts.pitches[0].tone.name == "G"
    assert {pitch.tone.name for pitch in parts.pitches[1:]} == {"F", "A", "C"}


def test_no_room_is_a_fault_with_the_mend() -> None:
    with pytest.raises(RequestError, match=r"bar 2: V .*widen"):
        write_parts(
            changes("I V"), VoicingOptions(Texture.FOUR_PART, low=Pitch.parse("C4"), high=Pitch.parse("G4"))
        )


@pytest.mark.parametrize("key", ["C#", "Cb", "F#", "Gb", "a#", "ab"])
def test_keys_of_any_signature_move_alike(key: str) -> None:
    minor = key.islower()
    text = "i iv V7 i" if minor else "I IV V7 I"
    writing = write_parts(changes(text, key), REQUEST)
    assert writing.movement == write_parts(changes(text, "a" if minor else "C"), REQUEST).movement
    assert all(parts and not parts.broken for parts in writing.chords)
