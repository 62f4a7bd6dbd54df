"""Both hands together: what the parts promise each other."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tracks.hands.both import VoicedHands, voice_hands, voice_in_keys
from tracks.hands.line_fingering import LineHand, line_fingers
from tracks.hands.motion import size
from tracks.hands.options import HIGHEST_RIGHT, LOWEST_RIGHT, Left, Sevenths, Start, VoicingOptions
from tracks.model import Changes, ChordAt, Hand, Texture
from tracks.progression.changes import realize
from tracks.progression.music import parse
from tracks.theory.chord import parse_symbol
from tracks.theory.errors import RequestError
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import Meter
from tracks.theory.pitch import Pitch

LOW, HIGH = LOWEST_RIGHT, HIGHEST_RIGHT
BAR = 40320


def changes(words: list[str], key: str = "C") -> Changes:
    chords = tuple(
        ChordAt(n * BAR, BAR, None if word == "N.C." else parse_symbol(word), Key.parse(key), n + 1, n)
        for n, word in enumerate(words)
    )
    return Changes(Meter.parse("4/4"), chords, len(chords) * BAR)


def hands(
    text: str,
    texture: Texture = Texture.DOUBLED,
    key: str = "C",
    start: Start = Start.ROOT,
    sevenths: Sevenths = Sevenths.GUIDE_TONES,
) -> VoicedHands:
    return voice_hands(changes(text.split(), key), VoicingOptions(texture, start, sevenths))


def written(hand: Hand | None) -> str:
    return " ".join(pitch.name for pitch in hand.pitches) if hand else "-"


def test_left_hand_doubles_the_right_an_octave_below_with_its_own_fingers() -> None:
    first = hands("Eb", key="Eb", start=Start.FIRST).chords[0]
    assert first.right == Hand(tuple(map(Pitch.parse, ("G4", "Bb4", "Eb5"))), (1, 2, 5))
    assert first.left == Hand(tuple(map(Pitch.parse, ("G3", "Bb3", "Eb4"))), (5, 3, 1))


@pytest.mark.parametrize(
    ("texture", "left", "omits"),
    [
        (Texture.DOUBLED, Left.BASS, ["D"]),
        (Texture.OVER_BASS, Left.BASS, []),  # the bass plays it
        (Texture.OVER_BASS, Left.SHELLS, []),
        (Texture.FOUR_PART, Left.BASS, []),
    ],
)
def test_omits_of_either_hand_are_tones_that_neither_plays(
    texture: Texture, left: Left, omits: list[str]
) -> None:
    chords = changes(["C", "G7/D" if texture is not Texture.DOUBLED else "G7", "C"])
    last = voice_hands(chords, VoicingOptions(texture, left=left)).chords[1]
    assert last.right
    assert last.left
    assert [tone.name for tone in last.right.omits] == omits
    assert last.left.omits == last.right.omits


ALL_MAJOR = [key.name.split()[0] for key in KEY_SETS["all-major"]]


def in_twelve_keys(text: str, options: VoicingOptions) -> tuple[VoicedHands, ...]:
    keys = [realize(parse(text, Meter(4, 4)), Key.parse(name)) for name in ALL_MAJOR]
    return voice_in_keys(keys, options)


def shape(hands: VoicedHands) -> list[list[int]]:
    """The right hand's keys above its first one."""
    keys = [[pitch.midi for pitch in chord.right.pitches] for chord in hands.chords if chord.right]
    return [[key - keys[0][0] for key in chord] for chord in keys]


@pytest.mark.parametrize(
    "text", ["I vi ii V7 I", "I IV V I", "I iii IV iv I", "I7 IV7 viio7 iii7 vi7 ii7 V7 I"]
)
@pytest.mark.parametrize("texture", [Texture.DOUBLED, Texture.OVER_BASS])
def test_the_hand_has_one_shape_in_every_key(text: str, texture: Texture) -> None:
    """Convention: a drill through the keys is one hand moved about."""
    found = in_twelve_keys(text, VoicingOptions(texture))
    free = [hands for hands in found if not hands.own_shape]
    assert len({str(shape(hands)) for hands in free}) == 1
    assert len({hands.movement for hands in free}) == 1


