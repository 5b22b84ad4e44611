"""Signs of one kind stand in one row along a tab (common practice, no source)."""

import pytest

from engrave.fonts.text_face import text_face
from engrave.layout.document import place_score
from engrave.marks.role import Role
from engrave.score.structure import View
from engrave.style.load import load_style
from tests.reading.helpers import read

STYLE = load_style("")[0]
BOTH = pytest.mark.parametrize("view", [View.STAFF_AND_TAB, View.RHYTHM_TAB])


def texts(notes, role, view):
    text = f"score: 1\ntime: 4/4\nmeasures:\n{''.join(f'  - notes: {row}{chr(10)}' for row in notes)}"
    placed = [mark for page in place_score(read(text), STYLE, view).pages for group in page.groups for mark in group.marks]
    return [mark for mark in placed if mark.role is role and hasattr(mark, "text")]


@BOTH
def test_letters_of_the_vibrato_bar_stand_in_one_row(view):
    moves = "[1/4: {3: {fret: 12, vibrato-bar: dip 1/2}}, 1/4: {1: {fret: 12, vibrato-bar: scoop}}, 1/2: {6: {fret: 0, vibrato-bar: dive 2}}]"
    letters = [mark for mark in texts([moves], Role.VIBRATO_BAR, view) if mark.text == "w/bar"]
    assert len(letters) == 3
    assert len({mark.y for mark in letters}) == 1


@BOTH
def test_letters_over_short_and_long_stems_and_high_and_low_strings_share_a_row(view):
    first = "[1/4: {1: 12 natural-harmonic}, 1/4: {6: 5 natural-harmonic}, 1/2: {4: 5 pinch-harmonic}]"
    second = "[1/1: {2: 7 natural-harmonic}]"
    letters = texts([first, second], Role.PLAYING_SIGN, view)
    assert [mark.text for mark in letters] == ["N.H.", "N.H.", "P.H.", "N.H."]
    assert len({mark.y for mark in letters}) == 1


@BOTH
def test_signs_of_one_kind_that_would_meet_stand_one_over_the_other(view):
    lower, upper = sorted(mark.y for mark in texts(["[1/1: {6: {fret: 0, marks: [slap, pop]}}]"], Role.PLAYING_SIGN, view))
    assert upper - lower >= 1.0


@BOTH
def test_letters_of_a_chord_stand_in_the_order_of_its_strings(view):
    letters = texts(["[1/1: {1: {fret: 2, pluck: a}, 2: {fret: 3, pluck: m}, 3: {fret: 2, pluck: i}, 4: {fret: 0, pluck: p}}]"], Role.PLAYING_SIGN, view)
    assert [mark.text for mark in sorted(letters, key=lambda mark: -mark.y)] == ["a", "m", "i", "p"]


@BOTH
def test_words_at_the_end_of_a_measure_and_at_the_start_of_the_next_stand_apart(view):
    rows = ["[1/4: [{1: 5}, {1: 5}, {1: 5}, {1: 5 fade-out}]]", "[1/4: [{1: 5 fade-in}, {1: 5}, {1: 5}, {1: 5}]]"]
    end, start = texts(rows, Role.PLAYING_SIGN, view)
    assert (end.text, start.text) == ("fade out", "fade in")
    assert start.x - (end.x + text_face(end.face).width(end.text, end.size)) >= 1.5
