"""Where low notes lie: the bass player's, and those that a left hand reaches down for.

Conventions
- A chord's bass is the written one: the slash bass or the inversion's where there is one, else the root.
- A bass player's chord tones stand on a bass from A1 to G#2, so that with all of them above it the line
  stays within E1 to G3, a double bass's everyday range (convention).
- A left hand reaches for a bass from C2 to B2 where the right hand lies at middle C, lower where that lies
  lower, so that the octave above the bass is still free, and a fifth or more below its own chord, so that the
  bass sounds as one and the stride is one (convention; "Stride (music)" has a bass note or an octave there).
- A boogie's sixth is major and its seventh flat, in minor too: 1-3-5-6-b7; over a major seventh 1-3-5-6-8
  (convention).

Source: convention.
"""

from dataclasses import replace
from functools import lru_cache

from tracks.model import Hand, Role, VoicedChord
from tracks.style import Brief
from tracks.theory.chord import Chord, degree_interval
from tracks.theory.pitch import Pitch, Tone

BASS_PLAYER = (28, 55)
"""A bass player's MIDI numbers, E1 to G3, both ends included."""

LEFT_HAND = (40, 64)
"""Where a left hand's bass line alternates, E2 to E4."""

LOWEST_REACHED = 24
"""The lowest that a left hand reaches for, C1."""

_BASS_FROM = 33
_REACH_FROM, _REACH_TO = 33, 40
_PLAYER_REACHES_FROM = 31
_THIRD, _FIFTH, _STRIDE, _OCTAVE = range(3, 6), range(5, 11), 7, 12
_SIXTH, _FLAT_SEVENTH, _MAJOR_SEVENTH = degree_interval(6), degree_interval(7, -1), 11
_LITTLE, _MIDDLE, _INDEX, _THUMB = 5, 3, 2, 1

Fingered = tuple[Pitch, int | None]
"""A pitch and its finger, where a hand plays it."""


def bass_hand(voiced: VoicedChord) -> Hand | None:
    """Return a chord's tones as a bass player has them, from its bass upwards; None in silence."""
    chord = voiced.at.chord
    if chord is None:
        return None
    bass = Pitch.at_or_above(chord.bass, _BASS_FROM)
    above = (Pitch.at_or_above(t, bass.midi + 1) for t in chord.tones if t.chroma != chord.bass.chroma)
    return Hand((bass, *sorted(above, key=lambda pitch: pitch.midi)), ())


def alternate_bass(voiced: VoicedChord, bass: Pitch, low: int, high: int) -> Pitch:
    """Return the bass that alternates with a chord's bass: the nearest fifth, or root, below the right hand.

    It lies between the MIDI numbers `low` and `high`; of two as near the lower is taken, and where none
    fits the bass itself.
    """
    chord = voiced.at.chord
    if chord is None:
        return bass
    tone = chord.factor(5) if bass.tone == chord.root else chord.root
    if tone is None:
        return bass
    if voiced.right:
        high = min(high, voiced.right.pitches[0].midi - 1)
    return min(octaves(tone, low, high), key=lambda option: abs(option.midi - bass.midi), default=bass)


def with_low_bass(brief: Brief) -> Brief:
    """Return a brief whose left hand's bass is an octave lower where it would lie above G3."""
    lowered: dict[int, VoicedChord] = {}
    for voiced in brief.chords:
        left = voiced.left
        if left and left.pitches[0].midi > BASS_PLAYER[1]:
            # The fingers were those of the line as it was.
            low = Hand(tuple(pitch.octaves_up(-1) for pitch in left.pitches), (), left.omits)
            lowered[id(voiced)] = replace(voiced, left=low)
    return replace(brief, chords=tuple(lowered.get(id(voiced), voiced) for voiced in brief.chords))


@lru_cache(maxsize=1024)
def octaves(tone: Tone, low: int, high: int) -> tuple[Pitch, ...]:
    """Return every pitch of a tone between two MIDI numbers, low to high."""
    found = []
    pitch = Pitch.at_or_above(tone, low)
    while pitch.midi <= high:
        found.append(pitch)
        pitch = pitch.octaves_up(1)
    return tuple(found)


