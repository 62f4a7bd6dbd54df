"""The library's entries: common progressions of the trade, by name, usable in any key of their mode.

Format: name, text as `tracks.progression.text` reads it, what it is, where it comes from. A bar holds one
chord or two, so that every meter will do.

Sources: Robert Hutchinson, *Music Theory for the 21st-Century Classroom* (open textbook), by section; *Open
Music Theory* (open textbook), by page. "Convention" marks what the trade just knows.
"""

from dataclasses import dataclass

from tracks.theory.key import Mode


@dataclass(frozen=True, slots=True)
class Entry:
    """A named progression; `text` is in numerals, and where it names keys they move with the first."""

    name: str
    text: str
    mode: Mode
    about: str
    source: str


_CONVENTION = "convention"
_OLD_DANCE = "convention: a ground of the sixteenth century, from memory"
_MIXTURE = "Open Music Theory, altered subdominants"
_SIX_FOURS = "Open Music Theory, the six-four chords"


def _hutchinson(section: str, what: str) -> str:
    return f"Hutchinson, Music Theory for the 21st-Century Classroom, section {section} ({what})"


_JAZZ = _hutchinson("31.8", "jazz progressions")
_BLUES = _hutchinson("12.4", "the twelve-bar blues; bars 9 to 12 from memory")
_APPLIED = _hutchinson("17.3", "secondary dominants")
_SIXTHS = _hutchinson("29.3", "augmented sixth chords")


def _major(name: str, text: str, about: str, source: str = _CONVENTION) -> Entry:
    return Entry(name, text, Mode.MAJOR, about, source)


def _minor(name: str, text: str, about: str, source: str = _CONVENTION) -> Entry:
    return Entry(name, text, Mode.MINOR, about, source)


_RHYTHM_A = "| I vi7 | ii7 V7 | iii7 vi7 | ii7 V7 | I Id7 | IV iv |"

