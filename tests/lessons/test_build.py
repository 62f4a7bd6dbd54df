import errno
import json
import os
from dataclasses import replace
from pathlib import Path

import pytest

from tracks.drill.drill import Drill
from tracks.lessons.build import VERSIONS, check_places, files_of, left_over, steps, tidy, write
from tracks.lessons.lesson import Lesson, read_lesson_text
from tracks.model import NO_HEADING
from tracks.pack import whole
from tracks.pack.whole import WriteError
from tracks.style.registry import load
from tracks.theory.errors import RequestError

TEXT = """\
[defaults]
keys = ["C", "G"]
tempos = [60, 72]
mixes = "hands-together"

[[drill]]
name = "one"
progression = "I IV I"

[[drill]]
name = "two"
progression = "I V I"
"""


def lesson(text: str = TEXT) -> Lesson:
    return read_lesson_text(text, Path("tuesday.toml"), load)


def version(drill: Drill, style_name: str) -> str:
    return f"{style_name} 1.0"


def reasons(made: Lesson, out: Path, everything: bool = False) -> dict[str, str]:
    return {step.wanted.drill.name: step.reason for step in steps(made, out, everything, version)}


def build(made: Lesson, out: Path) -> list[str]:
    """Return the names of the drills that were made."""
    todo = [step for step in steps(made, out, version=version) if step.reason]
    for step in todo:
        write(step, files_of(step, NO_HEADING))
    return [step.wanted.drill.name for step in todo]


def stamps(folder: Path) -> dict[Path, tuple[int, int]]:
    """Return every file's identity and time of change: both stay where nobody with_feel it."""
    return {
        path: (path.stat().st_ino, path.stat().st_mtime_ns) for path in folder.rglob("*") if path.is_file()
    }


def test_a_lesson_is_made_once_and_then_stands(tmp_path: Path) -> None:
    assert build(lesson(), tmp_path) == ["one", "two"]
    before = stamps(tmp_path)

    assert build(lesson(), tmp_path) == []

    assert stamps(tmp_path) == before
    assert len(list(tmp_path.glob("tuesday/*/*/*.mid"))) == 8


def test_one_change_touches_that_drill_only(tmp_path: Path) -> None:
    build(lesson(), tmp_path)
    before = stamps(tmp_path / "tuesday" / "one")

    changed = lesson(TEXT.replace("I V I", "I V7 I"))

    assert reasons(changed, tmp_path) == {"one": "", "two": "changed"}
    assert build(changed, tmp_path) == ["two"]
    assert stamps(tmp_path / "tuesday" / "one") == before
    manifest = json.loads((tmp_path / "tuesday" / "two" / "manifest.json").read_bytes())
    assert manifest["drill"]["progression"] == "I V7 I"


def test_a_changed_default_touches_every_drill_that_takes_it(tmp_path: Path) -> None:
    text = TEXT + "tempos = [60]\n"
    build(lesson(text), tmp_path)

    assert reasons(lesson(text.replace("[60, 72]", "[60, 80]")), tmp_path) == {"one": "changed", "two": ""}


def test_a_title_or_a_note_changes_no_pack(tmp_path: Path) -> None:
    build(lesson(), tmp_path)

    assert build(lesson('title = "New"\nnotes = "Softly"\n' + TEXT), tmp_path) == []


def test_a_file_that_is_gone_is_made_again(tmp_path: Path) -> None:
    build(lesson(), tmp_path)
    gone = next(tmp_path.glob("tuesday/one/*/*.mid"))
    gone.unlink()

    assert reasons(lesson(), tmp_path)["one"] == "files missing or altered"
    build(lesson(), tmp_path)
    assert gone.exists()


def test_a_file_that_somebody_altered_is_never_written_over_unasked(tmp_path: Path) -> None:
    build(lesson(), tmp_path)
    path = next(tmp_path.glob("tuesday/one/*/*.mid"))
    content = path.read_bytes()
    path.write_bytes(content[:-4] + b"\x00" * 4)

    (step, *_) = steps(lesson(), tmp_path, version=version)
    assert step.reason == "files missing or altered"
    with pytest.raises(RequestError, match=r"drill one: .*--force"):
        write(step, files_of(step, NO_HEADING))
    write(step, files_of(step, NO_HEADING), force=True)
    assert path.read_bytes() == content


