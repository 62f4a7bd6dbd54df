"""The exact search against brute force, and what pins, starts and ranges ask for.

The brute force here has its own list of close positions, its own matchings and its own cost.
"""

import random
from dataclasses import replace
from functools import cache
from itertools import combinations, pairwise, product

import pytest

from tracks.hands.close_position import third_of, tone_sets
from tracks.hands.options import Sevenths, Start, VoicingOptions
from tracks.hands.voicing import VoiceLeading, voice
from tracks.model import ChordAt, Texture
from tracks.theory.chord import Chord, parse_symbol
from tracks.theory.chord_kinds import BY_NAME
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.pitch import Pitch, Tone

C_MAJOR = Key.parse("C")
BAR = 40320
Cost = tuple[int, int, int, int, int]


def changes(text: str, order: tuple[int, ...] | None = None) -> tuple[ChordAt, ...]:
    """Chords of a text, or those of its words that `order` plays, a bar each."""
    words = text.split()
    return tuple(
        ChordAt(bar * BAR, BAR, None if words[i] == "N.C." else parse_symbol(words[i]), C_MAJOR, bar + 1, i)
        for bar, i in enumerate(order or range(len(words)))
    )


def options(
    texture: Texture = Texture.HANDS_TOGETHER,
    start: Start = Start.ROOT,
    sevenths: Sevenths = Sevenths.SMOOTHEST,
    low: str = "F3",
    high: str = "C6",
) -> VoicingOptions:
    return VoicingOptions(texture, start, sevenths, Pitch.parse(low), Pitch.parse(high))


def names(leading: VoiceLeading) -> list[str]:
    return [
        " ".join(pitch.name for pitch in voicing.pitches) if voicing else "-" for voicing in leading.voicings
    ]


# The brute force ---------------------------------------------------------------------------------


@cache
def step_cost(before: tuple[int, ...], after: tuple[int, ...]) -> tuple[int, int, int]:
    """The least cost of every way to pair the notes in order so that none is without a partner."""
    if len(before) == len(after):
        ways = [[abs(a - b) for a, b in zip(before, after, strict=True)]]
    else:
        ways = [[abs(before[i] - after[j]) for i, j in way] for way in pairings(len(before), len(after))]
    return min((sum(way), sum(1 for move in way if move), sum(move**2 for move in way)) for way in ways)


@cache
def pairings(olds: int, news: int) -> list[list[tuple[int, int]]]:
    last = (olds - 1, news - 1)
    if last == (0, 0):
        return [[last]]
    shorter = [
        way
        for o, n in ((olds - 1, news), (olds, news - 1), (olds - 1, news - 1))
        if o > 0 and n > 0
        for way in pairings(o, n)
    ]
    return [[*way, last] for way in shorter]


def lowest_asked(chord: Chord, asked: VoicingOptions, is_first: bool) -> Tone | None:
    if asked.texture is Texture.HANDS_TOGETHER and chord.pinned:
        return chord.bass
    start = {Start.ROOT: chord.root, Start.FIRST: third_of(chord), Start.SECOND: chord.factor(5)}
    return start[asked.start] if is_first else None


def positions(chord: Chord, asked: VoicingOptions, is_first: bool) -> list[tuple[tuple[int, ...], bool]]:
    """Every close position in range as MIDI numbers, and whether it leaves the third out."""
    lowest = lowest_asked(chord, asked, is_first)
    count = 4 if asked.sevenths is Sevenths.FOUR else 3
    keep_third = asked.sevenths is Sevenths.KEEP_THIRD
    rooted = asked.texture is Texture.HANDS_TOGETHER
    found = []
    for tones in tone_sets(chord, count, keep_third, lowest, rooted):
        keys = [m for m in range(asked.low.midi, asked.high.midi + 1) if m % 12 in {t.chroma for t in tones}]
        for chosen in combinations(keys, len(tones)):
            close = chosen[-1] - chosen[0] < 12
            stands = lowest is None or chosen[0] % 12 == lowest.chroma
            begins = not is_first or 60 <= chosen[0] <= 71
            if close and stands and begins:
                found.append((chosen, third_of(chord) not in tones))
    return found


