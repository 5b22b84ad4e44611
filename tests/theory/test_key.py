"""Keys and signatures against music21 and the conventions of the treble and bass clefs."""

import music21
import pytest

from engrave.theory.clef import Clef
from engrave.theory.key import Key, Mode, parse_key, signature_positions

TONICS = ["C", "G", "D", "A", "E", "B", "F#", "C#", "F", "Bb", "Eb", "Ab", "Db", "Gb", "Cb"]


@pytest.mark.parametrize("tonic", TONICS)
@pytest.mark.parametrize("mode", ["major", "dorian", "phrygian", "lydian", "mixolydian"])
def test_signatures_agree_with_music21(tonic, mode):
    other = music21.key.Key(tonic.replace("b", "-"), mode)
    if abs(other.sharps) > 7:
        pytest.skip("more than seven signs")
    assert parse_key(f"{tonic} {mode}").fifths == other.sharps


@pytest.mark.parametrize(
    "tonic", ["A", "E", "B", "F#", "C#", "G#", "D#", "A#", "D", "G", "C", "F", "Bb", "Eb", "Ab"]
)
def test_minor_signatures_agree_with_music21(tonic):
    other = music21.key.Key(tonic.replace("b", "-").lower(), "minor")
    key = parse_key(f"{tonic} minor")
    assert key.fifths == other.sharps
    names = {pitch.name.replace("-", "b") for pitch in other.pitches}
    step, alter = key.tonic
    assert "CDEFGAB"[step] + {0: "", 1: "#", -1: "b"}[alter] in names


def test_treble_and_bass_positions_of_seven_sharps():  # common practice, no source
    assert signature_positions(7, Clef.TREBLE) == (8, 5, 9, 6, 3, 7, 4)
    assert signature_positions(7, Clef.BASS) == (6, 3, 7, 4, 1, 5, 2)


def test_signs_of_the_c_clefs():  # common practice, no source: in the tenor clef sharps begin with the low F
    assert signature_positions(7, Clef.ALTO) == (7, 4, 8, 5, 2, 6, 3)
    assert signature_positions(7, Clef.TENOR) == (2, 6, 3, 7, 4, 8, 5)
    assert signature_positions(-7, Clef.ALTO) == (3, 6, 2, 5, 1, 4, 0)
    assert signature_positions(-7, Clef.TENOR) == (5, 8, 4, 7, 3, 6, 2)


@pytest.mark.parametrize("clef", Clef)
@pytest.mark.parametrize("fifths", range(-7, 8))
def test_every_sign_stands_on_its_letter(clef, fifths):
    letters = "FCGDAEB"[:fifths] if fifths > 0 else "BEADGCF"[:-fifths]
    found = ["CDEFGAB"[(p + clef.bottom_line) % 7] for p in signature_positions(fifths, clef)]
    assert "".join(found) == letters


def test_d_major_and_a_flat_major():  # computed from the order of signs
    assert signature_positions(parse_key("D major").fifths, Clef.OCTAVE_TREBLE) == (8, 5)
    assert signature_positions(parse_key("D major").fifths, Clef.BASS) == (6, 3)
    assert signature_positions(parse_key("Ab major").fifths, Clef.TREBLE) == (4, 7, 3, 6)
    assert signature_positions(parse_key("Ab major").fifths, Clef.BASS) == (2, 5, 1, 4)


def test_relative_minors():  # common practice, no source
    assert Key(parse_key("E major").fifths, Mode.MINOR).name == "C# minor"
    assert Key(parse_key("Db major").fifths, Mode.MINOR).name == "Bb minor"


@pytest.mark.parametrize("text", ["X major", "G mayor", "G#  major x", "", "Gm major"])
def test_what_is_no_key_is_refused(text):
    with pytest.raises(ValueError, match="G major"):
        parse_key(text)


@pytest.mark.parametrize("text", ["H major", "h-Moll", "H-Dur", "H"])
def test_the_h_of_german_is_answered_with_b(text):  # German usage
    with pytest.raises(ValueError, match="German H is B: write B major or B minor"):
        parse_key(text)


def test_a_key_with_eight_sharps_is_refused():
    with pytest.raises(ValueError, match="8 sharps"):
        parse_key("G# major")
