"""Slurs and ties clear what they pass over: measured on the page, curve against boxes (common practice, no source)."""

from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from engrave.fonts.text_setting import InstalledFaces
from engrave.layout.curves import curve_points
from engrave.layout.direction import Direction
from engrave.layout.document import place_score
from engrave.layout.slur_shape import Obstacle, decide_slur, decide_slur_side
from engrave.marks.bounds import measure_page_marks
from engrave.marks.mark import Box, Curve
from engrave.marks.role import Role
from engrave.score.slurs import resolve_slurs
from engrave.score.structure import View
from engrave.style.load import load_style
from tests.layout.placed_marks import boxes, place_text
from tests.reading.helpers import read
from tests.score.slur_music import slurred_scores

STYLE = load_style("")[0]
NOTES = STYLE.notes
FACES = InstalledFaces()
UP, DOWN = Direction.UP, Direction.DOWN
SOLID = (Role.NOTEHEAD, Role.ACCIDENTAL, Role.FRET, Role.TIME_SIGNATURE, Role.KEY_SIGNATURE)
HAIR = 0.03
"""Staff spaces within which edges may meet (rounding of the samples of a curve)."""


def pieces(curve, group):
    """The short boxes that a curve fills, in points."""
    rows = [curve_points(side, 0.25) for side in (curve.outer, curve.inner)]
    for outer, inner in zip(pairwise(rows[0]), pairwise(rows[1]), strict=True):
        xs = [group.x + x * group.scale for x, _ in (*outer, *inner)]
        ys = [group.y + y * group.scale for _, y in (*outer, *inner)]
        yield Box(min(xs), min(ys), max(xs), max(ys))


def crossed(document, role, solid=SOLID):
    """The marks that a curve of `role` passes through, as (role, line, column)."""
    found = []
    for page in document.pages:
        marks = list(measure_page_marks(page, FACES))
        for group, mark, box in marks:
            if isinstance(mark, Curve) and mark.role is role:
                small = list(pieces(mark, group))
                found += [
                    (other.role.value, other.source.line, other.source.column)
                    for _, other, around in marks
                    if other.role in solid
                    and around.overlaps(box)
                    and any(piece.overlaps(around, HAIR * group.scale) for piece in small)
                ]
    return found


def count(document, role):
    return sum(mark.role is role for page in document.pages for group in page.groups for mark in group.marks)


@settings(max_examples=80, suppress_health_check=[HealthCheck.too_slow])
@given(slurred_scores(), st.sampled_from([View.STAFF_AND_TAB, View.STAFF, View.RHYTHM_TAB, View.TAB]))
def test_no_slur_passes_through_a_note_or_a_sign(text, view):
    score = read(text)
    document = place_score(score, STYLE, view)
    assert count(document, Role.SLUR) >= len(resolve_slurs(score.parts[0].measures))
    assert crossed(document, Role.SLUR, (*SOLID, Role.ARTICULATION, Role.STEM, Role.TIE)) == []


@st.composite
def tied_scores(draw):
    """Chords of one voice or two, any of which may be held, also over changes of time and key and the ends of lines."""
    two = draw(st.booleans())
    upper, lower = (
        ["1:3", "2:3", "1:0+2:3", "1:3+2:5", "3:4", "2:4+3:6", "1:2+2:7+3:9"],
        ["5:2", "6:3", "5:5+6:7"],
    )
    lines = []
    for index in range(draw(st.integers(1, 4))):
        half = draw(st.booleans())
        head = (
            f"    time: {'2/4' if half else '4/4'}\n"
            if draw(st.integers(0, 2)) == 0 or not index
            else head_of(lines)
        )
        beats = 2 if "2/4" in head else 4
        rows = []
        for pitches, values in (
            (upper, ["1/4", "1/8 1/8", "1/8. 1/16", "1/16 1/16 1/8"]),
            (lower, ["1/4", "1/8 1/8"]),
        ):
            row = []
            for beat in range(beats):
                for value in draw(st.sampled_from(values)).split():
                    may_tie = (beat or row or index) and draw(st.integers(0, 2)) == 0
                    row.append(f"{value}: {'tie' if may_tie else draw(st.sampled_from(pitches))}")
            rows.append(", ".join(row))
        lines.append(head)
        more = f"    lower: [{rows[1]}]\n" if two else ""
        extra = draw(st.sampled_from(["", "", "    new: line\n", "    key: B major\n"])) if index else ""
        lines.append(f"    notes: [{rows[0]}]\n{more}{extra}")
    measures = ["  - " + "".join(lines[i : i + 2]).lstrip() for i in range(0, len(lines), 2)]
    return "score: 1\nkey: Eb major\nmeasures:\n" + "".join(measures)


def head_of(lines):
    return lines[-2]


@settings(max_examples=80, suppress_health_check=[HealthCheck.too_slow])
@given(tied_scores(), st.sampled_from([View.STAFF_AND_TAB, View.STAFF, View.RHYTHM_TAB]))
def test_no_tie_passes_through_a_note_or_a_sign(text, view):
    assert crossed(place_score(read(text), STYLE, view), Role.TIE) == []


# --- single rules.


@pytest.mark.parametrize(
    ("voices", "stems", "side"),
    [
        ((None,), (UP, UP), DOWN),
        ((None,), (DOWN, DOWN), UP),
        ((None,), (UP, DOWN), UP),
        ((UP,), (UP, UP), UP),
        ((None, DOWN), (DOWN,), DOWN),
    ],
)
def test_a_slur_stands_away_from_the_stems_and_outside_of_two_voices(voices, stems, side):
    assert decide_slur_side(voices, stems) is side


