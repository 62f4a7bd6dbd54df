"""Whatever the progression, the key, the level and the seed: hands can play it, and parts stay in range.

The progressions are the library's, the trade's common ones. Ranges: a double bass's E1 to G3 and an octave's
span for a hand are convention; percussion keys 35 to 81 are General MIDI 1's (MMA, 1991).
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from random import Random

import pytest
from test_contract import OURS

from tracks.drill.drill import Drill
from tracks.drill.in_key import DrillInKey, in_each_key
from tracks.export.midi import CHANNELS
from tracks.model import Note, Part, Piece, Role, Texture
from tracks.practice.arrange import arrange
from tracks.progression.library import LIBRARY, Entry
from tracks.style import RANGES, Brief, Style
from tracks.style.registry import load
from tracks.theory.key import KEY_SETS, Key, Mode
from tracks.theory.meter import Meter

STYLES = [load(name) for name in OURS if name != "improvise"]
ONE_CHORD_A_BAR = tuple(entry for entry in LIBRARY if "|" not in entry.text)
"""Those that any meter holds."""
SEEDS = range(1, 1001)
OCTAVE = 12


@cache
def in_key(entry: Entry, key: Key, meter: Meter, texture: Texture) -> DrillInKey:
    drill = Drill("osier", entry.text, (key,), meter, (96,), texture=texture)
    return next(iter(in_each_key(drill)))


def piece(seed: int, style: Style, texture: Texture) -> Piece:
    """A piece whose progression, key, meter and level all follow from the seed."""
    info = style.info
    meter = info.meters[seed % len(info.meters)]
    entries = LIBRARY if meter.beats % 2 == 0 else ONE_CHORD_A_BAR
    entry = entries[seed % len(entries)]
    level = seed % len(info.levels) + 1
    key = KEY_SETS[f"all-{entry.mode.value}"][len(entry.text) % 12]
    found = in_key(entry, key, meter, texture)
    drill = Drill("osier", entry.text, (key,), meter, (96,), info.name, level, texture, seed=seed)
    return arrange(drill, style, found.changes, found.chords, 96)


def of_two_hands(style: Style) -> list[Texture]:
    """The style's textures of chords, for one hand or both; part writing has rules of its own."""
    chordal = (Texture.OVER_BASS, Texture.DOUBLED)
    return [texture for texture in style.info.textures if texture in chordal]


