"""Endings: a ritardando in the tempo map, a tag that plays the cadence again, a stop in stop time.

The curve is checked against A. Friberg and J. Sundberg's formula, Journal of the Acoustical Society of
America 105(3), 1999, worked out here by its kinematics; the files against mido and pretty_midi.
"""

import io
from dataclasses import replace
from itertools import pairwise

import mido
import pretty_midi
import pytest

from tracks.drill.drill import BuildUp, Climb, Drill, Ending, Form, Mix
from tracks.drill.in_key import in_each_key
from tracks.drill.remarks import remarks_on_ending
from tracks.export.audio.timing import seconds_at
from tracks.export.midi import to_bytes
from tracks.model import Part, Piece, Role, Texture
from tracks.pack.page import page
from tracks.pack.sheets import played_sheet
from tracks.practice.arrange import as_written, unrolled
from tracks.practice.endings import CURVE, SLOWEST_PACE, pace
from tracks.practice.mixes import FIRST_DOWNBEAT
from tracks.practice.plan import Job
from tracks.practice.played import Played, played_in_each_key
from tracks.style import Style
from tracks.style.registry import load, load_all
from tracks.theory.errors import RequestError
from tracks.theory.key import KEY_SETS, Key
from tracks.theory.meter import Meter

EB = Key.parse("Eb")
BANDS = [each for each in load_all()[0] if {Role.BASS, Role.DRUMS} & set(each.info.roles)]
SLOW = Ending.RITARDANDO


def drilled(ending: Ending, style: str = "rock", text: str = "I vi IV V7 I", meter: str = "4/4") -> Drill:
    textures = load(style).info.textures
    return Drill("kiln", text, (EB,), Meter.parse(meter), (60,), style, texture=textures[0], ending=ending)


def played(drill: Drill) -> Played:
    return next(iter(played_in_each_key(drill, load(drill.style))))


def job(drill: Drill, mix: Mix = Mix.HANDS_TOGETHER) -> Job:
    return next(each for each in played(drill).jobs() if each.mix is mix)


def tempos(piece: Piece) -> list[tuple[float, float]]:
    """The tempo map of a piece's file: beats from its start, and quarters a minute."""
    file = mido.MidiFile(file=io.BytesIO(to_bytes(piece)))
    now, found = 0, []
    for message in file.tracks[0]:
        now += message.time
        if message.type == "set_tempo":
            found.append((now / file.ticks_per_beat, 60e6 / message.tempo))
    return found


def texts(piece: Piece) -> dict[float, str]:
    """The markers of a piece's file, by the beat that they stand on."""
    file = mido.MidiFile(file=io.BytesIO(to_bytes(piece)))
    now, found = 0, {}
    for message in file.tracks[0]:
        now += message.time
        if message.type == "marker":
            found[now / file.ticks_per_beat] = message.text
    return found


def of(piece: Piece, role: Role) -> Part:
    return next(part for part in piece.parts if part.role is role)


# The ritardando


def test_the_curve_is_that_of_a_runner_who_stops() -> None:
    """With q = 3 the cube of the tempo falls evenly over the notated way, from 1 to w cubed."""
    ways = [n / 10 for n in range(11)]
    cubes = [pace(way) ** 3 for way in ways]

    assert CURVE == 3
    assert pace(0) == 1
    assert pace(1) == pytest.approx(SLOWEST_PACE)
    steps = [before - after for before, after in pairwise(cubes)]
    assert steps == pytest.approx([(1 - SLOWEST_PACE**3) / 10] * 10)


@pytest.mark.parametrize(("meter", "bars"), [("4/4", 1), ("3/4", 2), ("6/8", 2), ("2/4", 2)])
def test_it_slows_from_bar_lines_into_the_last_chord_and_stays_slow(meter: str, bars: int) -> None:
    piece = job(drilled(SLOW, "block", meter=meter)).piece
    bar = piece.meter.bar
    last = piece.length - bar

    first, *slower = piece.tempos
    assert first.start == last - bars * bar
    assert [tempo.start for tempo in slower][-1] == last
    assert all(before.bpm > after.bpm for before, after in pairwise(piece.tempos))
    assert first.bpm < 60
    assert piece.tempos[-1].bpm == 60 * SLOWEST_PACE


