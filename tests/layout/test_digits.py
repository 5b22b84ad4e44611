"""Digits of a tab: what is printed is what was measured. What is printed: common practice, no source."""

import itertools

import pytest

from engrave.fonts.text_face import text_face
from engrave.layout.measures.digits import decide_digit_text
from engrave.marks.role import Role
from engrave.score.structure import View
from tests.layout.placed_marks import place_text
from tests.reading.helpers import read


def first_note(event):
    score = read(f"score: 1\nmeasures:\n  - notes: [1/1: {{{event}}}]\n")
    return score.parts[0].measures[0].voices[0].events[0].notes[0]


@pytest.mark.parametrize(
    ("event", "said"),
    [
        ("3: 5", ("5", "", False)),
        ("3: x", ("X", "", False)),
        ("3: 5 ghost", ("5", "", True)),
        ("3: 12 natural-harmonic", ("<12>", "", False)),
        ("3: 5 artificial-harmonic 17", ("5", " <17>", False)),
        ("3: 5 trill 7", ("5", " (7)", False)),
    ],
)
def test_what_stands_on_the_string(event, said):
    assert decide_digit_text(first_note(event)) == said


def test_a_note_held_by_a_tie_has_no_digit():
    assert decide_digit_text(first_note("3: 5 ghost")._replace(tie_from=True)) == ("", "", False)


@pytest.mark.parametrize(
    "event", ["3: 5", "3: 12", "3: x", "3: 5 ghost", "3: 12 natural-harmonic", "3: 5 trill 7"]
)
@pytest.mark.parametrize("before", ["", "grace 1/8: {3: 2 ghost}, ", "grace 1/8: {3: 2 trill 4}, "])
def test_the_line_is_broken_just_around_what_is_printed(event, before):
    """The white is the measured width with the clearance of the style (house rule); parentheses are inside it."""
    text = f"score: 1\nmeasures:\n  - notes: [{before}1/1: {{{event}}}]\n"
    marks = [mark for mark, _ in place_text(text, View.TAB)]
    printed = [m for m in marks if m.role in (Role.FRET, Role.GHOST_PARENTHESIS)]
    lines = sorted((m.x1, m.x2) for m in marks if m.role is Role.TAB_LINE and m.y1 == pytest.approx(4.5))
    assert len(lines) == (3 if before else 2)
    for mark in printed:
        right = mark.x + text_face(mark.face).width(mark.text, mark.size)
        assert all(stop <= mark.x or right <= start for start, stop in lines)
    for (_, start), (stop, _) in itertools.pairwise(lines):
        inside = [m for m in printed if start < m.x < stop]
        left = min(m.x for m in inside)
        right = max(m.x + text_face(m.face).width(m.text, m.size) for m in inside)
        assert left - start == pytest.approx(stop - right, abs=1e-6)
        assert 0 < left - start <= 0.2 + 1e-6