def leading_bass(coming: VoicedChord, target: Pitch, bass: Pitch, low: int, high: int) -> Pitch:
    """Return the step that leads from a bass to the coming chord's: next to it, from the side of the bass.

    It is of the coming chord's scale and lies between two MIDI numbers; where it would be the bass itself, or
    lie outside, it comes from the other side.
    """
    key, chord = coming.at.key, coming.at.chord
    by_letter = {tone.step: tone for tone in (*key.scale, *(chord.tones if chord else ()))}
    rises = bass.midi < target.midi
    for way in (-1, 1) if rises else (1, -1):
        tone = by_letter[(target.tone.step + way) % 7]
        near = Pitch.at_or_above(tone, target.midi - 2 * _STRIDE)
        steps = [near, near.octaves_up(1)]
        step = min(steps, key=lambda option: abs(option.midi - target.midi))
        if low <= step.midi <= high and step.midi not in (bass.midi, target.midi):
            return step
    return bass


def reached(voiced: VoicedChord, role: Role = Role.LEFT) -> dict[str, tuple[Fingered, ...]]:
    """Return what a left hand reaches down for, by its cell in a figure; nothing in silence.

    `L` the low bass, `M` the bass that alternates with it, `V` the fifth above it (or the nearest to a
    fifth that the chord has over this bass), `H` its octave, `O` bass and octave together; `D`, `S` and `N`
    the third, the sixth and the flat seventh above it (the octave where the chord's own is major). A bass
    player has the same in its own register.
    """
    chord = voiced.at.chord
    if chord is None:
        return {}
    player = role is Role.BASS
    low = Pitch.at_or_above(chord.bass, _PLAYER_REACHES_FROM) if player else _low_bass(voiced, chord)
    octave, fifth = low.octaves_up(1), _open_fifth(chord, low)
    on_root = chord.bass == chord.root
    third = next((p for p in _above(chord, low) if p.midi - low.midi in _THIRD), fifth)
    sixth, seventh = (low.up(_SIXTH), low.up(_FLAT_SEVENTH)) if on_root else (octave, fifth)
    if any((tone.chroma - chord.root.chroma) % _OCTAVE == _MAJOR_SEVENTH for tone in chord.tones):
        seventh = octave  # a flat seventh would rub against the chord's own
    return {
        "L": ((low, _LITTLE),),
        "M": ((_mate(voiced, low, role), _LITTLE),),
        "D": ((third, _MIDDLE),),
        "V": ((fifth, _INDEX),),
        "S": ((sixth, _THUMB),),
        "N": ((seventh, _THUMB),),
        "H": ((octave, _THUMB),),
        "O": ((low, _LITTLE), (octave, _THUMB)),
    }


def _low_bass(voiced: VoicedChord, chord: Chord) -> Pitch:
    """Return the bass that a left hand reaches down for."""
    lowest = min(_REACH_TO, voiced.right.pitches[0].midi - 2 * _OCTAVE) if voiced.right else _REACH_TO
    low = Pitch.at_or_above(chord.bass, lowest)
    strides = voiced.left is not None and low.midi > voiced.left.pitches[0].midi - _STRIDE
    return low.octaves_up(-1) if strides and low.midi - _OCTAVE >= LOWEST_REACHED else low


def _mate(voiced: VoicedChord, low: Pitch, role: Role) -> Pitch:
    """Return the bass that alternates with a low one, a fifth or more below the hand's chord where it can."""
    if role is Role.BASS:
        return alternate_bass(voiced, low, *BASS_PLAYER)
    high = min(LEFT_HAND[1], voiced.left.pitches[0].midi - _STRIDE) if voiced.left else LEFT_HAND[1]
    return alternate_bass(voiced, low, min(low.midi - _STRIDE, _REACH_FROM), high)


def _above(chord: Chord, low: Pitch) -> list[Pitch]:
    return [Pitch.at_or_above(tone, low.midi + 1) for tone in chord.tones]


def _open_fifth(chord: Chord, low: Pitch) -> Pitch:
    """Return the fifth above a low root, above another bass the root or what lies nearest a fifth."""
    wanted = chord.factor(5) if chord.bass == chord.root else chord.root
    fitting = [pitch for pitch in _above(chord, low) if pitch.midi - low.midi in _FIFTH]
    return min(
        fitting,
        key=lambda pitch: (pitch.tone != wanted, abs(pitch.midi - low.midi - 7)),
        default=low.octaves_up(1),
    )
