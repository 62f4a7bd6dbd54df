"""Remarks: what a user should know of what was read, said beside the answer and unlike a refusal."""

from collections.abc import Iterable

import typer


def say_remarks(remarks: Iterable[str], about: str = "") -> None:
    """Print each remark on a line of its own, on the error stream, beside the answer."""
    for remark in remarks:
        typer.echo(f"Remark: {about}{remark}", err=True)
