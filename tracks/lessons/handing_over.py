"""What lies beside a lesson's packs for the student: the page to start from, and on request all in a zip.

Conventions
- Both are ours as long as they are as we wrote them, which their noted digests tell. What somebody changed,
  or put there, is left as it is and told of, unless forced.
- A mail takes 25 MB at most almost everywhere (convention), of which its coding of attached files leaves
  three quarters (RFC 2045, 6.8: three bytes become four characters). What is larger becomes several zips,
  each with a page of its own: a student opens whichever came, and a teacher need not know of any limit.
"""

import re
from collections.abc import Sequence
from dataclasses import replace
from hashlib import sha256
from pathlib import Path

from tracks.export.start_here import NAME
from tracks.export.zipped import to_zip
from tracks.lessons.belonging import note_owner, place_of
from tracks.lessons.build import note, noted
from tracks.lessons.in_parts import in_parts
from tracks.lessons.lesson import Lesson
from tracks.lessons.progress import Played, progress_near
from tracks.lessons.start_here import packed, page_of
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
        return [], remarks
    told, not_written = _zips(lesson, place, played, page, force)
    return told, remarks + not_written


def _zips(
    lesson: Lesson, place: Path, played: Sequence[Played], page: bytes, force: bool
) -> tuple[list[str], list[str]]:
    """Write a lesson's zip, or as many as a mail asks for; return what is told of them, and remarked."""
    told, remarks, names = [], [], set()
    parts = in_parts(packed(lesson, place), MAIL_TAKES - len(page))
    for number, part in enumerate(parts, start=1):
        name = place.name
        if len(parts) > 1:
            name = f"{place.name}_{number:0{len(str(len(parts)))}}-of-{len(parts)}"
            page = page_of(_part(lesson, number, len(parts)), place, played, part)
        content = to_zip(
            [(NAME, page), *((file.path, (place / file.path).read_bytes()) for file in part)], name
        )
        target = place.with_name(f"{name}.zip")
        names.add(target.name)
        not_written = _written(target, content, place, force)
        remarks += not_written
        told += [] if not_written else [f"{target}: {_size(content, len(parts) > 1)}"]
    _take_away(place, names)
    return told, remarks


def _part(lesson: Lesson, number: int, parts: int) -> Lesson:
    title = f"{lesson.heading.title or lesson.name}, part {number} of {parts}"
    return replace(lesson, heading=replace(lesson.heading, title=title))


def _take_away(place: Path, names: set[str]) -> None:
    """Delete the zips of an earlier build that are not made any more, where they are as we wrote them."""
    ours = re.compile(rf"{re.escape(place.name)}(_\d+-of-\d+)?\.zip").fullmatch
    for name, digest in noted(place).items():
        if name in names or not ours(name):
            continue
        old = place.with_name(name)
        if old.is_file() and not old.is_symlink() and sha256(old.read_bytes()).hexdigest() == digest:
            old.unlink()


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
