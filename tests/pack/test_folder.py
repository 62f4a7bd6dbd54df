"""A pack appears whole or not at all, and nobody's work is lost to it."""

import errno
import hashlib
import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.pack import folder
from tracks.pack.folder import Pack, PackFile, write_pack, write_packs
from tracks.pack.whole import WriteError
from tracks.theory.errors import RequestError

DRILL: dict[str, object] = {"name": "lantern", "keys": ["Eb major"]}
ONE = PackFile("Eb-major/Eb-major_split_060.mid", b"slow", {"key": "Eb major", "mix": "split", "bpm": 60})
TWO = PackFile("Eb-major/Eb-major_split_068.mid", b"faster", {"key": "Eb major", "mix": "split", "bpm": 68})


def files_in(folder: Path) -> dict[str, bytes]:
    """Return every file under a folder, hidden ones too, by relative path."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def write(out: Path, *files: PackFile, force: bool = False) -> folder.PackReport:
    return write_pack(out, "lantern", files or (ONE, TWO), DRILL, force)


def _cannot(*_: object) -> bool:
    return False


def failing(error: BaseException) -> Iterator[PackFile]:
    yield ONE
    raise error


# What is written


def test_a_pack_is_its_files_and_a_manifest(tmp_path: Path) -> None:
    report = write(tmp_path / "out")

    assert set(files_in(tmp_path)) == {
        f"out/lantern/{path}" for path in (ONE.path, TWO.path, "manifest.json")
    }
    assert (tmp_path / "out/lantern" / TWO.path).read_bytes() == b"faster"
    assert report == folder.PackReport(tmp_path / "out/lantern", files=2, size=10, replaced=False)


def test_the_manifest_has_the_drill_and_a_row_for_every_file(tmp_path: Path) -> None:
    write(tmp_path)

    manifest = json.loads((tmp_path / "lantern/manifest.json").read_bytes())
    assert manifest == {
        "drill": DRILL,
        "files": [
            {
                "path": file.path,
                "key": "Eb major",
                "mix": "split",
                "bpm": bpm,
                "bytes": len(file.content),
                "sha256": hashlib.sha256(file.content).hexdigest(),
            }
            for file, bpm in ((ONE, 60), (TWO, 68))
        ],
    }


@given(st.lists(st.text('{}"\\, path[]') | st.just('}, {"path"'), min_size=1, max_size=4))
def test_whatever_a_row_says_the_manifest_says_it_back(words: list[str]) -> None:
    from tempfile import TemporaryDirectory

    with TemporaryDirectory() as folder:
        write(Path(folder), *(PackFile(f"{n}.mid", b"", {"key": word}) for n, word in enumerate(words)))
        text = (Path(folder) / "lantern/manifest.json").read_text()

    assert [row["key"] for row in json.loads(text)["files"]] == words
    assert len(text.splitlines()) == 1 + len(words)


def test_the_same_pack_is_the_same_bytes_wherever_it_is_written(tmp_path: Path) -> None:
    write(tmp_path / "here")
    write(tmp_path / "over/there")

    assert files_in(tmp_path / "here") == files_in(tmp_path / "over/there")


def test_files_are_taken_one_at_a_time(tmp_path: Path) -> None:
    staged = tmp_path / ".lantern.rungwise-new"

    def each() -> Iterator[PackFile]:
        yield ONE
        assert (staged / ONE.path).read_bytes() == ONE.content
        yield TWO

    write_pack(tmp_path, "lantern", each(), DRILL)
    assert not staged.exists()


@given(st.binary(max_size=200), st.integers(1, 50))
def test_a_short_write_goes_on_where_it_stopped(content: bytes, at_most: int) -> None:
    from tempfile import TemporaryDirectory

    real = os.write
    with TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "write", lambda handle, data: real(handle, data[:at_most]))
        write(Path(folder), PackFile("a.mid", content, {}))
        assert (Path(folder) / "lantern/a.mid").read_bytes() == content


@pytest.mark.parametrize("path", ["../a.mid", "/tmp/a.mid", "x/../../a.mid"])
def test_a_path_that_leads_out_of_the_pack_is_refused(tmp_path: Path, path: str) -> None:
    with pytest.raises(ValueError, match="leads out"):
        write(tmp_path / "out", PackFile(path, b"", {}))

    assert not files_in(tmp_path)


# Replacing


def test_a_pack_of_ours_is_replaced_whole(tmp_path: Path) -> None:
    write(tmp_path, ONE)
    report = write(tmp_path, TWO)

    assert set(files_in(tmp_path)) == {f"lantern/{TWO.path}", "lantern/manifest.json"}
    assert report.replaced


def _add_take(folder: Path) -> None:
    (folder / "take 1.mid").write_bytes(b"played")


def _edit(folder: Path) -> None:
    (folder / ONE.path).write_bytes(b"SLOW")


def _link(folder: Path) -> None:
    (folder / "link.mid").symlink_to(folder / ONE.path)


def _drop_manifest(folder: Path) -> None:
    (folder / "manifest.json").unlink()


def _spoil_manifest(folder: Path) -> None:
    (folder / "manifest.json").write_text("[" * 100_000)


def _other_manifest(folder: Path) -> None:
    (folder / "manifest.json").write_text('{"files": [], "name": "a web page"}')


@pytest.mark.parametrize(
    ("change", "named"),
    [
        (_add_take, "'take 1.mid'"),
        (_edit, ONE.path),
        (_link, "'link.mid'"),
        (_drop_manifest, ONE.path),
        (_spoil_manifest, "manifest.json"),
        (_other_manifest, "manifest.json"),
    ],
)
def test_what_the_manifest_does_not_vouch_for_is_named_and_kept(
    tmp_path: Path, change: Callable[[Path], None], named: str
) -> None:
    write(tmp_path)
    change(tmp_path / "lantern")
    before = files_in(tmp_path)

    with pytest.raises(RequestError) as caught:
        write(tmp_path, TWO)

    assert named in str(caught.value)
    assert "--force" in str(caught.value)
    assert "\n" not in str(caught.value)
    assert files_in(tmp_path) == before


def test_strangers_are_found_before_any_file_is_asked_for(tmp_path: Path) -> None:
    write(tmp_path)
    _add_take(tmp_path / "lantern")

    with pytest.raises(RequestError):
        write_pack(tmp_path, "lantern", failing(AssertionError("asked")), DRILL)


def test_many_strangers_are_counted(tmp_path: Path) -> None:
    (tmp_path / "lantern").mkdir()
    for number in range(5):
        (tmp_path / f"lantern/{number}\n.mid").touch()

    with pytest.raises(RequestError, match=r"'0\\n.mid', '1\\n.mid', '2\\n.mid' and 2 more"):
        write(tmp_path)


def test_force_replaces_whatever_folder_stands_there(tmp_path: Path) -> None:
    (tmp_path / "lantern").mkdir()
    _add_take(tmp_path / "lantern")

    assert write(tmp_path, ONE, force=True).replaced
    assert set(files_in(tmp_path)) == {f"lantern/{ONE.path}", "lantern/manifest.json"}


def test_an_empty_folder_holds_nothing_to_lose(tmp_path: Path) -> None:
    (tmp_path / "lantern").mkdir()

    write(tmp_path)


@pytest.mark.parametrize("force", [False, True])
def test_a_file_in_the_packs_place_is_refused(tmp_path: Path, force: bool) -> None:
    (tmp_path / "lantern").write_text("notes")

    with pytest.raises(RequestError, match="is a file or a link"):
        write(tmp_path, ONE, force=force)
    assert files_in(tmp_path) == {"lantern": b"notes"}


def test_a_link_in_the_packs_place_is_refused(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "lantern").symlink_to("elsewhere")

    with pytest.raises(RequestError, match="is a file or a link"):
        write(tmp_path, ONE, force=True)


@pytest.mark.parametrize("out", ["file", "file/deeper"])
def test_a_file_where_the_out_folder_should_be_is_refused(tmp_path: Path, out: str) -> None:
    (tmp_path / "file").write_text("notes")

    with pytest.raises(RequestError, match="is a file where a folder should be"):
        write(tmp_path / out)


# Several together


def pack(name: str, *files: PackFile) -> Pack:
    return Pack(name, files, {"name": name})


def test_packs_asked_for_together_are_written_together(tmp_path: Path) -> None:
    reports = write_packs(tmp_path, (pack("lantern", ONE), pack("harbor", TWO)))

    assert [(report.folder.name, report.files) for report in reports] == [("lantern", 1), ("harbor", 1)]
    assert {path.name for path in tmp_path.iterdir()} == {"lantern", "harbor"}


@pytest.mark.parametrize("wrong", ["a take in the second", "a style that breaks", "a move that fails"])
@pytest.mark.parametrize("exchange", [True, False])
def test_where_one_of_several_packs_cannot_be_written_none_is(
    wrong: str, exchange: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_packs(tmp_path, (pack("lantern", ONE), pack("harbor", ONE)))
    second: Iterator[PackFile] = iter((TWO,))
    if not exchange:
        monkeypatch.setattr(folder, "_exchanged", _cannot)
    if wrong == "a take in the second":
        _add_take(tmp_path / "harbor")
    elif wrong == "a style that breaks":
        second = failing(RequestError("style broke"))
    else:
        real = folder._move

        def move(out: Path, name: str, replacing: bool) -> None:
            if name == "meadow":
                raise OSError(errno.EIO, os.strerror(errno.EIO))
            real(out, name, replacing)

        monkeypatch.setattr(folder, "_move", move)
    before = files_in(tmp_path)

    packs = (pack("lantern", TWO), Pack("harbor", second, DRILL), pack("cellar", TWO), pack("meadow", TWO))
    with pytest.raises((RequestError, WriteError)):
        write_packs(tmp_path, packs)

    assert files_in(tmp_path) == before


# Stopped half-way


@pytest.mark.parametrize(
    "error", [RuntimeError("style broke"), KeyboardInterrupt(), RequestError("no such chord")]
)
def test_a_run_that_stops_leaves_nothing_behind(tmp_path: Path, error: BaseException) -> None:
    with pytest.raises(type(error)):
        write_pack(tmp_path / "out/deep", "lantern", failing(error), DRILL)

    assert list(tmp_path.iterdir()) == []


def test_a_run_that_stops_leaves_the_earlier_pack_as_it_was(tmp_path: Path) -> None:
    write(tmp_path)
    before = files_in(tmp_path)

    with pytest.raises(RuntimeError, match="style broke"):
        write_pack(tmp_path, "lantern", failing(RuntimeError("style broke")), DRILL)
    assert files_in(tmp_path) == before


@pytest.mark.parametrize("call", ["open", "write", "mkdir", "rename"])
@pytest.mark.parametrize("earlier", [False, True])
def test_a_refusal_of_the_system_is_one_line_and_changes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, call: str, earlier: bool
) -> None:
    if earlier:
        write(tmp_path)
    before = files_in(tmp_path)
    monkeypatch.setattr(folder, "_exchanged", _cannot)

    def refuse(*args: object, **options: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    real_open = os.open

    def open_to_read_only(path: str, flags: int, *mode: int) -> int:
        if flags & os.O_CREAT:
            refuse()
        return real_open(path, flags, *mode)

    if call == "open":
        monkeypatch.setattr(os, "open", open_to_read_only)
    elif call == "write":
        monkeypatch.setattr(os, "write", refuse)
    else:
        monkeypatch.setattr(Path, call, refuse)
    with pytest.raises(WriteError, match=r"^cannot write the pack .*: No space left on device$"):
        write(tmp_path, TWO)

    monkeypatch.undo()
    assert files_in(tmp_path) == before


def test_a_swap_that_fails_in_the_middle_puts_the_earlier_pack_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write(tmp_path, ONE)
    before = files_in(tmp_path)
    monkeypatch.setattr(folder, "_exchanged", _cannot)
    real = Path.rename

    def rename(self: Path, target: Path) -> Path:
        if self.name.endswith("rungwise-new"):
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        return real(self, target)

    monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises(WriteError):
        write(tmp_path, TWO)
    assert files_in(tmp_path) == before


def test_without_an_exchange_the_pack_is_replaced_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(folder, "_exchanged", _cannot)
    write(tmp_path, ONE)
    write(tmp_path, TWO)

    assert set(files_in(tmp_path)) == {f"lantern/{TWO.path}", "lantern/manifest.json"}


@pytest.mark.skipif(sys.platform != "linux", reason="an exchange of folders is Linux's")
def test_two_folders_are_exchanged_in_one_step(tmp_path: Path) -> None:
    for name in ("one", "other"):
        (tmp_path / name).mkdir()
        (tmp_path / name / name).touch()

    if folder._exchanged(tmp_path / "one", tmp_path / "other"):
        assert (tmp_path / "one/other").exists()
        assert (tmp_path / "other/one").exists()


def test_leftovers_of_a_killed_run_are_cleared_whatever_their_drill(tmp_path: Path) -> None:
    for name in (".lantern.rungwise-new", ".harbor.rungwise-new", ".lantern.rungwise-old"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "half.mid").touch()
    (tmp_path / "lantern").mkdir()
    (tmp_path / ".gitkeep").touch()
    write(tmp_path)

    assert {path.name for path in tmp_path.iterdir()} == {"lantern", ".gitkeep"}


def test_a_pack_caught_between_two_renames_is_put_back_first(tmp_path: Path) -> None:
    write(tmp_path)
    before = files_in(tmp_path)
    (tmp_path / "lantern").rename(tmp_path / ".lantern.rungwise-old")
    write_pack(tmp_path, "harbor", [ONE], DRILL)

    assert {path: content for path, content in files_in(tmp_path).items() if "harbor" not in path} == before


_KILLED = """
import os, signal, sys
from pathlib import Path
from tracks.pack.folder import write_pack

