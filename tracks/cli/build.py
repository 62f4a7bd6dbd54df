"""`rungwise build`: the packs of lessons, made where they are not as it says, with a page for each."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NamedTuple

import typer

from tracks.cli import options
from tracks.cli.saying import say, say_json, say_remarks
from tracks.cli.waiting import shown
from tracks.safety import CAUTION_ON_SCREEN
from tracks.theory.errors import RequestError, correction, read, read_all

if TYPE_CHECKING:
    from tracks.lessons.build import Step
    from tracks.lessons.lesson import Lesson
    from tracks.pack.folder import PackFile

    Planned = list[tuple[Lesson, list[Step]]]


def build(
    lesson: Annotated[
        list[Path],
        typer.Argument(metavar="LESSON...", readable=False, help="Lesson files (TOML), or folders of them."),
    ],
    out: options.Out = Path("out"),
    only: Annotated[
        list[str] | None, typer.Option("--only", metavar="DRILL", help="Only this drill. Repeatable.")
    ] = None,
    everything: Annotated[
        bool, typer.Option("--everything", help="Make every drill, even where nothing has changed.")
    ] = False,
    zipped: Annotated[
        bool, typer.Option("--zip", help="Also each lesson in one zip, to mail.")
    ] = False,
    jobs: Annotated[
        int | None,
        typer.Option(
            "--jobs", metavar="NUMBER", help="Make so many drills at a time.  [default: one for each "
            "processor where sound or sheets are made, else 1]",
        ),
    ] = None,
    listed: Annotated[
        bool, typer.Option("--list", help="Print every drill as a command of its own, and make nothing.")
    ] = False,
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Only check the lessons and say what would be made.")
    ] = False,
    allow_style: options.AllowStyle = None,
    force: options.Force = False,
    as_json: options.AsJson = False,
) -> None:  # fmt: skip
    """Make the packs of lessons, a folder for each with a page to start from; only what changed is made."""
    from tracks.lessons.belonging import check_belongs
    from tracks.lessons.lesson import read_lesson
    from tracks.lessons.progress import progress_near
    from tracks.lessons.students import lesson_files
    from tracks.style.registry import load_allowed

    if jobs is not None and jobs < 1:
        raise RequestError(f"{jobs} is too few", "give 1 or more", "--jobs")
    load = load_allowed(allow_style or (), running=not dry_run)
    files = tuple(lesson_files(lesson))
    lessons = _read(files, lambda path: read_lesson(path, load), as_json)
    if listed:
        _print_commands(lessons, out, allow_style or [])
        return
    _check_only(lessons, only)
    for folder in {each.path.parent: None for each in lessons}:
        progress_near(folder)  # the page needs it, and comes last: what is wrong is told before any work
    say_remarks(remark for each in lessons for remark in each.remarks)
    check_belongs(lessons, out, force)
    asked = _Asked(out, tuple(only or ()), everything, zipped, jobs, dry_run, tuple(allow_style or ()), force)
    told = list(_built(lessons, asked, as_json))
    if as_json:
        say_json(told)
        return
    done, same = sum(bool(row["reason"]) for row in told), sum(not row["reason"] for row in told)
    say(f"{done} {'to make' if dry_run else 'made'}, {same} as they should be.")
    say(CAUTION_ON_SCREEN)


def _read(files: Sequence[Path], read_one: Callable[[Path], "Lesson"], quiet: bool) -> list["Lesson"]:
    """Return the lessons of files; where some have mistakes, say which could be built, and raise them all."""
    from tracks.drill.typed import line

    sound: list[str] = []

    def read_sound(path: Path) -> "Lesson":
        lesson = read_one(path)
        sound.append(str(path))
        return lesson

    try:
        return read_all(read_sound, files)
    except RequestError:
        if sound:
            others = line(["rungwise", "build", *sound])
            _say(quiet, f"Nothing is built while a lesson has a mistake. The others alone: {others}")
        raise


class _Asked(NamedTuple):
    """What is asked of a build besides its lessons."""

    out: Path
    only: tuple[str, ...]
    everything: bool
    zipped: bool
    jobs: int | None
    dry_run: bool
    allowed: tuple[Path, ...]
    force: bool


def _built(lessons: list["Lesson"], asked: _Asked, quiet: bool) -> Iterator[dict[str, object]]:
    """Make what is to be made, lesson by lesson, and yield a row for every drill."""
    from tracks.lessons import build as building

    planned = _planned(lessons, asked)
    made = _made(planned, asked)
    for lesson, steps in planned:
        _say(quiet, f"{lesson.name}: {lesson.heading.title}" if lesson.heading.title else lesson.name)
        for step in steps:
            files = _write(step, made, asked) if step.reason and not asked.dry_run else None
            if step.reason:
                say_remarks(step.wanted.remarks, f"{lesson.name}, {step.wanted.drill.name}: ")
            _say(quiet, _words(step, files))
            yield _row(lesson, step, files is not None)
        if not asked.dry_run:
            _hand_over(lesson, asked, quiet)
        for folder in building.left_over(lesson, asked.out):
            _say(quiet, f"  {folder} is no longer in the lesson; delete it when nobody needs it")
    next(made, None)  # so that the bar goes


def _planned(lessons: list["Lesson"], asked: _Asked) -> "Planned":
    """Return every lesson's steps: what one of them lacks is told before any work."""
    from tracks.lessons import build as building

    if not asked.dry_run and not asked.only:
        for lesson in lessons:
            building.tidy(lesson, asked.out)
    planned = []
    for lesson in lessons:
        steps = building.steps(lesson, asked.out, asked.everything)
        named = [step for step in steps if not asked.only or step.wanted.drill.name in asked.only]
        planned.append((lesson, named))
    _say_what_is_asked(planned)
    if not asked.dry_run:
        building.check_places((step for _, steps in planned for step in steps), asked.force)
    return planned