def total_cost(path: list[tuple[tuple[int, ...], bool]]) -> Cost:
    steps = [step_cost(a[0], b[0]) for a, b in pairwise(path)]
    near = sum(step_cost(path[0][0], position)[0] for position, _ in path)
    movement, voices, squares = (sum(part) for part in zip(*steps, strict=True)) if steps else (0, 0, 0)
    return movement, voices, squares, near, sum(without for _, without in path)


def brute_force(chords: tuple[ChordAt, ...], asked: VoicingOptions) -> Cost | None:
    sounding = [at for at in chords if at.chord]
    first_comings = {at.written: at.chord for at in reversed(sounding) if at.chord}
    written = list(dict.fromkeys(at.written for at in sounding))
    options = [positions(first_comings[w], asked, w == written[0]) for w in written]
    costs = (
        total_cost([dict(zip(written, picks, strict=True))[at.written] for at in sounding])
        for picks in product(*options)
    )
    return min(costs, default=None)


def cost_of(chords: tuple[ChordAt, ...], leading: VoiceLeading) -> Cost:
    path = [
        (tuple(pitch.midi for pitch in voicing.pitches), third_of(at.chord) in voicing.omits)
        for at, voicing in zip(chords, leading.voicings, strict=True)
        if voicing and at.chord
    ]
    return total_cost(path)


POOL = "C Dm Em F G Am Bdim Eb Ab Bb7 G7 Cmaj7 Dm7 F#dim7 Bm7b5 E+ Dsus4 C6 A7 D7sus4".split()
PINNED = "C/E F/C G7/B G7/F Dm7/A Cmaj7/C Am/C C6/E".split()
ORDERS = ((0, 1, 2), (0, 1, 2, 3), (0, 1, 0, 1), (0, 1, 2, 1, 2), (0, 1, 2, 3, 1, 2, 3), (0, 0, 1, 1, 2))


def random_case(dice: random.Random) -> tuple[tuple[ChordAt, ...], VoicingOptions]:
    words = " ".join(dice.choice(POOL if dice.random() < 0.75 else PINNED) for _ in range(4))
    low = dice.randint(53, 60)
    asked = VoicingOptions(
        dice.choice([Texture.HANDS_TOGETHER, Texture.OVER_BASS]),
        dice.choice(list(Start)),
        dice.choice(list(Sevenths)),
        on_key(low),
        on_key(low + dice.randint(13, 19)),
    )
    return changes(words, dice.choice(ORDERS)), asked


def on_key(midi: int) -> Pitch:
    names_of_keys = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
    return Pitch.parse(f"{names_of_keys[midi % 12]}{midi // 12 - 1}")


@pytest.mark.parametrize("seed", range(8))
def test_search_equals_brute_force_in_every_place_of_the_cost(seed: int) -> None:
    dice = random.Random(seed)
    met = 0
    while met < 250:
        chords, asked = random_case(dice)
        expected = brute_force(chords, asked)
        if expected is None:
            with pytest.raises(RequestError):
                voice(chords, asked)
            continue
        leading = voice(chords, asked)
        assert (cost_of(chords, leading), leading.movement) == (expected, expected[0]), (
            names(leading),
            asked,
        )
        met += 1


def test_a_repeated_section_in_the_middle_is_exact_in_the_full_range() -> None:
    chords = changes("C Am7 Dm7 G7 F", (0, 1, 2, 3, 1, 2, 3, 4))
    asked = options(low="A3", high="G5")
    assert cost_of(chords, voice(chords, asked)) == brute_force(chords, asked)


# What is asked for --------------------------------------------------------------------------------


