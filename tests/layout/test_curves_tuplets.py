"""Ties, slurs and tuplets. A symmetric cubic reaches three quarters of its control height (computed); the rest common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.layout.curves import (
    arch_points,
    decide_slur_past_arrow,
    decide_staff_slur_side,
    decide_tab_slur_side,
    decide_tie_directions,
    decide_ties,
    place_tie,
    tie_height,
)
from engrave.layout.direction import Direction
from engrave.layout.tuplets import TupletMember, decide_tuplet, tuplet_text
from engrave.style.load import load_style
from engrave.theory.duration import parse_tuplet

STYLE = load_style("")[0]
UP, DOWN = Direction.UP, Direction.DOWN


def middle(curve):
    (_, a), (_, b), (_, c), (_, d) = curve
    return (a + 3 * b + 3 * c + d) / 8


def test_the_apex_and_the_thickness_are_as_asked():
    outer, inner = arch_points(0, 0, 10, 0, 1.2, 0.3, 0.0, 0.22)
    assert middle(outer) - middle(inner) == pytest.approx(0.22)
    assert (middle(outer) + middle(inner)) / 2 == pytest.approx(1.2)


def test_ties_grow_with_their_length_up_to_a_limit():
    assert tie_height(1.5, STYLE.notes) == pytest.approx(0.45)
    assert tie_height(5, STYLE.notes) < tie_height(9, STYLE.notes)
    assert tie_height(100, STYLE.notes) == pytest.approx(1.1)


def test_directions_of_ties():
    assert decide_tie_directions((2,), UP, None) == (DOWN,)
    assert decide_tie_directions((2, 4), UP, None) == (DOWN, UP)
    assert decide_tie_directions((0, 2, 4), UP, None) == (DOWN, DOWN, UP)
    assert decide_tie_directions((0, 2), DOWN, UP) == (UP, UP)


@given(st.floats(0.2, 30), st.integers(-6, 14), st.sampled_from([UP, DOWN]))
def test_every_tie_is_long_enough_and_bends_its_way(length, position, direction):
    outer, _ = place_tie(0, length, position / 2, direction, STYLE.notes)
    assert outer[3][0] - outer[0][0] >= min(STYLE.notes.tie_shortest, 1.5) - 1e-9
    assert direction * (middle(outer) - outer[0][1]) > 0.2


@given(st.floats(2, 20), st.integers(0, 8), st.sampled_from([UP, DOWN]))
def test_no_apex_hides_in_a_staff_line(length, position, direction):
    outer, inner = place_tie(0, length, position / 2, direction, STYLE.notes)
    apex = (middle(outer) + middle(inner)) / 2
    if 0 < apex < 4:
        assert abs((apex + 0.5) % 1 - 0.5) > 0.1


@pytest.mark.parametrize(
    ("ratio", "text"),
    [
        ("3 in 2 of 1/8", "3"),
        ("5 in 4 of 1/16", "5"),
        ("6 in 4 of 1/16", "6"),
        ("7 in 4 of 1/16", "7"),
        ("2 in 3 of 1/8", "2"),
        ("5 in 6 of 1/8", "5:6"),
        ("3 in 4 of 1/8", "3:4"),
    ],
)
def test_what_is_printed(ratio, text):
    assert tuplet_text(parse_tuplet(ratio)) == text


def tuplet(members, bracketed=True, side=UP):
    return decide_tuplet(
        members, side, bracketed, 0.8, 1.2, (0.0, 4.0), STYLE.beams, None if bracketed else (4.0, 5.5)
    )


def test_the_number_is_centred_on_the_span_of_the_notes():
    plan = tuplet([TupletMember(0, 1.25, 4), TupletMember(3, 4.25, 4), TupletMember(6, 7.25, 4)])
    assert plan.number_x == pytest.approx(7.25 / 2)
    assert tuplet([TupletMember(0, 1.25, 4), TupletMember(6, 7.25, 4)], bracketed=False).strokes == ()


@given(st.lists(st.floats(-3, 9), min_size=2, max_size=7), st.sampled_from([UP, DOWN]))
def test_the_bracket_clears_every_note_and_the_staff(heights, side):
    members = [TupletMember(i * 3.0, i * 3.0 + 1.25, y) for i, y in enumerate(heights)]
    plan = tuplet(members, side=side)
    for _, y1, _, y2 in plan.strokes[2:]:
        for y in (y1, y2):
            assert side * y > side * (4.0 if side is UP else 0.0)
    for member in members:
        assert side * plan.strokes[0][3] > side * member.outer - 1.0


def test_no_bracket_is_narrower_than_its_number():
    assert tuplet([TupletMember(0, 1.25, 4, 4)]).strokes == ()
    assert tuplet([TupletMember(0, 1.25, 4, 4), TupletMember(2.5, 3.75, 4, 4)]).strokes != ()


@pytest.mark.parametrize(
    ("ends", "way"),
    [((6, 5), -1), ((5, 6), 1), ((4, 6, 5), 0), ((None, 6, 5), -1), ((5, 5, 6, None), 1), ((None, 5), 0)],
)
@pytest.mark.parametrize("side", [UP, DOWN])
def test_a_bracket_slants_as_its_notes_do_and_rests_have_no_say(ends, way, side):
    members = [
        TupletMember(i * 3.0, i * 3.0 + 1.25, 4 if end is None else end, end) for i, end in enumerate(ends)
    ]
    (_, _, _, left), (_, right, _, _) = tuplet(members, side=side).strokes[:2]
    assert (right > left) - (right < left) == way


def test_a_tie_above_starts_right_of_a_flag_that_hangs_down_to_it():
    low, high = decide_ties((4, 7), UP, UP, (2.2, 3.0), STYLE.notes)
    assert low == (UP, 0.0)
    assert high == (UP, 2.2)
    assert decide_ties((7,), UP, None, (2.2, 3.0), STYLE.notes) == ((DOWN, 0.0),)
    assert decide_ties((7,), UP, UP, None, STYLE.notes) == ((UP, 0.0),)


def test_slurs_of_a_chain_on_a_staff_keep_their_side():
    assert decide_staff_slur_side(DOWN, None) is DOWN
    assert decide_staff_slur_side(DOWN, UP) is UP


def test_slurs_on_a_tab_stand_away_from_stems_and_voices():
    """House rule: stems above leave the room under the digits."""
    assert decide_tab_slur_side(UP, None) is DOWN
    assert decide_tab_slur_side(DOWN, DOWN) is UP
    assert decide_tab_slur_side(None, DOWN) is DOWN
    assert decide_tab_slur_side(None, None) is UP


def test_slurs_on_a_tab_give_way_to_the_arrow_of_a_bend():
    assert decide_slur_past_arrow(UP, has_arrow=True) is DOWN
    assert decide_slur_past_arrow(UP, has_arrow=False) is UP
