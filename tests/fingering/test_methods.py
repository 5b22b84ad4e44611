"""Scales and chords come out as method books teach them (positions: common practice, no source)."""

import pytest

from engrave.fingering.hand import load_hand
from engrave.fingering.solve import Solver
from tests.fingering.hands import GUITAR, USUAL, melody, midi, moment, positions, scale, spots

ROOTS = {"G": 43, "A": 45, "Bb": 46, "B": 47, "C": 48}


@pytest.mark.parametrize(("key", "position"), [("G", 2), ("A", 4), ("Bb", 5), ("B", 6), ("C", 7)])
@pytest.mark.parametrize("hand", ["intermediate", "advanced"])
def test_closed_major_scales_of_two_octaves_stay_in_one_position(key, position, hand):
    """The first finger one fret below the root on the sixth string: the movable major scale of all methods."""
    way = Solver(GUITAR, load_hand(hand)).solve(melody(scale(ROOTS[key]), opens=False))
    assert set(positions(way)) == {position}


@pytest.mark.parametrize("names", ["E2", "F2", "G2"])
def test_scales_that_start_on_low_frets_are_played_in_first_position_with_open_strings(names):
    way = Solver(GUITAR, USUAL).solve(melody(scale(midi(names)[0])))
    assert set(positions(way)) == {1}


@pytest.mark.parametrize(
    ("pitches", "held"),
    [
        ("C3 E3 G3 C4 E4", {(5, 3, 3), (4, 2, 2), (3, 0, 0), (2, 1, 1), (1, 0, 0)}),
        ("A2 E3 A3 C4 E4", {(5, 0, 0), (4, 2, 2), (3, 2, 3), (2, 1, 1), (1, 0, 0)}),
        ("D3 A3 D4 F#4", {(4, 0, 0), (3, 2, 1), (2, 3, 3), (1, 2, 2)}),
        ("E2 B2 E3 G#3 B3 E4", {(6, 0, 0), (5, 2, 2), (4, 2, 3), (3, 1, 1), (2, 0, 0), (1, 0, 0)}),
        ("F2 C3 F3 A3 C4 F4", {(6, 1, 1), (5, 3, 3), (4, 3, 4), (3, 2, 2), (2, 1, 1), (1, 1, 1)}),
    ],
)
def test_open_chords_are_fingered_as_everybody_learns_them(pitches, held):
    (chord,) = spots(Solver(GUITAR, USUAL).solve([moment(midi(pitches))]))
    assert set(chord) == held
