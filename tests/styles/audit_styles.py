"""The band's figures, counted again: `python -m tests.styles.audit_styles [SEEDS]`, each beside its source.

Everything is counted on the library's progressions, every band style at every level in its first meter, as
arranged for a drill (with feel), but for the walking line, which is counted as written in 4/4.
"""

import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from random import Random

from tracks.drill.drill import Drill
from tracks.drill.in_key import DrillInKey, in_each_key
from tracks.model import Note, Part, Piece, Role, Texture, VoicedChord
from tracks.patterns import walk
from tracks.practice.arrange import arrange, as_written, unrolled
from tracks.progression.library import LIBRARY
from tracks.style import Brief, Style
from tracks.style.registry import load_all
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import QUARTER, Meter

FOUR = Meter(4, 4)
BPM = 96
EARLY_WINDOW = QUARTER // 40
"""A note so little before a bar line is meant on it."""


def drilled(number: int, style: str, meter: Meter, texture: Texture, seed: int) -> tuple[Drill, DrillInKey]:
    """Return a drill on an entry of the library, in a key that changes with it."""
    entry = LIBRARY[number]
    key = KEY_SETS[f"all-{entry.mode.value}"][(5 * seed + number) % 12]
    drill = Drill("audit", entry.text, (key,), meter, (BPM,), style, texture=texture, seed=seed)
    return drill, next(iter(in_each_key(drill)))


def pieces(style: Style, seeds: int) -> Iterator[tuple[Piece, DrillInKey]]:
    """Yield every fourth progression of the library as a style plays it, at every level."""
    meter, texture = style.info.meters[0], style.info.textures[0]
    for seed in range(1, seeds + 1):
        for number in range(seed % 4, len(LIBRARY), 4):
            if meter.beats % 2 and "|" in LIBRARY[number].text:
                continue
            drill, found = drilled(number, style.info.name, meter, texture, seed)
            for level in range(1, len(style.info.levels) + 1):
                asked = replace(drill, level=level, repeats=sixteen_bars(found))
                yield arrange(asked, style, found.changes, found.chords, BPM), found


