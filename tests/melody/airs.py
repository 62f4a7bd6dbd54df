"""Airs to measure tunes by: music21's corpus as plain notes, read once and kept.

Sources, all inside music21: the Essen folksong collection (H. Schaffrath), O'Neill's *Music of Ireland* (1850
airs and dance tunes), two lead sheets; apart from them the sopranos of Bach's chorales in Riemenschneider's
order. As written: repeats are not played, grace notes are left out.

The airs that our tunes are shaped by are one half; others of the same books are held out, for the last word.
"""

import json
import re
import tempfile
from collections.abc import Callable, Container, Iterator, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from tracks.theory.meter import QUARTER

FEWEST_NOTES, FEWEST_BARS = 24, 6
ESSEN, FIDDLE, SHEETS, SOPRANOS = (
    "Essen folksongs",
    "O'Neill's fiddle tunes",
    "lead sheets",
    "Bach's sopranos",
)
_NOT_SONGS = ("test", "variant", "folkHaydn")
_METERS = {"2/4", "3/4", "4/4", "2/2", "6/8", "3/8", "3/2"}


@dataclass(frozen=True, slots=True)
class Air:
    """A melody of one meter. Notes are onset, length and MIDI number, in ticks; bar 1 begins at `pickup`."""

    name: str
    pool: str
    meter: str
    bar: int
    pickup: int
    notes: tuple[tuple[int, int, int], ...]


def airs() -> list[Air]:
    """Return every air that our tunes are shaped by, and Bach's sopranos."""
    return _kept("airs", _read)


def held_out_airs() -> list[Air]:
    """Return airs of the same books that are none of those."""
    return _kept("airs-held-out", _read_held_out)


def _kept(name: str, read: Callable[[], Iterator[Air]]) -> list[Air]:
    """Return airs from a file in the system's temporary folder, read into it where it is not there yet."""
    import music21

    kept = Path(tempfile.gettempdir(), f"{name}-of-music21-{music21.__version__}.json")
    if not kept.exists():
        kept.write_text(json.dumps([asdict(air) for air in read()]))
    return [
        Air(**{**each, "notes": tuple(map(tuple, each["notes"]))}) for each in json.loads(kept.read_text())
    ]


def _read_held_out() -> Iterator[Air]:
    known = {air.name for air in airs()}
    yield from _of_books(ESSEN, "essenFolksong", 6, known)
    yield from _of_books(FIDDLE, "oneills1850", 2, known)


def _read() -> Iterator[Air]:
    yield from _of_books(ESSEN, "essenFolksong", 6)
    yield from _of_books(FIDDLE, "oneills1850", 2)
    from music21 import corpus

    for name in ("berlinAlexandersRagtime", "fosterBrownHair"):
        yield from _air(corpus.parse(f"leadSheet/{name}"), name, SHEETS)
    chorales = corpus.chorales.Iterator(1, 90, numberingSystem="riemenschneider", returnType="filename")
    for name in chorales:
        yield from _air(corpus.parse(name), name, SOPRANOS)


def _of_books(pool: str, folder: str, each: int, known: Container[str] = ()) -> Iterator[Air]:
    """Yield airs evenly spread over a folder's books, so many of each, passing over what does not fit.

    What is known already, by its name, is passed over too.
    """
    from music21 import corpus

    books = (Path(str(book)) for book in corpus.getComposer(folder))
    for path in sorted(book for book in books if book.suffix == ".abc"):
        if path.stem.startswith(_NOT_SONGS):
            continue
        every = re.findall(r"^X:\s*(\d+)", path.read_text(errors="replace"), re.MULTILINE)
        numbers = [number for number in every if f"{path.stem} {number}" not in known]
        found = 0
        for number in _spread(numbers, 3 * each):
            if found == each:
                break
            for air in _air(_parsed(path, int(number)), f"{path.stem} {number}", pool):
                found += 1
                yield air


def _spread(numbers: Sequence[str], count: int) -> list[str]:
    """Return some of the numbers, first a few far apart, then what lies between."""
    step = max(1, len(numbers) // count)
    spread = numbers[::step][:count]
    return [*spread[::3], *spread[1::3], *spread[2::3]]


def _parsed(path: Path, number: int) -> Any:
    from music21 import converter
    from music21.exceptions21 import Music21Exception

    try:
        return converter.parse(path, number=number)
    except (Music21Exception, ValueError, KeyError, IndexError):
        return None


def _air(score: Any, name: str, pool: str) -> Iterator[Air]:
    """Yield the score's first part as an air, if it has one meter and is long enough."""
    if score is None:
        return
    part = (score.parts[0] if score.hasPartLikeStreams() else score).stripTies()
    meters = {each.ratioString for each in part.recurse().getElementsByClass("TimeSignature")}
    bars = list(part.getElementsByClass("Measure"))
    if len(meters) != 1 or not meters <= _METERS or len(bars) < FEWEST_BARS:
        return
    bar = round(bars[1].barDuration.quarterLength * QUARTER)
    first = round(bars[0].duration.quarterLength * QUARTER)
    notes = tuple(
        (round(note.getOffsetInHierarchy(part) * QUARTER), round(note.quarterLength * QUARTER),
         max(pitch.midi for pitch in note.pitches))
        for note in part.recurse().notes
        if note.quarterLength and note.pitches and "ChordSymbol" not in note.classes
    )  # fmt: skip
    if len(notes) >= FEWEST_NOTES:
        yield Air(name, pool, meters.pop(), bar, first if first < bar else 0, notes)
