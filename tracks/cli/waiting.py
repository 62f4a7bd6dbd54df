"""A bar for whoever waits: on a terminal only, and only where the work takes longer than two seconds."""

import sys
import time
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from rich.progress import Progress

_Item = TypeVar("_Item")
_PATIENCE_S = 2.0


def shown(items: Iterable[_Item], total: int, label: str) -> Iterator[_Item]:
    """Pass the items on, as many as `total` about, with a bar on the error stream while they are taken."""
    if not sys.stderr.isatty():
        yield from items
        return
    began, bar = time.monotonic(), None
    try:
        for number, item in enumerate(items, 1):
            yield item
            if bar is None and time.monotonic() - began > _PATIENCE_S:
                bar = _bar(label, total)
            if bar:
                bar.update(bar.task_ids[0], completed=min(number, total))
    finally:
        if bar:
            bar.stop()


def _bar(label: str, total: int) -> "Progress":
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (TextColumn("{task.description}", markup=False), BarColumn(), MofNCompleteColumn())
    bar = Progress(*columns, TimeRemainingColumn(), console=Console(stderr=True), transient=True)
    bar.start()
    bar.add_task(label, total=total)
    return bar
