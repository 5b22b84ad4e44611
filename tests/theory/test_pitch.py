"""Pitches against equal temperament (ISO 16: A4 = 440 Hz) and against music21."""

import music21
import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.theory.pitch import Pitch, frequency, parse_pitch


@pytest.mark.parametrize(
    ("midi", "hertz"),
    [
        (69, 440.0),
        (60, 261.6256),
        (64, 329.6276),
        (40, 82.4069),
        (45, 110.0),
        (35, 61.7354),
        (30, 46.2493),
        (28, 41.2034),
        (23, 30.8677),
        (88, 1318.5102),
    ],
)
def test_frequencies_follow_equal_temperament(midi, hertz):  # computed from the definition
    assert frequency(midi) == pytest.approx(hertz, abs=5e-5)


@pytest.mark.parametrize("text", ["C4", "F#4", "Bb3", "C##5", "Ebb2", "B#3", "Cb5", "G-1"])
def test_midi_numbers_agree_with_music21(text):
    other = music21.pitch.Pitch(text.replace("b", "-") if text[1:2] == "b" else text)
    if text == "G-1":
        other = music21.pitch.Pitch("G", octave=-1)
    assert parse_pitch(text).midi == other.midi


def test_octave_four_starts_at_middle_c():  # MusicXML 4.0, octave
    assert parse_pitch("C4").midi == 60
    assert parse_pitch("B3").midi == 59


@pytest.mark.parametrize("text", ["X4", "F", "F#", "4", "", "Fis4", "C###4"])
def test_what_is_no_pitch_is_refused_with_an_example(text):
    with pytest.raises(ValueError, match="F#4"):
        parse_pitch(text)


def test_the_h_of_german_is_answered_with_b():  # German usage
    with pytest.raises(ValueError, match="German H is B: write B4"):
        parse_pitch("H4")


@given(st.integers(0, 6), st.integers(-2, 2), st.integers(0, 8))
def test_names_read_back(step, alter, octave):
    pitch = Pitch(step, alter, octave)
    assert parse_pitch(pitch.name) == pitch


def test_real_signs_are_read():
    assert parse_pitch("F♯4") == parse_pitch("F#4")
    assert parse_pitch("B♭3") == parse_pitch("Bb3")
