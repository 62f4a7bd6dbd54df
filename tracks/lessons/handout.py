"""Handouts: a term's plan and an exam's call sheet, as Markdown to read, print or tick off.

Conventions
- Whatever a teacher wrote is escaped, so that no title becomes a heading, a list or markup.
- Keys and notes are shown with their signs; tempos are felt beats a minute.

Source of the escapes: any ASCII punctuation may be escaped by a backslash (CommonMark 0.31.2, 2.4); `&` and
`<` are written as entities besides, for readers that pass HTML on.
"""

import re
from collections.abc import Iterable, Sequence

from tracks.lessons.exam import Draw
from tracks.lessons.lesson import LessonDrill
from tracks.lessons.level import Level
from tracks.lessons.term import Task, Week
from tracks.safety import CAUTION
from tracks.theory.key import Key
from tracks.theory.pitch import signs

_SPACING = (
    "A new key comes again after one, three and seven weeks, and all come together in the last. Each time "
    "begins at the tempo where the last one ended; the last goes a little above the goal. Climb only when a "
    "tempo is easy and even: a week more on a rung is no loss."
)
_MARKS = re.compile(r"([\\`*_\[\]|~])|^([#>+=:-])|^(\d+)(?=[.)])")


def escaped(text: str) -> str:
    """Return text as one line of Markdown that reads as it was written, whatever it holds."""
    line = " ".join(text.split()).replace("&", "&amp;").replace("<", "&lt;")
    return _MARKS.sub(_with_backslash, line)


def _with_backslash(match: re.Match[str]) -> str:
    return f"{match[3]}\\" if match[3] else f"\\{match[0]}"


def term_plan(level: Level, weeks: Sequence[Week]) -> str:
    """Return the plan of a term: a table of the weeks, then each with its tasks to tick off."""
    lines = [f"# {escaped(level.heading.title)}: a term of {len(weeks)} weeks", ""]
    lines += [escaped(level.heading.notes), ""] if level.heading.notes else []
    lines += [_SPACING, "", CAUTION, "", "| Week | New keys | Again | Tempos |", "| --- | --- | --- | --- |"]
    lines += [_row(week) for week in weeks]
    for week in weeks:
        lines += ["", f"## Week {week.number}", "", *map(_task, week.tasks)]
        lines += ["", f"Files: `rungwise build week-{week.number:02d}.toml`"]
    return "\n".join(lines) + "\n"


def call_sheet(level: Level, seed: int, drawn: Sequence[tuple[Draw, LessonDrill]]) -> str:
    """Return what an examiner calls, draw by draw, and how each should begin and go on."""
    from tracks.drill.in_key import first_position, in_each_key

    lines = [f"# {escaped(level.heading.title)}: mock exam {seed}", "", CAUTION, ""]
    lines += ["Call each once; give a bar of the beat. The student plays alone, then hears the track.", ""]
    for draw, made in drawn:
        (in_key,) = in_each_key(made.drill)
        right = next((voiced.right for voiced in in_key.chords if voiced.right), None)
        begins = " ".join(pitch.sign for pitch in right.pitches) if right else ""
        symbols = [v.at.chord.symbol if v.at.chord else "N.C." for v in in_key.chords]
        lines += [
            f"{draw.number}. **{draw.key.sign}**, {escaped(signs(draw.requirement.progression))}, "
            f"{made.drill.texture.value.replace('-', ' ')}, {_STARTS[first_position(made.drill, in_key)]}, "
            f"at {draw.requirement.goal}, {escaped(made.drill.style)} style",
            f"   - begins on {begins}; {escaped(signs(' '.join(symbols)))}",
            "   - notes ☐ fingers ☐ beat ☐ carried on ☐",
        ]
    return "\n".join(lines) + "\n"


_STARTS = ("from root position", "from first inversion", "from second inversion", "from third inversion")


def _row(week: Week) -> str:
    new = [key for task in week.tasks if task.is_new for key in task.keys]
    again = [key for task in week.tasks if not task.is_new for key in task.keys]
    tempos = [bpm for task in week.tasks for bpm in task.tempos]
    speed = f"{min(tempos)} to {max(tempos)}" if tempos else ""
    return f"| {week.number} | {_keys(new)} | {_keys(again)} | {speed} |"


def _task(task: Task) -> str:
    speed = ", ".join(map(str, task.tempos))
    hands = "right, left, then both" if task.is_new else "with the track, then each hand against it"
    way = "".join(f", {escaped(str(word))}" for word in task.way.values())
    when = "new" if task.is_new else "again"
    return f"- [ ] {when}: {escaped(task.requirement.name)} in {_keys(task.keys)} at {speed}{way}; {hands}"


def _keys(keys: Iterable[Key]) -> str:
    return ", ".join(dict.fromkeys(key.sign for key in keys))
