"""Strum patterns as note values: what is taught is written as books write it."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.reading.strums import read_shipped_strums
from engrave.score.strums import (
    Stroke,
    StrumPattern,
    fits,
    lay_out_strokes,
    parse_strum_row,
    say_misfit,
    strike_changes,
)
from engrave.theory.metre import parse_metre

METRES = ("2/4", "3/4", "4/4", "C", "cut C", "6/8", "9/8", "12/8", "5/8", "7/8", "3/2")
SHIPPED = [(name, row) for name, pattern in read_shipped_strums().items() for row in pattern.rows]


def written(text, time="4/4"):
    metre = parse_metre(time)
    return " ".join(
        f"{piece.value.name[2:]}{piece.stroke}" for piece in lay_out_strokes(parse_strum_row(text), metre)
    )


@pytest.mark.parametrize(
    ("text", "time", "values"),
    [
        ("d d d d", "4/4", "4d 4d 4d 4d"),
        ("d - d u - u d u", "4/4", "4d 8d 8u 8- 8u 8d 8u"),  # the middle of 4/4 is seen
        ("d u - u d u d u", "4/4", "8d 4u 8u 8d 8u 8d 8u"),  # a quarter between two beats is usual
        ("d - d u - u d u", "cut C", "4d 8d 8u 8- 8u 8d 8u"),
        ("d - - d - u", "6/8", "4.d 4d 8u"),
        ("d - u - - u", "6/8", "4d 8u 4- 8u"),  # no value over the second beat but from the first
        ("d - d u d u", "3/4", "4d 8d 8u 8d 8u"),
        ("- d - d", "2/4", "8r 4d 8d"),  # nothing sounds yet: silence
        ("d r r r", "4/4", "4d 2.r"),
        ("d", "4/4", "1d"),
    ],
)
def test_a_row_is_written_in_the_values_of_its_metre(text, time, values):
    """Common practice, no source."""
    assert written(text, time) == values


@given(
    st.lists(st.sampled_from(list(Stroke)), min_size=1, max_size=24).filter(
        lambda row: {Stroke.DOWN, Stroke.UP} & set(row)
    ),
    st.sampled_from(METRES),
)
def test_values_fill_the_measure_and_keep_every_stroke(strokes, time):
    metre, row = parse_metre(time), parse_strum_row(" ".join(strokes))
    if not fits(row, metre):
        return
    pieces = lay_out_strokes(row, metre)
    at = Fraction(0)
    for piece in pieces:
        assert piece.onset == at
        at += piece.value.length
    assert at == metre.length
    count = metre.length / len(strokes)
    struck = [(n * count, s) for n, s in enumerate(strokes) if s in (Stroke.DOWN, Stroke.UP)]
    assert [(p.onset, p.stroke) for p in pieces if p.stroke in (Stroke.DOWN, Stroke.UP)] == struck


@given(st.lists(st.sampled_from(list(Stroke)), min_size=8, max_size=8))
def test_no_value_hides_the_middle_of_a_measure_unless_it_starts_on_a_beat(strokes):
    """Common practice, no source."""
    metre = parse_metre("4/4")
    strokes[0] = Stroke.DOWN
    for piece in lay_out_strokes(parse_strum_row(" ".join(strokes)), metre):
        over = piece.onset < Fraction(1, 2) < piece.onset + piece.value.length
        assert not over or piece.onset in metre.beats


@pytest.mark.parametrize(("name", "row"), SHIPPED, ids=lambda value: value if isinstance(value, str) else "")
def test_shipped_patterns_fit_their_times_and_swing_with_the_beat(name, row):
    """Down on the beat, up between; in sixes each dotted beat begins down: common practice, no source."""
    assert row.metre is not None
    assert fits(row, row.metre)
    count = row.metre.length / len(row.strokes)
    for number, stroke in enumerate(row.strokes):
        if number * count in row.metre.beats:
            assert stroke is not Stroke.UP, name
        elif stroke is Stroke.DOWN and not row.metre.is_compound:
            assert number % 2 == 0, name


def test_a_chord_that_changes_where_the_hand_swings_past_is_struck():
    row, metre = parse_strum_row("d - d u - u d u"), parse_metre("4/4")
    assert strike_changes(row, metre, [Fraction(0), Fraction(1, 2)]).text == "d - d u d u d u"
    assert strike_changes(row, metre, [Fraction(1, 8)]).text == "d u d u - u d u"
    assert strike_changes(row, metre, [Fraction(1, 3), Fraction(3, 4)]) == row


def test_a_time_is_the_same_however_it_is_written():
    folk = read_shipped_strums()["folk"]
    assert folk.row_for(parse_metre("C")) == folk.row_for(parse_metre("4/4"))
    assert folk.row_for(parse_metre("cut C")).text == "d - d u - u d u"
    assert folk.row_for(parse_metre("3/4")) is None


@pytest.mark.parametrize(
    ("text", "time", "what"),
    [
        ("d x u", None, '"x" is no stroke'),
        ("- r", None, "needs a stroke"),
        ("d d d d d", "3/4", "5 counts do not fit 3/4; write 1, 2, 3, 4"),
        ("d " * 65, None, "64 at most"),
    ],
)
def test_what_no_row_can_be_is_told(text, time, what):
    with pytest.raises(ValueError, match=what):
        parse_strum_row(text, parse_metre(time) if time else None)


def test_a_misfit_names_the_times_that_there_are():
    what, hint = say_misfit(read_shipped_strums()["march"], parse_metre("5/4"))
    assert what == 'the strum pattern "march" has no row for 5/4'
    assert "2/4, 4/4, 2/2" in hint
    what, hint = say_misfit(StrumPattern("", (parse_strum_row("d d d"),)), parse_metre("4/4"))
    assert "3 counts" in what
    assert "4" in hint
