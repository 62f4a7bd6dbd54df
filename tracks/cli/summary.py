"""What `make` says when a pack is done: what is in it, how to begin, and the command that shows its notes."""

from collections.abc import Iterator, Set
from typing import TYPE_CHECKING

from tracks.drill.drill import Form, Mix
from tracks.drill.options import BY_NAME, TUNES, WHICH_TUNE, of_command
from tracks.drill.request import BY_STYLE
from tracks.drill.typed import line, typed, typed_for
from tracks.safety import CAUTION_ON_SCREEN

if TYPE_CHECKING:
    from tracks.drill.drill import Drill
    from tracks.drill.request import Request
    from tracks.pack.folder import PackReport

_TO_PLAY = {
    Mix.RIGHT_ALONE: "the right hand",
    Mix.LEFT_ALONE: "the left hand",
    Mix.HANDS_TOGETHER: "both hands",
    Mix.YOU_PLAY_RIGHT: "the right hand, which the track leaves to you",
    Mix.YOU_PLAY_LEFT: "the left hand, which the track leaves to you",
    Mix.PANNED_APART: "both hands, one from each side",
}
_IN_FORM = {
    Form.CALL_AND_RESPONSE: "listen, then answer in your turns",
    Form.TRADING_FOURS: "listen, then answer in your turns",
    Form.ECHO: "listen, then play it back in the wait",
    Form.MELODY_OUT: "make up a melody over it",
}


def summary(request: "Request", drill: "Drill", report: "PackReport", written: Set[str]) -> str:
    """Return the lines for a pack; `written` are the mixes that its files have."""
    what = "file" if drill.stems or drill.sheet or drill.is_heard or drill.page else "MIDI file"
    mixes = [mix for mix in drill.mixes or Mix if mix.value in written]
    lines = (
        f"{'Replaced' if report.replaced else 'Made'} {report.folder}: {report.files} {what}"
        f"{'s' * (report.files > 1)}, {report.size / 1000:.0f} kB",
        f"  keys    {', '.join(drill.note_names.printed(key.sign) for key in drill.keys)}",
        f"  tempos  {', '.join(map(str, drill.tempos))} felt beats a minute",
        f"  mixes   {', '.join(mix.value for mix in mixes)}",
        *_passed_over(drill, mixes),
        f"  style   {drill.style}, level {drill.level}, {drill.texture.value}",
        *_sheet_lines(drill),
        *((f"  page    {drill.name}.html, all keys: open it in a browser",) if drill.page else ()),
        *_what_next(drill, report, mixes),
        f"Notes and fingers: {show_command(request, drill)}",
        *_tune_line(drill),
        *(() if drill.sheet else ("For a page to print, make it again with --sheet.",)),
        CAUTION_ON_SCREEN,
    )
    return "\n".join(lines)


def show_command(request: "Request", drill: "Drill") -> str:
    """Return the command that shows a drill's voicings, as asked and as the style prefers."""
    words = ["rungwise", "show", request.progression]
    for option in of_command("show"):
        said = request.given.get(option.name)
        if option.name in BY_STYLE and getattr(drill, option.drill_field) != option.drill_default:
            said = option.kind.say(getattr(drill, option.drill_field))
        elif option.name == "start" and drill.start:
            said = drill.start.value
        words += typed(option, said)
    return line(words)


def _tune_line(drill: "Drill") -> Iterator[str]:
    """Yield how the same command tells what a drill's tune does, where it has one that is told."""
    if drill.style == TUNES and drill.form is not Form.MELODY_OUT:
        which = line(("--tune", *typed_for(drill, (BY_NAME[name] for name in WHICH_TUNE))))
        yield f"What its tune does: the same with {which}"


def _passed_over(drill: "Drill", mixes: list[Mix]) -> Iterator[str]:
    left = [mix.value for mix in drill.mixes or () if mix not in mixes]
    if left:
        in_turn = drill.form in (Form.CALL_AND_RESPONSE, Form.TRADING_FOURS)
        why = "no call would be heard there" if in_turn else f"{drill.style} has nothing to play there"
        yield f"          without {', '.join(left)}: {why}"


def _what_next(drill: "Drill", report: "PackReport", mixes: list[Mix]) -> Iterator[str]:
    from tracks.practice.naming import key_folder

    slowest, fastest = drill.tempos[0], drill.tempos[-1]
    place = report.folder / key_folder(drill.keys[0], short=drill.short_names)
    yield f"Next: open {place} and play along at {slowest}: {_in_order(drill.form, mixes)}."
    if fastest > slowest:
        yield f"Climb when a tempo is easy and even, up to {fastest}."


def _in_order(form: Form, mixes: list[Mix]) -> str:
    """Return how to practice with the mixes there are."""
    if form in _IN_FORM:
        return _IN_FORM[form]
    if {Mix.RIGHT_ALONE, Mix.LEFT_ALONE, Mix.HANDS_TOGETHER} <= set(mixes):
        return "one hand, the other, both"
    return ", then ".join(words for mix, words in _TO_PLAY.items() if mix in mixes)


def _sheet_lines(drill: "Drill") -> Iterator[str]:
    if drill.sheet:
        of_all = ", and one PDF of all keys" if len(drill.keys) > 1 else ""
        yield f"  sheets  a PDF and a MusicXML file in each key's folder{of_all}"
