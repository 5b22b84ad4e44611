"""Lyrics: verses in a list, hyphens with blanks around them, and words that no syllable stands before."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.reading.helpers import problems, read


def score(*lyrics, notes="1/4: 3:0 3:2 2:0 2:1"):
    rows = "".join(f"  - {{notes: [{notes}], lyrics: {words}}}\n" for words in lyrics)
    return f"score: 1\nmeasures:\n{rows}"


def sung(text, verse=0):
    """(syllable, whether its word goes on, whether it is held) of one verse."""
    found = []
    for measure in read(text).parts[0].measures:
        for event in measure.voices[0].events:
            syllable = event.lyrics[verse] if verse < len(event.lyrics) else None
            if syllable is not None:
                found.append((syllable.text, syllable.hyphen, syllable.extends))
    return found


def test_a_list_holds_the_verses_in_their_order():
    listed, numbered = score("[lan-tern, har-bour]"), score("{1: lan-tern, 2: har-bour}")
    assert sung(listed) == sung(numbered)
    assert sung(listed, verse=1) == sung(numbered, verse=1) == [("har", True, False), ("bour", False, False)]


@pytest.mark.parametrize("words", ["lu-ne", "lu - ne", "lu- ne", "lu -ne", "lu- -ne"])
def test_a_hyphen_with_blanks_around_it_joins_syllables(words):
    assert sung(score(f'"{words} so"')) == [("lu", True, False), ("ne", False, False), ("so", False, False)]


@pytest.mark.parametrize(
    ("first", "second"),
    [("a lu-", "ne"), ("a lu", '"-ne"'), ("a lu", '"- ne"'), ("a lu -", "ne"), ("a lu-", '"-ne"')],
)
def test_a_word_may_go_on_in_the_next_measure(first, second):
    tied = "1/4: 3:0 3:2 tie tie"
    assert sung(score(first, second, notes=tied)) == [
        ("a", False, False),
        ("lu", True, False),
        ("ne", False, False),
    ]


def test_a_syllable_lasts_over_what_is_tied_to_its_note():
    assert sung(score("a lu", notes="1/4: 3:0 3:2 tie tie"))[1] == ("lu", False, True)
    assert sung(score("a ...", notes="1/4: 3:0 3:2 tie tie"))[0] == ("a", False, True)


def test_a_verse_that_is_silent_is_not_held_by_the_ties_of_others():
    words = '{1: "one two", 2: "first"}'
    tied = "1/4: 3:0 3:2 tie tie"
    assert sung(score(words, notes=tied), verse=1) == [("first", False, False)]


def test_a_hyphen_after_a_held_syllable_is_that_syllables():
    assert sung(score('"lu ... -ne"')) == [("lu", True, True), ("ne", False, False)]


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (
            '"-ne"',
            "f:3:46: there is no syllable before this hyphen (Guitar, measure 1); a hyphen stands between two syllables of a word",
        ),
        ('"... - ne"', "f:3:50: there is no syllable before this hyphen"),
        ("lu--ne", 'f:3:47: "--" stands in the lyrics (Guitar, measure 1); one hyphen separates syllables'),
        ('"lu -- ne"', '"--" stands in the lyrics'),
        ('["so", "a b c d e"]', 'f:3:61: there is no note for "e"'),
    ],
)
def test_what_cannot_be_sung_is_told_at_its_place(words, message):
    found = problems(score(words))
    assert len(found) == 1, found
    assert message in found[0]


SYLLABLES = st.lists(
    st.tuples(st.sampled_from(["lan", "a", "’so", "B", "x"]), st.booleans()), min_size=1, max_size=4
)


@given(SYLLABLES, st.data())
def test_no_hyphen_is_lost_wherever_its_blanks_stand(syllables, data):
    last = len(syllables) - 1
    text = ""
    for number, (syllable, hyphen) in enumerate(syllables):
        joint = data.draw(st.sampled_from(["-", " - ", "- ", " -"])) if hyphen and number < last else " "
        text += syllable + joint
    expected = [
        (syllable, hyphen and number < last, False) for number, (syllable, hyphen) in enumerate(syllables)
    ]
    assert sung(score(f'"{text}"')) == expected


def test_a_tie_between_two_syllables_may_have_spaces_around_it():
    for words in ("time‿and tide", "time ‿ and tide", "time‿ and tide", "time ‿and tide"):
        score = read(f"score: 1\ntime: 2/4\nmeasures:\n  - lyrics: {words}\n    notes: [1/4: 3:0 3:2]\n")
        (voice,) = score.parts[0].measures[0].voices
        assert [event.lyrics[0].text for event in voice.events] == ["time‿and", "tide"], words
