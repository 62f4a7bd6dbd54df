"""A band under an improvised tune: every style that can be one, on every level."""

from collections import Counter
from dataclasses import replace

import pytest

from tracks.drill.drill import Drill
from tracks.drill.in_key import in_each_key
from tracks.model import Part, Piece, Role, Texture
from tracks.practice.arrange import arrange, as_written
from tracks.style.band import loaded, over_band
from tracks.style.registry import load, load_all
from tracks.style.testing import check_style
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import Meter

BANDS = [
    style.info.name
    for style in load_all()[0]
    if Role.MELODY not in style.info.roles and Texture.DOUBLED in style.info.textures
]


def melody(parts: tuple[Part, ...]) -> Part:
    return next(part for part in parts if part.role is Role.MELODY)


def drill(band: str | None, meter: Meter, level: int = 6) -> Drill:
    return Drill("lantern", "I vi ii V7 I IV V7 I", (Key.parse("Eb"),), meter, (100,),
                 style="improvise", band=band, level=level, seed=7)  # fmt: skip


@pytest.mark.parametrize("name", BANDS)
def test_tune_over_any_band_keeps_the_contract_of_a_style(name: str) -> None:
    check_style(over_band(load("improvise"), load(name)))


@pytest.mark.parametrize("name", BANDS)
def test_tune_is_the_one_without_the_band(name: str) -> None:
    meter = load(name).info.meters[0]
    asked = drill(name, meter)
    (in_key,) = in_each_key(asked)
    alone = as_written(asked, load("improvise"), in_key.changes, in_key.chords)
    together = as_written(asked, loaded("improvise", name, load), in_key.changes, in_key.chords)

    assert melody(together.parts) == melody(alone.parts)
    assert {part.role for part in together.parts} == {
        Role.MELODY, *(set(load(name).info.roles) & {Role.LEFT, Role.BASS, Role.DRUMS})
    }  # fmt: skip


def test_tune_swings_with_a_band_that_swings() -> None:
    asked = drill("swing", Meter(4, 4))
    (in_key,) = in_each_key(asked)
    style = loaded("improvise", "swing", load)
    written = melody(as_written(asked, style, in_key.changes, in_key.chords, 120).parts)
    played = melody(arrange(asked, style, in_key.changes, in_key.chords, 120).parts)
    beat = Meter(4, 4).beat
    late = [
        after.start - before.start
        for before, after in zip(written.notes, played.notes, strict=True)
        if before.start % beat == beat // 2
    ]

    assert late
    assert min(late) > beat // 20


@pytest.mark.parametrize("name", ["swing", "bossa-nova", "funk", "rock", "shuffle"])
def test_a_busy_bar_of_the_tune_has_fewer_chords_under_it_than_a_quiet_one(name: str) -> None:
    busy: list[int] = []
    quiet: list[int] = []
    for seed in range(12):
        asked = replace(drill(name, Meter(4, 4)), seed=seed, repeats=2)
        (in_key,) = in_each_key(asked)
        made = as_written(asked, loaded("improvise", name, load), in_key.changes, in_key.chords, 120)
        notes, strikes = in_bars(made, Role.MELODY), in_bars(made, Role.LEFT)
        for bar in range(made.length // made.meter.bar - 1):
            (busy if notes[bar] > 6 else quiet).append(strikes[bar])

    assert len(busy) > 10
    assert sum(busy) / len(busy) < 0.75 * sum(quiet) / len(quiet)


def in_bars(made: Piece, role: Role) -> Counter[int]:
    """How often a part is struck in each bar."""
    part = next(part for part in made.parts if part.role is role)
    return Counter(start // made.meter.bar for start in {note.start for note in part.notes})


def test_tune_stays_even_over_a_band_that_does_not_swing() -> None:
    asked = drill("bossa-nova", Meter(4, 4))
    (in_key,) = in_each_key(asked)
    style = loaded("improvise", "bossa-nova", load)
    written = melody(as_written(asked, style, in_key.changes, in_key.chords, 120).parts)
    played = melody(arrange(asked, style, in_key.changes, in_key.chords, 120).parts)
    pairs = zip(written.notes, played.notes, strict=True)
    strays = [abs(after.start - before.start) for before, after in pairs]

    assert max(strays) <= Meter(4, 4).beat // 96  # the chance of feel


@pytest.mark.parametrize(
    ("style", "band", "words"),
    [("swing", "ballad", "plays no melody"), ("improvise", "improvise", "no band"),
     ("improvise", "x", "no style")],
)  # fmt: skip
def test_what_makes_no_band_is_told_at_the_option(style: str, band: str, words: str) -> None:
    with pytest.raises(RequestError, match=words) as fault:
        loaded(style, band, load)
    assert fault.value.place == ("band",)


def test_the_band_does_not_run_on_chance_of_its_own() -> None:
    asked = drill("swing", Meter(4, 4))
    (in_key,) = in_each_key(asked)
    style = loaded("improvise", "swing", load)
    first, second = (as_written(asked, style, in_key.changes, in_key.chords) for _ in range(2))

    assert first == second