@pytest.mark.parametrize("bpm", [20, 61, 300])
def test_two_readers_find_it_slower_in_the_last_bars_and_never_before(bpm: int) -> None:
    piece = job(replace(drilled(SLOW), tempos=(bpm,))).piece
    plain = job(replace(drilled(Ending.PLAIN), tempos=(bpm,))).piece
    found = tempos(piece)

    assert found[0][0] == 0
    assert found[0][1] == pytest.approx(bpm, abs=0.01)
    assert found[1][0] == 4 + 3 * 4  # the count-in's bar, then three of five
    assert [tempo for _, tempo in found] == sorted((tempo for _, tempo in found), reverse=True)
    with pytest.warns(RuntimeWarning, match="non-zero tracks"):
        opened = pretty_midi.PrettyMIDI(io.BytesIO(to_bytes(piece)))
    strokes = sorted(note.start for note in opened.instruments[-1].notes)
    gaps = [after - before for before, after in pairwise(strokes)]
    assert gaps[:15] == pytest.approx([60 / bpm] * 15, rel=0.001)
    assert all(before < after for before, after in pairwise(gaps[15:20]))
    assert gaps[-1] == pytest.approx(60 / (bpm * SLOWEST_PACE), rel=0.001)
    assert of(piece, Role.RIGHT) == of(plain, Role.RIGHT)


def test_audio_is_timed_by_the_same_tempos_as_the_file() -> None:
    piece = job(drilled(SLOW)).piece
    file = mido.MidiFile(file=io.BytesIO(to_bytes(piece)))

    assert seconds_at(piece, piece.length) == pytest.approx(file.length, abs=1e-6)
    assert file.length > 24 + 2


def test_every_rung_and_the_climb_slow_down_by_the_same_share() -> None:
    drill = replace(drilled(SLOW), tempos=(60, 90), climb=Climb.EACH_MIX, mixes=(Mix.HANDS_TOGETHER,))
    slow, fast, climb = (each.piece for each in played(drill).jobs())
    slowest = [bpm * SLOWEST_PACE for bpm in (60, 90)]

    assert [slow.tempos[-1].bpm, fast.tempos[-1].bpm] == slowest
    told = [tempo.bpm for tempo in climb.tempos]
    back = next(tempo for tempo in climb.tempos if tempo.bpm == 90)
    assert told.index(slowest[0]) + 1 == told.index(90)
    assert back.start == slow.length
    assert told[-1] == slowest[1]


def test_a_cycle_of_keys_begins_each_key_at_the_tempo_again() -> None:
    from tracks.practice.plan import key_cycle_jobs

    drill = replace(drilled(SLOW), keys=(EB, Key.parse("Ab")), key_cycle=True, mixes=(Mix.HANDS_TOGETHER,))
    every = [(each.key, each.arrangement) for each in played_in_each_key(drill, load("rock"))]
    (cycle,) = key_cycle_jobs(drill, every)

    told = [tempo.bpm for tempo in cycle.piece.tempos]
    assert told.count(60) == 1
    assert told.count(60 * SLOWEST_PACE) == 2


def test_an_echo_slows_down_when_it_is_played_and_when_it_is_answered() -> None:
    drill = replace(drilled(SLOW, text="I vi IV V7"), form=Form.ECHO)
    told = [tempo.bpm for tempo in job(drill).piece.tempos]

    assert told.count(60 * SLOWEST_PACE) == 2
    assert told.count(60) == 1


def test_what_is_built_up_keeps_its_tempo() -> None:
    drill = replace(drilled(SLOW), build_up=BuildUp.FORWARDS)
    steps = [each.piece for each in played(drill).jobs() if each.about.get("kind") == "build-up"]

    assert steps
    assert all(not piece.tempos for piece in steps)


# The tag


def test_a_tag_plays_the_last_two_bars_again_and_holds_the_last_chord_once() -> None:
    plain, tagged = (job(drilled(ending)).piece for ending in (Ending.PLAIN, Ending.TAG))
    bar = plain.meter.bar
    again = {note.pitch for note in of(tagged, Role.RIGHT).notes if note.start >= plain.length}
    last_two = {note.pitch for note in of(plain, Role.RIGHT).notes if note.start >= plain.length - 2 * bar}

    assert tagged.length == plain.length + 2 * bar
    assert again == last_two
    held = [note for note in of(tagged, Role.RIGHT).notes if note.start >= tagged.length - bar]
    assert len({note.start for note in held}) == 1
    first_time = [n for n in of(tagged, Role.RIGHT).notes if plain.length - bar <= n.start < plain.length]
    assert len({note.start for note in first_time}) > 1


