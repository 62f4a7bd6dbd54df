"""Thirteen minutes of audio need under 500 MB, whatever the kind: measured in a process of its own."""

import subprocess
import sys
from pathlib import Path

import pytest

from tracks.model import AudioFormat

MOST_MB = 500

MAKE = """
import resource, sys
from tracks.cli.main import run
asked = "-k C --tempo 20 --repeats 16 --name long --out".split()
code = run(["make", "I vi IV V7", *asked, *sys.argv[1:]])
print(code, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024)
"""


@pytest.mark.slow
@pytest.mark.parametrize("kind", AudioFormat)
def test_thirteen_minutes_stay_small(kind: AudioFormat, tmp_path: Path) -> None:
    command = [sys.executable, "-c", MAKE, str(tmp_path), "--audio", kind.value]

    ran = subprocess.run(command, capture_output=True, text=True, check=True)

    code, megabytes = map(int, ran.stdout.splitlines()[-1].split())
    assert code == 0
    assert megabytes < MOST_MB
