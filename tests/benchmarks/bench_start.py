"""What starting costs, as ratios to an empty typer application in the same run.

Run by hand: python tests/benchmarks/bench_start.py
"""

import subprocess
import sys
import tempfile
from pathlib import Path
from statistics import median
from time import perf_counter

EMPTY = """import typer
app = typer.Typer()
@app.command()
def one(): pass
@app.command()
def two(): pass
app()
"""
RUNS = 15


def seconds_of(command: list[str]) -> float:
    """Return the wall time of one run of a command."""
    start = perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return perf_counter() - start


def main() -> None:
    """Print the medians, taken in turns so that a busy moment falls on all alike."""
    with tempfile.TemporaryDirectory() as folder:
        empty = Path(folder) / "empty.py"
        empty.write_text(EMPTY)
        rungwise = [sys.executable, "-c", "from tracks.cli import main; main()"]
        commands = {
            "empty app --help": [sys.executable, str(empty), "--help"],
            "empty app, a command": [sys.executable, str(empty), "one"],
            "rungwise --help": [*rungwise, "--help"],
            "rungwise show --json": [*rungwise, "show", "I vi IV V7 I", "--key", "Eb", "--json"],
        }
        times: dict[str, list[float]] = {name: [] for name in commands}
        for _ in range(RUNS):
            for name, command in commands.items():
                times[name].append(seconds_of(command))
    medians = {name: median(found) for name, found in times.items()}
    for name, found in medians.items():
        print(f"{name:24} {1000 * found:7.0f} ms")
    ratios = {
        "--help to the empty app's --help": ("rungwise --help", "empty app --help"),
        "show to the empty app's command": ("rungwise show --json", "empty app, a command"),
    }
    for words, (ours, theirs) in ratios.items():
        print(f"{words}: {medians[ours] / medians[theirs]:.2f}")


if __name__ == "__main__":
    main()
