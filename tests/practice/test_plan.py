from dataclasses import replace

import pytest
from example_piece import example_piece

from tracks.drill.drill import Drill, Mix
from tracks.model import Piece, Role
from tracks.practice.plan import jobs, sensible_mixes
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import QUARTER, Meter

EB = Key.parse("Eb")
DRILL = Drill("lantern", "I V I", (EB,), Meter(4, 4), (60, 68, 104), count_in=2)
EVERY = replace(DRILL, mixes=tuple(Mix))


def only(piece: Piece, *roles: Role) -> Piece:
    return replace(piece, parts=tuple(part for part in piece.parts if part.role in roles))


def test_a_job_for_every_mix_and_tempo_mix_by_mix_and_slow_to_fast() -> None:
    planned = list(jobs(EVERY, EB, example_piece()))

    assert [(job.mix, job.bpm) for job in planned] == [(mix, bpm) for mix in Mix for bpm in (60, 68, 104)]


def test_paths_say_key_mix_and_tempo_in_three_digits() -> None:
    paths = [job.path for job in jobs(DRILL, EB, example_piece())]

    assert paths[:3] == [
        "Eb-major/lantern_01-Eb-major_060_1-right-alone.mid",
        "Eb-major/lantern_01-Eb-major_068_1-right-alone.mid",
        "Eb-major/lantern_01-Eb-major_104_1-right-alone.mid",
    ]


def test_each_piece_has_its_count_in_its_mix_and_its_tempo() -> None:
    for job in jobs(DRILL, EB, example_piece("4/4", pickup=QUARTER)):
        assert job.piece.music_from == 2 * 4 * QUARTER
        assert job.piece.bpm == job.bpm
        assert (Role.RIGHT in {part.role for part in job.piece.parts}) == (
            job.mix not in (Mix.LEFT_ALONE, Mix.YOU_PLAY_RIGHT)
        )


def test_a_row_is_what_a_manifest_says_besides_the_bytes() -> None:
    first = next(jobs(DRILL, EB, example_piece()))

    assert first.row == {"key": "Eb major", "mix": "right-alone", "bpm": 60}


def test_a_style_that_follows_the_tempo_is_asked_once_a_rung() -> None:
    asked = []

    def arranged(bpm: int) -> Piece:
        asked.append(bpm)
        return replace(example_piece(), title=f"at {bpm}")

    titles = [(job.bpm, job.piece.title) for job in jobs(DRILL, EB, arranged)]

    assert asked == [60, 68, 104]
    assert titles == [(bpm, f"at {bpm}") for _ in Mix for bpm in (60, 68, 104)]


def test_mixes_of_a_hand_that_plays_nothing_are_passed_over() -> None:
    piece = only(example_piece(), Role.RIGHT, Role.DRUMS)

    mixes = sensible_mixes(EVERY, piece)

    assert mixes == (Mix.RIGHT_ALONE, Mix.HANDS_TOGETHER, Mix.YOU_PLAY_RIGHT)
    assert {job.mix for job in jobs(EVERY, EB, piece)} == set(mixes)


def test_a_mix_in_which_only_the_click_would_sound_is_passed_over() -> None:
    piece = only(example_piece(), Role.RIGHT)

    assert sensible_mixes(EVERY, piece) == (Mix.RIGHT_ALONE, Mix.HANDS_TOGETHER)


def test_a_drill_of_no_sensible_mix_is_refused_by_name() -> None:
    drill = replace(DRILL, mixes=(Mix.LEFT_ALONE, Mix.PANNED_APART))

    with pytest.raises(RequestError, match="left-alone, panned-apart: style block"):
        list(jobs(drill, EB, only(example_piece(), Role.RIGHT)))


def test_a_mix_asked_for_twice_is_planned_once() -> None:
    drill = replace(DRILL, mixes=(Mix.PANNED_APART, Mix.PANNED_APART))

    assert len(list(jobs(drill, EB, example_piece()))) == 3


def test_where_no_mix_is_named_none_sounds_like_one_before_it() -> None:
    band, alone = example_piece(), only(example_piece(), Role.RIGHT, Role.LEFT)

    assert sensible_mixes(DRILL, band) == tuple(Mix)
    assert sensible_mixes(DRILL, alone) == (
        Mix.RIGHT_ALONE, Mix.LEFT_ALONE, Mix.HANDS_TOGETHER, Mix.PANNED_APART,
    )  # fmt: skip
    assert sensible_mixes(EVERY, alone) == tuple(Mix)
    assert sensible_mixes(DRILL, only(band, Role.RIGHT)) == (Mix.RIGHT_ALONE,)
