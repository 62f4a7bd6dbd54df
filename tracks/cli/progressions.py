"""`rungwise progressions`: the library of common progressions."""

from typing import Annotated

import typer

from tracks.cli.options import AsJson
from tracks.cli.saying import say, say_json

Words = Annotated[
    list[str] | None,
    typer.Argument(metavar="WORD", help="Only those with this in their name or description."),
]


def progressions(words: Words = None, as_json: AsJson = False) -> None:
    """List the common progressions that can be asked for by name, and where each comes from."""
    from tracks.progression.library import search
    from tracks.theory.key import Key
    from tracks.theory.numeral_name import printed_text
    from tracks.theory.pitch import Tone, signs

    found = search(words or ())
    if as_json:
        records = [
            {
                "name": entry.name,
                "text": entry.text,
                "mode": entry.mode.value,
                "about": entry.about,
                "source": entry.source,
            }
            for entry in found
        ]
        say_json(records)
        return
    for entry in found:
        say(f"{entry.name} ({entry.mode.value}): {entry.about}")
        say(f"    {signs(printed_text(entry.text, Key(Tone(0), entry.mode)))}")
        say(f"    from: {entry.source}")
