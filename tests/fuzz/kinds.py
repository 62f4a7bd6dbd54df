"""What is tried: a row a kind."""

from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import NamedTuple

from . import disks, requests, sounds, styles, texts


class Kind(NamedTuple):
    """A kind of thing that may come: how many are tried at full length, how one is drawn and tried.

    `share` is its part of a run that has less time. `check` tries a content in an empty folder and raises
    whatever shows that it is not borne.
    """

    name: str
    trials: int
    share: float
    draw: Callable[[Random], bytes]
    check: Callable[[bytes, Path], None]
    seconds: float = 20.0


KINDS = (
    Kind("progressions", 100_000, 3, texts.progression, texts.try_progression),
    Kind("romantext", 20_000, 1, texts.romantext, texts.try_romantext),
    Kind("musicxml", 5_000, 2, texts.musicxml, texts.try_musicxml),
    Kind("toml", 20_000, 2, texts.toml, texts.try_toml),
    Kind("options", 20_000, 4, requests.request, requests.try_request, 60.0),
    Kind("manifests", 2_000, 1, requests.manifest, requests.try_manifest),
    Kind("takes", 10_000, 1, sounds.take, sounds.try_take),
    Kind("soundfonts", 600, 1, sounds.font, sounds.try_font),
    Kind("styles", 100, 1, styles.style, styles.try_style),
    Kind("kills", 200, 2, disks.kill, disks.try_kill, 60.0),
    Kind("full-disks", 20, 1, disks.full_disk, disks.try_full_disk, 60.0),
)
BY_NAME = {kind.name: kind for kind in KINDS}