@cache
def pieces() -> tuple[tuple[str, Texture, Piece], ...]:
    made = []
    for seed in SEEDS:
        style = STYLES[seed % len(STYLES)]
        textures = of_two_hands(style)
        texture = textures[seed // len(STYLES) % len(textures)]
        made.append((style.info.name, texture, piece(seed, style, texture)))
    return tuple(made)


def test_a_thousand_seeds_keep_every_part_in_range_and_every_channel_without_overlap() -> None:
    for name, _, made in pieces():
        by_channel: dict[int, list[Note]] = defaultdict(list)
        for part in made.parts:
            low, high = RANGES.get(part.role, (0, 127))
            assert all(low <= note.pitch.midi <= high for note in part.notes), (name, part.role)
            assert all(35 <= hit.key <= 81 for hit in part.hits), name
            assert all(note.end <= made.length for note in part.notes), name
            by_channel[CHANNELS[part.role]] += part.notes
        for notes in by_channel.values():
            held: dict[int, int] = {}
            for note in sorted(notes, key=lambda note: note.start):
                assert note.start >= held.get(note.pitch.midi, 0), (name, note)
                held[note.pitch.midi] = note.end


def test_a_hand_strikes_an_octave_at_most_and_the_left_stays_under_the_right() -> None:
    for name, texture, made in pieces():
        hands = {part.role: part.notes for part in made.parts}
        for role in (Role.RIGHT, Role.LEFT):
            for together in at_once(hands[role]):
                assert max(together) - min(together) <= OCTAVE, (name, role)
        left = hands[Role.LEFT]
        assert not crossed(hands[Role.RIGHT], left), name
        if texture is Texture.OVER_BASS:
            assert all(40 <= note.pitch.midi <= 64 for note in left), name


def at_once(notes: tuple[Note, ...]) -> list[list[int]]:
    struck: dict[int, list[int]] = defaultdict(list)
    for note in notes:
        struck[note.start].append(note.pitch.midi)
    return list(struck.values())


def crossed(right: tuple[Note, ...], left: tuple[Note, ...]) -> list[Note]:
    """The left hand's notes that reach the right hand's while those sound."""
    found, first = [], 0
    above = sorted(right, key=lambda note: note.start)
    for note in sorted(left, key=lambda note: note.start):
        while first < len(above) and above[first].end <= note.start:
            first += 1
        for other in above[first:]:
            if other.start >= note.end:
                break
            if other.end > note.start and other.pitch.midi <= note.pitch.midi:
                found.append(note)
    return found


def keeps_the_drilled_voicing(words: str) -> bool:
    """Whether a level plays what is drilled; a jazz trio's may say that it voices chords without roots."""
    return "guide tones" not in words and "rootless" not in words


@pytest.mark.parametrize("style", STYLES, ids=lambda style: style.info.name)
def test_right_hand_plays_the_drilled_voicing_of_every_chord(style: Style) -> None:
    for texture in of_two_hands(style):
        for level, words in enumerate(style.info.levels, start=1):
            if not keeps_the_drilled_voicing(words):
                continue
            info, entry = style.info, LIBRARY[0]
            found = in_key(entry, Key.parse("D"), info.meters[0], texture)
            drill = Drill(
                "osier", entry.text, (Key.parse("D"),), info.meters[0], (96,), info.name, level, texture
            )
            made = arrange(drill, style, found.changes, found.chords, 96)
            right = next(part for part in made.parts if part.role is Role.RIGHT)
            for voiced in found.chords:
                assert voiced.right
                eighth, start = voiced.at.length // 8, voiced.at.start
                drilled = {pitch.midi for pitch in voiced.right.pitches}
                octave = voiced.right.pitches[0].midi + OCTAVE
                # Towards its end it may pass on to the next chord, or anticipate it.
                assert heard(right, start + eighth, start + 4 * eighth) - {octave} <= drilled
                assert heard(right, start + eighth, start + 7 * eighth) >= drilled


def heard(part: Part, start: int, end: int) -> set[int]:
    return {note.pitch.midi for note in part.notes if note.start < end and note.end > start}


@pytest.mark.parametrize("style", STYLES, ids=lambda style: style.info.name)
def test_no_two_levels_of_a_style_give_the_same_notes(style: Style) -> None:
    assert_levels_differ(style, LIBRARY[::9])


@pytest.mark.slow
@pytest.mark.parametrize("style", STYLES, ids=lambda style: style.info.name)
def test_no_two_levels_of_a_style_give_the_same_notes_over_the_whole_library(style: Style) -> None:
    assert_levels_differ(style, LIBRARY)


def assert_levels_differ(style: Style, entries: Sequence[Entry]) -> None:
    info = style.info
    for meter in info.meters:
        for texture in info.textures:
            for entry in entries:
                if meter.beats % 2 and entry not in ONE_CHORD_A_BAR:
                    continue
                key = Key.parse("D" if entry.mode is Mode.MAJOR else "d")
                found = in_key(entry, key, meter, texture)
                brief = Brief(found.chords, meter, found.changes.length, texture, pickup=found.changes.pickup)
                levels = [notes(style, replace(brief, level=n + 1)) for n in range(len(info.levels))]
                assert len(set(levels)) == len(levels), (entry.name, str(meter), texture)


def notes(style: Style, brief: Brief) -> tuple[tuple[Role, int, int, int], ...]:
    parts = style.play(replace(brief, bpm=96 if style.info.follows_tempo else None), Random(1))
    return tuple((part.role, n.start, n.length, n.pitch.midi) for part in parts for n in part.notes)


@pytest.mark.slow
@pytest.mark.parametrize("style", STYLES, ids=lambda style: style.info.name)
def test_every_level_meter_and_texture_is_playable_in_every_key(style: Style) -> None:
    info = style.info
    for meter in info.meters:
        for texture in of_two_hands(style):
            for key in (*KEY_SETS["all-major"], *KEY_SETS["all-minor"]):
                for level in range(1, len(info.levels) + 1):
                    text = "i iv V7 i VI iv6 V i" if key.is_minor else "I vi ii7 V7 I6 IV V7 I"
                    drill = Drill("osier", text, (key,), meter, (96,), info.name, level, texture)
                    found = next(iter(in_each_key(drill)))
                    made = arrange(drill, style, found.changes, found.chords, 96)
                    hands = {part.role: part.notes for part in made.parts}
                    assert not crossed(hands[Role.RIGHT], hands[Role.LEFT]), (str(meter), key.name, level)
                    for role, (low, high) in RANGES.items():
                        assert all(low <= n.pitch.midi <= high for n in hands.get(role, ())), (role, key.name)