def test_key_whose_range_forbids_the_shape_takes_its_own_and_says_so() -> None:
    narrow = VoicingOptions(low=Pitch.parse("C4"), high=Pitch.parse("C6"))
    found = in_twelve_keys("I V I", narrow)
    own = {name for name, hands in zip(ALL_MAJOR, found, strict=True) if hands.own_shape}
    assert own == {"C"}  # its leading tone B3 is below the range
    assert {str(shape(h)) for h in found if not h.own_shape} == {"[[0, 4, 7], [-1, 2, 7], [0, 4, 7]]"}
    assert all(hands.movement == 6 for hands in found if not hands.own_shape)
    (alone,) = voice_in_keys([realize(parse("I V I", Meter(4, 4)), Key.parse("C"))], narrow)
    assert shape(alone) == shape(found[0])
    assert not alone.own_shape


@pytest.mark.parametrize("texture", [Texture.DOUBLED, Texture.OVER_BASS])
def test_silence_in_two_keys_moves_nothing(texture: Texture) -> None:
    found = voice_in_keys([changes(["N.C.", "N.C."], key) for key in ("C", "G")], VoicingOptions(texture))
    assert [(hands.movement, hands.own_shape) for hands in found] == [(0, False)] * 2


def test_two_keys_share_the_shape_that_is_best_where_there_is_room() -> None:
    narrow = VoicingOptions(low=Pitch.parse("C4"), high=Pitch.parse("C6"))
    for names, own in ((("C", "D"), [True, False]), (("D", "C"), [False, True]), (("D", "E"), [False] * 2)):
        keys = [realize(parse("I V I", Meter(4, 4)), Key.parse(name)) for name in names]
        found = voice_in_keys(keys, narrow)
        assert [hands.own_shape for hands in found] == own
        assert {hands.movement for hands in found if not hands.own_shape} == {6}


@settings(max_examples=25, deadline=None)
@given(st.lists(st.sampled_from("I ii iii IV V vi V7 ii7 IV7 bVII".split()), min_size=2, max_size=6))
def test_the_shape_of_all_keys_is_the_best_that_any_key_has_room_for(numerals: list[str]) -> None:
    narrow = VoicingOptions(low=Pitch.parse("A3"), high=Pitch.parse("B5"))
    keys = [realize(parse(" ".join(numerals), Meter(4, 4)), Key.parse(name)) for name in ("C", "E", "Ab")]
    found = voice_in_keys(keys, narrow)
    alone = [voice_hands(key, narrow).movement for key in keys]
    assert not all(hands.own_shape for hands in found)
    for hands, least in zip(found, alone, strict=True):
        assert hands.movement == (least if hands.own_shape else min(alone))


def test_octave_in_the_right_hand_leaves_its_lowest_key_to_the_right_thumb() -> None:
    chord = hands("C5").chords[0]
    assert (written(chord.left), written(chord.right)) == ("C3 G3", "C4 G4 C5")
    assert chord.left
    assert chord.left.fingers == (5, 1)


def test_hands_together_tell_the_right_hands_moves_once() -> None:
    voiced = hands("C Am F")
    assert [chord.moves for chord in voiced.chords] == [
        (),
        ("bottom and middle hold, top up a whole step",),
        ("bottom and top hold, middle up a half step",),
    ]
    assert voiced.movement == 3


def test_over_a_bass_the_left_hand_is_told_after_the_right_with_its_marks() -> None:
    voiced = hands("C Am G", Texture.OVER_BASS)
    assert [written(chord.left) for chord in voiced.chords] == ["C3", "A3", "G3"]
    assert voiced.chords[1].moves == (
        "bottom and middle hold, top up a whole step",
        "left hand up a major sixth to A",
        "thumb steps up to A",
    )


def test_first_chord_has_no_moves_even_out_of_position() -> None:
    assert hands("Am C", Texture.OVER_BASS).chords[0].moves == ()


def test_moves_look_past_silence_and_silence_has_no_hands() -> None:
    silent_first, c, silent, f = hands("N.C. C N.C. F").chords
    assert silent_first.right is silent.right is silent.left is None
    assert (silent.moves, c.moves) == ((), ())
    assert f.moves == ("bottom holds, middle up a half step, top up a whole step",)
    assert (c.call, silent.call, f.call) == ("", "", "top two up")


def test_only_the_chord_that_ends_is_last() -> None:
    assert [chord.last for chord in hands("C F C").chords] == [False, False, True]


def test_foreign_bass_is_played_over_a_bass() -> None:
    assert [written(chord.left) for chord in hands("C F/G", Texture.OVER_BASS).chords] == ["C3", "G3"]


WORDS = (
    "C Dm E7 F#dim Gm Ab Bb7 Bm7b5 C#m7 Db Ebmaj7 E+ F6 F9 G13 A7sus4 Cadd9 C#dim7 D5 C/E G7/F N.C.".split()
)


