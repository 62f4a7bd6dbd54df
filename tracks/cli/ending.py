"""How a run of the command line ends: its exit code and, where it went wrong, one line on the error stream.

Conventions
- Exit codes: 0 done; 2 a wrong request; 1 a run that failed; 130 stopped by Ctrl-C.
- What a request or the system can cause is told by who knows of it, in words with a fix. Whatever is left
  is a mistake of ours: one line that begins with `internal error`, and its trace where `--debug` asks for it.
- A stream that was closed is no reason to fail: what would go there goes nowhere.

This module loads next to nothing, so that a Ctrl-C while the rest is loaded is told as any other.
"""

import os
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from io import TextIOWrapper
from typing import TextIO

DONE, FAILED, WRONG_REQUEST, INTERRUPTED = 0, 1, 2, 130
DEBUG = "--debug"
STOPPED = "stopped; nothing was left half-written"

_LONGEST = 600
_REPORT = (
    "please report it to the project's list of issues with the command you typed; --debug shows the trace"
)


def main() -> None:
    """Run the program.

    Python's cyclic garbage collection is off: a run makes none worth finding, and a pack of a year needs
    no more memory without it, but every command starts the sooner.
    """
    import gc

    gc.disable()
    open_streams()
    use_plain_signs()
    code = ended(_run, debug=DEBUG in sys.argv)
    sys.exit(code)


def _run() -> int:
    from tracks.cli.main import answered

    return answered(sys.argv[1:])


def ended(work: Callable[[], int], debug: bool = False) -> int:
    """Return the exit code of a run; what it raises is told in one line."""
    try:
        code = work()
        sys.stdout.flush()
    except KeyboardInterrupt:
        return tell(STOPPED, INTERRUPTED)
    except BrokenPipeError:
        _let_go(sys.stdout)  # the reader has gone: there is nobody to tell
        return FAILED
    except MemoryError:
        return tell("there is not enough memory for this; ask for less at once", FAILED)
    except OSError as error:
        _let_go(sys.stdout)
        return tell(_refusal(error), FAILED)
    except Exception as error:
        from tracks.pack.whole import WriteError

        return tell(str(error), FAILED) if isinstance(error, WriteError) else _internal(error, debug)
    return code


def tell(message: str, code: int) -> int:
    """Print a message as one short printable line on the error stream, and return the code."""
    from tracks.cli.fitting import fitted, width
    from tracks.theory.errors import one_line

    with suppress(OSError, ValueError):  # where it cannot be told, the code tells it
        line = fitted(f"rungwise: {one_line(message, _LONGEST)}", width(beside=True))
        print(line, file=sys.stderr, flush=True)
    return code


def open_streams() -> None:
    """Open what was closed onto nothing, so that no file of ours takes the number of a standard stream."""
    while (number := os.open(os.devnull, os.O_RDWR)) < 3:
        pass
    os.close(number)
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, mode, encoding="utf-8"))  # noqa: SIM115, PTH123 - for the run


def use_plain_signs() -> None:
    """Let an output that is not UTF-8 take plain signs for what it cannot hold: none may fail a run."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper) and stream.encoding.lower().replace("-", "") != "utf8":
            from tracks.cli.plainly import plainly

            stream.reconfigure(errors=plainly())


def _refusal(error: OSError) -> str:
    """Return what the system refused, and where it says so."""
    where = f"{os.fsdecode(error.filename)}: " if isinstance(error.filename, str | bytes) else ""
    return f"{where}{error.strerror or error}"


def _internal(error: Exception, debug: bool) -> int:
    if debug:
        import traceback

        with suppress(OSError, ValueError):
            traceback.print_exception(error)
    return tell(f"internal error: {type(error).__name__}: {_said(error)}; {_REPORT}", FAILED)


def _said(error: Exception) -> str:
    words = " ".join(str(error)[:1000].split())
    return words if len(words) <= 160 else words[:160].rstrip() + "..."


def _let_go(stream: TextIO) -> None:
    """Turn a stream that takes nothing more onto nothing, so that Python can end in peace."""
    with suppress(OSError, ValueError):
        nothing = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nothing, stream.fileno())
        os.close(nothing)


def without_debug(words: Sequence[str]) -> list[str]:
    """Return the words of a command without that which asks for traces."""
    return [word for word in words if word != DEBUG]
