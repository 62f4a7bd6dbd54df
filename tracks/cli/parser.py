"""The option parser's classes, made to start at once, to speak in groups, and to refuse in our words.

The parser reads a parameter by `process_value`, which loads a library of types, at more than all that `show`
costs besides, to turn text into text and nothing into nothing. So a parameter that was left out is not read,
and a command that asks for a drill takes its words as they were said: the table of options reads them.
"""

import re
from collections.abc import Callable, Iterable
from functools import partial
from typing import Any

from typer.core import TyperCommand, TyperGroup

from tracks.theory.errors import RequestError, correction

_Reader = Callable[[Any, Any], Any]
_WIDEST_HELP, _WIDEST_TERM, _ANY_LENGTH = 80, 30, 1000
_LONG_DASHES = "\N{EN DASH}\N{EM DASH}\N{MINUS SIGN}"
_YES_NO = ("yes", "no", "true", "false", "on", "off")
_CHORD = re.compile(r"[#b]*[IViv]+\d*|[A-G][#b]?(m|maj|7|m7|maj7)?|[1-7]{2,}")
_SHEET_FILES = (".pdf", ".svg", ".png", ".musicxml")


class LightGroup(TyperGroup):
    """The program: what of its own options is left out is not read."""

    def get_params(self, ctx: Any) -> list[Any]:
        """Return the parameters, each with its light reader."""
        return _lightly(super().get_params(ctx), words_too=False)

    def get_help(self, ctx: Any) -> str:
        """Return the help, as wide as the terminal."""
        return super().get_help(_in_width(ctx))

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """Write every command with all that it does."""
        commands = ((name, self.get_command(ctx, name)) for name in self.list_commands(ctx))
        rows = [(name, command.get_short_help_str(_ANY_LENGTH)) for name, command in commands if command]
        with formatter.section("Commands"):
            formatter.write_dl(rows)

    def resolve_command(self, ctx: Any, args: list[str]) -> Any:
        """Return the command that the first word names; raise RequestError where there is none."""
        word = args[0]
        if word not in self.commands and not word.startswith("-"):
            raise RequestError(f"there is no command {word!r}", _no_command(word, args[1:], self.commands))
        return super().resolve_command(ctx, args)


class InGroups(TyperCommand):
    """A command whose help stands under headings, in plain text, and that says which words are too many."""

    allow_extra_args = True  # by the parser's leave, so that they can be refused in our words
    words_too = False

    def get_params(self, ctx: Any) -> list[Any]:
        """Return the parameters, each with its light reader."""
        return _lightly(super().get_params(ctx), self.words_too)

    def get_help(self, ctx: Any) -> str:
        """Return the help, as wide as the terminal."""
        return super().get_help(_in_width(ctx))

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Read the words; raise RequestError where some are left over."""
        _check_hyphens(args, {name for param in self.params for name in param.opts})
        rest = super().parse_args(ctx, args)
        if rest and not ctx.resilient_parsing:
            if ctx.info_name == "quiz":
                raise RequestError(
                    f"too many words: {' '.join(rest)}", f"a skill is an option: --skill {rest[0]}"
                )
            raise _too_many(rest, ctx.params.get("sheet") is True)
        return rest

    def format_options(self, ctx: Any, formatter: Any) -> None:
        """Write every option under its heading."""
        records: dict[str, list[tuple[str, str]]] = {}
        for param in self.get_params(ctx):
            record = param.get_help_record(ctx)
            if record:
                heading = "Arguments" if param.param_type_name == "argument" else "Options"
                heading = getattr(param, "rich_help_panel", None) or heading
                term, told = record
                records.setdefault(heading, []).append((_in_lines(term, formatter.width - 2), told))
        for heading, rows in records.items():
            with formatter.section(heading):
                formatter.write_dl(rows, col_max=min(_WIDEST_TERM, formatter.width // 2))


class InWords(InGroups):
    """A command that takes what was said as it was said: words, lists of words, and yes or no."""

    words_too = True


def _in_width(ctx: Any) -> Any:
    """Return the parser's context with the width of the terminal, of which it takes no less than 50."""
    import shutil

    ctx.terminal_width = min(shutil.get_terminal_size().columns, _WIDEST_HELP) - 2
    return ctx


