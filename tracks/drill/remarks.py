"""What is to be said of a drill worked out in a key, beside its notes."""

from dataclasses import replace

from tracks.drill.drill import Drill, Ending, Sevenths
from tracks.drill.in_key import DrillInKey, in_each_key
from tracks.model import VoicedChord
from tracks.progression.changes import realize
from tracks.progression.music import parse
from tracks.theory.errors import listed

OWN_SHAPE = "a shape of its own: the range forbids the one that the other keys share"

_MOST_LOST = 6
"""How many tones left out are told one by one: a remark is to be read."""


def remarks_on(drill: Drill, in_key: DrillInKey) -> tuple[str, ...]:
    """Return what is to be said: its own shape, and what the smoothest sevenths would save."""
    own = (OWN_SHAPE,) if in_key.own_shape else ()
    return (*own, *_smoother(drill, in_key))


def remarks_on_ending(drill: Drill) -> tuple[str, ...]:
    """Return that an ending which was asked for falls on another chord than a tonic, where it does."""
    if drill.ending is Ending.PLAIN:
        return ()
    key = drill.keys[0]
    chords = realize(parse(drill.progression, drill.meter), key, drill.written_in).chords
    last = next((at for at in reversed(chords) if at.chord), None)
    if last is None or last.chord is None or last.chord.root == last.key.tonic:
        return ()
    told = (
        f"in {key.name} it ends on {last.chord.symbol}, where the progression ends; "
        f"to end at home, add a last bar on {last.key.tonic.name}"
    )
    return (drill.note_names.printed(told),)


def _smoother(drill: Drill, in_key: DrillInKey) -> tuple[str, ...]:
    """Return by how much `smoothest` would move less and what it would leave out, or nothing."""
    if drill.sevenths is not Sevenths.GUIDE_TONES or not any(map(_is_reduced, in_key.chords)):
        return ()
    (smoothest,) = in_each_key(replace(drill, sevenths=Sevenths.SMOOTHEST, keys=(in_key.key,)))
    less = in_key.movement - smoothest.movement
    if less <= 0:
        return ()
    lost = [
        f"{third} of {new.at.chord.symbol} in bar {new.at.bar}"
        for old, new in zip(in_key.chords, smoothest.chords, strict=True)
        if new.at.chord and (third := _third_left_out(new)) and not _third_left_out(old)
    ]
    if len(lost) > _MOST_LOST:
        lost = [*lost[: _MOST_LOST - 1], f"{len(lost) - _MOST_LOST + 1} more"]
    half_steps = "half step" if less == 1 else "half steps"
    at_a_cost = f", but leave out {listed(lost, 'and')}" if lost else ""
    return (f"--sevenths smoothest would move {less} {half_steps} less{at_a_cost}",)


def _is_reduced(voiced: VoicedChord) -> bool:
    chord, right = voiced.at.chord, voiced.right
    return bool(chord and right and len(right.pitches) < len(chord.tones))


def _third_left_out(voiced: VoicedChord) -> str:
    """Return the name of the third that the right hand leaves out, or ""."""
    third = voiced.at.chord.third_or_suspension if voiced.at.chord else None
    if third is None or not voiced.right:
        return ""
    return third.name if third.chroma not in {pitch.tone.chroma for pitch in voiced.right.pitches} else ""
