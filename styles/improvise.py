"""Improvise: a seeded melody in the right hand over held chords in the left.

How the tune is made: a chord tone on every beat, each near the last; at level 2 the space between two
beats is filled with a step where a step fits. It ends on the root.

Source: chord tones on the beat, passing and neighbour tones between them, common practice.
"""

from collections.abc import Iterator
from dataclasses import replace
from random import Random

from tracks.model import ChordAt, Note, Part, Role, Texture, VoicedChord
from tracks.patterns import EVERYDAY_METERS, beats, held, lay, velocity
from tracks.style import Brief, Style, StyleInfo
from tracks.theory.pitch import Pitch, Tone

TUNE, CHORDS = 88, 64

# The tune lies between its tonic, from C4 to B4, and a step past the octave above. So it has one shape in
# every key, and stays above a left hand that begins near C3; where that climbs higher the tune gives way.
LOWEST_TONIC = 60
REACH = 14
FILLED = 0.75


def play(brief: Brief, rng: Random) -> tuple[Part, ...]:
    """Return the tune and the left hand under it."""
    outline = on_the_beats(brief, rng)
    tune = joined(brief, outline, rng) if brief.level > 1 else [note for note, _ in outline]
    return Part(Role.MELODY, tuple(tune)), lay(brief, Role.LEFT, held(brief.meter), loudness=CHORDS)


def on_the_beats(brief: Brief, rng: Random) -> list[tuple[Note, VoicedChord]]:
    """Return a chord tone for every felt beat, near the one before, each with its chord."""
    outline = []
    before: Pitch | None = None
    for voiced in brief.chords:
        options = chord_tones(voiced)
        middle = _lowest(voiced.at) + REACH // 2
        for start, end in beats(brief, voiced.at) if options else ():
            before = rng.choices(options, [_liking(pitch, before, middle) for pitch in options])[0]
            strength = velocity(brief, start, TUNE)
            outline.append((Note(start, end - start, before, strength, why="chord tone"), voiced))
    return outline


def chord_tones(voiced: VoicedChord) -> list[Pitch]:
    """Return the tones of a chord within the tune's reach and above the left hand; roots only at the end."""
    chord = voiced.at.chord
    if chord is None:
        return []
    low = max(_lowest(voiced.at), _lowest_free(voiced))
    high = max(_lowest(voiced.at) + REACH, low + 11)
    tones = (chord.root,) if voiced.last else chord.tones
    lowest = (Pitch.at_or_above(tone, low) for tone in tones)
    reach = (pitch.octaves_up(octave) for pitch in lowest for octave in (0, 1))
    return sorted((pitch for pitch in reach if pitch.midi <= high), key=lambda pitch: pitch.midi)


def _lowest(at: ChordAt) -> int:
    return Pitch.at_or_above(at.key.tonic, LOWEST_TONIC).midi


def _lowest_free(voiced: VoicedChord) -> int:
    return voiced.left.pitches[-1].midi + 1 if voiced.left else 0


def _liking(pitch: Pitch, before: Pitch | None, middle: int) -> float:
    """Return how much the tune likes a pitch next: a second or a third best, a leap or a return little."""
    if before is None:
        return 1 / (1 + abs(pitch.midi - middle))
    leap = abs(pitch.midi - before.midi)
    return 0.3 if leap == 0 else 1.0 if leap <= 4 else 0.5 if leap <= 7 else 0.1


def joined(brief: Brief, outline: list[tuple[Note, VoicedChord]], rng: Random) -> Iterator[Note]:
    """Yield the outline with a step in most beats' last division, where one leads to the next beat."""
    division = brief.meter.division
    for (note, voiced), following in zip(outline, [*(note for note, _ in outline[1:]), None], strict=True):
        wanted, way = rng.random() < FILLED, rng.choice((1, -1))
        step = None
        if wanted and note.length > division and following and following.start == note.end:
            step = step_between(note.pitch, following.pitch, voiced.at, way)
        if step is None or step[0].midi < _lowest_free(voiced):
            yield note
            continue
        pitch, why = step
        start = note.end - division
        yield replace(note, length=note.length - division)
        yield Note(start, division, pitch, velocity(brief, start, TUNE), why=why)


def step_between(pitch: Pitch, following: Pitch, at: ChordAt, way: int) -> tuple[Pitch, str] | None:
    """Return the step that joins two chord tones a third or a unison apart, and what it is, or None.

    `way` is 1 for an upper neighbour, -1 for a lower. A major third is passed in two whole tones, which
    raises the sixth of a minor key under its raised seventh.
    """
    steps = following.staff_step - pitch.staff_step
    if abs(steps) == 2:
        between = _scale_step(pitch, steps // 2, at)
        semitones = following.midi - pitch.midi
        if abs(semitones) == 4:
            astray = pitch.midi + semitones // 2 - between.midi
            between = Pitch(Tone(between.tone.fifths + 7 * astray), between.octave)
    elif pitch == following:
        between = _scale_step(pitch, way, at)
    else:
        return None
    gaps = [abs(between.midi - pitch.midi), abs(following.midi - between.midi)]
    fits = min(gaps) >= 1 and max(gaps) <= 2
    return (between, "passing" if steps else "neighbour") if fits else None


def _scale_step(pitch: Pitch, way: int, at: ChordAt) -> Pitch:
    place = pitch.staff_step + way
    return Pitch(scale_over(at)[place % 7], place // 7)


def scale_over(at: ChordAt) -> dict[int, Tone]:
    """Return the key's scale as the chord bends it: a letter's place in the octave (C = 0) to its tone.

    Each letter is the chord's own where it has one, so that a dominant in minor brings the raised seventh.
    """
    tones = at.chord.tones if at.chord else ()
    return {tone.step: tone for tone in (*at.key.scale, *tones)}


STYLE = Style(
    StyleInfo(
        name="improvise",
        summary="a new melody for every seed, over held chords in the left hand",
        meters=EVERYDAY_METERS,
        roles=(Role.MELODY, Role.LEFT),
        textures=(Texture.HANDS_TOGETHER, Texture.OVER_BASS),
        levels=("chord tones on the beats", "chord tones joined by steps"),
    ),
    play,
)
