"""The `rungwise` command: its subcommands, and how it ends.

Exit codes: 0 done; 2 a wrong request; 1 a run that failed. Every error is one line on stderr that names
the place and the fix; stdout carries only what was asked for.
"""

import gc
import sys
from collections.abc import Sequence
from importlib import import_module
from io import TextIOWrapper
from typing import Any

import typer

from tracks.cli.parser import InGroups, LightGroup
from tracks.cli.plainly import plainly
from tracks.safety import CAUTION
from tracks.theory.errors import RequestError

DONE, FAILED, WRONG_REQUEST, INTERRUPTED = 0, 1, 2, 130

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
) -> None:
    """Answer what is asked of the program itself."""
    if version:
        from importlib.metadata import version as installed

        from tracks.pack.version import own_digest

        typer.echo(f"rungwise {installed('rungwise')} ({own_digest()})")
        raise typer.Exit


def run(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit code; errors are written to stderr. No words ask for help."""
    words = list(sys.argv[1:] if arguments is None else arguments) or ["--help"]
    try:
        code = typer.main.get_command(app).main(words, prog_name="rungwise", standalone_mode=False)
    except (RequestError, typer.TyperException) as fault:
        from tracks.cli.complaint import in_plain_words

        return _complain(in_plain_words(fault), WRONG_REQUEST)
    except (KeyboardInterrupt, typer.Abort):
        return _complain("stopped; nothing was left half-written", INTERRUPTED)
    except BrokenPipeError:
        sys.stderr.close()  # the reader has gone: there is nobody to tell
        return FAILED
    except (OSError, RuntimeError) as error:
        return _complain(str(error), FAILED)
    return code if isinstance(code, int) else DONE


def _complain(message: str, code: int) -> int:
    line = " ".join(message.split())
    print(f"rungwise: {line}", file=sys.stderr)
    return code


def main() -> None:
    """Run the program.

    Python's cyclic garbage collection is off: a run makes none worth finding, and a pack of a year needs
    no more memory without it, but every command starts the sooner.
    """
    gc.disable()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper) and stream.encoding.lower().replace("-", "") != "utf8":
            stream.reconfigure(errors=plainly())  # no sign may fail once the work is done
    sys.exit(run())
