"""Files outside packs are written whole or not at all, one or a set."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tracks.pack.whole import WriteError, write_whole
from tracks.theory.errors import RequestError


def texts(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_a_set_is_written_with_its_folders(tmp_path: Path) -> None:
    files = {tmp_path / "deep" / "er" / "a.md": b"one", tmp_path / "b.md": b"two"}

    assert write_whole(files) == tuple(files)
    assert texts(tmp_path) == {"deep/er/a.md": b"one", "b.md": b"two"}


def test_what_is_there_is_replaced_with_force_only(tmp_path: Path) -> None:
    (tmp_path / "b.md").write_bytes(b"old")
    files = {tmp_path / "a.md": b"one", tmp_path / "b.md": b"two"}

    with pytest.raises(RequestError, match=r"b\.md is there already.*--force"):
        write_whole(files)
    assert texts(tmp_path) == {"b.md": b"old"}
    write_whole(files, force=True)
    assert texts(tmp_path) == {"a.md": b"one", "b.md": b"two"}


@pytest.mark.parametrize("written_as", ["song.rntxt", "../{here}/song.rntxt", "hard.rntxt"])
def test_a_source_is_never_written_over(written_as: str, tmp_path: Path) -> None:
    source = tmp_path / "song.rntxt"
    source.write_bytes(b"mine")
    os.link(source, tmp_path / "hard.rntxt")

    place = tmp_path / written_as.format(here=tmp_path.name)
    with pytest.raises(RequestError, match="is what this is made from"):
        write_whole({place: b"new"}, force=True, sources=(source,))
    assert source.read_bytes() == b"mine"


def test_a_folder_a_link_and_a_file_for_a_folder_are_refused(tmp_path: Path) -> None:
    (tmp_path / "folder").mkdir()
    (tmp_path / "link").symlink_to("nowhere")
    (tmp_path / "file").write_bytes(b"")

    for place, told in (
        ("folder", "a folder or a link"),
        ("link", "a folder or a link"),
        ("file/a", "is a file"),
    ):
        with pytest.raises(RequestError, match=told):
            write_whole({tmp_path / place: b"new"}, force=True)
    assert not (tmp_path / "nowhere").exists()


@pytest.mark.parametrize("force", [True, False])
@pytest.mark.parametrize("failing", [1, 2, 3])
@pytest.mark.parametrize("call", ["write", "move"])
def test_where_the_system_refuses_one_file_none_is_written(
    call: str, failing: int, force: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if force:
        for name in "ab":
            (tmp_path / name).write_bytes(b"old " + name.encode())
    before = texts(tmp_path)
    calls = 0

    def count(*_: object) -> None:
        nonlocal calls
        calls += 1
        if calls == failing:
            raise OSError(28, "No space left on device")

    real_write, real_replace = os.write, Path.replace

    def write(handle: int, content: bytes) -> int:
        count()
        return real_write(handle, content)

    def replace(self: Path, target: Path) -> Path:
        if self.name.endswith("-new"):
            count()
        return real_replace(self, target)

    if call == "write":
        monkeypatch.setattr(os, "write", write)
    else:
        monkeypatch.setattr(Path, "replace", replace)
    files = {tmp_path / name: b"new" for name in ("a", "b", "deep/c")}
    named = ("a", "b", "c")[failing - 1] if call == "write" else "."
    with pytest.raises(WriteError, match=rf"cannot write .*{named}.*: No space left on device"):
        write_whole(files, force)

    monkeypatch.undo()
    assert texts(tmp_path) == before
    assert not (tmp_path / "deep").exists()


LIMITED = """
import resource, sys
resource.setrlimit(resource.RLIMIT_FSIZE, (20, 20))
from tracks.cli import main
main()
"""


@pytest.mark.skipif(sys.platform == "win32", reason="no limit on files there")
@pytest.mark.parametrize(
    ("words", "named"),
    [
        (["new", "old.toml", "--force"], "old.toml"),
        (["new", "fresh.toml"], "fresh.toml"),
        (["term", "level.toml", "--out", "plan", "--force"], "plan"),
        (["exam", "level.toml", "--out", "plan", "--force"], "plan"),
        (["show", "| I IV | V7 I |", "--key", "C", "--romantext", "old.toml", "--force"], "old.toml"),
        (["show", "I IV", "--key", "C", "--sheet", "old.svg", "--force"], "old.svg"),
        (["make", "I IV", "--key", "C", "--tempo", "60"], "out"),
        (["build", "lesson.toml"], "out"),
    ],
    ids=lambda value: value[0] if isinstance(value, list) else "",
)
def test_under_a_limit_on_files_all_is_as_it_was_and_the_file_is_named(
    words: list[str], named: str, tmp_path: Path
) -> None:
    from tracks.cli.main import run

    assert run(["new", str(tmp_path / "level.toml"), "--level"]) == 0
    (tmp_path / "lesson.toml").write_text('[[drill]]\nprogression = "I IV"\ntempos = [60]\n')
    (tmp_path / "plan").mkdir()
    for place in ("old.toml", "old.svg", "plan/plan.txt", "plan/exam-1.pdf"):
        (tmp_path / place).write_text("old")
    before = texts(tmp_path)

    done = subprocess.run(
        [sys.executable, "-B", "-c", LIMITED, *words],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 1, done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert "File too large" in done.stderr
    assert named in done.stderr
    assert texts(tmp_path) == before
    assert not (tmp_path / "out").exists()
