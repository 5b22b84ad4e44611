"""Rows of events with some of them changed: what stays is kept as typed, what grows becomes a list of its own."""

import pytest
from hypothesis import HealthCheck, given, settings

from engrave.theory.pitch import parse_pitch
from engrave.writing.dump import dump_score
from engrave.writing.score_tree import score_tree
from tests.layout.test_random_scores import scores
from tests.reading.helpers import read
from tests.writing.helpers import HEAD, finger_all, rewritten, unchosen, with_note
from tests.writing.test_rewrite import changes


@pytest.mark.parametrize(
    ("before", "note", "changed", "after"),
    [
        ("1/2: 3:0 3:5", 1, {"string": 4, "fret": 10}, "1/2: 3:0 4:10"),
        ("1/4: 3:0  3:5   2:0    2:1", 1, {"string": 4, "fret": 10}, "1/4: 3:0  4:10   2:0    2:1"),
        ("1/2: 3:0 3:5", 1, {"finger": "2"}, "1/2: [3:0, 3:5 finger 2]"),
        ("1/2: 3:0 accent 3:5", 1, {"finger": "2"}, "1/2: 3:0 accent 3:5 finger 2"),
        ("1/2: 3:2 accent p 3:5", 0, {"finger": "1"}, "1/2: 3:2 p finger 1 accent 3:5"),
        ("1/2: [3:0, 3:5]", 1, {"finger": "2"}, "1/2: [3:0, 3:5 finger 2]"),
        ("1/4: [3:0 3:5, rest rest]", 0, {"finger": "2"}, "1/4: [3:0 finger 2, 3:5, rest rest]"),
        ("1/2: [rest, 5:3+4:2]", 1, {"finger": "2"}, "1/2: [rest, {5: 3, 4: 2 finger 2}]"),
        ("1/4: [3:0 5:3+4:2, rest rest]", 1, {"finger": "3"}, "1/4: [3:0, {5: 3 finger 3, 4: 2}, rest rest]"),
        ("1/1: 5:3+4:2 accent", 0, {"finger": "3"}, "1/1: {5: 3 finger 3, 4: 2, marks: accent}"),
        ("1/2: 3:6 3:0", 0, {"pitch": parse_pitch("Db5")}, "1/2: [3:6 pitch Db5, 3:0]"),
        ("1/2: 3:6 pitch Db5 3:0", 0, {"pitch": parse_pitch("C#5")}, "1/2: 3:6 3:0"),
        ("1/2: {3: 6 pitch Db5}, 1/2: 3:0", 0, {"finger": "2"}, "1/2: {3: 6 finger 2 pitch Db5}, 1/2: 3:0"),
        ("1/2: {3: {fret: 6 finger 1}}, 1/2: rest", 0, {"finger": "2"}, "1/2: {3: 6 finger 2}, 1/2: rest"),
        ("1/2: 3:5 tie", 0, {"string": 4, "fret": 10}, "1/2: 4:10 tie"),
    ],
)
def test_a_note_of_a_row_is_written_anew_and_the_rest_stays(before, note, changed, after):
    text = f"{HEAD}  - notes: [{before}]  # one\n"
    assert rewritten(text, with_note(note, **changed)) == f"{HEAD}  - notes: [{after}]  # one\n"


def test_an_item_of_a_block_list_becomes_several_lines():
    text = f"{HEAD}  - notes:\n      - 1/4:\n          - 3:0 3:5  # first\n          - rest rest\n"
    new = rewritten(text, with_note(0, finger="2"))
    assert new == text.replace("- 3:0 3:5  #", "- 3:0 finger 2\n          - 3:5  #")


def test_a_row_over_two_lines_is_written_on_one():
    text = f"{HEAD}  - notes:\n      - 1/4: 3:0 3:2\n             2:0 2:1\n      # end\n"
    assert (
        rewritten(text, with_note(1, string=4, fret=7))
        == f"{HEAD}  - notes:\n      - 1/4: 3:0 4:7 2:0 2:1\n      # end\n"
    )


def test_pitches_of_a_row_become_frets_when_their_places_are_written():
    assert rewritten(f"{HEAD}  - notes: [1/2: F#5 C5+E5]\n", unchosen).endswith("[1/2: 1:2 1:0+2:1]\n")


@settings(max_examples=80, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(scores(), changes())
def test_random_changes_of_random_scores_in_the_short_form_are_read_back(text, change):
    rewritten(dump_score(score_tree(read(text))), change)


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(scores())
def test_a_score_in_the_short_form_is_written_the_same_again(text):
    short = dump_score(score_tree(read(text)))
    assert dump_score(score_tree(read(short))) == short
    rewritten(short, finger_all)


def test_rows_with_anchors_are_written_out_where_their_uses_differ():
    text = f"{HEAD}  - notes: [1/4: &row 3:0 3:5 2:0 2:1]\n  - notes: [1/4: *row]\n"
    assert rewritten(text, finger_all).endswith("  - notes: [1/4: *row]\n")
    assert rewritten(text, with_note(0, finger="2")).endswith("  - notes: [1/4: 3:0 3:5 2:0 2:1]\n")
    inside = f"{HEAD}  - notes: [1/4: [&pair 3:0 3:5, *pair]]\n"
    assert (
        rewritten(inside, with_note(0, finger="2"))
        == f"{HEAD}  - notes: [1/4: [3:0 finger 2, 3:5, 3:0 3:5]]\n"
    )
