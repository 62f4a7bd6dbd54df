"""What is heard: times, levels, tails and pitch, measured on sounds that were rendered and read back."""

import io
import threading
from collections.abc import Generator
from dataclasses import replace
from itertools import pairwise
from math import log10
from pathlib import Path

import mido
import numpy as np
import pytest
import soundfile
from scipy.signal import resample_poly

from tracks.drill.drill import Drill
from tracks.export.audio import LEAD_S, RATE, TAIL_S, Sound, balance
from tracks.export.audio.loudness import loudness
from tracks.export.audio.render import Recording, Renderer, play, sounding
from tracks.export.audio.soundfont import SoundFont, soundfont
from tracks.export.audio.synth import Synth
from tracks.export.audio.tags import Tags
from tracks.export.audio.tape import Tape
from tracks.export.audio.timing import LONGEST_S, check_length, frames, seconds_at
from tracks.export.midi import to_bytes
from tracks.model import AudioFormat, Hit, KeyFrom, Note, Part, Pedal, Piece, Role, TempoFrom
from tracks.practice.climb import in_a_row
from tracks.practice.endings import pace
from tracks.practice.plan import jobs
from tracks.practice.played import played_in_each_key
from tracks.style.registry import load
from tracks.theory.errors import RequestError
from tracks.theory.key import Key
from tracks.theory.meter import QUARTER, Meter
from tracks.theory.pitch import Pitch

FOUR_FOUR = Meter(4, 4)
TAGS = Tags("Lantern", "week-3", 1)