def _in_lines(term: str, most: int) -> str:
    """Return an option and the words that it takes, broken between those where they are too wide."""
    lines = [""]
    for word in re.split(r"(?<=\|)", term):
        if lines[-1] and len(lines[-1] + word) > most:
            lines.append("      ")
        lines[-1] += word
    return "\n".join(lines)


def _lightly(params: list[Any], words_too: bool) -> list[Any]:
    for param in params:
        if "process_value" not in vars(param):
            own = words_too and not param.is_eager
            vars(param)["process_value"] = partial(_read, param.process_value, param.required, own)
    return params


def _read(process_value: _Reader, required: bool, as_said: bool, ctx: Any, value: Any) -> Any:
    """Return a parameter's value; the parser refuses in its own way what is missing."""
    needless = not required if value is None else as_said
    return value if needless else process_value(ctx, value)


_MEANT = {
    "version": "write rungwise --version",
    "play": "make the files to play along with: rungwise make, or rungwise build for a lesson",
    "practice": "make the files to practice with: rungwise make, or rungwise build for a lesson",
    "print": "for a page to print: rungwise make with --sheet, or show with --sheet FILE",
    "list": "rungwise progressions and rungwise styles list what there is",
    "lesson": "begin one: rungwise new lesson.toml",
    "level": "begin one: rungwise new level.toml",
}
"""What people type for a command, and what does it."""


def _no_command(word: str, rest: list[str], commands: Iterable[str]) -> str:
    """Return what to type for a word that is no command: it may be a style's or a progression's name."""
    from tracks.progression.library import LIBRARY, entry
    from tracks.style.registry import names

    if word == "rungwise":
        return "once is enough: leave out the second rungwise"
    if word == "help":
        return f"write rungwise {' '.join([*rest[:1], '--help'])}"
    if word in _MEANT:
        return _MEANT[word]
    if word in names():
        return f'it is a style: rungwise make "I IV V7 I" --style {word}'
    if entry(word):
        return f"it is a progression: rungwise show {word}"
    if word.endswith(".toml"):
        return f"make a lesson's files: rungwise build {word}"
    if " " in word or _CHORD.fullmatch(word):
        return f'show chords: rungwise show "{" ".join([word, *rest])}"'
    of_it = any(word.lower() in each.name.split("-") for each in LIBRARY)
    return correction(
        word, commands, f"rungwise progressions {word}" if of_it else "--help lists the commands"
    )


def _check_hyphens(words: list[str], options: set[str]) -> None:
    """Refuse an option with one hyphen, of which the parser takes the first letter for an option."""
    for word in words:
        if re.match(r"-[A-Za-z]{2}", word) and (option := f"-{word.partition('=')[0]}") in options:
            raise RequestError(f"{word} has one hyphen", f"write two: {option}")


def _too_many(rest: list[str], sheet_asked: bool) -> RequestError:
    extra = " ".join(rest)
    if dashed := next((word for word in rest if word[0] in _LONG_DASHES), ""):
        name = dashed.lstrip(_LONG_DASHES) or "".join(rest[rest.index(dashed) + 1 :][:1])
        return RequestError(f"{dashed} has a long dash", f"write two hyphens: --{name}")
    if all(word.lower() in _YES_NO for word in rest):
        return RequestError(f"too many words: {extra}", "an option of yes or no stands alone: leave it out")
    if sheet_asked and rest[0].endswith(_SHEET_FILES):
        return RequestError(
            f"make's sheets go into the pack, so leave out {extra}", "show --sheet takes a file", "sheet"
        )
    return RequestError(
        f"too many words: {extra}", 'put quotes around words that belong together, like "I IV V"'
    )
