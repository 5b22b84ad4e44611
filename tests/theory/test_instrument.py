"""Fretted instruments: pitches and places computed from the tunings (tunings: common practice, no source)."""

import pytest

from engrave.theory.instrument import (
    PRESETS,
    TUNINGS,
    Instrument,
    letter_name,
    parse_tuning,
    tuning_of,
    with_capo,
    with_tuning,
)
from engrave.theory.pitch import parse_pitch

GUITAR = PRESETS["guitar"]


@pytest.mark.parametrize(
    ("string", "fret", "midi"),
    [
        (1, 0, 64),
        (1, 12, 76),
        (6, 24, 64),
        (5, 3, 48),
        (2, 1, 60),
        (3, 4, 59),
        (4, 2, 52),
        (6, 5, 45),
        (1, 24, 88),
    ],
)
def test_guitar_frets(string, fret, midi):
    assert GUITAR.sounding_midi(string, fret) == midi


def test_more_and_fewer_strings():
    assert PRESETS["guitar-7"].sounding_midi(7, 5) == 40
    assert PRESETS["guitar-8"].sounding_midi(8, 10) == 40
    assert PRESETS["bass"].sounding_midi(4, 5) == 33


@pytest.mark.parametrize(
    ("midi", "places"),
    [
        (64, [(1, 0), (2, 5), (3, 9), (4, 14), (5, 19), (6, 24)]),
        (40, [(6, 0)]),
        (41, [(6, 1)]),
        (52, [(4, 2), (5, 7), (6, 12)]),
        (60, [(2, 1), (3, 5), (4, 10), (5, 15), (6, 20)]),
        (76, [(1, 12), (2, 17), (3, 21)]),
        (88, [(1, 24)]),
    ],
)
def test_all_places_of_a_pitch(midi, places):
    assert list(GUITAR.places(midi)) == places


def test_nineteen_frets_leave_five_places():  # "as many as five": Tuohy and Potter, ICMC 2005
    classical = Instrument("classical guitar", GUITAR.tuning, 19)
    assert len(classical.places(64)) == 5


def test_a_capo_raises_the_sound_and_not_the_writing():  # MusicXML 4.0, capo
    third = with_capo(GUITAR, 3)
    assert third.sounding_midi(4, 2) == 55
    assert third.written_midi(4, 2) == GUITAR.written_midi(4, 2)
    shape = {
        with_capo(GUITAR, 2).sounding_midi(s, f) % 12 for s, f in ((5, 3), (4, 2), (3, 0), (2, 1), (1, 0))
    }
    assert shape == {2, 6, 9}


def test_drop_d_and_dadgad():
    drop = with_tuning(GUITAR, parse_tuning(TUNINGS["drop D"]))
    assert [drop.sounding_midi(s, 0) for s in (6, 5, 4)] == [38, 45, 50]
    dadgad = parse_tuning(TUNINGS["DADGAD"])
    assert {pitch.midi % 12 for pitch in dadgad} == {2, 7, 9}


def test_guitar_and_bass_are_written_an_octave_above_sound():  # MusicXML 4.0, transpose
    assert GUITAR.written_midi(1, 0) - GUITAR.sounding_midi(1, 0) == 12
    assert PRESETS["bass"].written_midi(4, 0) == parse_pitch("E2").midi
    assert PRESETS["ukulele"].written_midi(1, 0) == PRESETS["ukulele"].sounding_midi(1, 0)


def test_the_ukulele_is_reentrant():
    assert [p.midi for p in PRESETS["ukulele"].tuning] == [69, 64, 60, 67]


def test_four_to_eight_strings_are_there():
    assert {preset.strings for preset in PRESETS.values()} == {0, 4, 5, 6, 7, 8}


def test_letters_of_strings():
    assert letter_name(parse_pitch("Eb2")) == "E♭"
    assert GUITAR.string_names == ("E", "B", "G", "D", "A", "E")


@pytest.mark.parametrize("text", ["D2 A2 D3 G3 B3 E4", "D2,A2, D3 G3,B3 E4", "drop D"])
def test_a_tuning_by_name_or_by_pitches(text):
    assert tuning_of(text) == parse_tuning(["D2", "A2", "D3", "G3", "B3", "E4"])


@pytest.mark.parametrize("text", ["", "drop", "D2 A2 D3", "H2 A2 D3 G3", "E2 E2 E2 E2 E2 E2 E2 E2 E2"])
def test_what_is_no_tuning_is_refused(text):
    with pytest.raises(ValueError):
        tuning_of(text)


def test_with_fewer_strings_none_of_them_is_short():
    """A banjo's fifth string starts at its fifth fret (common practice, no source); four strings are all whole."""
    assert PRESETS["banjo"].first_frets[4] == 5
    four = with_tuning(PRESETS["banjo"], parse_tuning(["C3", "G3", "D4", "A4"]))
    assert four.first_frets == ()
    assert four.is_usual_tuning
    five = with_tuning(PRESETS["banjo"], parse_tuning(["G4", "C3", "G3", "B3", "D4"]))
    assert five.first_frets == PRESETS["banjo"].first_frets
    assert not five.is_usual_tuning
