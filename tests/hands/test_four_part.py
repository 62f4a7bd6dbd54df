"""Four parts: the exact search against brute force, and what each rule asks.

The brute force here has its own list of positions, and tries them all; it takes only the rules' verdicts,
whose own tests stand in test_part_writing.
"""

import random
from itertools import pairwise, permutations, product

import pytest

from tracks.hands.doubling import uppers
from tracks.hands.four_part import PartWriting, write_in_keys, write_parts
from tracks.hands.options import Start, VoicingOptions
from tracks.hands.part_writing import Broken, Position, broken_between, licenses_between, link
from tracks.model import ChordAt, Texture
from tracks.progression.changes import realize
from tracks.progression.library import LIBRARY, Entry
from tracks.progression.music import parse
from tracks.theory.chord import Chord
from tracks.theory.errors import RequestError
from tracks.theory.key import KEY_SETS, Key, Mode
from tracks.theory.meter import Meter
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
    """Every position as the books allow it, and what it costs by itself wherever it stands."""
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
                        meets = 5 * (3 - len(set(right)))
                        wide, high = right[0] - bass > 24, right[2] > 79
                        own = (*ranks, int(high), upper.licenses, meets, 0, 0, 0, int(wide))
                        found[position.keys, fifths] = (position, own)
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
    together = moves[0] * moves[3] > 0
    direct = together and upper[2] > 2 and (after.keys[3] - after.keys[0]) % 12 == 7
    similar = together and abs(moves[0]) not in (5, 7)
    return (
        *ranks,
        0,
        licenses_between(asked, before, after),
        sum(upper),
        int(direct),
        0,
        0,
        0,
        int(moves[3] == 0),
        sum(1 for move in upper if move),
        sum(move**2 for move in upper),
        abs(moves[0]),
        int(similar),
    )


def total_cost(path: list[tuple[Position, Cost]], chords: list[ChordAt]) -> Cost:
    total = [0] * 18
    ending = path[-1][0].tones[3] != 0 and ends_perfectly(chords)
    total[9] += sum(ending for at in chords if at.written == chords[-1].written)
    total[10] += sum(path[0][0].keys[1] < 60 for at in chords if at.written == chords[0].written)
    for position, own in path:
        for place, cost in enumerate(own):
            total[place] += cost
        total[17] += abs(sum(position.keys[1:]) - 3 * 67) + abs(position.keys[0] - 48)
    for (before, after), (old, new) in zip(pairwise(path), pairwise(chords), strict=True):
        if old.written != new.written:
            for place, cost in enumerate(step_cost(before[0], after[0], old, new)):
                total[place] += cost
    return tuple(total)


def ends_perfectly(chords: list[ChordAt]) -> bool:
    """Whether the last chords are V or V7 and the tonic, both over their roots, and minor's V is major."""
    numerals = [at.chord.numeral for at in chords[-2:] if at.chord]
    return numerals[0] in ("V", "V7") and numerals[-1] in ("I", "i")


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
    begins = [pair for pair in found[first.written] if pair[0].keys[1] < 72]
    on_root = [pair for pair in begins if pair[0].tones[1] == 0 and not pair[0].broken]
    has_root = asked.start and any(pair[0].keys[1] >= 60 for pair in on_root)
    found[first.written] = on_root if has_root else begins
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


def agrees(chords: list[ChordAt], asked: VoicingOptions) -> None:
    writing = write_parts(chords, asked)
    expected = least_cost(chords, asked)
    assert cost_of(chords, writing, asked) == expected, names(writing)
    met = sum(3 - len(set(parts.pitches[1:])) for parts in writing.chords if parts)
    assert writing.movement + 5 * met == expected[7]


@pytest.mark.parametrize("text", ["ii V7 I", "IV V I", "ii6 V I", "I64 V7 I", "V65 V7 I"])
@pytest.mark.parametrize("start", [None, Start.ROOT])
def test_search_equals_brute_force_in_perfect_endings(text: str, start: Start | None) -> None:
    asked = VoicingOptions(Texture.FOUR_PART, start=start, low=Pitch.parse("A3"), high=Pitch.parse("G5"))
    agrees(list(changes(text, "Eb")), asked)


