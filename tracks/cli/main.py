"""The `rungwise` command: its subcommands, and how it ends.

Exit codes: 0 done; 2 a wrong request; 1 a run that failed. Every error is one line on stderr that names
the place and the mend; stdout carries only what was asked for.
"""

import sys
from collections.abc import Sequence

import typer

from tracks.cli import make, progressions, show, styles
from tracks.theory.fault import Fault

DONE, FAILED, WRONG_REQUEST, INTERRUPTED = 0, 1, 2, 130

# Whatever the option parser says of a wrong command line; its class is not public under one lasting name.
_UsageError: type[Exception] = typer.BadParameter.__mro__[1]

app = typer.Typer(
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="Practice material for piano students: the smoothest voicings of any progression in any key, "
    "with fingers and what moves, and play-along MIDI from slow to fast.",
    epilog="Rest often, stop at pain, keep the volume moderate; where your teacher says otherwise, "
    "follow your teacher.",
)


@app.callback(invoke_without_command=True)
def root(
    version: bool = typer.Option(False, "--version", help="Print the version and stop."),
) -> None:
    """Answer what is asked of the program itself."""
    if version:
        from importlib.metadata import version as installed

        typer.echo(f"rungwise {installed('rungwise')}")
        raise typer.Exit


app.command("show")(show.show)
app.command("make")(make.make)
app.command("styles")(styles.styles)
app.command("progressions")(progressions.progressions)


def run(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit code; errors are written to stderr."""
    try:
        code = typer.main.get_command(app).main(arguments, prog_name="rungwise", standalone_mode=False)
    except (Fault, _UsageError) as fault:
        return _complain(_text(fault), WRONG_REQUEST)
    except (KeyboardInterrupt, typer.Abort):
        return _complain("stopped; nothing was left half-written", INTERRUPTED)
    except BrokenPipeError:
        sys.stderr.close()  # the reader has gone: there is nobody to tell
        return FAILED
    except (OSError, RuntimeError) as error:
        return _complain(str(error), FAILED)
    return code if isinstance(code, int) else DONE


def _text(error: Exception) -> str:
    format_message = getattr(error, "format_message", None)
    return format_message() if format_message else str(error)


def _complain(message: str, code: int) -> int:
    line = " ".join(message.split())
    print(f"rungwise: {line}", file=sys.stderr)
    return code


def main() -> None:
    """Run the program."""
    sys.exit(run())
