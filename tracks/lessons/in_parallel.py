"""Packs made by several processes: each makes the files of a drill; they come back in the order asked for.

Conventions
- Only files travel between processes; they are written by one, so the same bytes land whatever the number.
- A style is found again by its name, because its functions do not travel.
"""

import os
from collections.abc import Iterator, Sequence
from pathlib import Path

from tracks.drill.drill import Drill
from tracks.lessons.build import Step, files_of
from tracks.model import Heading
from tracks.pack.files import pack_files
from tracks.pack.folder import PackFile
from tracks.theory.errors import RequestError

Work = tuple[Step, Heading]


def cores() -> int:
    """Return the number of processors that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def made(work: Sequence[Work], jobs: int, allowed: Sequence[Path] = ()) -> Iterator[Iterator[PackFile]]:
    """Yield the files of each step, in order, made by so many processes.

    With one nothing is made before it is taken. Raises RequestError, which names the drill, as making does,
    and MemoryError where the system ended a process, which it does where memory runs out.
    """
    if jobs < 2 or len(work) < 2:
        yield from (files_of(step, heading) for step, heading in work)
        return
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool
    from multiprocessing import get_context

    with ProcessPoolExecutor(min(jobs, len(work)), mp_context=get_context("spawn")) as pool:
        waiting = [
            pool.submit(_made, step.wanted.drill, step.wanted.style_name, heading, tuple(allowed))
            for step, heading in work
        ]
        try:
            for (step, _), future in zip(work, waiting, strict=True):
                try:
                    yield iter(future.result())
                except RequestError as fault:
                    raise fault.at(f"drill {step.wanted.drill.name}") from None
                except BrokenProcessPool as fault:
                    raise MemoryError from fault
        except BaseException:
            pool.shutdown(cancel_futures=True)
            raise


def _made(drill: Drill, style_name: str, heading: Heading, allowed: tuple[Path, ...]) -> list[PackFile]:
    from tracks.style.band import loaded
    from tracks.style.registry import load_allowed

    style = loaded(style_name, drill.band, load_allowed(allowed))
    return [
        PackFile(path, content, dict(about))
        for path, content, about in pack_files(drill, style, heading=heading)
    ]
