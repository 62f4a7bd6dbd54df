"""The rules of part-writing: how the voices of four-part keyboard style may move from chord to chord.

Conventions
- Voices are numbered from the bass: 0 bass, 1 tenor, 2 alto, 3 soprano. The left hand has the bass, the
  right hand the other three.
- Keys of the keyboard are MIDI numbers. A voice's tone is counted in fifths from its chord's root (a fifth
  is 1, a major third 4, a minor seventh -2), so that all keys share what one has measured.
- A broken rule is a `Broken`; its rank says how grave it is, 0 the gravest. A license is no broken rule: the
  books allow it where nothing better is to be had.

Sources: Open Music Theory (basso continuo; tendency tones) for keyboard style; R. Hutchinson, Music Theory
for the 21st-Century Classroom, chapters 26 and 27. Overlap, and leaps of a seventh or past an octave: common
practice. Parallels by contrary motion are counted in every pair of voices, which is stricter than the books.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum
from functools import lru_cache
from itertools import combinations, product
from typing import NamedTuple

from tracks.hands.tendency import dissonances, leading_tones, leaning_tones
from tracks.theory.chord import Chord
from tracks.theory.key import Key
from tracks.theory.pitch import Interval, Tone

VOICES = ("bass", "tenor", "alto", "soprano")
RANKS = 5

_BASS, _SOPRANO = 0, 3
_PAIRS = tuple(combinations(range(4), 2))
_UNISON, _FOURTH, _TRITONE, _FIFTH = 0, 5, 6, 7
_OCTAVE = 12
_MINOR_SECOND = Interval.parse("m2")
_CHROMATIC_STEP = 7
# Ascending intervals by their fifths: a second is 2 (major) or -5 (minor); augmented ones are 6 and above,
# 7 apart, which is the chromatic half step.
_SECONDS = (2, -5)
_LEAST_AUGMENTED = 6
_WIDE_LEAPS = (10, 11, -10, -11)


class Rule(Enum):
    """A rule: its rank and what is said where it is broken."""

    PARALLEL_FIFTHS = (0, "parallel fifths between {voices}")
    PARALLEL_OCTAVES = (0, "parallel octaves between {voices}")
    SEVENTH = (1, "{tone} in the {voices} does not step down")
    LEADING_TONE = (1, "the leading tone {tone} in the {voices} does not rise")
    DOUBLED_TENDENCY = (1, "{voices} double {tone}, which should not be doubled")
    OUTER_OCTAVE = (2, "{voices} reach an octave in the same direction, the soprano by leap")
    AUGMENTED = (3, "an augmented interval in the {voices}")
    TRITONE = (3, "a tritone in the {voices}")
    WIDE_LEAP = (3, "a leap of a seventh or more in the {voices}")
    OVERLAP = (3, "{voices} overlap")
    DOUBLING = (4, "{voices} double {tone} where the books double another note")

    def __init__(self, rank: int, words: str) -> None:
        self.rank = rank
        self.words = words


class Broken(NamedTuple):
    """A rule that is not kept, and the voices that break it, the highest first."""

    rule: Rule
    voices: tuple[int, ...]

    def said(self, tone: Tone) -> str:
        """Return what is said of it, such as `parallel fifths between alto and bass`.

        `tone` is the first voice's.
        """
        return self.rule.words.format(tone=tone, voices=" and ".join(VOICES[voice] for voice in self.voices))


@dataclass(frozen=True, slots=True)
class Position:
    """The four voices of a chord, bass first: their keys and tones, and what they break and are allowed.

    Positions of one `shape` differ in their octave or key alone; `keys[1]` says where they stand.
    """

    keys: tuple[int, ...]
    tones: tuple[int, ...]
    shape: int
    broken: tuple[Broken, ...] = ()
    licenses: int = 0


@dataclass(frozen=True, slots=True)
class Link:
    """What two chords in a row ask of their voices, by the first one's tones.

    `fall` are dissonances, which step down, and `soft` those of them that may rise a step; `rise`
    are leading tones where the second chord brings their tonic; `new` are the second chord's own
    dissonances, which want to be prepared; `free` are tones that may go where they like, for the harmony
    stays; `altered` are pairs of a tone and what the second chord alters it to, by that chord's root. `turn`
    counts the fifths from root to root. `costs` is room for what a caller has measured.
    """

    fall: frozenset[int]
    soft: frozenset[int]
    rise: frozenset[int]
    new: frozenset[int]
    free: frozenset[int]
    altered: frozenset[tuple[int, int]]
    turn: int
    costs: dict[tuple[int, int, int], int]


def link(before: Chord, after: Chord, key: Key) -> Link:
    """Return what the step from one chord to the next asks; `key` is the first chord's."""
    shift = key.tonic.fifths
    return _link(moved(before, shift), moved(after, shift), Key(Tone(0), key.mode))


