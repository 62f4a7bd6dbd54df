"""`rungwise show`: a progression worked out, as a table to play from."""

from typing import TYPE_CHECKING

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
    meter: options.MeterText = "4/4",
    sevenths: options.SeventhsChoice = None,
    hand_range: options.RangeText = "F3-C6",
    written_in: options.WrittenIn = None,
    as_json: options.AsJson = False,
) -> None:
    """Show the smoothest voicings of a progression: notes, inversions, fingers, and what moves."""
    from tracks.chart import charts
    from tracks.cli.request import Request

    request = Request(progression, key or (), meter, texture, start, sevenths, hand_range, written_in)
    found = [(drill, chart) for drill in request.drills() for chart in charts(drill)]
    if as_json:
        _print_json([chart for _, chart in found])
        return
    for drill, chart in found:
        _print_table(drill, chart)
    typer.echo("Rest often and stop at pain; where your teacher says otherwise, follow your teacher.")


def _print_json(found: list["Chart"]) -> None:
    import json

    from tracks.chart import record

    records = [record(chart) for chart in found]
    typer.echo(json.dumps(records if len(records) > 1 else records[0], indent=2))


def _print_table(drill: "Drill", chart: "Chart") -> None:
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
    console.print(chart_table(chart))
    console.print(f"The right hand moves {chart.movement} half steps in all.\n")


_START_WORDS = {"root": "root position", "first": "first inversion", "second": "second inversion"}
