"""Apostrophes are printed curved, whatever the author typed (common practice; the character by the Unicode Standard)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.layout.text.apostrophes import printed_words
from engrave.marks.role import Role
from tests.layout.placed_marks import place_text


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        ("o'er", "o’er"),
        ("'Tis", "’Tis"),
        ("runnin'", "runnin’"),
        ("The Sailor's Rest", "The Sailor’s Rest"),
        ("rock 'n' roll", "rock ’n’ roll"),
        ("back in '90s style", "back in ’90s style"),
        ("L'été", "L’été"),
        ("six 6' poles", "six 6' poles"),
        ("say 'now' and don't", "say 'now' and don’t"),
        ("'I don't know'", "'I don’t know'"),
        ("o’er", "o’er"),
        ("'", "'"),
    ],
)
def test_apostrophes_are_curved_and_quotation_marks_stay(typed, printed):
    assert printed_words(typed) == printed


@given(st.text("ab' 9’.", max_size=30))
def test_nothing_else_changes(text):
    assert printed_words(text).replace("’", "'") == text.replace("’", "'")
    assert printed_words(printed_words(text)) == printed_words(text)


def test_titles_words_and_lyrics_have_curved_apostrophes():
    marks = place_text(
        "score: 1\ntitle: Sailor's Rest\ncredits: {music: O'Shea}\nmeasures:\n"
        "  - lyrics: o'er\n    text: {1: don't rush}\n    notes: [1/1: G4]\n"
    )
    words = {mark.role: mark.text for mark, _ in marks if hasattr(mark, "text")}
    assert words[Role.TITLE] == "Sailor’s Rest"
    assert words[Role.CREDIT] == "O’Shea"
    assert words[Role.LYRIC] == "o’er"
    assert words[Role.TEXT] == "don’t rush"
