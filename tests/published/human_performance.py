"""A human performance with its alignment by hand, and faults put into it; matchers side by side.

    python tests/published/human_performance.py

The performance: Mozart, twelve variations K. 265, variation 1, 219 notes, as the parangonar package has it
(S. D. Peter, C. E. Cancino-Chacon et al., "Automatic note-level score-to-performance alignments in the ASAP
dataset", TISMIR 6(1), 2023). Its matchers: AutomaticNoteMatcher, DualDTWNoteMatcher.
"""

import sys
import time
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from itertools import groupby
from random import Random
from typing import Any, NamedTuple

from tracks.drill.request import request_of
from tracks.style.registry import load
from tracks.takes.expected import Asked, AskedNote, Group, asked_in_each_key
from tracks.takes.hear import hear
from tracks.takes.take import PlayedNote, Take
from tracks.theory.key import Key
from tracks.theory.pitch import Pitch

AGAIN = "a-"
"""What the names of notes begin with that are played a second time."""


class Scored(NamedTuple):
    """A score's note array, a performance's, and the pairs (score note's id, played note's) that are true."""

    score: Any
    played: Any
    pairs: frozenset[tuple[str, str]]


@cache
def performance() -> Scored:
    """Return the performance as the package carries it."""
    sys.modules.setdefault("fluidsynth", None)  # type: ignore[arg-type]  # or partitura looks for a synthesizer
    import parangonar
    import partitura

    played, alignment, score = partitura.load_match(parangonar.EXAMPLE, create_score=True)
    pairs = frozenset(
        (str(each["score_id"]), str(each["performance_id"])) for each in alignment if each["label"] == "match"
    )
    return Scored(score[0].note_array(include_grace_notes=True), played[0].note_array(), pairs)


def with_faults(seed: int, share: float = 0.04) -> Scored:
    """Return the performance with wrong, missing and extra notes, a few left out, a few played twice.

    A wrong note is nobody's: the score's note is not matched, and the played one is an insertion.
    """
    import numpy as np

    rng = Random(seed)
    score, played, pairs = performance()
    notes, truth = played.copy(), set(pairs)
    by_played = {pair[1]: pair for pair in pairs}
    order = sorted(range(len(notes)), key=lambda place: notes["onset_sec"][place])
    left_out = rng.randrange(20, len(order) - 60)
    twice = rng.randrange(left_out + 20, len(order) - 20)
    gone = set(order[left_out : left_out + 6])
    added = []
    for place in range(len(notes)):
        chance = rng.random()
        pair = by_played.get(str(notes["id"][place]))
        if place in gone or chance < share:
            gone.add(place)
        elif chance < 2 * share:
            notes["pitch"][place] += rng.choice((-2, -1, 1, 2))
        else:
            if chance < 2.5 * share:
                extra = notes[place].copy()
                extra["pitch"] = rng.randrange(40, 90)
                extra["id"] = f"x{place}"
                added.append(extra)
            continue
        truth.discard(pair) if pair else None
    onset = notes["onset_sec"]
    again = [place for place in order[twice : twice + 8] if place not in gone]
    start, end = onset[again[0]], onset[again[-1]]
    shift = end - start + 0.25
    later = onset > end
    notes["onset_sec"][later] += shift
    for place in again:
        extra = notes[place].copy()
        extra["onset_sec"] += shift
        extra["id"] = AGAIN + str(extra["id"])
        added.append(extra)
    kept = [notes[place] for place in range(len(notes)) if place not in gone]
    every = np.array([*kept, *added], dtype=notes.dtype)
    every["onset_tick"] = np.round(every["onset_sec"] * 1000)
    return Scored(score, every[np.argsort(every["onset_sec"], kind="stable")], frozenset(truth))


def by_ours(score: Any, played: Any) -> set[tuple[str, str]]:
    """Return our pairs of right notes."""
    notes = [
        PlayedNote(float(n["onset_sec"]), float(n["onset_sec"] + n["duration_sec"]), int(n["pitch"]), 64)
        for n in played
    ]
    names = {note: str(n["id"]) for note, n in zip(notes, played, strict=True)}
    asked, ids = _asked(score)
    take = Take("human", tuple(sorted(notes, key=lambda note: (note.onset_s, note.midi))))
    return {
        (ids[each.group.beat, note.pitch.midi], names[heard])
        for one in hear(take, asked)
        for each in one.heard
        for note, heard in each.right.items()
        if heard.midi == note.pitch.midi
    }


def by_theirs(matcher: str) -> Callable[[Any, Any], set[tuple[str, str]]]:
    """Return a matcher of the package by its name."""

    def match(score: Any, played: Any) -> set[tuple[str, str]]:
        import parangonar

        found = getattr(parangonar, matcher)()(score, played)
        return {(str(e["score_id"]), str(e["performance_id"])) for e in found if e["label"] == "match"}

    return match


def f_measure(found: set[tuple[str, str]], truth: frozenset[tuple[str, str]]) -> float:
    """Return the harmonic mean of precision and recall; of what is played twice either time is true."""
    found = {(asked, played.removeprefix(AGAIN)) for asked, played in found}
    return 2 * len(found & truth) / max(len(found) + len(truth), 1)


def _asked(score: Any) -> tuple[Asked, dict[tuple[float, int], str]]:
    """Return a score's notes as what is asked, and the id of each by beat and key."""
    style = load("block")
    base = asked_in_each_key(request_of({"progression": "I", "keys": ("C",)}).drills(style)[0], style)[0]
    rows = sorted((float(n["onset_beat"]), int(n["pitch"]), str(n["id"])) for n in score)
    spelled = {midi: Pitch.at_or_above(_tone(midi), midi) for _, midi, _ in rows}
    ids: dict[tuple[float, int], str] = {}
    groups = []
    for beat, together in groupby(rows, key=lambda row: row[0]):
        notes = []
        for _, midi, name in together:
            if (beat, midi) not in ids:
                ids[beat, midi] = name
                notes.append(AskedNote(spelled[midi], "right" if midi >= 60 else "left"))
        groups.append(Group(beat - rows[0][0], tuple(notes), 0))
    first = rows[0][0]
    return replace(base, groups=tuple(groups)), {
        (beat - first, midi): name for (beat, midi), name in ids.items()
    }


def _tone(midi: int) -> Any:
    sharp = Key.parse("C").tonic
    return next(type(sharp)(fifths) for fifths in range(-1, 12) if 7 * fifths % 12 == midi % 12)


MATCHERS: dict[str, Callable[[Any, Any], set[tuple[str, str]]]] = {
    "ours": by_ours,
    "AutomaticNoteMatcher": by_theirs("AutomaticNoteMatcher"),
    "DualDTWNoteMatcher": by_theirs("DualDTWNoteMatcher"),
}


def _main() -> None:
    whole = performance()
    print(f"{len(whole.played)} played notes, {len(whole.pairs)} pairs by hand")
    for name, match in MATCHERS.items():
        begun = time.perf_counter()
        value = f_measure(match(whole.score, whole.played), whole.pairs)
        spent = time.perf_counter() - begun
        faulty = []
        for seed in range(10):
            case = with_faults(seed)
            begun = time.perf_counter()
            faulty.append(
                (f_measure(match(case.score, case.played), case.pairs), time.perf_counter() - begun)
            )
        mean, took = (sum(column) / len(faulty) for column in zip(*faulty, strict=True))
        print(f"{name:24} as played F {value:.4f} in {spent:.3f} s; with faults F {mean:.4f} in {took:.3f} s")


if __name__ == "__main__":
    _main()
