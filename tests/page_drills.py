"""Drills of our own to make practice pages of."""

from typing import Any

from tracks.drill.drill import Drill
from tracks.pack.page import page, page_file
from tracks.practice.played import played_in_each_key
from tracks.style.registry import load
from tracks.theory.key import Key
from tracks.theory.meter import Meter

TWELVE = ("C", "G", "D", "A", "E", "B", "F#", "Db", "Ab", "Eb", "Bb", "F")
EIGHT_CHORDS = "I vi ii V7 iii vi ii7 V7"


def drill(text: str = "I vi IV V7 I", keys: tuple[str, ...] = ("Eb",), **more: Any) -> Drill:
    """Return a drill called lantern-week, with whatever else is asked of it."""
    asked = {"name": "lantern-week", "meter": "4/4", "tempos": (60, 97, 132)} | more
    meter = Meter.parse(asked.pop("meter"))
    return Drill(progression=text, keys=tuple(map(Key.parse, keys)), meter=meter, **asked)


def html_of(asked: Drill) -> bytes:
    """Return the practice page of a drill."""
    return page_file(asked, played_in_each_key(asked, load(asked.style))).content


def values_of(asked: Drill) -> dict[str, Any]:
    """Return what the page's script reads of a drill."""
    from tracks.export.page.page import values

    return values(page(asked, tuple(played_in_each_key(asked, load(asked.style)))))
