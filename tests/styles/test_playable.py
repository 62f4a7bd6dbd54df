"""Whatever the progression, the key, the level and the seed: hands can play it, and parts stay in range.

The progressions are the library's, the trade's common ones. Ranges: a double bass's E1 to G3 and an octave's
span for a hand are convention; percussion keys 35 to 81 are General MIDI 1's (MMA, 1991).
"""

from collections import defaultdict
from functools import cache

import pytest

from tracks.drill.drill import Drill
from tracks.drill.in_key import DrillInKey, in_each_key
from tracks.export.midi import CHANNELS
from tracks.model import Note, Piece, Role, Texture
from tracks.practice.arrange import arrange
from tracks.progression.library import LIBRARY, Entry
from tracks.style import RANGES, Style
from tracks.style.registry import load
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import Meter

STYLES = [
    load(name)
    for name in (
        "block", "root-bass", "broken", "alberti", "arpeggio", "waltz", "march", "stride", "ballad", "rock",
        "shuffle", "swing", "bossa-nova", "gospel", "pop-push", "habanera",
    )
]  # fmt: skip
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


@pytest.mark.parametrize("style", STYLES, ids=lambda style: style.info.name)
def test_right_hand_plays_the_drilled_voicing_of_every_chord(style: Style) -> None:
    for texture in of_two_hands(style):
        for level in range(1, len(style.info.levels) + 1):
            info, entry = style.info, LIBRARY[0]
            found = in_key(entry, Key.parse("D"), info.meters[0], texture)
            drill = Drill(
                "osier", entry.text, (Key.parse("D"),), info.meters[0], (96,), info.name, level, texture
            )
            made = arrange(drill, style, found.changes, found.chords, 96)
            right = next(part for part in made.parts if part.role is Role.RIGHT)
            for voiced in found.chords:
                assert voiced.right
                middle = voiced.at.start + voiced.at.length // 8, voiced.at.end - voiced.at.length // 8
                heard = {n.pitch.midi for n in right.notes if n.start < middle[1] and n.end > middle[0]}
                assert heard - {voiced.right.pitches[0].midi + OCTAVE} == {
                    pitch.midi for pitch in voiced.right.pitches
                }
