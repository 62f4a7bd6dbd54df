"""`rungwise styles`: what styles there are, and which would not load."""

from typing import TYPE_CHECKING, Annotated

import typer

from tracks.cli.options import AsJson
from tracks.cli.saying import say, say_json
from tracks.theory.errors import RequestError, correction, listed

if TYPE_CHECKING:
    from tracks.style import Style


Words = Annotated[
    list[str] | None,
    typer.Argument(metavar="WORD", help="Only those with this in their name or summary."),
]


def styles(words: Words = None, as_json: AsJson = False) -> None:
    """List the styles installed, with the meters, textures and levels each one plays."""
    from tracks.style.registry import load_all

    every, complaints = load_all()
    found = [
        style
        for style in every
        if all(word.lower() in f"{style.info.name} {style.info.summary}".lower() for word in words or ())
    ]
    if words and not found:
        fix = correction(" ".join(words), [style.info.name for style in every], "rungwise styles lists all")
        raise RequestError(f"no style has {listed(words, 'and')}", fix)
    for complaint in complaints:
        say(f"rungwise: {complaint}", beside=True)
    if as_json:
        say_json([_record(style) for style in found])
        return
    for style in found:
        say(_words(style))
    say("Use one with: rungwise make PROGRESSION --style NAME --level 1")


def _record(style: "Style") -> dict[str, object]:
    info = style.info
    return {
        "name": info.name,
        "summary": info.summary,
        "meters": [str(meter) for meter in info.meters],
        "roles": [role.value for role in info.roles],
        "textures": [texture.value for texture in info.textures],
        "levels": list(info.levels),
    }


def _words(style: "Style") -> str:
    info = style.info
    lines = [
        f"{info.name}: {info.summary}",
        f"    meters    {', '.join(map(str, info.meters))}",
        f"    textures  {', '.join(texture.value for texture in info.textures)}",
        f"    parts     {', '.join(role.value for role in info.roles)}",
    ]
    if len(info.levels) > 1:
        lines += [f"    level {number}   {words}" for number, words in enumerate(info.levels, 1)]
    return "\n".join(lines) + "\n"
