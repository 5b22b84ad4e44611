"""Stems. Sources: SMuFL scoring metrics (3.5 spaces), conventions of an orchestration course (chords, ledger lines), else common practice, no source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.layout.direction import Direction
from engrave.layout.notes.stems import (
    decide_group_direction,
    decide_stem_direction,
    decide_stem_tip,
    decide_tab_stems,
)
from engrave.style.load import load_style

UP, DOWN = Direction.UP, Direction.DOWN


@pytest.mark.parametrize(
    ("position", "direction", "length"),
    [
        (-7, UP, 5.5),
        (-4, UP, 4.0),
        (-3, UP, 3.5),
        (-2, UP, 3.5),
        (4, DOWN, 3.5),
        (12, DOWN, 4.0),
        (21, DOWN, 8.5),
    ],
)
def test_lengths_of_single_stems(style, position, direction, length):
    tip = decide_stem_tip([position], direction, 0, style.notes)
    assert abs(tip - position / 2) == pytest.approx(length)


@pytest.mark.parametrize(
    ("positions", "direction"), [((-1, 3, 9), DOWN), ((-2, 3, 8), UP), ((3,), UP), ((4,), DOWN), ((5,), DOWN)]
)
def test_the_note_farthest_from_the_middle_decides(positions, direction):
    assert decide_stem_direction(positions) is direction


def test_a_beamed_group_follows_its_farthest_note_then_the_majority():
    assert decide_group_direction([(5,), (-2,), (6,)]) is UP
    assert decide_group_direction([(2,), (6,), (7,), (1,), (1,)]) is UP
    assert decide_group_direction([(2,), (6,)]) is DOWN


@given(st.integers(-13, 21), st.integers(0, 4))
def test_up_and_down_are_mirror_images(position, flags):
    notes = load_style("")[0].notes
    up = decide_stem_tip([position], UP, flags, notes)
    down = decide_stem_tip([8 - position], DOWN, flags, notes)
    assert up + down == pytest.approx(4.0)


@given(st.integers(-13, 21), st.integers(0, 4))
def test_every_stem_reaches_the_middle_line_and_is_long_enough(position, flags):
    notes = load_style("")[0].notes
    tip = decide_stem_tip([position], UP, flags, notes)
    assert tip >= 2.0
    assert tip - position / 2 >= notes.stem_length_shortest


def test_stems_of_a_tab_follow_the_voice_else_the_style():
    """House rule: the style says on which side a tab has its rhythm."""
    assert decide_tab_stems(None, "above") is UP
    assert decide_tab_stems(None, "below") is DOWN
    assert decide_tab_stems(UP, "below") is UP
