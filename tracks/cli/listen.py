"""`rungwise listen`: a take recorded from a keyboard that is plugged in, and marked at once."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from tracks.cli import options
from tracks.cli.check import BESIDES, NEEDS, REQUIREMENT, WRITTEN, candidates_of, needed, tell
from tracks.cli.saying import say
from tracks.drill import kinds
from tracks.drill.options import PROGRESSION, Group, Option
from tracks.theory.errors import RequestError, read

if TYPE_CHECKING:
    from tracks.takes.expected import Asked
    from tracks.takes.take import Take

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
    from tracks.extras import need
    from tracks.lessons.tolerances import USUAL, read_tolerances
    from tracks.takes.judge import evaluate
    from tracks.takes.recognize import markable, recognized

    candidates = candidates_of(given, given[PROGRESSION.name])
    every = markable(candidates.asked(0))
    if len({asked.drill.name for asked in every}) > 1:
        raise RequestError("this is several drills", "name one pack or one progression", "progression")
    need("live")
    level = Path(given["requirement"]) if "requirement" in given else None
    tolerances = read("requirement", read_tolerances, level) if level else USUAL
    take = _recorded(given, every[0])
    report = evaluate(take, recognized(take, every), tolerances)
    tell(given, [(report, needed(given, report, candidates, level))], candidates.progression)


def _recorded(given: options.Given, asked: "Asked") -> "Take":
    """Return what is played of a drill, once it is kept in a file."""
    import time

    from tracks.pack.whole import write_whole
    from tracks.takes.live import plugged_in, record
    from tracks.takes.saving import midi_of

    place = _place(given, asked.drill.name)
    count_in, bpm = asked.drill.count_in, asked.drill.tempos[-1]
    with plugged_in(given.get("keyboard", ""), time.monotonic) as (keyboard, click):
        say(f"Listening: {count_in} bar{'' if count_in == 1 else 's'} of click, then play.", beside=True)
        recording = record(
            keyboard, click, round(asked.beats), asked.meter, bpm,
            count_in=count_in, clock=time.monotonic, wait=time.sleep,
        )  # fmt: skip
    write_whole({place: midi_of(recording, asked.meter, bpm)})
    say(f"Saved {place}.", beside=True)
    return replace(recording.take, name=place.name)


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
