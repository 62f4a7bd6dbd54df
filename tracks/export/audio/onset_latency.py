"""The onset latency of a SoundFont's instrument, so that its sound can be brought forward to its time.

Conventions
- A note speaks when it has reached a tenth of its own peak. Some samples begin with silence (a few keys of
  the default piano with 7 ms of it), some swell; and the engine starts a note at the next of its blocks.
- An instrument is tried once on keys spread over its range, or on the strokes of a drum kit; its latency
  is the middle between the earliest and the latest of them, so that none strays far to either side.
"""

from tracks.export.audio import RATE, Sound
from tracks.export.audio.timing import seconds_at
from tracks.model import Hit, KeyFrom, Note, Part, Piece, Role
from tracks.theory.key import Key
from tracks.theory.meter import QUARTER, Meter
from tracks.theory.pitch import Pitch, Tone

PERCUSSION_ROLES = (Role.DRUMS, Role.CLICK)

MOST_S = 0.02
"""What recordings longer to speak than this is a swell that belongs to the sound, not latency."""

_SPEAKS, _PEAK_WITHIN_S = 0.1, 0.1
_KEYS, _STROKES = range(28, 88, 4), range(35, 60, 2)
_APART, _HELD, _BPM = 3 * QUARTER, QUARTER // 2, 300


def trial(part: Part) -> Piece:
    """Return a piece that tries a part's instrument, one note at a time."""
    if part.role in PERCUSSION_ROLES:
        hits = tuple(Hit(place * _APART, key) for place, key in enumerate(_STROKES))
        tried = Part(part.role, hits=hits, program=part.program)
    else:
        notes = tuple(Note(place * _APART, _HELD, _pitch(key)) for place, key in enumerate(_KEYS))
        tried = Part(part.role, notes, program=part.program)
    length = max(len(tried.notes), len(tried.hits)) * _APART
    return Piece("trial", Meter(3, 4), (KeyFrom(0, Key(Tone(0))),), length, 0, (tried,), (), _BPM)


def onset_latency(tried: Piece, sound: Sound) -> int:
    """Return how many frames late the notes of a trial speak, those that sound at all; at most MOST_S."""
    size, late = abs(sound).max(axis=1), []
    (part,) = tried.parts
    for stroke in part.notes or part.hits:
        start = round(seconds_at(tried, stroke.start) * RATE)
        heard = size[start : start + round(_PEAK_WITHIN_S * RATE)]
        if heard.max(initial=0) > 0:
            late.append(int((heard > _SPEAKS * heard.max()).argmax()))
    middle = (min(late) + max(late)) // 2 if late else 0
    return min(middle, round(MOST_S * RATE))


def _pitch(midi: int) -> Pitch:
    """Return a pitch of a MIDI number; how it is spelled is not heard."""
    spelled = (Pitch.at_or_above(Tone(fifths), midi) for fifths in range(-5, 7))
    return next(pitch for pitch in spelled if pitch.midi == midi)
