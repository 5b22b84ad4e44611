"""Counting aloud: common practice, no source, unless said otherwise beside the check."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.theory import counting
from engrave.theory.counting import CountingWords
from engrave.theory.metre import parse_metre

METRES = (
    "2/4",
    "3/4",
    "4/4",
    "C",
    "cut C",
    "6/8",
    "9/8",
    "12/8",
    "3/8",
    "5/8",
    "3+2/8",
    "3+2/4",
    "4/8",
    "6/4",
    "6/16",
)
MOMENTS = st.lists(st.builds(Fraction, st.integers(0, 191), st.just(96)), max_size=20)


WORDS = CountingWords("&", "e", "a", "trip", "let")


def count_syllables(*arguments, **options):
    return counting.count_syllables(*arguments, **{"words": WORDS, **options})


def every(step, count):
    return [Fraction(step) * i for i in range(count)]


def said(metre, onsets, *rest, **options):
    return " ".join(word for _, word in count_syllables(parse_metre(metre), onsets, *rest, **options))


@pytest.mark.parametrize(
    ("metre", "step", "count", "words"),
    [
        ("4/4", "1/16", 16, "1 e & a 2 e & a 3 e & a 4 e & a"),
        ("4/4", "1/8", 8, "1 & 2 & 3 & 4 &"),
        ("2/4", "1/32", 16, "1 e & a 2 e & a"),
        ("2/4", "1/12", 6, "1 trip let 2 trip let"),
        ("2/4", "1/24", 12, "1 trip & let 2 trip & let"),
        ("2/4", "1/20", 10, "1 2"),
        ("cut C", "1/4", 4, "1 & 2 &"),
        ("2/2", "1/8", 8, "1 e & a 2 e & a"),
        ("2/2", "1/6", 6, "1 trip let 2 trip let"),
        ("6/8", "1/8", 6, "1 2 3 4 5 6"),
        ("6/8", "1/16", 12, "1 & 2 & 3 & 4 & 5 & 6 &"),
        ("6/8", "3/16", 4, "1 & 4 &"),
        ("6/8", "1/24", 18, "1 2 3 4 5 6"),
        ("9/8", "3/8", 3, "1 4 7"),
        ("12/8", "1/8", 12, "1 2 3 4 5 6 7 8 9 10 11 12"),
        ("3/8", "1/16", 6, "1 & 2 & 3 &"),
        ("3+2/8", "1/8", 5, "1 2 3 4 5"),
        ("7/8", "1/8", 7, "1 2 3 4 5 6 7"),
        ("3+2/4", "1/8", 10, "1 & 2 & 3 & 4 & 5 &"),
        ("4/8", "1/16", 8, "1 & 2 & 3 & 4 &"),
        ("6/4", "1/4", 6, "1 2 3 4 5 6"),
    ],
)
def test_even_divisions(metre, step, count, words):
    assert said(metre, every(step, count)) == words


def test_only_moments_at_which_something_starts():
    onsets = [Fraction(n, 16) for n in (0, 1, 2, 3, 4, 6, 8)]
    assert said("4/4", onsets) == "1 e & a 2 & 3"


def test_moments_count_from_the_measure_in_order_and_once():
    onsets = [Fraction(1, 4), Fraction(0), Fraction(1, 8), Fraction(0)]
    assert count_syllables(parse_metre("4/4"), onsets) == [
        (0, "1"),
        (Fraction(1, 8), "&"),
        (Fraction(1, 4), "2"),
    ]


def test_a_pickup_is_counted_from_where_it_enters():
    assert said("4/4", every("1/8", 3), Fraction(5, 8)) == "& 4 &"
    assert count_syllables(parse_metre("3/4"), [Fraction(0)], Fraction(1, 2)) == [(0, "3")]


def test_silent_beats_stand_in_parentheses():
    assert said("4/4", [Fraction(0), Fraction(5, 8)], all_beats=True) == "1 (2) (3) & (4)"
    assert said("6/8", [Fraction(0), Fraction(3, 8)], all_beats=True) == "1 (2) (3) 4 (5) (6)"


def test_silent_beats_keep_to_the_measure():
    assert said("4/4", [], Fraction(5, 8), all_beats=True) == "(4)"
    assert said("4/4", [Fraction(0)], all_beats=True, length=Fraction(3, 4)) == "1 (2) (3)"
    assert said("4/4", [], all_beats=True, length=Fraction(5, 8)) == "(1) (2) (3)"


def test_other_words():
    others = CountingWords("und", "e", "de", "te", "")
    assert said("2/4", [*every("1/16", 4), *every("1/12", 6)], words=others) == "1 e te und de 2 te"


def test_onsets_before_the_measure_are_refused():
    with pytest.raises(ValueError, match="0 or more"):
        count_syllables(parse_metre("4/4"), [Fraction(-1, 4)])
    with pytest.raises(ValueError, match="0 or more"):
        count_syllables(parse_metre("4/4"), [], Fraction(-1, 4))


@given(st.sampled_from(METRES), MOMENTS, st.integers(0, 16), st.booleans())
def test_one_syllable_at_a_moment_in_order(text, onsets, late, all_beats):
    counted = count_syllables(parse_metre(text), onsets, Fraction(late, 32), all_beats=all_beats)
    moments = [moment for moment, _ in counted]
    assert moments == sorted(set(moments))
    assert all(word for _, word in counted)
    silent = {moment for moment, word in counted if word.startswith("(")}
    assert set(moments) - silent <= set(onsets)
    assert not silent & set(onsets)
    assert all_beats or not silent


@given(st.sampled_from(METRES), MOMENTS, st.integers(0, 16))
def test_every_counted_unit_gets_its_number(text, onsets, late):
    metre, offset = parse_metre(text), Fraction(late, 32)
    counted = dict(count_syllables(metre, onsets, offset))
    for onset in onsets:
        number = (onset + offset) * metre.unit + 1
        assert (counted.get(onset) == str(number)) == (number.denominator == 1)


@given(st.sampled_from(METRES))
def test_every_felt_beat_gets_a_number(text):
    metre = parse_metre(text)
    counted = count_syllables(metre, metre.beats)
    assert [moment for moment, _ in counted] == list(metre.beats)
    assert all(word.isdigit() for _, word in counted)


@given(st.sampled_from(METRES), MOMENTS, st.integers(0, 16))
def test_a_pickup_is_the_end_of_a_whole_measure(text, onsets, late):
    metre, offset = parse_metre(text), Fraction(late, 32)
    whole = count_syllables(metre, [onset + offset for onset in onsets])
    assert count_syllables(metre, onsets, offset) == [(moment - offset, word) for moment, word in whole]
