"""How the files of a pack are called.

Conventions
- A path is relative to the pack's folder, with `/` between its parts, in plain ASCII.
- Long names sort by tempo, which has three digits: `Eb-major/Eb-major_right-alone_060.mid`.
- Short names are for old digital pianos: at most eight capitals and digits, a dot and three more, the
  form of the old DOS file system (8.3). `EB/EBRA060.MID` is E flat major, right alone, 60; `EBM` is E flat
  minor and `FS` F sharp.
- What is not a rung of the ladder lies in a folder of its kind beside the rungs.
"""

from collections.abc import Sequence
from enum import Enum

from tracks.drill.drill import Mix
from tracks.model import Role
from tracks.theory.key import Key


class Kind(Enum):
    """What a file is; the value is the folder that it lies in, none for a rung of the ladder."""

    RUNG = ""
    CLIMB = "climb"
    BUILD_UP = "build-up"
    KEY_CYCLE = "key-cycle"
    STEM = "stems"


HANDS_IN_TURN, ALL_STEMS = "hands-in-turn", "stems"
"""What the files are called that go through the right hand, the left and both, and that hold every stem."""

_SHORT_FOLDERS = {
    Kind.RUNG: "",
    Kind.CLIMB: "CLIMB",
    Kind.BUILD_UP: "BUILDUP",
    Kind.KEY_CYCLE: "CYCLE",
    Kind.STEM: "STEMS",
}
_SHORT_SOUNDS: dict[str, str] = {
    Mix.HANDS_TOGETHER.value: "HT",
    Mix.RIGHT_ALONE.value: "RA",
    Mix.LEFT_ALONE.value: "LA",
    Mix.YOU_PLAY_RIGHT.value: "YR",
    Mix.YOU_PLAY_LEFT.value: "YL",
    Mix.SPLIT.value: "SP",
    HANDS_IN_TURN: "TU",
    ALL_STEMS: "ST",
    Role.RIGHT.value: "RH",
    Role.LEFT.value: "LH",
    Role.BASS.value: "BS",
    Role.DRUMS.value: "DR",
    Role.MELODY.value: "ME",
    Role.CLICK.value: "CK",
}


def key_folder(key: Key, short: bool = False) -> str:
    """Return the folder of a key: `Eb-major`, or `EB` where names are short."""
    if short:
        return key.tonic.name.upper().replace("#", "S") + ("M" if key.is_minor else "")
    return key.folder


def path(
    kind: Kind, key: Key | None, sound: str, tempos: Sequence[int], short: bool = False, ending: str = "mid"
) -> str:
    """Return the path of a file of a kind.

    `key` is None where the file goes through several; `sound` is a mix's or a part's word; `tempos`, in felt
    beats a minute, are those that the file plays, slowest first.
    """
    place = key_folder(key, short) if key else ""
    if short:
        folder = _SHORT_FOLDERS[kind]
        name = f"{place}{_SHORT_SOUNDS[sound]}{tempos[0]:03d}.{ending.upper()}"
    else:
        folder = kind.value
        speed = f"{tempos[0]:03d}" if len(tempos) == 1 else f"{tempos[0]:03d}-{tempos[-1]:03d}"
        name = f"{place or folder}_{sound.replace(' ', '-')}_{speed}.{ending}"
    return "/".join(word for word in (place, folder, name) if word)


def beside(path: str, ending: str) -> str:
    """Return the path of a file with the same stem and another ending, in the same manner of name."""
    stem, _, old = path.rpartition(".")
    return f"{stem}.{ending.upper()[:3] if old.isupper() else ending}"


def sheet_path(key: Key | None, ending: str, short: bool = False) -> str:
    """Return the path of a key's sheet, or of the sheets of all keys where `key` is None."""
    place = key_folder(key, short) if key else ""
    name = place or ("SHEETS" if short else "all-keys")
    file = f"{name}.{ending[:3].upper() if short else ending}"
    return f"{place}/{file}" if place else file
