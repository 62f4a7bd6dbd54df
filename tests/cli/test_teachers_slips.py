"""Slips that teachers make, at the prompt and in their files, each met in one line that tells place and mend.

Each was made for real, and its answer judged as by a teacher who never programmed.
"""

from pathlib import Path

import pytest

from tracks.cli.main import run

AT_THE_PROMPT = [
    # Chords
    ("show 1451", "progression, column 1: '1451' is no chord; put spaces between: 1 4 5 1"),
    ("show 251", "put spaces between: 2 5 1"),
    ("show 1,4,5,1", "put spaces between chords, nothing else, like 1 4 5 1"),
    ("show I,IV,V", "put spaces between chords, nothing else, like I IV V"),
    ("show 'I, IV, V, I'", "column 1, 4 and 8: put spaces between chords, nothing else, like I IV V I"),
    ("show 'I - IV - V'", "put spaces between chords, nothing else, like I IV V"),
    ("show I-IV-V", "put spaces between chords, nothing else, like I IV V"),
    ("show 'C / F / G'", "/ holds a chord for a beat and needs bar lines; write like | I / IV / |"),
    ("show I IV V", 'too many words: IV V; put quotes around words that belong together, like "I IV V"'),
    ("show 'c f g c'", "chord letters are capitals: write C F G C (m makes a chord minor, like Cm)"),
    ("show 'am dm e7'", "chord letters are capitals: write Am Dm E7"),
    ("show 'I C'", "C is one of the chord symbols, but I at column 1 is one of the Roman numerals"),
    ("show 'I VIII I'", "column 3: 'VIII' is no numeral; write one like ii, V7"),
    ("show IIII", "'IIII' is no numeral; write one like ii, V7"),
    ("show 'Iv V'", "'Iv' is no numeral; write one like ii, V7"),
    ("show 'IIm V I'", "'IIm' is no numeral; small letters are minor: write ii"),
    ("show 'IIm7 V7 I'", "'IIm7' is no numeral; small letters are minor: write ii7"),
    ("show 'iidim V'", "'iidim' is no numeral; write iio, as numerals are marked"),
    ("show 'viidim7 I'", "write viio7, as numerals are marked"),
    ("show 'Iaug IV'", "write I+, as numerals are marked"),
    ("show 'iim V'", "'iim' is no numeral; write one like ii, V7"),
    ("show 'I Q V'", "column 3: 'Q' is no chord; write a numeral like V7, a degree like 5"),
    ("show 'T S D T'", "'T' is no chord, column 3: 'S' is no chord; write a numeral like V7"),
    ("show 'tonic dominant'", "'tonic' is no chord, column 7: 'dominant' is no chord"),
    ("show ''", "there is no chord; write one like I vi IV V or C Am F G"),
    ("show", 'PROGRESSION is missing; write the chords, like "I IV V7 I", or a name'),
    ("make", "PROGRESSION is missing; write the chords"),
    ("show blues", "did you mean twelve-bar-blues"),
    ("show '12 bar blues'", "did you mean twelve-bar-blues?"),
    ("show turnarond", "did you mean turnaround? rungwise progressions lists all"),
    ("show Greensleeves", "'Greensleeves' is no chord, nor a name that rungwise progressions lists"),
    # Other countries
    ("show 'C F H7 E'", "'H7' is no chord; write C F B7 E, or say --note-names german"),
    ("show 'Es As B7'", "write Eb Ab Bb7, or say --note-names german"),
    ("show 'Cis Fis'", "write C# F#, or say --note-names german"),
    ("show 'Do Fa Sol Do'", "'Sol' is no chord; write C F G C"),
    ("show 'do re mi'", "'mi' is no chord; write C D E"),
    ("show I --key H", "--key: 'H' is no key; write B major, or say --note-names german"),
    ("show I --key Es", "'Es' is no key; write Eb major, or say --note-names german"),
    ("show I --key Es-Dur", "write Eb major, or say --note-names german"),
    ("show I --key c-moll", "write C minor, or say --note-names german"),
    ("show I --key sol", "--key: 'sol' is no key; write G"),
    ("show I --key Gis-Dur --note-names german", "--key: Gis-Dur has 8 sharps; write As-Dur"),
    ("show I --note-names deutsch", "--note-names: 'deutsch' is no choice; did you mean german?"),
    # Keys
    ("show I --key 'C G F'", "--key: 'C G F' is several keys; write --key C --key G --key F"),
    ("show I --key 'C, Eb major'", 'write --key C --key "Eb major"'),
    ("show I --key 'I V'", "'I V' is chords, not a key; a key is a letter like Eb, and chords go first"),
    ("show I --key X", "--key: 'X' is no key; write one like Eb, F# minor or c (a small letter is minor)"),
    ("show I --key G#", "--key: G# major has 8 sharps; write Ab major"),
    ("show I --key all-keys", "the sets are all, all-major, all-minor, all-30"),
    ("show I --key 'circle of fourth'", "did you mean circle of fifths?"),
    ("show I --keys C", "there is no option --keys; did you mean --key?"),
    ("show I --Key C", "there is no option --Key; did you mean --key?"),
    ("show I --transpose 2", "there is no option --transpose; did you mean --key?"),
    ("show axis --key a", "axis is a progression in major, and A minor is not; choose major keys"),
    ("show 'C G' --written-in H", "--written-in: 'H' is no key; write B major, or say --note-names german"),
    # Hands
    ("show I --inversion first", "there is no option --inversion; did you mean --start?"),
    ("show I --position root", "there is no option --position; did you mean --start?"),
    ("show I --start 1", "--start: '1' is no choice; did you mean first?"),
    ("show I --start 2nd", "did you mean second?"),
    ("show I --start 'first inversion'", "did you mean first?"),
    ("show I --start root-position", "did you mean root?"),
    ("show I --start third", "--start: 'third' is no choice; write root, first, second or all"),
    ("show I --texture parallel", "--texture: 'parallel' is no choice; did you mean doubled?"),
    ("show I --texture satb", "did you mean four-part?"),
    ("show I --texture bass", "did you mean over-bass?"),
    ("show I --hand both", "'both' is no span; which hands play is the mix: --mix hands-together"),
    ("show I --hand 9", "half steps count from 12, an octave, up; write 9th for a ninth"),
    ("show I --hand 20", "20 half steps is outside 7 (a fifth) to 19"),
    ("show I --hand small", "write one like octave, 9th, m10, or half steps from 12 up"),
    ("show I --range C4", "--range: 'C4': write the lowest and the highest note, like F3-C6"),
    ("show I --range 'C4 to C6'", "write the lowest and the highest note, like F3-C6"),
    ("show I --range C4-E4", "--range: C4 to E4 is too small for a hand; give it an octave at least"),
    ("show I --meter 4", "--meter: '4' is no meter; write one like 4/4, 3/4 or 6/8"),
    ("show I --meter waltz", "--meter: 'waltz' is no meter; write one like 4/4"),
    ("show I --bars 1-4", "--bars: this chooses measures of a file, and 'I' is none; leave it out"),
    # Tempos and mixes
    ("make I --tempo 60,72", "--tempo: '60,72' is several tempos; write --tempo 60 --tempo 72"),
    ("make I --tempo '60 72'", "write --tempo 60 --tempo 72"),
    ("make I --tempo 60-72", "'60-72' is no tempo; for a ladder write --from 60 --to 72"),
    ("make I --tempo '60 to 100'", "for a ladder write --from 60 --to 100"),
    ("make I --tempo allegro", "write felt beats a minute like 72, or half=60, dotted-quarter=60"),
    ("make I --tempo 400", "--tempo: tempo 400 is outside 20 to 300 beats a minute"),
    ("make I --tempo 10", "--tempo: tempo 10 is outside 20 to 300 beats a minute"),
    ("make I --tempo 72.5", "choose a whole number"),
    ("make I --bpm 60", "there is no option --bpm; did you mean --tempo?"),
    ("make I --from slow", "--from: 'slow' is no tempo; write felt beats a minute like 72"),
    ("make I --from 100 --to 60", "--from: 100 to 60 run down; give the slower one first"),
    ("make I --from 60 --to 100 --by 5", "there is no option --by; did you mean --step?"),
    ("make I --step five", "--step: this takes a whole number, like 2"),
    ("make I --tempo 60 --climb each-mix", "--climb: one tempo is no ladder; give two or more"),
    ("make I --mix both", "--mix: 'both' is no choice; did you mean hands-together?"),
    ("make I --mix left,right", "'left,right' is no choice; name each by itself: left-alone and right-alone"),
    ("make I --mix RH", "did you mean right-alone?"),
    ("make I --mix lots", "write right-alone, left-alone, hands-together"),
    ("make I --hands right", "there is no option --hands; did you mean --mix?"),
    ("make I --repeats two", "--repeats: this takes a whole number, like 2"),
    ("make I --count-in 20", "--count-in: 20 is outside 0 to 8"),
    ("make I --repeat 2", "did you mean --repeats?"),
    ("make I --form echo --turn 3", "--turn: 3: a turn lasts 2 or 4 bars"),
    # Styles, sound, files
    ("make I --style walz", "--style: there is no style 'walz'; did you mean waltz?"),
    ("make I --style waltz,swing", "a drill has one style, like waltz; rungwise styles lists all"),
    ("make I --style 'swing blues'", "a drill has one style, like swing"),
    ("make I --style polonaise", "there is no style 'polonaise'; rungwise styles lists all"),
    ("make I --level 7", "--level: style block has no level 7"),
    ("make I --level hard", "--level: this takes a whole number, like 2"),
    ("make I --band swing", "style block plays no melody over a band; choose the style improvise"),
    ("make I --without piano", "--without: 'piano' is no choice; write bass or drums"),
    ("make I --audio", "--audio: its value is missing; write mp3, flac, wav or ogg"),
    ("make I --audio mp4", "--audio: 'mp4' is no choice; write mp3, flac, wav or ogg"),
    ("make I --mp3", "there is no option --mp3; did you mean --audio?"),
    ("make I --pdf", "there is no option --pdf; did you mean --sheet?"),
    ("make I --soundfont a.sf2", "--soundfont: it is what --audio plays on; give --audio mp3 too"),
    ("make I --large-print", "--large-print: it is the sheet's size; ask for the sheet too"),
    ("make I --paper a5", "--paper: 'a5' is no choice; write a4 or letter"),
    ("make I --feel yes", "too many words: yes; an option of yes or no stands alone"),
    ("make I --name 'week 3'", "use 1 to 80 letters, digits, - and _ only, like week-3"),
    ("make I --name con", "--name: 'con' is the name of a device on Windows; choose another"),
    ("make I --sheet page.pdf", "make's sheets go into the pack, so leave out page.pdf"),
    ("make I --out lesson.toml", "lesson.toml is a file where a folder should be; move it or choose another"),
    ("show I --sheet page.docx", "--sheet: the file page.docx must end in .pdf, .svg, .png, .musicxml"),
    ("make I -from 60", "-from has one hyphen; write two: --from"),
    ("make I -tempo 60", "-tempo has one hyphen; write two: --tempo"),
    ("make I \N{EM DASH}from 60", "\N{EM DASH}from has a long dash; write two hyphens: --from"),
    ("show I --style waltz", "there is no option --style; rungwise make takes --style"),
    ("show I --tempo 60", "there is no option --tempo; rungwise make takes --tempo"),
    ("make I --scales", "there is no option --scales; rungwise show takes --scales"),
    ("build lesson.toml --student Mila", 'there is no option --student; a lesson says it: student = "..."'),
    ("make I --texture", "--texture: its value is missing; write doubled, over-bass or four-part"),
    ("make I --zzz 2", "there is no option --zzz; --help lists the options"),
    # Commands
    ("improvise", 'it is a style: rungwise make "I IV V7 I" --style improvise'),
    ("rungwise improvise", "once is enough: leave out the second rungwise"),
    ("twelve-bar-blues", "it is a progression: rungwise show twelve-bar-blues"),
    ("blues", "there is no command 'blues'; rungwise progressions blues"),
    ("'I IV V'", 'show chords: rungwise show "I IV V"'),
    ("lesson.toml", "make a lesson's files: rungwise build lesson.toml"),
    ("shwo", "there is no command 'shwo'; did you mean show?"),
    ("help", "write rungwise --help"),
    ("help show", "write rungwise show --help"),
    ("version", "write rungwise --version"),
    ("play I", "rungwise make, or rungwise build for a lesson"),
    ("print lesson.toml", "for a page to print: rungwise make with --sheet"),
    ("sing", "there is no command 'sing'; --help lists the commands"),
    ("styles zither", "no style has zither; rungwise styles lists all"),
    ("styles walz", "no style has walz; did you mean waltz?"),
    ("progressions zzz", "no progression is called or about 'zzz'; rungwise progressions lists all"),
    ("quiz cadences", "a skill is an option: --skill cadences"),
    ("quiz --skill interval", "--skill: 'interval' is no skill; did you mean intervals?"),
    ("quiz --level 9", "--level: cadences has no level 9; choose from"),
    ("quiz --questions 0", "--questions: 0 is outside 1 to 99"),
    # The wrong file
    ("show lesson.toml", "'lesson.toml' is no progression; the files of a lesson are made by rungwise build"),
    ("show take.mid", "'take.mid' is no progression; a take is marked by rungwise check"),
    ("show song.mp3", "files of music that we read end in .rntxt, .musicxml, .mxl or .xml"),
    ("show gone.musicxml", "gone.musicxml: there is no such file we can read"),
    ("build", "LESSON... is missing; name a lesson, or begin one: rungwise new lesson.toml"),
    ("build level.toml", "level.toml: this is a level, not a lesson; plan a term: rungwise term level.toml"),
    ("build lesson", "did you mean lesson.toml?"),
    ("build lesson.toml lesson.toml", "lesson.toml is named twice; leave one out"),
    ("build lesson.toml --only b", "--only: no drill is called 'b'; write a"),
    ("build take.mid", "take.mid: lessons and levels are files that end in .toml; give the path of one"),
    ("build gone.toml", "gone.toml: there is no such file we can read"),
    ("build empty", "empty: there is no lesson (.toml) in this folder; write one with rungwise new"),
    ("term lesson.toml", "this is a lesson, not a level; make its files: rungwise build lesson.toml"),
    ("exam lesson.toml", "this is a lesson, not a level; make its files: rungwise build lesson.toml"),
    ("term", "LEVEL is missing; name a level, or begin one: rungwise new level.toml"),
    ("term level.toml --weeks 0", "--weeks: 0 is outside 1 to 52"),
    ("term level.toml --week 10", "there is no option --week; did you mean --weeks?"),
    ("exam level.toml --draws 99", "--draws: 99 is outside 1 to 24 for each requirement"),
    ("students lesson.toml", "lesson.toml is no folder; give the folder that the lessons lie in"),
    ("new lesson.toml", "lesson.toml is there already; choose another, or add --force to write over it"),
    ("new mila", "mila: lessons and levels are TOML files; end the name in .toml"),
    ("new 'Mila week 1.toml'", "use letters, digits, - and _ only, like Mila-week-1.toml"),
    ("check", "TAKE.mid... is missing; name the MIDI file of the take, and what it is of"),
    ("check take.mid", "what the takes are of is missing; give --drill with a pack or a lesson"),
    ("check song.mp3 I", "takes: 'song.mp3' is no take; name a .mid file first"),
    ("check take.mid I", "take.mid: this is no MIDI file: it has no header; record or export it again"),
]  # fmt: skip

