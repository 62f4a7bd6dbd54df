"""What lies beside a lesson's packs for the student: the page to start from, and on request all in a zip.

Conventions
- Both are ours as long as they are as we wrote them, which their noted digests tell. What somebody changed,
  or put there, is left as it is and told of, unless forced.
- A mail takes 25 MB at most almost everywhere (convention), of which its coding of attached files leaves
  three quarters (RFC 2045, 6.8: three bytes become four characters). What is larger becomes several zips,
  each with a page of its own: a student opens whichever came, and a teacher need not know of any limit.
"""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from hashlib import sha256
from pathlib import Path

from tracks.export.start_here import NAME
from tracks.export.zipped import to_zip
from tracks.lessons.belonging import note_owner, place_of
from tracks.lessons.build import note, noted
from tracks.lessons.in_parts import in_parts
from tracks.lessons.lesson import Lesson
from tracks.lessons.progress import Played, progress_near
from tracks.lessons.start_here import contents, packed, page_of
from tracks.pack.whole import write_whole

MAIL_TAKES = 18_000_000
"""Bytes of a file that a mail takes."""


def hand_over(
    lesson: Lesson, out: Path, zipped: bool = False, force: bool = False
) -> tuple[list[str], list[str]]:
    """Write a lesson's page, and its zip where asked for; return what is told of them, and what is remarked.

    Raises RequestError where its progress file cannot be read, WriteError where the system refuses.
    """
    place = place_of(lesson, out)
    played = progress_near(lesson.path.parent)
    note_owner(lesson, out)
    page = page_of(lesson, place, played)
    remarks = _written(place / NAME, page, place, force)
    if not zipped:
        return [], remarks + _out_of_date(lesson, place, played, page)
    told, not_written = _zips(lesson, place, played, page, force)
    return told, remarks + not_written


def _zips(
    lesson: Lesson, place: Path, played: Sequence[Played], page: bytes, force: bool
) -> tuple[list[str], list[str]]:
    """Write a lesson's zip, or as many as a mail asks for; return what is told of them, and remarked."""
    told, remarks = [], []
    asked = _asked(lesson, place, played, page)
    for name, inside in asked.items():
        content = to_zip([(path, read()) for path, read in inside.items()], name.removesuffix(".zip"))
        target = place.with_name(name)
        not_written = _written(target, content, place, force)
        remarks += not_written
        told += [] if not_written else [f"{target}: {_size(content, len(asked) > 1)}"]
    for name in _of_before(place):
        if name not in asked:
            place.with_name(name).unlink()
    return told, remarks


def _asked(
    lesson: Lesson, place: Path, played: Sequence[Played], page: bytes
) -> dict[str, dict[str, Callable[[], bytes]]]:
    """Return the zips that a lesson comes to, and what each holds: the paths, and what reads each."""
    parts = in_parts(packed(lesson, place), MAIL_TAKES - len(page))
    names = _names(place.name, len(parts))
    holds = [(name, contents(lesson, part, parts)) for name, part in zip(names, parts, strict=True)]
    asked = {}
    for number, (name, part) in enumerate(zip(names, parts, strict=True), start=1):
        if len(parts) > 1:
            others = [*holds[: number - 1], *holds[number:]]
            page = page_of(_part(lesson, number, len(parts)), place, played, part, others)
        inside: dict[str, Callable[[], bytes]] = {NAME: partial(bytes, page)}
        asked[name] = inside | {file.path: (place / file.path).read_bytes for file in part}
    return asked


def _out_of_date(lesson: Lesson, place: Path, played: Sequence[Played], page: bytes) -> list[str]:
    """Return what to say where the zips of an earlier build hold other than what stands now."""
    there = _of_before(place)
    if not there:
        return []
    asked = _asked(lesson, place, played, page)
    if set(there) == set(asked) and all(_holds(place.with_name(name), asked[name]) for name in there):
        return []
    zips = ", ".join(str(place.with_name(name)) for name in there)
    return [f"{zips}: of an earlier build, and out of date; --zip makes it anew"]


def _holds(zipped: Path, inside: Mapping[str, Callable[[], bytes]]) -> bool:
    """Return whether a zip of ours holds just these files, as their sums tell (CRC-32, APPNOTE 6.3.10)."""
    from zipfile import ZipFile
    from zlib import crc32

    with ZipFile(zipped) as opened:
        sums = {entry.filename.partition("/")[2]: entry.CRC for entry in opened.infolist()}
    return sums.keys() == inside.keys() and all(crc32(read()) == sums[path] for path, read in inside.items())


def _names(name: str, parts: int) -> list[str]:
    """Return what the zips of a lesson are called."""
    if parts == 1:
        return [f"{name}.zip"]
    width = len(str(parts))
    return [f"{name}_{number:0{width}}-of-{parts}.zip" for number in range(1, parts + 1)]


def _part(lesson: Lesson, number: int, parts: int) -> Lesson:
    title = f"{lesson.heading.title or lesson.name}, part {number} of {parts}"
    return replace(lesson, heading=replace(lesson.heading, title=title))


def _of_before(place: Path) -> list[str]:
    """Return the names of the zips of earlier builds that stand as we wrote them."""
    ours = re.compile(rf"{re.escape(place.name)}(_\d+-of-\d+)?\.zip").fullmatch
    found = []
    for name, digest in noted(place).items():
        old = place.with_name(name)
        if not ours(name) or old.is_symlink() or not old.is_file():
            continue
        if sha256(old.read_bytes()).hexdigest() == digest:
            found.append(name)
    return found


def _size(content: bytes, is_part: bool) -> str:
    """Return how large a zip is, and whether it can be mailed."""
    fits = "a mail takes it, and it opens by itself" if is_part else "a mail takes it"
    if len(content) > MAIL_TAKES:
        fits = "too large to mail; share it by a link, or make its sounds mp3"
    return f"{len(content) / 1e6:.1f} MB, {fits}"


def _written(target: Path, content: bytes, place: Path, force: bool) -> list[str]:
    """Write a file of ours; where it is somebody's by now, leave it and return what to say."""
    digest, known = sha256(content).hexdigest(), noted(place).get(target.name)
    if target.exists() or target.is_symlink():
        stands = sha256(target.read_bytes()).hexdigest() if target.is_file() else ""
        if stands == digest == known:
            return []
        if stands not in (digest, known) and not force:
            return [f"{target} is not as we wrote it, and is left; --force writes it anew"]
    write_whole({target: content}, force=True)
    note(place, {target.name: digest})
    return []
