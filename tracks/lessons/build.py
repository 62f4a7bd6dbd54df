"""Building a lesson: its packs are made, and only those that are not as they should be already.

Conventions
- The packs of a lesson lie in its place (`tracks.lessons.belonging`), a folder for every drill. Beside them a
  hidden file says which version made each (`tracks.pack.version`): our sources, the style's, the libraries
  that wrote it, and the heading that stands on its papers.
- A pack is as it should be where its manifest holds the same drill, the same version made it, and every file
  in the manifest is there, byte for byte. What else lies in the folder (a take, a note) changes nothing.
- A pack whose drill has left the lesson stays, and is told of: it may hold somebody's work.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from pathlib import Path

from tracks.drill.drill import Drill
from tracks.drill.record import drill_record
from tracks.extras import need_for
from tracks.lessons.belonging import place_of
from tracks.lessons.lesson import Lesson, LessonDrill
from tracks.model import Heading
from tracks.pack.files import pack_files
from tracks.pack.folder import PackFile, PackReport, clear_leftovers, write_pack
from tracks.pack.lock import held
from tracks.pack.standing import MANIFEST, look
from tracks.pack.version import version_of
from tracks.pack.whole import write_whole
from tracks.plain_file import read_plain
from tracks.theory.errors import RequestError

VERSIONS = ".rungwise-versions.json"
_BEFORE = ".rungwise-editions.json"
"""What a version was noted in once, by the package's release alone: it says nothing now, and goes."""

_MOST_BYTES = 4_000_000_000


@dataclass(frozen=True, slots=True)
class Step:
    """What is to be done for a drill: nothing where `reason`, which says why it is made, is empty."""

    wanted: LessonDrill
    folder: Path
    version: str
    reason: str


def steps(
    lesson: Lesson,
    out: Path,
    everything: bool = False,
    version: Callable[[Drill, str], str] = version_of,
) -> tuple[Step, ...]:
    """Return a step for every drill of a lesson; `version` says what would make a drill's pack now.

    Raises RequestError where what must be made needs an extra that is not installed.
    """
    place = place_of(lesson, out)
    known = _json(place / VERSIONS)
    found = []
    for wanted in lesson.drills:
        folder = place / wanted.drill.name
        now = version(wanted.drill, wanted.style_name) + _heading_on(wanted.drill, lesson)
        reason = "asked for" if everything else _reason(wanted, folder, known.get(wanted.drill.name) == now)
        if reason:
            _check_extras(lesson, wanted.drill)
        found.append(Step(wanted, folder, now, reason))
    return tuple(found)


def _check_extras(lesson: Lesson, drill: Drill) -> None:
    try:
        need_for(sheet=drill.sheet, audio=drill.is_heard, page=drill.page)
    except RequestError as fault:
        raise fault.at(f"{lesson.name}.toml", f"drill {drill.name}") from fault


def _heading_on(drill: Drill, lesson: Lesson) -> str:
    """Return what a version says of the heading: nothing where the pack has no paper to bear it."""
    from hashlib import sha256

    if not (drill.sheet or drill.page):
        return ""
    return f", heading {sha256(repr(lesson.heading).encode()).hexdigest()[:12]}"


def files_of(step: Step, heading: Heading) -> Iterator[PackFile]:
    """Yield the files of a step's pack; raise RequestError as `pack_files` does."""
    yield from pack_files(step.wanted.drill, step.wanted.style, heading=heading)


def turn(out: Path) -> AbstractContextManager[None]:
    """Hold the folder of all packs once it is free, where several runs make a drill each."""
    out.mkdir(parents=True, exist_ok=True)
    return held(out, wait=True)


def write(step: Step, files: Iterable[PackFile], force: bool = False) -> PackReport:
    """Write a step's pack and note its version; raise RequestError and WriteError as `write_pack` does."""
    drill, place = step.wanted.drill, step.folder.parent
    with _naming(drill):
        report = write_pack(place, drill.name, files, drill_record(drill), force)
    note(place, {drill.name: step.version})
    (place / _BEFORE).unlink(missing_ok=True)
    return report


def tidy(lesson: Lesson, out: Path) -> None:
    """Clear what a killed run left beside a lesson's packs.

    Raises WriteError, naming it, for what cannot be deleted, and where another run is writing there.
    """
    place = place_of(lesson, out)
    if place.is_dir():
        with held(place):
            clear_leftovers(place)


def check_places(planned: Iterable[Step], force: bool = False) -> None:
    """Raise RequestError where a pack that is to be made would replace what is not ours."""
    for step in planned:
        if step.reason:
            with _naming(step.wanted.drill):
                look(step.folder, force)


@contextmanager
def _naming(drill: Drill) -> Iterator[None]:
    try:
        yield
    except RequestError as fault:
        raise fault.at(f"drill {drill.name}") from fault


def left_over(lesson: Lesson, out: Path) -> tuple[Path, ...]:
    """Return the packs in the lesson's folder whose drill the lesson no longer has."""
    wanted = {each.drill.name for each in lesson.drills}
    return tuple(
        manifest.parent
        for manifest in sorted(place_of(lesson, out).glob(f"*/{MANIFEST}"))
        if manifest.parent.name not in wanted and not manifest.parent.name.startswith(".")
    )


def _reason(wanted: LessonDrill, folder: Path, same_version: bool) -> str:
    """Return why a pack must be made, in a word or two; nothing where it is as it should be."""
    manifest = _json(folder / MANIFEST)
    if not manifest:
        return "new"
    if manifest.get("drill") != drill_record(wanted.drill):
        return "changed"
    if not same_version:
        return "made by another version"
    return "" if all(_stands(folder, row) for row in _rows(manifest)) else "files missing or altered"


def _rows(manifest: Mapping[str, object]) -> Iterator[Mapping[str, object]]:
    rows = manifest.get("files")
    if isinstance(rows, list) and rows and all(isinstance(row, dict) for row in rows):
        yield from rows
    else:
        yield {}


def _stands(folder: Path, row: Mapping[str, object]) -> bool:
    """Whether a manifest's row is true of the file on the disk."""
    from hashlib import sha256

    try:
        path = folder / str(row["path"])
        if path.stat().st_size != row["bytes"]:
            return False
        return sha256(read_plain(path, most=_MOST_BYTES)).hexdigest() == row["sha256"]
    except (OSError, KeyError, ValueError):  # a refusal of ours is a ValueError too
        return False


def _json(path: Path) -> dict[str, object]:
    """Return the object in a file of ours, an empty one where there is none that can be read."""
    import json

    try:
        found = json.loads(read_plain(path, most=_MOST_BYTES))
    except (ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}


def noted(place: Path) -> Mapping[str, object]:
    """Return what is noted in a lesson's place: the version of every pack, the digests of what is beside."""
    return _json(place / VERSIONS)


def note(place: Path, versions: Mapping[str, str]) -> None:
    """Add to what is noted in a place; raise WriteError where the system refuses."""
    import json

    path = place / VERSIONS
    text = json.dumps({**_json(path), **versions}, indent=1, sort_keys=True)
    write_whole({path: f"{text}\n".encode("ascii")}, force=True)
