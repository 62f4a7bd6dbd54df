"""A style asked to play: whatever it does instead is told in one line, by its name and the role at fault.

Conventions
- What comes back is a tuple of parts whose notes are whole ticks and piano keys, or a RequestError.
- A style from elsewhere (`from_elsewhere`) is also kept from the program's own output, what it prints goes to
  the error stream, and from taking for ever: after SECONDS it is stopped by an exception of ours. One that
  will not be stopped so ends the program, with its name; nothing else can end it.
- `os._exit` in a style cannot be caught, and a single call into compiled code that never comes back can be
  neither stopped nor told of: nothing of ours runs any more.
"""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from tracks.model import Hit, Note, Part, Role
from tracks.style.contract import Brief, Style
from tracks.theory.errors import RequestError
from tracks.theory.pitch import Pitch

if TYPE_CHECKING:
    from random import Random
    from threading import Event

SECONDS = 10.0
"""How long a style from elsewhere may take for one arrangement, or to be imported."""
GRACE_SECONDS = 2.0
"""How long one that was told to stop may take for it."""


class TooLongError(BaseException):
    """It did not end in time; raised inside of a style, whose own `except Exception` does not hold it."""


def play(style: Style, brief: Brief, rng: "Random") -> tuple[Part, ...]:
    """Return the parts that a style plays; raise RequestError, naming it, where it gives no such thing."""
    name = f"style {style.info.name}"
    with told_of(name):
        parts = style.play(brief, rng)
        wrong = _wrong(parts)
    if wrong:
        raise RequestError(f"{name} {wrong}", "its play must return a tuple of tracks.model.Part")
    return parts


def from_elsewhere(style: Style) -> Style:
    """Return the style kept from printing among the answer, and from never ending, while it plays."""
    inner = style.play

    def kept(brief: Brief, rng: "Random") -> tuple[Part, ...]:
        with kept_apart(f"style {style.info.name}"):
            return inner(brief, rng)

    return replace(style, play=kept)


@contextmanager
def told_of(name: str) -> Iterator[None]:
    """Turn whatever a style raises into a RequestError that names it; a person's Ctrl-C passes."""
    try:
        yield
    except RequestError as fault:
        raise fault.at(name) from fault
    except (KeyboardInterrupt, GeneratorExit):
        raise
    except TooLongError:
        raise RequestError(f"{name} did not end within {SECONDS:g} seconds", "ask its author") from None
    except SystemExit as error:
        raise RequestError(f"{name} failed: it asked the program to end", "ask its author") from error
    except BaseException as error:
        words = " ".join(str(error).split())
        raise RequestError(f"{name} failed: {type(error).__name__}: {words}") from error


@contextmanager
def kept_apart(name: str) -> Iterator[None]:
    """Send what is printed to the error stream, stop what takes longer than SECONDS, put the streams back."""
    from threading import Event, Thread, get_ident

    done = Event()
    watch = Thread(target=_watch, args=(name, get_ident(), done), daemon=True)
    watch.start()
    streams = sys.stdin, sys.stdout, sys.stderr
    sys.stdout = sys.stderr
    try:
        yield
    finally:
        sys.stdin, sys.stdout, sys.stderr = streams
        done.set()
        watch.join()
        for _ in range(100):  # an exception that was sent at the last moment arrives here, not later
            pass


def _watch(name: str, thread: int, done: "Event") -> None:
    """Raise TooLongError in a thread that is not done in time; if that does not help, end the program."""
    if done.wait(SECONDS):
        return
    import ctypes
    import os

    ctypes.pythonapi.PyThreadState_SetAsyncExc(ctypes.c_ulong(thread), ctypes.py_object(TooLongError))
    if not done.wait(GRACE_SECONDS):
        os.write(2, f"rungwise: {name} does not end, and cannot be stopped; ask its author\n".encode())
        os._exit(1)


# What a style gave.


def _wrong(parts: object) -> str:
    """Return what is wrong with what a style gave, in words that follow its name, or nothing."""
    if not isinstance(parts, tuple):
        return f"gave {_kind(parts)} and no tuple of parts"
    for part in parts:
        if not isinstance(part, Part) or not isinstance(part.role, Role):
            return f"gave {_kind(part)} where a part should be"
        wrong = _wrong_part(part)
        if wrong:
            return f"gave the {part.role.value} {wrong}"
    return ""


def _wrong_part(part: Part) -> str:
    for values, kind, check in ((part.notes, Note, _note), (part.hits, Hit, _hit)):
        if not isinstance(values, tuple):
            return f"{_kind(values)} and no tuple of {kind.__name__}s"
        for value in values:
            if type(value) is not kind:
                return f"{_kind(value)} where a {kind.__name__} should be"
            if wrong := check(value):
                return wrong
    whole = (part.program, part.pan, part.volume)
    if not all(type(value) is int for value in whole):
        return "a program, pan or volume that is no whole number"
    return ""


def _note(note: Any) -> str:
    if type(note.start) is not int or type(note.length) is not int:
        return f"a note at {note.start!r} for {note.length!r}: times are whole ticks"
    if type(note.pitch) is not Pitch:
        return f"{_kind(note.pitch)} where a note's Pitch should be"
    if type(note.velocity) is not int or type(note.finger) not in (int, type(None)):
        return "a note whose velocity or finger is no whole number"
    return ""


def _hit(hit: Any) -> str:
    whole = type(hit.start) is int and type(hit.key) is int and type(hit.velocity) is int
    return "" if whole else f"a stroke at {hit.start!r}: times, keys and velocities are whole numbers"


def _kind(value: object) -> str:
    return "nothing (None)" if value is None else f"a {type(value).__name__}"
