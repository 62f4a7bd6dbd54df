"""Grooves, fills, pushes, the lead-in, and styles made of a table."""

from random import Random

import pytest

from tracks.model import Part, Role, Texture
from tracks.patterns import Level, Rows, both, figure, tabled
from tracks.patterns.band import STRAIGHT_FILLS, Groove, kit
from tracks.patterns.drum_kit import CLOSED_HI_HAT, SIDE_STICK, SNARE, lead_in_bar
from tracks.style import Brief, Feel
from tracks.style.testing import check_style, trial
from tracks.theory.meter import QUARTER, Meter

FOUR = Meter(4, 4)
HATS: Rows = {CLOSED_HI_HAT: figure("x", 2)}
SNARES: tuple[Rows, ...] = ({SNARE: figure("x x x x", 2)},)


def brief(bars: int, meter: Meter = FOUR, pickup: int = 0) -> Brief:
    return Brief((), meter, pickup + bars * meter.bar, Texture.OVER_BASS, pickup=pickup)


def fills(part: Part, meter: Meter = FOUR) -> dict[int, list[float]]:
    """Where the snare fills, in beats of each bar counted from 1."""
    found: dict[int, list[float]] = {}
    for hit in part.hits:
        if hit.key == SNARE:
            found.setdefault(hit.start // meter.bar + 1, []).append(hit.start % meter.bar / QUARTER)
    return found


def test_a_fill_takes_the_last_beats_of_every_phrase_and_grows_with_the_form() -> None:
    part = kit(brief(17), Groove(HATS, SNARES, fill_beats=1, phrase=4), Random(1))

    last, last_two, all_but_one = ([beat / 2 for beat in range(first, 8)] for first in (6, 4, 2))
    assert fills(part) == {4: last, 8: last_two, 12: last, 16: all_but_one}
    hats = [hit.start for hit in part.hits if hit.key == CLOSED_HI_HAT]
    places = [(start // FOUR.bar + 1, start % FOUR.bar / QUARTER) for start in hats]
    assert not [beat for bar, beat in places if beat in fills(part).get(bar, [])]


def test_a_crash_follows_the_longer_fills_unless_the_band_is_quiet() -> None:
    loud, quiet = (kit(brief(17), Groove(HATS, SNARES, crash=crash), Random(1)) for crash in (49, None))

    assert [hit.start // FOUR.bar for hit in loud.hits if hit.key == 49] == [8, 16]
    assert not [hit for hit in quiet.hits if hit.key == 49]


def test_phrases_count_from_bar_one_after_a_pickup() -> None:
    part = kit(brief(4, pickup=QUARTER), Groove(HATS, SNARES), Random(1))

    assert min(hit.start for hit in part.hits if hit.key == SNARE) == QUARTER + 3 * FOUR.bar + 2 * QUARTER


def test_a_fill_leaves_a_short_bar_its_first_beat() -> None:
    two = Meter(2, 4)
    part = kit(brief(4, two), Groove(HATS, SNARES, fill_beats=2), Random(1))

    assert min(hit.start for hit in part.hits if hit.key == SNARE) == 3 * two.bar + QUARTER


def test_fills_are_chosen_by_chance_and_grow_louder() -> None:
    groove = Groove(HATS, STRAIGHT_FILLS)
    heard = {kit(brief(16), groove, Random(seed)).hits for seed in range(10)}

    assert len(heard) > 5
    fill = [hit for hit in kit(brief(4), Groove(HATS, SNARES), Random(1)).hits if hit.key == SNARE]
    assert [hit.velocity for hit in fill] == sorted(hit.velocity for hit in fill)


@pytest.mark.parametrize("text", ["4/4", "3/4", "2/4", "6/8", "12/8", "2/2", "5/4", "3/8", "1/4"])
def test_lead_in_marks_the_bar_and_fills_its_end(text: str) -> None:
    meter = Meter.parse(text)

    hits = lead_in_bar(meter, meter.bar)

    assert hits[0].start == meter.bar
    assert hits[0].velocity == max(hit.velocity for hit in hits)
    assert all(meter.bar <= hit.start < 2 * meter.bar for hit in hits)
    assert [hit.start for hit in hits] == sorted({hit.start for hit in hits})
    assert {hit.key for hit in hits} > {SIDE_STICK}


LEVELS = (
    Level("easy", both(figure("A"), figure("B"))),
    Level("with a band", both(figure("A", 2), figure("B F")), figure("B F"), Groove(HATS, SNARES)),
)


def test_a_table_is_a_whole_style() -> None:
    style = tabled("reel", "a reel", (Meter(2, 4), FOUR), lambda _meter: LEVELS, Feel())

    assert style.info.levels == ("easy", "with a band")
    assert style.info.roles == (Role.RIGHT, Role.LEFT, Role.BASS, Role.DRUMS)
    assert style.info.textures == (Texture.OVER_BASS, Texture.DOUBLED)
    check_style(style)


def test_hands_together_both_comp_and_over_a_bass_the_left_has_the_bass() -> None:
    style = tabled("reel", "a reel", (FOUR,), lambda _meter: LEVELS)

    def lefts(texture: Texture) -> int:
        chords, length = trial(FOUR, texture)
        left = style.play(Brief(chords, FOUR, length, texture), Random(1))[1]
        return len({note.pitch for note in left.notes if note.start < FOUR.bar})

    assert lefts(Texture.DOUBLED) == 3
    assert lefts(Texture.OVER_BASS) == 1
