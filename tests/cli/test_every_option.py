"""Every option of the table reaches the drill by every way of saying it, and comes back in `show`'s command.

TRIED has a value that is not the default for every row; a row without one fails, and so does one whose value
is lost on the way from the prompt, from a lesson or from a level.
"""

import shlex
from collections.abc import Callable, Mapping
from dataclasses import fields
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from tracks.cli.main import run
from tracks.cli.summary import show_command
from tracks.drill.drill import BuildUp, Climb, Drill, Ending, Form, Left, Mix, Sevenths, Start
from tracks.drill.kinds import shaped
from tracks.drill.options import BY_NAME, OPTIONS, PROGRESSION, Option, former, of_command
from tracks.drill.record import drill_from_record, drill_record
from tracks.drill.request import Request, request_of
from tracks.drill.typed import typed, typed_for
from tracks.lessons.lesson import lesson_text, read_lesson_text
from tracks.lessons.level import read_level
from tracks.model import NO_HEADING, AudioFormat, PaperSize, Role, Texture
from tracks.progression.lead_sheet import excerpt
from tracks.progression.romantext import parse_romantext
from tracks.style.registry import load
from tracks.theory.key import Key
from tracks.theory.meter import Meter
from tracks.theory.note_names import NoteNames
from tracks.theory.pitch import Pitch

PIECE = "Time Signature: 4/4\n\nm1 C: I\nm2 V\nm3 IV\nm4 I\n"
EXCERPT = excerpt(parse_romantext(PIECE), 2, 3)


class Tried(NamedTuple):
    """A value that is not the default, the Drill's field that it must reach, and what stands there then.

    `needs` are the options that it does not go without; `of` is the progression.
    """

    value: object
    field: str
    means: object
    needs: Mapping[str, object] = {}
    of: str = "I IV V7 I"


OVER_BASS = {"texture": "over-bass"}
TRIED = {
    "keys": Tried(["Eb"], "keys", (Key.parse("Eb"),)),
    "texture": Tried("over-bass", "texture", Texture.OVER_BASS),
    "start": Tried("first", "start", Start.FIRST),
    "meter": Tried("3/4", "meter", Meter(3, 4)),
    "bars": Tried("2-3", "progression", EXCERPT, of="piece.rntxt"),
    "sevenths": Tried("four", "sevenths", Sevenths.FOUR),
    "range": Tried("G3-A5", "low", Pitch.parse("G3")),
    "hand": Tried("9th", "hand", 14),
    "left": Tried("shells", "left", Left.SHELLS, OVER_BASS),
    "spread": Tried(True, "spread", True, OVER_BASS),
    "written-in": Tried("F", "written_in", Key.parse("F"), of="F Bb C7 F"),
    "note-names": Tried("german", "note_names", NoteNames.GERMAN),
    "style": Tried("root-bass", "style", "root-bass"),
    "band": Tried("swing", "band", "swing", {"style": "improvise"}),
    "level": Tried(2, "level", 2, {"style": "rock"}),
    "feel": Tried(False, "feel", False),
    "without": Tried(["drums"], "without", (Role.DRUMS,)),
    "lead-in": Tried(True, "lead_in", True),
    "seed": Tried(7, "seed", 7),
    "audio": Tried("wav", "audio", AudioFormat.WAV),
    "audio-only": Tried(True, "audio_only", True, {"audio": "wav"}),
    "from": Tried(92, "tempos", (92, 100)),
    "to": Tried(68, "tempos", (60, 68)),
    "step": Tried(20, "tempos", (60, 80, 100)),
    "rungs": Tried(2, "tempos", (60, 100)),
    "marks": Tried(True, "tempos", (60, 63, 66), {"to": 66}),
    "tempos": Tried([84, 72], "tempos", (72, 84)),
    "mixes": Tried(["split"], "mixes", (Mix.PANNED_APART,)),
    "count-in": Tried(3, "count_in", 3),
    "click": Tried(False, "click", False),
    "repeats": Tried(2, "repeats", 2),
    "form": Tried("echo", "form", Form.ECHO),
    "turn": Tried(4, "turn", 4, {"form": "call-and-response", "repeats": 2}),
    "ending": Tried("ritardando", "ending", Ending.RITARDANDO),
    "climb": Tried("each-mix", "climb", Climb.EACH_MIX),
    "build-up": Tried("backwards", "build_up", BuildUp.BACKWARDS),
    "key-cycle": Tried(True, "key_cycle", True, {"keys": ["C", "G"]}),
    "sheet": Tried(True, "sheet", True),
    "large-print": Tried(True, "large_print", True, {"sheet": True}),
    "explain": Tried(True, "explain", True, {"sheet": True, "style": "improvise"}),
    "paper": Tried("letter", "paper", PaperSize.LETTER, {"sheet": True}),
    "page": Tried(True, "page", True),
    "stems": Tried(True, "stems", True),
    "audio-stems": Tried("flac", "audio_stems", AudioFormat.FLAC),
    "gm-reset": Tried(True, "gm_reset", True),
    "type": Tried(0, "midi_type", 0),
    "short-names": Tried(True, "short_names", True),
    "name": Tried("lantern", "name", "lantern"),
}

