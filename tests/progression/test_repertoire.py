"""What every progression of the library sounds like, and that it is what its name says.

The chords are written out by hand in C major or C minor, with their basses, from the source each entry
names or as the trade knows them (convention); tests/published/test_repertoire_in_every_key.py asks music21.
"""

from itertools import pairwise

import pytest

from tracks.model import Changes
from tracks.progression.changes import realize
from tracks.progression.library import LIBRARY, entry, search
from tracks.progression.music import parse
from tracks.theory.chord import Chord
from tracks.theory.errors import RequestError
from tracks.theory.key import Key, Mode
from tracks.theory.meter import Meter
from tracks.theory.numeral_name import numeral_name
from tracks.theory.pitch import Tone

CHORDS = {
    "authentic-cadence": "C G7 C",
    "authentic-cadence-minor": "Cm G7 Cm",
    "full-cadence": "C F G C",
    "full-cadence-minor": "Cm Fm G Cm",
    "supertonic-cadence": "C Dm/F G7 C",
    "supertonic-cadence-minor": "Cm Dm7b5/F G7 Cm",
    "leading-tone-cadence": "C Bdim/D C",
    "leading-tone-cadence-minor": "Cm Bdim7 Cm",
    "plagal-cadence": "C F C",
    "plagal-cadence-minor": "Cm Fm Cm",
    "minor-plagal-cadence": "C Fm C",
    "half-cadence": "C F G",
    "half-cadence-minor": "Cm Fm G",
    "phrygian-half-cadence": "Cm Fm/Ab G",
    "deceptive-cadence": "C F G7 Am",
    "deceptive-cadence-minor": "Cm Fm G7 Ab",
    "evaded-cadence": "C F G7/F C/E F G7 C",
    "picardy-cadence": "Cm Fm G7 C",
    "suspended-cadence": "C F G7sus4 G7 C",
    "primary-chords": "C F C G7 C",
    "primary-chords-minor": "Cm Fm Cm G7 Cm",
    "primary-chords-close": "C F/C C G7/B C",
    "primary-chords-close-minor": "Cm Fm/C Cm G7/B Cm",
    "cadential-six-four": "C Dm/F C/G G7 C",
    "cadential-six-four-minor": "Cm Dm7b5/F Cm/G G7 Cm",
    "passing-six-four": "C G/D C/E G/D C",
    "long-cadence": "C Am F Dm/F C/G G7 C",
    "long-cadence-minor": "Cm Ab Fm Ddim/F Cm/G G7 Cm",
    "neapolitan-cadence": "Cm Db/F G7 Cm",
    "italian-sixth-cadence": "Cm Fm/Ab Ab7(no5) G Cm",
    "french-sixth-cadence": "Cm Fm/Ab Ab7b5 G Cm",
    "german-sixth-cadence": "Cm Fm/Ab Ab7 Cm/G G7 Cm",
    "secondary-dominants": "C A7 Dm D7 G G7 C",
    "secondary-dominants-minor": "Cm C7 Fm D7 G G7 Cm",
    "secondary-leading-tones": "C C#dim7 Dm F#dim7 G G7 C",
    "flat-six-flat-seven": "C Ab Bb C",
    "modulation-to-dominant": "C F G7 C Am G/D D7 G",
    "modulation-to-subdominant": "C F G7 C Dm Gm/Bb C7 F",
    "modulation-to-relative-minor": "C F G7 C Dm Am/E E7 Am",
    "modulation-to-relative-major": "Cm Fm G7 Cm Fm Eb/Bb Bb7 Eb",
    "circle-of-fifths": "C F Bdim Em Am Dm G C",
    "circle-of-fifths-minor": "Cm Fm Bb Eb Ab Ddim G Cm",
    "circle-of-sevenths": "Cmaj7 Fmaj7 Bm7b5 Em7 Am7 Dm7 G7 Cmaj7",
    "circle-of-sevenths-minor": "Cm7 Fm7 Bb7 Ebmaj7 Abmaj7 Dm7b5 G7 Cm7",
    "descending-thirds": "C G Am Em F C F G",
    "stepwise-bass-sequence": "C G/B Am Em/G F C/E Dm7 G7 C",
    "ascending-five-six": "C Am/C Dm Bdim/D Em C/E F Dm/F G G7 C",
    "parallel-sixths": "C/E Bdim/D Am/C G/B F/A Em/G Dm/F C/E",
    "rule-of-the-octave": "C G7/D C/E Dm7/F G F/A G7/B C G/B D7/A G G7/F C/E G7/D C",
    "rule-of-the-octave-minor": "Cm G7/D Cm/Eb Dm7b5/F G F/A G7/B Cm Gm/Bb Fm/Ab G G7/F Cm/Eb G7/D Cm",
    "dominant-inversions": "C G7/B C G7/D C/E G7/F C/E",
    "stepwise-up": "C Dm Em F G",
    "scale-in-triads": "C Dm Em F G Am Bdim C",
    "scale-in-triads-minor": "Cm Ddim Eb Fm G Ab Bdim Cm",
    "scale-in-sevenths": "Cmaj7 Dm7 Em7 Fmaj7 G7 Am7 Bm7b5 Cmaj7",
    "andalusian": "Cm Bb Ab G",
    "lament": "Cm Gm/Bb Fm/Ab G",
    "chromatic-lament": "Cm G/B Gm/Bb F/A Fm/Ab G",
    "folia": "Cm G Cm Bb Eb Bb Cm G Cm G Cm Bb Eb Bb Cm G Cm",
    "passamezzo-antico": "Cm Bb Cm G Eb Bb Cm G Cm",
    "passamezzo-moderno": "C F C G C F C G C",
    "romanesca": "Eb Bb Cm G Eb Bb Cm G Cm",
    "fifties": "C Am F G",
    "axis": "C G Am F",
    "axis-from-six": "Am F C G",
    "four-five-three-six": "F G Em Am",
    "flat-seven-rock": "C Bb F C",
    "minor-four": "C C7 F Fm C",
    "line-cliche-major": "C Cmaj7 C7 C6",
    "line-cliche-rising": "C C+ C6 C7",
    "line-cliche-minor": "Cm Cm(maj7) Cm7 Cm6",
    "gospel-walk-up": "C C/E F F#dim7 C/G G7 C",
    "dorian-vamp": "Cm7 F7 Cm7 F7",
    "aeolian-rise": "Ab Bb Cm Cm",
    "two-five-one": "Dm7 G7 Cmaj7 Cmaj7",
    "two-five-one-minor": "Dm7b5 G7 Cm Cm",
    "two-five-one-extended": "Dm9 G13 Cmaj9 Cmaj9",
    "tritone-two-five-one": "Dm7 Db7 Cmaj7 Cmaj7",
    "turnaround": "Cmaj7 Am7 Dm7 G7",
    "turnaround-minor": "Cm7 Am7b5 Dm7b5 G7",
    "turnaround-from-three": "Em7 Am7 Dm7 G7",
    "dominant-turnaround": "E7 A7 D7 G7",
    "tritone-turnaround": "E7 Eb7 D7 Db7",
    "ragtime-turnaround": "C A7 D7 G7 C",
    "diminished-turnaround": "Cmaj7 C#dim7 Dm7 G7",
    "backdoor-turnaround": "Cmaj7 Fm7 Bb7 Cmaj7",
    "twelve-bar-blues": "C7 C7 C7 C7 F7 F7 C7 C7 G7 F7 C7 C7",
    "twelve-bar-blues-quick-change": "C7 F7 C7 C7 F7 F7 C7 C7 G7 F7 C7 G7",
    "minor-blues": "Cm7 Cm7 Cm7 Cm7 Fm7 Fm7 Cm7 Cm7 Ab7 G7 Cm7 Cm7",
    "jazz-blues": "C7 F7 C7 Gm7 C7 F7 F#dim7 C7 A7 Dm7 G7 C7 A7 Dm7 G7",
    "eight-bar-blues": "C7 G7 F7 F7 C7 G7 C7 G7",
    "rhythm-changes": (
        "C Am7 Dm7 G7 Em7 Am7 Dm7 G7 C C7 F Fm Em7 Am7 Dm7 G7 "
        "C Am7 Dm7 G7 Em7 Am7 Dm7 G7 C C7 F Fm C G7 C "
        "E7 E7 A7 A7 D7 D7 G7 G7 "
        "C Am7 Dm7 G7 Em7 Am7 Dm7 G7 C C7 F Fm C G7 C"
    ),
}