obstacles = st.lists(
    st.tuples(st.floats(0, 28), st.floats(0.2, 2), st.floats(-4, 9)).map(
        lambda o: Obstacle(o[0], o[0] + o[1], o[2])
    ),
    max_size=12,
)


@given(st.floats(3, 30), st.floats(-2, 6), st.floats(-2, 6), st.sampled_from([UP, DOWN]), obstacles)
def test_the_shape_of_a_slur_clears_all_between_its_ends(length, y1, y2, side, things):
    inside = [o for o in things if o.left > 1.0 and o.right < length - 1.0]
    outer, inner = decide_slur((0.0, side * y1), (length, side * y2), side, inside, NOTES)
    for (x1, a), (x2, b) in pairwise(curve_points(inner, 0.1)):
        for thing in inside:
            if x2 > thing.left and x1 < thing.right:
                assert side * min(a, b, key=lambda y: side * y) > side * thing.edge
    assert (outer[0][0], outer[3][0]) == (0.0, length)


@given(st.floats(3, 30), st.floats(-9, 9), st.sampled_from([UP, DOWN]))
def test_a_slur_with_nothing_in_its_way_ends_at_its_notes_however_wide_the_leap(length, leap, side):
    # common practice, no source
    outer, inner = decide_slur((0.0, 0.0), (length, leap), side, [], NOTES)
    assert (outer[0][1] + inner[0][1]) / 2 == pytest.approx(0.0)
    assert (outer[3][1] + inner[3][1]) / 2 == pytest.approx(leap)


def test_a_slur_with_nothing_in_its_way_has_its_usual_height_up_to_a_limit():
    for length, height in (
        (4.0, NOTES.slur_height + NOTES.slur_height_per_space),
        (90.0, NOTES.slur_height_most),
    ):
        outer, inner = decide_slur((0.0, 5.0), (length, 5.0), UP, [], NOTES)
        middle = [(a[1][1] + a[2][1]) / 2 for a in (outer, inner)]
        assert sum(middle) / 2 == pytest.approx(5.0 + height / 0.75)


def one(notes, more=""):
    return place_text(f"score: 1\nview: staff\n{more}measures:\n  - notes: {notes}\n")


def test_staccato_stands_inside_a_slur_and_a_fermata_outside():
    marks = one("[1/4: [1:1 slur staccato, 1:1 staccato fermata, 1:1 staccato end-slur, 1:1]]")
    (slur,), dots = boxes(marks, Role.SLUR), boxes(marks, Role.ARTICULATION)
    assert all(dot.top < slur.top for dot in dots)
    assert boxes(marks, Role.FERMATA)[0].bottom > dots[1].top
    assert not boxes(marks, Role.FERMATA)[0].overlaps(slur)


def test_of_two_slurs_the_outer_one_stands_outside():
    marks = one("[1/4: [1:1 phrase, 1:1 slur, 1:3 end-slur, 1:1 end-phrase]]")
    inner, outer = boxes(marks, Role.SLUR)
    assert outer.left < inner.left < inner.right < outer.right
    assert outer.top > inner.top + NOTES.slur_clearance


def test_a_slur_over_the_end_of_a_line_has_two_halves_long_enough_to_see():
    marks = place_text(
        "score: 1\nview: staff\nmeasures:\n  - notes: [1/4: [1:1, 1:1, 1:1, 1:3 slur]]\n  - {new: line, notes: [1/1: 1:1 end-slur]}\n"
    )
    halves = boxes(marks, Role.SLUR)
    assert len(halves) == 2
    assert min(half.right - half.left for half in halves) >= NOTES.tie_shortest


def test_a_tie_goes_through_no_time_signature_but_stands_about_it():
    marks = place_text(
        "score: 1\nview: staff\ntime: 2/4\nmeasures:\n  - notes: [1/2: 2:0]\n  - {time: 3/4, notes: [1/2.: tie]}\n"
    )
    first, second = sorted(boxes(marks, Role.TIE))
    signs = [box for box in boxes(marks, Role.TIME_SIGNATURE) if box.left > first.left]
    assert first.right < min(box.left for box in signs)
    assert second.left > max(box.right for box in signs)


def test_a_half_tie_at_the_end_of_a_line_is_long_enough_to_see_and_clear_of_its_digit():
    text = (
        "score: 1\nmeasures:\n  - notes: [1/16: [1:3,1:3,1:3,1:3,1:3,1:3,1:3,1:3,1:3,1:3,1:3,1:3,1:3,1:3,1:3,1:15]]\n"
        "  - {new: line, notes: [1/1: tie]}\n"
    )
    halves = boxes(place_text(text, View.STAFF_AND_TAB), Role.TIE)
    assert len(halves) == 4
    assert min(half.right - half.left for half in halves) >= NOTES.tie_shortest - 1e-6
    assert crossed(place_score(read(text), STYLE), Role.TIE) == []


def test_a_tie_on_a_tab_keeps_off_the_lines_and_other_strings():
    marks = place_text(
        "score: 1\nmeasures:\n  - notes: [1/2: 4:4, 1/4: tie, 1/4: 4:3]\n    lower: [1/2: 5:4, 1/2: 5:5]\n",
        View.TAB,
    )
    tie = min(boxes(marks, Role.TIE), key=lambda box: box.top)
    assert not [line for line in boxes(marks, Role.TAB_LINE) if line.overlaps(tie)]