@settings(max_examples=150)
@given(
    st.lists(st.sampled_from(WORDS), min_size=1, max_size=8),
    st.sampled_from(["C", "Gb", "B", "c#", "eb", "F"]),
    st.sampled_from([Texture.DOUBLED, Texture.OVER_BASS]),
    st.sampled_from(list(Start)),
    st.sampled_from(list(Sevenths)),
)
def test_hands_keep_their_promises(
    words: list[str], key: str, texture: Texture, start: Start, sevenths: Sevenths
) -> None:
    if start is Start.FIRST and next((w for w in words if w != "N.C."), "") == "D5":
        return
    voiced = voice_hands(changes(words, key), VoicingOptions(texture, start, sevenths))
    before: list[int] = []
    moved = 0
    for chord, word in zip(voiced.chords, words, strict=True):
        if chord.at.chord is None:
            assert chord.right is chord.left is None
            continue
        assert chord.right
        assert chord.left
        right, left = ([p.midi for p in hand.pitches] for hand in (chord.right, chord.left))
        assert right == sorted(set(right))
        assert LOW.midi <= right[0]
        assert right[-1] <= HIGH.midi
        assert right[-1] - right[0] < 12 or word == "D5"
        assert left[-1] < right[0]
        assert {p.tone for p in chord.right.pitches} <= set(chord.at.chord.tones)
        assert list(chord.right.fingers) == sorted(set(chord.right.fingers))
        assert list(chord.left.fingers) == sorted(set(chord.left.fingers), reverse=True)
        assert len(chord.left.fingers) == len(left)
        if texture is Texture.OVER_BASS:
            assert 40 <= left[0] <= 64
            assert chord.left.pitches[0].tone == chord.at.chord.bass
        if before:
            moved += size(before, right)[0]
            assert chord.moves
        else:
            assert 60 <= right[0] <= 71
            assert chord.moves == ()
        before = right
    assert moved == voiced.movement


@pytest.mark.parametrize("key", ["C", "Db", "F#", "Cb", "C#"])
def test_key_of_any_signature_keeps_its_spelling(key: str) -> None:
    tonic = Key.parse(key)
    triads = [f"{tonic.degree(n)}{quality}" for n, quality in ((1, ""), (4, ""), (5, "7"), (1, ""))]
    voiced = voice_hands(changes(triads, key), VoicingOptions(Texture.OVER_BASS))
    heard = {
        p.tone for chord in voiced.chords for hand in (chord.right, chord.left) if hand for p in hand.pitches
    }
    assert heard <= set(tonic.scale)


@settings(max_examples=60)
@given(
    st.lists(st.sampled_from(WORDS), min_size=1, max_size=7),
    st.sampled_from(["C", "Gb", "B", "c#", "eb", "F"]),
    st.integers(10, 16),
)
def test_four_parts_keep_their_promises(words: list[str], key: str, hand: int) -> None:
    if hand < 12 and "D5" in words:
        return  # its octave does not fit
    voiced = voice_hands(changes(words, key), VoicingOptions(Texture.FOUR_PART, hand=hand))
    moved = 0
    before: list[int] = []
    for chord in voiced.chords:
        if not chord.right or not chord.left or not chord.at.chord:
            assert (chord.at.chord, chord.right, chord.left) == (None, None, None)
            continue
        right, (left,) = ([p.midi for p in hand.pitches] for hand in (chord.right, chord.left))
        assert 2 <= len(right) == len(set(right)) == len(chord.right.fingers) <= 3
        assert LOW.midi <= right[0]
        assert right[-1] <= HIGH.midi
        assert right[-1] - right[0] <= min(hand, 12)
        assert 40 <= left < right[0]
        assert chord.left.pitches[0].tone == chord.at.chord.bass
        assert {p.tone for p in chord.right.pitches} <= set(chord.at.chord.tones)
        moved += size(before, right)[0] if before else 0
        assert bool(chord.moves) == bool(before)
        before = right
    # Where two voices share a key, they may move further than the keys.
    assert moved <= voiced.movement


