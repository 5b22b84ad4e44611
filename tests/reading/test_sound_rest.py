"""A fault of form does not hide the mistakes of meaning elsewhere in the score: all are told in one run."""

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from engrave.problems import ProblemLog
from engrave.reading.load import read_text_score

GOOD = "{notes: [1/1: {1: 0}]}"
SHORT = "{notes: [1/2: {1: 0}]}"


def told(*measures, head=""):
    """Line and first words of every message; measure N stands on line 2 + N, after `head` on line 2."""
    log = ProblemLog("f")
    text = f"score: 1\n{head or 'title: x'}\nmeasures:\n" + "".join(
        f"  - {measure}\n" for measure in measures
    )
    assert read_text_score(text, log) is None
    return [(problem.location.line, problem.what) for problem in log.in_order()]


def test_a_short_bar_is_told_beside_an_impossible_fret():
    assert told("{notes: [1/1: {1: 99}]}", GOOD, SHORT) == [
        (4, "fret 99 must be at most 36"),
        (6, "this measure is too short by 1/2"),
    ]


@pytest.mark.parametrize("head", ["titel: x", "title: [x]", "copyright: {a: b}", "style: [1]", "counting: 7"])
def test_a_fault_in_a_head_that_music_does_not_hang_on_hides_nothing(head):
    lines = [line for line, _ in told(GOOD, SHORT, head=head)]
    assert lines == [2, 5]


@pytest.mark.parametrize("head", ["tiem: 2/4", "time: [2]", "instrumnet: bass", "tuning: {a: b}", "capo: 99"])
def test_a_fault_in_what_decides_about_every_measure_is_told_alone(head):
    assert [line for line, _ in told(SHORT, head=head)] == [2]


@pytest.mark.parametrize("entry", ["{tiem: 2/4, notes: [1/2: {1: 0}]}", "{time: [2], notes: [1/2: {1: 0}]}"])
def test_a_time_that_cannot_be_read_is_told_alone(entry):
    assert [line for line, _ in told(entry, SHORT)] == [4]


def test_nothing_is_said_of_a_tie_from_a_measure_that_could_not_be_read():
    assert [line for line, _ in told("{notes: [1/1: {1: 99}]}", "{notes: [1/1: tie]}", GOOD, SHORT)] == [4, 7]


def test_nothing_is_said_of_roads_when_a_sign_of_theirs_could_not_be_read():
    measures = [
        "{repeat: sideways, notes: [1/1: {1: 0}]}",
        GOOD,
        "{go-back: D.C. al Fine, notes: [1/1: {1: 0}]}",
        SHORT,
    ]
    assert [line for line, _ in told(*measures)] == [4, 7]


junk = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-9, 99)
    | st.sampled_from(["x", "1/4", "tie", "notes", "time", "end", "1", "~"]),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(
                [
                    "notes",
                    "lower",
                    "1/4",
                    "1",
                    "2",
                    "time",
                    "repeat",
                    "chord",
                    "spans",
                    "parts",
                    "tab",
                    "fret",
                    "tiem",
                ]
            ),
            inner,
            max_size=3,
        )
    ),
    max_leaves=8,
)


@given(
    st.lists(junk, min_size=1, max_size=4),
    st.dictionaries(st.sampled_from(["title", "parts", "key", "shapes", "zzz"]), junk, max_size=2),
)
def test_no_tree_makes_it_stumble(measures, head):
    log = ProblemLog("f")
    read_text_score(yaml.safe_dump({"score": 1, **head, "measures": measures}), log)
