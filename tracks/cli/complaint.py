"""Faults in the words of the command line: the place, then the fix.

Conventions
- A fault of ours stands at an option by its name in the table, and names another in its fix as a lesson says
  it; here both have their dashes.
- What the option parser complains of is told by the fields of its exception: `param`, the parameter that was
  wrong; `option_name`, one that there is not; `possibilities`, those like it. What has none of them is told
  in the parser's own words.
"""

import json
import re
from typing import Any

from tracks.cli.check import OWN as OF_CHECK
from tracks.cli.options import OWN
from tracks.drill.options import BY_NAME, PROGRESSION
from tracks.drill.typed import line, typed
from tracks.theory.errors import RequestError, listed, near_names

_FIELD = re.compile(r'([a-z-]+) = (\[[^\[\]]*\]|"[^"]*"|\d+)(, (?=[a-z-]+ = ))?')
_AT_PROMPT = {option.at_prompt: option for option in BY_NAME.values()}
_EXAMPLES = {
    "PROGRESSION": 'write the chords, like "I IV V7 I", or a name that rungwise progressions lists',
    "LESSON...": "name a lesson, or begin one: rungwise new lesson.toml",
    "LEVEL": "name a level, or begin one: rungwise new level.toml",
    "TAKE.mid...": "name the MIDI file of the take, and what it is of: --drill out/NAME",
}
"""What may stand for an argument that was left out."""
_COUNTED = ("weeks", "draws", "questions")
"""Options of a command or two that stand in no table."""
_IN_LESSONS = ("student", "title", "notes", "due", "date")
_SPOKEN = {spoken: option for option in BY_NAME.values() for spoken in option.spoken}


def in_plain_words(error: Exception) -> str:
    """Return one line for a fault of ours, or for an error of the option parser."""
    if isinstance(error, RequestError):
        return ": ".join(filter(None, (", ".join(_with_dashes(error.place)), _told(error))))
    if getattr(error, "option_name", None) is not None and hasattr(error, "possibilities"):
        return _no_option(error)
    if getattr(error, "option_name", None) is not None:
        return _no_value(error)
    param, message = getattr(error, "param", None), getattr(error, "message", "")
    if param is not None and not message:
        what = param.metavar or max(param.opts, key=len)
        return f"{what} is missing; {_EXAMPLES.get(what, '--help tells what stands there')}"
    if param is None:
        return str(getattr(error, "format_message", error.__str__)())
    what = "this takes a whole number, like 2" if _is_no_whole_number(error) else message
    return f"{max(param.opts, key=len)}: {what}"


def _is_no_whole_number(error: Exception) -> bool:
    """Whether the parser's reader of whole numbers refused a word; it tells its faults by their types."""
    faults: list[Any] = getattr(error.__cause__, "errors", list)()
    return any(fault.get("type") == "int_parsing" for fault in faults)


def _told(fault: RequestError) -> str:
    """Return a fault's reason and fix; the field of a lesson that mends an option is here an option too."""
    return _FIELD.sub(_typed, fault.told) if fault.place and fault.place[0] in BY_NAME else fault.told


def _typed(field: "re.Match[str]") -> str:
    option = BY_NAME.get(field[1])
    if not option:
        return field[0]
    said = json.loads(field[2])
    words = typed(option, [str(each) for each in said] if isinstance(said, list) else str(said))
    return line(words) + (" " if field[3] else "")


def _with_dashes(place: tuple[str, ...]) -> tuple[str, ...]:
    option = {**OWN, **OF_CHECK, **BY_NAME}.get(place[0]) if place else None
    if place and place[0] in _COUNTED:
        return (f"--{place[0]}", *place[1:])
    if option is None or option is PROGRESSION:
        return place
    return (f"--{option.at_prompt}", *place[1:])


def _no_value(error: Any) -> str:
    """Return what to say where an option's value is left out."""
    params = error.ctx.command.params if error.ctx else ()
    param = next((each for each in params if error.option_name in each.opts), None)
    option = _AT_PROMPT.get(error.option_name.lstrip("-"))
    choices = f"write {listed(option.kind.words)}" if option and option.kind.words else ""
    what = (param.metavar if param else None) or "value"
    return f"{error.option_name}: its {what} is missing; {choices or '--help tells what stands there'}"


def _elsewhere(name: str) -> str:
    """Return where an option is one, if at another command or in a lesson."""
    if name in _IN_LESSONS:
        return f'a lesson says it: {name} = "..."'
    if name in _AT_PROMPT:
        return f"rungwise make takes --{name}"
    return f"rungwise show takes --{name}" if name in OWN else "--help lists the options"


def _no_option(error: Any) -> str:
    known = {name for param in error.ctx.command.params for name in param.opts} if error.ctx else set()
    spoken = _SPOKEN.get(error.option_name.lstrip("-"))
    meant = f"--{spoken.at_prompt}" if spoken else ""
    near = meant if meant in known else next(iter(near_names(error.option_name, known, 1)), "")
    is_meant = near and meant in ("", near)
    fix = f"did you mean {near}?" if is_meant else _elsewhere((meant or error.option_name)[2:])
    return f"there is no option {error.option_name}; {fix}"
