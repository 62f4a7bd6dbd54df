"""The options that commands share. Their texts are turned into values in `request`."""

from typing import Annotated

import typer

from tracks.drill import Mix
from tracks.model import Texture
from tracks.voicing import Sevenths


def _library_names(incomplete: str) -> list[str]:
    from tracks.library import LIBRARY

    return [entry.name for entry in LIBRARY if entry.name.startswith(incomplete)]


def _key_names(incomplete: str) -> list[str]:
    from tracks.theory.key import KEY_SETS

    names = [*KEY_SETS, *(key.folder for key in KEY_SETS["all-30"])]
    return [name for name in names if name.lower().startswith(incomplete.lower())]


def _style_names(incomplete: str) -> list[str]:
    from tracks.registry import names

    return [name for name in names() if name.startswith(incomplete)]


def _mix_names(incomplete: str) -> list[str]:
    return [name for name in ("all", *(mix.value for mix in Mix)) if name.startswith(incomplete)]


Progression = Annotated[
    str,
    typer.Argument(
        metavar="PROGRESSION",
        help='Chords as text ("I vi IV V7", "1 6 4 57", "| Dm7 G7 | C |") or a name from '
        "`rungwise progressions`.",
        autocompletion=_library_names,
    ),
]
Keys = Annotated[
    list[str] | None,
    typer.Option(
        "--key",
        "-k",
        metavar="KEY",
        help='A key: Eb, "F# minor", c (small is minor), or all-major, all-minor, all, all-30. Repeatable.',
        autocompletion=_key_names,
    ),
]
WrittenIn = Annotated[
    str | None,
    typer.Option(
        "--written-in",
        metavar="KEY",
        help="The key that the chord symbols are written in, to transpose them to --key.",
    ),
]
MeterText = Annotated[str, typer.Option("--meter", "-m", metavar="METER", help="A time signature.")]
StartText = Annotated[
    str,
    typer.Option(
        "--start",
        metavar="root|first|second|all",
        help="The inversion of the right hand's first chord; all makes one of each.",
    ),
]
TextureChoice = Annotated[
    Texture | None,
    typer.Option(
        "--texture",
        "-t",
        help="What the hands do: the same chord in both, or chords over a bass line.",
        show_default=False,
    ),
]
SeventhsChoice = Annotated[
    Sevenths | None,
    typer.Option(
        "--sevenths",
        help="Seventh chords: three notes without third or fifth, whichever is smoothest; "
        "three with the third kept; or all four.",
        show_default=False,
    ),
]
RangeText = Annotated[
    str,
    typer.Option("--range", metavar="LOW-HIGH", help="The notes the right hand stays within."),
]
StyleName = Annotated[
    str,
    typer.Option(
        "--style",
        "-s",
        metavar="STYLE",
        help="A style from `rungwise styles`, or the path of a .py file.",
        autocompletion=_style_names,
    ),
]
Mixes = Annotated[
    list[str] | None,
    typer.Option(
        "--mix",
        metavar="MIX",
        help=f"What sounds: {', '.join(mix.value for mix in Mix)}, or all (the default). Repeatable.",
        autocompletion=_mix_names,
    ),
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON for machines instead of words.")]
