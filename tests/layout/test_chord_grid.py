"""Chord grids. Proportions and places: common practice, no source; where ink lies is measured with the mark boxes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.fonts.text_setting import InstalledFaces
from engrave.layout.chord_grid import measure_grid, place_grid
from engrave.marks.bounds import measure_box
from engrave.marks.mark import NO_SOURCE, Box, Glyph, Source
from engrave.marks.role import Role
from engrave.style.load import load_style
from engrave.theory.chord_shape import ChordShape, parse_chord_shape

NUMBERS = load_style("")[0].grids
FACES = InstalledFaces()


@st.composite
def shapes(draw):
    frets = draw(st.lists(st.none() | st.integers(0, 14), min_size=4, max_size=8))
    fingers = [draw(st.sampled_from(("", "1", "2", "3", "4", "T"))) if fret else "" for fret in frets]
    return ChordShape(tuple(frets), tuple(fingers))


def place(frets, fingers="", left_handed=False):
    return place_grid(parse_chord_shape(frets, fingers), NUMBERS, 0, 0, NO_SOURCE, left_handed)


def of(marks, role):
    return [mark for mark in marks if mark.role is role]


def boxes(marks, role):
    return [measure_box(mark, FACES) for mark in of(marks, role)]


def middle(box):
    return (box.left + box.right) / 2


def test_an_open_chord_has_a_nut_flush_with_its_outer_strings():
    marks = place("x32010")
    (nut,) = boxes(marks, Role.GRID_NUT)
    strings = [box for box in boxes(marks, Role.GRID_LINE) if box.top - box.bottom > 1]
    assert len(strings) == 6
    assert nut.top - nut.bottom == pytest.approx(0.45)
    assert (nut.left, nut.right) == pytest.approx((strings[0].left, strings[-1].right))
    assert of(marks, Role.GRID_FRET_NUMBER) == []


def test_rings_and_crosses_stand_over_their_strings_clear_of_the_nut():
    marks = place("x32010")
    (nut,) = boxes(marks, Role.GRID_NUT)
    signs = of(marks, Role.GRID_MARK)
    assert [sign.name for sign in signs] == ["fretboardX", "fretboardO", "fretboardO"]
    inks = boxes(marks, Role.GRID_MARK)
    assert [middle(ink) for ink in inks] == pytest.approx([0, 3.3, 5.5])
    for ink in inks:
        assert ink.bottom == pytest.approx(nut.top + 0.3)
        assert ink.top - ink.bottom == pytest.approx(0.7)


def test_dots_stand_in_the_middle_of_their_rows():
    dots = boxes(place("x32010"), Role.GRID_DOT)
    assert [(middle(dot), (dot.bottom + dot.top) / 2 / 1.35) for dot in dots] == [
        pytest.approx(place) for place in ((1.1, -2.5), (2.2, -1.5), (4.4, -0.5))
    ]
    assert dots[0].right - dots[0].left == pytest.approx(0.7 * 1.1)


@pytest.mark.parametrize("left_handed", [False, True])
def test_a_grid_up_the_neck_names_its_first_fret_beside_the_first_row(left_handed):
    marks = place("10 12 12 11 10 10", left_handed=left_handed)
    assert of(marks, Role.GRID_NUT) == []
    assert [mark.text for mark in of(marks, Role.GRID_FRET_NUMBER)] == ["10fr"]
    (number,) = boxes(marks, Role.GRID_FRET_NUMBER)
    (barre,) = boxes(marks, Role.GRID_BARRE)
    assert -1.35 < number.bottom < number.top < 0.05
    gap = barre.left - number.right if left_handed else number.left - barre.right
    assert gap == pytest.approx(0.3)


def test_a_barre_takes_the_place_of_its_dots():
    marks = place("x24442", "-13331")
    first, second = boxes(marks, Role.GRID_BARRE)
    radius = 0.7 * 1.1 / 2
    assert (first.left, first.right) == pytest.approx((1.1 - radius, 5.5 + radius))
    assert (second.left, second.right) == pytest.approx((2.2 - radius, 4.4 + radius))
    assert of(marks, Role.GRID_DOT) == []
    assert len(of(place("133211"), Role.GRID_DOT)) == 3


def test_fingers_stand_under_their_strings_on_one_baseline():
    marks = place("200232", "T--132")
    fingers = of(marks, Role.GRID_FINGER)
    assert [finger.text for finger in fingers] == ["T", "1", "3", "2"]
    assert len({finger.y for finger in fingers}) == 1
    inks = boxes(marks, Role.GRID_FINGER)
    assert [middle(ink) for ink in inks] == pytest.approx([0, 3.3, 4.4, 5.5])
    assert max(ink.top for ink in inks) == pytest.approx(-4 * 1.35 - 0.05 - 0.35)


@given(shapes(), st.booleans())
def test_every_string_has_one_dot_barre_ring_or_cross(shape, left_handed):
    marks = place_grid(shape, NUMBERS, 0, 0, NO_SOURCE, left_handed)
    barred = {
        index
        for barre in shape.barres
        for index in range(barre.lowest, barre.highest + 1)
        if shape.frets[index] == barre.fret
    }
    signs = len(of(marks, Role.GRID_DOT)) + len(of(marks, Role.GRID_MARK))
    assert signs + len(barred) == shape.strings
    assert len(of(marks, Role.GRID_LINE)) == shape.strings + shape.rows + (shape.base_fret > 1)


@given(shapes(), st.booleans())
def test_no_two_signs_of_a_grid_touch(shape, left_handed):
    marks = place_grid(shape, NUMBERS, 0, 0, NO_SOURCE, left_handed)
    roles = (Role.GRID_NUT, Role.GRID_DOT, Role.GRID_MARK, Role.GRID_FINGER, Role.GRID_FRET_NUMBER)
    inks = [ink for role in roles for ink in boxes(marks, role)]
    assert not any(a.overlaps(b) for number, a in enumerate(inks) for b in inks[:number])
    lines = boxes(marks, Role.GRID_LINE)
    for number in boxes(marks, Role.GRID_FRET_NUMBER):
        assert not any(number.overlaps(line) for line in lines)


@given(shapes(), st.booleans(), st.floats(-50, 50), st.floats(-50, 50))
def test_the_measured_room_is_the_ink(shape, left_handed, x, y):
    extent = measure_grid(shape, NUMBERS, left_handed)
    inks = [measure_box(mark, FACES) for mark in place_grid(shape, NUMBERS, x, y, NO_SOURCE, left_handed)]
    whole = inks[0]
    for ink in inks:
        whole = Box.union(whole, ink)
    left, top = x - extent.left, y + extent.above
    assert whole == pytest.approx((left, top - extent.height, left + extent.width, top), abs=1e-9)


@given(shapes())
def test_left_handed_grids_are_mirror_images(shape):
    width = (shape.strings - 1) * NUMBERS.string_pitch
    plain = place_grid(shape, NUMBERS, 0, 0, NO_SOURCE)
    turned = place_grid(shape, NUMBERS, 0, 0, NO_SOURCE, left_handed=True)
    for role in {mark.role for mark in plain + turned}:
        mirrored = [
            Box(width - box.right, box.bottom, width - box.left, box.top) for box in boxes(turned, role)
        ]
        expected = boxes(plain, role)
        assert len(mirrored) == len(expected)
        assert all(any(box == pytest.approx(other) for other in mirrored) for box in expected)


def test_every_mark_knows_its_source():
    source = Source(line=7, column=3)
    marks = place_grid(parse_chord_shape("x35543", "-13421"), NUMBERS, 0, 0, source)
    assert {mark.source for mark in marks} == {source}
    assert all(
        mark.name == "fretboardFilledCircle" for mark in of(marks, Role.GRID_DOT) if isinstance(mark, Glyph)
    )
