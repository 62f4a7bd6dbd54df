"""What four parts come to over the library, beside Bach: `python tests/benchmarks/four_part_table.py`.

Every entry of the library in the twelve keys of its mode, as a drill of all keys has it; then the endings of
sixty of Bach's chorales from music21's corpus (soprano and bass of the last chord); then three progressions
with what they cost a voice and change. The movement beside Bach's stands in `chorale_table.py`.
"""

import time
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import combinations, pairwise
from typing import Any

from tracks.hands.four_part import FourParts, PartWriting, write_in_keys
from tracks.hands.four_part_positions import is_perfect_ending
from tracks.hands.options import VoicingOptions
from tracks.model import Changes, ChordAt, Texture
from tracks.progression.changes import realize
from tracks.progression.library import LIBRARY, Entry
from tracks.progression.music import parse
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import Meter

FOUR_PART = VoicingOptions(Texture.FOUR_PART)
G5, TWO_OCTAVES = 79, 24
EXAMPLES = (("G", "I IV6 V I"), ("c", "i iv6 V i"), ("C", "V7 I IV6 I64 V7 I"))


@dataclass
class Table:
    """What is counted."""

    counts: Counter[str] = field(default_factory=Counter)
    endings: Counter[str] = field(default_factory=Counter)
    not_on_tonic: list[str] = field(default_factory=list)
    other_shape: list[str] = field(default_factory=list)
    other_bass: list[str] = field(default_factory=list)

    def add(self, entry: Entry) -> None:
        """Count an entry in all keys of its mode."""
        keys = KEY_SETS["all-minor" if entry.mode.value == "minor" else "all-major"]
        chords = [changes(entry.text, key).chords for key in keys]
        began = time.process_time()
        writings = write_in_keys(chords, FOUR_PART)
        self.counts["milliseconds"] += round(1000 * (time.process_time() - began))
        for at, writing in zip(chords, writings, strict=True):
            self._add_parts(_parts(writing))
            self._add_ending([one for one in at if one.chord], _parts(writing)[-1], entry.name)
        if len({_outline(_parts(writing), 1) for writing in writings}) > 1:
            self.other_shape.append(entry.name)
        if len({_outline(_parts(writing), 0) for writing in writings}) > 1:
            self.other_bass.append(entry.name)

    def _add_parts(self, parts: Sequence[FourParts]) -> None:
        self.counts["chords"] += len(parts)
        self.counts["changes"] += len(parts) - 1
        self.counts["first chords below C4"] += parts[0].pitches[1].midi < 60
        for each in parts:
            bass, tenor, _, soprano = (pitch.midi for pitch in each.pitches)
            self.counts["rules told"] += len(each.broken)
            self.counts["bass and tenor past two octaves"] += tenor - bass > TWO_OCTAVES
            self.counts["soprano above G5"] += soprano > G5
            self.counts["voices on one key"] += len(set(each.pitches)) < 4
        for before, after in pairwise(parts):
            self.counts["parallels"] += parallels(before, after)
            old, new = before.pitches, after.pitches
            self.counts["soprano repeats"] += old[3] == new[3]
            self.counts["half steps"] += sum(
                abs(b.midi - a.midi) for a, b in zip(old[1:], new[1:], strict=True)
            )

    def _add_ending(self, sounding: Sequence[ChordAt], last: FourParts, name: str) -> None:
        if is_perfect_ending(sounding):
            on_tonic = last.pitches[3].tone == sounding[-1].key.tonic
            self.endings["on 1" if on_tonic else "elsewhere"] += 1
            if not on_tonic and name not in self.not_on_tonic:
                self.not_on_tonic.append(name)


def changes(text: str, key: Key) -> Changes:
    """Return the changes of a progression in a key."""
    return realize(parse(text, Meter(4, 4)), key)


def parallels(before: FourParts, after: FourParts) -> int:
    """Return how many pairs of voices go from a fifth to a fifth, or an octave to an octave."""
    found = 0
    for low, high in combinations(range(4), 2):
        old, new = (parts.pitches[high].midi - parts.pitches[low].midi for parts in (before, after))
        moves = before.pitches[low] != after.pitches[low] and before.pitches[high] != after.pitches[high]
        found += moves and old % 12 == new % 12 in (0, 7)
    return found


def bachs_endings(count: int = 60) -> Counter[str]:
    """Return where the sopranos of so many chorales end, above the last bass note."""
    from music21 import corpus

    endings: Counter[str] = Counter()
    scores: Iterable[Any] = corpus.chorales.Iterator(1, count, numberingSystem="riemenschneider")
    for score in scores:
        soprano, bass = (score.parts[part].flatten().notes.last().pitches[0] for part in (0, -1))
        endings["on 1" if soprano.pitchClass == bass.pitchClass else "elsewhere"] += 1
    return endings


def _parts(writing: PartWriting) -> list[FourParts]:
    return [parts for parts in writing.chords if parts]


def _outline(parts: Sequence[FourParts], lowest: int) -> tuple[tuple[int, ...], ...]:
    """Return the voices from the lowest asked for, counted from the first tenor."""
    first = parts[0].pitches[1].midi
    return tuple(tuple(pitch.midi - first for pitch in each.pitches[lowest:]) for each in parts)


def main() -> None:
    """Print the table."""
    table = Table()
    for entry in LIBRARY:
        table.add(entry)
    print(f"{len(LIBRARY)} entries in 12 keys")
    for name, count in table.counts.items():
        print(f"{count:7} {name}")
    print(f"{table.counts['half steps'] / 3 / table.counts['changes']:7.2f} half steps a voice and change")
    print(f"perfect endings: {dict(table.endings)}; elsewhere in {', '.join(table.not_on_tonic)}")
    print(f"Bach's 60 first: {dict(bachs_endings())}")
    print(f"the right hand changes its shape in: {', '.join(table.other_shape) or 'none'}")
    print(f"the bass changes its octave in: {len(table.other_bass)}")
    for key, text in EXAMPLES:
        (writing,) = write_in_keys([changes(text, Key.parse(key)).chords], FOUR_PART)
        notes = " | ".join(" ".join(pitch.name for pitch in each.pitches) for each in _parts(writing))
        steps = 3 * (len(_parts(writing)) - 1)
        print(f"{writing.movement / steps:7.2f} {text} in {key}: {writing.movement} half steps: {notes}")


if __name__ == "__main__":
    main()