@settings(max_examples=60)
@given(
    st.lists(st.sampled_from(WORDS), min_size=1, max_size=6),
    st.sampled_from(list(Sevenths)),
    st.integers(12, 16),
    st.booleans(),
)
def test_left_hand_of_two_notes_stays_within_the_hand(
    words: list[str], sevenths: Sevenths, hand: int, spread: bool
) -> None:
    asked = {"spread": True} if spread else {"left": Left.SHELLS}
    options = VoicingOptions(Texture.OVER_BASS, sevenths=sevenths, hand=hand, **asked)
    for chord in voice_hands(changes(words), options).chords:
        if chord.left and chord.right and chord.at.chord:
            left = [pitch.midi for pitch in chord.left.pitches]
            assert left == sorted(set(left))
            assert left[-1] - left[0] <= hand
            assert left[-1] < chord.right.pitches[0].midi
            assert chord.left.pitches[0].tone == chord.at.chord.bass
            assert len(chord.left.fingers) == len(left)
            assert 1 < len(left) + len(chord.right.pitches) <= 6


def test_spread_voicing_drops_the_second_voice_from_the_top_into_the_left_hand() -> None:
    voiced = voice_hands(changes(["C", "Am"]), VoicingOptions(Texture.OVER_BASS, spread=True))
    assert [written(chord.right) for chord in voiced.chords] == ["C4 G4", "C4 A4"]
    assert [written(chord.left) for chord in voiced.chords] == ["C3 E3", "A2 E3"]
    assert voiced.movement == 2
    assert voiced.chords[1].moves == (
        "bottom holds, top up a whole step",
        "left hand: top holds, bottom down a minor third",
    )


def test_spread_seventh_keeps_its_guide_tones_and_leaves_the_root_to_the_bass() -> None:
    seventh = voice_hands(changes(["C", "G7"]), VoicingOptions(Texture.OVER_BASS, spread=True)).chords[1]
    assert seventh.right
    assert seventh.left
    heard = {pitch.tone.name for hand in (seventh.right, seventh.left) for pitch in hand.pitches}
    assert {"G", "B", "F"} <= heard


def test_shells_stand_under_the_right_hand() -> None:
    voiced = voice_hands(changes(["Dm7", "G7", "C"]), VoicingOptions(Texture.OVER_BASS, left=Left.SHELLS))
    assert [written(chord.left) for chord in voiced.chords] == ["D3 F3", "G2 F3", "C3 E3"]
    assert voiced.chords[1].left
    assert voiced.chords[1].left.fingers == (5, 1)


FROM_ROOT = VoicingOptions(Texture.FOUR_PART, start=Start.ROOT)


def test_voices_that_meet_are_one_key_with_one_finger_and_are_told() -> None:
    meet, part = voice_hands(changes("C F G Am Dm".split()), FROM_ROOT).chords[3:]
    assert (written(meet.right), written(meet.left)) == ("C4 E4", "A2")
    assert meet.right
    assert (meet.right.fingers, meet.right.omits) == ((1, 3), ())
    assert meet.moves[0] == "bottom and middle meet on C, top down a minor third"
    assert part.moves[0] == "bottom splits to A and D, top up a half step"


def test_four_part_bass_is_fingered_as_a_line() -> None:
    voiced = voice_hands(changes("C F G C".split()), VoicingOptions(Texture.FOUR_PART))
    basses = [chord.left.pitches[0] for chord in voiced.chords if chord.left]
    fingers = [chord.left.fingers[0] for chord in voiced.chords if chord.left]
    assert fingers == list(line_fingers(basses, LineHand.LEFT))


@pytest.mark.parametrize("texture", [Texture.DOUBLED, Texture.OVER_BASS])
@pytest.mark.parametrize("hand", range(8, 13))
def test_beyond_the_hand_the_voicing_changes(texture: Texture, hand: int) -> None:
    words = "C Am7 Dm7 G7 C5 Fmaj7 C".split()
    for chord in voice_hands(changes(words), VoicingOptions(texture, hand=hand)).chords:
        for one in (chord.right, chord.left):
            assert one
            assert one.pitches[-1].midi - one.pitches[0].midi <= hand


@pytest.mark.parametrize(
    ("asked", "message"),
    [
        ({"hand": 6}, "hand: 6"),
        ({"hand": 20}, "hand: 20"),
        ({"spread": True}, "spread: it needs chords over a bass"),
        ({"texture": Texture.FOUR_PART, "left": Left.SHELLS}, "left: it needs chords over a bass"),
        ({"texture": Texture.OVER_BASS, "left": Left.SHELLS, "spread": True}, "choose one"),
    ],
)
def test_wishes_without_a_place_are_refused(asked: dict[str, object], message: str) -> None:
    with pytest.raises(RequestError, match=message):
        VoicingOptions(**asked)  # type: ignore[arg-type]
