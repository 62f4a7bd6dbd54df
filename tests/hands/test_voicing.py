"""The exact search against brute force, and what pins, starts and ranges ask for.

The brute force here has its own list of close positions, its own matchings and its own cost.
"""

import random
from dataclasses import replace
from functools import cache
from itertools import combinations, pairwise, product

import pytest

from tracks.hands.close_position import Reduction, tone_sets
from tracks.hands.options import Sevenths, Start, VoicingOptions
from tracks.hands.voicing import VoiceLeading, voice
from tracks.model import ChordAt, Texture
from tracks.theory.chord import Chord, parse_symbol
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.pitch import Pitch, Tone

C_MAJOR = Key.parse("C")
BAR = 40320
Cost = tuple[int, ...]
Position = tuple[tuple[int, ...], bool]
"""MIDI numbers, low to high, and whether the third is left out."""


def changes(text: str, order: tuple[int, ...] | None = None) -> tuple[ChordAt, ...]:
    """Chords of a text, or those of its words that `order` plays, a bar each."""
    words = text.split()
    return tuple(
        ChordAt(bar * BAR, BAR, None if words[i] == "N.C." else parse_symbol(words[i]), C_MAJOR, bar + 1, i)
        for bar, i in enumerate(order or range(len(words)))
    )


def options(
    texture: Texture = Texture.DOUBLED,
    start: Start = Start.ROOT,
    sevenths: Sevenths = Sevenths.GUIDE_TONES,
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
def step_cost(
    before: tuple[int, ...], after: tuple[int, ...], bass: int, next_bass: int
) -> tuple[int, int, int, int]:
    """The least cost of every way to pair the notes in order so that none is without a partner.

    It is the movement, the fifths and octaves with the bass that follow one another, the voices that move
    and the squares.
    """
    if len(before) == len(after):
        ways = [list(zip(before, after, strict=True))]
    else:
        ways = [[(before[i], after[j]) for i, j in way] for way in pairings(len(before), len(after))]

    def follows(old: int, new: int) -> bool:
        above, next_above = (old - bass) % 12, (new - next_bass) % 12
        return bass != next_bass and above == next_above and above in (0, 7)

    return min(
        (
            sum(abs(a - b) for a, b in way),
            sum(follows(a, b) for a, b in way),
            sum(a != b for a, b in way),
            sum((a - b) ** 2 for a, b in way),
        )
        for way in ways
    )


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
    if asked.texture is Texture.DOUBLED and chord.pinned:
        return chord.bass
    start = {Start.ROOT: chord.root, Start.FIRST: chord.third_or_suspension, Start.SECOND: chord.factor(5)}
    return start[asked.start or Start.ROOT] if is_first else None


def positions(at: ChordAt, asked: VoicingOptions, is_first: bool, is_last: bool) -> list[Position]:
    """Every close position in range."""
    chord = at.chord
    assert chord
    lowest = lowest_asked(chord, asked, is_first)
    count = 4 if asked.sevenths is Sevenths.FOUR else 3
    is_final_tonic = is_last and chord.root == at.key.tonic
    smoothest = asked.sevenths is Sevenths.SMOOTHEST and not is_final_tonic
    rooted = asked.texture is Texture.DOUBLED
    found = []
    for tones in tone_sets(chord, Reduction(count, smoothest, lowest, rooted)):
        keys = [m for m in range(asked.low.midi, asked.high.midi + 1) if m % 12 in {t.chroma for t in tones}]
        for chosen in combinations(keys, len(tones)):
            close = chosen[-1] - chosen[0] < 12
            stands = lowest is None or chosen[0] % 12 == lowest.chroma
            begins = not is_first or 60 <= chosen[0] <= 71
            if close and stands and begins:
                found.append((chosen, (chord.third_or_suspension or tones[0]) not in tones))
    return found


def total_cost(path: list[tuple[Chord, Position]]) -> Cost:
    """The cost of a way, each of its places by the definition."""
    steps = [step_cost(a[0], b[0], old.bass.chroma, new.bass.chroma) for (old, a), (new, b) in pairwise(path)]
    (first, opening), (last, end) = path[0], path[-1]
    near = sum(step_cost(opening[0], position[0], 0, 0)[0] for _, position in path)
    movement, consecutives, voices, squares = (
        (sum(part) for part in zip(*steps, strict=True)) if steps else (0, 0, 0, 0)
    )
    thirds = sum(without for _, (_, without) in path)
    is_same = (first.root, first.intervals) == (last.root, last.intervals)
    away = int(is_same and opening[0] != end[0])
    return movement, thirds, consecutives, away, voices, squares, near


def brute_force(chords: tuple[ChordAt, ...], asked: VoicingOptions) -> Cost | None:
    sounding = [at for at in chords if at.chord]
    first_comings = {at.written: at for at in reversed(sounding)}
    written = list(dict.fromkeys(at.written for at in sounding))
    last = sounding[-1].written
    options = [positions(first_comings[w], asked, w == written[0], w == last) for w in written]
    costs = (
        total_cost(
            [(at.chord, dict(zip(written, picks, strict=True))[at.written]) for at in sounding if at.chord]
        )
        for picks in product(*options)
    )
    return min(costs, default=None)


def cost_of(chords: tuple[ChordAt, ...], leading: VoiceLeading) -> Cost:
    path = []
    for at, voicing in zip(chords, leading.voicings, strict=True):
        if voicing and at.chord:
            third = at.chord.third_or_suspension
            heard = {pitch.tone for pitch in voicing.pitches}
            notes = tuple(pitch.midi for pitch in voicing.pitches)
            path.append((at.chord, (notes, third is not None and third not in heard)))
    return total_cost(path)


POOL = "C Dm Em F G Am Bdim Eb Ab Bb7 G7 Cmaj7 Dm7 F#dim7 Bm7b5 E+ Dsus4 C6 A7 D7sus4".split()
PINNED = "C/E F/C G7/B G7/F Dm7/A Cmaj7/C Am/C C6/E".split()
ORDERS = ((0, 1, 2), (0, 1, 2, 3), (0, 1, 0, 1), (0, 1, 2, 1, 2), (0, 1, 2, 3, 1, 2, 3), (0, 0, 1, 1, 2))


def random_case(dice: random.Random) -> tuple[tuple[ChordAt, ...], VoicingOptions]:
    drawn = [dice.choice(POOL if dice.random() < 0.75 else PINNED) for _ in range(4)]
    if dice.random() < 0.4:
        drawn[-1] = drawn[0]  # it comes home
    words = " ".join(drawn)
    low = dice.randint(53, 60)
    asked = VoicingOptions(
        dice.choice([Texture.DOUBLED, Texture.OVER_BASS]),
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


def omits(chords: tuple[ChordAt, ...], leading: VoiceLeading) -> list[str]:
    """The tones that each voicing leaves out."""
    return [
        " ".join(t.name for t in at.chord.tones if t not in {p.tone for p in voicing.pitches})
        for at, voicing in zip(chords, leading.voicings, strict=True)
        if at.chord and voicing
    ]


def test_four_chords_in_eb_move_eight_semitones_with_every_third() -> None:
    """The two places Eb4 and D4 that the third of Bb7 costs more are won back: Eb4 G4 Bb4 is at home."""
    chords = changes("Eb Cm Ab Bb7 Eb")
    leading = voice(chords, options())
    assert names(leading) == ["Eb4 G4 Bb4", "Eb4 G4 C5", "Eb4 Ab4 C5", "D4 Ab4 Bb4", "Eb4 G4 Bb4"]
    assert leading.movement == 8
    assert omits(chords, leading) == ["", "", "", "F", ""]


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
    over_bass = options(Texture.OVER_BASS, Start.SECOND, Sevenths.GUIDE_TONES)
    assert names(voice(changes("Cmaj7"), over_bass)) == ["G4 B4 E5"]
    assert names(voice(changes("Cmaj7"), options(start=Start.FIRST))) == ["E4 B4 C5"]


def test_pin_sets_the_hands_own_lowest_note_when_hands_are_together() -> None:
    assert names(voice(changes("C F/C G7/B C"), options())) == [
        "C4 E4 G4",
        "C4 F4 A4",
        "B3 F4 G4",
        "C4 E4 G4",
    ]


def test_seventh_pinned_on_its_third_keeps_it_and_on_its_fifth_drops_the_root() -> None:
    chords = changes("C G7/B G7/D")
    leading = voice(chords, options())
    assert names(leading)[1:] == ["B3 F4 G4", "D4 F4 B4"]
    assert omits(chords, leading)[1:] == ["D", "G"]


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


def test_guide_tones_always_leave_the_fifth_out() -> None:
    chords = changes("C Am7 Dm7 G7 Fm6")
    assert omits(chords, voice(chords, options())) == ["", "E", "A", "D", "C"]


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


def test_the_smoothest_leaves_a_third_out_only_where_that_moves_less() -> None:
    """Convention: some teachers drill V7 without its third after ii7, but a third never goes for nothing."""
    chords = changes("C Am7 Dm7 G7 C")
    asked = options(sevenths=Sevenths.SMOOTHEST)
    smooth, guided = voice(chords, asked), voice(chords, options())
    assert omits(chords, smooth) == ["", "E", "F", "D", ""]
    assert (smooth.movement, guided.movement) == (18, 20)
    alone = changes("Am Cmaj7 Am")
    assert omits(alone, voice(alone, asked))[1] == "G"


def test_final_tonic_has_its_third_even_in_the_smoothest() -> None:
    """Convention: the end tells major from minor."""
    asked = options(sevenths=Sevenths.SMOOTHEST)
    for text in ("G7sus4 Cmaj7", "F/F G7/D Cmaj7", "Dm7 G7 C6"):
        chords = changes(text)
        third = parse_symbol(text.split()[-1]).third_or_suspension
        assert third
        assert third.name not in omits(chords, voice(chords, asked))[-1]


def test_fourth_to_fifth_does_not_slide_with_the_bass() -> None:
    """Convention (parallel fifths and octaves): as smooth, F to G goes against its bass."""
    for texture in (Texture.DOUBLED, Texture.OVER_BASS):
        leading = voice(changes("C F G C"), options(texture))
        assert names(leading)[2] == "B3 D4 G4"
        assert leading.movement == 12


def test_last_chord_comes_home_to_the_first_voicing() -> None:
    """Convention: a loop ends where it began, if that moves no more."""
    leading = voice(changes("C E Ab C"), options())
    assert leading.movement == 6
    assert names(leading)[0] == names(leading)[-1]


@pytest.mark.parametrize("start", list(Start))
@pytest.mark.parametrize("texture", [Texture.DOUBLED, Texture.OVER_BASS])
def test_an_opening_ninth_chord_has_its_ninth(texture: Texture, start: Start) -> None:
    """Convention: its ninth names it. On the fifth four notes hold guide tones and root (doubled)."""
    chords = changes("Cmaj9 Dm7")
    leading = voice(chords, options(texture, start))
    is_full = texture is Texture.DOUBLED and start is Start.SECOND
    assert ("D" in omits(chords, leading)[0].split()) == is_full


def test_large_chord_doubled_has_four_notes_with_its_root_and_a_small_hand_three() -> None:
    chords = changes("C Cmaj13 C")
    assert omits(chords, voice(chords, options()))[1] == "G D F"
    chords = changes("C Cmaj9/E C")
    assert omits(chords, voice(chords, options()))[1] == "G"
    assert omits(chords, voice(chords, replace(options(), hand=9)))[1] == "G D"


def test_range_that_cannot_hold_the_start_is_a_fault_that_names_it() -> None:
    with pytest.raises(RequestError, match=r"bar 1: C on C.*C4 to B4.*F#4 to C6 within 12 half steps; widen"):
        voice(changes("C F"), options(low="F#4"))


def test_start_on_a_tone_the_chord_lacks_is_a_fault() -> None:
    with pytest.raises(RequestError, match="start: bar 1: C5 has no third to start on; choose root"):
        voice(changes("C5"), options(start=Start.FIRST))


def test_two_tones_double_the_root_at_the_octave() -> None:
    assert names(voice(changes("C5 F5"), options())) == ["C4 G4 C5", "F4 C5 F5"]
    assert names(voice(changes("C F5/C"), options()))[1] == "C4 F4 C5"


# Hands of other sizes ------------------------------------------------------------------------------


def test_hand_of_a_ninth_in_semitones_changes_nothing_in_close_position() -> None:
    chords = changes("C Am7 Dm7 G7 C")
    assert voice(chords, replace(options(), hand=14)) == voice(chords, options())


@pytest.mark.parametrize("hand", range(7, 12))
def test_search_within_a_small_hand_equals_brute_force(hand: int) -> None:
    chords = changes("C Am7 Dm G7")
    asked = replace(options(), hand=hand)
    best = min(
        total_cost([(at.chord, p) for at, p in zip(chords, path, strict=True) if at.chord])
        for path in product(
            *(
                [p for p in positions(at, asked, n == 0, False) if p[0][-1] - p[0][0] <= hand]
                for n, at in enumerate(chords)
            )
        )
    )
    assert cost_of(chords, voice(chords, asked)) == best


def test_hand_without_an_octave_plays_two_tones_undoubled() -> None:
    assert names(voice(changes("C5 G5"), replace(options(), hand=11))) == ["C4 G4", "G3 D4"]


def test_inversion_that_is_asked_for_and_too_wide_is_a_fault_that_names_the_hand() -> None:
    with pytest.raises(RequestError, match="within 7 half steps; widen the range or the hand"):
        voice(changes("C"), replace(options(start=Start.FIRST), hand=7))
