"""The `rungwise` command: its subcommands, and what is told where one cannot do what is asked.

Every error is one line on stderr that names the place and the fix; stdout carries only what was asked for.
How a run ends is in `tracks.cli.ending`.
"""

import sys
from collections.abc import Iterable, Sequence
from functools import partial
from importlib import import_module
from typing import Any

import typer

from tracks.cli.ending import DEBUG, DONE, INTERRUPTED, WRONG_REQUEST, ended, tell, without_debug
from tracks.cli.parser import InGroups, LightGroup
from tracks.cli.saying import say
from tracks.safety import CAUTION
from tracks.theory.errors import RequestError

COMMANDS = {
    "show": "show",
    "make": "make",
    "build": "build",
    "students": "students",
    "new": "new",
    "term": "term",
    "exam": "term",
    "quiz": "quiz",
    "check": "check",
    "listen": "listen",
    "styles": "styles",
    "progressions": "progressions",
}
"""Every command, and the module of `tracks.cli` that holds it under its own name."""


_MOST_AT_A_GLANCE = 450
"""Letters, after which more faults are only counted."""
_SETTINGS = {"help_option_names": ["-h", "--help"]}


class _Commands(LightGroup):
    """The commands, each imported when it is asked for: one need not wait for what another needs."""

    def __init__(self, **attributes: Any) -> None:
        super().__init__(**attributes)
        self.commands.update(dict.fromkeys(COMMANDS))  # type: ignore[arg-type]

    def get_command(self, ctx: Any, cmd_name: str) -> Any:  # noqa: ARG002 - the parser's own signature
        if cmd_name not in COMMANDS:
            return None
        function = getattr(import_module(f"tracks.cli.{COMMANDS[cmd_name]}"), cmd_name)
        single = typer.Typer(add_completion=False, pretty_exceptions_enable=False, rich_markup_mode=None)
        kind = getattr(function, "command_class", InGroups)
        single.command(cmd_name, cls=kind, context_settings=_SETTINGS)(function)
        return typer.main.get_command(single)


app = typer.Typer(
    cls=_Commands,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings=_SETTINGS,
    help="Practice material for piano students: the smoothest voicings of any progression in any key, "
    "with fingers and what moves, and play-along MIDI from slow to fast.",
    epilog=CAUTION,
)


@app.callback(invoke_without_command=True)
def root(
    version: bool = typer.Option(False, "--version", help="Print the release and a digest of its sources."),
    debug: bool = typer.Option(False, DEBUG, help="Show the trace of an internal error."),  # noqa: ARG001
) -> None:
    """Answer what is asked of the program itself."""
    if version:
        from importlib.metadata import version as installed

        from tracks.pack.version import own_digest

        say(f"rungwise {installed('rungwise')} ({own_digest()})")
        raise typer.Exit


def run(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit code; errors are written to stderr. No words ask for help."""
    words = list(sys.argv[1:] if arguments is None else arguments)
    return ended(partial(answered, words), debug=DEBUG in words)


def answered(words: Sequence[str]) -> int:
    """Do what the words ask for and return the exit code; what is wrong with them is told."""
    given = without_debug(words) or ["--help"]
    if any("\0" in word for word in given):  # no system hands one on, but a program may
        return tell("a word holds a NUL, which no path or text has; leave it out", WRONG_REQUEST)
    try:
        code = typer.main.get_command(app).main(given, prog_name="rungwise", standalone_mode=False)
    except (RequestError, typer.TyperException) as fault:
        from tracks.cli.complaint import in_plain_words

        faults = map(in_plain_words, getattr(fault, "each", (fault,)))
        return tell(_in_a_line(faults), WRONG_REQUEST)
    except typer.Abort as fault:
        # The parser makes one of a file that ended too soon as well, which nobody asked for.
        raise fault.__cause__ or KeyboardInterrupt from fault
    except SystemExit as end:  # the parser's own way out where the reader of its help has gone
        raise BrokenPipeError from end
    if code == INTERRUPTED:  # what the parser makes of Ctrl-C
        raise KeyboardInterrupt
    return code if isinstance(code, int) else DONE


def _in_a_line(faults: Iterable[str]) -> str:
    """Return faults as the one line that a wrong request gets: each once, as many as are read at a glance."""
    told, *others = dict.fromkeys(faults)
    for place, fault in enumerate(others):
        if len(told) + len(fault) > _MOST_AT_A_GLANCE:
            return f"{told}; and {len(others) - place} more"
        told += f"; also {fault}"
    return told
