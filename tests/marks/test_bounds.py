"""Boxes of marks against dense sampling, and the trace."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.fonts.text_setting import InstalledFaces
from engrave.marks.bounds import measure_box
from engrave.marks.mark import Box, Curve, Glyph, Group, Line, Page, PlacedDocument, Polygon, Source, Text
from engrave.marks.role import Role
from engrave.marks.trace import trace_marks

FACES = InstalledFaces()
points = st.tuples(st.floats(-20, 20), st.floats(-20, 20))


@given(st.tuples(points, points, points, points))
def test_a_curves_box_holds_every_point_of_it(curve):
    box = measure_box(Curve(Role.TIE, curve, curve), FACES)
    for i in range(101):
        t = i / 100
        s = 1 - t
        for axis, low, high in ((0, box.left, box.right), (1, box.bottom, box.top)):
            a, b, c, d = (p[axis] for p in curve)
            value = a * s**3 + 3 * b * s * s * t + 3 * c * s * t * t + d * t**3
            assert low - 1e-6 <= value <= high + 1e-6


def test_boxes_of_the_other_kinds():
    assert measure_box(Line(Role.STEM, 1, 0, 1, 5, 0.2), FACES) == pytest.approx((0.9, 0, 1.1, 5))
    assert measure_box(Polygon(Role.BEAM, ((0, 0), (4, 1), (4, 2))), FACES) == Box(0, 0, 4, 2)
    head = FACES.symbol_box("noteheadBlack")
    assert measure_box(Glyph(Role.NOTEHEAD, 2, 3, "noteheadBlack", size=0.5), FACES).right == pytest.approx(
        2 + head.right / 2
    )
    ink = FACES.text_ink("serif", "x", 10)
    assert measure_box(Text(Role.TEXT, 1, 1, "x", "serif", 10), FACES).top == pytest.approx(1 + ink.top)


def test_a_trace_names_page_role_kind_box_and_source():
    source = Source(7, 3, "guitar", 2, "3/2")
    page = Page(100, 100, (Group(10, 20, 2.0, (Line(Role.STEM, 1, 0, 1, 5, 0.5, source),)),), 4)
    (record,) = trace_marks(PlacedDocument((page,)), FACES)
    assert record == {
        "page": 4,
        "role": "stem",
        "kind": "line",
        "box": [11.5, 20.0, 12.5, 30.0],
        "line": 7,
        "column": 3,
        "part": "guitar",
        "measure": 2,
        "beat": "3/2",
    }
