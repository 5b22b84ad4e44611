"""Problems in words: where the place in the music stands, and what is suggested for a word that is not known."""

import pytest

from engrave.problems import NOWHERE, Location, ProblemLog, did_you_mean, find_in_lines

MANY = tuple(f"word-{number}" for number in range(30))


def told(what, where="", hint=""):
    log = ProblemLog("f")
    log.error(Location(1, 2), what, where, hint)
    return str(log.problems[0])


def test_the_place_in_the_music_stands_between_what_is_wrong_and_what_would_be_right():
    assert told("no", "measure 1", "yes") == "f:1:2: no (measure 1); yes"
    assert told("no; yes", "measure 1") == "f:1:2: no (measure 1); yes"
    assert told("no; yes", "measure 1", "or so") == "f:1:2: no (measure 1); yes; or so"


def test_a_semicolon_in_quoted_text_starts_no_hint():
    assert told('"a; b" is wrong; write c', "measure 1") == 'f:1:2: "a; b" is wrong (measure 1); write c'


def test_a_word_that_is_near_is_suggested():
    assert did_you_mean("hamer-on", ["pull-off", "hammer-on"]) == 'did you mean "hammer-on"?'


def test_a_few_words_are_listed_and_of_many_only_some():
    assert did_you_mean("qqq", ["one", "two"]) == "known here: one, two"
    assert did_you_mean("qqq", []) == ""
    assert (
        did_you_mean("qqq", MANY)
        == "known here are 30 words, among them word-0, word-1, word-2, word-3 and word-4"
    )


@pytest.mark.parametrize(("text", "location"), [("b", Location(1, 2)), ("é", Location(3, 1)), ("z", NOWHERE)])
def test_text_is_found_in_lines(text, location):
    assert find_in_lines(text, ["abc", "", "é"]) == location