def moved(chord: Chord, fifths: int) -> Chord:
    """Return a chord as many fifths lower, as C is one lower than G."""
    return replace(chord, root=Tone(chord.root.fifths - fifths), bass=Tone(chord.bass.fifths - fifths))


@lru_cache(maxsize=512)
def _link(before: Chord, after: Chord, key: Key) -> Link:
    goals = {after.root, after.factor(3), after.bass}
    rising = {tone for tone in leading_tones(before, key) if tone.up(_MINOR_SECOND) in goals}
    falling = dissonances(before, key) | leaning_tones(before, after)
    chordal = {tone for tone in falling if tone == before.factor(7) or _can_fall(tone, after)}
    stays = before.root == after.root
    return Link(
        fall=_from_root(before, chordal),
        soft=_from_root(before, _diminished_fifth(before) & chordal),
        rise=_from_root(before, rising),
        new=_from_root(after, () if stays else dissonances(after, key)),
        free=_from_root(before, (*after.tones, after.bass) if stays else ()),
        altered=frozenset(
            (old.fifths - before.root.fifths, new.fifths - after.root.fifths)
            for old, new in product((*before.tones, before.bass), (*after.tones, after.bass))
            if abs(new.fifths - old.fifths) == _CHROMATIC_STEP
        ),
        turn=after.root.fifths - before.root.fifths,
        costs={},
    )


def _from_root(chord: Chord, tones: Iterable[Tone]) -> frozenset[int]:
    return frozenset(tone.fifths - chord.root.fifths for tone in tones)


def _diminished_fifth(chord: Chord) -> set[Tone]:
    """Return the fifth of a diminished triad; a seventh chord's has a seventh beside it that falls too."""
    fifth = chord.factor(5)
    return {fifth} if fifth and chord.factor(7) is None else set()


def _can_fall(tone: Tone, after: Chord) -> bool:
    return any(tone.fifths - below.fifths in _SECONDS for below in (*after.tones, after.bass))


def broken_between(link: Link, before: Position, after: Position) -> list[Broken]:
    """Return the rules that the voices break on their way from one position to the next."""
    old, new = before.keys, after.keys
    moves = [high - low for low, high in zip(old, new, strict=True)]
    found = _parallels(old, new, moves)
    for low in range(_SOPRANO):
        if new[low] > old[low + 1] or new[low + 1] < old[low]:
            found.append(Broken(Rule.OVERLAP, (low + 1, low)))
    outer, bass = moves[_SOPRANO], moves[_BASS]
    if abs(outer) > 2 and outer * bass > 0 and (new[_SOPRANO] - new[_BASS]) % _OCTAVE == _UNISON:
        found.append(Broken(Rule.OUTER_OCTAVE, (_SOPRANO, _BASS)))
    for voice, move in enumerate(moves):
        if abs(move) > 2 and (leap := _bad_leap(link, before, after, voice)):
            found.append(Broken(leap, (voice,)))
        tone = before.tones[voice]
        if move and (tone in link.fall or tone in link.rise) and tone not in link.free:
            found += _unresolved(link, before, after, voice)
    return found


def _parallels(old: tuple[int, ...], new: tuple[int, ...], moves: Sequence[int]) -> list[Broken]:
    found = []
    for low, high in _PAIRS:
        if moves[low] and moves[high]:
            between = (new[high] - new[low]) % _OCTAVE
            if between in (_UNISON, _FIFTH) and between == (old[high] - old[low]) % _OCTAVE:
                rule = Rule.PARALLEL_FIFTHS if between else Rule.PARALLEL_OCTAVES
                found.append(Broken(rule, (high, low)))
    return found


