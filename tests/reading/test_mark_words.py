"""Words after a fret that are no marks: the nearest mark, or the form that the word needs."""

import pytest

from engrave.reading.mark_words import refuse_mark
from engrave.score.sign_list import MARKS, SPANS
from tests.reading.helpers import bar, problems


@pytest.mark.parametrize(
    ("word", "hint"),
    [
        ("hamer-on", 'did you mean "hammer-on"?'),
        ("bend", "for example: {fret: 3, bend: full}"),
        ("vibrato-bar", "for example: {fret: 3, vibrato-bar: dip 1/2}"),
        ("palm-mute", "write spans: palm-mute for 1/2"),
        ("barre", "write spans: barre 5 for 1/2"),
        ("mf", "write dynamics: mf"),
        ("qqq", "known here are"),
    ],
)
def test_a_word_that_is_no_mark_gets_its_right_form(word, hint):
    assert hint in refuse_mark(word)[1]


@pytest.mark.parametrize("word", [*SPANS, "bend", "finger", "qqq", "pp"])
def test_no_message_lists_all_the_marks(word):
    said = "; ".join(refuse_mark(word))
    assert sum(mark in said.split() for mark in MARKS) < 6
    assert len(said) < 160


@pytest.mark.parametrize("example", ["bend: full", "vibrato-bar: dip 1/2", "finger: 3", "pluck: i"])
def test_the_longer_forms_that_are_suggested_can_be_read(example):
    assert not problems(bar(f"[1/1: {{2: {{fret: 3, {example}}}}}]"))


def test_the_message_stands_at_the_fret():
    assert problems(bar("[1/1: {2: 3 bend}]")) == [
        'f:3:22: "bend" needs the longer form of a fret (Guitar, measure 1); for example: {fret: 3, bend: full}'
    ]


@pytest.mark.parametrize(("event", "right"), [("2 1", "{2: 1}"), ("2:1", "{2: 1}"), ("6: 3 accent", None)])
def test_a_string_and_fret_without_braces_in_a_list(event, right):
    found = problems(bar(f"[1/1: [{event}]]"))
    assert found == ([] if right is None else [f'f:3:19: "{event}" is not an event (Guitar, measure 1, beat 1); write {right}'])
