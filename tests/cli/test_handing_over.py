"""A lesson handed over: where its packs lie and whose, the page to start from, the zip, many at once."""

import io
import json
import re
import subprocess
import sys
import zipfile
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote

import pytest

from tracks.cli.main import run

LESSON = """title = "Lanterns <&>"
student = "Wren"
date = 2026-03-02
due = "2026-03-09"
notes = '''Left hand first. <script>
Sing "do".'''
[[drill]]
name = "cadence"
progression = "I IV V7 I"
keys = ["Eb", "f#"]
written-in = "C"
tempos = [60, 72]
[[drill]]
name = "old-piano"
progression = "I V7 I"
short-names = true
tempos = 60
""".replace('written-in = "C"\n', "")

Build = Callable[..., str]


@pytest.fixture
def desk(desk: Path) -> Path:
    for term in ("a-term", "b-term"):
        (desk / term).mkdir()
        (desk / term / "week-01.toml").write_text(LESSON, encoding="utf-8")
    return desk


@pytest.fixture
def built(capsys: pytest.CaptureFixture[str]) -> Build:
    def build(*words: str, code: int = 0) -> str:
        assert run(("build", *words)) == code
        told = capsys.readouterr()
        return told.out + told.err

    return build


def files(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


# Whose a folder is


def test_each_term_has_a_folder_of_its_own(desk: Path, built: Build) -> None:
    built("a-term/week-01.toml")
    first = files(desk / "out" / "a-term")
    built("b-term/week-01.toml")

    assert files(desk / "out" / "a-term") == first
    assert {path.name for path in (desk / "out").iterdir()} == {"a-term", "b-term"}


@pytest.mark.parametrize(
    "way", ["a-term/week-01.toml", "./a-term/week-01.toml", "b-term/../a-term/week-01.toml", "/"]
)
def test_the_folder_is_the_lessons_own_however_it_is_called(desk: Path, built: Build, way: str) -> None:
    built(str(desk / "a-term/week-01.toml") if way == "/" else way)

    assert (desk / "out" / "a-term" / "week-01" / "cadence" / "manifest.json").is_file()


def test_a_lesson_in_the_current_folder_has_no_level_for_it(
    desk: Path, built: Build, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(desk / "a-term")
    built("week-01.toml", "../b-term/week-01.toml")

    assert {path.name for path in (desk / "a-term" / "out").iterdir()} == {"week-01", "b-term"}


@pytest.mark.skipif(sys.platform == "win32", reason="links need a right there")
def test_a_link_counts_by_its_own_name(desk: Path, built: Build) -> None:
    (desk / "c-term").symlink_to(desk / "a-term", target_is_directory=True)
    built("c-term/week-01.toml")

    assert (desk / "out" / "c-term" / "week-01" / "start-here.html").is_file()


def test_a_folder_made_for_another_lesson_is_refused_unless_it_is_taken_over(
    desk: Path, built: Build
) -> None:
    built("a-term/week-01.toml")
    other = desk / "far" / "a-term"
    other.mkdir(parents=True)
    (other / "week-01.toml").write_text(LESSON.replace("V7 I", "IV I"), encoding="utf-8")
    before = files(desk / "out")

    told = built("far/a-term/week-01.toml", code=2)

    assert "out/a-term/week-01 was made for another lesson, a-term/week-01.toml; rename" in told
    assert files(desk / "out") == before
    built("far/a-term/week-01.toml", "--force")
    assert "was made for another lesson, far/a-term" in built("a-term/week-01.toml", code=2)


def test_an_edited_drill_replaces_its_pack_and_lessons_and_packs_moved_together_stay_theirs(
    desk: Path, built: Build, monkeypatch: pytest.MonkeyPatch
) -> None:
    built("a-term/week-01.toml")
    moved = desk.with_name(f"{desk.name}-moved")
    desk.rename(moved)
    monkeypatch.chdir(moved)
    (moved / "a-term" / "week-01.toml").write_text(LESSON.replace("I IV V7 I", "I ii V7 I"), encoding="utf-8")

    assert "1 made, 1 as they should be" in built("a-term/week-01.toml")


def test_a_pack_where_the_lessons_folder_should_be_is_refused(desk: Path, built: Build) -> None:
    (desk / "week-02.toml").write_text(LESSON, encoding="utf-8")
    assert run("make I --tempo 60 --name week-02".split()) == 0

    assert "out/week-02 is a pack, where the lesson's folder should be" in built("week-02.toml", code=2)


def test_an_unnamed_make_replaces_its_own_drill_only(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    one = ("make", "I V I", "--tempo", "60")
    assert run(one) == 0
    assert run(one) == 0
    before = files(desk / "out")
    capsys.readouterr()

    assert run((*one, "--key", "G")) == 2
    assert capsys.readouterr().err == (
        "rungwise: out/I-V-I holds the pack of another drill; "
        "give this one a --name, or --force to replace it\n"
    )
    assert files(desk / "out") == before
    assert run((*one, "--key", "G", "--name", "I-V-I")) == 0
    assert run((*one, "--force")) == 0


# The page


class Page(HTMLParser):
    """What a page links, plays and says."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.links: list[str] = []
        self.sounds: list[dict[str, str | None]] = []
        self.tags: list[str] = []
        self.words = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        self.tags.append(tag)
        self.links += [unquote(value) for name in ("href", "src") if (value := found.get(name))]
        self.sounds += [found] if tag == "audio" else []

    def handle_data(self, data: str) -> None:
        self.words += data


def page(folder: Path) -> Page:
    return Page((folder / "start-here.html").read_text(encoding="utf-8"))


def test_the_page_tells_what_the_teacher_wrote_and_links_only_what_is_there(desk: Path, built: Build) -> None:
    built("a-term/week-01.toml")
    place = desk / "out" / "a-term" / "week-01"
    found = page(place)

    for words in (
        "Lanterns <&>", "Wren", "Monday, March 2, 2026", "Monday, March 9, 2026", "Left hand first. <script>",
        'Sing "do".', "Cadence", "Today: quarter note = 60", "Goal: 72", "Rest often, stop at pain",
    ):  # fmt: skip
        assert words in found.words
    assert "script" not in found.tags
    assert [tag for tag in found.tags if tag in ("header", "main", "footer", "h1")] == [
        "header", "h1", "main", "footer",
    ]  # fmt: skip
    linked = [link for link in found.links if not link.startswith("#")]
    assert all((place / link).is_file() for link in linked)
    made = {f"{drill}/{row['path']}" for drill in ("cadence", "old-piano") for row in
            json.loads((place / drill / "manifest.json").read_bytes())["files"]}  # fmt: skip
    assert set(linked) == made
    assert not any(link.startswith(("http:", "https:", "//")) for link in found.links)


def test_sounds_play_where_they_stand_and_are_loaded_only_then(desk: Path, built: Build) -> None:
    (desk / "x.toml").write_text(
        'student = "Wren"\n[[drill]]\nname = "a"\nprogression = "I"\ntempos = [290, 300]\naudio = "wav"\n'
    )
    built("x.toml")
    sounds = page(desk / "out" / "x").sounds

    assert [sound["src"] for sound in sounds] == [
        f"a/C-major/a_01-C-major_290_{hands}.wav"
        for hands in ("1-right-alone", "2-left-alone", "3-hands-together", "6-panned-apart")
    ]
    assert all(sound["preload"] == "none" and "controls" in sound for sound in sounds)
    assert sounds[0]["aria-label"] == "A, C major, at 290, Right hand alone"


def test_today_goes_on_from_what_was_reached(desk: Path, built: Build) -> None:
    (desk / "a-term" / "progress.csv").write_text(
        "date,student,drill,key,texture,bpm,ready\n2026-03-01,Wren,cadence,Eb,doubled,60,yes\n"
    )
    built("a-term/week-01.toml")

    assert "Today: quarter note = 60 to 72" in page(desk / "out" / "a-term" / "week-01").words


def test_a_page_that_somebody_changed_is_left_and_told_of(desk: Path, built: Build) -> None:
    built("a-term/week-01.toml")
    place = desk / "out" / "a-term" / "week-01" / "start-here.html"
    place.write_text("mine")

    told = built("a-term/week-01.toml")
    assert "start-here.html is not as we wrote it, and is left; --force writes it anew" in told
    assert place.read_text() == "mine"
    built("a-term/week-01.toml", "--force")
    assert "Lanterns" in place.read_text(encoding="utf-8")


# The zip


def test_a_zip_opens_where_capitals_tell_no_names_apart(desk: Path, built: Build, tmp_path: Path) -> None:
    told = built("a-term/week-01.toml", "--zip")
    assert "out/a-term/week-01.zip: 0.1 MB, a mail takes it" in told.replace("0.0 MB", "0.1 MB")
    content = (desk / "out" / "a-term" / "week-01.zip").read_bytes()
    with zipfile.ZipFile(io.BytesIO(content)) as opened:
        assert opened.testzip() is None
        names = opened.namelist()
        opened.extractall(tmp_path / "unpacked")

    bare = [name.rpartition("/")[2].casefold() for name in names]
    assert len(set(bare)) == len(bare)  # even without folders, as mail shows them
    folders = {name.rpartition("/")[0] for name in names}
    assert len({folder.casefold() for folder in folders}) == len(folders)
    assert all(name.isascii() for name in names)
    root = tmp_path / "unpacked" / "week-01"
    linked = [link for link in page(root).links if not link.startswith("#")]
    assert linked
    assert all((root / link).is_file() for link in linked)
    built("a-term/week-01.toml", "--zip", "--everything")
    assert (desk / "out" / "a-term" / "week-01.zip").read_bytes() == content


def test_names_of_a_lesson_sort_as_they_are_practiced(desk: Path, built: Build) -> None:
    built("a-term/week-01.toml")
    place = desk / "out" / "a-term" / "week-01" / "cadence"
    rows = json.loads((place / "manifest.json").read_bytes())["files"]
    order = ["right-alone", "left-alone", "hands-together", "panned-apart"]

    by_name = sorted(rows, key=lambda row: row["path"].rpartition("/")[2].casefold())

    assert by_name == sorted(
        rows,
        key=lambda row: (["Eb major", "F# minor"].index(row["key"]), row["bpm"], order.index(row["mix"])),
    )


def test_what_a_mail_does_not_take_becomes_zips_that_each_open_by_themselves(
    desk: Path, built: Build, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    built("a-term/week-01.toml", "--zip")
    place = desk / "out" / "a-term" / "week-01"
    whole = place.with_suffix(".zip")
    with zipfile.ZipFile(whole) as opened:
        inside = set(opened.namelist())
    limit = whole.stat().st_size * 2 // 3
    monkeypatch.setattr("tracks.lessons.handing_over.MAIL_TAKES", limit)

    told = built("a-term/week-01.toml", "--zip")

    zips = sorted(place.parent.glob("*.zip"))
    assert len(zips) > 1
    assert [path.name for path in zips] == [
        f"week-01_{number}-of-{len(zips)}.zip" for number in range(1, len(zips) + 1)
    ]
    assert told.count("a mail takes it, and it opens by itself") == len(zips)
    seen: list[str] = []
    for number, path in enumerate(zips, start=1):
        assert path.stat().st_size <= limit
        with zipfile.ZipFile(path) as opened:
            assert opened.testzip() is None
            opened.extractall(tmp_path / "unpacked")
            seen += [name.partition("/")[2] for name in opened.namelist()]
        folder = tmp_path / "unpacked" / path.stem
        found = page(folder)
        text = (folder / "start-here.html").read_text(encoding="utf-8")
        linked = {link for link in found.links if not link.startswith("#")}
        assert linked == {name for name in files(folder) if name != "start-here.html"}
        assert f"Lanterns <&>, part {number} of {len(zips)}" in found.words
        assert "Left hand first" in found.words
        others = {other.name for other in zips if other != path}
        assert {name for name in map(str, others) if name in found.words} == others
        assert path.name not in found.words
        assert not re.search(r"<h3>[^<]*</h3>\s*(?=<h3>|</section>)", text)  # a key without a file
    assert sorted(name for name in seen if name != "start-here.html") == sorted(
        name.partition("/")[2] for name in inside if not name.endswith("start-here.html")
    )
    monkeypatch.undo()
    monkeypatch.chdir(desk)
    built("a-term/week-01.toml", "--zip")
    assert list(place.parent.glob("*.zip")) == [whole]  # the parts are not left to be mailed


def test_what_else_there_is_of_a_drill_is_told_by_key_and_by_tempo_where_a_key_is_torn(
    desk: Path, built: Build, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tracks.lessons.handing_over.MAIL_TAKES", 1000)
    built("a-term/week-01.toml", "--zip")

    first = next(iter(sorted((desk / "out" / "a-term").glob("*.zip"))))
    with zipfile.ZipFile(first) as opened:
        opened.extractall(tmp_path / "unpacked")

    words = page(tmp_path / "unpacked" / first.stem).words
    assert "Cadence (E♭ major at 72)" in words
    assert "Old piano (C major" in words


def test_a_zip_of_an_earlier_build_is_told_of_where_it_is_out_of_date(desk: Path, built: Build) -> None:
    lesson = desk / "a-term" / "week-01.toml"
    built("a-term/week-01.toml", "--zip")
    assert "out of date" not in built("a-term/week-01.toml")
    lesson.write_text(LESSON.replace("I IV V7 I", "I ii V7 I"), encoding="utf-8")

    told = built("a-term/week-01.toml")
    assert "out/a-term/week-01.zip: of an earlier build, and out of date; --zip makes it anew" in told
    assert "out of date" in built("a-term/week-01.toml")
    assert "out of date" not in built("a-term/week-01.toml", "--zip")
    assert "out of date" not in built("a-term/week-01.toml")


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (
            'mixes = "hands-together"',
            ("Listen once, then play along. Stay", "Both hands play the same chords"),
        ),
        ('mixes = ["right-alone", "left-alone", "hands-together"]', ("one hand, the other, both. Stay",)),
        ('style = "improvise"', ("The right hand plays the tune, the left the chords under it, in 4/4.",)),
        ('style = "improvise"\nband = "swing"', ("under it, over a swing band, in 4/4.",)),
    ],
)
def test_the_page_says_what_is_played_with_the_tracks_that_there_are(
    desk: Path, built: Build, said: str, words: tuple[str, ...]
) -> None:
    (desk / "one.toml").write_text(f'[[drill]]\nname = "one"\nprogression = "I V7 I"\n{said}\n')
    built("one.toml")

    shown = page(desk / "out" / "one").words
    assert all(each in shown for each in words)


def test_a_zip_that_a_mail_takes_in_no_way_says_so(
    desk: Path, built: Build, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tracks.lessons.handing_over.MAIL_TAKES", 1000)

    told = built("a-term/week-01.toml", "--zip")

    assert told.count("too large to mail; share it by a link") > 2  # a drill of two keys, and one of one


LEVEL = """student = "Wren"
[defaults]
keys = "C"
from = 280
minimum-tempo = 290
count-in = 0
click = false
sheet = true
page = true
audio = "mp3"
stems = true
audio-stems = "wav"
[[requirement]]
name = "close"
progressions = "I V7"
"""


def test_a_term_of_a_level_that_asks_for_everything_is_complete(
    desk: Path, built: Build, capsys: pytest.CaptureFixture[str]
) -> None:
    (desk / "level.toml").write_text(LEVEL)
    assert run(("term", "level.toml", "--weeks", "2")) == 0
    capsys.readouterr()

    built("term", "--zip")

    for week, drill in (("week-01", "close-new"), ("week-02", "close-again-1")):
        place = desk / "out" / "term" / week
        made = {path.removeprefix(f"{drill}/") for path in files(place) if path.startswith(f"{drill}/")}
        rungs = {path for path in made if path.endswith(".mid") and "/stems/" not in path}
        assert rungs
        assert {path.replace(".mid", ".mp3") for path in rungs} <= made
        parts = {path for path in made if path.endswith(".mid")} - rungs
        assert len(parts) == 2
        assert {path.replace(".mid", ".wav") for path in parts} <= made
        key = f"C-major/{drill}_01-C-major"
        assert {f"{key}.pdf", f"{key}.musicxml", f"{drill}.html"} <= made
        with zipfile.ZipFile(place.with_suffix(".zip")) as opened:
            inside = {name.removeprefix(f"{week}/{drill}/") for name in opened.namelist()}
        assert inside - {f"{week}/start-here.html"} == made - {"manifest.json"}
        assert set(page(place).links) >= {f"{drill}/{path}" for path in made - {"manifest.json"} - parts}


# Many


def test_the_same_bytes_whatever_the_number_of_workers(desk: Path, built: Build) -> None:
    built("a-term", "b-term", "--out", "one")
    built("a-term", "b-term", "--out", "many", "--jobs", "3")

    assert files(desk / "one") == files(desk / "many")


RICH = """[defaults]
tempos = [290, 300]
count-in = 0
click = false
mixes = ["hands-together"]
sheet = true
[[drill]]
name = "cycle"
progression = "I V7"
keys = ["C", "G"]
audio = "mp3"
stems = true
audio-stems = "wav"
key-cycle = true
[[drill]]
name = "climb"
progression = "i V7"
keys = "a"
audio = "ogg"
style = "swing"
climb = "hands-in-turn"
page = true
[[drill]]
name = "still"
progression = "I IV"
"""


def test_sound_and_sheets_are_the_same_bytes_whatever_the_number_of_workers(desk: Path, built: Build) -> None:
    (desk / "rich.toml").write_text(RICH)
    built("rich.toml", "--zip", "--jobs", "1", "--out", "one")
    built("rich.toml", "--zip", "--jobs", "2", "--out", "many")

    made = files(desk / "one")
    assert made == files(desk / "many")
    for path in ("cycle/key-cycle/cycle_all-keys_290_3-hands-together.mp3", "cycle/cycle_all-keys.pdf"):
        assert f"rich/{path}" in made
    assert any("/stems/" in path and path.endswith(".wav") for path in made)
    assert "rich/climb/climb.html" in made


ENDS_ITS_WORKER = """
import multiprocessing
import os
import signal

from tracks.model import Part, Role, Texture
from tracks.style import Style, StyleInfo
from tracks.theory.meter import Meter


def play(brief, rng):
    if multiprocessing.parent_process():
        os.kill(os.getpid(), signal.SIGTERM)
    return (Part(Role.RIGHT, ()),)


STYLE = Style(StyleInfo("drone", "ends its worker", (Meter(4, 4),), (Role.RIGHT,), (Texture.DOUBLED,)), play)
"""


def test_a_worker_that_the_system_ends_is_told_as_want_of_memory(desk: Path, built: Build) -> None:
    style = desk / "drone.py"
    style.write_text(ENDS_ITS_WORKER)
    (desk / "hungry.toml").write_text(
        '[defaults]\nstyle = "drone.py"\nkeys = ["C"]\n'
        '[[drill]]\nname = "one"\nprogression = "I V"\n[[drill]]\nname = "two"\nprogression = "I IV"\n'
    )

    told = built("hungry.toml", "--allow-style", "drone.py", "--jobs", "2", code=1)

    assert "there is not enough memory for this" in told
    assert "internal error" not in told


def test_every_drill_is_listed_as_a_command_that_stands_alone(desk: Path, built: Build) -> None:
    built("a-term", "--out", "at once")
    lines = built("a-term", "--list", "--out", "one by one").splitlines()

    assert lines == [
        f'rungwise build a-term/week-01.toml --only {name} --out "one by one"'
        for name in ("cadence", "old-piano")
    ]
    running = [
        subprocess.Popen(
            [
                sys.executable,
                "-m",
                "tracks",
                "build",
                "a-term/week-01.toml",
                "--only",
                name,
                "--out",
                "one by one",
            ],
            stdout=subprocess.DEVNULL,
        )
        for name in ("old-piano", "cadence")
    ]
    assert [each.wait() for each in running] == [0, 0]
    assert files(desk / "one by one") == files(desk / "at once")


def test_what_cannot_be_is_refused(desk: Path, built: Build) -> None:
    assert "no drill is called 'cadense'; did you mean cadence?" in built(
        "a-term", "--only", "cadense", code=2
    )
    assert "--jobs: 0 is too few; give 1 or more" in built("a-term", "--jobs", "0", code=2)
    (desk / "a-term" / "level.toml").write_text('[[requirement]]\nprogressions = ["I"]\nkeys = "C"\n')
    assert "2 made" in built("a-term")  # a level among the lessons is passed over


# Students


def test_students_tell_what_is_set_reached_and_next(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (desk / "progress.csv").write_text(
        "date,student,drill,key,texture,bpm,ready\n2026-03-01,Wren,cadence,Eb,doubled,60,yes\n"
        "2026-03-01,Wren,old-piano,C,,60,yes\n"
    )
    assert run(("students", "a-term", "--json")) == 0
    assert json.loads(capsys.readouterr().out) == [
        {
            "student": "Wren",
            "drills": [
                {"lesson": "week-01", "drill": "cadence", "key": "Eb major", "goal": 72, "reached": 60},
                {"lesson": "week-01", "drill": "cadence", "key": "F# minor", "goal": 72, "reached": None},
                {"lesson": "week-01", "drill": "old-piano", "key": "C major", "goal": 60, "reached": 60},
            ],
        }
    ]
    assert run(("students", "a-term")) == 0
    assert capsys.readouterr().out.splitlines() == [
        "Wren",
        "  week-01: cadence in E♭ major: reached 60, goal 72, next 72",
        "  week-01: cadence in F♯ minor: not played yet, goal 72, next 60",
        "  week-01: old-piano in C major: reached 60, goal 60 met; next 63",
    ]


@pytest.mark.parametrize(
    ("field", "told"),
    [
        ('date = "tomorrow"', "line 3, date: tomorrow is no day; write one like 2026-03-02"),
        ("date = 3", "line 3, date: 3 is no day"),
        ("date = 2026-03-10", "due: 2026-03-09 comes before the day of the lesson, 2026-03-10"),
    ],
)
def test_a_day_that_is_none_is_told_by_its_line(desk: Path, built: Build, field: str, told: str) -> None:
    (desk / "x.toml").write_text(LESSON.replace("date = 2026-03-02", field))

    assert told in built("x.toml", code=2)
