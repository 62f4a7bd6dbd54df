"""`rungwise show`: a progression worked out, as a table to play from."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tracks.cli import options

if TYPE_CHECKING:
    from tracks.chart import Chart
    from tracks.drill import Drill


def show(
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
    sheet: Annotated[
        Path | None,
        typer.Option(
            "--sheet",
            metavar="FILE",
            help="Write an engraved sheet of it: a .pdf, .svg, .png or .musicxml file.",
        ),
    ] = None,
    large_print: options.LargePrint = False,
    romantext: Annotated[
        Path | None,
        typer.Option(
            "--romantext", metavar="FILE", help="Write the chords as RomanText, which other programs read."
        ),
    ] = None,
    scales: options.Scales = False,
    as_json: options.AsJson = False,
) -> None:
    """Show the smoothest voicings of a progression: notes, inversions, fingers, and what moves."""
    from tracks.chart import charts
    from tracks.request import Request

    request = Request(
        progression,
        key or (),
        meter,
        texture,
        start,
        sevenths,
        hand_range,
        written_in,
        bars=bars,
        hand=hand,
        left=left,
        spread=spread,
    )
    found = [(drill, chart) for drill in request.drills() for chart in charts(drill)]
    for remark in request.remarks:
        typer.echo(f"rungwise: {remark}", err=True)
    if romantext:
        _write_romantext(romantext, found, as_json)
    if sheet:
        from tracks.sheets import write_sheet

        written = write_sheet(sheet, found, large_print)
        if not as_json:
            typer.echo(f"Wrote {', '.join(map(str, written))}.\n")
    elif large_print:
        raise typer.BadParameter("--large-print is the sheet's size; give --sheet FILE too")
    if as_json:
        _print_json([chart for _, chart in found], scales)
        return
    for drill, chart in found:
        _print_table(drill, chart, scales)
    typer.echo("Rest often and stop at pain; where your teacher says otherwise, follow your teacher.")


def _write_romantext(path: Path, found: list[tuple["Drill", "Chart"]], as_json: bool) -> None:
    from tracks.export.romantext import changes_to_romantext

    if len(found) > 1:
        raise typer.BadParameter(
            "--romantext writes one key from one start; choose one --key and one --start"
        )
    drill, chart = found[0]
    path.write_text(changes_to_romantext(chart.changes, drill.name), encoding="utf-8")
    if not as_json:
        typer.echo(f"Wrote {path}.\n")


def _print_json(found: list["Chart"], scales: bool) -> None:
    import json

    from tracks.chart import record

    records = [record(chart) for chart in found]
    if scales:
        from tracks.cli.scales import with_scales

        records = [with_scales(each, chart) for each, chart in zip(records, found, strict=True)]
    typer.echo(json.dumps(records if len(records) > 1 else records[0], indent=2))


def _print_table(drill: "Drill", chart: "Chart", scales: bool) -> None:
    from rich.console import Console

    from tracks.cli.table import chart_table

    console = Console(highlight=False, soft_wrap=False)
    if not console.is_terminal:
        # A file or a pipe has no width to fit; give the sentences the room they need.
        console.width = 120
    texture = drill.texture.value.replace("-", " ")
    console.print(
        f"{chart.key.sign} · {drill.meter} · {texture} · starting in {_START_WORDS[drill.start.value]}"
    )
    console.print(chart_table(chart, drill.texture))
    console.print(f"The right hand moves {chart.movement} half steps in all.\n")
    if scales:
        from tracks.cli.scales import scales_table, words_on_scales

        console.print(scales_table(chart))
        console.print(words_on_scales(chart))


_START_WORDS = {"root": "root position", "first": "first inversion", "second": "second inversion"}
