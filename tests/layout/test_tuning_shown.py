"""A page says how the strings are tuned where a player could not know it. Common practice, no source."""

import pytest

from engrave.layout.document import place_score
from engrave.marks.role import Role
from engrave.style.load import load_style
from tests.reading.helpers import read

STYLE = load_style("")[0]


def shown(head):
    document = place_score(read(f"score: 1\n{head}\nmeasures: [{{notes: [1/1: {{1: 0}}]}}]\n"), STYLE)
    marks = [mark for group in document.pages[0].groups for mark in group.marks]
    letters = [mark.text for mark in marks if mark.role is Role.STRING_NAME]
    words = [mark.text for mark in marks if mark.role is Role.TUNING_TEXT]
    return letters, " ".join(words)


@pytest.mark.parametrize("instrument", ["guitar", "bass", "ukulele"])
def test_usual_tunings_are_not_spelled_out(instrument):
    assert shown(f"instrument: {instrument}") == ([], "")


def test_a_changed_tuning_is_spelled_out_at_the_lines_and_above():
    letters, words = shown("tuning: drop D")
    assert letters == ["E", "B", "G", "D", "A", "D"]
    assert "D A D G B E" in words


def test_seven_strings_are_named():
    letters, words = shown("instrument: guitar-7")
    assert len(letters) == 7
    assert "B E A D G B E" in words
