"""Note values and tuplets: exact fractions, computed from the definitions."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.theory.duration import (
    DENOMINATORS,
    decompose_length,
    note_value,
    parse_note_value,
    parse_tuplet,
)


def test_dotted_values():
    assert parse_note_value("1/2..").length == Fraction(7, 8)
    assert parse_note_value("1/4.").length == Fraction(3, 8)


def test_tuplets_divide_their_time():
    assert parse_tuplet("3 in 2 of 1/8").factor * Fraction(1, 8) == Fraction(1, 12)
    assert parse_tuplet("5 in 4 of 1/16").factor * Fraction(1, 16) == Fraction(1, 20)
    assert parse_tuplet("3 in 2 of 1/8").length == Fraction(1, 4)


def test_sums_of_bars():
    measure = (
        parse_note_value("1/4.").length + parse_note_value("1/8").length + parse_note_value("1/2").length
    )
    assert measure == 1
    assert Fraction(1, 2) + Fraction(1, 4) + Fraction(1, 8) - Fraction(3, 4) == Fraction(1, 8)


@pytest.mark.parametrize("denominator", DENOMINATORS)
def test_flags_follow_the_value(denominator):  # common practice, no source
    assert note_value(denominator).flags == {1: 0, 2: 0, 4: 0, 8: 1, 16: 2, 32: 3, 64: 4}[denominator]


@pytest.mark.parametrize("text", ["1/3", "1/128", "1/4...", "quarter", "4", ""])
def test_unknown_values_are_refused(text):
    with pytest.raises(ValueError, match="1/64"):
        parse_note_value(text)


@pytest.mark.parametrize(
    "text", ["3 in 2", "1 in 2 of 1/8", "3 of 2 in 1/8", "3 in 0 of 1/8", "3 in 2 of 1/5"]
)
def test_bad_tuplets_are_refused(text):
    with pytest.raises(ValueError):
        parse_tuplet(text)


@given(st.integers(1, 256))
def test_lengths_decompose_and_add_up(sixty_fourths):
    length = Fraction(sixty_fourths, 64)
    values = decompose_length(length)
    assert sum(value.length for value in values) == length
    assert [v.length for v in values] == sorted((v.length for v in values), reverse=True)


def test_equal_values_are_one_object():
    assert parse_note_value("1/8.") is note_value(8, 1)


def test_a_third_cannot_be_written():
    with pytest.raises(ValueError, match="1/3"):
        decompose_length(Fraction(1, 3))
