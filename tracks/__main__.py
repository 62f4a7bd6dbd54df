"""`python -m tracks`: the same as `rungwise`.

Python puts the current folder first on its path then. It is taken off again, unless we lie there
ourselves, so that nothing in it is imported for something of ours.
"""

import sys
from pathlib import Path

if not sys.flags.safe_path and Path(sys.path[0]).resolve() != Path(__file__).resolve().parents[1]:
    del sys.path[0]

from tracks.cli import main

main()