HEAD = '[[drill]]\nname = "a"\nprogression = "I"\n'
IN_A_LESSON = [
    # A field
    (HEAD + 'notes = "slow"\n', "line 4, notes: this is said of the whole file; write it at the top"),
    (HEAD + 'student = "Mila"\n', "line 4, student: this is said of the whole file; write it at the top"),
    (
        'name = "a"\nprogression = "I"\n',
        "line 1, name: this is said of a drill; write it under a heading [[drill]]",
    ),
    (
        'teacher = "Ott"\n' + HEAD,
        "line 1, teacher: there is no such field; write title, student, date, due, notes",
    ),
    (HEAD + 'key = "C"\n', "line 4, key: there is no such field; did you mean keys?"),
    (HEAD + 'hands = "right"\n', "hands: there is no such field; did you mean mixes?"),
    (HEAD + 'inversion = "first"\n', "inversion: there is no such field; did you mean start?"),
    (HEAD + "tempo = 60\n", "tempo: there is no such field; did you mean tempos?"),
    (HEAD + "bpm = 60\n", "bpm: there is no such field; did you mean tempos?"),
    (HEAD + "count_in = 2\n", "count_in: there is no such field; did you mean count-in?"),
    ('[[drill]]\nname = "a"\nprogresion = "I"\n', "line 3, progresion: there is no such field; did you mean"),
    ('[[drill]]\nname = "a"\n', 'line 1: the drill has no progression; write progression = "I IV V7 I"'),
    ("# nothing yet\n", "it has no [[drill]]; write one for each"),
    ("[drill]\n" + HEAD[10:], "line 1, drill: write every one under a heading of its own, [[drill]]"),
    ("[[drills]]\n" + HEAD[10:], "drills: there is no such field; did you mean drill?"),
    # A value
    (HEAD + 'mixes = "both"\n', "line 4, mixes: 'both' is no choice; did you mean hands-together?"),
    (HEAD + 'level = "2"\n', "level: '2' is not a whole number; leave out the quotes: 2"),
    (HEAD + 'sheet = "yes"\n', "sheet: 'yes' is not true or false; write true"),
    (HEAD + 'click = "off"\n', "click: 'off' is not true or false; write false"),
    (HEAD + "repeats = 2.5\n", "repeats: 2.5 is not a whole number"),
    (HEAD + "meter = 3\n", 'meter: 3 is not text in quotes; write "3"'),
    (HEAD + 'keys = "C, G"\n', 'keys: \'C, G\' is several keys; write keys = ["C", "G"]'),
    (HEAD + 'keys = "H"\n', "keys: 'H' is no key; write B major, or say note-names = \"german\""),
    (HEAD + 'tempos = "60, 72"\n', "tempos: '60, 72' is several tempos; write tempos = [60, 72]"),
    (HEAD + 'tempos = "60-72"\n', "tempos: '60-72' is no tempo; for a ladder write from = 60, to = 72"),
    (HEAD + 'style = "walz"\n', "style: there is no style 'walz'; did you mean waltz?"),
    (HEAD.replace('"I"', '["I", "V"]'), "progression: ['I', 'V'] is not text in quotes; write \"I V\""),
    (
        HEAD.replace('"a"', '"week 3"'),
        "line 2, name: 'week 3' is no name; use 1 to 80 letters, digits, - and _",
    ),
    (HEAD + HEAD.replace('"a"', '"A"'), "line 5, name: two drills are called A; give one another name"),
    ('date = "tomorrow"\n' + HEAD, "line 1, date: tomorrow is no day; write one like 2026-03-02"),
    (
        "date = 2026-03-05\ndue = 2026-03-01\n" + HEAD,
        "line 2, due: 2026-03-01 comes before the day of the lesson",
    ),
    # The writing
    (HEAD + 'name = "b"\n', "a name stands there twice; leave one out"),
    (HEAD.replace('"I"', "\u201cI\u201d"), 'write straight quotes, "like these", in place of curly ones'),
    (HEAD.replace(" = ", ": "), "line 2, column 5: this is not TOML"),
    (HEAD.replace(" = ", ": "), "write = in place of the colon"),
    (HEAD.replace("]]", "]"), "a heading has as many brackets after as before: [[drill]]"),
    (HEAD + "sheet = yes\n", "write true, in small letters"),
    (HEAD + "click = Off\n", "write false, in small letters"),
    ("date = 5.3.2026\n" + HEAD, "line 1, column 11: this is not TOML"),
    ("date = 5.3.2026\n" + HEAD, "write a day like 2026-03-02"),
    ("due = 2026-02-30\n" + HEAD, "there is no such day; write one like 2026-03-02"),
    (HEAD.replace('"I"\n', '"I";\n'), "leave out what stands at the end of the line"),
    (HEAD + "count in = 2\n", "a name of several words has hyphens, like count-in"),
    (HEAD + "from 60\n", "write a name, then =, then the value"),
    (HEAD + "from =\n", "write a value after ="),
    (HEAD + 'keys = ["C" "G"]\n', "write commas between the values, and text in quotes"),
    (HEAD + "keys = [C, G]\n", "put text in quotes, lists in [ ]"),
    (HEAD.replace('"I"', "I IV V"), "line 3, column 15: this is not TOML: Invalid value; put text in quotes"),
    (HEAD.replace('"a"', "'a\""), 'end text with the sign that it begins with, "like this"'),
    ('notes = "one\ntwo"\n' + HEAD, 'write text of several lines between """ and """'),
]

