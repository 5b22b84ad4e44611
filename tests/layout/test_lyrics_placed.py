"""Lyrics on the page: elisions joined by a tie (the undertie of Unicode, common practice, no source)."""

import pytest

from engrave.fonts.text_face import text_face
from engrave.fonts.text_setting import InstalledFaces
from engrave.layout.document import place_score
from engrave.marks.bounds import measure_box
from engrave.marks.mark import Text
from engrave.marks.role import Role
from engrave.style.load import load_style
from tests.reading.helpers import read


def marks_of(lyrics):
    score = read(
        f'score: 1\ninstrument: voice\nmeasures:\n  - {{notes: [1/4: [C4, D4, E4, F4]], lyrics: "{lyrics}"}}\n'
    )
    pages = place_score(score, load_style(score.style)[0]).pages
    return [mark for page in pages for group in page.groups for mark in group.marks]


def test_an_elision_is_a_blank_with_a_bow_under_it():
    marks = marks_of("sul mar‿e lu-ce")
    words = {mark.text: mark for mark in marks if mark.role is Role.LYRIC}
    assert set(words) == {"sul", "mar e", "lu", "ce"}
    (slur,) = (mark for mark in marks if mark.role is Role.ELISION)
    left, right = slur.outer[0][0], slur.outer[-1][0]
    assert words["mar e"].x < left < right < words["lu"].x
    assert slur.outer[1][1] < words["mar e"].y


def test_words_without_elisions_have_no_bows():
    assert not [mark for mark in marks_of("sul mar e lu") if mark.role is Role.ELISION]


def placed(measures, style="base"):
    """Every mark of a sung score with the group it stands in, in order."""
    score = read(f"score: 1\ninstrument: voice\nmeasures:\n{measures}")
    pages = place_score(score, load_style(style)[0]).pages
    return [(mark, group) for page in pages for group in page.groups for mark in group.marks]


NO_WORDS = "  - {notes: [1/4: [C4, D4, E4, F4]]}\n" * 4
"""Fills a line, so that the lines are not so loose that a word has two hyphens."""


def spans(found, role):
    """From left to right end of each stroke or word of `role`, in staff spaces, with its group."""
    result = []
    for mark, group in found:
        if mark.role is not role:
            continue
        if isinstance(mark, Text):
            right = mark.x + text_face(mark.face).width(mark.text, mark.size)
            result.append((mark.x, right, mark.y, group))
        else:
            result.append((min(mark.x1, mark.x2), max(mark.x1, mark.x2), mark.y1, group))
    return result


@pytest.mark.parametrize("style", ["base", "handout", "large-print"])
def test_a_carried_over_hyphen_is_left_out_before_a_syllable_under_the_first_note(style):
    """Common practice, no source: the line before ended with the hyphen, and here is no room for another."""
    found = placed(
        f'{NO_WORDS}  - {{notes: [1/4: [C4, D4, E4, F4]], lyrics: "sul mar lu a-"}}\n'
        '  - {new: line, notes: [1/4: [C4, D4, E4, F4]], lyrics: "way, way, lu-ce"}\n',
        style,
    )
    words, hyphens = spans(found, Role.LYRIC), spans(found, Role.LYRIC_HYPHEN)
    assert len(hyphens) == 2
    for left, right, _, group in hyphens:
        for start, end, _, other in words:
            assert other is not group or right < start or left > end


def test_a_word_held_into_a_new_line_has_a_hyphen_there():
    found = placed(
        f'{NO_WORDS}  - {{notes: [1/4: [C4, D4, E4, F4]], lyrics: "sul mar lu a-"}}\n'
        '  - {new: line, notes: [1/4: [C4, D4, E4, F4]], lyrics: "... men"}\n'
    )
    assert len(spans(found, Role.LYRIC_HYPHEN)) == 2


def test_hyphens_of_a_word_that_never_ends_stop_at_the_rest():
    """Common practice, no source: an import may lack the last syllable; its hyphens must not run on for lines."""
    found = placed(
        '  - {notes: [1/4: [C4, D4, E4, F4]], lyrics: "sul mar lu- ..."}\n'
        "  - {notes: [1/4: [C4, D4], 1/2: rest]}\n"
        "  - {notes: [1/1: rest]}\n"
        "  - {new: line, notes: [1/4: [C4, D4, E4, F4]]}\n"
        '  - {notes: [1/4: [C4, D4, E4, F4]], lyrics: "oth-er words here"}\n'
    )
    heads = [mark.x for mark, _ in found if mark.role is Role.NOTEHEAD]
    words = spans(found, Role.LYRIC)
    for left, right, _, group in spans(found, Role.LYRIC_HYPHEN):
        if group is words[0][3]:
            assert words[2][1] < left < right < heads[5] + 1.5
        else:
            assert left > words[3][1]


def test_a_word_that_never_ends_is_not_carried_over_to_the_next_line():
    found = placed(
        '  - {notes: [1/4: [C4, D4, E4, F4]], lyrics: "sul mar lu ce-"}\n'
        "  - {new: line, notes: [1/4: [C4, D4, E4, F4]]}\n"
    )
    assert len(spans(found, Role.LYRIC_HYPHEN)) == 1


def test_a_word_goes_on_over_a_short_rest():
    found = placed('  - {notes: [1/4: [C4, rest, E4, F4]], lyrics: "lu-ce sul"}\n')
    (left, right, _, _), words = spans(found, Role.LYRIC_HYPHEN)[0], spans(found, Role.LYRIC)
    assert words[0][1] < left < right < words[1][0]


def test_verse_numbers_stay_clear_of_the_clef():
    found = placed(
        "  - {notes: [1/1: A4], lyrics: {1: First, 2: Second, 3: Third}}\n",
    )
    faces = InstalledFaces()
    (clef,) = (measure_box(mark, faces) for mark, _ in found if mark.role is Role.CLEF)
    numbers = [measure_box(mark, faces) for mark, _ in found if mark.role is Role.VERSE_NUMBER]
    assert len(numbers) == 3
    for number in numbers:
        assert number.left > clef.right + 0.25 or number.top < clef.bottom - 0.25


def test_the_number_of_a_verse_stands_before_its_first_syllable():
    """Common practice, no source. Verses that start together have their numbers in line."""
    found = placed(
        "  - {pickup: true, notes: [1/4: C4], lyrics: {1: Oh}}\n"
        '  - {notes: [1/4: [C4, D4, E4, F4]], lyrics: {1: "sul mar lu-ce", 2: "a ship it sails", 3: "third is as well"}}\n'
    )
    numbers = {mark.text: mark.x for mark, _ in found if mark.role is Role.VERSE_NUMBER}
    words = {mark.text: mark.x for mark, _ in found if mark.role is Role.LYRIC}
    assert numbers["1."] < words["Oh"] < numbers["2."] < words["a"]
    assert numbers["2."] < words["third"]
    assert abs(numbers["2."] - numbers["3."]) < 0.05


def test_a_verse_that_starts_on_a_later_line_has_its_number_there():
    found = placed(
        "  - {pickup: true, notes: [1/4: C4], lyrics: {1: Oh}}\n"
        '  - {new: line, notes: [1/4: [C4, D4, E4, F4]], lyrics: {1: "sul mar lu-ce", 2: "a ship it sails"}}\n'
    )
    (_, _, _, one), (_, _, _, two) = spans(found, Role.VERSE_NUMBER)
    assert one is not two