def changes(name: str, home: str = "") -> Changes:
    found = entry(name)
    assert found
    key = Key.parse(home) if home else Key(Tone(0), found.mode)
    return realize(parse(found.text, Meter(4, 4)), key)


def chords(name: str, home: str = "") -> list[Chord]:
    return [at.chord for at in changes(name, home).chords if at.chord]


def basses(name: str) -> list[int]:
    return [chord.bass.chroma for chord in chords(name)]


def test_every_progression_is_written_out_here() -> None:
    assert list(CHORDS) == [each.name for each in LIBRARY]
    assert len(LIBRARY) >= 70


@pytest.mark.parametrize("name", CHORDS)
def test_progression_sounds_as_its_name_says(name: str) -> None:
    assert " ".join(chord.symbol for chord in chords(name)) == CHORDS[name]


@pytest.mark.parametrize("each", LIBRARY, ids=lambda each: each.name)
def test_source_explains_itself(each: object) -> None:
    source = each.source  # type: ignore[attr-defined]
    assert source.startswith(("convention", "Hutchinson, Music Theory for the", "Open Music Theory, "))


# Cadences, in every key: how the last two chords close.

PERFECT = [
    name
    for name in CHORDS
    if name.endswith(("cadence", "cadence-minor", "six-four", "six-four-minor"))
    and not name.startswith(
        ("leading-tone", "plagal", "minor-plagal", "half", "phrygian", "deceptive", "passing")
    )
]


