"""How the files of a pack are called: every one by a name of its own in a whole lesson, in practice order.

Conventions
- A path is relative to the pack's folder, with `/` between its parts, in plain ASCII and without signs that a
  link escapes; capitals never tell two apart.
- Mail, a phone and a stick show names without their folders, so a name says it all, what is practiced first
  before the rest: the drill, the key by its number in the drill, the tempo in three digits, the hands:
  `Eb-major/cadence_01-Eb-major_060_1-right-alone.mid`. What is no rung has its kind before the tempo and
  comes after the rungs of its key; what serves all keys comes after every key.
- Short names are for old digital pianos: at most eight letters, digits and hyphens, a dot and three more, the
  form of the FAT file system's short names (8.3). `EB/A01-0601.MID` is drill A's first key at 60, mix 1. A
  legend in the pack says what each is.
- What is not a rung of the ladder lies in a folder of its kind beside the rungs.
"""

from collections.abc import Iterable, Mapping, Sequence
from enum import Enum

from tracks.drill.drill import Drill, Mix
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

LEGEND = "A-LEGEND.TXT"
"""What says the meaning of short names; a drill's letter stands for the A."""

_ALL_KEYS = "all-keys"
_SHORT_FOLDERS = {
    Kind.RUNG: "",
    Kind.CLIMB: "CLIMB",
    Kind.BUILD_UP: "BUILDUP",
    Kind.KEY_CYCLE: "CYCLE",
    Kind.STEM: "STEMS",
}
_SHORT_KINDS = {Kind.RUNG: "-", Kind.BUILD_UP: "B", Kind.CLIMB: "C", Kind.KEY_CYCLE: "K", Kind.STEM: "S"}
_MIX_NUMBERS = {mix.value: number for number, mix in enumerate(Mix, 1)}
_NUMBERS = {
    HANDS_IN_TURN: 0,
    ALL_STEMS: 0,
    **_MIX_NUMBERS,
    **{role.value: number for number, role in enumerate(Role, 1)},
}
_SHORT_ENDINGS = {"musicxml": "XML"}
"""What three letters do not tell by their first three."""


def key_folder(key: Key, short: bool = False) -> str:
    """Return the folder of a key: `Eb-major`, `F-sharp-minor`, or `EB`, `FSMIN` where names are short."""
    if short:
        return key.tonic.name.upper().replace("#", "S") + ("MIN" if key.is_minor else "")
    return key.folder


def path(
    drill: Drill, kind: Kind, key: Key | None, sound: str, tempos: Sequence[int], ending: str = "mid"
) -> str:
    """Return the path of a file of a kind.

    `key` is None where the file goes through all of the drill's; `sound` is a mix's or a part's word;
    `tempos`, in felt beats a minute, are those that the file plays, slowest first.
    """
    if drill.short_names:
        name = f"{_short_place(drill, key)}{_SHORT_KINDS[kind]}{tempos[0]:03d}{_NUMBERS[sound]}"
        return _joined(key_folder(key, True) if key else "", _SHORT_FOLDERS[kind], _ended(name, ending, True))
    speed = f"{tempos[0]:03d}" if len(tempos) == 1 else f"{tempos[0]:03d}-{tempos[-1]:03d}"
    hands = f"{_MIX_NUMBERS[sound]}-{sound}" if sound in _MIX_NUMBERS else sound.replace(" ", "-")
    of_kind = kind.value if key else ""
    words = (drill.name, _place(drill, key), of_kind, speed, "" if sound == ALL_STEMS else hands)
    name = "_".join(word for word in words if word)
    return _joined(key_folder(key) if key else "", kind.value, _ended(name, ending))


def beside(path: str, ending: str) -> str:
    """Return the path of a file with the same stem and another ending, in the same manner of name."""
    stem, _, old = path.rpartition(".")
    return _ended(stem, ending, old.isupper())


def sheet_path(drill: Drill, key: Key | None, ending: str) -> str:
    """Return the path of a key's sheet, or of the sheets of all keys where `key` is None."""
    folder = key_folder(key, drill.short_names) if key else ""
    if drill.short_names:
        return _joined(folder, _ended(_short_place(drill, key), ending, True))
    return _joined(folder, _ended(f"{drill.name}_{_place(drill, key)}", ending))


def page_path(drill: Drill) -> str:
    """Return the path of the practice page: the drill's name, or `AAL.HTM` where names are short."""
    return _ended(_short_place(drill, None) if drill.short_names else drill.name, "html", drill.short_names)


def legend(drill: Drill, files: Iterable[tuple[str, Mapping[str, object]]]) -> tuple[str, str]:
    """Return the path and the text of the legend of short names, given each file's path and what it is."""
    lines = [f"{_letter(drill)} is {drill.name}: {', '.join(map(str, drill.keys))}", ""]
    by_name = {place.rpartition("/")[2]: about for place, about in files}
    for name, about in sorted(by_name.items(), key=lambda row: row[0]):
        in_turn = about.get("kind") == Kind.CLIMB.value and name.partition(".")[0].endswith("0")
        sound = HANDS_IN_TURN if in_turn else about.get("part") or about.get("mix") or ""
        words = (
            "all keys" if "keys" in about or not about.get("key") else about["key"],
            about.get("kind") or ("" if about.get("bpm") else "sheet"),
            about.get("bpm"),
            str(sound).replace("-", " "),
        )
        lines.append(f"{name:<14}{', '.join(str(word) for word in words if word)}")
    return LEGEND.replace("A", _letter(drill), 1), "\r\n".join((*lines, ""))


def _letter(drill: Drill) -> str:
    return chr(ord("A") + drill.number - 1)


def _short_place(drill: Drill, key: Key | None) -> str:
    return _letter(drill) + (f"{_number(drill, key):02d}" if key else "AL")


def _place(drill: Drill, key: Key | None) -> str:
    return f"{_number(drill, key):02d}-{key_folder(key)}" if key else _ALL_KEYS


def _number(drill: Drill, key: Key) -> int:
    return drill.keys.index(key) + 1


def _ended(stem: str, ending: str, short: bool = False) -> str:
    return f"{stem}.{_SHORT_ENDINGS.get(ending, ending[:3].upper()) if short else ending}"


def _joined(*words: str) -> str:
    return "/".join(filter(None, words))
