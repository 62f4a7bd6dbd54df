import json
from dataclasses import MISSING, fields, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracks.drill.drill import (
    BAND,
    MOST_COUNT_IN_BARS,
    MOST_REPEATS,
    BuildUp,
    Drill,
    Form,
    Mix,
    Sevenths,
    Start,
)
from tracks.drill.record import drill_from_record, drill_record
from tracks.hands.options import LARGEST_HAND, SMALLEST_HAND
from tracks.model import AudioFormat, Texture
from tracks.theory.errors import RequestError
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import Meter
from tracks.theory.pitch import Pitch

KEYS = st.sampled_from(KEY_SETS["all-30"])
DRILLS = st.builds(
    Drill,
    name=st.text("abcXYZ0189-_", min_size=1, max_size=20),
    progression=st.text(max_size=30),
    keys=st.lists(KEYS, min_size=1, max_size=4).map(tuple),
    meter=st.builds(Meter, st.integers(1, 32), st.sampled_from([2, 4, 8, 16])),
    tempos=st.lists(st.integers(20, 300), min_size=1, max_size=4).map(tuple),
    style=st.text(max_size=12),
    level=st.integers(1, 9),
    texture=st.sampled_from(Texture),
    start=st.sampled_from((None, *Start)),
    sevenths=st.sampled_from(Sevenths),
    low=st.sampled_from(["C3", "Fb3", "B#2"]).map(Pitch.parse),
    high=st.sampled_from(["C6", "A5", "Gb4"]).map(Pitch.parse),
    mixes=st.none() | st.lists(st.sampled_from(Mix), min_size=1).map(tuple),
    count_in=st.integers(0, MOST_COUNT_IN_BARS),
    click=st.booleans(),
    repeats=st.integers(1, MOST_REPEATS),
    seed=st.integers(),
    midi_type=st.sampled_from([0, 1]),
    written_in=st.none() | KEYS,
    audio=st.none() | st.sampled_from(AudioFormat),
    build_up=st.none() | st.sampled_from(BuildUp),
    stems=st.booleans(),
    gm_reset=st.booleans(),
    audio_stems=st.none() | st.sampled_from([AudioFormat.WAV, AudioFormat.FLAC]),
    short_names=st.booleans(),
    form=st.sampled_from(Form),
    feel=st.none() | st.booleans(),
    without=st.lists(st.sampled_from(BAND), unique=True).map(tuple),
    hand=st.integers(SMALLEST_HAND, LARGEST_HAND),
)
PLAIN = Drill("lantern", "I V I", (Key.parse("Eb"),), Meter(4, 4), (60, 68))


@given(DRILLS)
def test_a_drill_comes_back_from_its_record_by_way_of_json(drill: Drill) -> None:
    assert drill_from_record(json.loads(json.dumps(drill_record(drill)))) == drill


def test_a_record_is_in_a_drills_own_words() -> None:
    record = drill_record(replace(PLAIN, written_in=Key.parse("c")))

    assert list(record) == [field.name for field in fields(Drill)]
    assert record["keys"] == ["Eb major"]
    assert record["meter"] == "4/4"
    assert record["texture"] == "doubled"
    assert record["low"] == "F3"
    assert record["written_in"] == "C minor"
    assert record["click"] is True


def test_fields_left_out_take_the_drills_defaults() -> None:
    needed = {f.name: drill_record(PLAIN)[f.name] for f in fields(Drill) if f.default is MISSING}

    assert drill_from_record(needed) == PLAIN


@pytest.mark.parametrize(
    ("field", "value", "message"),
    [
        ("tempo", 60, "field 'tempo' is none"),
        ("keys", "Eb major", "field keys: 'Eb major' is not a list"),
        ("keys", ["H"], "field keys: 'H' is no key"),
        ("meter", 4, "field meter: 4 is not text"),
        ("meter", "4", "field meter: '4' is no meter"),
        ("tempos", ["60"], "field tempos: '60' is not a whole number"),
        ("tempos", [True], "field tempos: True is not a whole number"),
        ("repeats", 1.5, "field repeats: 1.5 is not a whole number"),
        ("click", 1, "field click: 1 is not true or false"),
        ("feel", "yes", "field feel: 'yes' is not true or false"),
        ("without", ["bass", "organ"], "field without: 'organ' is not one of"),
        ("without", ["left hand"], "without: only bass and drums go"),
        ("mixes", ["both"], "field mixes: 'both' is not one of right-alone, left-alone"),
        ("texture", None, "field texture: None is not text"),
        ("name", "../up", "name: '../up' is no name"),
    ],
)
def test_a_wrong_field_is_refused_by_name(field: str, value: object, message: str) -> None:
    with pytest.raises(RequestError) as caught:
        drill_from_record(drill_record(PLAIN) | {field: value})

    assert str(caught.value).startswith(message)


def test_a_lead_in_is_recorded_and_needs_a_count_in() -> None:
    record = drill_record(replace(PLAIN, lead_in=True))

    assert drill_from_record(record).lead_in
    with pytest.raises(RequestError, match="lead-in: it is played in the count-in"):
        drill_from_record(record | {"count_in": 0})


def test_a_missing_field_is_refused_by_name() -> None:
    record = drill_record(PLAIN)
    del record["keys"]

    with pytest.raises(RequestError, match="field keys is missing"):
        drill_from_record(record)
