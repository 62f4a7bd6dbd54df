"""The context under a tune: what each chord offers it within the tune's compass.

Conventions
- The compass goes from a step below the first key's tonic, the tonic from C4 to B4, to a step past the
  octave above: a singer's tenth or so, the same degrees in every key. Where the left hand climbs into it, the
  tune gives way.
- Pitches are in order, low to high.
"""

from dataclasses import dataclass
from functools import lru_cache

from tracks.model import VoicedChord
from tracks.theory.chord import Chord
from tracks.theory.chord_scales import avoid_notes, chord_scales, guide_tones, scale
from tracks.theory.key import Key
from tracks.theory.pitch import Interval, Pitch, Tone

LOWEST_TONIC = 60
BELOW_TONIC, ABOVE_TONIC = 2, 14
"""The compass, in semitones from the tonic."""

_LEAST_COMPASS = 11
_NAMES = {0: "root", 1: "second", 2: "third", 3: "fourth", 4: "fifth", 5: "sixth", 6: "seventh", 8: "ninth"}
_NAMES |= {10: "eleventh", 12: "thirteenth"}
_DEGREES = ("tonic", "second", "third", "fourth", "fifth", "sixth", "seventh")


@dataclass(frozen=True, slots=True, eq=False)
class HarmonicContext:
    """What one chord offers: its own tones, its scale, its guide tones, the colors of the blues.

    The same chord in the same place is the same object, so that what follows from it can be remembered.

    `factors` names the chord's tones by pitch class; `colors` the tones of the key's pentatonic and blues
    scale that are not the chord's, and `avoided` those of them that grate on a strong beat. `chromas` are the
    pitch classes of the chord and its scale.
    """

    chord: Chord
    key: Key
    low: int
    high: int
    tones: tuple[Pitch, ...]
    scale: tuple[Pitch, ...]
    guides: frozenset[int]
    seventh: int | None
    factors: dict[int, str]
    blues: tuple[Pitch, ...]
    colors: dict[int, str]
    avoided: frozenset[int]
    chromas: frozenset[int]

    def tones_for(self, *, last: bool) -> tuple[Pitch, ...]:
        """Return the chord's tones, for the tune's last note its roots only."""
        roots = tuple(pitch for pitch in self.tones if pitch.tone == self.chord.root)
        return roots if last and roots else self.tones


def context(chord: Chord, key: Key, home: Key, free: int) -> HarmonicContext:
    """Return what a chord in a key offers a tune whose compass is that of its home key.

    The tune stays from the MIDI number `free` up, over the left hand.
    """
    tonic = Pitch.at_or_above(home.tonic, LOWEST_TONIC).midi
    low = max(tonic - BELOW_TONIC, free)
    return _context(chord, key, low, max(tonic + ABOVE_TONIC, low + _LEAST_COMPASS))


def free_from(voiced: VoicedChord) -> int:
    """Return the lowest MIDI number above a chord's left hand."""
    return voiced.left.pitches[-1].midi + 1 if voiced.left else 0


@lru_cache(maxsize=1024)
def _context(chord: Chord, key: Key, low: int, high: int) -> HarmonicContext:
    own = chord_scales(chord, key)[0]
    tones = {tone.chroma for tone in chord.tones}
    seventh = chord.factor(7)
    styled = [*_blues_scale(key), *(tone for tone in _pentatonic(key) if tone not in _blues_scale(key))]
    strange = [tone for tone in styled if tone.chroma not in tones]
    above_a_tone = {(tone + 1) % 12 for tone in tones}
    return HarmonicContext(
        chord=chord,
        key=key,
        low=low,
        high=high,
        tones=_within(chord.tones, low, high),
        scale=_within(own.tones, low, high),
        guides=frozenset(tone.chroma for tone in guide_tones(chord)),
        seventh=seventh.chroma if seventh else None,
        factors={
            chord.root.up(interval).chroma: _NAMES.get(interval.steps, "color")
            for interval in chord.intervals
        },
        blues=_within((*chord.tones, *strange), low, high),
        colors={tone.chroma: _color(tone, key) for tone in strange},
        avoided=frozenset({tone.chroma for tone in avoid_notes(chord, own)} | above_a_tone),
        chromas=frozenset(tones | {tone.chroma for tone in own.tones}),
    )


def _blues_scale(key: Key) -> tuple[Tone, ...]:
    return scale("blues", key.tonic).tones


def _pentatonic(key: Key) -> tuple[Tone, ...]:
    return scale("minor pentatonic" if key.is_minor else "major pentatonic", key.tonic).tones


def _color(tone: Tone, key: Key) -> str:
    """Return what a tone of the blues or pentatonic scale is in a key: `blues third`, `pentatonic sixth`."""
    degree = _DEGREES[(tone.step - key.tonic.step) % 7]
    return f"{'pentatonic' if tone in _pentatonic(key) else 'blues'} {degree}"


def _within(tones: tuple[Tone, ...], low: int, high: int) -> tuple[Pitch, ...]:
    pitches: dict[int, Pitch] = {}
    for tone in tones:
        pitch = Pitch.at_or_above(tone, low)
        while pitch.midi <= high:
            pitches.setdefault(pitch.midi, pitch)
            pitch = pitch.octaves_up(1)
    return tuple(pitches[midi] for midi in sorted(pitches))


_HALF_STEP_DOWN = Interval.parse("m2")


def half_step_below(pitch: Pitch) -> Pitch:
    """Return the pitch a half step lower on the next letter: what leads up into a target."""
    place = pitch.staff_step - 1
    return Pitch(Tone(pitch.tone.fifths - _HALF_STEP_DOWN.fifths), place // 7)
