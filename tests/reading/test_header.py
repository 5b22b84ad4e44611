"""The head of a score: who made the piece."""

import pytest

from engrave.score.structure import Credits
from tests.reading.helpers import problems, read

MUSIC = "measures: [{notes: rest}]\n"


def test_one_line_of_credits_is_the_music():
    assert read(f"score: 1\ncredits: traditional\n{MUSIC}").credits == Credits(music="traditional")


@pytest.mark.parametrize(
    ("key", "hint"),
    [
        ("composer", "write credits: {music: A. Nyone}"),
        ("lyricist", "write credits: {words: A. Nyone}"),
        ("arranger", "write credits: {arrangement: A. Nyone}"),
        ("Author", "write credits: {music: A. Nyone}, or words: for who wrote the words"),
    ],
)
def test_other_words_for_who_made_it_are_answered_with_the_right_key(key, hint):
    assert problems(f"score: 1\n{key}: A. Nyone\n{MUSIC}") == [f'f:2:1: "{key}" is not known here; {hint}']
