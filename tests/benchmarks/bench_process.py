"""What a pack costs from the command's start to its exit, against what nobody could save.

Run by hand: python tests/benchmarks/bench_process.py [runs] [year] [plot FILE.png]. All take turns, so that
a busy moment falls on all alike; medians are printed, and ratios, which hold from machine to machine.

- The study pack is 8 chords in 12 keys at 9 tempos in 5 mixes: 540 files. Its yardstick is an empty typer
  application's run plus a bare write of the same bytes.
- `year` also makes a year's pack, 24 keys, 20 progressions, 9 tempos and 6 mixes, as one lesson: 25,920
  files, and prints how much memory the process took beside that of a tenth of it.
- `plot` also draws how the time grows with keys, with chords and with tempos.
- Every process finds its modules compiled, as an installed program does.
"""

import os
import resource
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from pathlib import Path
from statistics import median
from time import perf_counter

from bench_start import EMPTY

CHORDS = ("I", "vi", "ii", "V", "iii", "IV", "V", "I")
MIXES = ("hands-together", "right-alone", "left-alone", "you-play-right", "split")
MAKE = [sys.executable, "-c", "from tracks.cli import main; main()", "make"]
BUILD = [*MAKE[:-1], "build"]

INSTALLED = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}


def study(out: Path, keys: int = 12, chords: int = 8, tempos: int = 9) -> list[str]:
    """Return the command of the study pack, or of one with other numbers of keys, chords and tempos."""
    from tracks.theory.key import KEY_SETS

    text = " ".join(CHORDS[n % len(CHORDS)] for n in range(chords))
    step = 8 if tempos <= 9 else 1
    words = [text, "--out", str(out), "--name", "study", "--step", str(step)]
    words += ["--from", "60", "--to", str(60 + step * (tempos - 1))]
    words += [
        word
        for key in (*KEY_SETS["all-major"], *KEY_SETS["all-minor"])[:keys]
        for word in ("--key", key.name)
    ]
    return [*MAKE, *words, *(word for mix in MIXES for word in ("--mix", mix))]


def run(command: list[str]) -> None:
    """Run a command to its end."""
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL, env=INSTALLED)


def bare_write(files: dict[str, bytes], out: Path) -> None:
    """Write the same bytes to the same paths by the least that the system asks for."""
    for folder in dict.fromkeys(path.rpartition("/")[0] for path in files):
        (out / folder).mkdir(parents=True, exist_ok=True)
    for path, content in files.items():
        handle = os.open(f"{out}/{path}", os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
        os.write(handle, content)
        os.close(handle)


def medians(runs: int, works: Mapping[str, Callable[[], object]]) -> dict[str, tuple[float, float]]:
    """Return the median milliseconds of each work, all taking turns: by the clock, and of the processor."""
    taken: dict[str, list[tuple[float, float]]] = {name: [] for name in works}
    for _ in range(runs):
        for name, work in works.items():
            began = perf_counter(), _processor()
            work()
            taken[name].append((1000 * (perf_counter() - began[0]), 1000 * (_processor() - began[1])))
    return {
        name: (median(clock for clock, _ in found), median(processor for _, processor in found))
        for name, found in taken.items()
    }


def _processor() -> float:
    """Return the processor's seconds spent for this process and those it has waited for."""
    spent = os.times()
    return spent.user + spent.system + spent.children_user + spent.children_system


def compare(runs: int, desk: Path) -> None:
    """Print the study pack against its yardstick."""
    places = (desk / str(number) for number in range(10**6))
    run(study(desk / "first"))
    pack = desk / "first" / "study"
    files = {p.relative_to(pack).as_posix(): p.read_bytes() for p in pack.rglob("*") if p.is_file()}
    (desk / "empty.py").write_text(EMPTY)
    found = medians(
        runs,
        {
            "empty typer app": lambda: run([sys.executable, str(desk / "empty.py"), "one"]),
            "bare write": lambda: bare_write(files, next(places)),
            "rungwise make": lambda: run(study(next(places))),
        },
    )
    for name, (clock, processor) in found.items():
        print(f"{name:20} {clock:7.1f} ms by the clock {processor:7.1f} ms of the processor")
    empty, bare, made = found.values()
    ratios = [whole / (one + other) for one, other, whole in zip(empty, bare, made, strict=True)]
    print(f"{len(files) - 1} files: {ratios[0]:.2f} x the sum of the two, of the processor {ratios[1]:.2f} x")


def year(desk: Path) -> None:
    """Print the time and the memory of a year's pack and of a tenth of it."""
    for drills in (2, 20):
        blocks = ['[defaults]\nkeys = "all"\nfrom = 60\nto = 124\n']
        # Degrees play in major and minor alike, so that one drill holds all 24 keys.
        blocks += [
            f'[[drill]]\nname = "d{n}"\nprogression = "1 {2 + n % 6} 4 5 {1 + n % 5} 4 5 1"\n'
            for n in range(drills)
        ]
        lesson = desk / f"year-{drills}.toml"
        lesson.write_text("\n".join(blocks))
        began = perf_counter()
        run([*BUILD, str(lesson), "--out", str(desk / "year")])
        taken = perf_counter() - began
        files = sum(1 for _ in (desk / "year" / lesson.stem).rglob("*.mid"))
        memory = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
        print(
            f"{files:6} files: {taken:5.2f} s, {1e6 * taken / files:.0f} µs a file, {memory:.0f} MB at most"
        )


def _grown(places: Iterator[Path], name: str, number: int) -> None:
    run(study(next(places), **{name: number}))


def plot(runs: int, desk: Path, path: Path) -> None:
    """Draw how the time of a pack grows with keys, with chords and with tempos: the least of the runs."""
    from matplotlib import pyplot

    sizes = {"keys": (1, 6, 12, 18, 24), "chords": (8, 48, 96, 144, 192), "tempos": (9, 60, 120, 180, 240)}
    _, panels = pyplot.subplots(1, 3, figsize=(12, 4), sharey=True)
    places = (desk / f"grown-{number}" for number in range(10**6))
    for panel, (name, counts) in zip(panels, sizes.items(), strict=True):
        works = {str(n): partial(_grown, places, name, n) for n in counts}
        spent = [1000 * least for least in _least_of_processor(runs, works)]
        panel.plot(counts, spent, "o-")
        panel.set(xlabel=name, title=f"a pack's time by {name}")
        print(name, {count: round(taken) for count, taken in zip(counts, spent, strict=True)})
    panels[0].set_ylabel("milliseconds of the processor, start to exit")
    panels[0].set_ylim(bottom=0)
    pyplot.savefig(path, dpi=80, bbox_inches="tight")


def _least_of_processor(runs: int, works: Mapping[str, Callable[[], object]]) -> list[float]:
    least = dict.fromkeys(works, float("inf"))
    for _ in range(runs):
        for name, work in works.items():
            began = _processor()
            work()
            least[name] = min(least[name], _processor() - began)
    return list(least.values())


def main() -> None:
    """Measure what is asked for and print it."""
    words = sys.argv[1:]
    runs = int(words[0]) if words and words[0].isdigit() else 11
    with tempfile.TemporaryDirectory() as folder:
        desk = Path(folder)
        INSTALLED["PYTHONPYCACHEPREFIX"] = str(desk / "compiled")
        compare(runs, desk)
        if "year" in words:
            year(desk)
        if "plot" in words:
            plot(max(runs // 3, 1), desk, Path(words[words.index("plot") + 1]))


if __name__ == "__main__":
    main()
