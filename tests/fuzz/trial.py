"""Trials in a process of their own, within bounds of memory and time; what fails is made small and kept.

Conventions
- A trial is drawn from the seed, its kind and its number alone, so that each can be tried again by itself.
- The process announces the number that it tries. Where it dies, or takes too long and is killed, that trial
  has failed, and another process goes on with the next.
"""

import json
import mmap
import os
import re
import shutil
import signal
import tempfile
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import partial
from pathlib import Path
from random import Random
from typing import NamedTuple, NoReturn

from .kinds import Kind

MOST_BYTES = 3_000_000_000
"""The address space of a trial's process; what is loaded for music, paper and sound takes half of it."""
_PATIENCE = 0.02
_TRIES_TO_SHORTEN = 150


class Failure(NamedTuple):
    """A trial that failed: its number, what it was tried on, and how it failed."""

    number: int
    content: bytes
    fault: str


class Tally(NamedTuple):
    """What became of a kind."""

    tried: int
    seconds: float
    failures: tuple[Failure, ...]


def drawn(kind: Kind, seed: int, number: int) -> bytes:
    """Return the content of one trial."""
    return kind.draw(Random(f"{seed} {kind.name} {number}"))


def tried(kind: Kind, seed: int, seconds: float, most_failures: int = 20) -> Tally:
    """Try a kind until all its trials are done, the time is over, or too much has failed."""
    began = time.monotonic()
    failures: list[Failure] = []
    number = 0
    while number < kind.trials and time.monotonic() - began < seconds and len(failures) < most_failures:
        number, fault = _process(partial(_many, kind, seed, number, began + seconds), kind.seconds)
        if fault:
            failures.append(Failure(number, drawn(kind, seed, number), fault))
            number += 1
    return Tally(number, time.monotonic() - began, tuple(failures))


def fault_of(kind: Kind, content: bytes) -> str:
    """Return how a content fails, tried in a process of its own; empty where it does not."""
    return _process(lambda _: _one(kind, content), kind.seconds)[1]


def _many(kind: Kind, seed: int, first: int, until: float, at: Callable[[int], None]) -> None:
    for number in range(first, kind.trials):
        at(number)
        if time.monotonic() > until:
            return
        _one(kind, drawn(kind, seed, number))
    at(kind.trials)


def _one(kind: Kind, content: bytes) -> None:
    folder = Path(tempfile.mkdtemp(prefix="rungwise-fuzz-"))
    try:
        kind.check(content, folder)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _process(work: Callable[[Callable[[int], None]], None], seconds: float) -> tuple[int, str]:
    """Do work in a forked process; return the number that it came to, and how it failed, if it did."""
    at = memoryview(mmap.mmap(-1, 16)).cast("d")  # the trial's number, and when it began
    at[1] = time.monotonic()
    read, write = os.pipe()

    def announce(number: int) -> None:
        at[0], at[1] = number, time.monotonic()

    child = os.fork()
    if not child:
        os.close(read)
        _work(lambda: work(announce), write)
    with suppress(OSError):
        os.setpgid(child, child)  # here too, whoever comes first: it is killed as a group
    os.close(write)
    fault = _watched(child, at, seconds)
    with os.fdopen(read, "rb") as told:
        fault = told.read().decode("utf-8", "replace") or fault
    return int(at[0]), fault


def _watched(child: int, at: "memoryview[float]", seconds: float) -> str:
    """Wait for a process, and kill it where one trial takes too long; return how it died, if it did."""
    while True:
        ended, status = os.waitpid(child, os.WNOHANG)
        if ended:
            return f"killed by signal {os.WTERMSIG(status)}" if os.WIFSIGNALED(status) else ""
        if time.monotonic() - at[1] > seconds:
            os.killpg(child, signal.SIGKILL)
            os.waitpid(child, 0)
            return f"more than {seconds:g} seconds"
        time.sleep(_PATIENCE)


def _work(work: Callable[[], None], write: int) -> NoReturn:
    import resource

    os.setpgid(0, 0)
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))
    try:
        work()
    except BaseException as fault:
        place = _place(fault)
        os.write(write, f"{type(fault).__name__}: {str(fault)[:1500]} [{place}]".encode("utf-8", "replace"))
    os._exit(0)


def _place(fault: BaseException) -> str:
    at = fault.__traceback__
    while at and at.tb_next:
        at = at.tb_next
    return f"{Path(at.tb_frame.f_code.co_filename).name}:{at.tb_lineno}" if at else ""


def shortest(kind: Kind, failure: Failure) -> bytes:
    """Return a content as small as a few tries make it that still fails in the same way."""
    pieces, whole = _pieces(failure.content)
    kept = list(pieces)
    length, tries = max(1, len(kept) // 2), 0
    while length and tries < _TRIES_TO_SHORTEN:
        place = 0
        while place < len(kept) and tries < _TRIES_TO_SHORTEN:
            shorter = kept[:place] + kept[place + length :]
            tries += 1
            if shorter and _alike(fault_of(kind, whole(shorter)), failure.fault):
                kept = shorter
            else:
                place += length
        length //= 2
    return whole(kept)


def _pieces(content: bytes) -> tuple[Sequence[object], Callable[[list[object]], bytes]]:
    """Return what a content is made of, and how to put it together again."""
    try:
        held = json.loads(content)
    except ValueError:
        held = None
    if isinstance(held, list):
        return held, lambda kept: json.dumps(kept).encode()
    words = re.findall(rb"<[^>]*>|\s+|[^\s<]+|<", content)
    return words, lambda kept: b"".join(kept)


def _alike(one: str, other: str) -> bool:
    return bool(one) and _kind_of(one) == _kind_of(other)


def _kind_of(fault: str) -> str:
    """Return what tells one fault from another: its first words, without what it quotes."""
    return " ".join(re.sub(r"\d+|'[^']*'", "", fault).split()[:5])
