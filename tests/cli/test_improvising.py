"""The command line for those who improvise: scales shown, and forms to practice in."""

import json
from pathlib import Path

import mido
import pytest

from tracks.cli.main import run


def shown(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert run(["show", *arguments]) == 0
    return capsys.readouterr().out


def test_scales_are_shown_with_guide_tones_and_notes_to_pass_over(
    capsys: pytest.CaptureFixture[str],
) -> None:
    printed = shown(capsys, "V7/ii ii N.C.", "--key", "Eb", "--scales")

    assert "C Mixolydian ♭6: C D E F G A♭ B♭" in printed
    assert "or C Mixolydian" in printed
    assert "E B♭" in printed


def test_scales_are_in_the_json_only_where_they_are_asked_for(capsys: pytest.CaptureFixture[str]) -> None:
    plain = json.loads(shown(capsys, "vi7 N.C.", "--key", "Ab", "--json"))
    asked = json.loads(shown(capsys, "vi7 N.C.", "--key", "Ab", "--json", "--scales"))

    first, silence = asked["chords"]
    assert first["scales"] == [
        {"name": "F Aeolian", "tones": "F G Ab Bb C Db Eb".split(), "avoid": ["Db"]},
        {"name": "F Dorian", "tones": "F G Ab Bb C D Eb".split(), "avoid": []},
    ]
    assert first["guide_tones"] == ["Ab", "Eb"]
    assert (silence["scales"], silence["guide_tones"]) == ([], [])
    for chord in asked["chords"]:
        del chord["scales"], chord["guide_tones"]
    assert asked == plain


def test_a_form_reaches_the_files_and_the_manifest(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    arguments = ["I vi ii V7", "--style", "improvise", "--key", "C", "--tempo", "72", "--out", str(tmp_path)]

    assert run(["make", *arguments, "--name", "lantern", "--form", "call-and-response"]) == 0

    record = json.loads((tmp_path / "lantern" / "manifest.json").read_text())["drill"]
    assert (record["form"], record["turn"]) == ("call-and-response", None)
    path = tmp_path / "lantern" / "C-major" / "lantern_01-C-major_072_3-hands-together.mid"
    first, *parts = mido.MidiFile(path, charset="utf-8").tracks
    texts = [message.text for message in first if message.type == "marker"]
    turns = [word for text in texts for word in text.split(", ") if word in ("Listen", "You play")]
    assert turns == ["Listen", "You play"]
    melody = next(part for part in parts if part.name == "Melody")
    bar, now, struck = 4 * 480, 0, []
    for message in melody:
        now += message.time
        if message.type == "note_on" and message.velocity:
            struck.append(now)
    assert struck
    assert all(bar <= start < 3 * bar for start in struck)  # after the count-in, two bars


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--form", "trading-fours"], "raise the repeats"),
        (["--form", "echo", "--turn", "3"], "a turn lasts 2 or 4 bars"),
        (["--turn", "4"], "has no turns"),
        (["--form", "rondo"], "call-and-response"),
    ],
)
def test_a_form_that_cannot_be_is_refused_in_one_line(
    options: list[str], words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["make", "I vi ii V7", "--style", "improvise", "--out", str(tmp_path), *options]) == 2

    error = capsys.readouterr().err
    assert words in error
    assert error.count("\n") == 1


def test_blues_scale_is_told_on_a_blues_only(capsys: pytest.CaptureFixture[str]) -> None:
    assert "Over the whole blues: F blues: F A♭ B♭ C♭ C E♭" in shown(
        capsys, "twelve-bar-blues", "--key", "F", "--scales"
    )
    assert "Over the whole blues: D blues: D F G A♭ A C" in shown(
        capsys, "minor-blues", "--key", "d", "--scales"
    )
    assert "blues" not in shown(capsys, "ii7 V7 I7", "--key", "F", "--scales")
    assert "blues" not in shown(capsys, "dorian-vamp", "--key", "d", "--scales")
