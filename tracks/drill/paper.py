"""The paper that people print on where they are: US Letter in much of the Americas, else A4.

Source: Unicode CLDR, supplemental data, `paperSize`: the territories of US-Letter.
"""

import os
from collections.abc import Mapping

from tracks.model import PaperSize

_LETTER = "BZ CA CL CO CR GT MX NI PA PH PR SV US VE".split()  # noqa: SIM905, as the source has it
_NAMED = {"United States": "US", "Canada": "CA", "Mexico": "MX", "Philippines": "PH"}
"""How one system calls a territory that others give by its code."""


def usual_paper(environ: Mapping[str, str] = os.environ) -> PaperSize:
    """Return the paper of the locale: what the environment says of it (POSIX), else what the system does."""
    spoken = next((environ[name] for name in ("LC_ALL", "LC_PAPER", "LANG") if environ.get(name)), "")
    return paper_of(spoken or _of_the_system())


def paper_of(locale: str) -> PaperSize:
    """Return the paper of a locale by its name: `en_US.UTF-8`, `English_Canada.1252`, `C`."""
    territory = locale.partition(".")[0].partition("@")[0].rpartition("_")[2]
    return PaperSize.LETTER if _NAMED.get(territory, territory) in _LETTER else PaperSize.A4


def _of_the_system() -> str:
    import locale

    return locale.getlocale()[0] or ""
