"""`rungwise make`: a progression made into a folder of play-along files."""

import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from tracks.cli import options
from tracks.cli.remarks import say_remarks
from tracks.theory.errors import read

if TYPE_CHECKING:
    from tracks.drill.drill import Drill
    from tracks.pack.folder import PackFile, PackReport


@options.asking("make", options.SOUNDFONT, options.OUT, options.FORCE, options.JSON)
def make(given: options.Given) -> None:
    """Make a pack: play-along MIDI files in every key, mix and tempo, each with its count-in."""
    from tracks.cli.summary import summary
    from tracks.drill.record import drill_record
    from tracks.pack.files import pack_files
    from tracks.pack.folder import write_pack
    from tracks.style.registry import load

    request = options.request("make", given)
    found = read("style", load, request.style_name)
    say_remarks(request.remarks)
    out, soundfont = Path(given.get("out", options.OUT.default)), given.get("soundfont")
    options.check_soundfont(soundfont, given.get("audio"))
    reports = []
    for drill in request.drills(found):
        mixes: set[str] = set()
        with _progress(pack_files(drill, found, soundfont), drill) as files:
            noted = _noting_mixes(files, mixes)
            reports.append(
                (drill, write_pack(out, drill.name, noted, drill_record(drill), "force" in given), mixes)
            )
    if "json" in given:
        _print_json([report for _, report, _ in reports])
        return
    for drill, report, mixes in reports:
        typer.echo(summary(request, drill, report, mixes))


@contextmanager
def _progress(files: Iterator["PackFile"], drill: "Drill") -> Iterator[Iterable["PackFile"]]:
    """Show a bar while the files are taken, on a terminal only."""
    if not sys.stderr.isatty():
        yield files
        return
    most = len(drill.keys) * len(drill.mixes) * len(drill.tempos) * (2 if drill.audio else 1)
    with typer.progressbar(files, length=most, label=drill.name, file=sys.stderr) as bar:
        yield bar


def _noting_mixes(files: Iterable["PackFile"], mixes: set[str]) -> Iterator["PackFile"]:
    """Pass the files on, and note the mix of every rung of the ladder."""
    for file in files:
        if file.about.get("mix") and "kind" not in file.about:
            mixes.add(str(file.about["mix"]))
        yield file


def _print_json(reports: list["PackReport"]) -> None:
    import json

    records = [
        {
            "folder": report.folder.as_posix(),
            "files": report.files,
            "bytes": report.size,
            "replaced": report.replaced,
        }
        for report in reports
    ]
    typer.echo(json.dumps(records if len(records) > 1 else records[0], indent=2))
