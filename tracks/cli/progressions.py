"""`rungwise progressions`: the library of common progressions."""

import typer

from tracks.cli.options import AsJson


def progressions(as_json: AsJson = False) -> None:
    """List the common progressions that can be asked for by name, and where each comes from."""
    from tracks.progression.library import LIBRARY
    from tracks.theory.key import Key
    from tracks.theory.numeral_name import printed_text
    from tracks.theory.pitch import Tone, signs

    if as_json:
        import json

        records = [
            {
                "name": entry.name,
                "text": entry.text,
                "mode": entry.mode.value,
                "about": entry.about,
                "source": entry.source,
            }
            for entry in LIBRARY
        ]
        typer.echo(json.dumps(records, indent=2))
        return
    for entry in LIBRARY:
        typer.echo(f"{entry.name} ({entry.mode.value}): {entry.about}")
        typer.echo(f"    {signs(printed_text(entry.text, Key(Tone(0), entry.mode)))}")
        typer.echo(f"    from: {entry.source}")
