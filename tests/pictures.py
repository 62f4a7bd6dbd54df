"""The pictures in README and docs: `python -m tests.pictures` writes docs/pictures/*.png.

Each is what a command writes on its first page, without the empty margins and the foot, at half of its size
and in few grays, so that the file is small.
"""

import tempfile
from itertools import pairwise
from pathlib import Path

from PIL import Image, ImageOps

from tracks.cli.main import run

FOLDER = Path(__file__).parents[1] / "docs" / "pictures"
PICTURES = {
    "sheet": ["show", "I vi IV V7 I", "--key", "Eb", "--paper", "a4"],
    "four-part": ["show", "circle-of-fifths-minor", "--key", "g", "--texture", "four-part", "--paper", "a4"],
}
"""The name of each picture and the command that makes it, but for `--sheet`."""

MARGIN, GRAYS = 24, 16
FOOT_GAP = 300
"""So many empty rows of pixels, and what comes after them is the foot of the page."""


def framed(page: Image.Image) -> Image.Image:
    """Return what is on a page of paper, with a narrow margin, half as large."""
    gray = page.convert("L")
    columns, rows = ImageOps.invert(gray).getprojection()
    inked = [row for row, ink in enumerate(rows) if ink]
    bottom = next((row for row, below in pairwise(inked) if below - row > FOOT_GAP), inked[-1])
    left, right = columns.index(1), len(columns) - columns[::-1].index(1)
    shown = gray.crop((left - MARGIN, inked[0] - MARGIN, right + MARGIN, bottom + MARGIN))
    return ImageOps.scale(shown, 0.5, Image.Resampling.LANCZOS).quantize(GRAYS)


def main() -> None:
    """Make every picture again."""
    FOLDER.mkdir(exist_ok=True)
    for name, command in PICTURES.items():
        with tempfile.TemporaryDirectory() as folder:
            page = Path(folder) / "page.png"
            if run([*command, "--sheet", str(page)]):
                raise SystemExit(f"{name}: the command failed")
            framed(Image.open(page)).save(FOLDER / f"{name}.png", optimize=True)


if __name__ == "__main__":
    main()
