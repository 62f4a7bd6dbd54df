import json
from pathlib import Path

import mido
import pytest
from prompt import printed

from tracks.cli.main import run


def test_show_json_is_the_contract(capsys: pytest.CaptureFixture[str]) -> None:
    in_key = json.loads(printed(capsys, "show", "I IV V7 I", "--key", "Eb", "--start", "first", "--json"))

    assert list(in_key) == ["key", "meter", "movement", "chords"]
    assert (in_key["key"], in_key["meter"]) == ("Eb major", "4/4")
    assert in_key["chords"][0] == {
        "bar": 1,
        "beat": 1,
        "beats": 4,
        "numeral": "I",
        "symbol": "Eb",
        "tones": ["Eb", "G", "Bb"],
        "bass": "Eb",
        "inversion": 1,
        "right": {"notes": ["G4", "Bb4", "Eb5"], "midi": [67, 70, 75], "fingers": [1, 2, 5], "omits": []},
        "left": {"notes": ["G3", "Bb3", "Eb4"], "midi": [55, 58, 63], "fingers": [5, 3, 1], "omits": []},
        "moves": [],
        "call": "",
    }
    assert [chord["call"] for chord in in_key["chords"][1:]] == [
        "bottom two up",
        "top two down",
        "bottom down, top up",
    ]
    assert [chord.get("finger_call") for chord in in_key["chords"]] == [
        None,
        "right hand: 3",
        "right hand: 2, left hand: 4",
        "left hand: 3",
    ]
    assert all(chord["moves"] for chord in in_key["chords"][1:])


