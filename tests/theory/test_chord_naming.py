"""Names of what sounds, and what a chord may lose. Chord tables checked against music21."""

import pytest
from music21.harmony import ChordSymbol

from engrave.theory.chord_name import parse_chord_name, pitch_classes
from engrave.theory.chord_naming import QUALITIES, name_pitches, name_shape
from engrave.theory.chord_tones import chord_tones
from tests.fingering.open_shapes import OPEN_SHAPES
from tests.fingering.printed_shapes import frets_of

STANDARD = (40, 45, 50, 55, 59, 64)
IN_MUSIC21 = {
    "": "C", "m": "Cm", "7": "C7", "m7": "Cm7", "maj7": "Cmaj7", "sus4": "Csus4", "sus2": "Csus2", "6": "C6",
    "m6": "Cm6", "dim": "Cdim", "aug": "C+", "dim7": "Co7", "m7b5": "Cø7", "9": "C9", "m9": "Cm9", "maj9": "CM9",
    "m(maj7)": "CmM7", "7#5": "C+7", "maj7#5": "C+M7", "11": "C11", "m11": "Cm11",
    "5": "Cpower", "7sus4": "C7sus4", "7b5": "C7b5",
}  # fmt: skip
"""The same chords as music21 spells them; thirteenths differ, for music21 puts an eleventh into them."""


def names(*pitches):
    return [item.name.text for item in name_pitches(pitches)]


@pytest.mark.parametrize("quality", IN_MUSIC21)
def test_every_tone_that_music21_hears_has_the_name_that_we_give_it(quality):
    heard = [pitch.midi for pitch in ChordSymbol(IN_MUSIC21[quality]).pitches]
    found = name_pitches(heard)
    assert any(item.name.text == f"C{quality}" and not item.missing for item in found)


def test_the_vocabulary_is_read_and_no_two_of_its_chords_are_the_same():
    tones = {}
    for quality in QUALITIES:
        tones.setdefault(pitch_classes(parse_chord_name(f"C{quality}")), []).append(quality)
    assert all(len(same) == 1 for same in tones.values())


@pytest.mark.parametrize(("chord", "texts"), OPEN_SHAPES.items())
def test_the_shapes_of_the_books_are_called_as_the_books_call_them(chord, texts):
    for text in texts.split():
        found = [item.name.text for item in name_shape(frets_of(text), STANDARD)]
        assert chord in found


@pytest.mark.parametrize(
    "chord", ["C", "G", "D", "Am", "Em7", "Cmaj7", "Asus4", "Bdim", "D/F#", "G/B", "C/G"]
)
def test_complete_chords_come_first(chord):
    assert name_shape(frets_of(OPEN_SHAPES[chord].split()[0]), STANDARD)[0].name.text == chord


def test_a_diminished_seventh_has_four_roots_and_an_augmented_triad_three():
    diminished = name_pitches([60, 63, 66, 69])
    assert [i.name.text for i in diminished if "dim7" in i.name.text] == [
        "Cdim7", "Ebdim7/C", "F#dim7/C", "Adim7/C",
    ]  # fmt: skip
    assert names(60, 64, 68)[:3] == ["Caug", "Eaug/C", "Abaug/C"]


def test_a_sixth_chord_is_also_a_seventh_chord_turned_over():
    assert names(60, 64, 67, 69)[:2] == ["C6", "Am7/C"]
    assert names(57, 60, 64, 67)[:2] == ["Am7", "C6/A"]


def test_a_chord_without_its_fifth_says_so():
    first = name_pitches([48, 52, 58])[0]
    assert (first.name.text, first.missing) == ("C7", frozenset({7}))


def test_a_bass_that_the_chord_does_not_have_is_named_after_a_slash():
    assert "C/F#" in names(42, 60, 64, 67)


def test_what_is_no_chord_has_no_name():
    assert names(60, 61, 62, 63) == []
    assert names() == []


@pytest.mark.parametrize(
    ("chord", "may_miss"),
    [
        ("C", ""), ("C5", ""), ("Csus4", ""), ("C7", "G"), ("Cm7b5", ""), ("C7#5", ""), ("C9", "G"), ("C13", "G D"),
        ("C11", "G D"), ("C13sus4", "G D"), ("C9#11", "G D"), ("C6", "G"), ("C13b9", "G"),
    ],
)  # fmt: skip
def test_the_fifth_may_go_then_the_ninth_of_big_chords(chord, may_miss):
    """Third and seventh stay (common practice, no source)."""
    letters = dict(zip("CDEFGAB", (0, 2, 4, 5, 7, 9, 11)))
    assert chord_tones(parse_chord_name(chord)).optional == {letters[name] for name in may_miss.split()}


def test_minor_major_nine_is_read():
    assert pitch_classes(parse_chord_name("Cm(maj9)")) == {0, 2, 3, 7, 11}
