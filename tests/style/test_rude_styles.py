"""A style that does something else than play costs one line that names it, and the role at fault."""

import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random
from typing import Any

import pytest

from tracks.model import Hit, Note, Part, Role, Texture
from tracks.style import Brief, Style, StyleInfo, playing
from tracks.style.playing import from_elsewhere, play
from tracks.style.registry import load, load_all, names
from tracks.theory.errors import RequestError
from tracks.theory.meter import Meter
from tracks.theory.pitch import Pitch

FOUR = Meter(4, 4)
BRIEF = Brief((), FOUR, FOUR.bar, Texture.OVER_BASS)
C4 = Pitch.parse("C4")
NOTE = Note(0, 10, C4)


def style(playing_it: Callable[..., Any]) -> Style:
    info = StyleInfo("rattle", "Invented.", (FOUR,), (Role.RIGHT,), (Texture.OVER_BASS,))
    return Style(info, playing_it)


def right(*notes: Any, **more: Any) -> tuple[Part, ...]:
    return (Part(Role.RIGHT, notes, **more),)


def _generator(*_: Any) -> Iterator[Part]:
    yield from right(NOTE)


def _exit(*_: Any) -> Any:
    sys.exit("bye")


def _crash(*_: Any) -> Any:
    raise KeyError("swing")


def _base(*_: Any) -> Any:
    raise BaseException("all the way")  # noqa: TRY002 - as rude as it gets


@pytest.mark.parametrize(
    ("does", "told"),
    [
        (lambda *_: None, r"style rattle gave nothing \(None\) and no tuple of parts"),
        (_generator, "style rattle gave a generator and no tuple"),
        (lambda *_: [], "gave a list and no tuple"),
        (lambda *_: (7,), "gave a int where a part should be"),
        (lambda *_: (Part("right"),), "gave a Part where a part should be"),  # type: ignore[arg-type]
        (lambda *_: right("note"), "gave the right hand a str where a Note should be"),
        (lambda *_: (Part(Role.RIGHT, [NOTE]),), "gave the right hand a list and no tuple of Notes"),  # type: ignore[arg-type]
        (lambda *_: right(Note(0.5, 1, C4)), "the right hand a note at 0.5 for 1: times are whole ticks"),  # type: ignore[arg-type]
        (lambda *_: right(Note(0, float("nan"), C4)), "times are whole ticks"),  # type: ignore[arg-type]
        (lambda *_: right(Note(0, 1, 60)), "the right hand a int where a note's Pitch should be"),  # type: ignore[arg-type]
        (lambda *_: right(Note(0, 1, C4, 80.5)), "velocity or finger is no whole number"),  # type: ignore[arg-type]
        (lambda *_: (Part(Role.DRUMS, (), (Hit(0.5, 42),)),), "gave the drums a stroke at 0.5"),  # type: ignore[arg-type]
        (lambda *_: right(NOTE, volume=1.5), "program, pan or volume that is no whole number"),
        (lambda *_: right(Note(-1, 1, C4)), "style rattle: a note at -1"),
        (_exit, "style rattle failed: it asked the program to end"),
        (_base, "style rattle failed: BaseException: all the way"),
        (_crash, "style rattle failed: KeyError: 'swing'"),
        (lambda: None, "style rattle failed: TypeError"),
    ],
)
@pytest.mark.parametrize("elsewhere", [False, True])
def test_whatever_else_it_does_is_one_line(does: Callable[..., Any], told: str, elsewhere: bool) -> None:
    made = from_elsewhere(style(does)) if elsewhere else style(does)

    with pytest.raises(RequestError, match=told) as caught:
        play(made, BRIEF, Random(1))
    assert "\n" not in str(caught.value)


def test_ctrl_c_is_the_persons_own() -> None:
    def interrupted(*_: Any) -> Any:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        play(from_elsewhere(style(interrupted)), BRIEF, Random(1))


def test_what_it_prints_stays_out_of_the_answer(capsys: pytest.CaptureFixture[str]) -> None:
    def chatty(*_: Any) -> tuple[Part, ...]:
        print("la la la")
        return right(NOTE)

    assert play(from_elsewhere(style(chatty)), BRIEF, Random(1)) == right(NOTE)
    assert capsys.readouterr() == ("", "la la la\n")


