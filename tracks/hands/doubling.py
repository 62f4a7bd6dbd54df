"""Doublings: what the right hand may add to a bass in four-part keyboard style, and what may be left out.

Sources: Open Music Theory (basso continuo) for keyboard style; R. Hutchinson, Music Theory for the
21st-Century Classroom, chapters 26 and 27. Where the two differ (which tone of ii6, iii6 and vi6 is doubled)
either is right.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations_with_replacement

from tracks.hands.close_position import Reduction, tone_sets
from tracks.hands.part_writing import Rule
from tracks.hands.tendency import dissonances, leading_tones, own_tones
from tracks.theory.chord import Chord
from tracks.theory.key import Key
from tracks.theory.pitch import Interval, Tone

_PERFECT_FIFTH, _MAJOR_THIRD, _MINOR_SECOND = (Interval.parse(name) for name in ("P5", "M3", "m2"))


@dataclass(frozen=True, slots=True)
class Upper:
    """Three tones that the right hand may add to a bass, in no order, with the rule they break, if any.

    `doubled` is the tone whose doubling breaks it.
    """

    tones: tuple[Tone, ...]
    doubled: Tone | None = None
    rule: Rule | None = None
    licenses: int = 0


def uppers(chord: Chord, key: Key, neighbors: Sequence[Chord] = ()) -> tuple[Upper, ...]:
    """Return what the right hand may play above the chord's bass, the best doubling first.

    `neighbors` are the chords before and after. A triad is complete, or without its fifth over its root;
    a seventh chord likewise. A larger chord is reduced as `tone_sets` says.
    """
    if chord.bass_is_foreign:
        plain = Upper(tone_sets(chord, Reduction(3, rooted=False))[0])
        return (plain,) if len(chord.tones) > 2 else _doubled_pair(chord)
    (needed, *_) = tone_sets(chord, Reduction(4, lowest=chord.bass))
    fifth = chord.factor(5)
    is_spare = chord.bass == chord.root and fifth == chord.root.up(_PERFECT_FIFTH)
    may_lack = {fifth} if is_spare else set()
    found = []
    for tones in combinations_with_replacement(needed, 3):
        missing = set(needed) - {*tones, chord.bass}
        if missing <= may_lack and len(set(tones)) > 1 and len(needed) - len(missing) > 1:
            lacks = len(missing) * (1 if len(needed) > 3 else 2)
            found.append(_judged(chord, key, tones, lacks, neighbors))
    return tuple(sorted(found, key=lambda upper: (upper.rule is not None, upper.licenses)))


def _doubled_pair(chord: Chord) -> tuple[Upper, ...]:
    low, high = chord.tones[0], chord.tones[-1]
    return (Upper((low, low, high)), Upper((low, high, high)))


def _judged(chord: Chord, key: Key, tones: tuple[Tone, ...], lacks: int, neighbors: Sequence[Chord]) -> Upper:
    sounding = (chord.bass, *tones)
    doubled = [tone for tone in dict.fromkeys(sounding) if sounding.count(tone) > 1]
    right, never = _right_doubles(chord, key, neighbors), never_doubled(chord, key)
    for rule, wrong in (
        (Rule.DOUBLED_TENDENCY, [tone for tone in doubled if tone in never]),
        (Rule.DOUBLING, [tone for tone in doubled if tone not in right]),
    ):
        if wrong:
            return Upper(tones, wrong[0], rule, lacks)
    return Upper(tones, licenses=lacks)


@lru_cache(maxsize=1024)
def never_doubled(chord: Chord, key: Key) -> frozenset[Tone]:
    """Return the chord's tones that no book doubles: those that must resolve, and altered ones.

    The root, and a perfect fifth above it, may be doubled though they are altered: bVI is a plain chord.
    """
    own = own_tones(key)
    altered = {
        tone
        for interval, tone in zip(chord.intervals[1:], chord.tones[1:], strict=True)
        if tone not in own and interval != _PERFECT_FIFTH
    }
    return frozenset({*leading_tones(chord, key), *dissonances(chord, key), *altered})


def _right_doubles(chord: Chord, key: Key, neighbors: Sequence[Chord]) -> set[Tone]:
    """Return the tones that the books double, of a chord over a bass of its own."""
    root, third, fifth = chord.root, chord.third_or_suspension, chord.factor(5)
    if chord.is_italian_or_german_sixth:
        wanted = {fifth}
    elif chord.is_diminished:
        wanted = {third}
    elif chord.bass == third:
        wanted = _sixth_chord_doubles(chord, key, neighbors)
    elif chord.bass == root and any(_leads_deceptively(before, chord) for before in neighbors):
        wanted = {root, third}
    else:
        wanted = {chord.bass}
    return {tone for tone in wanted if tone}


def _sixth_chord_doubles(chord: Chord, key: Key, neighbors: Sequence[Chord]) -> set[Tone | None]:
    if chord.root == key.tonic.up(_MINOR_SECOND):
        return {chord.bass}
    is_fixed = chord.bass in {key.degree(number) for number in (1, 2, 4, 5)}
    # In a row of sixth chords the doublings alternate.
    in_row = any(
        other.bass == other.third_or_suspension and abs(other.bass.step - chord.bass.step) in (1, 6)
        for other in neighbors
    )
    return {chord.root, chord.factor(5), chord.bass if is_fixed or in_row else None}


def _leads_deceptively(before: Chord, chord: Chord) -> bool:
    return before.factor(3) == before.root.up(_MAJOR_THIRD) and before.root.interval_to(chord.root).steps == 1
