"""A jazz trio: a comping piano over a bass in two or walking, and its voicings without roots.

Conventions
- Where a bass plays the roots, the right hand may leave them out: *guide tones* are the third and the
  seventh, or the sixth in a sixth chord; a *rootless* voicing is 3-5-7-9 (form A) or 7-9-3-5 (form B), with
  the thirteenth for a dominant's fifth where the key has it. A triad has third and fifth, and 3-5-9 or 9-3-5.
- The ninth is the key's, and natural; a dominant may have a flat one. Where the key has no such ninth
  it is left out; no voicing has a half step on top.
- Of the forms in every octave that fits, the one nearest to the voicing before is taken, so that A and B
  alternate through a circle of fifths.

Sources: guide tones, R. Hutchinson, Music Theory for the 21st-Century Classroom, 31.7.1; the two forms,
convention of jazz piano teaching (A and B, 3-5-7-9 and 7-9-3-5); "two-feel", see `walking`.
"""

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from tracks.hands.fingering import left_fingers, right_fingers
from tracks.model import Hand, Part, Role, Texture, VoicedChord
from tracks.patterns.band import LIGHT_FILLS, Groove, Rows, kit
from tracks.patterns.drum_kit import BRUSH_KIT
from tracks.patterns.figures import figure
from tracks.patterns.laying import lay
from tracks.patterns.phrases import Phrases, planned
from tracks.patterns.registers import LEFT_HAND, octaves
from tracks.patterns.walking import ACOUSTIC_BASS, walk
from tracks.style import Brief
from tracks.theory.chord import Chord, degree_interval
from tracks.theory.key import Key
from tracks.theory.pitch import Pitch, Tone

if TYPE_CHECKING:
    from random import Random

COMP, RIDE = 76, 78
UNDER_SPARSE_COMPING = 10
"""How much softer a bass walks under chords that are few and short."""
_LOWEST, _HIGHEST, _MIDDLE = 53, 76, 62
"""Where a comping right hand's lowest note and highest note may lie, and about where it begins."""
_HIGHEST_DOUBLED = 83
"""The same where the left hand comps under it."""
_SHELL_FROM, _SHELL_TO, _FIRST_SHELL = 50, 63, (52, 58)
"""Where a left hand's shell lies, D3 to Eb4, and about where it begins: lower, two notes are a rumble
(convention)."""


def sticks(rows: Rows) -> Groove:
    """Return the groove of a jazz drummer with sticks: a fill of a beat every eight bars."""
    return Groove(rows, LIGHT_FILLS, fill_beats=1, phrase=8, loudness=RIDE)


def brushes(rows: Rows) -> Groove:
    """Return the same with brushes, and without a crash."""
    return replace(sticks(rows), crash=None, program=BRUSH_KIT)


def trio(
    brief: Brief,
    comping: Phrases,
    drums: Groove,
    rng: "Random",
    walks: bool = True,
    skips: bool = False,
    softer: int = 0,
) -> tuple[Part, ...]:
    """Return the comping right hand, the left hand, a bass in two or walking, and the drums.

    Over a bass the left hand plays the bass's line; doubled, it comps with the right. `softer` is by how many
    steps of velocity the bass is.
    """
    plan = planned(comping, brief, rng)
    left, bass = walking(brief, rng, skips) if walks else in_two(brief)
    if brief.texture is Texture.DOUBLED:
        left = lay(brief, Role.LEFT, plan, loudness=COMP - 2)
    right = lay(brief, Role.RIGHT, plan, loudness=COMP)
    quiet = tuple(replace(note, velocity=note.velocity - softer) for note in bass.notes)
    return right, left, replace(bass, notes=quiet), kit(brief, drums, rng)


def in_two(brief: Brief) -> tuple[Part, Part]:
    """Return root and fifth for the left hand and for the bass: in three the root alone with a pickup."""
    turning = figure("B - P" if brief.meter.beats == 3 else "B - F -", anew=True)
    return (
        lay(brief, Role.LEFT, turning),
        lay(brief, Role.BASS, turning, loudness=72, program=ACOUSTIC_BASS),
    )


def walking(brief: Brief, rng: "Random", skips: bool = False) -> tuple[Part, Part]:
    """Return one walking line, for the left hand and an octave lower for the bass."""
    rights = [voiced.right.pitches[0].midi for voiced in brief.chords if voiced.right]
    low, high = LEFT_HAND
    bass = walk(brief, rng, register=(low - 12, min(high, *rights) - 13), skips=skips)
    higher = (replace(note, pitch=note.pitch.octaves_up(1)) for note in bass.notes)
    return Part(Role.LEFT, tuple(higher)), bass


def with_guide_tones(brief: Brief) -> Brief:
    """Return a brief whose right hand has the guide tones of every chord, and its left, doubled, a shell."""
    return _revoiced(brief, lambda chord, _key: (guide_tones(chord), guide_tones(chord)[::-1]))


def without_roots(brief: Brief) -> Brief:
    """Return a brief whose right hand has a rootless form of every chord, and its left, doubled, a shell."""
    return _revoiced(brief, forms)