def files():
    for number in range(int(sys.argv[2])):
        yield f"C-major/{number}.mid", b"x" * 500, {"bpm": number}
    os.kill(os.getpid(), signal.SIGKILL)
    yield "never.mid", b"", {}

write_pack(Path(sys.argv[1]), "lantern", files(), {"name": "lantern"})
"""


@pytest.mark.parametrize("written", [0, 7])
def test_a_killed_run_loses_nothing_and_the_next_one_tidies_up(tmp_path: Path, written: int) -> None:
    write(tmp_path, ONE)
    before = files_in(tmp_path / "lantern")

    killed = subprocess.run([sys.executable, "-c", _KILLED, tmp_path, str(written)], check=False)

    assert killed.returncode == -signal.SIGKILL
    assert files_in(tmp_path / "lantern") == before
    write(tmp_path, TWO)
    assert [path.name for path in tmp_path.iterdir()] == ["lantern"]


def test_a_run_while_another_writes_there_is_refused_in_one_line(tmp_path: Path) -> None:
    def files() -> Iterator[PackFile]:
        yield ONE
        with pytest.raises(WriteError, match=r"another run is writing into .*--out"):
            write_pack(tmp_path, "harbor", (TWO,), DRILL)
        yield TWO

    write_pack(tmp_path, "lantern", files(), DRILL)

    assert [path.name for path in tmp_path.iterdir()] == ["lantern"]
    assert set(files_in(tmp_path / "lantern")) >= {ONE.path, TWO.path}