def _say_what_is_asked(planned: "Planned") -> None:
    """Tell what takes long before it begins; raise RequestError, naming the drill, for more than is meant."""
    from tracks.pack import estimate

    every = []
    for lesson, steps in planned:
        for step in steps:
            if step.reason:
                every.append(estimate.estimate(step.wanted.drill, step.wanted.style))
                place = f"{lesson.name}.toml, drill {step.wanted.drill.name}"
                read(place, estimate.check, every[-1])
    asked = estimate.total(every)
    estimate.check(asked)
    say_remarks(filter(None, (estimate.remark(asked),)))


def _made(planned: "Planned", asked: _Asked) -> Iterator[Iterator["PackFile"]]:
    """Return the files of every step to take, as they are made."""
    from tracks.lessons import in_parallel

    work = [(step, lesson.heading) for lesson, steps in planned for step in steps if step.reason]
    is_long = any(step.wanted.drill.is_heard or step.wanted.drill.sheet for step, _ in work)
    workers = asked.jobs or (in_parallel.cores() if is_long else 1)
    made = in_parallel.made([] if asked.dry_run else work, workers, asked.allowed)
    return shown(made, len(work), "Making drills")


def _write(step: "Step", made: Iterator[Iterator["PackFile"]], asked: _Asked) -> int:
    """Write the next files made as a step's pack; return how many they are."""
    from tracks.lessons import build as building

    files = next(made)
    if asked.only:
        files = iter(tuple(files))  # all are made before others have to wait
    with building.turn(asked.out) if asked.only else nullcontext():
        report = building.write(step, files, asked.force)
    say_remarks(report.remarks)
    return report.files


def _hand_over(lesson: "Lesson", asked: _Asked, quiet: bool) -> None:
    from tracks.lessons import build as building
    from tracks.lessons.handing_over import hand_over

    with building.turn(asked.out) if asked.only else nullcontext():
        told, remarks = hand_over(lesson, asked.out, asked.zipped, asked.force)
    for line in told:
        _say(quiet, f"  {line}")
    say_remarks(remarks)


def _check_only(lessons: list["Lesson"], only: list[str] | None) -> None:
    names = [drill.drill.name for each in lessons for drill in each.drills]
    for name in only or ():
        if name not in names:
            raise RequestError(f"no drill is called {name!r}", correction(name, names), "--only")


def _print_commands(lessons: list["Lesson"], out: Path, allowed: list[Path]) -> None:
    """Print a command for every drill; each makes that drill whatever runs beside it."""
    from tracks.drill.typed import line

    more = [*(("--out", str(out)) if out != Path("out") else ())]
    more += [word for path in allowed for word in ("--allow-style", str(path))]
    for each in lessons:
        for drill in each.drills:
            words = ["rungwise", "build", str(each.path), "--only", drill.drill.name, *more]
            say(line(words))


def _row(lesson: "Lesson", step: "Step", made: bool) -> dict[str, object]:
    return {
        "lesson": lesson.name,
        "drill": step.wanted.drill.name,
        "folder": step.folder.as_posix(),
        "made": made,
        "reason": step.reason,
    }


def _words(step: "Step", files: int | None) -> str:
    if not step.reason:
        return f"  as it is  {step.folder}"
    return f"  {'to make' if files is None else 'made   '}   {step.folder}: {step.reason}" + (
        f", {files} file{'' if files == 1 else 's'}" if files is not None else ""
    )


def _say(as_json: bool, line: str) -> None:
    if not as_json:
        say(line)