def part(role: Role, *names: str, first: int = 0, step: int = QUARTER, length: int = QUARTER // 4) -> Part:
    notes = (Note(first + n * step, length, Pitch.parse(name), 80) for n, name in enumerate(names))
    return Part(role, tuple(notes))


def clicks(count: int, step: int = QUARTER) -> Part:
    hits = (Hit(n * step, 77 if n % 4 else 76, 84 if n % 4 else 108) for n in range(count))
    return Part(Role.CLICK, hits=tuple(hits))


def piece(*parts: Part, bpm: int = 120, beats: int = 4) -> Piece:
    key = KeyFrom(0, Key.parse("C"))
    return Piece("lantern", FOUR_FOUR, (key,), beats * QUARTER, 0, parts, (), bpm)


def renderer(kind: AudioFormat = AudioFormat.FLAC) -> Renderer:
    return Renderer(Synth(soundfont()), kind)


def heard(content: bytes) -> Sound:
    sound, rate = soundfile.read(io.BytesIO(content), dtype="float32", always_2d=True)
    assert rate == RATE
    read: Sound = sound
    return read


def recorded(sounding: Piece, kind: AudioFormat = AudioFormat.FLAC) -> Sound:
    (content,) = renderer(kind).record([Recording(sounding, TAGS)])
    return heard(content)


def played(whole: Piece, font: SoundFont | None = None) -> list[tuple[Part, Sound]]:
    """Every part that sounds, with its stem."""
    synth = Synth(font or soundfont())
    try:
        tapes = [(part, play(synth, whole, part)) for part in sounding(whole)]
    finally:
        synth.close()
    return [(part, tape.read(0, tape.length)) for part, tape in tapes]


def leveled(whole: Piece) -> list[Sound]:
    """Every part that sounds, at its level and place in the mix."""
    stems = played(whole)
    sides = balance.gains([part for part, _ in stems], [loudness(sound) for _, sound in stems])
    return [(sound * side).astype(np.float32) for (_, sound), side in zip(stems, sides, strict=True)]


def decibels(ratio: float) -> float:
    return 20 * log10(ratio)


def onset_error_ms(sound: Sound, expected_s: float) -> float:
    """How late a file's sound has risen a tenth of the way from what rang on before it to its peak."""
    size = np.abs(sound).max(axis=1)
    expected_s += LEAD_S
    start = max(round((expected_s - 0.03) * RATE), 0)
    window = size[start : start + round(0.09 * RATE)]
    floor = size[max(start - RATE // 100, 0) : start + RATE // 100].max() if start else 0
    first = int(np.argmax(window > floor + 0.1 * (window.max() - floor)))
    return 1000 * ((start + first) / RATE - expected_s)


@pytest.fixture(scope="module")
def pack() -> list[tuple[str, Piece, Sound]]:
    """Every mix of a drill at two tempos, read back from MP3, the kind that changes most."""
    style = load("block")
    drill = Drill("lantern", "I V7", (Key.parse("Eb"),), FOUR_FOUR, (96, 230))
    (played,) = played_in_each_key(drill, style)

    planned = sorted(jobs(drill, played.key, played.arrangement), key=lambda job: job.bpm)
    made = renderer(AudioFormat.MP3).record(Recording(job.piece, TAGS) for job in planned)
    return [(job.path, job.piece, heard(content)) for job, content in zip(planned, made, strict=True)]


@pytest.mark.parametrize("kind", [AudioFormat.FLAC, AudioFormat.MP3])
@pytest.mark.parametrize("bpm", [72, 131])
def test_clicks_and_notes_begin_within_5_ms_of_the_midi_file(bpm: int, kind: AudioFormat) -> None:
    tune = part(Role.RIGHT, "E4", "G4", "C5", "E5", first=QUARTER // 2)
    bass = part(Role.LEFT, "C3", "G2", "E3", "C3", first=QUARTER // 2)
    sounding = piece(tune, bass, clicks(4), bpm=bpm)
    file = mido.MidiFile(file=io.BytesIO(to_bytes(sounding)))
    now, starts = 0.0, set()
    for message in file:
        now += message.time
        if message.type == "note_on" and message.velocity:
            starts.add(now)

    sound = recorded(sounding, kind)
    errors = [onset_error_ms(sound, start) for start in sorted(starts)]

    assert len(errors) == 8
    assert max(map(abs, errors)) < 5, errors


def test_click_is_exact_to_a_quarter_of_a_millisecond() -> None:
    sound = recorded(piece(clicks(8, QUARTER // 2), bpm=97))

    assert all(abs(onset_error_ms(sound, n * 30 / 97)) < 0.25 for n in range(8))


def test_times_are_those_of_the_midi_file_where_tempos_change() -> None:
    rungs = [(str(bpm), piece(clicks(4), bpm=bpm)) for bpm in (61, 97, 133)]
    climb = in_a_row(rungs)

    file = mido.MidiFile(file=io.BytesIO(to_bytes(climb)))

    assert seconds_at(climb, climb.length) == pytest.approx(file.length, abs=1e-6)
    assert frames(climb) == round((file.length + TAIL_S) * RATE)


@pytest.mark.parametrize("kind", [AudioFormat.FLAC, AudioFormat.MP3])
def test_clicks_of_a_ritardando_begin_within_5_ms_of_the_midi_file(kind: AudioFormat) -> None:
    tempos = tuple(TempoFrom(n * QUARTER // 2, 96 * pace(n / 8)) for n in range(1, 9))
    slowing = replace(piece(clicks(6), bpm=96, beats=6), tempos=tempos)
    file = mido.MidiFile(file=io.BytesIO(to_bytes(slowing)))
    now, starts = 0.0, []
    for message in file:
        now += message.time
        if message.type == "note_on" and message.velocity:
            starts.append(now)

    sound = recorded(slowing, kind)

    gaps = [after - before for before, after in pairwise(starts)]
    assert gaps[:4] == sorted(gaps[:4])
    assert gaps[4] == pytest.approx(60 / 96 / pace(1), abs=0.001)
    assert max(abs(onset_error_ms(sound, start)) for start in starts) < 5


@pytest.mark.parametrize("kind", AudioFormat)
def test_a_file_begins_with_three_tenths_of_silence(kind: AudioFormat) -> None:
    sound = recorded(piece(clicks(4)), kind)
    size = np.abs(sound).max(axis=1)

    assert size[: round((LEAD_S - 0.005) * RATE)].max() < 0.002 * size.max()
    assert int(np.argmax(size > 0.05 * size.max())) == pytest.approx(LEAD_S * RATE, abs=0.005 * RATE)


def test_a_long_part_is_played_in_stretches_without_a_seam() -> None:
    """What the engine plays of the whole file at once, and of half a minute at a time."""
    import midirenderer

    names = ["E4", "G4", "C5", "A4", "D4"] * 8
    part_ = replace(part(Role.RIGHT, *names, step=2 * QUARTER, length=3 * QUARTER), volume=127)
    pedals = (Pedal(50 * QUARTER, 20 * QUARTER),)
    whole = piece(replace(part_, pedals=pedals), bpm=60, beats=84)
    at_once = heard(midirenderer.render_wave_from(soundfont().path.read_bytes(), to_bytes(whole)))
    ((_, stem),) = played(whole)

    # A tenth of a second at a time, by how loud it is: strokes fall on other groups of 64 frames there.
    tenth = RATE // 10
    count = min(len(at_once), len(stem)) // tenth - 1
    levels = [
        np.sqrt((sound[tenth // 2 :][: count * tenth] ** 2).reshape(count, -1).mean(axis=1))
        for sound in (at_once, stem)
    ]
    loud = levels[0] > 0.05 * levels[0].max()
    assert loud[-50:].any()
    assert np.abs(20 * np.log10(levels[1][loud] / levels[0][loud])).max() < 1.0


def test_stems_sum_to_what_the_engine_plays_of_the_whole_file() -> None:
    """The engine's own mix of both hands, at the parts' full volume, against the stems."""
    import midirenderer

    hands = [
        replace(part(r, *names, first=QUARTER), volume=127)
        for r, *names in ((Role.RIGHT, "E4"), (Role.LEFT, "C3"))
    ]
    sounding_ = piece(*hands)
    whole = heard(midirenderer.render_wave_from(soundfont().path.read_bytes(), to_bytes(sounding_)))
    (_, right), (_, left) = played(sounding_)

    # Stems are brought forward by a fixed few milliseconds, so the whole is laid under them first.
    misses = [np.abs(whole[late:] - (right + left)[: len(whole) - late]).max() for late in range(480)]
    assert np.abs(whole).max() > 0.05
    assert min(misses) < 0.001


def test_stems_for_a_sequencer_sum_to_the_mix_and_begin_at_time_0() -> None:
    hands = part(Role.RIGHT, "E4", "G4"), part(Role.LEFT, "C3", "G2")
    whole = piece(*hands, clicks(4))
    asked = [Recording(replace(whole, parts=(each,)), TAGS, whole) for each in whole.parts]

    stems = [heard(content) for content in renderer().record(asked)]

    assert {len(stem) for stem in stems} == {frames(whole)}
    mix = recorded(whole)[round(LEAD_S * RATE) :]
    together = sum(stems) * balance.factor(balance.HEADROOM)
    assert np.abs(mix).max() > 0.1
    assert np.abs(together - mix).max() < 0.001


@pytest.mark.parametrize("workers", [1, 3])
def test_however_many_work_the_bytes_are_the_same(workers: int) -> None:
    hands = part(Role.RIGHT, "E4", "G4"), part(Role.LEFT, "C3", "G2"), clicks(4)
    asked = [Recording(piece(*hands[:count], bpm=bpm), TAGS) for bpm in (200, 250) for count in (1, 2, 3)]

    made = Renderer(Synth(soundfont()), AudioFormat.MP3, workers).record(asked)

    assert list(made) == list(renderer(AudioFormat.MP3).record(asked))


def test_every_file_of_a_pack_is_equally_loud(pack: list[tuple[str, Piece, Sound]]) -> None:
    measured = [loudness(sound) for _, _, sound in pack]

    assert len(measured) == 8
    assert max(measured) - min(measured) < 1
    assert measured == pytest.approx([balance.TARGET] * 8, abs=0.5)


def test_no_file_of_a_pack_clips_even_between_samples(pack: list[tuple[str, Piece, Sound]]) -> None:
    """True peaks by four-fold oversampling, as in ITU-R BS.1770-4, annex 2; EBU R 128 allows -1 dBTP."""
    for path, _, sound in pack:
        assert decibels(np.abs(resample_poly(sound, 4, 1)).max()) < -1, path


def test_no_file_of_a_pack_cuts_its_tail(pack: list[tuple[str, Piece, Sound]]) -> None:
    for path, made, sound in pack:
        end = round((LEAD_S + seconds_at(made, made.length)) * RATE)
        last = round(LEAD_S * RATE) + frames(made)
        peak = np.abs(sound).max()
        released = np.abs(sound[end : end + RATE // 50]).max()
        before_the_fade = np.abs(sound[last - RATE // 2 : last - RATE // 4]).max()
        assert last <= len(sound) <= last + 2 * 1152, path  # MP3 comes in frames of 1152
        assert released > 0.001 * peak, path
        assert before_the_fade < 0.001 * peak, path
        assert np.abs(sound[-100:]).max() < 1e-4, path


def test_both_hands_are_equally_loud_and_the_click_lies_below() -> None:
    whole = piece(
        part(Role.RIGHT, *["E4", "G4"] * 4, length=QUARTER),
        part(Role.LEFT, *["C3", "G2"] * 4, length=QUARTER),
        clicks(8),
        beats=8,
    )

    right, left, click = (loudness(sound) for sound in leveled(whole))

    assert right == pytest.approx(left, abs=0.1)
    assert right - click == pytest.approx(balance.CLICK_BELOW, abs=0.1)


def test_click_is_audible_over_the_fullest_chords() -> None:
    """In the octave where it sounds, a click's first hundredth of a second stands out from both hands."""
    chord = [Note(0, 4 * QUARTER, Pitch.parse(name), 90) for name in ("C4", "E4", "G4", "C5")]
    low = [Note(0, 4 * QUARTER, Pitch.parse(name), 90) for name in ("C3", "E3", "G3")]
    hands = (Part(Role.RIGHT, tuple(chord)), Part(Role.LEFT, tuple(low)))
    *music, click = leveled(piece(*hands, clicks(4), bpm=90))
    at = round(60 / 90 * RATE)

    over = band(click, at) / band(music[0] + music[1], at)

    assert decibels(over) > 6


def band(sound: Sound, at: int) -> float:
    """The level between 1 and 2 kHz in the hundredth of a second that begins at a frame."""
    length = RATE // 100
    spectrum = np.abs(np.fft.rfft(sound[at : at + length, 0] * np.hanning(length)))
    hertz = np.fft.rfftfreq(length, 1 / RATE)
    return float(np.sqrt((spectrum[(hertz >= 1000) & (hertz <= 2000)] ** 2).sum()))


def test_click_is_in_the_middle() -> None:
    sound = recorded(piece(clicks(4)), AudioFormat.WAV)

    assert np.array_equal(sound[:, 0], sound[:, 1])


@pytest.mark.parametrize("bpm", [40, 240])
def test_tempo_does_not_change_pitch(bpm: int) -> None:
    """A4 is 440 Hz (ISO 16:1975)."""
    sound = recorded(piece(part(Role.RIGHT, "A4", length=4 * QUARTER), bpm=bpm))
    held = sound[round(LEAD_S * RATE) :][: round(0.9 * RATE), 0] * np.hanning(round(0.9 * RATE))

    strongest = np.argmax(np.abs(np.fft.rfft(held, 8 * RATE))) / 8

    assert strongest == pytest.approx(440, abs=1.5)


def test_split_hands_sound_apart() -> None:
    right = replace(part(Role.RIGHT, "E4", "G4"), pan=111)
    left = replace(part(Role.LEFT, "C3", "G2"), pan=16)

    for sound, pan in zip(leveled(piece(right, left)), (111, 16), strict=True):
        channels = (sound**2).sum(axis=0)
        near, far = (1, 0) if pan > 64 else (0, 1)
        assert decibels(channels[near] / channels[far]) > 12


class CountingSynth(Synth):
    """Plays a tenth of a second of nothing, and tells what it was asked for."""

    def __init__(self) -> None:
        super().__init__(soundfont())
        self.played: list[tuple[Role, int | None]] = []

    def play(self, piece: Piece, part: Part) -> Tape:
        self.played.append((part.role, piece.bpm))
        tape = Tape()
        tape.write(np.full((frames(piece), 2), 0.01, np.float32))
        return tape


def test_a_part_is_played_once_for_all_mixes_of_a_tempo() -> None:
    synth = CountingSynth()
    hands = part(Role.RIGHT, "E4"), replace(part(Role.LEFT, "C3"), pan=64)
    apart = replace(hands[0], pan=111), replace(hands[1], pan=16)
    mixes = [(*hands, clicks(4)), (hands[0], clicks(4)), (hands[1],), (*apart, clicks(4))]

    recordings = [Recording(piece(*parts, bpm=bpm), TAGS) for bpm in (200, 250) for parts in mixes]
    made = list(Renderer(synth, AudioFormat.WAV, workers=1).record(recordings))

    assert len(made) == 8
    assert synth.played == [(role, bpm) for bpm in (200, 250) for role in (Role.RIGHT, Role.LEFT)]


def test_a_lead_in_on_the_drums_is_heard_in_the_click() -> None:
    snare = Hit(2 * QUARTER, 38, 100)
    fill = replace(clicks(2), hits=(*clicks(2).hits, snare))

    assert abs(onset_error_ms(recorded(piece(fill)), 1.0)) < 5


def test_a_count_in_with_a_lead_in_is_as_loud_as_one_of_clicks() -> None:
    """Within 3 LU of the plain count-in, and never louder than the music."""
    music = part(Role.RIGHT, *["E4", "G4"] * 4, first=4 * QUARTER, length=QUARTER)
    fill = tuple(Hit(2 * QUARTER + n * QUARTER // 2, key, 100) for n, key in enumerate((38, 45, 43, 36)))
    plain = clicks(4)
    led_in = replace(plain, hits=(*plain.hits[:2], *fill))

    count_ins, musics = [], []
    for click in (plain, led_in):
        sound = recorded(piece(music, click, beats=12))
        bar = round((LEAD_S + 2) * RATE)
        count_ins.append(loudness(sound[:bar]))
        musics.append(loudness(sound[bar:]))

    assert abs(count_ins[1] - count_ins[0]) < 3, count_ins
    assert count_ins[1] < musics[1]


def test_an_instrument_that_a_soundfont_lacks_is_the_default_ones(tmp_path: Path) -> None:
    only_a_piano = tmp_path / "piano.sf2"
    only_a_piano.write_bytes(soundfont().instrument(0, 0))
    drums = piece(Part(Role.DRUMS, hits=(Hit(0, 38, 100), Hit(QUARTER, 36, 100))))

    ((_, expected),) = played(drums)
    ((_, found),) = played(drums, soundfont(only_a_piano))

    assert np.array_equal(found, expected)


def test_a_recording_that_is_given_up_ends_its_engines() -> None:
    before = threading.active_count()
    pieces = [piece(part(Role.RIGHT, "E4"), bpm=bpm) for bpm in (200, 220, 240)]
    made = renderer().record(Recording(each, TAGS) for each in pieces)
    assert isinstance(made, Generator)

    next(made)
    made.close()

    assert threading.active_count() <= before


def test_too_long_a_sound_is_refused_with_the_mend() -> None:
    with pytest.raises(
        RequestError, match=r"16 minutes, more than 15; ask for fewer repeats or a faster tempo"
    ):
        check_length(piece(bpm=60, beats=int(LONGEST_S) + 60))
