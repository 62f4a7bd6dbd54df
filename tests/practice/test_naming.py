import re
from dataclasses import replace
from itertools import product

from tracks.drill.drill import Drill, Mix, numbered
from tracks.model import Role
from tracks.practice.naming import ALL_STEMS, HANDS_IN_TURN, Kind, legend, path, sheet_path
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import Meter

EB, F_SHARP_MINOR = Key.parse("Eb"), Key.parse("f#")
LONG = Drill("lantern", "I V I", (F_SHARP_MINOR, EB), Meter(4, 4), (60, 72))
SHORT = replace(LONG, short_names=True)
MIXES = [mix.value for mix in Mix]
STEMS = [ALL_STEMS, *(role.value for role in Role)]
TEMPOS = (20, 60, 104, 300)
IN_8_3 = re.compile(r"[A-Z0-9-]{1,8}\.[A-Z0-9]{3}")
"""Microsoft, "FAT: General Overview of On-Disk Format", 1.03: eight characters and three, of capitals, digits
and a few signs, the hyphen among them."""


def of_a_key(drill: Drill, key: Key) -> list[str]:
    """Return every file that a key can have, in the order in which they are practiced."""
    rungs = [path(drill, Kind.RUNG, key, mix, (bpm,)) for bpm, mix in product(TEMPOS, MIXES)]
    up = [path(drill, Kind.BUILD_UP, key, mix, (bpm,)) for bpm, mix in product(TEMPOS, MIXES)]
    climbs = [path(drill, Kind.CLIMB, key, sound, TEMPOS) for sound in (*MIXES, HANDS_IN_TURN)]
    stems = [path(drill, Kind.STEM, key, part, (bpm,)) for bpm, part in product(TEMPOS, STEMS)]
    sheets = [sheet_path(drill, key, ending) for ending in ("pdf", "musicxml")]
    return [*sheets, *rungs, *up, *climbs, *stems]


def of_a_drill(drill: Drill) -> list[str]:
    cycles = [path(drill, Kind.KEY_CYCLE, None, mix, (bpm,)) for bpm, mix in product(TEMPOS, MIXES)]
    files = [place for key in drill.keys for place in of_a_key(drill, key)]
    return [*files, sheet_path(drill, None, "pdf"), *cycles, *([legend(drill, [])[0]] * drill.short_names)]


def names(places: list[str]) -> list[str]:
    return [place.rpartition("/")[2] for place in places]


def test_long_names_say_drill_key_tempo_and_hands() -> None:
    assert path(LONG, Kind.RUNG, EB, "right-alone", (60,)) == (
        "Eb-major/lantern_02-Eb-major_060_1-right-alone.mid"
    )
    assert path(LONG, Kind.CLIMB, EB, "hands-together", TEMPOS) == (
        "Eb-major/climb/lantern_02-Eb-major_climb_020-300_3-hands-together.mid"
    )
    assert path(LONG, Kind.KEY_CYCLE, None, "panned-apart", (72,)) == (
        "key-cycle/lantern_all-keys_072_6-panned-apart.mid"
    )
    assert path(LONG, Kind.STEM, F_SHARP_MINOR, "left hand", (72,)) == (
        "F-sharp-minor/stems/lantern_01-F-sharp-minor_stems_072_left-hand.mid"
    )
    assert path(LONG, Kind.STEM, EB, ALL_STEMS, (72,), "zip") == (
        "Eb-major/stems/lantern_02-Eb-major_stems_072.zip"
    )
    assert sheet_path(LONG, EB, "pdf") == "Eb-major/lantern_02-Eb-major.pdf"


def test_short_names_are_for_a_disk_that_knows_eight_and_three() -> None:
    assert path(SHORT, Kind.RUNG, EB, "right-alone", (60,)) == "EB/A02-0601.MID"
    assert path(SHORT, Kind.BUILD_UP, F_SHARP_MINOR, "left-alone", (60,)) == "FSMIN/BUILDUP/A01B0602.MID"
    assert path(SHORT, Kind.KEY_CYCLE, None, "panned-apart", (72,)) == "CYCLE/AALK0726.MID"
    assert sheet_path(SHORT, EB, "musicxml") == "EB/A02.XML"


def test_every_short_name_of_a_lesson_fits_and_no_two_are_one() -> None:
    every = KEY_SETS["all-30"]
    lesson = numbered(replace(SHORT, name=f"drill-{number}", keys=every) for number in range(26))
    found = names([place for drill in lesson for place in of_a_drill(drill)])

    assert all(IN_8_3.fullmatch(name) for name in found)
    assert len(set(found)) == len(found)


def test_every_long_name_of_a_lesson_is_its_own_whatever_its_capitals() -> None:
    every = KEY_SETS["all-30"]
    drills = [replace(LONG, name=name, keys=every) for name in ("a", "b_01-Eb-major", "b", "a_01-C-major")]
    found = names([place for drill in drills for place in of_a_drill(drill)])

    assert all(
        re.fullmatch(r"[A-Za-z0-9_.-]+", name) for name in found
    )  # what no link escapes (RFC 3986, 2.3)
    assert len({name.casefold() for name in found}) == len(found)


def test_names_sort_as_they_are_practiced_key_by_key_and_from_slow_to_fast() -> None:
    for drill in (LONG, SHORT):
        rungs = [
            path(drill, Kind.RUNG, key, mix, (bpm,))
            for key, bpm, mix in product(drill.keys, TEMPOS, ("right-alone", "left-alone", "hands-together"))
        ]
        assert sorted(names(rungs), key=str.casefold) == names(rungs)


def test_what_is_no_rung_comes_after_the_rungs_of_its_key_and_all_keys_come_last() -> None:
    for drill in (LONG, SHORT):
        first, second = (of_a_key(drill, key) for key in drill.keys)
        rungs, others = (
            names(first[2 : 2 + len(TEMPOS) * len(Mix)]),
            names(first[2 + len(TEMPOS) * len(Mix) :]),
        )
        assert max(map(str.casefold, rungs)) < min(map(str.casefold, others))
        assert max(map(str.casefold, names(first))) < min(map(str.casefold, names(second)))
        last = names([path(drill, Kind.KEY_CYCLE, None, "hands-together", (60,))])
        assert max(map(str.casefold, names(second))) < last[0].casefold()


def test_a_legend_tells_what_each_short_name_is() -> None:
    rows: list[tuple[str, dict[str, object]]] = [
        ("EB/A02-0603.MID", {"key": "Eb major", "mix": "hands-together", "bpm": 60}),
        ("EB/CLIMB/A02C0600.MID", {"key": "Eb major", "mix": "hands-together", "bpm": 60, "kind": "climb"}),
        ("EB/A02.PDF", {"key": "Eb major", "mix": None, "bpm": None}),
    ]
    place, text = legend(SHORT, rows)

    assert place == "A-LEGEND.TXT"
    assert text.split("\r\n") == [
        "A is lantern: F# minor, Eb major",
        "",
        "A02-0603.MID  Eb major, 60, hands together",
        "A02.PDF       Eb major, sheet",
        "A02C0600.MID  Eb major, climb, 60, hands in turn",
        "",
    ]