LEVEL = '[[requirement]]\nprogressions = ["I"]\nkeys = ["C"]\nminimum-tempo = 80\n'
IN_A_LEVEL = [
    (LEVEL + "sheets = true\n", "line 5, sheets: there is no such field; did you mean sheet?"),
    (LEVEL + 'mixes = ["right-alone"]\n', "mixes: the term chooses this, week by week; leave it out"),
    (LEVEL + "tempos = [60]\n", "tempos: the term chooses this, week by week; leave it out"),
    (LEVEL + 'start = "first"\n', "start: there is no such field; did you mean starts?"),
    (
        LEVEL.replace("minimum-tempo", "tempo"),
        "line 4, tempo: there is no such field; did you mean minimum-tempo?",
    ),
    (
        LEVEL.replace("minimum-tempo = 80\n", ""),
        "line 1: the requirement has no minimum-tempo; every one needs it",
    ),
    (
        LEVEL.replace("progressions", "progression"),
        "progression: there is no such field; did you mean progressions?",
    ),
    (LEVEL.replace('["C"]', '"C, G"'), 'line 3, keys: \'C, G\' is several keys; write keys = ["C", "G"]'),
    (LEVEL + "from = 90\n", "from: 90 is not below the minimum tempo, 80"),
]


def test_there_are_as_many_as_a_week_brought() -> None:
    assert len(AT_THE_PROMPT) + len(IN_A_LESSON) + len(IN_A_LEVEL) >= 115


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    Path("lesson.toml").write_text(HEAD, encoding="utf-8")
    Path("level.toml").write_text(LEVEL, encoding="utf-8")
    Path("take.mid").write_bytes(b"RIFF")
    Path("song.mp3").write_bytes(b"ID3")
    Path("empty").mkdir()
    return tmp_path


