"""Spelling: diatonic notes by the key (computed, and against music21), others by the way they move (common practice, no source)."""

import time

import music21
import pytest

from engrave.theory.key import parse_key
from engrave.theory.spelling import spell_in_context, spell_midi


@pytest.mark.parametrize(
    ("key", "midi", "name"),
    [
        ("A major", 61, "C#4"),
        ("Ab major", 61, "Db4"),
        ("G major", 66, "F#4"),
        ("Db major", 66, "Gb4"),
        ("F major", 70, "Bb4"),
        ("B major", 70, "A#4"),
        ("Gb major", 71, "Cb5"),
        ("C# major", 60, "B#3"),
    ],
)
def test_notes_of_the_key(key, midi, name):
    assert spell_midi(midi, parse_key(key)).name == name


def test_a_leading_note_that_resolves_upwards_is_raised():
    assert spell_midi(68, parse_key("A minor"), following=69).name == "G#4"


def test_a_chromatic_step_down_is_lowered():
    assert spell_midi(63, parse_key("C major"), following=62).name == "Eb4"
    assert spell_midi(63, parse_key("C major"), following=64).name == "D#4"


@pytest.mark.parametrize("fifths", range(-7, 8))
def test_scales_agree_with_music21(fifths):
    scale = music21.key.KeySignature(fifths).asKey("major").pitches
    key = parse_key(scale[0].name.replace("-", "b") + " major")
    for pitch in scale:
        assert spell_midi(pitch.midi, key).name == pitch.nameWithOctave.replace("-", "b")


@pytest.mark.parametrize("fifths", range(-7, 8))
def test_every_spelling_sounds_right_with_at_most_two_signs(fifths):
    key = parse_key("C major").__class__(fifths)
    for midi in range(20, 110):
        for following in (None, midi - 1, midi + 1):
            pitch = spell_midi(midi, key, following=following)
            assert pitch.midi == midi
            assert abs(pitch.alter) <= 2


def test_context_takes_the_neighbour_a_semitone_away():
    rows = spell_in_context([[61], [62], [61], [60]], [parse_key("C major")] * 4)
    assert [row[0].name for row in rows] == ["C#4", "D4", "Db4", "C4"]


def test_spelling_is_linear():
    key = parse_key("G major")
    start = time.perf_counter()
    spell_in_context([[60 + i % 12] for i in range(75_000)], [key] * 75_000)
    assert time.perf_counter() - start < 5
