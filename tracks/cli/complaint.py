"""What the option parser complains of, in plain words: the place, then the fix.

Conventions
- The parser's classes have no lasting public names, so what they carry is read (`param`, `possibilities`),
  and whatever is not known here stays in the parser's own words.
"""

import re
from typing import Any

from tracks.theory.errors import listed, near_names

_NO_CHOICE = re.compile(r"('.*') is not one of (.+?)\.?")
_TOO_MANY = re.compile(r"Got unexpected extra arguments?(?:\(s\))? \((.+)\)")
_SHEET_FILE = re.compile(r"\.(pdf|svg|png|musicxml)\b")
_SPOKEN_OPTIONS = {"--bpm": "--tempo", "--speed": "--tempo", "--hands": "--mix", "--keys": "--key"}


def in_plain_words(error: Any) -> str:
    """Return one line for an error of the parser, or of our own."""
    if not hasattr(error, "format_message"):
        return str(error)
    message = re.sub("^Value error, ", "", error.message)
    if hasattr(error, "possibilities"):
        return _no_option(error)
    if extra := _TOO_MANY.fullmatch(message):
        return _too_many(extra[1], error.ctx)
    if not hasattr(error, "param") or not message:
        return str(error.format_message())
    place = f"{max(error.param.opts, key=len)}: " if error.param else ""
    if choice := _NO_CHOICE.fullmatch(message):
        message = _no_choice(choice[1], choice[2].replace("'", "").split(", "))
    if "valid integer" in message:
        message = "this takes a whole number, like 2"
    return place + message


def _no_option(error: Any) -> str:
    known = {name for param in error.ctx.command.params for name in param.opts} if error.ctx else set()
    spoken = _SPOKEN_OPTIONS.get(error.option_name)
    near = spoken if spoken in known else next(iter(error.possibilities or ()), None)
    fix = f"did you mean {near}?" if near else "--help lists the options"
    return f"there is no option {error.option_name}; {fix}"


def _no_choice(given: str, choices: list[str]) -> str:
    near = near_names(given, choices)
    fix = f"did you mean {listed(near)}?" if near else f"write {listed(choices)}"
    return f"{given} is no choice; {fix}"


def _too_many(extra: str, context: Any) -> str:
    if context.params.get("sheet") is True and _SHEET_FILE.search(extra):
        return f"--sheet: make's sheets go into the pack, so leave out {extra} (show --sheet takes a file)"
    return f'too many words: {extra}; put quotes around words that belong together, like "I IV V"'