@pytest.mark.parametrize(
    ("texture", "heading"),
    [("hands-together", " Position "), ("over-bass", " RH position "), ("four-part", " RH position ")],
)
def test_show_tells_whose_position_it_is(
    texture: str, heading: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert heading in printed(capsys, "show", "I IV6", "--texture", texture)


def test_show_calls_a_ninth_at_the_bottom_by_its_name(capsys: pytest.CaptureFixture[str]) -> None:
    # No root position, and no inversion that has a number: JSON says so too.
    arguments = ("show", "Cm7 F7 Bbmaj7 Bb9", "--key", "Bb")

    assert "ninth lowest" in printed(capsys, *arguments)
    assert json.loads(printed(capsys, *arguments, "--json"))["chords"][-1]["inversion"] is None


def test_show_prints_numerals_as_people_read_them(capsys: pytest.CaptureFixture[str]) -> None:
    text = printed(capsys, "show", "i viio7 ii/o65 V7b9 i", "--key", "c")

    for numeral in ("vii°7", "iiø65", "V7(♭9)"):
        assert numeral in text


def test_show_json_of_several_keys_is_a_list(capsys: pytest.CaptureFixture[str]) -> None:
    charts = json.loads(printed(capsys, "show", "axis", "--key", "all-major", "--json"))

    assert [in_key["key"] for in_key in charts][:3] == ["C major", "G major", "D major"]
    assert len(charts) == 12


def test_show_json_writes_half_beats_silence_and_changing_keys(capsys: pytest.CaptureFixture[str]) -> None:
    in_key = json.loads(
        printed(capsys, "show", "| Eb: I IV V I | N.C. | G: V7 |", "--meter", "2/4", "--json")
    )

    assert [chord["beats"] for chord in in_key["chords"]] == [0.5, 0.5, 0.5, 0.5, 2, 2]
    assert [chord["beat"] for chord in in_key["chords"]] == [1, 1.5, 2, 2.5, 1, 1]
    assert [chord["key"] for chord in in_key["chords"]] == ["Eb major"] * 5 + ["G major"]
    silence = in_key["chords"][4]
    assert (silence["numeral"], silence["symbol"], silence["right"]["notes"]) == (None, None, [])


def test_show_prints_what_a_student_plays_from(capsys: pytest.CaptureFixture[str]) -> None:
    text = printed(capsys, "show", "I IV V7 I", "--key", "Eb")

    for expected in ("E♭ major", "B♭7", "E♭4 G4 B♭4", "1   3  5", "root", "holds", "stop at pain"):
        assert expected in text


def test_show_all_starts_with_each_inversion(capsys: pytest.CaptureFixture[str]) -> None:
    charts = json.loads(printed(capsys, "show", "I V I", "--start", "all", "--json"))

    assert [in_key["chords"][0]["inversion"] for in_key in charts] == [0, 1, 2]


def test_make_writes_every_key_mix_and_tempo(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "packs"
    text = printed(
        capsys, "make", "I vi IV V7 I", "-k", "Eb", "-k", "G", "--from", "60", "--to", "72", "--step", "6",
        "--name", "week-3", "--out", str(out),
    )  # fmt: skip

    manifest = json.loads((out / "week-3" / "manifest.json").read_text())
    paths = sorted(path.relative_to(out / "week-3").as_posix() for path in out.glob("week-3/*/*.mid"))
    assert paths == sorted(row["path"] for row in manifest["files"])
    assert len(paths) == 2 * 4 * 3
    assert "G-major/week-3_02-G-major_066_2-left-alone.mid" in paths
    assert manifest["drill"]["progression"] == "I vi IV V7 I"
    assert "24 MIDI files" in " ".join(text.split())
    assert "moderate" in text


def test_make_again_gives_the_same_bytes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    def pack() -> dict[str, bytes]:
        printed(capsys, "make", "ii7 V7 I", "--style", "improvise", "--tempo", "80", "--out", str(tmp_path))
        return {path.name: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}

    assert pack() == pack()


def test_make_takes_the_count_in_click_and_repeats(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    printed(
        capsys, "make", "I V", "-m", "6/8", "--tempo", "60", "--mix", "right-alone", "--count-in", "2",
        "--no-click", "--repeats", "2", "--name", "a", "--out", str(tmp_path),
    )  # fmt: skip
    file = mido.MidiFile(tmp_path / "a" / "C-major" / "a_01-C-major_060_1-right-alone.mid")

    clicks = [message for message in file.tracks[-1] if message.type == "note_on" and message.velocity]
    assert len(clicks) == 4
    assert file.length == pytest.approx(2 * (2 + 2 * 2), abs=0.001)


def test_make_from_all_starts_gives_a_pack_for_each(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    printed(
        capsys,
        "make",
        "I V",
        "--start",
        "all",
        "--tempo",
        "60",
        "--mix",
        "split",
        "--name",
        "x",
        "--out",
        str(tmp_path),
    )

    assert sorted(path.name for path in tmp_path.iterdir()) == ["x-first", "x-root", "x-second"]


def test_styles_json_lists_names_summaries_meters_and_roles(capsys: pytest.CaptureFixture[str]) -> None:
    listed = json.loads(printed(capsys, "styles", "--json"))

    assert {"block", "root-bass", "improvise"} <= {style["name"] for style in listed}
    assert all({"name", "summary", "meters", "roles"} <= style.keys() for style in listed)
    for meter in ("2/4", "3/4", "4/4", "6/8", "12/8"):
        assert meter in next(style for style in listed if style["name"] == "block")["meters"]


def test_progressions_are_listed_with_their_sources(capsys: pytest.CaptureFixture[str]) -> None:
    assert "section 31.8 (jazz progressions)" in printed(capsys, "progressions")
    listed = json.loads(printed(capsys, "progressions", "--json"))
    assert all(entry["source"] for entry in listed)


def test_progressions_are_found_by_a_word(capsys: pytest.CaptureFixture[str]) -> None:
    found = json.loads(printed(capsys, "progressions", "picardy", "--json"))
    assert [entry["name"] for entry in found] == ["picardy-cadence"]

    assert run(("progressions", "polka")) == 2
    assert capsys.readouterr().err.count("\n") == 1


@pytest.mark.parametrize("command", ["show", "make", "styles", "progressions"])
def test_every_command_has_help(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert "Usage: rungwise" in printed(capsys, command, "--help")
