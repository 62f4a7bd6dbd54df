"""A drill, a style and voiced changes make a piece."""

from collections.abc import Callable
from dataclasses import replace
from random import Random

import pytest

from tracks.drill.drill import Drill
from tracks.model import Changes, ChordAt, Hand, Hit, KeyFrom, Note, Part, Piece, Role, Texture, VoicedChord
from tracks.patterns.drum_kit import BASS_DRUM, CRASH_CYMBAL
from tracks.practice.arrange import arrange, marker_text
from tracks.style import Brief, Feel, Style, StyleInfo
from tracks.theory.chord import parse_symbol
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import QUARTER, Meter, Time
from tracks.theory.numeral import parse_numeral
from tracks.theory.pitch import Pitch

FOUR = Meter(4, 4)
BAR = FOUR.bar
C, EB = Key.parse("C"), Key.parse("Eb")
HANDS = {
    "C": ("C4 E4 G4", "C3"),
    "F": ("C4 F4 A4", "F2"),
    "G7": ("B3 F4 G4", "G2"),
    "Eb": ("Eb4 G4 Bb4", "Eb3"),
}
PLAYS_ALL = (Role.RIGHT, Role.LEFT, Role.BASS, Role.MELODY, Role.DRUMS)
Play = Callable[[Brief, Random], tuple[Part, ...]]


def pitches(names: str) -> tuple[Pitch, ...]:
    return tuple(map(Pitch.parse, names.split()))


