"""Handouts: a term's plan to tick off, and an exam's call sheet to mark, as papers.

Conventions
- Keys and notes are shown with their signs; tempos are felt beats a minute.
- A draw has a box for each thing that is listened for; each ticked box is a mark.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import timedelta
from pathlib import PurePath

from tracks.drill.drill import Start
from tracks.drill.request import slug
from tracks.export.paper import BOX, Block, Fields, Heading, Item, Items, Paper, Table, Words
from tracks.lessons.exam import Draw
from tracks.lessons.lesson import LessonDrill
from tracks.lessons.level import Level, Requirement
from tracks.lessons.term import Short, Task, Week, short_of_goal
from tracks.model import PaperSize
from tracks.notation.days import in_words
from tracks.notation.words import INVERSIONS, for_paper
from tracks.pack.about import beat_name, progression_of
from tracks.progression.files import names_a_file
from tracks.progression.library import entry
from tracks.safety import CAUTION
from tracks.theory.key import Key
from tracks.theory.note_names import NoteNames

_SPACING = (
    "A new key comes again after one, three and seven weeks, and all come together in the last. Each time "
    "begins at the tempo where the last one ended; the last ones, one for each way to play it, go a little "
    "above the goal. Climb only when a tempo is easy and even: a week more on a rung is no loss."
)
_HANDS = (
    "What is new is played with the right hand, the left, then both; what comes again with the track, then "
    "each hand against it."
)
_TOO_FEW = (
    "In this term a key does not come back often enough to be brought to the goal in every way that is "
    "asked for. More weeks would help, or fewer ways (starts, textures, styles) in the level."
)
_CALLING = (
    "Call each once and give a bar of the beat. The student plays alone, then hears the track. Tick what was "
    "as it should be: the notes, the fingers, a steady beat, and going on whatever happened."
)
_LISTENED_FOR = ("notes", "fingers", "beat", "went on")
_MARKS = len(_LISTENED_FOR)
_NONE = "\N{EN DASH}"


def term_plan(level: Level, weeks: Sequence[Week]) -> Paper:
    """Return the plan of a term: a table of the weeks, then each with its tasks to tick off."""
    blocks: list[Block] = [
        *_notes(level),
        Words(_SPACING),
        Words(_HANDS),
        Words(CAUTION),
        Heading("The weeks"),
        Table(("Week", "Tempos", "New keys", "Keys again"), tuple(_row(week) for week in weeks)),
    ]
    blocks += _short(short_of_goal(level, weeks))
    for week in weeks:
        blocks += [Heading(_number(level, week)), _tasks(week)]
    heading = level.heading
    day = in_words(heading.date) if heading.date else ""
    return Paper(f"{heading.title}: a term of {len(weeks)} weeks", tuple(blocks), heading.student, day)


def call_sheet(level: Level, seed: int, drawn: Sequence[tuple[Draw, LessonDrill]]) -> Paper:
    """Return what an examiner calls, draw by draw, how each should begin, and where it is marked."""
    marks = tuple(
        (
            str(draw.number),
            draw.requirement.note_names.printed(draw.key.sign),
            _called(draw.requirement),
            f"____ of {_MARKS}",
            "",
        )
        for draw, _ in drawn
    )
    blocks: tuple[Block, ...] = (
        Words(_CALLING),
        Words(CAUTION),
        Items(tuple(_item(*each) for each in drawn)),
        Heading("Marks"),
        Table(("No.", "Key", "What", "Mark", "Remarks"), marks),
        *_subtotals([draw for draw, _ in drawn]),
        Fields(((f"Total, of {_MARKS * len(drawn)}", ""),)),
        Table(("Remarks on the whole",), (("",),) * 3),
        Fields((("Examiner", ""), ("Signature", ""))),
    )
    return Paper(f"{level.heading.title}: mock exam {seed}", blocks, level.heading.student)


def paper_of(level: Level) -> tuple[PaperSize | None, bool]:
    """Return the size of paper that a level names, None where it names none, and whether in large print."""
    said = [requirement.fields for requirement in level.requirements]
    size = next((str(fields["paper"]) for fields in said if "paper" in fields), None)
    return (PaperSize(size) if size else None), any(fields.get("large-print") for fields in said)


# A term.


def _notes(level: Level) -> Iterator[Words]:
    yield from (Words(line) for line in level.heading.notes.splitlines() if line.strip())
    if level.heading.due:
        yield Words(f"To be ready by {in_words(level.heading.due)}.", strong=True)


def _short(short: Sequence[Short]) -> Iterator[Block]:
    """Yield what the term leaves below its goal, and why; nothing where all is reached."""
    if not short:
        return
    yield Heading("Short of the goal")
    yield Words(_TOO_FEW)
    rows = tuple(
        (
            _called(each.requirement),
            ", ".join(_way(each.way)) or _NONE,
            _printed_keys((key, each.requirement.note_names) for key in each.keys),
            f"{each.reached or _NONE} of {each.requirement.goal}",
        )
        for each in short
    )
    yield Table(("What", "How", "Keys", "Gets to"), rows)


def _row(week: Week) -> tuple[str, ...]:
    new = [task for task in week.tasks if task.is_new]
    again = [task for task in week.tasks if not task.is_new]
    tempos = [bpm for task in week.tasks for bpm in task.tempos]
    speed = f"{min(tempos)} to {max(tempos)}" if tempos else _NONE
    return str(week.number), speed, _keys(new) or _NONE, _keys(again) or _NONE


def _number(level: Level, week: Week) -> str:
    first = level.heading.date
    from_day = f", from {in_words(first + timedelta(days=7 * (week.number - 1)))}" if first else ""
    return f"Week {week.number}{from_day}"


def _tasks(week: Week) -> Block:
    if not week.tasks:
        return Words("Nothing is set: play what went well once more.")
    return Table(("Done", "What", "Keys", "Tempos", "How"), tuple(map(_task, week.tasks)))


def _task(task: Task) -> tuple[str, ...]:
    what = f"{_called(task.requirement)}{' (new)' if task.is_new else ''}"
    tempos = ", ".join(map(str, task.tempos))
    return BOX, what, _keys([task]), tempos, ", ".join(_way(task.way)) or _NONE


def _keys(tasks: Iterable[Task]) -> str:
    """Return the keys of tasks in their order, the mode said once: `C, G major; A, E minor`."""
    return _printed_keys((key, task.requirement.note_names) for task in tasks for key in task.keys)


def _printed_keys(keys: Iterable[tuple[Key, NoteNames]]) -> str:
    modes: dict[str, list[str]] = {}
    for key, names in dict.fromkeys(keys):
        tonic, space, mode = names.printed(for_paper(key.name)).partition(" ")
        modes.setdefault(space + mode, []).append(tonic)
    return "; ".join(f"{', '.join(tonics)}{mode}" for mode, tonics in modes.items())


def _way(way: Mapping[str, object]) -> Iterator[str]:
    """Yield in words the way in which a requirement is played, as far as the level says one."""
    if "start" in way:
        yield f"from {INVERSIONS[list(Start).index(Start(str(way['start'])))]}"
    if "texture" in way:
        yield str(way["texture"]).replace("-", " ")
    if "style" in way:
        yield f"{str(way['style']).replace('-', ' ')} style"


# An exam.


def _subtotals(draws: Iterable[Draw]) -> Iterator[Table]:
    """Yield the marks of each requirement together, where one is drawn more than once beside others."""
    counts = Counter(_called(draw.requirement) for draw in draws)
    if 1 < len(counts) < counts.total():
        rows = tuple((called, f"____ of {_MARKS * count}") for called, count in sorted(counts.items()))
        yield Table(("Together", "Mark"), rows)


def _item(draw: Draw, made: LessonDrill) -> Item:
    from tracks.drill.in_key import first_position, in_each_key

    drill = made.drill
    (in_key,) = in_each_key(drill)
    printed = drill.note_names.printed
    right = next((voiced.right for voiced in in_key.chords if voiced.right), None)
    begins = (
        f"begins on {' '.join(printed(for_paper(pitch.name)) for pitch in right.pitches)}: " if right else ""
    )
    symbols = [printed(for_paper(v.at.chord.symbol)) if v.at.chord else "N.C." for v in in_key.chords]
    music, called = progression_of(drill), _called(draw.requirement)
    position = INVERSIONS[first_position(drill, in_key)]
    texture, style = drill.texture.value.replace("-", " "), made.style_name.replace("-", " ")
    what = f"{called} ({music})" if music and music not in called else called
    return Item(
        f"{printed(draw.key.sign)}, {what}",
        (
            f"{texture}, {style} style, from {position}, at {beat_name(drill)} = {drill.tempos[-1]}",
            f"{begins}{' '.join(symbols)}",
            " ".join(f"{BOX} {each}" for each in _LISTENED_FOR),
        ),
        strong=True,
    )


def _called(requirement: Requirement) -> str:
    """Return what a requirement is called among the others: its name, its progression, or both."""
    given = _given(requirement)
    if given == requirement.name:
        return _title(given)
    return ": ".join(filter(None, (_title(given), _in_words(requirement.progression))))


def _in_words(progression: str) -> str:
    if names_a_file(progression):
        return PurePath(progression).stem
    return progression.replace("-", " ") if entry(progression) else for_paper(progression)


def _given(requirement: Requirement) -> str:
    """Return what a level calls a requirement, without the progression that tells it from its like."""
    return requirement.name.removesuffix(slug(requirement.progression)).rstrip("-")


def _title(name: str) -> str:
    words = name.replace("-", " ")
    return words[:1].upper() + words[1:]
