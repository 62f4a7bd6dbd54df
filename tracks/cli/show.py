"""`rungwise show`: a progression worked out, as a table to play from."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from tracks.cli import options
from tracks.cli.remarks import say_remarks

if TYPE_CHECKING:
    from tracks.drill.drill import Drill
    from tracks.drill.in_key import DrillInKey


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
    from tracks.drill.in_key import in_each_key
    from tracks.drill.request import Request

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
    found = [(drill, in_key) for drill in request.drills() for in_key in in_each_key(drill)]
    if sheet:
        from tracks.pack.sheets import write_sheet

        written = write_sheet(sheet, found, large_print)
        if not as_json:
            typer.echo(f"Wrote {', '.join(map(str, written))}.\n")
    elif large_print:
        raise typer.BadParameter("--large-print is the sheet's size; give --sheet FILE too")
    if romantext:
        _write_romantext(romantext, found, as_json)
    say_remarks(request.remarks)
    if as_json:
        _print_json([in_key for _, in_key in found], scales)
        return
    for drill, in_key in found:
        _print_table(drill, in_key, scales)
    typer.echo("Rest often and stop at pain; where your teacher says otherwise, follow your teacher.")


def _write_romantext(path: Path, found: list[tuple["Drill", "DrillInKey"]], as_json: bool) -> None:
    from tracks.progression.romantext_writer import changes_to_romantext

    if len(found) > 1:
        raise typer.BadParameter(
            "--romantext writes one key from one start; choose one --key and one --start"
        )
    drill, in_key = found[0]
    path.write_text(changes_to_romantext(in_key.changes, drill.name), encoding="utf-8")
    if not as_json:
        typer.echo(f"Wrote {path}.\n")


def _print_json(found: list["DrillInKey"], scales: bool) -> None:
    import json

    from tracks.drill.in_key import record

    records = [record(in_key) for in_key in found]
    if scales:
        from tracks.cli.scales import with_scales

        records = [with_scales(each, in_key) for each, in_key in zip(records, found, strict=True)]
    typer.echo(json.dumps(records if len(records) > 1 else records[0], indent=2))


def _print_table(drill: "Drill", in_key: "DrillInKey", scales: bool) -> None:
    from rich.console import Console

    from tracks.cli.table import in_key_table

    console = Console(highlight=False, soft_wrap=False)
    if not console.is_terminal:
        # A file or a pipe has no width to fit; give the sentences the room they need.
        console.width = 100
    texture = drill.texture.value.replace("-", " ")
    console.print(
        f"{in_key.key.sign} · {drill.meter} · {texture} · starting in {_START_WORDS[drill.start.value]}"
    )
    console.print(in_key_table(in_key, drill.texture))
    console.print(f"The right hand moves {in_key.movement} half steps in all.\n")
    if scales:
        from tracks.cli.scales import scales_table, words_on_scales

        console.print(scales_table(in_key))
        console.print(words_on_scales(in_key))


_START_WORDS = {"root": "root position", "first": "first inversion", "second": "second inversion"}
