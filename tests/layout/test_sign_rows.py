"""Signs of one kind stand in one row along a tab (common practice, no source)."""

from itertools import pairwise

import pytest

from engrave.fonts.symbols import music_face
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
    placed = [
        mark
        for page in place_score(read(text), STYLE, view).pages
        for group in page.groups
        for mark in group.marks
    ]
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
    lower, upper = sorted(
        mark.y for mark in texts(["[1/1: {6: {fret: 0, marks: [slap, pop]}}]"], Role.PLAYING_SIGN, view)
    )
    assert upper - lower >= 1.0


@BOTH
def test_letters_of_a_chord_stand_in_the_order_of_its_strings(view):
    letters = texts(
        [
            "[1/1: {1: {fret: 2, pluck: a}, 2: {fret: 3, pluck: m}, 3: {fret: 2, pluck: i}, 4: {fret: 0, pluck: p}}]"
        ],
        Role.PLAYING_SIGN,
        view,
    )
    assert [mark.text for mark in sorted(letters, key=lambda mark: -mark.y)] == ["a", "m", "i", "p"]


@BOTH
def test_words_at_the_end_of_a_measure_and_at_the_start_of_the_next_stand_apart(view):
    rows = [
        "[1/4: [{1: 5}, {1: 5}, {1: 5}, {1: 5 fade-out}]]",
        "[1/4: [{1: 5 fade-in}, {1: 5}, {1: 5}, {1: 5}]]",
    ]
    end, start = texts(rows, Role.PLAYING_SIGN, view)
    assert (end.text, start.text) == ("fade out", "fade in")
    assert start.x - (end.x + text_face(end.face).width(end.text, end.size)) >= 1.5


ROWS = [
    "[1/4: [{1: 12}, {1: 15}, {1: 17}, {1: 15 fade-out}]]",
    "[1/8: [{2: 5 fade-in}, {3: 15 volume-swell}, {3: 5 fade-out}, {3: 5}], 1/2: {3: 4 volume-swell}]",
]


@BOTH
@pytest.mark.parametrize("copies", [1, 5])
def test_words_that_start_at_a_note_stand_at_its_left_edge_in_one_row(view, copies):
    words, digits = texts(ROWS * copies, Role.PLAYING_SIGN, view), texts(ROWS * copies, Role.FRET, view)
    assert [mark.text for mark in words] == ["fade out", "fade in", "swell", "fade out", "swell"] * copies
    starting = [digits[9 * copy + number] for copy in range(copies) for number in (3, 4, 5, 6, 8)]
    for word, digit in zip(words, starting, strict=True):
        assert word.x == pytest.approx(digit.x)
    for first, second in pairwise(words):
        if second.x > first.x:  # on one line
            assert second.y == first.y
            assert (
                second.x - first.x - text_face(first.face).width(first.text, first.size)
                >= STYLE.stacking.sign_gap - 1e-6
            )


@pytest.mark.parametrize("beat", [1, 1.5, 2, 2.5, 3])
@pytest.mark.parametrize("dynamic", ["mp", "ffff", "sfz"])
def test_words_over_a_tab_keep_half_a_space_from_dynamics_under_the_staff(dynamic, beat):
    text = f"score: 1\nmeasures:\n  - notes: {ROWS[1]}\n    dynamics: {{{beat}: {dynamic}}}\n"
    groups = place_score(read(text), STYLE, View.STAFF_AND_TAB).pages[0].groups
    face = music_face()
    letters = [(g, m) for g in groups for m in g.marks if m.role is Role.DYNAMIC]
    words = [(g, m) for g in groups for m in g.marks if m.role is Role.PLAYING_SIGN]
    assert letters
    assert words
    for staff, letter in letters:
        box = face.glyph(letter.name).box
        foot = staff.y + (letter.y + box.bottom) * staff.scale
        for tab, word in words:
            ink = text_face(word.face).ink(word.text, word.size)
            above = foot - tab.y - (word.y + ink.top) * tab.scale
            aside = (
                max(word.x + ink.left - letter.x - box.right, letter.x + box.left - word.x - ink.right)
                * tab.scale
            )
            assert max(above, aside) >= 0.5 * tab.scale - 1e-6
