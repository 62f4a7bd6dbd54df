"""The options that say how the hands voice: four parts, the hand's span, shells and spread voicings."""

import json
from pathlib import Path
from typing import Any

import pytest

from tracks.cli.main import run
from tracks.drill.kinds import hand_span
from tracks.drill.record import drill_from_record
from tracks.hands.options import Left
from tracks.theory.errors import RequestError


def chords(capsys: pytest.CaptureFixture[str], *arguments: str) -> list[Any]:
    assert run(("show", *arguments, "--json")) == 0
    found: list[Any] = json.loads(capsys.readouterr().out)["chords"]
    return found


def test_four_parts_are_shown_with_three_notes_and_one(capsys: pytest.CaptureFixture[str]) -> None:
    found = chords(capsys, "I vi IV V7 I", "--key", "Eb", "--texture", "four-part")
    assert [(c["right"]["notes"], c["left"]["notes"]) for c in found][:2] == [
        (["G4", "Bb4", "Eb5"], ["Eb3"]),
        (["G4", "C5", "Eb5"], ["C3"]),
    ]
    assert all(len(c["right"]["fingers"]) == 3 and len(c["left"]["fingers"]) == 1 for c in found)
    assert found[3]["right"]["omits"] == ["F"]


def test_a_rule_that_cannot_be_kept_is_told_among_the_moves(capsys: pytest.CaptureFixture[str]) -> None:
    found = chords(capsys, "I V42 I", "--key", "C", "--texture", "four-part")
    assert "from V42 to I: F in the bass does not step down" in found[2]["moves"]
    assert found[0]["moves"] == []


def test_four_parts_are_made_into_a_pack(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    arguments = (
        "I IV V I",
        "--texture",
        "four-part",
        "--tempo",
        "72",
        "--name",
        "hymn",
        "--out",
        str(tmp_path),
    )
    assert run(("make", *arguments)) == 0
    manifest = json.loads((tmp_path / "hymn" / "manifest.json").read_text())
    assert manifest["drill"]["texture"] == "four-part"
    assert len(manifest["files"]) == 4


def test_shells_spread_and_hand_reach_the_drill(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name, more in (("shells", ("--left", "shells")), ("spread", ("--spread", "--hand", "10th"))):
        arguments = ("ii7 V7 I", "--texture", "over-bass", "--tempo", "72", "--name", name, *more)
        assert run(("make", *arguments, "--out", str(tmp_path))) == 0
    shells, spread = (
        drill_from_record(json.loads((tmp_path / name / "manifest.json").read_text())["drill"])
        for name in ("shells", "spread")
    )
    assert (shells.left, shells.spread, shells.hand) == (Left.SHELLS, False, 12)
    assert (spread.left, spread.spread, spread.hand) == (Left.BASS, True, 16)


@pytest.mark.parametrize(
    ("text", "half_steps"),
    [
        ("octave", 12), ("8ve", 12), ("7th", 11), ("9th", 14), ("10th", 16), ("m10", 15), ("P5", 7),
        ("5th", 7), ("12th", 19), ("14", 14), ("12", 12), (" 9th ", 14),
    ],
)  # fmt: skip
def test_span_of_a_hand_is_an_interval_or_half_steps(text: str, half_steps: int) -> None:
    assert hand_span(text) == half_steps


@pytest.mark.parametrize("text", ["", "wide", "-3", "P3", "9.5", "0th", "9", "11"])
def test_span_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(RequestError, match=r"is no span|half steps count from 12"):
        hand_span(text)


@pytest.mark.parametrize(
    ("arguments", "expected"),
    [
        (("--hand", "wide"), "--hand: 'wide'"),
        (("--hand", "3"), "--hand: 3: half steps count from 12"),
        (("--hand", "9"), "write 9th for a ninth"),
        (("--hand", "3rd"), "--hand: 4 half steps is outside 7"),
        (("--spread",), "--spread: it needs chords over a bass"),
        (("--left", "shells", "--texture", "four-part"), "--left: it needs chords over a bass"),
        (("--style", "root-bass", "--texture", "four-part"), "root-bass does not play four-part"),
    ],
)
def test_wish_without_a_place_is_refused_in_one_line(
    arguments: tuple[str, ...], expected: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(("make", "I V I", *arguments, "--out", str(tmp_path / "packs"))) == 2
    said = capsys.readouterr().err
    assert expected in said
    assert len(said.strip().splitlines()) == 1
    assert not (tmp_path / "packs").exists()
