"""The table of options as the command line takes it, and the few options that are the command line's own.

A command that asks for a drill is declared by `asking`: the table's rows are its options, and what was said
comes as a mapping. Words stay words until the table reads them, so that a lesson's fields and the prompt's
options are checked by one reader.
"""

import inspect
from collections.abc import Callable, Mapping
from functools import partial
from keyword import iskeyword
from pathlib import Path
from typing import Annotated, Any, TypeAlias

import typer

from tracks.cli.parser import InWords
from tracks.cli.saying import say_remarks
from tracks.drill import kinds
from tracks.drill.kinds import Shape
from tracks.drill.options import BY_NAME, PROGRESSION, Group, Option, former, of_command, remarks_on
from tracks.drill.request import Request, request_of
from tracks.theory.errors import RequestError, read

Given: TypeAlias = Mapping[str, Any]
"""The options that were said, by name, in the shape of their kind."""

OUT = Option("out", kinds.FOLDER, "Where packs go.", Group.FILES, usual="out")
FORCE = Option(
    "force", kinds.YES_NO, "Replace a folder even where it holds files that are not ours.", Group.FILES
)
SOUNDFONT = Option(
    "soundfont", kinds.FILE, "The instruments that --audio and --page play on: a SoundFont 2 file (.sf2).",
    Group.SOUND, usual="a small one",
)  # fmt: skip
JSON = Option("json", kinds.YES_NO, "Print JSON for machines instead of words.")
SHEET = Option(
    "sheet", kinds.FILE, "Write an engraved sheet of it: a .pdf, .svg, .png or .musicxml file.", Group.FILES
)
ROMANTEXT = Option(
    "romantext", kinds.FILE, "Write the chords as RomanText, which other programs read.", Group.FILES
)
SCALES = Option(
    "scales", kinds.YES_NO,
    "Also the scales to improvise on, the guide tones and the notes to pass over.", Group.HANDS,
)  # fmt: skip
TUNE = Option(
    "tune", kinds.YES_NO,
    "Also the tune that style improvise plays over it, bar by bar, and what each of its notes does.",
    Group.SOUND,
)  # fmt: skip
WRITE_OVER = Option("force", kinds.YES_NO, "Write over files that are there already.", Group.FILES)
SKILL = Option("skill", kinds.TEXT, "What to train; --skills lists them.", usual="cadences")
OWN = {option.name: option for option in (OUT, FORCE, SOUNDFONT, JSON, SHEET, ROMANTEXT, SCALES, TUNE, SKILL)}
"""The command line's own options by name."""


TAKES = Option(
    "takes", kinds.Kind(Shape.TEXTS, "TAKE.mid..."),
    "The recorded takes, MIDI files; then, without --drill, the progression that they are of.",
)  # fmt: skip
"""What `check` marks; at the prompt it has no dashes."""
_ARGUMENTS = (PROGRESSION.name, TAKES.name)


def asking(
    command: str, *own: Option, first: Option = PROGRESSION
) -> Callable[[Callable[[Given], None]], Callable[..., None]]:
    """Return a decorator for a command that takes its argument, the table's options and its own."""
    options = sorted((*of_command(command), *own), key=_heading)
    known = {option.name: option for option in (first, *options)}
    old = former(known)
    parameters = [_parameter(option, name) for name, option in {**known, **old}.items()]

    def declare(function: Callable[[Given], None]) -> Callable[..., None]:
        def run(**words: Any) -> None:
            function(_given({**known, **old}, words))

        run.__doc__ = function.__doc__
        run.__signature__ = inspect.Signature(parameters)  # type: ignore[attr-defined]
        run.command_class = InWords  # type: ignore[attr-defined]
        return run

    return declare


def request(command: str, given: Given) -> Request:
    """Return what a command is asked of a drill; what is said in a former word is remarked on on stderr."""
    mine = {option.name for option in of_command(command)} | {PROGRESSION.name}
    mine |= set(former({name: BY_NAME[name] for name in mine}))
    said = {name: value for name, value in given.items() if name in mine}
    say_remarks(remark for _, remark in remarks_on(said))
    return request_of(said)


def _heading(option: Option) -> int:
    return list(Group).index(option.group) if option.group else len(Group)


def _parameter(option: Option, name: str) -> inspect.Parameter:
    """Return an option as a parameter of a function, in the words that the parser finds."""
    shape = option.kind.shape
    typed: Any = bool if shape is Shape.YES_NO else list[str] if shape.is_many else str
    return inspect.Parameter(
        _identifier(name),
        inspect.Parameter.KEYWORD_ONLY,
        default=inspect.Parameter.empty if option.name in _ARGUMENTS else None,
        annotation=Annotated[typed, declared(option, name)],
    )


def declared(option: Option, name: str = "") -> Any:
    """Return the parser's declaration of an option, hidden where it goes by a former name."""
    if option.name in _ARGUMENTS:
        return typer.Argument(
            metavar=option.kind.metavar,
            help=option.help,
            readable=False,
            autocompletion=option.complete or None,
        )
    former_name = name not in ("", option.name)
    flag = f"--{name if former_name else option.at_prompt}"
    if option.kind.shape is Shape.YES_NO and option.default:
        flag = f"{flag}/--no-{flag[2:]}"
    return typer.Option(
        flag,
        *([f"-{option.short}"] if option.short and not former_name else []),
        metavar=option.kind.metavar or None,
        help=_help(option),
        hidden=former_name,
        readable=False,  # whoever reads a path tells what is wrong with it, in words of ours
        show_default=False,
        rich_help_panel=option.group.value if option.group else None,
        autocompletion=_completion(option),
    )


def _help(option: Option) -> str:
    words = f"{option.help} Repeatable." if option.kind.shape.is_many else option.help
    return f"{words}  [default: {option.default}]" if option.default else words


def _completion(option: Option) -> Callable[[str], list[str]] | None:
    words = option.kind.words
    if option.complete or not words:
        return option.complete

    def begun(incomplete: str) -> list[str]:
        return [word for word in words if word.startswith(incomplete)]

    return begun


def _identifier(name: str) -> str:
    word = name.replace("-", "_")
    return f"{word}_" if iskeyword(word) else word


def _given(known: Mapping[str, Option], words: Mapping[str, Any]) -> dict[str, Any]:
    """Return the options that were said, each in the shape of its kind."""
    given = {}
    for name, option in known.items():
        said = words.get(_identifier(name))
        if said is not None and said != []:
            given[name] = read(option.name, partial(kinds.from_prompt, option.kind), said)
    return given


def check_soundfont(soundfont: Path | None, *played_on: object) -> None:
    """Refuse a SoundFont that nothing is played on."""
    if soundfont and not any(played_on):
        raise RequestError("it is what --audio plays on", "give --audio mp3 too", SOUNDFONT.name)


# What a few commands take of the table, for the parser to read by its own means.
Keys = Annotated[list[str] | None, declared(BY_NAME["keys"]._replace(usual="all"))]
Names = Annotated[str | None, declared(BY_NAME["note-names"])]
Audio = Annotated[str | None, declared(BY_NAME["audio"])]
Skill = Annotated[str | None, declared(SKILL)]
SoundFont = Annotated[Path | None, declared(SOUNDFONT)]
Out = Annotated[Path, declared(OUT)]
Force = Annotated[bool, declared(FORCE)]
AsJson = Annotated[bool, declared(JSON)]
AllowStyle = Annotated[
    list[Path] | None,
    typer.Option(
        "--allow-style",
        metavar="PATH",
        readable=False,
        help="Let the files name this style file (.py), which runs as a program. Repeatable.",
    ),
]
