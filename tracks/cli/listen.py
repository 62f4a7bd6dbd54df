"""`rungwise listen`: a take recorded from a keyboard that is plugged in, and marked at once."""

from dataclasses import replace
from pathlib import Path

import typer

from tracks.cli import options
from tracks.cli.check import BESIDES, NEEDS, REQUIREMENT, WRITTEN, candidates_of, needed, print_json
from tracks.drill import kinds
from tracks.drill.options import PROGRESSION, Group, Option
from tracks.safety import CAUTION_AT_THE_PIANO
from tracks.theory.errors import RequestError, read

KEYBOARD = Option(
    "keyboard", kinds.TEXT._replace(metavar="NAME"), "A part of the keyboard's name.",
    usual="the first that is plugged in",
)  # fmt: skip
SAVE = Option(
    "save", kinds.FILE, "Where the recording is kept, a .mid file.", Group.FILES,
    usual="take-DRILL-1.mid, or the next number that is free",
)  # fmt: skip
_WHAT = PROGRESSION._replace(
    help="What is played: chords as text, a progression's name or file, a pack's folder, or a lesson's file."
)


@options.asking("show", NEEDS, REQUIREMENT, KEYBOARD, SAVE, *WRITTEN, *BESIDES, options.JSON, first=_WHAT)
def listen(given: options.Given) -> None:
    """Listen to a keyboard against the click that is played to it, and mark the take at once."""
    import time

    from tracks.cli.marks import write_marks
    from tracks.extras import need
    from tracks.lessons.tolerances import USUAL, read_tolerances
    from tracks.pack.whole import write_whole
    from tracks.takes.judge import evaluate
    from tracks.takes.live import plugged_in, record
    from tracks.takes.recognize import markable, recognized
    from tracks.takes.saving import midi_of
    from tracks.takes.words import report_lines

    candidates = candidates_of(given, given[PROGRESSION.name])
    every = markable(candidates.asked(0))
    first = every[0]
    if len({asked.drill.name for asked in every}) > 1:
        raise RequestError("this is several drills", "name one pack or one progression", "progression")
    need("live")
    place = _place(given, first.drill.name)
    level = Path(given["requirement"]) if "requirement" in given else None
    tolerances = read("requirement", read_tolerances, level) if level else USUAL
    bpm = first.drill.tempos[-1]
    with plugged_in(given.get("keyboard", ""), time.monotonic) as (keyboard, click):
        typer.echo(f"Listening: {first.drill.count_in} bars of click, then play.", err=True)
        recording = record(
            keyboard, click, round(first.beats), first.meter, bpm,
            count_in=first.drill.count_in, clock=time.monotonic, wait=time.sleep,
        )  # fmt: skip
    write_whole({place: midi_of(recording, first.meter, bpm)})
    typer.echo(f"Saved {place}.", err=True)
    take = replace(recording.take, name=place.name)
    report = evaluate(take, recognized(take, every), tolerances)
    marked = [(report, needed(given, report, candidates, level))]
    written = write_marks(given, marked, candidates.progression)
    if "json" in given:
        print_json(marked, candidates.progression)
        return
    typer.echo("\n".join(report_lines(*marked[0], candidates.progression)))
    for path in written:
        typer.echo(f"Wrote {path}.")
    typer.echo(CAUTION_AT_THE_PIANO)


def _place(given: options.Given, name: str) -> Path:
    """Return where the recording is kept; raise RequestError where that is no MIDI file, or is there."""
    from tracks.pack.whole import check_writable
    from tracks.takes.saving import free_place

    if "save" not in given:
        return free_place(Path(), f"take-{name}")
    place = Path(given["save"])
    if place.suffix != ".mid":
        raise RequestError(f"{place.name} is no MIDI file", "write a name that ends in .mid", "save")
    read("save", check_writable, [place])
    return place
