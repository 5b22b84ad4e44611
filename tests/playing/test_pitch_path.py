"""How the pitch moves under the vibrato bar, bends and slides."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.playing.performance import perform
from engrave.playing.pitch_path import pitch_path
from tests.reading.helpers import read


def notes(text):
    return perform(read(f"score: 1\ntempo: 1/4 = 60\nmeasures:\n  - notes: [{text}]\n")).notes


def path(detail, seconds=4.0):
    (note,) = notes(f"1/1: {{3: {{fret: 12, {detail}}}}}")
    return [pitch_path(note, seconds).at(seconds * step / 400) for step in range(401)]


# Amounts are in whole steps, two semitones each (theory/vibrato_bar.py); directions as theory/vibrato_bar.KINDS says.
def test_a_dip_goes_down_and_back_at_once():
    found = path("vibrato-bar: dip 1/2")
    assert (found[0], found[-1]) == (0, 0)
    assert min(found) == pytest.approx(-1, abs=0.1)
    assert max(found) == 0
    assert sum(by < -0.01 for by in found) < 40


def test_a_dive_goes_down_and_stays():
    found = path("vibrato-bar: dive 2")
    assert (found[0], found[-1]) == (0, -4)
    assert found == sorted(found, reverse=True)


def test_a_scoop_comes_from_below():
    found = path("vibrato-bar: scoop")
    assert found[0] < 0 == found[-1]
    assert found == sorted(found)


def test_a_vibrato_of_the_bar_swings_to_both_sides():
    found = path("vibrato-bar: vibrato")
    assert max(found) == pytest.approx(-min(found), abs=0.02)
    assert max(found) > 0.4


def test_a_dive_on_a_tied_note_begins_there():
    (note,) = notes("1/2: {3: 12}, 1/2: {3: {fret: tie, vibrato-bar: dive 2}}")
    found = pitch_path(note, 4.0)
    assert found.at(2.0) == 0
    assert found.at(4.0) == -4


def test_a_release_on_a_tied_note_begins_there():
    (note,) = notes("1/2.: {3: {fret: 12, bend: full}}, 1/4: {3: {fret: tie, bend: release}}")
    found = pitch_path(note, 4.0)
    assert [found.at(time) for time in (0, 1, 3, 4)] == [0, 2, 2, 0]


def test_a_struck_slide_takes_the_note_before_with_it_and_a_slurred_slide_the_one_after():
    first, second = notes("1/2: {3: 5}, 1/2: {3: 9 slide}")
    assert pitch_path(first, 2.0).at(2.0) == 4
    assert pitch_path(second, 2.0).is_still
    first, second = notes("1/2: {3: 5}, 1/2: {3: 9 slurred-slide}")
    assert pitch_path(first, 2.0).is_still
    assert [pitch_path(second, 2.0).at(time) for time in (0.0, 1.0)] == [-4, 0]


@given(
    st.sampled_from(
        [
            "bend: full release",
            "bend: pre 1/2 then full",
            "vibrato-bar: dip",
            "vibrato-bar: dive 3",
            "vibrato-bar: scoop 1",
        ]
    ),
    st.floats(0.02, 20),
)
def test_the_pitch_never_leaps_however_short_the_note(detail, seconds):
    (note,) = notes(f"1/1: {{3: {{fret: 12, {detail}}}}}")
    found = pitch_path(note, seconds)
    steps = [found.at(seconds * step / 1000) for step in range(1001)]
    assert max(abs(a - b) for a, b in pairwise(steps)) < 0.5
    assert note.length == Fraction(1)
