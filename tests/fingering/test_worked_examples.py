"""Worked examples of the model in which only hand travel counts (costs by an independent program, checked by brute force)."""

import pytest

from engrave.fingering.solve import Solver
from tests.fingering.hands import EVEN_NECK, TRAVEL, melody, midi, positions, scale, spots


def solve(pitches, opens=True):
    return Solver(EVEN_NECK, TRAVEL, extensions=False).solve(melody(pitches, EVEN_NECK, opens, 1.0))


def test_three_notes_lie_under_the_hand_in_first_position():
    way = solve(midi("F2 D4 E3"))
    assert way.cost == 0
    assert spots(way) == [((6, 1, 1),), ((2, 3, 3),), ((4, 2, 2),)]


def test_two_octaves_of_g_major_lie_in_second_position():
    way = solve(scale(43), opens=False)
    assert way.cost == 0
    assert set(positions(way)) == {2}
    assert all(spot.finger == spot.fret - 1 for step in way.steps for spot in step.grip.spots)


def test_two_octaves_of_c_major_lie_in_seventh_position():
    way = solve(scale(48), opens=False)
    assert way.cost == 0
    assert set(positions(way)) == {7}


@pytest.mark.parametrize(
    ("pitches", "opens", "cost"),
    [
        (scale(41), False, 4),  # F major, two octaves
        (range(40, 77), True, 8),  # chromatic E2 to E5
        (range(41, 77), False, 16),  # chromatic F2 to E5
        (
            midi("A2 C3 D3 E3 G3 A3 C4 D4 E4 G4 A4 C5"),
            False,
            0,
        ),  # A minor pentatonic, position V
        (scale(48, 8), True, 0),
    ],
)
def test_the_hand_travels_no_further_than_it_must(pitches, opens, cost):
    assert solve(pitches, opens).cost == cost


def test_the_pentatonic_scale_lies_in_fifth_position():
    assert set(positions(solve(midi("A2 C3 D3 E3 G3 A3 C4 D4 E4 G4 A4 C5"), opens=False))) == {5}
