"""A lesson's page for the student: what its packs hold, told in the order of practice.

Conventions
- What is on the disk counts: the page is made from the packs' manifests, so it links only what is there.
- Today's tempo is the next one above what the student has reached by the progress file, else the slowest.
"""

import json
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from tracks.drill.drill import Drill, Form, Mix
from tracks.export.start_here import InKey, Link, StartHere, ToPractice, start_here
from tracks.lessons.in_parts import Packed
from tracks.lessons.lesson import Lesson, LessonDrill
from tracks.lessons.progress import Played
from tracks.lessons.students import Standing, standings
from tracks.pack.about import beat_name, does, has_tune, style_name, title_of
from tracks.pack.standing import MANIFEST
from tracks.safety import CAUTION

_SOUNDS = ("mp3", "ogg", "flac", "wav")
_HANDS = {
    Mix.RIGHT_ALONE: "right hand alone",
    Mix.LEFT_ALONE: "left hand alone",
    Mix.HANDS_TOGETHER: "hands together",
    Mix.YOU_PLAY_RIGHT: "you play the right hand, the track all else",
    Mix.YOU_PLAY_LEFT: "you play the left hand, the track all else",
    Mix.PANNED_APART: "hands together, one from each side",
}
_KINDS = {"climb": "from slow to fast", "build-up": "a chord more each time", "zip of stems": "stems, zipped"}
_NO_HASTE = (
    "Stay at a tempo until it is easy and even; only then take the next. A day more on a tempo is no loss."
)
_LEFT_TO_YOU = {Mix.YOU_PLAY_RIGHT, Mix.YOU_PLAY_LEFT}
_Row = Mapping[str, Any]


def page_of(
    lesson: Lesson,
    place: Path,
    played: Iterable[Played] = (),
    part: Iterable[Packed] | None = None,
    elsewhere: Sequence[tuple[str, str]] = (),
) -> bytes:
    """Return the page of a lesson whose packs lie in a place; what stands in no pack is not on it.

    Of a part, it tells that part only, and what is `elsewhere`: each other file's name and what it holds.
    """
    at = tuple(standings(lesson, played))
    paths = None if part is None else {file.path for file in part}
    drills, mixes = [], set()
    for each in lesson.drills:
        name = each.drill.name
        rows = [row for row in _rows(place / name) if paths is None or f"{name}/{row['path']}" in paths]
        if rows:
            mine = [standing for standing in at if standing.drill == name]
            drills.append(_to_practice(each, rows, mine))
            mixes |= {Mix(row["mix"]) for row in rows if row["mix"] is not None}
    page = StartHere(lesson.heading, tuple(drills), _order(mixes), CAUTION, tuple(elsewhere))
    return start_here(page)


def contents(lesson: Lesson, part: Sequence[Packed], parts: Sequence[Sequence[Packed]]) -> str:
    """Return in a line what a part holds: its drills and keys, with the tempos of a key that is torn."""
    told = []
    for each in lesson.drills:
        drill = each.drill
        keys = dict.fromkeys(file.belongs[1] for file in part if file.belongs[0] == drill.name)
        printed = {key.name: drill.note_names.printed(key.sign) for key in drill.keys}
        said = [
            f"{printed[key]}{_tempos(part, parts, (drill.name, key))}" if key else "what serves all keys"
            for key in keys
        ]
        told += [f"{title_of(drill)} ({', '.join(said)})"] if said else []
    return "; ".join(told)


def _tempos(part: Sequence[Packed], parts: Sequence[Sequence[Packed]], home: tuple[str, str | None]) -> str:
    """Return the tempos of a drill in a key that a part holds, where other parts have others of it."""
    if sum(any(file.belongs == home for file in each) for each in parts) < 2:
        return ""
    found = {file.rung[0] for file in part if file.belongs == home}
    rungs = ", ".join(str(bpm) for bpm in sorted(bpm for bpm in found if bpm))
    return f" at {rungs}" if rungs else ", the sheet"


def _order(mixes: Collection[Mix]) -> tuple[str, ...]:
    """Return how to practice with the mixes that there are."""
    hands = sum(mix in mixes for mix in (Mix.RIGHT_ALONE, Mix.LEFT_ALONE))
    steps = [("", "the hand alone", "one hand, the other")[hands]]
    steps += ["both" if hands else ""] * bool({Mix.HANDS_TOGETHER, Mix.PANNED_APART} & set(mixes))
    steps += ["then the hand that the track leaves to you"] * bool(_LEFT_TO_YOU & set(mixes))
    said = [step for step in steps if step]
    first = "Listen once, then play along" + (f": {', '.join(said)}." if said else ".")
    return (f"{first} {_NO_HASTE}",)


def packed(lesson: Lesson, place: Path) -> Iterator[Packed]:
    """Yield every file of a lesson's packs that is for the student, in the order of practice."""
    for each in lesson.drills:
        name = each.drill.name
        for row in _rows(place / name):
            path = f"{name}/{row['path']}"
            rung = (row["bpm"], row.get("kind"))
            key = None if "keys" in row else row["key"]
            yield Packed(path, (name, key), rung, (place / path).stat().st_size)


