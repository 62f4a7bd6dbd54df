"""Notes recorded from a teacher's own SoundFont, to be carried inside a page.

Conventions
- Fourteen notes, a major third apart, reach from the lowest to the highest key that hands play in a drill;
  the page plays those between at another speed, by a whole step at most.
- A note is struck once at moderate strength, held NOTE_S, and faded; mono, MP3 at a variable rate. A decoder
  puts some silence before it, which the page finds and leaves out.
"""

from pathlib import Path

from tracks.export.audio import RATE, Sound
from tracks.export.audio.soundfont import soundfont
from tracks.export.audio.synth import Synth
from tracks.model import KeyFrom, Note, Part, Piece, Role
from tracks.theory.key import Key
from tracks.theory.meter import QUARTER, Meter
from tracks.theory.pitch import Pitch

LOWEST, STEP, COUNT = 36, 4, 14
"""From C2 up to E6."""

NOTE_S = 3.5
_FADE_S = 0.5
_SPELLED = {0: "C", 4: "E", 8: "Ab"}
_VELOCITY = 84
_PEAK = 0.5
_SMALL = {"format": "MP3", "subtype": "MPEG_LAYER_III", "bitrate_mode": "VARIABLE", "compression_level": 0.55}


def recorded_notes(font: Path) -> dict[int, bytes]:
    """Return notes of a SoundFont's piano by MIDI number, each an MP3, equally loud together as played.

    Raises RequestError where the SoundFont cannot be read.
    """
    synth = Synth(soundfont(font))
    try:
        played = {midi: _note(synth, midi) for midi in range(LOWEST, LOWEST + STEP * COUNT, STEP)}
    finally:
        synth.close()
    loudest = max(float(abs(sound).max(initial=0)) for sound in played.values()) or 1.0
    return {midi: _mp3(sound * (_PEAK / loudest)) for midi, sound in played.items()}


def _note(synth: Synth, midi: int) -> Sound:
    from numpy import float32, linspace

    length = round(NOTE_S * QUARTER)
    part = Part(Role.RIGHT, (Note(0, length, _pitch(midi), _VELOCITY),))
    key = Key.parse("C")
    piece = Piece("note", Meter(4, 4), (KeyFrom(0, key),), length, 0, (part,), (), bpm=60)
    sound: Sound = synth.play(piece, part).read(0, round(NOTE_S * RATE)).mean(axis=1)
    fade = round(_FADE_S * RATE)
    sound[-fade:] *= linspace(1, 0, fade, dtype=float32)
    return sound


def _pitch(midi: int) -> Pitch:
    octave, place = divmod(midi, 12)
    return Pitch.parse(f"{_SPELLED[place]}{octave - 1}")


def _mp3(sound: Sound) -> bytes:
    from io import BytesIO

    from soundfile import SoundFile

    written = BytesIO()
    with SoundFile(written, "w", RATE, 1, **_SMALL) as file:
        file.write(sound)
    return written.getvalue()