LIBRARY: tuple[Entry, ...] = (
    # cadences
    _major("authentic-cadence", "I V7 I", "home, dominant seventh, home"),
    _minor("authentic-cadence-minor", "i V7 i", "home, dominant seventh, home, in minor"),
    _major("full-cadence", "I IV V I", "the whole cadence: home, subdominant, dominant, home"),
    _minor("full-cadence-minor", "i iv V i", "the whole cadence, in minor"),
    _major("supertonic-cadence", "I ii6 V7 I", "the whole cadence with the supertonic before the dominant"),
    _minor("supertonic-cadence-minor", "i ii/o65 V7 i", "the whole cadence with the half-diminished supertonic, in minor"),
    _major("leading-tone-cadence", "I viio6 I", "the leading-tone triad in place of the dominant"),
    _minor("leading-tone-cadence-minor", "i viio7 i", "the diminished seventh in place of the dominant, in minor"),
    _major("plagal-cadence", "I IV I", "home, subdominant, home"),
    _minor("plagal-cadence-minor", "i iv i", "home, subdominant, home, in minor"),
    _major("minor-plagal-cadence", "I iv I", "the plagal cadence with the minor subdominant borrowed", _MIXTURE),
    _major("half-cadence", "I IV V", "a phrase that stops on the dominant"),
    _minor("half-cadence-minor", "i iv V", "a phrase that stops on the dominant, in minor"),
    _minor("phrygian-half-cadence", "i iv6 V", "a half cadence whose bass falls a half step, from the flat sixth to the fifth"),
    _major("deceptive-cadence", "I IV V7 vi", "the dominant goes to the sixth instead of home"),
    _minor("deceptive-cadence-minor", "i iv V7 VI", "the dominant goes to the sixth, in minor"),
    _major("evaded-cadence", "I IV V42 I6 IV V7 I", "the dominant slips into its third inversion, and home comes at the second try"),
    _minor("picardy-cadence", "i iv V7 I", "a piece in minor that ends on the major chord, with the Picardy third"),
    _major("suspended-cadence", "I IV V7[sus4] V7 I", "the fourth held over into the dominant falls to its leading tone"),
    _major("primary-chords", "I IV I V7 I", "the keyboard cadence on the three primary chords"),
    _minor("primary-chords-minor", "i iv i V7 i", "the keyboard cadence on the primary chords, in minor"),
    _major("primary-chords-close", "I IV64 I V65 I", "the primary chords without a leap: the hand keeps its place"),
    _minor("primary-chords-close-minor", "i iv64 i V65 i", "the primary chords without a leap, in minor"),
    _major("cadential-six-four", "I ii6 Cad64 V7 I", "the six-four that delays the dominant", _SIX_FOURS),
    _minor("cadential-six-four-minor", "i ii/o65 Cad64 V7 i", "the six-four that delays the dominant, in minor", _SIX_FOURS),
    _major("passing-six-four", "I V64 I6 V64 I", "the six-four between home and its first inversion, up and back", _SIX_FOURS),
    _major("long-cadence", "I vi IV ii6 Cad64 V7 I", "by falling thirds to the supertonic, then the six-four and home"),
    _minor("long-cadence-minor", "i VI iv iio6 Cad64 V7 i", "by falling thirds to the supertonic, then the six-four and home, in minor"),
    # chromatic chords
    _minor("neapolitan-cadence", "i N6 V7 i", "the flat second before the dominant", _hutchinson("21.2", "the Neapolitan")),
    _minor("italian-sixth-cadence", "i iv6 It6 V i", "the augmented sixth of three tones, opening to the dominant", _SIXTHS),
    _minor("french-sixth-cadence", "i iv6 Fr43 V i", "the augmented sixth with the second degree, opening to the dominant", _SIXTHS),
    _minor("german-sixth-cadence", "i iv6 Ger65 Cad64 V7 i", "an augmented sixth opening to the dominant", _SIXTHS),
    _major("secondary-dominants", "I V7/ii ii V7/V V V7 I", "each chord led to by its own dominant", _APPLIED),
    _minor("secondary-dominants-minor", "i V7/iv iv V7/V V V7 i", "each chord led to by its own dominant, in minor", _APPLIED),
    _major("secondary-leading-tones", "I viio7/ii ii viio7/V V V7 I", "each chord led to by the diminished seventh a half step below", _hutchinson("18.2", "secondary leading-tone chords")),
    _major("flat-six-flat-seven", "I bVI bVII I", "home from below, by the two whole steps of the minor mode"),
    # modulations
    _major("modulation-to-dominant", "C: I IV V7 I G: ii Cad64 V7 I", "eight chords from a key to its dominant's, by the chord that is vi of the old key and ii of the new"),
    _major("modulation-to-subdominant", "C: I IV V7 I F: vi ii6 V7 I", "eight chords from a key to its subdominant's, by the chord that is ii of the old key and vi of the new"),
    _major("modulation-to-relative-minor", "C: I IV V7 I a: iv Cad64 V7 i", "eight chords from a major key to its relative minor, by the chord that is ii of the old key and iv of the new"),
    _minor("modulation-to-relative-major", "a: i iv V7 i C: ii Cad64 V7 I", "eight chords from a minor key to its relative major, by the chord that is iv of the old key and ii of the new"),
    # sequences and basses
    _major("circle-of-fifths", "I IV viio iii vi ii V I", "every chord of the key by falling fifths"),
    _minor("circle-of-fifths-minor", "i iv VII III VI iio V i", "every chord of the key by falling fifths, in minor"),
    _major("circle-of-sevenths", "I7 IV7 vii/o7 iii7 vi7 ii7 V7 I7", "falling fifths in seventh chords"),
    _minor("circle-of-sevenths-minor", "i7 iv7 VII7 III7 VI7 ii/o7 V7 i7", "falling fifths in seventh chords, in minor"),
    _major("descending-thirds", "I V vi iii IV I IV V", "a sequence down by thirds: its bass falls a fourth and rises a step, in turn, and turns home from the fourth"),
    _major("stepwise-bass-sequence", "I V6 vi iii6 IV I6 ii7 V7 I", "the sequence by thirds over a bass that falls by step from the tonic to the second degree"),
    _major("ascending-five-six", "| I vi6 | ii viio6 | iii I6 | IV ii6 | V V7 | I |", "a fifth above each bass note becomes a sixth, and the bass climbs by step"),
    _major("parallel-sixths", "I6 viio6 vi6 V6 IV6 iii6 ii6 I6", "first inversions down the scale, all by step"),
    _major("rule-of-the-octave", "I V43 I6 ii65 V IV6 V65 I V6 V43/V V V42 I6 V43 I", "a chord for every note of a bass that climbs the scale and comes down", "convention of the eighteenth century, from memory"),
    _minor("rule-of-the-octave-minor", "i V43 i6 ii/o65 V IV6 V65 i v6 iv6 V V42 i6 V43 i", "a chord for every note of a bass that climbs the melodic minor scale and comes down", "convention of the eighteenth century, from memory"),
    _major("dominant-inversions", "I V65 I V43 I6 V42 I6", "each inversion of the dominant seventh, resolved by step"),
    _major("stepwise-up", "I ii iii IV V", "up the scale in root positions"),
    _major("scale-in-triads", "I ii iii IV V vi viio I", "every triad of the key, up the scale", _hutchinson("7.2", "diatonic triads")),
    _minor("scale-in-triads-minor", "i iio III iv V VI viio i", "every triad of the key, up the scale, in minor", _hutchinson("7.3", "diatonic triads in minor")),
    _major("scale-in-sevenths", "I7 ii7 iii7 IV7 V7 vi7 vii/o7 I7", "every seventh chord of the key, up the scale", _hutchinson("8.3", "diatonic seventh chords")),
    _minor("andalusian", "i VII VI V", "a bass falling from the tonic to the dominant"),
    _minor("lament", "i v6 iv6 V", "the falling tetrachord in the bass", "Open Music Theory, the lament bass"),
    _minor("chromatic-lament", "i V6 v6 IV6 iv6 V", "the falling tetrachord in the bass, by half steps", "Open Music Theory, the lament bass"),
    # old dances
    _minor("folia", "| i | V | i | VII | III | VII | i | V | i | V | i | VII | III | VII | i V | i |", "the old dance ground, a bar to a chord", _OLD_DANCE),
    _minor("passamezzo-antico", "| i | VII | i | V | III | VII | i V | i |", "the old dance bass", _OLD_DANCE),
    _major("passamezzo-moderno", "| I | IV | I | V | I | IV | I V | I |", "the old dance bass in major", _OLD_DANCE),
    _minor("romanesca", "| III | VII | i | V | III | VII | i V | i |", "the old dance ground that begins on the third degree", _OLD_DANCE),
    # songs
    _major("fifties", "I vi IV V", "the 1950s progression", _hutchinson("9.3", "common progressions")),
    _major("axis", "I V vi IV", "four chords of many songs"),
    _major("axis-from-six", "vi IV I V", "the same four chords begun on the sixth"),
    _major("four-five-three-six", "IV V iii vi", "subdominant and dominant, then not home but the third and sixth"),
    _major("flat-seven-rock", "I bVII IV I", "the flat seventh borrowed from the mixolydian mode"),
    _major("minor-four", "I Id7 IV iv I", "the tonic turned dominant seventh, the subdominant turned minor"),
    _major("line-cliche-major", "I I[maj7] Id7 I[add6]", "one chord, and a line that falls by half steps from the root to the sixth"),
    _major("line-cliche-rising", "I I+ I[add6] Id7", "one chord, and a line that climbs by half steps from the fifth to the flat seventh"),
    _minor("line-cliche-minor", "i i[maj7] i7 i[add#6]", "one minor chord, and a line that falls by half steps from the root to the sixth"),
    _major("gospel-walk-up", "| I I6 | IV #ivo7 | I64 V7 | I |", "a bass that walks up to the dominant through the raised fourth"),
    _minor("dorian-vamp", "i7 IV7 i7 IV7", "two chords of the dorian mode"),
    _minor("aeolian-rise", "VI VII i i", "up to the tonic by steps from the flat sixth"),
    # jazz and blues
    _major("two-five-one", "ii7 V7 I7 I7", "the jazz cadence", _JAZZ),
    _minor("two-five-one-minor", "ii/o7 V7 i i", "the jazz cadence, in minor", _JAZZ),
    _major("two-five-one-extended", "ii9 V13 I9 I9", "the jazz cadence with ninths and a thirteenth", _JAZZ),
    _major("tritone-two-five-one", "ii7 bIId7 I7 I7", "the jazz cadence with the dominant a tritone away", _JAZZ),
    _major("turnaround", "I7 vi7 ii7 V7", "back to the top", _JAZZ),
    _minor("turnaround-minor", "i7 vi/o7 ii/o7 V7", "back to the top, in minor"),
    _major("turnaround-from-three", "iii7 vi7 ii7 V7", "back to the top from the third", _JAZZ),
    _major("dominant-turnaround", "III7 VI7 II7 V7", "back to the top from the third, all in dominant sevenths", _JAZZ),
    _major("tritone-turnaround", "III7 bIIId7 II7 bIId7", "the dominant turnaround with every second chord a tritone away: down by half steps", _JAZZ),
    _major("ragtime-turnaround", "I VI7 II7 V7 I", "home by a chain of dominant sevenths"),
    _major("diminished-turnaround", "I7 #io7 ii7 V7", "up to the supertonic through the diminished seventh between"),
    _major("backdoor-turnaround", "I7 iv7 bVIId7 I7", "home from a whole step below, by the minor subdominant and the flat seventh"),
    _major(
        "twelve-bar-blues",
        "Id7 Id7 Id7 Id7 IVd7 IVd7 Id7 Id7 V7 IVd7 Id7 Id7",
        "the twelve bars, all in dominant sevenths",
        _BLUES,
    ),
    _major(
        "twelve-bar-blues-quick-change",
        "Id7 IVd7 Id7 Id7 IVd7 IVd7 Id7 Id7 V7 IVd7 Id7 V7",
        "the blues with the subdominant in bar 2 and the dominant in bar 12",
    ),
    _minor("minor-blues", "i7 i7 i7 i7 iv7 iv7 i7 i7 VId7 V7 i7 i7", "the twelve bars in minor"),
    _major(
        "jazz-blues",
        "| Id7 | IVd7 | Id7 | v7 Id7 | IVd7 | #ivo7 | Id7 | VI7 | ii7 | V7 | Id7 VI7 | ii7 V7 |",
        "the twelve bars with the two-fives that jazz players put in",
    ),
    _major("eight-bar-blues", "Id7 V7 IVd7 IVd7 Id7 V7 Id7 V7", "the short blues, with the dominant in bar 2"),
    _major(
        "rhythm-changes",
        f"{_RHYTHM_A} iii7 vi7 | ii7 V7 {_RHYTHM_A} I V7 | I "
        f"| III7 | III7 | VI7 | VI7 | II7 | II7 | V7 | V7 {_RHYTHM_A} I V7 | I |",
        "the thirty-two bars that jazz players share, with the bridge of dominant sevenths",
    ),
)  # fmt: skip