@pytest.mark.parametrize(("typed", "told"), AT_THE_PROMPT, ids=lambda value: value[:40])
@pytest.mark.usefixtures("desk")
def test_a_slip_at_the_prompt(typed: str, told: str, capsys: pytest.CaptureFixture[str]) -> None:
    import shlex

    assert run(shlex.split(typed)) == 2
    _check(*capsys.readouterr(), told)


@pytest.mark.parametrize(("text", "told"), IN_A_LESSON, ids=lambda value: value[-40:])
@pytest.mark.usefixtures("desk")
def test_a_slip_in_a_lesson(text: str, told: str, capsys: pytest.CaptureFixture[str]) -> None:
    Path("tuesday.toml").write_text(text, encoding="utf-8")

    assert run(("build", "tuesday.toml")) == 2
    said = capsys.readouterr()
    assert "tuesday.toml" in said.err
    _check(*said, told)


@pytest.mark.parametrize(("text", "told"), IN_A_LEVEL, ids=lambda value: value[-40:])
@pytest.mark.usefixtures("desk")
def test_a_slip_in_a_level(text: str, told: str, capsys: pytest.CaptureFixture[str]) -> None:
    Path("grade.toml").write_text(text, encoding="utf-8")

    assert run(("term", "grade.toml")) == 2
    _check(*capsys.readouterr(), told)


def _check(out: str, err: str, told: str) -> None:
    assert told in err
    assert err.startswith("rungwise: ")
    assert err.count("\n") == 1
    assert out == ""
    assert not Path("out").exists()


@pytest.mark.usefixtures("desk")
def test_a_level_by_its_name_is_begun_as_one(capsys: pytest.CaptureFixture[str]) -> None:
    Path("level.toml").unlink()

    assert run(("new", "level.toml")) == 0
    assert "rungwise term level.toml" in capsys.readouterr().out
    assert "[[requirement]]" in Path("level.toml").read_text(encoding="utf-8")


@pytest.mark.parametrize("words", [("progressions", "blues"), ("styles", "waltz")])
def test_a_word_finds_what_is_like_it(words: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    assert run(words) == 0
    assert words[1] in capsys.readouterr().out