def test_four_chords_in_eb_move_eight_semitones() -> None:
    leading = voice(changes("Eb Cm Ab Bb7 Eb"), options())
    assert names(leading) == ["Eb4 G4 Bb4", "Eb4 G4 C5", "Eb4 Ab4 C5", "D4 Ab4 Bb4", "Eb4 G4 Bb4"]
    assert leading.movement == 8
    third_left_out = leading.voicings[3]
    assert third_left_out
    assert [tone.name for tone in third_left_out.omits] == ["F"]


@pytest.mark.parametrize(
    ("start", "expected"), [(Start.ROOT, "C4 E4 G4"), (Start.FIRST, "E4 G4 C5"), (Start.SECOND, "G4 C5 E5")]
)
def test_start_sets_the_first_inversion(start: Start, expected: str) -> None:
    assert names(voice(changes("C F"), options(start=start)))[0] == expected


def test_first_voicing_stands_between_c4_and_b4_in_sound_as_flats_and_sharps_are_spelled() -> None:
    assert names(voice(changes("Cb"), options())) == ["Cb5 Eb5 Gb5"]
    assert names(voice(changes("B"), options())) == ["B4 D#5 F#5"]
    assert names(voice(changes("B#dim"), options())) == ["B#3 D#4 F#4"]


def test_letters_carry_the_octave_number() -> None:
    below = voice(changes("Eb Cb"), options(low="A3", high="D5"))
    assert names(below) == ["Eb4 G4 Bb4", "Eb4 Gb4 Cb5"]
    assert below.voicings[1]
    assert [pitch.midi for pitch in below.voicings[1].pitches] == [63, 66, 71]
    under_c4 = voice(changes("Eb Cb/Cb"), options(low="A3", high="D5")).voicings[1]
    assert under_c4
    assert [(pitch.name, pitch.midi) for pitch in under_c4.pitches] == [("Cb4", 59), ("Eb4", 63), ("Gb4", 66)]


def test_start_on_a_tone_that_may_go_keeps_that_tone() -> None:
    over_bass = options(Texture.OVER_BASS, Start.SECOND, Sevenths.KEEP_THIRD)
    assert names(voice(changes("Cmaj7"), over_bass)) == ["G4 B4 C5"]
    assert names(voice(changes("Cmaj7"), options(start=Start.FIRST))) == ["E4 B4 C5"]


def test_pin_sets_the_hands_own_lowest_note_when_hands_are_together() -> None:
    assert names(voice(changes("C F/C G7/B C"), options())) == [
        "C4 E4 G4",
        "C4 F4 A4",
        "B3 F4 G4",
        "C4 E4 G4",
    ]


def test_seventh_pinned_on_its_third_keeps_it_and_on_its_fifth_drops_the_third() -> None:
    third, fifth = voice(changes("C G7/B G7/D"), options()).voicings[1:]
    assert third
    assert fifth
    assert (third.pitches[0].tone.name, [t.name for t in third.omits]) == ("B", ["D"])
    assert (fifth.pitches[0].tone.name, [t.name for t in fifth.omits]) == ("D", ["B"])


def test_pin_leaves_the_right_hand_free_over_a_bass() -> None:
    assert names(voice(changes("C F/F C"), options(Texture.OVER_BASS)))[1] == "C4 F4 A4"
    assert names(voice(changes("C F/F C"), options()))[1] == "F4 A4 C5"


def test_pin_on_the_first_chord_overrides_the_start_hands_together_only() -> None:
    assert names(voice(changes("C/E"), options()))[0] == "E4 G4 C5"
    assert names(voice(changes("C/E"), options(Texture.OVER_BASS)))[0] == "C4 E4 G4"


def test_foreign_bass_is_refused_hands_together_with_the_mend_and_free_over_a_bass() -> None:
    with pytest.raises(RequestError, match=r"bar 2: F/G has a bass, G.*texture over-bass") as refused:
        voice(changes("C F/G"), options())
    assert "\n" not in str(refused.value)
    assert names(voice(changes("C F/G"), options(Texture.OVER_BASS)))[1] == "C4 F4 A4"