def _rows(folder: Path) -> list[_Row]:
    """Return the rows of a pack's manifest, none where no pack stands."""
    try:
        found = json.loads((folder / MANIFEST).read_bytes())["files"]
    except (OSError, ValueError, KeyError, TypeError):
        return []
    return [row for row in found if (folder / str(row.get("path"))).is_file()]


def _to_practice(made: LessonDrill, rows: Sequence[_Row], at: Sequence[Standing]) -> ToPractice:
    drill = made.drill
    whole = [row for row in rows if row["key"] is None or "keys" in row]
    here = {row["key"] for row in rows if row not in whole}
    at = [standing for standing in at if standing.key.name in here] or at
    least, most = min(standing.next for standing in at), max(standing.next for standing in at)
    today = f"{least}" if least == most else f"{least} to {most}"
    beat = beat_name(drill)
    return ToPractice(
        title=title_of(drill),
        about=_about(made),
        today=f"Today: {beat} = {today}",
        goal=f"Goal: {drill.tempos[-1]}",
        pages=tuple(_link(drill, row) for row in whole if not _is_midi_beside_sound(row, rows)),
        keys=tuple(
            _in_key(drill, [row for row in rows if row["key"] == each.key.name and row not in whole], each)
            for each in at
            if each.key.name in here
        ),
    )


_FORMS = {
    Form.PLAIN: "",
    Form.CALL_AND_RESPONSE: " The track plays {bars} bars, then you answer for {bars}.",
    Form.TRADING_FOURS: " The track plays {bars} bars, then you play {bars}.",
    Form.ECHO: " The track plays {bars} bars, then waits while you play them.",
    Form.MELODY_OUT: " The melody is left out, for you to improvise.",
}


def _about(made: LessonDrill) -> str:
    """Return what is played in words that need no manual."""
    drill = made.drill
    named = "" if has_tune(made.style) else style_name(drill)
    style = f", in {named} style" if named else ""
    form = _FORMS[drill.form].format(bars=drill.bars_in_turn)
    return f"{does(drill, made.style)}{style}, in {drill.meter}.{form}"


def _in_key(drill: Drill, rows: Sequence[_Row], at: Standing) -> InKey:
    heard = [row for row in rows if _ending(row) in _SOUNDS] or [row for row in rows if _ending(row) == "mid"]
    rungs = [row for row in heard if "kind" not in row]
    bpm = max((row["bpm"] for row in rungs if row["bpm"] <= at.next), default=at.next)
    today = [row for row in rungs if row["bpm"] == bpm]
    sheets = [row for row in rows if row["mix"] is None]
    rest = [row for row in rows if row not in today and row not in sheets]
    return InKey(
        key=drill.note_names.printed(at.key.sign),
        tempo=f"at {bpm}" if today else "",
        sheets=tuple(_link(drill, row) for row in sheets),
        today=tuple(_link(drill, row) for row in _in_order(today)),
        rest=tuple(_link(drill, row, in_full=True) for row in _in_order(rest)),
    )


def _in_order(rows: Iterable[_Row]) -> list[_Row]:
    """Return rows by name, which is the order of practice; sounds before the MIDI files beside them."""
    return sorted(rows, key=lambda row: (_ending(row) not in _SOUNDS, str(row["path"]).rpartition("/")[2]))


def _link(drill: Drill, row: _Row, in_full: bool = False) -> Link:
    ending = _ending(row)
    place = f"{drill.name}/{row['path']}"
    if row["mix"] is None:
        of_all = row["key"] is None and ending == "pdf"
        return Link("All keys to print (PDF)" if of_all else _PAPERS.get(ending, ending), place)
    kind, hands = row.get("kind"), _HANDS[Mix(row["mix"])]
    words = [str(row.get("part") or hands)]
    words += [f"at {row['bpm']}"] if in_full or kind else []
    words += [_KINDS.get(str(kind), str(kind).replace("-", " "))] if kind else []
    words += [ending.upper() if ending != "mid" else "MIDI"] if in_full or ending == "mid" else []
    return Link(_capital(", ".join(words)), place, ending in _SOUNDS)


_PAPERS = {
    "pdf": "Sheet to print (PDF)",
    "musicxml": "Sheet to edit (MusicXML)",
    "xml": "Sheet to edit (MusicXML)",
    "html": "Practice page",
    "txt": "What the short names mean",
}


def _is_midi_beside_sound(row: _Row, rows: Sequence[_Row]) -> bool:
    stem = str(row["path"]).rpartition(".")[0]
    return _ending(row) == "mid" and any(
        _ending(other) in _SOUNDS and str(other["path"]).rpartition(".")[0] == stem for other in rows
    )


def _ending(row: _Row) -> str:
    return str(row["path"]).rpartition(".")[2].lower()


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
