"""What a command says at the prompt, and what it says of a mistake."""

import pytest

from tracks.cli.main import run


def printed(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """Return what a command prints; it must go well and have nothing to remark on."""
    assert run(arguments) == 0
    captured = capsys.readouterr()
    assert captured.err == ""
    return captured.out


def complaint(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """Return the one line that a command says of a mistake."""
    assert run(arguments) == 2
    captured = capsys.readouterr()
    assert captured.err.count("\n") == 1
    return captured.err
