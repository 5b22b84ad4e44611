"""Letters of hammer-ons and pull-offs stand next to their slurs, at one distance from the string (common practice, no source)."""

import pytest

from engrave.fonts.text_face import text_face
from engrave.layout.document import place_score
from engrave.marks.role import Role
from engrave.score.structure import View
from engrave.style.load import load_style
from tests.reading.helpers import read

STYLE = load_style("")[0]
PITCH = STYLE.staff.tab_space
BOTH = pytest.mark.parametrize("view", [View.STAFF_AND_TAB, View.RHYTHM_TAB])
STRINGS = pytest.mark.parametrize("string", range(1, 7))


def tab(text, view):
    """The marks of the tab's group: the one that holds the digits."""
    groups = [group.marks for page in place_score(read(text), STYLE, view).pages for group in page.groups]
    return next(marks for marks in groups if any(mark.role is Role.FRET for mark in marks))


def of(marks, role):
    return [mark for mark in marks if mark.role is role]


def extent(text):
    face = text_face(text.face)
    ink = face.ink(text.text, text.size)
    return text.x + ink.left, text.x + ink.right, text.y, text.y + ink.top


def score(*measures):
    return "score: 1\nmeasures:\n" + "".join(f"  - notes: {notes}\n" for notes in measures)


def one_string(string):
    return f"[1/8: [{{{string}: 5}}, {{{string}: 7 hammer-on}}, {{{string}: 5 pull-off}}, {{{string}: 7 hammer-on}}], 1/2: {{{string}: 5 pull-off}}]"


@BOTH
@STRINGS
def test_letters_keep_one_distance_from_their_string_on_the_side_of_the_bow(view, string):
    marks = tab(score(one_string(string)), view)
    away = -1 if view is View.RHYTHM_TAB else 1  # from the stems
    line = (6 - string) * PITCH
    letters, slurs = of(marks, Role.TECHNIQUE_LETTER), of(marks, Role.SLUR)
    assert [mark.text for mark in letters] == ["H", "P", "H", "P"]
    for letter, slur in zip(letters, slurs, strict=True):
        left, right, bottom, top = extent(letter)
        assert (bottom + top) / 2 - line == pytest.approx(away * 1.5 * PITCH, abs=0.02)
        assert (left + right) / 2 == pytest.approx((slur.outer[0][0] + slur.outer[3][0]) / 2, abs=0.1)
        furthest = line + away * max(
            abs(slur.outer[1][1] - line), 0
        )  # the control point lies beyond the slur
        assert min(abs(bottom - furthest), abs(top - furthest)) < 0.6


@STRINGS
def test_no_letter_stands_between_the_stems_of_a_tab_with_rhythm(string):
    marks = tab(score(one_string(string)), View.RHYTHM_TAB)
    foot = min(min(stem.y1, stem.y2) for stem in of(marks, Role.STEM))
    assert all(extent(letter)[3] < foot for letter in of(marks, Role.TECHNIQUE_LETTER))


@BOTH
def test_a_letter_whose_place_is_taken_by_digits_stands_outside_the_tab(view):
    string, other = (2, 3) if view is View.RHYTHM_TAB else (4, 3)
    high = f"[1/2: [{{{string}: 5}}, {{{string}: 7 hammer-on}}]]"
    low = f"[1/8: [{{{other}: 5}}, {{{other}: 5}}, {{{other}: 10}}, {{{other}: 5}}], 1/2: {{{other}: 7}}]"
    text = f"score: 1\nmeasures:\n  - notes: {high}\n    lower: {low}\n"
    marks = tab(text, view)
    (letter,) = of(marks, Role.TECHNIQUE_LETTER)
    left, right, bottom, top = extent(letter)
    assert bottom > 5 * PITCH or top < 0
    for digit in of(marks, Role.FRET):
        x1, x2, low_y, high_y = extent(digit)
        assert right < x1 or left > x2 or top < low_y or bottom > high_y


LETTERED = """score: 1
time: 4/4
measures:
  - notes: [1/8: [{2: 1}, {2: 3 hammer-on}, {2: 1 pull-off}, {1: 0}], 1/8: [{1: 3}, {1: 7 slide}, {1: 5 pull-off}, rest]]
    lower: [1/4: [{5: 0}, {4: 2}, {5: 3}, {4: 2}]]
  - notes: [1/8: [{3: 2}, {3: 4 hammer-on}, {3: 2 pull-off}, {2: 1}], 1/16: [{3: 3}, {3: 7 hammer-on}, {3: 5 pull-off}, {3: 7 hammer-on}], 1/4: {1: 1}]
    lower: [1/8: [{5: 0}, {5: 10}, {5: 0}, {5: 7}, {5: 3}, {5: 3}, {5: 3}, {5: 3}]]
  - notes: [1/4: {6: 0}, grace 1/16: [{3: 2}, {3: 4 hammer-on}], 1/4: {3: 2 pull-off, 2: 0}, 1/2: {6: 3}]
"""


@BOTH
@pytest.mark.parametrize("copies", [1, 4])
def test_letters_keep_half_a_digit_from_digits_and_stand_apart(view, copies):
    head, _, music = LETTERED.partition("  - ")
    marks = tab(head + ("  - " + music) * copies, view)
    letters, half = [extent(mark) for mark in of(marks, Role.TECHNIQUE_LETTER)], STYLE.staff.fret_height * 0.3
    assert letters
    for letter in letters:
        others = [other for other in letters if other is not letter and other[2] == letter[2]]
        for left, right, bottom, top in [*others, *map(extent, of(marks, Role.FRET))]:
            white = max(left - letter[1], letter[0] - right)
            assert (
                white >= (half if top - bottom > 1.2 else 0.3) - 1e-6
                or bottom >= letter[3]
                or top <= letter[2]
            )


def test_a_bow_passes_at_the_side_of_a_digit_of_the_other_voice():
    music = "score: 1\nmeasures:\n  - notes: [1/2: [{3: 4}, {3: 2 pull-off}]]\n    lower: [1/2: [{5: 0}, {4: 2}]]\n"
    marks = tab(music, View.RHYTHM_TAB)
    (slur,) = of(marks, Role.SLUR)
    assert slur.outer[3][0] < min(
        mark.x for mark in of(marks, Role.FRET) if mark.y < 3 * PITCH and mark.x > slur.outer[0][0]
    )


@BOTH
def test_a_letter_of_a_bow_over_a_barline_stands_after_the_barline(view):
    marks = tab(score("[1/2: [{3: 5}, {3: 5}]]", "[1/2: [{3: 7 hammer-on}, {3: 5}]]"), view)
    (letter,) = of(marks, Role.TECHNIQUE_LETTER)
    left, right, *_ = extent(letter)
    lines = sorted({mark.x1 for mark in of(marks, Role.BARLINE)})
    digits = sorted(mark.x for mark in of(marks, Role.FRET))
    assert all(right < x - 0.2 or left > x + 0.2 for x in lines)
    assert digits[1] < left < digits[2]


def test_a_bow_from_a_bent_note_leaves_the_room_above_to_the_arrow():
    marks = tab(
        score("[1/4: {3: {fret: 7, bend: full release}}, 1/4: {3: 5 pull-off}, 1/2: {3: 5}]"),
        View.STAFF_AND_TAB,
    )
    (letter,) = of(marks, Role.TECHNIQUE_LETTER)
    assert letter.y < 3 * PITCH


def test_no_two_letters_of_the_house_style_are_the_same():
    shown = [
        sign.letters for sign in STYLE.signs.values() if sign.letters and sign.on != "none" and not sign.glyph
    ]
    assert len(shown) == len(set(shown))
