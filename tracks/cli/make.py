"""`rungwise make`: a progression made into a folder of play-along files."""

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tracks.cli import options
from tracks.cli.saying import say, say_json, say_remarks
from tracks.cli.waiting import shown
from tracks.drill.drill import Mix

if TYPE_CHECKING:
    from tracks.drill.drill import Drill
    from tracks.pack.folder import PackFile, PackReport
    from tracks.style import Style


@options.asking("make", options.SOUNDFONT, options.OUT, options.FORCE, options.JSON)
def make(given: options.Given) -> None:
    """Make a pack: play-along MIDI files in every key, mix and tempo, each with its count-in."""
    from tracks.cli.summary import summary
    from tracks.drill.record import drill_record
    from tracks.drill.remarks import remarks_on_ending
    from tracks.pack.files import pack_files
    from tracks.pack.folder import Pack, write_packs
    from tracks.pack.standing import check_same_drill
    from tracks.style.registry import load

    request = options.request("make", given)
    found = request.style(load)
    say_remarks(request.remarks)
    soundfont = Path(given["soundfont"]) if "soundfont" in given else None
    options.check_soundfont(soundfont, given.get("audio"), given.get("audio-stems"), given.get("page"))
    drills = request.drills(found)
    out = Path(given.get("out", options.OUT.default))
    if "name" not in given and "force" not in given:
        for drill in drills:
            check_same_drill(out / drill.name, drill)
    _say_what_is_asked(drills, found)
    mixes: dict[str, set[str]] = {drill.name: set() for drill in drills}
    packs = [
        Pack(
            drill.name,
            _noting_mixes(_shown(pack_files(drill, found, soundfont), drill), mixes[drill.name]),
            drill_record(drill),
        )
        for drill in drills
    ]
    reports = write_packs(out, packs, "force" in given)
    for report in reports:
        say_remarks(report.remarks)
    # The drills of one request may end alike.
    say_remarks(dict.fromkeys(remark for drill in drills for remark in remarks_on_ending(drill)))
    if "json" in given:
        _print_json(reports)
        return
    for drill, report in zip(drills, reports, strict=True):
        say(summary(request, drill, report, mixes[drill.name]))


def _say_what_is_asked(drills: Sequence["Drill"], style: "Style") -> None:
    from tracks.pack import estimate

    asked = estimate.total(estimate.estimate(drill, style) for drill in drills)
    estimate.check(asked)
    say_remarks(filter(None, (estimate.remark(asked),)))


def _shown(files: Iterator["PackFile"], drill: "Drill") -> Iterator["PackFile"]:
    """Pass the files on, with a bar while they are taken, on a terminal only."""
    most = len(drill.keys) * len(drill.mixes or tuple(Mix)) * len(drill.tempos) * (2 if drill.audio else 1)
    return shown(files, most, drill.name)


def _noting_mixes(files: Iterable["PackFile"], mixes: set[str]) -> Iterator["PackFile"]:
    """Pass the files on without holding them, and note the mix of every rung of the ladder."""

    def noted(file: "PackFile") -> "PackFile":
        if file.about.get("mix") and "kind" not in file.about:
            mixes.add(str(file.about["mix"]))
        return file

    return map(noted, files)


def _print_json(reports: Sequence["PackReport"]) -> None:
    records = [report.record for report in reports]
    say_json(records if len(records) > 1 else records[0])
