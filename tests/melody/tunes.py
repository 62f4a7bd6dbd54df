"""Briefs and tunes for the checks of the improviser."""

from dataclasses import replace
from functools import lru_cache
from random import Random

from tracks.drill.drill import Drill
from tracks.drill.in_key import in_each_key
from tracks.melody.tune import improvise
from tracks.model import ChordAt, Note, Texture
from tracks.progression.library import LIBRARY, Entry
from tracks.style import Brief
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import Meter

FOUR = Meter(4, 4)
METERS = (FOUR, Meter(3, 4), Meter(6, 8), Meter(2, 4), Meter(12, 8), Meter(4, 4), Meter(5, 4))
LEVELS = range(1, 7)
SHORTER_BY_BARS = {"folia", "passamezzo-antico"}


@lru_cache(maxsize=512)
def brief(text: str, key: str = "C", meter: Meter = FOUR, texture: Texture = Texture.DOUBLED) -> Brief:
    drill = Drill("lantern", text, (Key.parse(key),), meter, (60,), texture=texture)
    in_key = in_each_key(drill)[0]
    return Brief(in_key.chords, meter, in_key.changes.length, texture)


def tune(given: Brief, seed: int, level: int) -> tuple[Note, ...]:
    return improvise(replace(given, level=level), Random(seed))


def case(seed: int) -> tuple[Brief, int, Entry]:
    """A brief, a level and the library's entry for a seed: every one of each comes up in its turn."""
    named = LIBRARY[seed % len(LIBRARY)]
    level = seed % len(LEVELS) + 1
    # A bar of three or five beats cannot be shared by two chords.
    meter = FOUR if named.name in SHORTER_BY_BARS else METERS[seed // 5 % len(METERS)]
    keys = KEY_SETS[f"all-{named.mode.value}"]
    key = keys[seed % len(LIBRARY) % len(keys)]
    texture = (Texture.DOUBLED, Texture.OVER_BASS)[METERS.index(meter) % 2]
    return replace(brief(named.text, key.name, meter, texture), level=level), level, named


def does(note: Note) -> str:
    """What a note says that it does."""
    assert note.why
    return note.why.does


def figure(note: Note) -> str:
    """What a note says that it is part of."""
    assert note.why
    return note.why.figure


def chord_under(given: Brief, note: Note) -> ChordAt:
    """The chord that a note belongs to: the one it begins under, or that it is held into, anticipating it."""
    under = next(v.at for v in given.chords if v.at.start <= note.start < v.at.end)
    held_into = (v.at for v in given.chords if note.start < v.at.start < note.end)
    return next(held_into, under)
