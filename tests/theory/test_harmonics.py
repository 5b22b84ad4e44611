"""Harmonics: nodes and pitches computed from the string; the printed example of the A string from J. P. Fillmore, Harmonics on the Guitar (2008)."""

import pytest

from engrave.theory.harmonics import (
    artificial_harmonic,
    natural_harmonic,
    node_fret,
    partial_at,
    partial_semitones,
)


@pytest.mark.parametrize(
    ("open_midi", "fret", "midi"),
    [(40, 12, 52), (45, 7, 64), (55, 5, 79), (64, 9, 92), (50, 4, 78), (40, 19, 59), (45, 19, 64)],
)
def test_natural_harmonics(open_midi, fret, midi):
    assert natural_harmonic(open_midi, fret) == midi


def test_partials_against_equal_temperament():
    cents = [100 * (partial_semitones(k) - round(partial_semitones(k))) for k in (3, 5, 7)]
    assert cents == pytest.approx([1.955, -13.686, -31.174], abs=1e-3)


def test_nodes_of_the_fifth_partial():
    assert [node_fret(5, j) for j in range(1, 5)] == pytest.approx([3.86, 8.84, 15.86, 27.86], abs=0.006)


def test_an_artificial_harmonic_an_octave_up():
    assert artificial_harmonic(64, 2, 14) == 78


def test_no_node_at_the_first_fret():
    with pytest.raises(ValueError, match="fret 1"):
        partial_at(1)
