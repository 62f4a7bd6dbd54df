"""What a tune brings back, read from its notes: AABA, AAB, turns, uneven phrases."""

import re
from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise
from random import Random

import pytest
from tunes import FOUR, LEVELS, brief, does, figure, tune

from tracks.melody.form import phrases
from tracks.melody.tune import improvise
from tracks.model import Note
from tracks.progression.library import LIBRARY
from tracks.theory.key import Mode
from tracks.theory.meter import Meter

TEXTS = {entry.name: entry.text for entry in LIBRARY}
Bars = dict[int, list[tuple[int, int]]]


def bars(notes: Iterable[Note]) -> Bars:
    found: Bars = {}
    for note in notes:
        found.setdefault(note.start // FOUR.bar, []).append((note.start % FOUR.bar, note.pitch.midi))
    return found


def shared(name: str, one: range, other: range, level: int, seeds: int = 30) -> float:
    """The share of bars that two stretches of a tune have in common, note by note."""
    alike = [
        found.get(a) == found.get(b)
        for seed in range(seeds)
        for found in (bars(tune(brief(TEXTS[name]), seed, level)),)
        for a, b in zip(one, other, strict=True)
    ]
    return sum(alike) / len(alike)


@pytest.mark.parametrize("level", LEVELS)
def test_the_last_a_of_aaba_is_the_first_and_the_bridge_is_not(level: int) -> None:
    assert shared("rhythm-changes", range(8), range(24, 32), level) > 0.4
    assert shared("rhythm-changes", range(8), range(16, 24), level) < 0.1


@pytest.mark.parametrize("level", LEVELS)
def test_a_blues_sings_its_first_line_twice(level: int) -> None:
    given = brief(TEXTS["twelve-bar-blues"])
    for seed in range(30):
        found = bars(tune(given, seed, level))
        first, second = ([[at for at, _ in found[n]] for n in line] for line in (range(3), range(4, 7)))
        # What leads into a line stands at the end of the bar before it.
        assert first[0] == second[0]
        assert first[1] == second[1]


def test_the_blues_own_scale_lets_a_line_return_note_by_note_over_other_chords() -> None:
    assert shared("twelve-bar-blues", range(3), range(4, 7), 5) > 0.3


def test_phrases_are_uneven_now_and_then_but_for_beginners() -> None:
    lengths = {
        level: Counter(
            phrase.bars
            for seed in range(100)
            for phrase in phrases(brief(TEXTS["circle-of-fifths"]), level, Random(seed))
        )
        for level in (1, 6)
    }

    assert set(lengths[1]) == {2, 4}
    assert {2, 3, 4, 5} == set(lengths[6])
    assert lengths[6][4] > lengths[6][3]


def test_phrases_fill_the_piece_and_bring_back_what_was() -> None:
    for entry in LIBRARY:
        given = brief(entry.text, "C" if entry.mode is Mode.MAJOR else "c")
        for seed in range(3):
            found = phrases(given, 6, Random(seed))
            assert sum(phrase.bars for phrase in found) == -(-given.length // FOUR.bar)
            assert all(p.again is None or found[p.again].bars == p.bars for p in found)
            assert sum(phrase.climax and phrase.again is None for phrase in found) == 1


def test_in_turns_phrases_are_turns_and_nothing_leads_into_the_track() -> None:
    given = replace(brief("I vi ii V7 I IV V7 I"), turn=2, level=6)

    for seed in range(20):
        assert all(phrase.bars == 2 for phrase in phrases(given, 6, Random(seed)))
        for before, after in pairwise(improvise(given, Random(seed))):
            assert after.start == before.end or after.start % (2 * FOUR.bar) == 0


def test_same_tune_in_every_key() -> None:
    def moves(key: str) -> list[tuple[int, int]]:
        notes = tune(brief("V7 I IV V7 I vi ii V7 I", key), 3, 6)
        return [(note.start, note.pitch.midi - notes[-1].pitch.midi) for note in notes]

    assert moves("G") == moves("A")


@pytest.mark.parametrize("meter", [FOUR, Meter(3, 4), Meter(6, 8), Meter(2, 4)], ids=str)
def test_no_two_levels_give_the_same_tune_even_over_three_bars(meter: Meter) -> None:
    for text in ("I IV I", "vi IV I V"):
        given = brief(text, meter=meter)
        for seed in range(12):
            tunes = {
                level: tuple((note.start, note.length, note.pitch) for note in tune(given, seed, level))
                for level in LEVELS
            }
            assert len(set(tunes.values())) == len(tunes), (text, seed)


def test_a_tune_does_what_its_level_is_about_however_short() -> None:
    devices = {2: ("passing", "upper", "lower"), 4: ("approach", "enclosure"), 5: ("blues", "pentatonic")}
    for level, words in devices.items():
        for seed in range(20):
            notes = tune(brief("V7 I"), seed, level)
            assert any(does(note).startswith(words) for note in notes), (level, seed)


@pytest.mark.parametrize("level", LEVELS)
def test_in_turns_nothing_is_said_to_come_from_a_bar_of_the_students(level: int) -> None:
    told = 0
    for name in ("jazz-blues", "rhythm-changes"):
        given = replace(brief(TEXTS[name]), turn=4, level=level)
        for seed in range(8):
            for note in improvise(given, Random(seed)):
                bar = note.start // FOUR.bar
                if bar // 4 % 2:
                    assert not figure(note).startswith("motif")
                elif note.why and (match := re.fullmatch(r"as in bar (\d+)", note.why.figure)):
                    told += 1
                    assert (int(match[1]) - 1) // 4 % 2 == 0
    assert told