def changes(*chords: tuple[str, Time], pickup: Time = 0) -> tuple[Changes, tuple[VoicedChord, ...]]:
    """Chords of C major, but for Eb, which brings its own key."""
    voiced, now = [], 0
    for place, (name, length) in enumerate(chords):
        chord = parse_symbol(name) if name in HANDS else None
        at = ChordAt(now, length, chord, EB if name == "Eb" else C, (now - pickup) // BAR + 1, written=place)
        right, left = (pitches(names) for names in HANDS[name]) if chord else ((), ())
        hands = (Hand(right, (1, 3, 5)), Hand(left, (5,))) if chord else (None, None)
        voiced.append(VoicedChord(at, hands[0], hands[1], last=place == len(chords) - 1))
        now += length
    return Changes(FOUR, tuple(voiced_chord.at for voiced_chord in voiced), now, pickup), tuple(voiced)


def drill(
    repeats: int = 1, meter: Meter = FOUR, texture: Texture = Texture.OVER_BASS, level: int = 1
) -> Drill:
    return Drill("lilac-hill", "I IV", (C,), meter, (60,), level=level, texture=texture, repeats=repeats)


def style(play: Play, roles: tuple[Role, ...] = PLAYS_ALL, follows_tempo: bool = False) -> Style:
    info = StyleInfo(
        "quarters", "quarters", (FOUR,), roles, (Texture.OVER_BASS,), follows_tempo=follows_tempo
    )
    return Style(info, play)


def on_every_beat(*names: str) -> tuple[Note, ...]:
    return tuple(Note(beat * QUARTER, QUARTER, Pitch.parse(name), 70) for beat, name in enumerate(names))


def playing(*parts: Part) -> Style:
    return style(lambda *_: parts)


def part_of(piece: Piece, role: Role) -> Part:
    return next(part for part in piece.parts if part.role is role)


def heard(part: Part) -> list[tuple[float, float, str]]:
    return [(note.start / QUARTER, note.length / QUARTER, note.pitch.name) for note in part.notes]


def briefed(given: Drill, *arguments: object) -> Brief:
    """What the style is told."""
    told: list[Brief] = []

    def listen(brief: Brief, rng: Random) -> tuple[Part, ...]:
        told.append(brief)
        return ()

    arrange(given, style(listen), *arguments)  # type: ignore[arg-type]
    return told[0]


def test_piece_bears_the_drills_name_and_begins_without_count_in() -> None:
    piece = arrange(drill(), playing(), *changes(("C", BAR), ("F", BAR)))

    assert (piece.title, piece.meter, piece.length, piece.music_from) == ("lilac-hill", FOUR, 2 * BAR, 0)
    assert piece.bpm is None


def test_every_time_through_plays_the_same_voicings_later() -> None:
    brief = briefed(drill(repeats=3), *changes(("C", BAR), ("F", BAR)))

    assert [voiced.at.start // BAR for voiced in brief.chords] == [0, 1, 2, 3, 4, 5]
    assert [voiced.at.bar for voiced in brief.chords] == [1, 2, 3, 4, 5, 6]
    assert len({voiced.right for voiced in brief.chords[::2]}) == 1
    assert brief.length == 6 * BAR


def test_only_the_end_of_the_last_time_is_marked_last() -> None:
    brief = briefed(drill(repeats=2), *changes(("C", BAR), ("F", BAR)))

    assert [voiced.last for voiced in brief.chords] == [False, False, False, True]


def test_last_chord_is_the_last_that_sounds() -> None:
    brief = briefed(drill(), *changes(("C", BAR), ("F", BAR), ("N.C.", BAR)))

    assert [voiced.last for voiced in brief.chords] == [False, True, False]


def test_pickup_leads_in_once_where_the_last_bar_is_full() -> None:
    given = changes(("G7", QUARTER), ("C", BAR), ("F", BAR), pickup=QUARTER)

    brief = briefed(drill(repeats=2), *given)

    assert [v.at.start / QUARTER for v in brief.chords] == [0, 1, 5, 9, 13]
    assert [v.at.bar for v in brief.chords] == [0, 1, 2, 3, 4]
    assert brief.length == 17 * QUARTER
    assert arrange(drill(), playing(), *given).music_from == QUARTER


def test_pickup_leads_in_again_where_the_last_bar_leaves_it_room() -> None:
    given = changes(("G7", QUARTER), ("C", BAR), ("F", 3 * QUARTER), pickup=QUARTER)

    brief = briefed(drill(repeats=2), *given)

    assert [v.at.start / QUARTER for v in brief.chords] == [0, 1, 5, 8, 9, 13]
    assert [v.at.bar for v in brief.chords] == [0, 1, 2, 2, 3, 4]
    assert brief.length == 16 * QUARTER


def test_chord_held_over_from_the_pickup_keeps_its_part_of_the_bar_in_repeats() -> None:
    given = changes(("G7", 2 * QUARTER), ("C", 3 * QUARTER), pickup=QUARTER)

    brief = briefed(drill(repeats=2), *given)

    later = [(v.at.start / QUARTER, v.at.length / QUARTER) for v in brief.chords[2:]]
    assert later == [(5, 1), (6, 3)]


def test_hands_strike_the_last_chord_once_as_drilled_and_hold_it() -> None:
    right = Part(Role.RIGHT, on_every_beat("C4", "E4", "G4", "E4", "A4", "F4", "A4", "F4"))
    left = Part(Role.LEFT, on_every_beat("C3", "G2", "C3", "G2", "F2", "C3", "F2", "C3"))

    piece = arrange(drill(), playing(right, left), *changes(("C", BAR), ("F", BAR)))

    assert heard(part_of(piece, Role.RIGHT))[4:] == [(4, 4, "C4"), (4, 4, "F4"), (4, 4, "A4")]
    assert heard(part_of(piece, Role.LEFT))[4:] == [(4, 4, "F2")]
    assert [note.finger for note in part_of(piece, Role.RIGHT).notes[4:]] == [1, 3, 5]
    assert heard(part_of(piece, Role.RIGHT))[:4] == heard(right)[:4]


def test_hand_that_the_style_gives_no_part_gets_none() -> None:
    silent = Part(Role.BASS)

    piece = arrange(drill(), playing(Part(Role.LEFT, on_every_beat("C3")), silent), *changes(("C", BAR)))

    assert [part.role for part in piece.parts] == [Role.LEFT, Role.BASS]
    assert part_of(piece, Role.BASS) == silent


def test_last_chord_of_an_earlier_time_is_played_as_the_style_plays_it() -> None:
    line = Part(Role.LEFT, on_every_beat(*["C3", "G2"] * 4))

    piece = arrange(drill(repeats=2), playing(line), *changes(("C", BAR)))

    assert heard(part_of(piece, Role.LEFT)) == [*heard(line)[:4], (4, 4, "C3")]


def test_bass_and_melody_hold_the_first_of_their_notes_that_belongs_to_the_last_chord() -> None:
    bass = Part(Role.BASS, on_every_beat("C3", "E3", "G3", "E3", "F2", "A2", "C3", "E3"))
    melody = Part(Role.MELODY, on_every_beat("C5", "D5", "E5", "F5", "G5", "A5", "G5", "F5"))

    piece = arrange(drill(), playing(bass, melody), *changes(("C", BAR), ("F", BAR)))

    assert heard(part_of(piece, Role.BASS))[4:] == [(4, 4, "F2")]
    assert heard(part_of(piece, Role.MELODY))[4:] == [(4, 4, "A5")]


def test_drums_end_on_the_last_chord_with_bass_drum_and_crash() -> None:
    hits = tuple(Hit(beat * QUARTER, 42) for beat in range(8))

    piece = arrange(drill(), playing(Part(Role.DRUMS, hits=hits)), *changes(("C", BAR), ("F", BAR)))

    struck = [(hit.start // QUARTER, hit.key) for hit in part_of(piece, Role.DRUMS).hits]
    assert struck == [(0, 42), (1, 42), (2, 42), (3, 42), (4, BASS_DRUM), (4, CRASH_CYMBAL)]


def test_drums_that_do_not_play_get_no_last_stroke() -> None:
    piece = arrange(drill(), playing(Part(Role.DRUMS)), *changes(("C", BAR)))

    assert part_of(piece, Role.DRUMS).hits == ()


@pytest.mark.parametrize("role", [Role.BASS, Role.DRUMS])
def test_part_left_out_is_gone_and_the_others_are_as_they_were(role: Role) -> None:
    def by_chance(brief: Brief, rng: Random) -> tuple[Part, ...]:
        bass = Part(Role.BASS, on_every_beat(*rng.choices(["C3", "G2"], k=4)))
        drums = Part(Role.DRUMS, hits=tuple(Hit(beat * QUARTER, rng.choice([38, 42])) for beat in range(4)))
        return (bass, drums, Part(Role.LEFT, on_every_beat(*rng.choices(["C3", "G2"], k=4))))

    given = changes(("C", BAR), ("F", BAR))
    whole = arrange(drill(), style(by_chance), *given)
    without = arrange(replace(drill(), without=(role,)), style(by_chance), *given)

    assert without.parts == tuple(part for part in whole.parts if part.role is not role)


@pytest.mark.parametrize(
    ("by_style", "asked", "is_with_feel"),
    [
        (None, None, False),
        (Feel(), None, True),
        (None, True, True),
        (Feel(), False, False),
    ],
)
def test_feel_is_the_styles_unless_the_drill_says(
    by_style: Feel | None, asked: bool | None, is_with_feel: bool
) -> None:
    played = Part(Role.BASS, on_every_beat(*["C3"] * 4))
    plain = playing(played)
    given = changes(("C", BAR), ("F", BAR))

    piece = arrange(
        replace(drill(), feel=asked), replace(plain, info=replace(plain.info, feel=by_style)), *given
    )

    assert (piece.parts[0].notes[:4] != played.notes) is is_with_feel


def test_note_held_into_the_last_chord_ends_where_that_begins() -> None:
    long_note = Part(Role.LEFT, (Note(0, 2 * BAR, Pitch.parse("C3")),))

    piece = arrange(drill(), playing(long_note), *changes(("C", BAR), ("F", BAR)))

    assert heard(part_of(piece, Role.LEFT)) == [(0, 4, "C3"), (4, 4, "F2")]


def test_chord_before_a_closing_silence_is_held_to_its_own_end_only() -> None:
    line = Part(Role.LEFT, on_every_beat("C3", "C3", "C3", "C3"))

    piece = arrange(drill(), playing(line), *changes(("C", BAR), ("N.C.", BAR)))

    assert heard(part_of(piece, Role.LEFT)) == [(0, 4, "C3")]
    assert piece.length == 2 * BAR


def test_marker_at_every_chord_holds_symbol_and_numeral() -> None:
    given, voiced = changes(("C", BAR), ("N.C.", BAR), ("F", BAR))
    chord = parse_numeral("V65", EB)
    first = VoicedChord(ChordAt(0, BAR, chord, EB, 1, 0), voiced[0].right, voiced[0].left)

    piece = arrange(drill(), playing(), given, (first, *voiced[1:]))

    assert [marker.text for marker in piece.markers] == ["Bb7/D | V65", "N.C.", "F"]
    assert [marker.start // BAR for marker in piece.markers] == [0, 1, 2]
    assert all(marker.text.isascii() for marker in piece.markers)


@pytest.mark.parametrize(
    ("numeral", "marker"),
    [
        ("Id7", "Eb7 | Idom7"),
        ("I7", "Ebmaj7 | Imaj7"),
        ("ii/o65", "Fm7b5/Ab | ii/o65"),
        ("viio7", "Ddim7 | viio7"),
        ("V7[b9]", "Bb7(b9) | V7(b9)"),
        ("bVI", "Cb | bVI"),
    ],
)
def test_marker_has_the_numeral_in_ascii(numeral: str, marker: str) -> None:
    # Text in a file should be printable ASCII for interchange (RP-001, Standard MIDI Files 1.0, text events).
    assert marker.isascii()
    assert marker_text(ChordAt(0, BAR, parse_numeral(numeral, EB), EB, 1, 0)) == marker


def test_keys_are_told_where_they_change_every_time_through() -> None:
    piece = arrange(drill(repeats=2), playing(), *changes(("C", BAR), ("F", BAR), ("Eb", BAR)))

    assert piece.keys == (KeyFrom(0, C), KeyFrom(2 * BAR, EB), KeyFrom(3 * BAR, C), KeyFrom(5 * BAR, EB))


def test_same_seed_is_the_same_chance_in_every_key() -> None:
    rolls: list[float] = []

    def roll(brief: Brief, rng: Random) -> tuple[Part, ...]:
        rolls.append(rng.random())
        return ()

    arrange(drill(), style(roll), *changes(("C", BAR)))
    arrange(drill(), style(roll), *changes(("Eb", BAR)))

    assert rolls[0] == rolls[1]


def test_tempo_reaches_only_a_style_that_follows_it() -> None:
    told: list[int | None] = []

    def listen(brief: Brief, rng: Random) -> tuple[Part, ...]:
        told.append(brief.bpm)
        return ()

    arrange(drill(), style(listen, follows_tempo=True), *changes(("C", BAR)), bpm=72)
    arrange(drill(), style(listen), *changes(("C", BAR)), bpm=72)

    assert told == [72, None]


@pytest.mark.parametrize(
    ("given", "told"),
    [
        (drill(meter=Meter(6, 8)), "style quarters does not play 6/8; it plays 4/4"),
        (drill(texture=Texture.DOUBLED), "does not play doubled; it plays over-bass"),
        (drill(level=2), "has no level 2; it has one level only"),
    ],
)
def test_what_the_style_does_not_play_is_refused_with_what_it_does(given: Drill, told: str) -> None:
    with pytest.raises(RequestError, match=told):
        arrange(given, playing(), *changes(("C", BAR)))


def _crash(brief: Brief, rng: Random) -> tuple[Part, ...]:
    raise KeyError("swing")


@pytest.mark.parametrize(
    ("broken", "told"),
    [
        (style(_crash), "style quarters failed: KeyError: 'swing'"),
        (style(lambda *_: (Part(Role.BASS),), roles=(Role.LEFT,)), "bass, which it does not declare"),
        (style(lambda *_: (Part(Role.LEFT), Part(Role.LEFT))), "two parts for the left hand"),
        (playing(Part(Role.LEFT, on_every_beat("C3", "C3", "C3", "C3", "C3"))), "left hand plays on after"),
        (playing(Part(Role.DRUMS, hits=(Hit(BAR, 42),))), "drums plays on after"),
    ],
)
def test_style_that_breaks_its_contract_is_named_in_one_line(broken: Style, told: str) -> None:
    with pytest.raises(RequestError, match=told) as caught:
        arrange(drill(), broken, *changes(("C", BAR)))
    assert "\n" not in str(caught.value)


def test_left_hand_that_reaches_below_its_chord_ends_on_the_low_bass() -> None:
    left = Part(Role.LEFT, on_every_beat("C2", "C3", "E3", "C3", "F1", "A2", "C3", "A2"))

    piece = arrange(drill(), playing(left), *changes(("C", BAR), ("F", BAR)))

    assert heard(part_of(piece, Role.LEFT))[4:] == [(4, 4, "F1")]


def test_style_that_asks_a_wider_hand_than_the_drills_is_refused_with_the_mend() -> None:
    octave = Part(Role.LEFT, tuple(Note(0, QUARTER, Pitch.parse(name)) for name in ("C3", "C4")))
    given = changes(("C", BAR), ("F", BAR))

    assert heard(part_of(arrange(drill(), playing(octave), *given), Role.LEFT))[0] == (0, 1, "C3")
    with pytest.raises(RequestError, match=r"the left hand reaches 12 half steps.*wider hand"):
        arrange(replace(drill(), hand=10), playing(octave), *given)