@pytest.mark.parametrize("seed", range(4))
def test_search_equals_brute_force_in_every_place_of_the_cost(seed: int) -> None:
    dice = random.Random(seed)
    for _ in range(5):
        text = " ".join(dice.choices(POOL, k=3))
        low, high = dice.choice([("F3", "E5"), ("A3", "F5"), ("C4", "E5"), ("C4", "A5")])
        asked = VoicingOptions(
            Texture.FOUR_PART,
            start=dice.choice([None, Start.ROOT]),
            low=Pitch.parse(low),
            high=Pitch.parse(high),
            hand=dice.choice([9, 12]),
        )
        chords = list(changes(text, dice.choice(["C", "Eb", "A"]), dice.choice(ORDERS)))
        agrees(chords, asked)


# What the rules ask ------------------------------------------------------------------------------


def test_cadence_keeps_every_rule() -> None:
    assert written("I vi IV V7 I", "Eb") == [
        "Eb3 G4 Bb4 Eb5", "C3 G4 C5 Eb5", "Ab2 Ab4 C5 Eb5", "Bb2 Ab4 Bb4 D5", "Eb3 G4 Bb4 Eb5",
    ]  # fmt: skip
    assert broken("I vi IV V7 I", "Eb") == []


def test_root_position_seventh_before_its_tonic_drops_its_fifth() -> None:
    writing = write_parts(changes("I IV V7 I"), REQUEST)
    seventh = writing.chords[2]
    assert seventh
    assert set("GBDF") - {pitch.tone.name for pitch in seventh.pitches} == {"D"}


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
    assert written("I IV V vi", start=Start.ROOT)[-2:] == ["G3 B3 D4 G4", "A3 C4 C4 E4"]
    assert written("I IV V7 vi", start=Start.ROOT)[-2:] == ["G3 B3 D4 F4", "A3 C4 C4 E4"]
    assert written("i iv V7 VI", "c", start=Start.ROOT)[-1] == "Ab3 C4 C4 Eb4"


def test_one_voice_takes_the_chromatic_step_into_the_augmented_sixth_and_on() -> None:
    tenors = [line.split()[1] for line in written("i iv6 Ger65 Cad64 V7 i", "c")]
    assert tenors == ["G4", "F4", "F#4", "G4", "F4", "Eb4"]


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


# What a meeting costs, the ending, the compass -----------------------------------------------------


@pytest.mark.parametrize(
    ("text", "key", "half_steps"),
    [
        ("I IV6 V I", "G", 12),
        ("i iv6 V i", "c", 12),
        # With E to F over the six-four it were 12, but its sixth falls (Open Music Theory, cadential 6/4).
        ("V7 I IV6 I64 V7 I", "C", 20),
    ],
)
def test_hand_does_not_leap_to_keep_two_voices_apart_nor_to_bring_them_together(
    text: str, key: str, half_steps: int
) -> None:
    """The law of the shortest way (Open Music Theory, basso continuo)."""
    assert write_parts(changes(text, key), REQUEST).movement == half_steps
    assert broken(text, key) == []


@pytest.mark.parametrize("key", KEY_SETS["all"], ids=str)
def test_perfect_ending_has_the_tonic_in_the_soprano(key: Key) -> None:
    """As Bach's chorales end in 50 of 60, counted in music21's corpus."""
    for text in (
        ("i V7 i", "i iv V i", "i iio6 V7 i") if key.is_minor else ("I V7 I", "I vi ii V I", "I vi IV V7 I")
    ):
        last = write_parts(changes(text, key.name), REQUEST).chords[-1]
        assert last
        assert last.pitches[3].tone == key.tonic, text


