"""`rungwise listen`: a take recorded from a keyboard that is plugged in, and marked at once."""

from pathlib import Path

from tracks.cli import options
from tracks.cli.check import BESIDES, NEEDS, REQUIREMENT, WRITTEN, candidates_of, needed, print_json
from tracks.cli.saying import say
from tracks.drill import kinds
from tracks.drill.options import PROGRESSION, Option
from tracks.safety import CAUTION_AT_THE_PIANO
from tracks.theory.errors import RequestError, read

KEYBOARD = Option(
    "keyboard", kinds.TEXT._replace(metavar="NAME"), "A part of the keyboard's name.",
    usual="the first that is plugged in",
)  # fmt: skip
_WHAT = PROGRESSION._replace(
    help="What is played: chords as text, a progression's name or file, a pack's folder, or a lesson's file."
)


@options.asking("show", NEEDS, REQUIREMENT, KEYBOARD, *WRITTEN, *BESIDES, options.JSON, first=_WHAT)
def listen(given: options.Given) -> None:
    """Listen to a keyboard against the click that is played to it, and mark the take at once."""
    import time

    from tracks.cli.marks import write_marks
    from tracks.extras import need
    from tracks.lessons.tolerances import USUAL, read_tolerances
    from tracks.takes.judge import evaluate
    from tracks.takes.live import plugged_in, record
    from tracks.takes.recognize import markable, recognized
    from tracks.takes.words import report_lines

    candidates = candidates_of(given, given[PROGRESSION.name])
    every = markable(candidates.asked(0))
    first = every[0]
    if len({asked.drill.name for asked in every}) > 1:
        raise RequestError("this is several drills", "name one pack or one progression", "progression")
    need("live")
    level = Path(given["requirement"]) if "requirement" in given else None
    tolerances = read("requirement", read_tolerances, level) if level else USUAL
    bpm = first.drill.tempos[-1]
    with plugged_in(given.get("keyboard", ""), time.monotonic) as (keyboard, click):
        say(f"Listening: {first.drill.count_in} bars of click, then play.", beside=True)
        take = record(
            keyboard, click, round(first.beats), first.meter, bpm,
            count_in=first.drill.count_in, clock=time.monotonic, wait=time.sleep,
        )  # fmt: skip
    report = evaluate(take, recognized(take, every), tolerances)
    marked = [(report, needed(given, report, candidates, level))]
    written = write_marks(given, marked, candidates.progression)
    if "json" in given:
        print_json(marked, candidates.progression)
        return
    say("\n".join(report_lines(*marked[0], candidates.progression)))
    for path in written:
        say(f"Wrote {path}.")
    say(CAUTION_AT_THE_PIANO)