def test_streams_that_it_takes_away_are_put_back() -> None:
    def thief(*_: Any) -> Any:
        sys.stdin = sys.stdout = sys.stderr = None

    streams = sys.stdin, sys.stdout, sys.stderr
    with pytest.raises(RequestError, match="gave nothing"):
        play(from_elsewhere(style(thief)), BRIEF, Random(1))
    assert (sys.stdin, sys.stdout, sys.stderr) == streams


def _loop(*_: Any) -> Any:
    while True:
        pass


def _loop_that_holds_on(*_: Any) -> Any:
    while True:
        try:
            while True:
                pass
        except Exception:
            continue


@pytest.mark.parametrize("does", [_loop, _loop_that_holds_on])
def test_one_that_never_ends_is_stopped_and_named(
    does: Callable[..., Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(playing, "SECONDS", 0.05)

    with pytest.raises(RequestError, match="style rattle did not end within"):
        play(from_elsewhere(style(does)), BRIEF, Random(1))
    monkeypatch.undo()
    assert play(from_elsewhere(style(lambda *_: right(NOTE))), BRIEF, Random(1)) == right(NOTE)


@pytest.mark.parametrize(
    "never",
    ["while True:\n  try:\n   for n in range(10**9): n + 1\n  except BaseException: pass", "time.sleep(600)"],
    ids=["it holds on", "it sleeps"],
)
def test_one_that_cannot_be_stopped_ends_the_program_with_its_name(never: str, tmp_path: Path) -> None:
    (tmp_path / "own.py").write_text(
        "import time\nfrom tracks.style import Style, StyleInfo\nfrom tracks.model import Role, Texture\n"
        "from tracks.theory.meter import Meter\ndef play(brief, rng):\n "
        + never
        + "\nINFO = StyleInfo('own', 'Invented.', (Meter(4, 4),), (Role.RIGHT,), (Texture.OVER_BASS,))\n"
        "STYLE = Style(INFO, play)\n"
    )
    program = (
        "from tracks.style import playing\nplaying.SECONDS = playing.GRACE_SECONDS = 0.05\n"
        "from tracks.cli import main\nmain()\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, "make", "I V", "--style", "own.py", "--out", "o"],
        cwd=tmp_path, capture_output=True, text=True, check=False,
    )  # fmt: skip

    assert done.returncode == 1
    assert done.stderr == "rungwise: style own does not end, and cannot be stopped; ask its author\n"
    assert not done.stdout


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("while True: pass", "does not load: TooLongError"),
        ("raise SystemExit(3)", "does not load: SystemExit: 3"),
        ("print('hello')\nSTYLE = 1", "is no tracks.style.Style"),
    ],
)
def test_a_file_is_kept_apart_while_it_is_read_too(
    text: str, told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(playing, "SECONDS", 0.05)
    (tmp_path / "own.py").write_text(text)

    with pytest.raises(RequestError, match=told):
        load(str(tmp_path / "own.py"))
    assert not capsys.readouterr().out


def test_our_own_styles_need_no_watch() -> None:
    block = load("block")
    assert block.play.__module__ == "styles.block"


@pytest.mark.parametrize(
    "text",
    [
        b"\xff\xfe not text",
        b"[rungwise.styles.v1\nbroken",
        b"[rungwise.styles.v1]\nno equals sign",
        b"[rungwise.styles.v1]\n = :::\n[[[",
        b"rungwise.styles.v1 = without a heading",
    ],
)
def test_another_packages_broken_list_of_entry_points_costs_us_nothing(
    text: bytes, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ours = names()
    info = tmp_path / "cracked-1.0.dist-info"
    info.mkdir()
    (info / "entry_points.txt").write_bytes(text)
    monkeypatch.syspath_prepend(str(tmp_path))

    assert set(ours) <= set(names())
    assert load("block").info.name == "block"
    assert {each.info.name for each in load_all()[0]} >= set(ours)
