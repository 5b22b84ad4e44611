"""Music moved to another key; intervals are checked against music21, a general library."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from music21 import interval as intervals
from music21 import pitch as pitches

from engrave.theory.chord_name import parse_chord_name, pitch_classes, root_semitone
from engrave.theory.key import Key, Mode, parse_key
from engrave.theory.pitch import Pitch, parse_pitch
from engrave.theory.transposition import (
    Interval,
    fit_interval,
    interval_between,
    interval_of,
    transpose_chord,
    transpose_key,
    transpose_pitch,
)

spelled = st.builds(Pitch, st.integers(0, 6), st.integers(-1, 1), st.integers(2, 6))
keys = st.builds(Key, st.integers(-7, 7), st.sampled_from([Mode.MAJOR, Mode.MINOR, Mode.DORIAN]))


@pytest.mark.parametrize("name", ["M2", "m3", "P4", "P5", "m6", "M7", "A1", "-M2", "-P5", "P8", "-m3"])
@pytest.mark.parametrize("start", ["C4", "F#4", "Bb3", "E5", "Ab2"])
def test_pitches_move_as_music21_moves_them(name, start):
    step = intervals.Interval(name)
    moved = pitches.Pitch(start.replace("b", "-")).transpose(step)
    expected = parse_pitch(moved.nameWithOctave.replace("-", "b"))
    assert transpose_pitch(parse_pitch(start), Interval(step.semitones, _fifths(step))) == expected


def _fifths(step):
    """Fifths from C to the note that the interval leads to."""
    note = pitches.Pitch("C4").transpose(step)
    return {"C": 0, "D": 2, "E": 4, "F": -1, "G": 1, "A": 3, "B": 5}[note.step] + 7 * int(note.alter)


@given(spelled, st.integers(-24, 24), keys)
def test_a_pitch_moves_by_its_semitones(pitch, semitones, key):
    assert transpose_pitch(pitch, interval_of(semitones, key)).midi == pitch.midi + semitones


@given(spelled, st.integers(-11, 11), keys)
def test_there_and_back_is_the_same_note(pitch, semitones, key):
    there = interval_of(semitones, key)
    back = Interval(-there.semitones, -there.fifths)
    assert transpose_pitch(transpose_pitch(pitch, there), back).midi == pitch.midi


@given(keys, keys, st.integers(-24, 24))
def test_music_under_any_key_moves_with_its_key(first, later, semitones):
    """The tonic of a later key is still its tonic after the move, by name."""
    way = fit_interval(interval_of(semitones, first), later)
    step, alter = later.tonic
    moved = transpose_pitch(Pitch(step, alter, 4), way)
    assert moved.midi == Pitch(step, alter, 4).midi + semitones
    assert (moved.step, moved.alter) == transpose_key(later, way).tonic


@given(keys, st.integers(-24, 24))
def test_a_key_never_gets_more_than_seven_signs(key, semitones):
    assert abs(transpose_key(key, interval_of(semitones, key)).fifths) <= 7


@pytest.mark.parametrize(
    ("old", "new", "semitones"),
    [
        ("G major", "A major", 2),
        ("A major", "G major", -2),
        ("E minor", "A minor", 5),
        ("C major", "Eb major", 3),
    ],
)
def test_the_interval_between_two_keys_is_the_near_one(old, new, semitones):
    found = interval_between(parse_key(old), parse_key(new))
    assert found.semitones == semitones
    assert transpose_key(parse_key(old), found) == parse_key(new)


def test_a_mode_cannot_change():
    with pytest.raises(ValueError, match="only the tonic"):
        interval_between(parse_key("C major"), parse_key("C minor"))


@pytest.mark.parametrize(
    ("name", "key", "semitones", "moved"),
    [
        ("G", "G major", 2, "A"),
        ("D7/F#", "G major", 2, "E7/G#"),
        ("Bbmaj7", "F major", 2, "Cmaj7"),
        ("F#m7b5", "A major", -1, "Fm7b5"),
        ("N.C.", "G major", 3, "N.C."),
    ],
)
def test_chord_names_move_with_their_bass(name, key, semitones, moved):
    found = transpose_chord(parse_chord_name(name), interval_of(semitones, parse_key(key)))
    assert found.text == moved


@given(st.sampled_from(["C", "F#m7", "Eb6/9", "Bsus4", "G13b9", "Abdim7"]), st.integers(-11, 11), keys)
def test_a_chord_keeps_its_kind(name, semitones, key):
    old = parse_chord_name(name)
    new = transpose_chord(old, interval_of(semitones, key))
    assert pitch_classes(new) == pitch_classes(old)
    assert root_semitone(new) == (root_semitone(old) + semitones) % 12