def test_a_take_beside_the_files_changes_nothing(tmp_path: Path) -> None:
    build(lesson(), tmp_path)
    (tmp_path / "tuesday" / "one" / "take.mid").write_bytes(b"mine")

    assert build(lesson(), tmp_path) == []


def test_another_version_of_the_style_makes_its_drills_again(tmp_path: Path) -> None:
    made = lesson(TEXT + 'style = "root-bass"\ntexture = "over-bass"\n')
    build(made, tmp_path)

    later = steps(made, tmp_path, version=lambda _, name: f"{name} {'2.0' if name == 'block' else '1.0'}")

    assert [step.reason for step in later] == ["made by another version", ""]


def test_the_note_of_releases_alone_that_was_kept_before_goes(tmp_path: Path) -> None:
    build(lesson(), tmp_path)
    (tmp_path / "tuesday" / VERSIONS).unlink()
    old = tmp_path / "tuesday" / ".rungwise-editions.json"
    old.write_text('{"one": "block 1.0", "two": "block 1.0"}')

    assert reasons(lesson(), tmp_path) == dict.fromkeys(("one", "two"), "made by another version")
    build(lesson(), tmp_path)
    assert not old.exists()


def test_everything_is_made_where_it_is_asked_for(tmp_path: Path) -> None:
    build(lesson(), tmp_path)

    assert reasons(lesson(), tmp_path, everything=True) == {"one": "asked for", "two": "asked for"}


@pytest.mark.parametrize("content", [b"", b"no json", b"[]", b'{"drill": {}, "files": 3}', b"\xff"])
def test_a_manifest_or_a_note_of_versions_that_cannot_be_read_makes_the_drill_again(
    content: bytes, tmp_path: Path
) -> None:
    build(lesson(), tmp_path)
    (tmp_path / "tuesday" / VERSIONS).write_bytes(content)

    assert all(reasons(lesson(), tmp_path).values())
    build(lesson(), tmp_path)
    (tmp_path / "tuesday" / "one" / "manifest.json").write_bytes(content)
    assert reasons(lesson(), tmp_path)["one"] in ("new", "changed")


def test_a_pack_whose_drill_is_gone_stays_and_is_told_of(tmp_path: Path) -> None:
    build(lesson(), tmp_path)
    fewer = replace(lesson(), drills=lesson().drills[:1])

    assert left_over(fewer, tmp_path) == (tmp_path / "tuesday" / "two",)
    assert left_over(lesson(), tmp_path) == ()
    assert left_over(lesson(), tmp_path / "elsewhere") == ()


def test_a_disk_that_is_full_at_the_note_of_versions_costs_one_line_and_another_making(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    (first, _) = steps(lesson(), tmp_path, version=version)
    monkeypatch.setattr(whole, "write_file", full)
    with pytest.raises(WriteError, match=r"cannot write .*versions.json: No space left on device"):
        write(first, files_of(first, NO_HEADING))
    monkeypatch.undo()

    assert build(lesson(), tmp_path) == ["one", "two"]


def test_what_a_killed_build_left_goes_even_where_nothing_is_to_be_made(tmp_path: Path) -> None:
    build(lesson(), tmp_path)
    place = tmp_path / "tuesday"
    (place / ".one.rungwise-new").mkdir()
    (place / ".one.rungwise-new" / "half.mid").touch()
    (place / "two").rename(place / ".two.rungwise-old")

    tidy(lesson(), tmp_path)

    assert {path.name for path in place.iterdir()} == {"one", "two", VERSIONS}
    assert build(lesson(), tmp_path) == []
    tidy(lesson(), tmp_path / "elsewhere")
    assert not (tmp_path / "elsewhere").exists()


def test_a_drill_that_must_not_be_replaced_is_told_before_any_is_made(tmp_path: Path) -> None:
    build(lesson(), tmp_path)
    (tmp_path / "tuesday" / "two" / "take.mid").write_bytes(b"mine")

    with pytest.raises(RequestError, match=r"drill two: .*'take.mid'"):
        check_places(steps(lesson(), tmp_path, everything=True, version=version))
    check_places(steps(lesson(), tmp_path, everything=True, version=version), force=True)
    check_places(steps(lesson(), tmp_path, version=version))
