import re
from itertools import product

from tracks.drill.drill import Mix
from tracks.model import Role
from tracks.practice.naming import ALL_STEMS, HANDS_IN_TURN, Kind, path
from tracks.theory.key import KEY_SETS, Key

EB, F_SHARP_MINOR = Key.parse("Eb"), Key.parse("f#")
SOUNDS = [*(mix.value for mix in Mix), HANDS_IN_TURN, ALL_STEMS, *(role.value for role in Role)]
SHORT = re.compile(r"[A-Z0-9]{1,8}")


def test_long_names_say_key_sound_and_tempo() -> None:
    assert path(Kind.RUNG, EB, "right-alone", (60,)) == "Eb-major/Eb-major_right-alone_060.mid"
    assert path(Kind.CLIMB, EB, "split", (60, 68, 100)) == "Eb-major/climb/Eb-major_split_060-100.mid"
    assert path(Kind.KEY_CYCLE, None, "split", (72,)) == "key-cycle/key-cycle_split_072.mid"
    assert path(Kind.STEM, F_SHARP_MINOR, "left hand", (72,)) == "F#-minor/stems/F#-minor_left-hand_072.mid"
    assert path(Kind.STEM, EB, ALL_STEMS, (72,), ending="zip") == "Eb-major/stems/Eb-major_stems_072.zip"


def test_short_names_are_for_a_disk_that_knows_eight_and_three() -> None:
    assert path(Kind.RUNG, EB, "right-alone", (60,), short=True) == "EB/EBRA060.MID"
    assert path(Kind.BUILD_UP, F_SHARP_MINOR, "split", (60,), short=True) == "FSM/BUILDUP/FSMSP060.MID"
    assert path(Kind.KEY_CYCLE, None, "split", (72,), short=True) == "CYCLE/SP072.MID"


def test_every_short_name_fits_and_no_two_are_one() -> None:
    every = [
        path(kind, None if kind is Kind.KEY_CYCLE else key, sound, (bpm,), short=True)
        for kind, key, sound, bpm in product(Kind, KEY_SETS["all-30"], SOUNDS, (20, 104, 300))
    ]

    for place in every:
        *folders, name = place.split("/")
        stem, ending = name.split(".")
        assert all(SHORT.fullmatch(word) for word in (*folders, stem)), place
        assert ending == "MID"
    cycles = len(SOUNDS) * 3
    assert len(set(every)) == 4 * 30 * len(SOUNDS) * 3 + cycles


def test_long_names_are_ascii_and_no_two_are_one() -> None:
    every = [path(kind, key, sound, (60,)) for kind, key, sound in product(Kind, KEY_SETS["all-30"], SOUNDS)]

    assert all(place.isascii() and " " not in place for place in every)
    assert len(set(every)) == len(every)