def has_direct_fifth(before: Position, after: Position) -> bool:
    """Return whether the outer voices reach a fifth in the same direction, the soprano by leap.

    The books differ: Open Music Theory (basso continuo) allows it, others name it a fault.
    """
    bass, soprano = (after.keys[voice] - before.keys[voice] for voice in (_BASS, _SOPRANO))
    reached = (after.keys[_SOPRANO] - after.keys[_BASS]) % _OCTAVE
    return abs(soprano) > 2 and soprano * bass > 0 and reached == _FIFTH


def _bad_leap(link: Link, before: Position, after: Position, voice: int) -> Rule | None:
    size, rise = _melodic_step(link, before, after, voice)
    if size in _WIDE_LEAPS or abs(size) > _OCTAVE:
        return Rule.WIDE_LEAP
    if voice == _SOPRANO and abs(size) == _TRITONE:
        return Rule.TRITONE
    return Rule.AUGMENTED if rise >= _LEAST_AUGMENTED and rise != _CHROMATIC_STEP else None


def _melodic_step(link: Link, before: Position, after: Position, voice: int) -> tuple[int, int]:
    """Return the semitones a voice moves by, and the fifths of that interval counted upwards."""
    move = after.keys[voice] - before.keys[voice]
    fifths = after.tones[voice] + link.turn - before.tones[voice]
    return move, fifths if move > 0 else -fifths


def _unresolved(link: Link, before: Position, after: Position, voice: int) -> Iterator[Broken]:
    """Yield whether a tone that must resolve, and moves, does not."""
    move, rise = _melodic_step(link, before, after, voice)
    is_step = abs(move) <= 2 and rise in _SECONDS
    tone = before.tones[voice]
    may_rise = tone in link.soft or _rises_with_bass(before, after, voice)
    if tone in link.fall and not (is_step and (move < 0 or may_rise)):
        yield Broken(Rule.SEVENTH, (voice,))
    if tone in link.rise and not (is_step and (move == 1 or voice == _BASS)):
        # It may fall by a chromatic half step, and in the bass by step, as in a scale that goes down.
        is_chromatic = move == -1 and rise == _CHROMATIC_STEP
        if not is_chromatic and not _falls_to_root(link, before, after, voice):
            yield Broken(Rule.LEADING_TONE, (voice,))


def _rises_with_bass(before: Position, after: Position, voice: int) -> bool:
    """Return whether a dissonance goes up in tenths with the bass, as in I V43 I6 (Hutchinson 27.1)."""
    tenths = [(p.keys[voice] - p.keys[_BASS]) % _OCTAVE in (3, 4) for p in (before, after)]
    return all(tenths) and after.keys[_BASS] - before.keys[_BASS] in (1, 2)


def _falls_to_root(link: Link, before: Position, after: Position, voice: int) -> bool:
    """Return whether a leading tone falls to its own dominant inside, a license ("frustrated")."""
    move = after.keys[voice] - before.keys[voice]
    return move in (-3, -4) and after.tones[voice] == -link.turn and _BASS < voice < _SOPRANO


def licenses_between(link: Link, before: Position, after: Position) -> int:
    """Return how often the voices take a license on their way.

    A leading tone falls inside, a diminished fifth rises, an upper voice leaps to a dissonance, which is
    better prepared, the soprano leaps a fourth or more, or a tone and its alteration stand in two voices (a
    false relation).
    """
    taken = _false_relations(link, before, after)
    taken += abs(after.keys[_SOPRANO] - before.keys[_SOPRANO]) >= _FOURTH
    for voice in (1, 2, 3):
        move, tone = after.keys[voice] - before.keys[voice], before.tones[voice]
        taken += tone in link.rise and _falls_to_root(link, before, after, voice)
        taken += tone in link.soft and move > 0
        taken += after.tones[voice] in link.new and abs(move) > 2
    return taken


def _false_relations(link: Link, before: Position, after: Position) -> int:
    """Return how many tones are altered, as F to F#, with no voice that has both."""
    moves = set(zip(before.tones, after.tones, strict=True)) if link.altered else set()
    return sum(
        old in before.tones and new in after.tones and (old, new) not in moves for old, new in link.altered
    )
