"""What plays and what was played: SoundFonts plain and compressed, and takes."""

import json
from functools import cache
from pathlib import Path
from random import Random

import mido
import test_soundfont
from test_reading_takes import mutated, recorded, saved

from tracks.export.audio.soundfont import soundfont
from tracks.theory.errors import RequestError

from .ending import judge
from .ground import PACK, lay


@cache
def _fonts() -> tuple[bytes, bytes]:
    """Return a small good font, plain and compressed."""
    return test_soundfont.PIANO, test_soundfont.as_sf3(test_soundfont.PIANO)


def font(rng: Random) -> bytes:
    """Return what is damaged, as a JSON list: 0 the plain font or 1 the compressed, then places and bytes."""
    which = rng.randrange(2)
    content = _fonts()[which]
    tables = content.index(b"pdta")
    changes = [which]
    for _ in range(rng.choice((1, 3, 20))):
        places = (rng.randrange(64), rng.randrange(tables, len(content)), rng.randrange(tables, len(content)))
        place = rng.choice((*places, rng.randrange(len(content))))
        changes += [place, rng.choice((0, 1, 0x7F, 0x80, 0xFF, rng.randrange(256)))]
    if rng.random() < 0.1:
        changes.append(rng.randrange(len(content)))  # torn off there
    return json.dumps(changes).encode()


def try_font(content: bytes, folder: Path) -> None:
    """Play on a damaged SoundFont: sound that is finite, or one line."""
    which, *changes = json.loads(content)
    damaged = bytearray(_fonts()[which % 2])
    for place, byte in zip(changes[::2], changes[1::2], strict=False):
        damaged[place % len(damaged)] = byte % 256
    if len(changes) % 2:
        del damaged[changes[-1] :]
    try:
        sound = test_soundfont.played(soundfont(test_soundfont.written(folder, bytes(damaged))))
    except RequestError as fault:
        told = str(fault)
        assert told.startswith("SoundFont"), told
        assert told.isprintable(), ascii(told)
        assert len(told) <= 600, told
    else:
        assert abs(sound).max() < 1000
        assert (sound == sound).all()


@cache
def _takes() -> tuple[bytes, ...]:
    pedal = mido.MidiFile(type=0)
    pedal.tracks.append(
        mido.MidiTrack(mido.Message("control_change", control=64, value=n % 128, time=3) for n in range(800))
    )
    return recorded(0), recorded(1, tracks=2, channels=2), recorded(2, tracks=2), saved(pedal)


def take(rng: Random) -> bytes:
    """Return a damaged MIDI file that somebody played."""
    return mutated(rng.choice(_takes()), rng)


def try_take(content: bytes, folder: Path) -> None:
    """Check a take against a pack, and against a progression in a key that is looked for."""
    lay(folder)
    (folder / "played.mid").write_bytes(content)
    judge(["check", "played.mid", "--drill", PACK, "--json"], folder)
    if len(content) % 4 == 0:
        judge(["check", "played.mid", "I vi IV V7 I"], folder)
