"""What `check` and `listen` write of marked takes: pictures, a page to send, and progress."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from tracks.cli import options
from tracks.theory.errors import RequestError, read

if TYPE_CHECKING:
    from tracks.takes.report import Report

Marked = Sequence[tuple["Report", int | None]]
"""Reports, and the tempo that each needed."""

_PICTURES = (".svg", ".png")


def write_marks(given: options.Given, marked: Marked, progression: str | None) -> list[Path]:
    """Write what the options ask for, all or nothing, and return the files.

    Raises RequestError at the option that cannot be met, before anything is written.
    """
    from tracks.pack.whole import write_whole

    files: dict[Path, bytes] = {}
    if "picture" in given:
        from tracks.takes.pictures import take_picture

        for number, (report, _) in enumerate(marked, 1):
            path = _picture_path("picture", given["picture"], number)
            files[path] = _picture(take_picture(report), path, "picture")
    if "report" in given:
        from tracks.takes.sheet_of_marks import marks_page

        files[Path(given["report"])] = marks_page(marked, progression).encode()
    files |= _progress(given, marked)
    if files:
        write_whole(files, force=True)
    return list(files)


def _progress(given: options.Given, marked: Marked) -> dict[Path, bytes]:
    """Return the progress file with a row for every take, and the chart where one is asked for."""
    from tracks.lessons.progress import FILE, Played, progress_text, read_progress

    if "progress" not in given:
        if unmet := next((name for name in ("student", "date", "chart") if name in given), ""):
            raise RequestError("it goes with a progress file", "give --progress FOLDER too", unmet)
        return {}
    if "student" not in given:
        raise RequestError("whose progress is it?", "give --student NAME too", "student")
    day = read("date", _day, given["date"]) if "date" in given else date.today()
    path = Path(given["progress"])
    path = path / FILE if path.is_dir() else path
    if path.suffix != ".csv":
        raise RequestError(f"{path} is no folder of lessons", "give the folder that they lie in", "progress")
    rows = [
        Played(
            day,
            given["student"],
            report.asked.drill.name,
            report.asked.key,
            report.asked.drill.texture,
            min(max(round(report.bpm), 20), 300),
            # Well enough to climb on from the tempo it was played at, and not one hand of two.
            report.is_whole and not report.in_the_way(None),
        )
        for report, _ in marked
        if report.bpm
    ]
    every = (*read_progress(path), *rows)
    files = {path: progress_text(every).encode()}
    if "chart" in given:
        from tracks.takes.progress_chart import progress_chart

        chart = _picture_path("chart", given["chart"], 1)
        theirs = [row for row in every if row.student.casefold() == given["student"].casefold()]
        files[chart] = _picture(progress_chart(theirs), chart, "chart")
    return files


def _picture_path(option: str, given: str | Path, number: int) -> Path:
    path = Path(given)
    if path.suffix not in _PICTURES:
        raise RequestError(f"{path.name} is no picture", "write a name that ends in .svg or .png", option)
    return path if number == 1 else path.with_stem(f"{path.stem}-{number}")


def _picture(svg: str, path: Path, option: str) -> bytes:
    if path.suffix == ".svg":
        return svg.encode()
    from tracks.export.picture import png
    from tracks.extras import need

    need("sheets", option)
    return png(svg)


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise RequestError(f"{text!r} is no day", "write one like 2026-03-02") from None
