"""`rungwise check`: recorded takes marked against the drill that they are of."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from tracks.cli import options
from tracks.cli.saying import say, say_json
from tracks.cli.waiting import shown
from tracks.drill import kinds
from tracks.drill.options import BY_NAME, PROGRESSION, Group, Option
from tracks.safety import CAUTION_AT_THE_PIANO
from tracks.theory.errors import RequestError, correction, read

if TYPE_CHECKING:
    from tracks.lessons.tolerances import Tolerances
    from tracks.takes.report import Report
    from tracks.takes.sources import Candidates
    from tracks.takes.take import Take

DRILL = Option(
    "drill", kinds.TEXT._replace(metavar="PACK|LESSON"),
    "What the takes are of: a pack's folder, one of packs, a lesson's or an exam's file, or a progression.",
)  # fmt: skip
NEEDS = Option(
    "needs", kinds.TEMPO, "The tempo that is needed, in felt beats a minute.", usual="the drill's fastest"
)
REQUIREMENT = Option(
    "requirement", kinds.FILE._replace(metavar="LEVEL"),
    "A level file whose [check] says what may be wrong, and whose requirements say the tempo.",
)  # fmt: skip
TO_CLICK = Option(
    "to-click", kinds.YES_NO, "The takes were recorded to the click of their own file, as a sequencer does."
)
PICTURE = Option(
    "picture", kinds.FILE, "Also a picture of timing and notes: a .svg or .png file; of more takes one each.",
    Group.FILES,
)  # fmt: skip
REPORT = Option("report", kinds.FILE, "Also one HTML file to send, with words and pictures.", Group.FILES)
PROGRESS = Option(
    "progress", kinds.FILE._replace(metavar="FOLDER"),
    "Note the takes in progress.csv of a folder of lessons, which `rungwise students` reads.", Group.FILES,
)  # fmt: skip
STUDENT = Option("student", kinds.TEXT._replace(metavar="NAME"), "Who played, for --progress.", Group.FILES)
DATE = Option("date", kinds.TEXT._replace(metavar="DAY"), "When, like 2026-03-02, for --progress.",
    Group.FILES, usual="today",
)  # fmt: skip
CHART = Option("chart", kinds.FILE, "Also a chart of the progress so far: a .svg or .png file.", Group.FILES)
BESIDES = tuple(
    BY_NAME[name] for name in ("style", "level", "feel", "form", "turn", "seed", "repeats", "tempos")
)
WRITTEN = (PICTURE, REPORT, PROGRESS, STUDENT, DATE, CHART)
"""What is written of marked takes, and what that needs."""
OWN = {option.name: option for option in (DRILL, NEEDS, REQUIREMENT, TO_CLICK, *WRITTEN)}
_MIDI = (".mid", ".midi", ".smf", ".kar", ".rmi")


@options.asking("show", *OWN.values(), *BESIDES, options.JSON, first=options.TAKES)
def check(given: options.Given) -> None:
    """Mark recorded takes: what was right, how steady, whether the student is ready, and what comes next."""
    from tracks.lessons.tolerances import USUAL, read_tolerances

    paths, candidates = asked_for(given)
    level = Path(given["requirement"]) if "requirement" in given else None
    tolerances = read("requirement", read_tolerances, level) if level else USUAL
    reports = _reports(paths, candidates, tolerances, "to-click" in given)
    marked = [
        (report, needed(given, report, candidates, level))
        for report in shown(reports, len(paths), "Marking takes")
    ]
    tell(given, marked, candidates.progression)


def tell(
    given: options.Given, marked: Sequence[tuple["Report", int | None]], progression: str | None
) -> None:
    """Write what is asked for of marked takes, and print them for machines or in words."""
    from tracks.cli.marks import write_marks
    from tracks.takes.words import report_lines

    written = write_marks(given, marked, progression)
    if "json" in given:
        print_json(marked, progression)
        return
    for report, needs in marked:
        say("\n".join(report_lines(report, needs, progression)) + "\n")
    for path in written:
        say(f"Wrote {path}.")
    say(CAUTION_AT_THE_PIANO)


def asked_for(given: options.Given) -> tuple[list[Path], "Candidates"]:
    """Return the takes that were named, and what they may be of."""
    words = given[options.TAKES.name]
    takes = [Path(word) for word in words if word.lower().endswith(_MIDI)]
    others = [word for word in words if not word.lower().endswith(_MIDI)]
    drill = given.get("drill")
    if not takes:
        raise RequestError(f"{words[0]!r} is no take", "name a .mid file first", "takes")
    if len(others) > 1 or (others and drill):
        raise RequestError(
            f"too many words: {' '.join(others)}", "give the takes, and one progression or --drill", "takes"
        )
    named = drill or next(iter(others), None)
    if named is None:
        raise RequestError(
            "what the takes are of is missing",
            "give --drill with a pack or a lesson, or a progression",
            "drill",
        )
    return takes, candidates_of(given, named)


def candidates_of(given: options.Given, named: str) -> "Candidates":
    """Return what takes may be of, named by a pack, a lesson, or a progression, and what was said besides."""
    from tracks.progression.files import names_a_file
    from tracks.style.registry import load
    from tracks.takes.sources import from_path, from_request

    said = {name: value for name, value in given.items() if name in BY_NAME and name != PROGRESSION.name}
    path = Path(named)
    if named.endswith((".toml", ".json")) or (path.exists() and not names_a_file(named)):
        return from_path(path, said, load)
    if path.parent != Path() and path.parent.is_dir() and not names_a_file(named):
        beside = sorted(each.name for each in path.parent.iterdir())
        raise RequestError(
            f"{path} is not there",
            correction(path.name, beside, "give a pack's folder, or a lesson's .toml file"),
            "drill",
        )
    return from_request({**said, PROGRESSION.name: named}, load)


def _reports(
    paths: Sequence[Path], candidates: "Candidates", tolerances: "Tolerances", to_click: bool
) -> Iterator["Report"]:
    from tracks.takes.judge import evaluate
    from tracks.takes.recognize import recognized
    from tracks.theory.meter import QUARTER

    for place, (path, take) in enumerate(_takes(paths, candidates)):
        try:
            asked = recognized(take, candidates.asked(place))
            per_beat = asked.meter.beat / QUARTER
            click = (
                (lambda moment, take=take, per=per_beat: take.quarters_at(moment) / per) if to_click else None
            )
            yield evaluate(take, asked, tolerances, click)
        except RequestError as fault:
            raise (fault if fault.place else fault.at(str(path))) from fault


def _takes(paths: Sequence[Path], candidates: "Candidates") -> Iterator[tuple[Path, "Take"]]:
    """Yield the takes, each with its file; one file of a whole exam is parted into its items."""
    from tracks.takes.parting import parted
    from tracks.takes.read import read_take

    items = len(candidates.drills) if candidates.in_order and len(paths) == 1 else 1
    for path in paths:
        for take in parted(read_take(path), items):
            yield path, take


def needed(
    given: options.Given, report: "Report", candidates: "Candidates", level: Path | None
) -> int | None:
    """Return the tempo that is needed: as said, as the level has it, else a drill's fastest."""
    from tracks.theory.tempo import parse_bpm

    drill = report.asked.drill
    if "needs" in given:
        return read("needs", lambda text: parse_bpm(text, drill.meter), given["needs"])
    if level:
        from tracks.lessons.level import read_level
        from tracks.style.registry import load

        for requirement in read_level(level, load).requirements:
            if drill.progression in (requirement.progression, *_meant(requirement.progression)):
                return requirement.goal
    if candidates.progression is None or "tempos" in given:
        return drill.tempos[-1]
    return None


def _meant(progression: str) -> tuple[object, ...]:
    from tracks.progression.source import source

    return (source(progression).music,)


def print_json(marked: Sequence[tuple["Report", int | None]], progression: str | None) -> None:
    """Print marked takes for machines: an object, of several a list."""
    from tracks.takes.record import report_record

    records = [report_record(report, needs, progression) for report, needs in marked]
    say_json(records if len(records) > 1 else records[0])