def test_the_tag_of_twelve_bars_is_four_long() -> None:
    blues = "I7 I7 I7 I7 IV7 IV7 I7 I7 V7 IV7 I7 I7"
    endings = (Ending.PLAIN, Ending.TAG)
    bars = [job(drilled(ending, text=blues)).piece.length for ending in endings]

    assert bars[1] - bars[0] == 4 * Meter(4, 4).bar


def test_a_tag_reaches_back_to_what_comes_before_a_long_last_chord() -> None:
    text = "I IV V7 I I I"
    plain, tagged = (job(drilled(ending, text=text)).piece for ending in (Ending.PLAIN, Ending.TAG))

    bar = plain.meter.bar
    assert tagged.length == plain.length + 4 * bar
    assert texts(tagged)[4 + 6 * 4] == "Tag, Bb7 | V7"


def test_a_tune_over_a_band_is_the_same_tune_with_its_cadence_again() -> None:
    from tracks.style.band import loaded

    style = loaded("improvise", "swing", load)
    base = replace(drilled(Ending.PLAIN, "improvise", meter="4/4"), texture=Texture.DOUBLED, tempos=(120,))
    plain, tagged = (
        next(iter(played_in_each_key(replace(base, ending=ending), style))).written(120)
        for ending in (Ending.PLAIN, Ending.TAG)
    )
    start = plain.length - plain.meter.bar
    tune, longer = (of(piece, Role.MELODY).notes for piece in (plain, tagged))

    assert [note for note in longer if note.start < start] == [note for note in tune if note.start < start]
    assert any(note.start >= plain.length for note in longer)


# The stop