Caught = Callable[..., Drill]


def said(name: str) -> dict[str, object]:
    """Return what is said to try an option, as a lesson has it."""
    tried = TRIED[name]
    keys = {} if name == "bars" else {"keys": ["C"]}
    return {**keys, **tried.needs, name: tried.value}


def request_to_try(name: str) -> Request:
    """Return the request that tries an option."""
    given = {each: shaped(BY_NAME[each].kind, value) for each, value in said(name).items()}
    return request_of({"progression": TRIED[name].of, **given})


def at_prompt(options: Mapping[str, object]) -> list[str]:
    """Return options as they are typed."""
    return [word for name, value in options.items() for word in typed(BY_NAME[name], value)]


@pytest.fixture
def asked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Caught:
    """Return a function that runs a command up to where its drill is known, and returns the drill."""
    (tmp_path / "piece.rntxt").write_text(PIECE)
    monkeypatch.chdir(tmp_path)
    caught: list[Drill] = []

    made = Request.drills

    def catch(request: Request, *style: Any) -> Any:
        caught.extend(made(request, *style))
        raise RuntimeError("caught")

    def ask(*words: str) -> Drill:
        with monkeypatch.context() as patched:
            patched.setattr(Request, "drills", catch)
            assert run(words) == 1, words
        return caught.pop()

    return ask


def test_every_option_is_tried_and_none_by_its_default() -> None:
    assert list(TRIED) == [option.name for option in OPTIONS]
    plain = request_of({"progression": "I IV V7 I", "keys": ("C",)}).drills()[0]
    assert not [name for name, tried in TRIED.items() if getattr(plain, tried.field) == tried.means]


def test_every_field_of_a_drill_is_reached_by_an_option() -> None:
    worked_out = {
        "progression",
        "high",
        "number",
    }  # the argument, the range's other end, and a lesson's order
    assert {tried.field for tried in TRIED.values()} | worked_out == {field.name for field in fields(Drill)}


def test_make_takes_every_option_and_show_those_that_say_what_the_hands_play() -> None:
    assert of_command("make") == tuple(OPTIONS)
    assert [option.name for option in of_command("show")] == [
        "keys", "texture", "start", "meter", "bars", "sevenths", "range", "hand", "left", "spread",
        "written-in", "note-names",
    ]  # fmt: skip


def test_a_lesson_says_every_option_and_a_level_all_but_what_a_term_decides() -> None:
    assert all(option.lesson for option in OPTIONS)
    assert {option.name for option in OPTIONS if not option.in_level} == {
        "from", "to", "step", "rungs", "marks", "tempos", "mixes", "climb", "key-cycle",
    }  # fmt: skip
    assert {option.in_level for option in (PROGRESSION, *OPTIONS)} - {""} - set(BY_NAME) == {
        "progressions", "textures", "styles", "starts",
    }  # fmt: skip


@pytest.mark.parametrize("name", TRIED)
def test_an_option_reaches_the_drill_from_the_prompt(name: str, asked: Caught) -> None:
    tried = TRIED[name]

    for command in BY_NAME[name].commands:
        needs = {each: value for each, value in said(name).items() if command in BY_NAME[each].commands}
        assert getattr(asked(command, tried.of, *at_prompt(needs)), tried.field) == tried.means


@pytest.mark.parametrize("name", [option.name for option in OPTIONS if option.short])
def test_the_letter_of_an_option_does_as_well(name: str, asked: Caught) -> None:
    tried, option = TRIED[name], BY_NAME[name]
    value = tried.value[0] if isinstance(tried.value, list) else tried.value

    assert getattr(asked("make", tried.of, f"-{option.short}", str(value)), tried.field) == tried.means


@pytest.mark.parametrize("name", [option.name for option in OPTIONS if option.lesson])
def test_an_option_reaches_the_drill_from_a_lesson_and_from_its_defaults(name: str, tmp_path: Path) -> None:
    tried = TRIED[name]
    (tmp_path / "piece.rntxt").write_text(PIECE)
    drill = lesson_text(NO_HEADING, [{"progression": tried.of, **said(name)}])
    shared = lesson_text(NO_HEADING, [{"progression": tried.of}]).replace(
        "[[drill]]",
        "[defaults]\n" + lesson_text(NO_HEADING, [said(name)]).partition("[[drill]]\n")[2] + "[[drill]]",
    )

    for text in (drill, shared) if name != "name" else (drill,):
        (made,) = read_lesson_text(text, tmp_path / "week.toml", load).drills
        assert getattr(made.drill, tried.field) == tried.means