def guide_tones(chord: Chord) -> tuple[Tone, Tone]:
    """Return the third, or the fourth in its place, and the seventh, the sixth or, of a triad, the fifth."""
    fifth = chord.factor(5) or chord.root
    return chord.factor(3) or chord.factor(4) or chord.root, chord.factor(7) or chord.factor(6) or fifth


def forms(chord: Chord, key: Key) -> tuple[tuple[Tone, ...], ...]:
    """Return the rootless forms A and B of a chord in a key, low to high."""
    third, upper = guide_tones(chord)
    fifth, found = _fifth(chord, key), _ninth(chord, key)
    ninth = (found,) if found else ()
    seventh = () if upper == chord.factor(5) else (upper,)
    return (third, fifth, *seventh, *ninth), (*seventh, *ninth, third, fifth)


def _is_dominant(chord: Chord) -> bool:
    return degree_interval(3) in chord.intervals and degree_interval(7, -1) in chord.intervals


def _fifth(chord: Chord, key: Key) -> Tone:
    thirteenth = chord.root.up(degree_interval(6))
    plain = chord.factor(5) in (None, chord.root.up(degree_interval(5)))
    if _is_dominant(chord) and plain and thirteenth in key.scale:
        return thirteenth
    return chord.factor(5) or chord.root.up(degree_interval(5))


def _ninth(chord: Chord, key: Key) -> Tone | None:
    natural, flat = chord.root.up(degree_interval(2)), chord.root.up(degree_interval(2, -1))
    written = chord.factor(9)
    if written:
        return written
    half_diminished = degree_interval(5, -1) in chord.intervals
    if natural in key.scale and not half_diminished:
        return natural
    return flat if _is_dominant(chord) and flat in key.scale else None


_Keys = tuple[int, ...]
_Ways = Callable[[Chord, Key], tuple[tuple[Tone, ...], ...]]
"""The ways to voice a chord in a key: tones, low to high."""


def _revoiced(brief: Brief, ways: _Ways) -> Brief:
    """Return the brief with every right hand, doubled every left too, in the way nearest to the last."""
    doubled = brief.texture is Texture.DOUBLED
    before: _Keys | None = None
    shell_before: _Keys = _FIRST_SHELL
    known: dict[tuple[int, int, _Keys | None, _Keys], tuple[Hand, Hand]] = {}
    chords: list[VoicedChord] = []
    for voiced in brief.chords:
        chord = voiced.at.chord
        if chord is None or voiced.right is None or voiced.left is None:
            chords.append(voiced)
            continue
        key = (id(chord), id(voiced.at.key), before, shell_before)
        if key not in known:
            left = _shell(chord, shell_before) if doubled else voiced.left
            low, high = (left.pitches[-1].midi + 1, _HIGHEST_DOUBLED) if doubled else (_LOWEST, _HIGHEST)
            found = _nearest(ways(chord, voiced.at.key), before, low, high)
            known[key] = (Hand(found, right_fingers(found)), left) if found else (voiced.right, voiced.left)
        right, left = known[key]
        before = tuple(pitch.midi for pitch in right.pitches)
        if doubled:
            shell_before = tuple(pitch.midi for pitch in left.pitches)
        chords.append(replace(voiced, right=right, left=left if doubled else voiced.left))
    return replace(brief, chords=tuple(chords))


def _nearest(
    ways: Iterable[tuple[Tone, ...]], before: _Keys | None, low: int, high: int
) -> tuple[Pitch, ...]:
    """Return the pitches of the way and the octave nearest to a voicing; nothing where none fits."""
    fitting = [
        pitches
        for tones in ways
        if tones
        for lowest in octaves(tones[0], low, high)
        if (pitches := _upwards(lowest, tones))[-1].midi <= high and not _rubs_on_top(pitches)
    ]
    return min(fitting, key=lambda pitches: _moves(pitches, before), default=())


def _upwards(lowest: Pitch, tones: tuple[Tone, ...]) -> tuple[Pitch, ...]:
    pitches = [lowest]
    for tone in tones[1:]:
        pitches.append(Pitch.at_or_above(tone, pitches[-1].midi + 1))
    return tuple(pitches)


def _rubs_on_top(pitches: tuple[Pitch, ...]) -> bool:
    return len(pitches) > 1 and pitches[-1].midi - pitches[-2].midi == 1


def _moves(pitches: tuple[Pitch, ...], before: tuple[int, ...] | None) -> float:
    """Return how many half steps a voicing moves, from the middle of the hand where there is none before."""
    here = [pitch.midi for pitch in pitches]
    if before and len(before) == len(here):
        return sum(abs(now - then) for now, then in zip(here, before, strict=True))
    middle = sum(before) / len(before) if before else _MIDDLE
    return abs(sum(here) / len(here) - middle) * len(here)


def _shell(chord: Chord, before: _Keys) -> Hand:
    """Return the guide tones that a left hand comps with, in the order nearest to the shell before."""
    tones = guide_tones(chord)
    ways = [_upwards(Pitch.at_or_above(low, _SHELL_FROM), (low, high)) for low, high in (tones, tones[::-1])]
    fitting = [pitches for pitches in ways if pitches[-1].midi <= _SHELL_TO] or ways
    nearest = min(fitting, key=lambda pitches: _moves(pitches, before))
    return Hand(nearest, left_fingers(nearest))
