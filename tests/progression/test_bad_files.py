"""Files that are damaged, hostile or none: refused in one printable line, at once and within bounds."""

import io
import os
import zipfile
from pathlib import Path

import pytest
from mutations import MUSICXML, ROMANTEXT, check_reader, damaged_trees, mutated

from tracks.progression.files import read_file
from tracks.progression.source import source
from tracks.progression.xml_document import MOST_BYTES, document
from tracks.theory.errors import RequestError

CONTAINER = '<container><rootfiles><rootfile full-path="a/tune.xml"/></rootfiles></container>'


def mxl(members: dict[str, str], method: int = zipfile.ZIP_DEFLATED) -> bytes:
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", method) as zipped:
        for name, text in members.items():
            zipped.writestr(name, text)
    return held.getvalue()


@pytest.fixture
def tune(tmp_path: Path) -> Path:
    return tmp_path / "tune.xml"


def refused(path: Path, content: bytes | None = None) -> str:
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(RequestError) as caught:
        read_file(path)
    return str(caught.value)


@pytest.mark.parametrize("seed", range(4))
def test_damaged_musicxml_is_played_or_refused_in_a_line(seed: int, tune: Path) -> None:
    assert check_reader(MUSICXML.encode(), tune) is None
    for content in (*mutated(MUSICXML, True, seed, 40), *damaged_trees(MUSICXML, seed, 40)):
        check_reader(content, tune)


def test_damaged_romantext_is_played_or_refused_in_a_line(tmp_path: Path) -> None:
    tune = tmp_path / "tune.rntxt"
    assert check_reader(ROMANTEXT.encode(), tune) is None
    for content in mutated(ROMANTEXT, False, seed=1, count=300):
        check_reader(content, tune)


@pytest.mark.parametrize("method", [zipfile.ZIP_DEFLATED, zipfile.ZIP_LZMA, zipfile.ZIP_BZIP2])
def test_damaged_zip_is_refused(method: int, tmp_path: Path) -> None:
    tune = tmp_path / "tune.mxl"
    whole = mxl({"a/tune.xml": MUSICXML}, method)
    for place in range(30, len(whole), 97):
        broken = whole[:place] + bytes(byte ^ 0x5A for byte in whole[place : place + 9]) + whole[place + 9 :]
        check_reader(broken, tune)
        check_reader(whole[:place], tune)


def test_score_of_a_zip_is_the_one_its_container_names(tmp_path: Path) -> None:
    other = {"other.xml": "<x/>", "META-INF/container.xml": CONTAINER, "a/tune.xml": MUSICXML}

    assert check_reader(mxl(other), tmp_path / "tune.mxl") is None


@pytest.mark.parametrize("members", [{}, {"readme.txt": "nothing"}, {"META-INF/container.xml": CONTAINER}])
def test_zip_without_a_score_says_so(members: dict[str, str], tmp_path: Path) -> None:
    assert "a zip without a score" in refused(tmp_path / "tune.mxl", mxl(members))


def test_zip_that_unpacks_without_end_is_refused_before_it_does(tmp_path: Path) -> None:
    bomb = mxl({"tune.xml": " " * (MOST_BYTES + 1)})

    assert len(bomb) < MOST_BYTES / 500
    assert "unpacks to 32 MB, and 32 MB are the most" in refused(tmp_path / "tune.mxl", bomb)


def test_more_tags_than_any_piece_has_are_refused() -> None:
    with pytest.raises(RequestError, match="2,000,001 tags"):
        document(b"<a>" * 2_000_001, is_zipped=False)


@pytest.mark.parametrize("encoding", ["shift_jis", "big5", "utf-16", "latin-1", "koi8-r", "utf-8-sig"])
def test_any_encoding_that_python_knows_is_read(encoding: str, tune: Path) -> None:
    title = {"shift_jis": "夜", "big5": "月", "koi8-r": "ночь"}.get(encoding, "Abend")
    text = MUSICXML.replace("UTF-8", encoding).replace("Lantern Walk", title)
    tune.write_bytes(text.encode(encoding))

    assert read_file(tune).title == title


@pytest.mark.parametrize("encoding", ["x-unknown", "rot13", "../../etc"])
def test_unknown_encoding_is_refused(encoding: str, tune: Path) -> None:
    said = refused(tune, MUSICXML.replace("UTF-8", encoding).encode())

    assert f"its encoding {encoding!r} is none we know; save it as UTF-8" in said


def test_number_that_would_be_counted_to_is_refused(tune: Path) -> None:
    # music21 looks for the octave of such a degree step by step, for days.
    said = refused(tune, MUSICXML.replace("<degree-alter>-1", "<degree-alter>99999999999").encode())

    assert said.endswith(
        "measure 2: degree-alter '99999999999' is no number from -3 to 3; export the piece again"
    )


@pytest.mark.parametrize(
    "text",
    [
        f"m{'9' * 5000} I",
        f"m1 C: I b{'9' * 5000} V",
        f"m1 C: I b1.{'9' * 5000} V",
        f"m1-{'9' * 5000} = m1",
        f"m1 I\nm2 = m{'9' * 5000}",
        f"Time Signature: {'9' * 5000}/4\nm1 I",
    ],
)
def test_number_of_thousands_of_digits_is_refused(text: str, tmp_path: Path) -> None:
    said = check_reader(text.encode(), tmp_path / "tune.rntxt")

    assert said
    assert len(said) < 400


def test_bars_of_thousands_of_digits_are_refused(tune: Path) -> None:
    tune.write_text(MUSICXML)

    with pytest.raises(RequestError, match="a number of 5000 digits"):
        source(str(tune), "1-" + "9" * 5000)


def test_pipe_folder_and_device_are_no_files_to_read(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.xml")
    (tmp_path / "zero.rntxt").symlink_to("/dev/zero")
    (tmp_path / "folder.mxl").mkdir()

    for name in ("pipe.xml", "zero.rntxt", "folder.mxl"):
        assert "this is no file with an end" in refused(tmp_path / name)


def test_path_with_a_nul_is_refused() -> None:
    assert refused(Path("a\0b.xml")) == r"a\x00b.xml: no path has such letters in it; give the path of a file"


def test_file_without_permission_is_told_from_one_that_is_not_there(
    tune: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def forbidden(_: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    tune.write_text(MUSICXML)
    monkeypatch.setattr(Path, "read_bytes", forbidden)

    assert "we may not read it; give yourself permission" in refused(tune)


def test_what_a_file_says_reaches_nobody_raw(tmp_path: Path) -> None:
    said = refused(tmp_path / "tune.rntxt", "m1 C: I\x1b[31m\u202e b2 V\n".encode())

    assert r"\x1b[31m\u202e" in said
    assert said.isprintable()
