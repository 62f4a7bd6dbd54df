"""What a drill asks for besides a file for every rung: climbs, build-ups, key cycles, stems."""

from dataclasses import replace

import pytest
from example_piece import example_piece

from tracks.drill.drill import BuildUp, Climb, Drill, Mix
from tracks.model import Piece, Role
from tracks.practice.plan import Job, build_up_jobs, jobs, key_cycle_jobs, stem_jobs
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import QUARTER, Meter

EB, F = Key.parse("Eb"), Key.parse("F")
DRILL = Drill("lantern", "I V I", (EB, F), Meter(4, 4), (60, 72), mixes=(Mix.HANDS_TOGETHER, Mix.RIGHT_ALONE))
BAR = DRILL.meter.bar


def roles(job: Job) -> set[Role]:
    return {part.role for part in job.piece.parts if part.notes or part.hits}


def labels(job: Job) -> list[str]:
    return [mark.text for mark in job.piece.markers]


def test_a_climb_comes_besides_the_rungs_one_for_each_mix() -> None:
    planned = list(jobs(replace(DRILL, climb=Climb.EACH_MIX), EB, example_piece()))

    rungs, climbs = planned[:4], planned[4:]
    assert [job.row for job in rungs] == [job.row for job in jobs(DRILL, EB, example_piece())]
    assert [job.path for job in climbs] == [
        "Eb-major/climb/lantern_01-Eb-major_climb_060-072_3-hands-together.mid",
        "Eb-major/climb/lantern_01-Eb-major_climb_060-072_1-right-alone.mid",
    ]
    assert climbs[0].row == {
        "key": "Eb major", "mix": "hands-together", "bpm": 60, "kind": "climb", "tempos": [60, 72],
    }  # fmt: skip
    assert roles(climbs[1]) == {Role.RIGHT, Role.CLICK}
    assert [tempo.bpm for tempo in climbs[0].piece.tempos] == [72]
    assert climbs[0].piece.length == 2 * 5 * BAR


def test_hands_in_turn_go_right_left_both_at_every_rung() -> None:
    *_, climb = jobs(replace(DRILL, climb=Climb.HANDS_IN_TURN), EB, example_piece())

    assert [text for text in labels(climb) if "a minute" in text] == [
        f"{bpm} a minute, {mix}"
        for bpm in (60, 72)
        for mix in ("right-alone", "left-alone", "hands-together")
    ]
    assert climb.piece.length == 6 * 5 * BAR


def test_a_climb_of_a_style_that_follows_the_tempo_is_played_anew_at_every_rung() -> None:
    def arranged(bpm: int) -> Piece:
        return example_piece("4/4") if bpm == 60 else replace(example_piece("4/4"), length=3 * BAR)

    *_, climb = jobs(replace(DRILL, climb=Climb.EACH_MIX), EB, arranged)

    assert climb.piece.length == (5 + 4) * BAR


def test_one_tempo_is_no_ladder_and_one_key_no_cycle() -> None:
    with pytest.raises(RequestError, match="climb: one tempo"):
        replace(DRILL, tempos=(60,), climb=Climb.EACH_MIX)
    with pytest.raises(RequestError, match="key-cycle: one key"):
        replace(DRILL, keys=(EB,), key_cycle=True)


def test_a_build_up_counts_in_before_every_step() -> None:
    drill = replace(DRILL, build_up=BuildUp.BACKWARDS, count_in=2)
    starts = [number * BAR for number in range(4)]

    planned = list(build_up_jobs(drill, EB, example_piece(), starts))

    assert [(job.mix, job.bpm) for job in planned] == [
        (mix, bpm) for mix in drill.mixes or () for bpm in (60, 72)
    ]
    first = planned[0]
    assert first.path == "Eb-major/build-up/lantern_01-Eb-major_build-up_060_3-hands-together.mid"
    assert first.piece.length == ((2 + 1) + (2 + 2) + (2 + 3) + (2 + 4)) * BAR
    assert [text for text in labels(first) if text.startswith("Chord")] == [
        "Chord 4", "Chords 3 to 4", "Chords 2 to 4", "Chords 1 to 4",
    ]  # fmt: skip


def test_a_drill_without_a_build_up_has_none() -> None:
    assert list(build_up_jobs(DRILL, EB, example_piece(), [0])) == []


def test_a_key_cycle_leaves_a_bar_of_click_to_change_hands() -> None:
    drill = replace(DRILL, count_in=3, click=False, key_cycle=True)

    planned = list(key_cycle_jobs(drill, [(EB, example_piece()), (F, example_piece())]))

    assert len(planned) == 4
    first = planned[0]
    assert first.row["keys"] == ["Eb major", "F major"]
    assert first.piece.length == (3 + 4 + 1 + 4) * BAR
    clicks = [hit.start for part in first.piece.parts if part.role is Role.CLICK for hit in part.hits]
    assert clicks == [beat * QUARTER for beat in (*range(12), *range(28, 32))]
    assert [text for text in labels(first) if text.endswith("major")] == ["Eb major", "F major"]


@pytest.mark.parametrize("pickup", [0, QUARTER])
def test_stems_start_at_bar_one_and_are_alike_in_length(pickup: int) -> None:
    planned = list(stem_jobs(DRILL, EB, example_piece("4/4", pickup)))

    lead = BAR if pickup else 0
    assert {job.piece.length for job in planned} == {lead + 4 * BAR}
    assert {job.piece.music_from for job in planned} == {lead}
    assert [job.about["part"] for job in planned[:6]] == [
        "right hand", "left hand", "bass", "drums", "melody", "click",
    ]  # fmt: skip
    assert all(len(job.piece.parts) == 1 for job in planned)
    assert "Count-in" not in labels(planned[0])