@pytest.mark.parametrize("name", PERFECT)
@pytest.mark.parametrize("home", ["C", "F#", "Db", "Ab", "B"])
def test_authentic_cadences_go_from_dominant_to_tonic_in_root_position(name: str, home: str) -> None:
    """Open Music Theory, cadence types."""
    found = entry(name)
    assert found
    key = Key(Tone.parse(home), found.mode) if home != "Db" or found.mode is Mode.MAJOR else Key.parse("c#")
    *_, dominant, tonic = chords(name, f"{key.tonic} {key.mode.value}")
    assert (dominant.root, dominant.bass) == (key.degree(5), key.degree(5))
    assert dominant.factor(3) == key.tonic.up(Tone(0).interval_to(Tone(5)))  # the leading tone
    assert (tonic.root, tonic.bass) == (key.tonic, key.tonic)


@pytest.mark.parametrize(
    ("name", "closing"),
    [
        ("plagal-cadence", ["F", "C"]),
        ("plagal-cadence-minor", ["F", "C"]),
        ("minor-plagal-cadence", ["F", "C"]),
        ("half-cadence", ["F", "G"]),
        ("half-cadence-minor", ["F", "G"]),
        ("phrygian-half-cadence", ["Ab", "G"]),
        ("deceptive-cadence", ["G", "A"]),
        ("deceptive-cadence-minor", ["G", "Ab"]),
    ],
)
def test_other_cadences_close_on_their_degrees(name: str, closing: list[str]) -> None:
    """Open Music Theory, cadence types; the Phrygian half cadence's bass falls a half step."""
    assert [chord.bass.name for chord in chords(name)[-2:]] == closing


def test_picardy_third_is_the_only_major_tonic() -> None:
    first, *_, last = chords("picardy-cadence")
    assert (first.symbol, last.symbol) == ("Cm", "C")


# Basses and lines.


@pytest.mark.parametrize(
    ("name", "most"),
    [
        ("rule-of-the-octave", 2),
        ("rule-of-the-octave-minor", 2),
        ("ascending-five-six", 2),
        ("parallel-sixths", 2),
        ("dominant-inversions", 2),
        ("passing-six-four", 2),
        ("andalusian", 2),
        ("lament", 2),
        ("chromatic-lament", 1),
        ("scale-in-triads", 2),
        ("scale-in-sevenths", 2),
        ("tritone-turnaround", 1),
    ],
)
def test_bass_goes_by_step(name: str, most: int) -> None:
    """No bass steps further than a half or whole step; the final fifth of the five-six aside."""
    found = basses(name)[: -1 if name == "ascending-five-six" else None]
    steps = [min((b - a) % 12, (a - b) % 12) for a, b in pairwise(found)]
    assert max(steps) <= most


