"""Scales, arpeggios and triads: against music21, which works its tones out in another way, and printed tables.

The tables: J. Aebersold, "Scale Syllabus"; E. Taylor, "The AB Guide to Music Theory"; both from memory.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21 import harmony, interval, pitch, scale

from engrave.theory.scales import SCALES, build_scale, parse_tones

ROOTS = ["C", "C#", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B"]
PEERS = {
    "major": scale.MajorScale, "minor": scale.MinorScale, "dorian": scale.DorianScale, "phrygian": scale.PhrygianScale,
    "lydian": scale.LydianScale, "mixolydian": scale.MixolydianScale, "locrian": scale.LocrianScale,
    "harmonic minor": scale.HarmonicMinorScale, "melodic minor": scale.MelodicMinorScale,
}  # fmt: skip


def letters(text):
    return [tone.letter for tone in parse_tones(text).tones]


def degrees(text):
    return [tone.degree for tone in parse_tones(text).tones]


def peer_letters(found):
    return [p.name.replace("-", "♭").replace("#", "♯") for p in found]


@pytest.mark.parametrize("name", PEERS)
@pytest.mark.parametrize("root", ROOTS)
def test_scales_of_seven_tones_have_the_letters_of_music21(name, root):
    peer = PEERS[name](pitch.Pitch(root.replace("b", "-")))
    low = pitch.Pitch(root.replace("b", "-") + "4")
    rising = peer.getPitches(low, low.transpose("P8"), direction=scale.Direction.ASCENDING)
    assert letters(f"{root} {name}") == peer_letters(rising[:-1])


@pytest.mark.parametrize(
    ("name", "peer"),
    [
        ("whole tone", scale.WholeToneScale),
        ("chromatic", scale.ChromaticScale),
        ("half-whole diminished", None),
    ],
)
def test_even_scales_have_the_tones_of_music21(name, peer):
    made = peer("C") if peer else scale.OctatonicScale("C", "m2")
    expected = {p.pitchClass for p in made.getPitches("C4", "C5")}
    assert {tone.pitch_class for tone in parse_tones(f"C {name}").tones} == expected


@pytest.mark.parametrize(
    "name", ["", "m", "7", "maj7", "m7", "dim", "aug", "dim7", "m7b5", "6", "m6", "9", "sus4"]
)
@pytest.mark.parametrize("root", ["C", "Eb", "F#", "A"])
def test_arpeggios_have_the_letters_of_music21(name, root):
    peer = harmony.ChordSymbol(root.replace("b", "-") + name)
    assert set(letters(f"{root}{name} arpeggio")) == set(peer_letters(peer.pitches))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("A minor pentatonic", "A C D E G"),
        ("C major pentatonic", "C D E G A"),
        ("A blues", "A C D E♭ E G"),
        ("C major blues", "C D E♭ E G A"),
        ("E phrygian dominant", "E F G♯ A B C D"),
        ("C lydian dominant", "C D E F♯ G A B♭"),
        ("C bebop dominant", "C D E F G A B♭ B"),
        ("C altered", "C D♭ D♯ E G♭ G♯ B♭"),
        ("C half-whole diminished", "C D♭ D♯ E F♯ G A B♭"),
        ("C whole-half diminished", "C D E♭ F G♭ A♭ A B"),
    ],
)
def test_scales_are_those_of_printed_tables(text, expected):
    assert letters(text) == expected.split()


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("A minor pentatonic", "1 ♭3 4 5 ♭7"),
        ("D mixolydian", "1 2 3 4 5 6 ♭7"),
        ("E7 arpeggio", "1 3 5 ♭7"),
        ("Cdim7 arpeggio", "1 ♭3 ♭5 ♭♭7"),
        ("E7#9 arpeggio", "1 ♯9 3 5 ♭7"),
        ("C13 arpeggio", "1 9 3 5 13 ♭7"),
        ("G6 arpeggio", "1 3 5 6"),
        ("Dsus2 triad", "1 2 5"),
    ],
)
def test_degrees_count_from_the_major_scale(text, expected):
    assert degrees(text) == expected.split()


@given(st.sampled_from(sorted(SCALES)), st.integers(0, 6), st.integers(-1, 1))
def test_a_degree_lies_as_far_over_the_root_as_it_says(name, step, alter):
    found = build_scale(name, (step, alter))
    for tone in found.tones:
        number = tone.degree.lstrip("♯♭")
        sign = tone.degree.count("♯") - tone.degree.count("♭")
        major = interval.Interval(("P" if number in "145" else "M") + number).semitones
        assert (tone.pitch_class - found.root.pitch_class) % 12 == (major + sign) % 12


def test_scales_of_seven_tones_use_each_letter_once():
    for name, formula in SCALES.items():
        if sorted(d.strip("#b") for d in formula.split()) == list("1234567"):
            assert len({tone.step for tone in parse_tones(f"F# {name}").tones}) == 7


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("A natural minor", "A minor"),
        ("a minor scale", "A minor"),
        ("G ionian", "G major"),
        ("C major triad", "C triad"),
        ("C minor arpeggio", "Cm arpeggio"),
    ],
)
def test_other_names_of_the_trade_say_the_same(one, other):
    assert parse_tones(one).tones == parse_tones(other).tones


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("A minor pentatnic", 'did you mean "minor pentatonic"?'),
        ("A", "does not say which scale"),
        ("H major", "German H is B"),
        ("C7 triad", "write C7 arpeggio"),
        ("Cfoo arpeggio", "is not a chord name"),
    ],
)
def test_what_is_no_scale_is_told_with_what_would_be_right(text, said):
    with pytest.raises(ValueError) as error:
        parse_tones(text)
    assert said in str(error.value)