def sixteen_bars(found: DrillInKey) -> int:
    """Return how often a progression is played so that it lasts sixteen bars or more."""
    return -(-16 * found.changes.meter.bar // found.changes.length)


def walking(seeds: int) -> dict[str, float]:
    """Return the shares of bars of a walking line that come back, go one way, or turn once."""
    counts: Counter[str] = Counter()
    for seed in range(seeds):
        for number in range(len(LIBRARY)):
            _, found = drilled(number, "swing", FOUR, Texture.OVER_BASS, seed)
            brief = Brief(found.chords, FOUR, found.changes.length, Texture.OVER_BASS)
            line = [note.pitch.midi for note in walk(brief, Random(seed)).notes]
            for voiced in found.chords:
                for start in range(voiced.at.start, voiced.at.end - FOUR.bar + 1, FOUR.bar):
                    if start % FOUR.bar == 0:
                        bar = line[start // QUARTER : start // QUARTER + 4]
                        turns = [b > a for a, b in pairwise(bar)]
                        changes = sum(a != b for a, b in pairwise(turns))
                        counts["bars"] += 1
                        counts["root on 3"] += bar[2] % 12 == bar[0] % 12
                        counts["one way"] += changes == 0
                        counts["one way or one arch"] += changes <= 1
    return {words: counts[words] / counts["bars"] for words in counts if words != "bars"}


def early(made: Piece) -> tuple[int, int]:
    """Return how many notes stand just before a bar line, and how many on it or just after."""
    bar = made.meter.bar
    places = [(note.start - made.music_from) % bar for part in made.parts for note in part.notes]
    on = sum(place <= EARLY_WINDOW for place in places)
    return sum(place >= bar - EARLY_WINDOW for place in places), on


def struck_held(part: Part) -> tuple[int, int]:
    """Return how many keys are struck again without having been let up, and how many are struck again."""
    by_key: dict[int, list[Note]] = {}
    for note in sorted(part.notes, key=lambda each: each.start):
        by_key.setdefault(note.pitch.midi, []).append(note)
    again = [(a, b) for notes in by_key.values() for a, b in pairwise(notes)]
    return sum(a.end >= b.start for a, b in again), len(again)


def bar_rhythms(part: Part, made: Piece) -> list[frozenset[int]]:
    """Return the rhythm of each bar of a part, in twelfths of a beat."""
    bar, cell = made.meter.bar, made.meter.beat // 12
    bars: dict[int, set[int]] = {}
    for note in part.notes:
        place = note.start - made.music_from
        bars.setdefault(place // bar, set()).add(round(place % bar / cell))
    return [frozenset(struck) for _, struck in sorted(bars.items())]


def anticipated(style: Style, level: int, seeds: int = 6) -> float:
    """Return the share of chord changes before which the right hand already strikes the coming chord.

    A stroke in the last beat before a bar line is the coming chord's where it has more of that chord's tones
    than of the chord's that ends there; so rootless voicings cannot be told, and are not to be asked for.
    """
    met = changes = 0
    meter = style.info.meters[0]
    for seed in range(seeds):
        for text in ("I vi ii7 V7 I IV ii7 V7", "I IV V7 vi ii7 V7 I IV"):
            drill = Drill("audit", text, (Key.parse("C"),), meter, (BPM,), style.info.name, level, seed=seed)
            drill = replace(drill, texture=style.info.textures[0], repeats=3)
            (found,) = in_each_key(drill)
            made = as_written(drill, style, found.changes, found.chords, BPM)
            _, chords = unrolled(found.changes, found.chords, drill.repeats)
            right = next(part for part in made.parts if part.role is Role.RIGHT)
            for ends, comes in pairwise(chords[:-1]):
                changes += 1
                met += _comes_early(right, ends, comes, meter)
    return met / changes


def _comes_early(part: Part, ends: VoicedChord, comes: VoicedChord, meter: Meter) -> bool:
    struck: dict[int, set[int]] = {}
    for note in part.notes:
        if comes.at.start - meter.beat < note.start < comes.at.start:
            struck.setdefault(note.start, set()).add(note.pitch.midi % 12)
    old, new = ({tone.chroma for tone in v.at.chord.tones} if v.at.chord else set() for v in (ends, comes))
    return any(len(heard & new) > len(heard & old) for heard in struck.values())


def comes_back(style: Style, seeds: int = 6) -> float:
    """Return the share of two-bar rhythms of a right hand, at the hardest level, that were heard before."""
    meter, again, heard = style.info.meters[0], 0, 0
    for seed in range(seeds):
        drill, found = drilled(0, style.info.name, meter, style.info.textures[0], seed)
        drill = replace(drill, level=len(style.info.levels), repeats=2 * sixteen_bars(found))
        made = as_written(drill, style, found.changes, found.chords, BPM)
        bars = bar_rhythms(next(part for part in made.parts if part.role is Role.RIGHT), made)[:-1]
        pairs = list(zip(bars[::2], bars[1::2], strict=False))
        heard += len(pairs) - 1
        again += sum(pair in pairs[:place] for place, pair in enumerate(pairs))
    return again / heard


def main() -> None:
    """Count and print."""
    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else 2
    print("walking bass in 4/4 (targets on 1, approaches on 4: Fitzgerald, Dummies.com), shares of bars:")
    for words, share in walking(seeds).items():
        print(f"  {words:24} {share:4.0%}")
    print("style           early on bar line  struck held  right-hand bar rhythms  right hands     pedals")
    total: Counter[str] = Counter()
    for style in load_all()[0]:
        if not style.info.feel or not style.info.feel.unasked:
            continue
        counts: Counter[str] = Counter()
        rhythms: list[int] = []
        for made, _ in pieces(style, seeds):
            before, on = early(made)
            held = [struck_held(part) for part in made.parts]
            right = next((part for part in made.parts if part.role is Role.RIGHT), Part(Role.RIGHT))
            rhythms.append(len(set(bar_rhythms(right, made)[:-1])))
            counts.update(early=before, on=on, held=sum(h for h, _ in held), again=sum(n for _, n in held))
            counts.update(pedals=sum(len(part.pedals) for part in made.parts))
        total.update(counts)
        print(
            f"{style.info.name:15} {counts['early']:5} of {counts['early'] + counts['on']:6}"
            f"   {counts['held']:4} of {counts['again']:6}   {sum(rhythms) / len(rhythms):4.1f} a piece"
            f"   {seeds_differ(style):5} of 10   {counts['pedals']:6}"
        )
    print(f"all: {total['early']} of {total['early'] + total['on']} early (before: 542 of 1,321); ", end="")
    print(f"{total['held']} of {total['again']} keys struck while held")
    print("chord changes before which the coming chord is struck, by level; two-bar rhythms that come back")
    for style in load_all()[0]:
        if Role.BASS in style.info.roles:
            levels = range(1, len(style.info.levels) + 1)
            shares = " ".join(f"{anticipated(style, level):4.0%}" for level in levels)
            print(f"  {style.info.name:15} {shares:26} {comes_back(style):4.0%}")


def seeds_differ(style: Style) -> int:
    """Return how many right hands ten seeds give on sixteen bars, as written, at the hardest level."""
    info = style.info
    drill, found = drilled(0, info.name, info.meters[0], info.textures[0], 0)
    drill = replace(drill, level=len(info.levels), repeats=sixteen_bars(found))
    heard = set()
    for seed in range(10):
        made = as_written(replace(drill, seed=seed), style, found.changes, found.chords, BPM)
        heard |= {part.notes for part in made.parts if part.role is Role.RIGHT}
    return len(heard)


if __name__ == "__main__":
    main()