def test_keep_third_always_leaves_the_fifth_out() -> None:
    leading = voice(changes("C Am7 Dm7 G7 Fm6"), options(sevenths=Sevenths.KEEP_THIRD))
    assert [[t.name for t in v.omits] for v in leading.voicings[1:] if v] == [["E"], ["A"], ["D"], ["C"]]


def test_four_notes_for_sevenths_and_three_for_triads() -> None:
    leading = voice(changes("C Dm7 G7 C"), options(sevenths=Sevenths.FOUR))
    assert [len(v.pitches) for v in leading.voicings if v] == [3, 4, 4, 3]
    # C to C and D, E to F, G to A; then F and D hold, C to B, A to G; then B and D to C, F to E, G holds.
    assert leading.movement == 5 + 3 + 4


def test_silence_is_passed_over() -> None:
    assert names(voice(changes("N.C. C N.C. F"), options())) == ["-", "C4 E4 G4", "-", "C4 F4 A4"]
    assert voice(changes("N.C. N.C."), options()) == VoiceLeading((None, None), 0)


def test_repeat_is_voiced_alike_and_its_way_back_is_counted() -> None:
    leading = voice(changes("C E Ab", (0, 1, 2, 0, 1, 2)), options())
    assert names(leading)[:3] == names(leading)[3:]
    assert leading.movement == 2 + 2 + 2 + 2 + 2


def test_third_is_kept_where_nothing_else_decides() -> None:
    assert [v.omits[0].name for v in voice(changes("Cmaj7"), options()).voicings if v] == ["G"]


def test_range_that_cannot_hold_the_start_is_a_fault_that_names_it() -> None:
    with pytest.raises(RequestError, match=r"bar 1: C on C.*C4 to B4.*F#4 to C6 within 12 half steps; widen"):
        voice(changes("C F"), options(low="F#4"))


def test_start_on_a_tone_the_chord_lacks_is_a_fault() -> None:
    with pytest.raises(RequestError, match="start: bar 1: C5 has no third to start on; choose root"):
        voice(changes("C5"), options(start=Start.FIRST))


@pytest.mark.parametrize(
    ("symbol", "together", "over_bass"),
    [
        ("C9", {"E", "Bb", "D", "C"}, {"E", "Bb", "D", "G"}),
        ("G13", {"B", "F", "E", "G"}, {"B", "F", "E", "A"}),
        ("C6/9", {"E", "A", "D", "C"}, {"E", "A", "D", "G"}),
        ("C9sus4", {"F", "Bb", "D", "C"}, {"F", "Bb", "D", "G"}),
    ],
)
def test_large_chords_keep_third_seventh_and_highest_tone(
    symbol: str, together: set[str], over_bass: set[str]
) -> None:
    chord = parse_symbol(symbol)
    (four,) = tone_sets(chord, 4)
    (above,) = tone_sets(chord, 4, rooted=False)
    (three,) = tone_sets(chord, 3)
    assert {t.name for t in four} == together
    assert {t.name for t in above} == over_bass
    assert {t.name for t in three} == together - {chord.root.name}


def test_added_ninth_keeps_root_ninth_and_third() -> None:
    assert [[t.name for t in tones] for tones in tone_sets(parse_symbol("Cadd9"), 3)] == [["C", "D", "E"]]


def test_two_tones_double_the_root_at_the_octave() -> None:
    assert names(voice(changes("C5 F5"), options())) == ["C4 G4 C5", "F4 C5 F5"]
    assert names(voice(changes("C F5/C"), options()))[1] == "C4 F4 C5"


