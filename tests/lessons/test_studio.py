"""A week of an invented studio: six students on four levels, from the lessons in `studio/`.

Four readers of other people's making open what is built. How long each file must last is worked out here from
the lesson's own words: bars as counted on paper.
"""

import io
import json
from functools import cache
from pathlib import Path
from shutil import copytree
from typing import Any

import mido
import pytest

from tracks.cli.main import run

STUDIO = Path(__file__).parent / "week"

# Beats a bar; bars of music, of count-in, and of a build-up, as counted on paper.
BARS = {
    "home-and-away": (4, 3, 2),
    "amen": (4, 3, 2),
    "LANTERN": (4, 4, 1),
    "WALTZ": (3, 4, 1),
    "turned-root": (4, 5, 1),
    "turned-first": (4, 5, 1),
    "turned-second": (4, 5, 1),
    "by-candle": (4, 5, 1),
    "harbor": (4, 6, 1),
    "rocking-boat": (2, 5, 2),
    "round-the-circle": (4, 4, 1),
    "for-the-recording": (4, 8, 1),
    "blues": (4, 12, 1),
    "the-ending": (4, 6, 1),
}


@pytest.fixture(scope="module")
def week(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("week")
    assert run(("build", str(STUDIO), "--out", str(out))) == 0
    return out / STUDIO.name


@cache
def manifests(week: Path) -> dict[Path, dict[str, Any]]:
    return {path.parent: json.loads(path.read_bytes()) for path in sorted(week.glob("*/*/manifest.json"))}


@cache
def by_mido(path: Path) -> mido.MidiFile:
    return mido.MidiFile(path)


def rows(week: Path) -> list[tuple[Path, dict[str, Any]]]:
    """Return every MIDI file with its row."""
    return [
        (folder / row["path"], row)
        for folder, manifest in manifests(week).items()
        for row in manifest["files"]
        if row["path"].lower().endswith(".mid")
    ]


def seconds(pack: str, row: dict[str, Any]) -> float:
    beats, bars, count_in = BARS[pack]
    bar: float = beats * 60 / row["bpm"]
    kind = row.get("kind")
    if kind == "climb":
        return float(sum(3 * (count_in + bars) * beats * 60 / bpm for bpm in row["tempos"]))
    if kind == "build-up":
        return sum(count_in + step for step in range(1, bars + 1)) * bar
    if kind == "key-cycle":
        return float(len(row["keys"])) * (1 + bars) * bar
    return (0 if kind == "stems" else count_in) * bar + bars * bar


def test_every_student_has_every_drill(week: Path) -> None:
    assert {folder.name for folder in manifests(week)} == set(BARS)
    assert len(list(week.iterdir())) == 6
    assert len(rows(week)) > 500


def test_mido_and_symusic_read_every_file_and_find_its_length(week: Path) -> None:
    import symusic

    for path, row in rows(week):
        pack = path.relative_to(week).parts[1]
        expected = pytest.approx(seconds(pack, row), abs=0.001)
        assert by_mido(path).length == expected, path
        score: Any = symusic.Score.from_midi(path.read_bytes())
        assert score.note_num() > 0, path
        assert score.to("second").end() <= seconds(pack, row) + 0.001, path


@pytest.mark.filterwarnings("ignore:Tempo, Key or Time:RuntimeWarning")  # it warns of the key in a part
def test_pretty_midi_and_music21_read_a_sample_of_every_drill(week: Path) -> None:
    import pretty_midi
    from music21.midi import MidiFile

    seen = set()
    for path, row in rows(week):
        pack = path.relative_to(week).parts[1]
        if (pack, row.get("kind")) in seen:
            continue
        seen.add((pack, row.get("kind")))
        content = path.read_bytes()
        opened = pretty_midi.PrettyMIDI(io.BytesIO(content))
        assert 0 < opened.get_end_time() <= seconds(pack, row) + 0.001, path
        other = MidiFile()
        other.readstr(content)
        notes = sum(len(instrument.notes) for instrument in opened.instruments)
        struck = sum(
            bool(event.isNoteOn() and event.velocity) for track in other.tracks for event in track.events
        )
        assert notes == struck > 0, path


def test_the_music_of_every_file_is_a_whole_number_of_bars(week: Path) -> None:
    for path, row in rows(week):
        opened = by_mido(path)
        meter = next(m for m in opened.tracks[0] if m.type == "time_signature")
        bar = 480 * 4 * meter.numerator // meter.denominator
        ends = {sum(message.time for message in track) for track in opened.tracks}
        assert len(ends) == 1, path
        assert ends.pop() % bar == 0, (path, row)


def test_one_change_makes_that_drill_again_and_touches_no_other(
    week: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    lessons, out = tmp_path / "lessons", tmp_path / "out"
    copytree(STUDIO, lessons)
    copytree(week, out / lessons.name)
    for owner in out.glob("lessons/*/.rungwise-lesson"):
        owner.write_text(f"../../../lessons/{owner.parent.name}.toml\n")  # both were moved, each elsewhere
    before = {p: (p.stat().st_ino, p.stat().st_mtime_ns) for p in out.rglob("*") if p.is_file()}
    text = (lessons / "tomasz-wednesday.toml").read_text(encoding="utf-8")
    (lessons / "tomasz-wednesday.toml").write_text(text.replace("I vi ii V7 I", "I vi IV V7 I"))
    capsys.readouterr()

    assert run(("build", str(lessons), "--out", str(out), "--json")) == 0

    made = [(row["lesson"], row["drill"]) for row in json.loads(capsys.readouterr().out) if row["made"]]
    assert made == [("tomasz-wednesday", "rocking-boat")]
    after = {p: (p.stat().st_ino, p.stat().st_mtime_ns) for p in out.rglob("*") if p.is_file()}
    with_feel = {p.relative_to(out / lessons.name).parts[:2] for p in after if before.get(p) != after[p]}
    assert with_feel == {
        ("tomasz-wednesday", "rocking-boat"),
        ("tomasz-wednesday", ".rungwise-versions.json"),
    }
    assert set(after) == set(before)