def test_perfect_ending_costs_no_movement() -> None:
    """Where another soprano moves less, or an asked start leads elsewhere, the soprano ends elsewhere."""
    assert written("I V7/ii ii V7/V V V7 I")[-1].split()[-1] != "C5"
    assert written("I V7 I", start=Start.ROOT) == ["C3 C4 E4 G4", "G2 B3 F4 G4", "C3 C4 E4 G4"]


SCALEWISE = ("scale-in-triads", "scale-in-triads-minor", "scale-in-sevenths", "rule-of-the-octave-minor")
"""The bass climbs an octave by step, the hand falls against it: no way keeps both bounds and every rule."""


@pytest.mark.parametrize(
    "entry", [entry for entry in LIBRARY if entry.name not in SCALEWISE], ids=lambda entry: entry.name
)
def test_first_octave_drops_only_where_the_soprano_would_pass_g5(entry: Entry) -> None:
    """C4 to B4 for the first chord's lowest note: convention; G5: the soprano's range on teaching pages."""
    for key in KEY_SETS["all-minor" if entry.mode is Mode.MINOR else "all-major"]:
        writing = write_parts(realize(parse(entry.text, Meter(4, 4)), key).chords, REQUEST)
        parts = [each for each in writing.chords if each]
        highest, first = max(each.pitches[3].midi for each in parts), parts[0].pitches[1].midi
        assert highest <= 79
        assert 60 <= first < 72 or (first < 60 and highest + 12 > 79)
        assert all(each.pitches[1].midi - each.pitches[0].midi <= 24 for each in parts)  # convention


def test_soprano_moves_rather_than_repeats_where_equal() -> None:
    """Convention: IV and its V share no tone, so it is IV that keeps the soprano of I or moves it."""
    first, second = (line.split() for line in written("I IV"))
    assert first[3] != second[3]


# One shape in all keys -----------------------------------------------------------------------------

ROOMLESS = {
    "jazz-blues": {"A major", "Ab major", "B major", "Bb major"},
    "rhythm-changes": {"A major", "Ab major", "B major", "Bb major", "C major"},
    "romanesca": {"A minor"},
    "stepwise-up": {"F major"},
}
"""Where the shape that most keys share passes out of the hand's range, F3 to C6, or breaks a rule."""


@pytest.mark.parametrize("entry", LIBRARY, ids=lambda entry: entry.name)
def test_all_keys_of_a_drill_have_one_shape(entry: Entry) -> None:
    """Convention."""
    keys = KEY_SETS["all-minor" if entry.mode is Mode.MINOR else "all-major"]
    chords = [realize(parse(entry.text, Meter(4, 4)), key).chords for key in keys]
    writings = dict(zip(map(str, keys), write_in_keys(chords, REQUEST), strict=True))
    assert {key for key, writing in writings.items() if writing.own_shape} == ROOMLESS.get(entry.name, set())
    shapes = {right_hands(writing) for writing in writings.values() if not writing.own_shape}
    assert len(shapes) == 1
    assert len({writing.movement for writing in writings.values() if not writing.own_shape}) == 1


def right_hands(writing: PartWriting) -> tuple[tuple[int, ...], ...]:
    parts = [each for each in writing.chords if each]
    first = parts[0].pitches[1].midi
    return tuple(tuple(pitch.midi - first for pitch in each.pitches[1:]) for each in parts)


def test_keys_that_play_other_chords_are_shaped_apart() -> None:
    major, minor = (changes(text, key) for text, key in (("I V7 I", "C"), ("i V7 i", "c")))
    both = write_in_keys([major, minor, major], REQUEST)
    assert [names(writing) for writing in both] == [
        names(write_parts(one, REQUEST)) for one in (major, minor, major)
    ]
    assert not any(writing.own_shape for writing in both)


def test_silent_keys_have_nothing_to_write() -> None:
    assert write_in_keys([changes("-"), changes("-", "G")], REQUEST) == (PartWriting((None,), 0),) * 2


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