@pytest.mark.parametrize("name", [option.name for option in OPTIONS if option.in_level])
def test_an_option_reaches_the_drills_of_a_level(name: str, tmp_path: Path) -> None:
    tried = TRIED[name]
    (tmp_path / "piece.rntxt").write_text(PIECE)
    asked_for: dict[str, object] = {"progressions": [tried.of], "minimum-tempo": 100, "keys": ["C"]}
    for each, value in said(name).items():
        asked_for[BY_NAME[each].in_level] = value
    body = lesson_text(NO_HEADING, [asked_for]).partition("[[drill]]\n")[2]
    (tmp_path / "lamp.toml").write_text(f"[[requirement]]\n{body}")

    (requirement,) = read_level(tmp_path / "lamp.toml", load).requirements
    week = {
        "name": requirement.name,
        "progression": requirement.progression,
        "keys": [key.name for key in requirement.keys],
        **requirement.fields,
        **requirement.ways[0],
        "tempos": [requirement.goal],
    }
    (made,) = read_lesson_text(lesson_text(NO_HEADING, [week]), tmp_path / "week.toml", load).drills

    assert getattr(made.drill, tried.field) == tried.means


@pytest.mark.parametrize("name", [option.name for option in of_command("show")])
def test_the_command_that_shows_a_drill_says_what_was_asked(name: str, asked: Caught, tmp_path: Path) -> None:
    tried, request = TRIED[name], request_to_try(name)
    (drill,) = request.drills()

    words = shlex.split(show_command(request, drill))

    assert words[0] == "rungwise"
    assert getattr(asked(*words[1:]), tried.field) == tried.means


@pytest.mark.parametrize("name", ["range", *(option.name for option in OPTIONS if option.drill_field)])
def test_what_a_drill_has_otherwise_is_typed_and_means_the_same(name: str, asked: Caught) -> None:
    tried, (drill,) = TRIED[name], request_to_try(name).drills()

    keys = typed(BY_NAME["keys"], [key.name for key in drill.keys])

    assert getattr(asked("make", tried.of, *keys, *typed_for(drill, OPTIONS)), tried.field) == tried.means


@pytest.mark.parametrize("name", TRIED)
def test_an_option_is_kept_in_the_manifest(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "piece.rntxt").write_text(PIECE)
    monkeypatch.chdir(tmp_path)
    tried, request = TRIED[name], request_to_try(name)

    (drill,) = request.drills(load(request.style_name))

    assert getattr(drill_from_record(drill_record(drill)), tried.field) == tried.means


def test_a_former_name_is_read_at_the_prompt_and_remarked_on(
    asked: Caught, capsys: pytest.CaptureFixture[str]
) -> None:
    assert asked("make", "I V", "--no-touch").feel is False
    assert asked("make", "I V", "--touch").feel is True
    assert capsys.readouterr().err.splitlines()[0] == "Remark: touch is now called feel"
    assert run(("make", "--help")) == 0
    assert "touch" not in capsys.readouterr().out


def test_a_former_name_is_read_in_a_lesson_and_an_old_manifest() -> None:
    lesson = read_lesson_text("[[drill]]\nprogression = 'I V'\ntouch = true\n", Path("week.toml"), load)
    assert lesson.drills[0].drill.feel is True
    assert lesson.remarks == ("week.toml, line 3, touch: touch is now called feel",)

    record = drill_record(lesson.drills[0].drill)
    old = {("touch" if name == "feel" else name): value for name, value in record.items()}
    assert drill_from_record(old).feel is True


def test_a_build_remarks_on_a_former_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("week.toml").write_text("[[drill]]\nprogression = 'I V'\ntouch = true\ntempos = 60\n")

    assert run(("build", "week.toml", "--dry-run")) == 0

    assert capsys.readouterr().err == "Remark: week.toml, line 3, touch: touch is now called feel\n"


def test_every_former_name_belongs_to_one_option_and_is_none_of_todays() -> None:
    old = former(BY_NAME)
    assert set(old) == {"touch"}
    assert not set(old) & set(BY_NAME)


def test_help_stands_in_groups_in_plain_text(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(("make", "--help")) == 0

    lines = capsys.readouterr().out.splitlines()
    headings = [line for line in lines if line.endswith(":") and not line.startswith(" ")]
    assert headings == [
        "Arguments:", "Chords and hands:", "Sound and style:", "Tempos and mixes:", "Files and paper:",
        "Options:",
    ]  # fmt: skip
    assert not any("\x1b" in line or "│" in line for line in lines)
    assert max(map(len, lines)) <= 80


@pytest.mark.parametrize("option", [PROGRESSION, *OPTIONS], ids=lambda option: option.name)
def test_help_tells_every_option_and_its_default(option: Option, capsys: pytest.CaptureFixture[str]) -> None:
    for command in option.commands:
        assert run((command, "--help")) == 0
        told = "".join(capsys.readouterr().out.split())  # lines break at hyphens too
        assert "".join(option.help.partition(". ")[0].split()) in told
        assert f"[default:{''.join(option.default.split())}]" in told or not option.default


@pytest.mark.parametrize(
    ("name", "default"),
    [
        ("hand", "octave"),
        ("range", "F3-C6"),
        ("click", "click"),
        ("style", "block"),
        ("type", "1"),
        ("from", "60"),
    ],
)
def test_a_default_is_told_in_the_options_words(name: str, default: str) -> None:
    assert BY_NAME[name].default == default
