"""White around signs of technique, fingers and words, in staff spaces. What is asked for is common practice, no source."""

import itertools

import pytest

from engrave.fonts.text_face import text_face
from engrave.layout.document import place_score
from engrave.marks.role import Role
from engrave.score.structure import View
from engrave.style.load import load_style
from tests.reading.helpers import read

STYLE = load_style("")[0]


def groups(text, view=None, style=STYLE):
    """The marks of the page, group by group: those of one staff share their coordinates."""
    return [group.marks for page in place_score(read(text), style, view).pages for group in page.groups]


def score(notes, extra=""):
    return f"score: 1\nmeasures:\n  - notes: {notes}\n{extra}"


def points(curve):
    """A hundred places along the outer curve of a slur (Bernstein's form of a cubic)."""
    for t in (n / 100 for n in range(101)):
        shares = ((1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t * t, t**3)
        yield tuple(sum(s * p[axis] for s, p in zip(shares, curve.outer, strict=True)) for axis in (0, 1))


@pytest.mark.parametrize("frets", [(5, 8), (8, 5), (12, 19)])
def test_a_chord_name_keeps_half_a_space_from_a_slur(frets):
    text = score(
        f"[1/4: [{{2: {frets[0]}}}, {{2: {frets[1]} slurred-slide}}, {{2: 5}}, {{2: 5}}]]", "    chord: Em\n"
    )
    (staff,) = (marks for marks in groups(text) if any(mark.role is Role.CHORD_NAME for mark in marks))
    first, last = [mark for mark in staff if mark.role is Role.CHORD_NAME]
    slur = next(mark for mark in staff if mark.role is Role.SLUR)
    under = [y for x, y in points(slur) if first.x - 0.25 < x < last.x + last.size]
    assert under
    assert first.y - max(under) >= 0.5 - 0.01  # the outline is taken in short straight pieces


def of_role(text, role, view=None, style=STYLE):
    return [mark for marks in groups(text, view, style) for mark in marks if mark.role is role]


DIGIT = 1.1
"""Height of a finger's digit at the house size, in staff spaces (measured in the face)."""


def test_fingers_of_close_heads_form_a_stack_over_the_chord():
    text = score("[1/1: {5: {fret: 5, finger: 4}, 4: {fret: 4, finger: 3}, 3: {fret: 2, finger: 1}}]")
    fingers = of_role(text, Role.FINGER)
    assert [mark.text for mark in fingers] == ["4", "3", "1"]  # from the lowest head up
    assert len({round(mark.x + 0.46, 1) for mark in fingers}) == 1
    gaps = [upper.y - lower.y - DIGIT for lower, upper in itertools.pairwise(fingers)]
    assert min(gaps) >= 0.35
    assert fingers[0].y > max(head.y for head in of_role(text, Role.NOTEHEAD))


def test_fingers_beside_a_chord_have_room_and_break_the_lines_behind_them():
    text = score("[1/1: {6: {fret: 3, finger: 1}, 4: {fret: 5, finger: 4}, 3: {fret: 4, finger: 2}}]")
    fingers = of_role(text, Role.FINGER)
    assert max(mark.x for mark in fingers) < min(head.x for head in of_role(text, Role.NOTEHEAD))
    heights = sorted(mark.y for mark in fingers)
    assert min(b - a for a, b in itertools.pairwise(heights)) - DIGIT >= 0.35
    for finger in fingers:
        crossing = [
            line
            for line in of_role(text, Role.STAFF_LINE)
            if finger.y < line.y1 < finger.y + DIGIT and line.x1 < finger.x + 0.9 and line.x2 > finger.x
        ]
        assert crossing == []


@pytest.mark.parametrize("fret", range(13))
@pytest.mark.parametrize("value", ["1/4", "1/8"])
def test_a_single_finger_stands_clear_of_stem_and_flag(fret, value):
    text = score(
        f"[{value}: {{3: {{fret: {fret}, finger: 1}}}}, 1/2: rest, {'1/8: rest, ' * (value == '1/8')}1/4: rest]"
    )
    (finger,) = of_role(text, Role.FINGER)
    (stem,) = of_role(text, Role.STEM)
    right = finger.x + 0.81  # the ink of a 1 at the house size (measured in the face)
    beside = stem.x1 - right >= 0.3 or finger.x - stem.x1 >= 0.3
    assert beside or finger.y - max(stem.y1, stem.y2) >= 0.3


@pytest.mark.parametrize("view", [View.STAFF_AND_TAB, View.RHYTHM_TAB])
@pytest.mark.parametrize("fret", [2, 7, 12, 17])
def test_chord_names_keep_three_quarters_of_a_space_from_beams_and_heads(view, fret):
    text = f"score: 1\nmeasures:\n  - chord: {{1: F#m, 3: D/F#}}\n    notes: [1/16: [{{1: {fret}}}, {{2: 2}}, {{1: {fret}}}, {{2: 2}}], 1/4: {{1: {fret}}}, 1/2: {{1: {fret}}}]\n    lower: [1/1: {{6: 2}}]\n"
    group = next(
        g.marks
        for g in place_score(read(text), STYLE, view).pages[0].groups
        if any(m.role is Role.CHORD_NAME for m in g.marks)
    )
    feet = [
        mark.y + text_face(mark.face).ink("F", mark.size).bottom
        for mark in group
        if mark.role is Role.CHORD_NAME
    ]
    beams = [y for mark in group if mark.role is Role.BEAM for _, y in mark.points]
    heads = [mark.y + 0.5 for mark in group if mark.role is Role.NOTEHEAD]
    assert beams
    assert min(feet) - max(beams + heads) >= 0.75 - 0.02