def test_sequence_by_thirds_over_a_stepwise_bass_keeps_the_harmony_of_the_leaping_one() -> None:
    stepwise, leaping = chords("stepwise-bass-sequence"), chords("descending-thirds")
    assert [chord.root for chord in stepwise[:6]] == [chord.root for chord in leaping[:6]]
    assert [chord.bass.name for chord in stepwise[:7]] == ["C", "B", "A", "G", "F", "E", "D"]
    falls_and_rises = [(b - a) % 12 for a, b in pairwise(basses("descending-thirds"))]
    assert falls_and_rises[:4] == [7, 2, 7, 1]  # down a fourth, up a step


@pytest.mark.parametrize(
    "name",
    [
        "circle-of-fifths",
        "circle-of-fifths-minor",
        "circle-of-sevenths",
        "circle-of-sevenths-minor",
        "dominant-turnaround",
    ],
)
def test_circles_fall_by_fifths(name: str) -> None:
    found = [chord.root for chord in chords(name)]
    falls = [b.step - a.step for a, b in pairwise(found)]
    assert all(fall % 7 == 3 for fall in falls)


@pytest.mark.parametrize(
    ("name", "line"),
    [
        ("line-cliche-major", ["C", "B", "Bb", "A"]),
        ("line-cliche-minor", ["C", "B", "Bb", "A"]),
        ("line-cliche-rising", ["G", "G#", "A", "Bb"]),
    ],
)
def test_line_cliches_have_their_line(name: str, line: list[str]) -> None:
    for chord, tone in zip(chords(name), line, strict=True):
        assert tone in [each.name for each in chord.tones]


# Form and keys.


@pytest.mark.parametrize(
    ("name", "bars"),
    [
        ("twelve-bar-blues", 12),
        ("twelve-bar-blues-quick-change", 12),
        ("minor-blues", 12),
        ("jazz-blues", 12),
        ("eight-bar-blues", 8),
        ("rhythm-changes", 32),
        ("folia", 16),
        ("romanesca", 8),
        ("passamezzo-antico", 8),
        ("passamezzo-moderno", 8),
    ],
)
def test_form_has_its_bars(name: str, bars: int) -> None:
    found = changes(name)
    assert found.length == bars * found.meter.bar


@pytest.mark.parametrize(
    ("name", "target"),
    [
        ("modulation-to-dominant", "G major"),
        ("modulation-to-subdominant", "F major"),
        ("modulation-to-relative-minor", "A minor"),
        ("modulation-to-relative-major", "Eb major"),
    ],
)
def test_modulation_of_eight_chords_turns_on_a_chord_of_both_keys(name: str, target: str) -> None:
    at = changes(name).chords
    pivot = next(each for each in at if each.key.name == target)

    assert len(at) == 8
    assert at[-1].key.name == target
    assert pivot.chord
    assert set(pivot.chord.tones) <= set(at[0].key.scale) & set(pivot.key.scale)
    assert at[-1].chord
    assert at[-1].chord.root == at[-1].key.tonic


def test_numerals_are_printed_so_that_no_reader_takes_them_for_others() -> None:
    for each in LIBRARY:
        for at in changes(each.name).chords:
            assert at.chord
            assert "[" not in numeral_name(at.chord, at.key)


# Searching.


@pytest.mark.parametrize(
    ("words", "some", "none"),
    [
        (["blues"], ["twelve-bar-blues", "minor-blues", "eight-bar-blues"], ["axis"]),
        (["Picardy"], ["picardy-cadence"], ["plagal-cadence"]),
        (["six-four", "minor"], ["cadential-six-four-minor"], ["cadential-six-four"]),
        (["old dance"], ["romanesca", "folia"], ["fifties"]),
        ([], ["axis", "folia"], []),
    ],
)
def test_words_find_progressions_by_name_and_description(
    words: list[str], some: list[str], none: list[str]
) -> None:
    found = [each.name for each in search(words)]
    assert set(some) <= set(found)
    assert not set(none) & set(found)


def test_words_that_find_nothing_are_refused() -> None:
    with pytest.raises(RequestError, match="no progression is called or about 'polka'"):
        search(["polka"])
