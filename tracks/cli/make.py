"""`rungwise make`: a progression made into a folder of play-along files."""

import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tracks.cli import options
from tracks.cli.remarks import say_remarks
from tracks.drill.drill import Form

if TYPE_CHECKING:
    from tracks.drill.drill import Drill
    from tracks.pack.folder import PackFile, PackReport


def make(
    progression: options.Progression,
    key: options.Keys = None,
    texture: options.TextureChoice = None,
    start: options.StartText = "root",
    meter: options.MeterText = None,
    bars: options.Bars = None,
    sevenths: options.SeventhsChoice = None,
    hand_range: options.RangeText = "F3-C6",
    hand: options.HandSpan = "octave",
    left: options.LeftChoice = None,
    spread: options.Spread = False,
    written_in: options.WrittenIn = None,
    style: options.StyleName = "block",
    level: Annotated[int, typer.Option("--level", help="The style's grade, from 1, the easiest.")] = 1,
    slowest: Annotated[
        str | None,
        typer.Option(
            "--from", metavar="BPM", help="The slowest tempo, in felt beats a minute. [default: 60]"
        ),
    ] = None,
    fastest: Annotated[
        str | None, typer.Option("--to", metavar="BPM", help="The fastest tempo. [default: 100]")
    ] = None,
    step: Annotated[
        int | None, typer.Option("--step", help="Climb by so many beats a minute. [default: 8]")
    ] = None,
    rungs: Annotated[
        int | None, typer.Option("--rungs", help="Climb in so many tempos, each the same ratio faster.")
    ] = None,
    marks: Annotated[
        bool, typer.Option("--marks", help="Climb by the metronome's traditional marks.")
    ] = False,
    tempo: Annotated[
        list[str] | None,
        typer.Option(
            "--tempo",
            metavar="BPM",
            help="A tempo: 72, half=60, dotted-quarter=60. Repeatable, instead of a ladder.",
        ),
    ] = None,
    mix: options.Mixes = None,
    count_in: Annotated[
        int | None,
        typer.Option(
            "--count-in", metavar="BARS", help="Bars of click first. [default: 1, or 2 of short bars]"
        ),
    ] = None,
    click: Annotated[bool, typer.Option(help="Let the click go on through the music.")] = True,
    repeats: Annotated[int, typer.Option("--repeats", help="Times played in all.")] = 1,
    seed: Annotated[int, typer.Option("--seed", help="Another number gives another tune.")] = 1,
    midi_type: Annotated[
        int, typer.Option("--type", help="MIDI file type: 1, or 0 for pianos that read only that.")
    ] = 1,
    feel: options.FeelChoice = None,
    without: options.Without = None,
    lead_in: options.LeadIn = False,
    form: options.FormChoice = Form.PLAIN,
    turn: options.TurnBars = None,
    climb: options.ClimbChoice = None,
    build_up: options.BuildUpChoice = None,
    key_cycle: options.KeyCycle = False,
    stems: options.Stems = False,
    short_names: options.ShortNames = False,
    sheet: Annotated[
        bool,
        typer.Option(
            "--sheet",
            help="Also an engraved sheet for every key (PDF, and MusicXML to edit), and one PDF of all.",
        ),
    ] = False,
    large_print: options.LargePrint = False,
    audio: options.AudioChoice = None,
    soundfont: options.SoundFont = None,
    name: Annotated[
        str | None, typer.Option("--name", help="The folder's name. [default: from the progression]")
    ] = None,
    out: options.Out = Path("out"),
    force: options.Force = False,
    as_json: options.AsJson = False,
) -> None:
    """Make a pack: play-along MIDI files in every key, mix and tempo, each with its count-in."""
    from tracks.cli.summary import summary
    from tracks.drill.record import drill_record
    from tracks.drill.request import LadderOptions, Request
    from tracks.pack.files import pack_files
    from tracks.pack.folder import write_pack
    from tracks.style.registry import load

    found = load(style)
    request = Request(
        progression, key or (), meter, texture, start, sevenths, hand_range, written_in,
        hand=hand, left=left, spread=spread,
        level=level, name=name, tempos=LadderOptions(slowest, fastest, step, rungs, marks, tempo or ()),
        mixes=mix or (), count_in=count_in, click=click, repeats=repeats, seed=seed, midi_type=midi_type,
        bars=bars, feel=feel, without=without or (), lead_in=lead_in, form=form, turn=turn,
        climb=climb, build_up=build_up, key_cycle=key_cycle, stems=stems, short_names=short_names,
        sheet=sheet, large_print=large_print, audio=audio,
    )  # fmt: skip
    say_remarks(request.remarks)
    options.check_soundfont(soundfont, audio)
    reports = []
    for drill in request.drills(found):
        mixes: set[str] = set()
        with _progress(pack_files(drill, found, soundfont), drill) as files:
            noted = _noting_mixes(files, mixes)
            reports.append((drill, write_pack(out, drill.name, noted, drill_record(drill), force), mixes))
    if as_json:
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