def test_a_stop_strikes_the_chords_of_the_last_bar_once_and_short() -> None:
    piece = job(drilled(Ending.STOP, text="| I | IV | ii7 V7 | I |")).piece
    meter = piece.meter
    line = piece.length - 2 * meter.bar
    starts = {line, line + meter.bar // 2, line + meter.bar}

    for role in (Role.RIGHT, Role.LEFT, Role.BASS):
        notes = [note for note in of(piece, role).notes if note.start >= line - meter.beat // 8]
        moments = sorted({round(note.start / meter.beat * 4) for note in notes})
        assert moments == sorted(round(start / meter.beat * 4) for start in starts), role
        assert all(note.length <= meter.division + meter.beat // 8 for note in notes), role
    struck = {hit.key for hit in of(piece, Role.DRUMS).hits if hit.start >= line - meter.beat // 8}
    assert struck == {36, 38}  # General MIDI 1: bass drum, acoustic snare; no cymbal that rings on


def test_a_stop_lets_the_pedal_up_with_the_hands() -> None:
    piece = job(drilled(Ending.STOP, "ballad")).piece
    line = piece.length - 2 * piece.meter.bar
    pedals = [pedal for pedal in of(piece, Role.RIGHT).pedals if pedal.end > line + piece.meter.beat // 8]

    assert len(pedals) == 2
    assert all(pedal.length <= piece.meter.division for pedal in pedals)


# What they share


@pytest.mark.parametrize("ending", [SLOW, Ending.TAG, Ending.STOP])
def test_the_ending_is_marked_beside_its_chord(ending: Ending) -> None:
    marks = texts(job(drilled(ending)).piece)
    words = {SLOW: (16, "Ritardando, Bb7 | V7"), Ending.TAG: (24, "Tag, Bb7 | V7"),
             Ending.STOP: (16, "Stop time, Bb7 | V7")}  # fmt: skip
    beat, text = words[ending]

    assert marks[beat] == text
    assert marks[4] == f"{FIRST_DOWNBEAT}, Eb | I"


@pytest.mark.parametrize("style", BANDS, ids=lambda style: style.info.name)
def test_every_band_ends_in_every_way_in_24_keys(style: Style) -> None:
    for key in (*KEY_SETS["all-major"], *KEY_SETS["all-minor"]):
        text = "i iv V7 i" if key.is_minor else "I IV V7 I"
        info = style.info
        for ending in Ending:
            drill = Drill(
                "kiln", text, (key,), info.meters[0], (96,), info.name, len(info.levels), ending=ending
            )
            drill = replace(drill, texture=info.textures[0])
            piece = Played(drill, style, in_each_key(drill)[0]).written(96)
            assert_ends(piece, ending)


def assert_ends(piece: Piece, ending: Ending) -> None:
    last = piece.length - piece.meter.bar
    for part in piece.parts:
        moments = sorted({note.start for note in part.notes if note.start >= last})
        assert moments in ([last], []), (part.role, ending)
        ends = {note.end for note in part.notes if note.start >= last}
        end = last + piece.meter.division if ending is Ending.STOP else piece.length
        assert ends <= {end}, (part.role, ending)
        assert_no_key_struck_while_held(part)
    assert bool(piece.paces) is (ending is SLOW)


def assert_no_key_struck_while_held(part: Part) -> None:
    held: dict[int, int] = {}
    for note in sorted(part.notes, key=lambda note: note.start):
        assert held.get(note.pitch.midi, 0) <= note.start, (part.role, note)
        held[note.pitch.midi] = note.end


@pytest.mark.parametrize("level", [4, 5])
@pytest.mark.parametrize("texture", [Texture.OVER_BASS, Texture.DOUBLED])
def test_a_style_with_voicings_of_its_own_ends_in_them_without_a_leap(level: int, texture: Texture) -> None:
    for key in KEY_SETS["all-major"]:
        drill = replace(
            drilled(Ending.PLAIN, "swing", "ii7 Vdom7 Imaj7 vi7"), keys=(key,), level=level, texture=texture
        )
        right = next(part for part in played(drill).written(None).parts if part.role is Role.RIGHT).notes
        *_, before, last = sorted({note.start for note in right})
        tops = [max(note.pitch.midi for note in right if note.start == at) for at in (before, last)]
        assert abs(tops[1] - tops[0]) <= 7, key


@pytest.mark.parametrize("ending", [Ending.TAG, Ending.STOP])
@pytest.mark.parametrize("style", ["block", "root-bass", "broken", "hymn"])
def test_what_has_no_band_is_refused_with_the_mend(style: str, ending: Ending) -> None:
    with pytest.raises(RequestError, match=f"style {style} has no band to play a {ending.value}") as refused:
        job(drilled(ending, style))

    assert refused.value.place == ("ending",)
    assert "ritardando" in str(refused.value)


@pytest.mark.parametrize("ending", [SLOW, Ending.TAG])
def test_one_chord_alone_is_refused(ending: Ending) -> None:
    with pytest.raises(RequestError, match="nothing comes before the last chord") as refused:
        job(drilled(ending, text="I"))

    assert refused.value.place == ("ending",)


def test_a_sheet_says_how_it_ends_and_a_page_that_goes_round_does_not() -> None:
    made = [played(drilled(ending, "swing")) for ending in (Ending.PLAIN, SLOW, Ending.TAG, Ending.STOP)]
    said = [played_sheet(each).about for each in made]

    assert len(set(said)) == 4
    pages = [page(each.drill, [each]) for each in made]
    assert all(each == pages[0] for each in pages)


@pytest.mark.parametrize("short", [0, 1])
def test_after_a_pickup_the_tag_begins_at_a_bar_line_and_no_moment_is_without_a_chord(short: int) -> None:
    found = in_each_key(drilled(Ending.TAG, text="/ / / V7 | I vi IV V7 | I |"))[0]
    last = found.changes.chords[-1]
    less = short * found.changes.meter.beat
    cut = replace(last, length=last.length - less)
    at = replace(found.changes, chords=(*found.changes.chords[:-1], cut), length=found.changes.length - less)
    voiced = (*found.chords[:-1], replace(found.chords[-1], at=cut))

    changes, chords = unrolled(at, voiced, 1, Ending.TAG)
    piece = as_written(drilled(Ending.TAG), load("rock"), at, voiced)

    for before, after in pairwise(chords):
        assert before.at.end == after.at.start
    assert chords[-1].at.end == changes.length == piece.length
    start = {marker.text: marker.start for marker in piece.markers}["Tag"]
    assert (start - changes.pickup) % changes.meter.bar == 0
    assert at.length <= start < at.length + changes.meter.bar
    assert [voiced.at.bar for voiced in chords] == [0, 1, 1, 1, 1, 2, 3, 3, 3, 3, 4]


@pytest.mark.parametrize(
    ("text", "ending", "told"),
    [
        ("I vi ii V7", Ending.TAG, "in Eb major it ends on Bb7"),
        ("I vi ii V7", SLOW, "in Eb major it ends on Bb7"),
        ("I vi ii V7", Ending.PLAIN, ""),
        ("I vi V7 I", Ending.STOP, ""),
    ],
)
def test_an_ending_away_from_home_is_told(text: str, ending: Ending, told: str) -> None:
    remarks = remarks_on_ending(drilled(ending, text=text))

    assert [remark[: len(told)] for remark in remarks] == [told] * bool(told)
    assert all("add a last bar on Eb" in remark for remark in remarks)
