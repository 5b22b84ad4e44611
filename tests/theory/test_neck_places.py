"""Where scales and chords lie on a neck: the rule of positions against the patterns that method books print.

The five boxes of the minor pentatonic scale, the five forms of the major scale, three notes a string: common in method
books for guitar, for example W. Leavitt, "A Modern Method for Guitar", and T. Greene, "Chord Chemistry", all from memory.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.theory.instrument import PRESETS, TUNINGS, tuning_of, with_tuning
from engrave.theory.neck_places import (
    fingers_along_strings,
    fingers_in_position,
    midi_of,
    places_along_strings,
    places_between,
    places_in_position,
    places_of_triad,
)
from engrave.theory.scales import SCALES, build_scale, parse_tones

GUITAR = PRESETS["guitar"]


def strings_of(instrument):
    return range(1, instrument.strings + 1)


def in_position(text, position, instrument=GUITAR):
    """The frets string by string, the thickest first: "5 8 | 5 7 | ..."."""
    places = places_in_position(parse_tones(text), instrument, strings_of(instrument), position)
    return rows(places, instrument)


def rows(places, instrument=GUITAR):
    return " | ".join(
        " ".join(str(fret) for own, fret in places if own == string)
        for string in reversed(strings_of(instrument))
    )


@pytest.mark.parametrize(
    ("position", "printed"),
    [
        (5, "5 8 | 5 7 | 5 7 | 5 7 | 5 8 | 5 8"),
        (7, "8 10 | 7 10 | 7 10 | 7 9 | 8 10 | 8 10"),
        (9, "10 12 | 10 12 | 10 12 | 9 12 | 10 13 | 10 12"),
        (12, "12 15 | 12 15 | 12 14 | 12 14 | 13 15 | 12 15"),
        (2, "3 5 | 3 5 | 2 5 | 2 5 | 3 5 | 3 5"),
    ],
)
def test_the_five_boxes_of_the_minor_pentatonic_scale(position, printed):
    assert in_position("A minor pentatonic", position) == printed


@pytest.mark.parametrize(
    ("position", "printed"),
    [
        (1, "0 1 3 | 0 2 3 | 0 2 3 | 0 2 | 0 1 3 | 0 1 3"),
        (2, "3 5 | 2 3 5 | 2 3 5 | 2 4 5 | 3 5 6 | 3 5"),
        (5, "5 7 8 | 5 7 8 | 5 7 | 4 5 7 | 5 6 8 | 5 7 8"),
        (7, "7 8 10 | 7 8 10 | 7 9 10 | 7 9 10 | 8 10 | 7 8 10"),
        (10, "10 12 13 | 10 12 | 9 10 12 | 9 10 12 | 10 12 13 | 10 12 13"),
    ],
)
def test_the_five_forms_of_the_major_scale(position, printed):
    assert in_position("C major", position) == printed


@pytest.mark.parametrize(("one", "other"), [(4, 5), (9, 10), (2, 3)])
def test_a_form_is_the_same_whichever_finger_stretches(one, other):
    assert in_position("C major", one) == in_position("C major", other)


@pytest.mark.parametrize(
    ("instrument", "text", "position", "printed"),
    [
        ("ukulele", "C major", 1, " | 0 2 | 0 1 3 | 0 2 3"),  # the high fourth string doubles the others
        ("mandolin", "G major", 1, "0 2 4 5 | 0 2 4 5 | 0 2 3 5 | 0 2 3 5"),  # first position of fiddles
        ("bass", "G major", 2, "2 3 5 | 2 3 5 | 2 4 5 | 2 4 5"),
    ],
)
def test_positions_of_other_instruments(instrument, text, position, printed):
    assert in_position(text, position, PRESETS[instrument]) == printed


def test_three_notes_a_string_from_the_root():
    places = places_along_strings(parse_tones("G major"), GUITAR, strings_of(GUITAR), 3, 0)
    assert rows(places) == "3 5 7 | 3 5 7 | 4 5 7 | 4 5 7 | 5 7 8 | 5 7 8"
    fingers = fingers_along_strings(places)
    assert [fingers[5, fret] for fret in (3, 5, 7)] == ["1", "2", "4"]
    assert [fingers[4, fret] for fret in (4, 5, 7)] == ["1", "2", "4"]
    assert [fingers[2, fret] for fret in (5, 7, 8)] == ["1", "3", "4"]


@pytest.mark.parametrize(("inversion", "printed"), [(0, "7 | 7 | 5"), (1, "11 | 10 | 10"), (2, "2 | 3 | 2")])
def test_triads_on_the_three_thin_strings(inversion, printed):
    # D on strings 3 to 1: D F# A, F# A D, A D F#; common practice, worked out by hand.
    places = places_of_triad(parse_tones("D triad"), GUITAR, (1, 2, 3), inversion, 0)
    assert " | ".join(str(fret) for _, fret in places) == printed


def test_fingers_are_one_to_a_fret_and_stretch_at_the_ends():
    places = places_in_position(parse_tones("C major"), GUITAR, strings_of(GUITAR), 5)
    fingers = fingers_in_position(GUITAR, places, 5)
    assert fingers[3, 4] == "1"
    assert [fingers[6, fret] for fret in (5, 7, 8)] == ["1", "3", "4"]
    opened = places_in_position(parse_tones("C major"), GUITAR, strings_of(GUITAR), 1)
    assert [fingers_in_position(GUITAR, opened, 1)[5, fret] for fret in (0, 2, 3)] == ["0", "2", "3"]


INSTRUMENTS = [preset for preset in PRESETS.values() if preset.tuning]
TUNED = [with_tuning(GUITAR, tuning_of(name)) for name, strings in TUNINGS.items() if len(strings) == 6]
scales = st.builds(
    build_scale, st.sampled_from(sorted(SCALES)), st.tuples(st.integers(0, 6), st.integers(-1, 1))
)


@given(scales, st.sampled_from(INSTRUMENTS + TUNED), st.integers(1, 12))
def test_a_position_has_each_pitch_once_within_the_hand(tones, instrument, position):
    places = places_in_position(tones, instrument, strings_of(instrument), position)
    pitches = [midi_of(instrument, place) for place in places]
    assert len(set(pitches)) == len(pitches)
    assert {pitch % 12 for pitch in pitches} <= set(tones.by_pitch_class)
    assert set(places) <= set(places_between(tones, instrument, strings_of(instrument), 0, instrument.frets))


@given(scales, st.integers(1, 17))
def test_a_position_of_the_usual_guitar_leaves_no_tone_out(tones, position):
    places = places_in_position(tones, GUITAR, strings_of(GUITAR), position)
    pitches = {midi_of(GUITAR, place) for place in places}
    between = {midi for midi in range(min(pitches), max(pitches)) if midi % 12 in tones.by_pitch_class}
    assert between <= pitches


@given(scales, st.sampled_from(INSTRUMENTS + TUNED))
def test_the_whole_neck_has_every_place_of_every_tone(tones, instrument):
    places = places_between(tones, instrument, strings_of(instrument), 0, instrument.frets)
    for string in strings_of(instrument):
        frets = [fret for own, fret in places if own == string]
        expected = [
            fret
            for fret in range(instrument.frets + 1 - (instrument.first_frets or (0,) * 8)[string - 1])
            if (instrument.tuning[string - 1].midi + fret) % 12 in tones.by_pitch_class
        ]
        assert frets == expected
