"""Trills, mordents, turns and tremolos played out."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.playing.ornaments import ORNAMENTS, decide_figures, neighbour, quick_value, strike
from engrave.playing.performance import perform
from engrave.theory.key import parse_key
from engrave.theory.pitch import parse_pitch
from tests.reading.helpers import read

B3, C4, D4, E4 = 59, 60, 62, 64


def played(event, head="key: C major\ntempo: 1/4 = 60\n"):
    return perform(read(f"score: 1\n{head}measures:\n  - notes: [{event}]\n")).notes


def pitches(event):
    return [note.midi for note in played(event)]


# MusicXML 4.0, ornaments: the mordent is the sign with the vertical line, the inverted one has none. That the line
# stands for the lower note, and in which order a turn goes, is common practice (no source).
@pytest.mark.parametrize(
    ("name", "wanted"),
    [
        ("mordent", [C4, B3, C4]),
        ("inverted-mordent", [C4, D4, C4]),
        ("turn", [D4, C4, B3, C4]),
        ("inverted-turn", [B3, C4, D4, C4]),
        ("delayed-turn", [C4, D4, C4, B3, C4]),
        ("delayed-inverted-turn", [C4, B3, C4, D4, C4]),
    ],
)
def test_ornaments_go_to_the_neighbours_in_the_key(name, wanted):
    assert pitches(f"1/1: {{2: 1 {name}}}") == wanted


def test_a_trill_goes_to_the_upper_note_and_ends_on_its_own():
    found = pitches("1/1: {2: 1 trill}")
    assert set(found) == {C4, D4}
    assert found[0] == found[-1] == C4
    assert all(a != b for a, b in pairwise(found))


def test_a_trill_goes_to_the_fret_that_is_written():
    assert set(pitches("1/1: {2: {fret: 1, trill: 5}}")) == {C4, E4}


def test_a_tied_trill_goes_on():
    found = played("1/2: {2: {fret: 1, marks: [trill]}}, 1/2: tie")
    assert max(note.start for note in found) >= Fraction(7, 8)


def test_ornaments_on_a_chord_belong_to_the_note_they_are_written_on():
    found = played("1/1: {2: 1 mordent, 1: 0}")
    assert [note.midi for note in found if note.string == 1] == [64]
    assert [note.midi for note in found if note.string == 2] == [C4, B3, C4]


def test_only_the_first_note_of_an_ornament_is_struck():
    first, second, _ = played("1/1: {2: 1 mordent}")
    assert second.loudness < first.loudness
    assert "hammer-on" in second.signs


@pytest.mark.parametrize(("name", "count"), [("tremolo-eighths", 4), ("tremolo-sixteenths", 8)])
def test_a_measured_tremolo_has_the_strokes_that_are_written(name, count):
    # Common practice, no source: one slash divides a note into eighths, two into sixteenths.
    found = played(f"1/2: {{2: 1 {name}}}, 1/2: rest")
    assert [note.start for note in found] == [Fraction(n, 2 * count) for n in range(count)]
    assert len({note.loudness for note in found}) == 1


def test_an_unmeasured_tremolo_is_about_as_quick_at_every_tempo():
    counts = [
        len(played("1/1: {2: 1 tremolo}", f"tempo: 1/4 = {tempo}\n")) * tempo / 240 for tempo in (50, 96, 180)
    ]
    assert counts == pytest.approx([12, 12, 12], rel=0.3)


def test_a_bend_under_a_tremolo_stays_bent():
    first, *others = played("1/4: {2: {fret: 3, bend: full, marks: [tremolo-sixteenths]}}, 1/2.: rest")
    assert [step.semitones for step in first.bend] == [2]
    assert all(note.bend[0].kind.value == "pre-bend" and note.bend[0].semitones == 2 for note in others)


@pytest.mark.parametrize(
    ("pitch", "key", "above", "below"),
    [
        ("C4", "C major", 2, -1),
        ("F#4", "G major", 1, -2),
        ("E4", "C major", 1, -2),
        ("E#4", "C major", 1, -2),
        ("Bb3", "F major", 2, -1),
    ],
)
def test_neighbours_are_those_of_the_key(pitch, key, above, below):
    found = [neighbour(parse_pitch(pitch), parse_key(key), way) for way in (1, -1)]
    assert found == [above, below]


lengths = st.fractions(Fraction(1, 64), Fraction(4), max_denominator=96)


@given(st.sampled_from(ORNAMENTS), lengths, st.floats(20, 400))
def test_ornaments_fill_their_note_without_gap_or_overlap(name, length, quarters):
    figures = decide_figures(name, length, quick_value(quarters, 10), 2, -1)
    now = Fraction(0)
    for figure in figures:
        assert figure.start == now
        assert figure.length > 0
        now += figure.length
    assert now == length
    assert figures[-1].above == 0


@given(lengths, st.sampled_from([Fraction(1, 8), Fraction(1, 16), Fraction(1, 32)]))
def test_strokes_fill_their_note(length, value):
    strokes = strike(length, value)
    assert sum(stroke.length for stroke in strokes) == length
    assert abs(len(strokes) - length / value) <= 1
