"""Faults in the words of the command line: the place, then the fix.

Conventions
- A fault of ours stands at an option by its name in the table, and names another in its fix as a lesson says
  it; here both have their dashes.
- What the option parser complains of is told by the fields of its exception: `param`, the parameter that was
  wrong; `option_name`, one that there is not; `possibilities`, those like it. What has none of them is told
  in the parser's own words.
"""

import re
from typing import Any

from tracks.cli.check import OWN as OF_CHECK
from tracks.cli.options import OWN
from tracks.drill.options import BY_NAME, PROGRESSION
from tracks.theory.errors import RequestError, near_names

_FIELD = re.compile(r'([a-z-]+) = "([a-z0-9-]+)"')
_SPOKEN = {spoken: option for option in BY_NAME.values() for spoken in option.spoken}


def in_plain_words(error: Exception) -> str:
    """Return one line for a fault of ours, or for an error of the option parser."""
    if isinstance(error, RequestError):
        return ": ".join(filter(None, (", ".join(_with_dashes(error.place)), _told(error))))
    if getattr(error, "option_name", None) is not None and hasattr(error, "possibilities"):
        return _no_option(error)
    param, message = getattr(error, "param", None), getattr(error, "message", "")
    if param is not None and not message:
        return f"{param.metavar or max(param.opts, key=len)} is missing; --help tells what stands there"
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
    return f"--{option.at_prompt} {field[2]}" if option else field[0]


def _with_dashes(place: tuple[str, ...]) -> tuple[str, ...]:
    option = {**OWN, **OF_CHECK, **BY_NAME}.get(place[0]) if place else None
    if option is None or option is PROGRESSION:
        return place
    return (f"--{option.at_prompt}", *place[1:])


def _no_option(error: Any) -> str:
    known = {name for param in error.ctx.command.params for name in param.opts} if error.ctx else set()
    spoken = _SPOKEN.get(error.option_name.lstrip("-"))
    meant = f"--{spoken.at_prompt}" if spoken else ""
    near = meant if meant in known else next(iter(near_names(error.option_name, known, 1)), "")
    fix = f"did you mean {near}?" if near else "--help lists the options"
    return f"there is no option {error.option_name}; {fix}"