@pytest.mark.parametrize(
    ("name", "kind", "root", "naming"),
    [("It6", "Italian", "F#", "C"), ("Ger65", "German", "F#", "Eb"), ("Fr43", "French", "D", "D")],
)
@pytest.mark.parametrize("keep_third", [False, True])
@pytest.mark.parametrize("rooted", [False, True])
@pytest.mark.parametrize("guided", [False, True])
def test_augmented_sixths_keep_their_outer_tones_and_the_one_that_names_them(
    name: str, kind: str, root: str, naming: str, keep_third: bool, rooted: bool, guided: bool
) -> None:
    chord = Chord(Tone.parse(root), BY_NAME[kind].intervals, Tone.parse("Ab"), True, name)
    for lowest in (None, *chord.tones):
        for tones in tone_sets(chord, 3, keep_third, lowest, rooted, guided):
            kept = {tone.name for tone in tones}
            assert {"Ab", "F#"} <= kept, lowest
            assert naming in kept or (lowest and lowest.name == "C"), lowest  # C was asked for


@pytest.mark.parametrize(
    ("symbol", "three", "four"),
    [
        ("G7alt", {"B", "D#", "F"}, {"B", "D#", "F", "A#"}),
        ("G9#5", {"B", "D#", "F"}, {"B", "D#", "F", "A"}),
        ("G13b5", {"B", "Db", "F"}, {"B", "Db", "F", "E"}),
        ("G+", {"G", "B", "D#"}, {"G", "B", "D#"}),
        ("G+add9", {"G", "B", "D#"}, {"G", "B", "D#", "A"}),
    ],
)
@pytest.mark.parametrize("rooted", [False, True])
def test_altered_fifth_stays_before_root_and_ninth(
    symbol: str, three: set[str], four: set[str], rooted: bool
) -> None:
    chord = parse_symbol(symbol)
    for count, kept in ((3, three), (4, four)):
        assert [{t.name for t in tones} for tones in tone_sets(chord, count, rooted=rooted)] == [kept]
    fifth = chord.factor(5)
    assert all(fifth in tones for tones in tone_sets(chord, 3, lowest=chord.root, rooted=rooted))


@pytest.mark.parametrize("symbol", ["G7", "G7#5", "G7b5", "Gm7b5", "Gdim7", "Gmaj7#5", "G6"])
def test_seventh_chord_keeps_root_and_seventh_whatever_its_fifth(symbol: str) -> None:
    chord = parse_symbol(symbol)
    sets = tone_sets(chord, 3)
    assert len(sets) == 2
    assert all({chord.tones[0], chord.tones[3]} <= set(tones) for tones in sets)


def test_tones_on_one_key_of_the_keyboard_are_not_struck_twice() -> None:
    (tones,) = tone_sets(parse_symbol("C7(b5,#11)"), 4, rooted=False)
    assert len({tone.chroma for tone in tones}) == 4


# Hands of other sizes ------------------------------------------------------------------------------


def test_hand_of_a_ninth_in_semitones_changes_nothing_in_close_position() -> None:
    chords = changes("C Am7 Dm7 G7 C")
    assert voice(chords, replace(options(), hand=14)) == voice(chords, options())


@pytest.mark.parametrize("hand", range(7, 12))
def test_search_within_a_small_hand_equals_brute_force(hand: int) -> None:
    chords = changes("C Am7 Dm G7")
    asked = replace(options(), hand=hand)
    best = min(
        total_cost(list(path))
        for path in product(
            *(
                [p for p in positions(at.chord, asked, n == 0) if p[0][-1] - p[0][0] <= hand]
                for n, at in enumerate(chords)
                if at.chord
            )
        )
    )
    assert cost_of(chords, voice(chords, asked)) == best


def test_hand_without_an_octave_plays_two_tones_undoubled() -> None:
    assert names(voice(changes("C5 G5"), replace(options(), hand=11))) == ["C4 G4", "G3 D4"]


def test_inversion_that_is_asked_for_and_too_wide_is_a_fault_that_names_the_hand() -> None:
    with pytest.raises(RequestError, match="within 7 half steps; widen the range or the hand"):
        voice(changes("C"), replace(options(start=Start.FIRST), hand=7))
