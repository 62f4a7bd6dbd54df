"""What starting costs: the light commands load none of the heavy libraries."""

import subprocess
import sys

import pytest

HEAVY = {"music21", "numpy", "mido", "pretty_midi", "lxml", "verovio", "typst", "soundfile", "midirenderer"}
OF_THE_PARSER = {"pydantic"}
"""What the option parser loads to read types, which it is never asked to."""
SCRIPT = (
    "import sys; from tracks.cli.main import run; run(sys.argv[1:]); "
    "print('loaded', *sorted(sys.modules), file=sys.stderr)"
)


@pytest.mark.parametrize(
    "arguments",
    [
        ["--help"],
        ["show", "I vi IV V7 I", "--json"],
        ["show", "I vi IV V7 I"],
        ["make", "I V", "--help"],
        ["progressions"],
    ],
    ids=["help", "show-json", "show", "make-help", "progressions"],
)
def test_light_command_loads_no_heavy_library(arguments: list[str]) -> None:
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT, *arguments], capture_output=True, text=True, check=True
    )
    loaded = set(done.stderr.split("loaded ", 1)[1].split())

    assert "tracks.cli.main" in loaded
    assert not loaded & (HEAVY | OF_THE_PARSER)
