"""Lyrics on the page: elisions joined by a bow (the undertie of Unicode, common practice, no source)."""

from engrave.layout.document import place_score
from engrave.marks.role import Role
from engrave.style.load import load_style
from tests.reading.helpers import read


def marks_of(lyrics):
    score = read(
        f"score: 1\ninstrument: voice\nmeasures:\n  - {{notes: [1/4: [C4, D4, E4, F4]], lyrics: \"{lyrics}\"}}\n"
    )
    pages = place_score(score, load_style(score.style)[0]).pages
    return [mark for page in pages for group in page.groups for mark in group.marks]


def test_an_elision_is_a_blank_with_a_bow_under_it():
    marks = marks_of("sul mar‿e lu-ce")
    words = {mark.text: mark for mark in marks if mark.role is Role.LYRIC}
    assert set(words) == {"sul", "mar e", "lu", "ce"}
    (bow,) = (mark for mark in marks if mark.role is Role.ELISION)
    left, right = bow.outer[0][0], bow.outer[-1][0]
    assert words["mar e"].x < left < right < words["lu"].x
    assert bow.outer[1][1] < words["mar e"].y


def test_words_without_elisions_have_no_bows():
    assert not [mark for mark in marks_of("sul mar e lu") if mark.role is Role.ELISION]
