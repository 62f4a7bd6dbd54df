"""Left hands of two notes under a right hand: shells, and the lower half of a spread voicing.

Conventions
- A shell is the bass with the chord's third or its seventh (the sixth of a sixth chord) above it; where that
  cannot be, with the root or the fifth; else the bass is alone. A second is no shell, and below C3 a third
  sounds thick: neither is played.
- A spread voicing drops the second voice from the top by an octave; the left hand takes it above the bass.
- Both notes lie within the hand's span, the bass in E2 to E4, both below the right hand.
- What counts, in this order: in a spread voicing thirds and seconds below C3; a second in the written bass
  that is not played as one; the semitones that both notes move; how far the bass lies from C3. Chords that
  share `written` are played alike.

Sources: shells of root and third or seventh, and thick low thirds: convention; the spread voicing with
third and seventh low above the root, R. Hutchinson, Music Theory for the 21st-Century Classroom, 31.7.2.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from tracks.hands.bass_line import HIGHEST, LOWEST, is_broken
from tracks.hands.motion import size
from tracks.hands.search import cheapest, numbered
from tracks.model import ChordAt
from tracks.theory.chord import Chord
from tracks.theory.pitch import Pitch, Tone

_C3 = 48
_OCTAVE = 12
_WIDEST_SECOND, _WIDEST_THIRD = 2, 4
_THICK, _BROKEN, _MOVEMENT = 96, 64, 32


@dataclass(frozen=True, slots=True)
class _Pair:
    """One or two notes of the left hand, low to high, as MIDI numbers, and their tones."""

    keys: tuple[int, ...]
    tones: tuple[Tone, ...]


def shells(
    chords: Sequence[ChordAt], right_lowest: Sequence[Pitch | None], hand: int
) -> tuple[tuple[Pitch, ...] | None, ...]:
    """Return the shell below each right hand, None in silence; the bass alone where nothing else has room."""
    options = [
        _shell_pairs(at.chord, lowest.midi, hand) if at.chord and lowest else None
        for at, lowest in zip(chords, right_lowest, strict=True)
    ]
    return _smoothest(chords, options)


def spread_pairs(
    chords: Sequence[ChordAt], dropped: Sequence[Pitch | None], hand: int
) -> tuple[tuple[Pitch, ...] | None, ...]:
    """Return the bass and the dropped voice of each chord, None in silence."""
    options = [
        _pairs_below(at.chord, voice.midi, voice.tone, hand) if at.chord and voice else None
        for at, voice in zip(chords, dropped, strict=True)
    ]
    return _smoothest(chords, options)


def has_room_below(chord: Chord, dropped: int, hand: int) -> bool:
    """Return whether the left hand can hold the chord's bass and a voice dropped to a MIDI number."""
    return bool(_bass_keys(chord.bass, dropped - hand, dropped - 1))


def shell_tones(chord: Chord) -> tuple[Tone, ...]:
    """Return the tones that make a shell with the chord's bass."""
    guides = (chord.third_or_suspension, chord.seventh_or_sixth)
    found = [tone for tone in guides if tone and tone != chord.bass]
    return tuple(found) or _root_and_fifth(chord)[:1]


def _root_and_fifth(chord: Chord) -> tuple[Tone, ...]:
    return tuple(tone for tone in (chord.factor(1), chord.factor(5)) if tone and tone != chord.bass)


def _bass_keys(bass: Tone, low: int, high: int) -> range:
    first = Pitch.at_or_above(bass, max(low, LOWEST.midi)).midi
    return range(first, min(high, HIGHEST.midi) + 1, _OCTAVE)


def _shell_pairs(chord: Chord, right_lowest: int, hand: int) -> list[_Pair]:
    basses = _bass_keys(chord.bass, 0, right_lowest - 1)
    for above in (shell_tones(chord), _root_and_fifth(chord)):
        found = [_pair(chord.bass, bass, tone) for bass in basses for tone in above]
        found = [pair for pair in found if _is_shell(pair.keys, right_lowest, hand)]
        if found:
            return found
    return [_Pair((bass,), (chord.bass,)) for bass in basses]


def _pair(bass: Tone, key: int, tone: Tone) -> _Pair:
    return _Pair((key, Pitch.at_or_above(tone, key + 1).midi), (bass, tone))


def _is_shell(keys: tuple[int, ...], right_lowest: int, hand: int) -> bool:
    low, high = keys
    return _WIDEST_SECOND < high - low <= hand and high < right_lowest and not _is_thick(keys)


def _is_thick(keys: tuple[int, ...]) -> bool:
    """Return whether a third or a second lies below C3."""
    return len(keys) > 1 and keys[0] < _C3 and keys[1] - keys[0] <= _WIDEST_THIRD


def _pairs_below(chord: Chord, dropped: int, tone: Tone, hand: int) -> list[_Pair]:
    keys = _bass_keys(chord.bass, dropped - hand, dropped - 1)
    return [_Pair((bass, dropped), (chord.bass, tone)) for bass in keys]


def _smoothest(
    chords: Sequence[ChordAt], options: Sequence[list[_Pair] | None]
) -> tuple[tuple[Pitch, ...] | None, ...]:
    sounding = [(at.written, pairs) for at, pairs in zip(chords, options, strict=True) if pairs is not None]
    order, firsts = numbered([written for written, _ in sounding])
    choices = [sounding[place][1] for place in firsts]
    measure = cache(size)

    def step(earlier: int, option: int, later: int) -> list[int]:
        before = choices[earlier][option]
        return [
            (is_broken(_pitches(before)[0], _pitches(pair)[0]) << _BROKEN)
            + (measure(before.keys, pair.keys)[0] << _MOVEMENT)
            for pair in choices[later]
        ]

    own = [[_own_cost(pair) for pair in pairs] for pairs in choices]
    picks = cheapest(order, own, step)[1] if choices else ()
    made = [_pitches(pairs[pick]) for pairs, pick in zip(choices, picks, strict=True)]
    turn = iter(order)
    return tuple(None if pairs is None else made[next(turn)] for pairs in options)


def _own_cost(pair: _Pair) -> int:
    return (_is_thick(pair.keys) << _THICK) + abs(pair.keys[0] - _C3)


def _pitches(pair: _Pair) -> tuple[Pitch, ...]:
    return tuple(Pitch.at_or_above(tone, key) for key, tone in zip(pair.keys, pair.tones, strict=True))
