"""Beams. Half-space beams with quarter-space gaps: SMuFL engraving defaults; slants after Ross and Gould, from memory; beamlets common practice, no source."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.layout.beams import (
    Beam,
    BeamPiece,
    BeamStem,
    SlopeReason,
    decide_beam,
    decide_beam_pieces,
    place_beam_polygon,
)
from engrave.layout.direction import Direction
from engrave.style.load import load_style

STYLE = load_style("")[0]
UP, DOWN = Direction.UP, Direction.DOWN


def beam(positions, direction=UP, beams=1, gap=2.5):
    stems = [BeamStem(i * gap, p / 2, beams) for i, p in enumerate(positions)]
    return decide_beam(
        stems, (positions[0], positions[-1]), direction, STYLE.beams, STYLE.notes, STYLE.staff.line
    ), stems


@pytest.mark.parametrize(
    ("positions", "reason"),
    [
        ((1, 2, 3, 1), SlopeReason.LEVEL_ENDS),
        ((0, 3, 1), SlopeReason.INNER_NOTE),
        ((0, 2, 0, 2), SlopeReason.REPEATED_FIGURE),
        ((0, 1, 2, 3), SlopeReason.CONTOUR),
    ],
)
def test_when_a_beam_is_level(positions, reason):
    result, _ = beam(positions)
    assert result.reason is reason
    assert (result.left_y == result.right_y) == (reason is not SlopeReason.CONTOUR)


@pytest.mark.parametrize(
    ("interval", "most"), [(1, 0.25), (2, 0.5), (3, 0.75), (4, 1.0), (5, 1.25), (6, 1.5), (7, 1.75)]
)
def test_the_rise_is_limited_by_the_interval(interval, most):
    result, _ = beam((0, interval), gap=9)
    assert 0 < result.right_y - result.left_y <= most + 0.25


shapes = st.lists(st.integers(-6, 14), min_size=2, max_size=6)


@settings(max_examples=150)
@given(shapes, st.sampled_from([UP, DOWN]), st.integers(1, 3), st.floats(1.5, 6))
def test_no_stem_is_too_short_and_no_beam_too_steep(positions, direction, beams, gap):
    result, stems = beam(positions, direction, beams, gap)
    span = stems[-1].x - stems[0].x
    least = STYLE.beams.shortest_stems[beams - 1] + (beams - 1) * 0.75 + 0.25
    for stem in stems:
        y = result.left_y + (result.right_y - result.left_y) * (stem.x - stems[0].x) / span
        assert direction * (y - stem.near) >= least - 1e-6
    assert abs(result.right_y - result.left_y) <= 2.25
    assert abs(result.right_y - result.left_y) <= STYLE.beams.steepest * span + 0.25


def test_wide_leaps_do_not_shorten_the_stems_nearest_the_beam():
    """Long stems pull a beam towards their heads; the least stem stops it (common practice, no source)."""
    result, stems = beam((16, 16, -4, -2, -6, -2), beams=2, gap=3.0)
    slope = (result.right_y - result.left_y) / (stems[-1].x - stems[0].x)
    least = STYLE.beams.shortest_stems[1] + 0.75 + 0.25
    assert result.left_y + slope * stems[1].x - stems[1].near >= least


@settings(max_examples=100)
@given(shapes, st.integers(1, 3))
def test_up_and_down_are_mirror_images(positions, beams):
    up, _ = beam(positions, UP, beams)
    down, _ = beam([8 - p for p in positions], DOWN, beams)
    assert up.left_y + down.left_y == pytest.approx(4.0)
    assert up.right_y + down.right_y == pytest.approx(4.0)


@settings(max_examples=100)
@given(st.lists(st.integers(-6, 14), min_size=2, max_size=5))
def test_ends_lie_on_quarter_spaces(positions):
    result, _ = beam(positions)
    assert (result.left_y * 4) % 1 == pytest.approx(0, abs=1e-9)


def pieces(values, breaks=()):
    onsets, onset = [], Fraction(0)
    for value in values:
        onsets.append(onset)
        onset += value
    counts = [
        {Fraction(1, 8): 1, Fraction(3, 16): 1, Fraction(1, 16): 2, Fraction(1, 32): 3}[v] for v in values
    ]
    xs = [4.0 * i for i in range(len(values))]
    return decide_beam_pieces(xs, counts, set(breaks), onsets, values, STYLE.beams)


def test_dotted_eighth_and_sixteenth_point_left_and_the_reverse_right():
    left = pieces([Fraction(3, 16), Fraction(1, 16)])[1]
    assert left.x2 == 4.0
    assert left.x1 == pytest.approx(4.0 - 1.15)
    right = pieces([Fraction(1, 16), Fraction(3, 16)])[1]
    assert (right.x1, right.x2) == (0.0, pytest.approx(1.15))


def test_sixteenth_eighth_sixteenth_point_inwards():
    inner = pieces([Fraction(1, 16), Fraction(1, 8), Fraction(1, 16)])[1:]
    assert inner[0].x1 == 0.0
    assert inner[1].x2 == 8.0


def test_secondary_beams_break_where_told():
    level_two = [p for p in pieces([Fraction(1, 16)] * 4, {2}) if p.level == 2]
    assert [(p.x1, p.x2) for p in level_two] == [(0.0, 4.0), (8.0, 12.0)]


def test_a_stack_of_beams_is_as_high_as_its_parts():  # computed: 0.5 thick, 0.25 apart
    flat = Beam(4.0, 4.0, SlopeReason.LEVEL_ENDS)
    for levels, height in ((1, 0.5), (2, 1.25), (3, 2.0), (4, 2.75)):
        corners = [
            y
            for level in range(1, levels + 1)
            for _, y in place_beam_polygon(BeamPiece(level, 0, 4), flat, 0, 4, UP, STYLE.beams)
        ]
        assert max(corners) - min(corners) == pytest.approx(height)
