"""Endings in files of others: brackets that are cut short, never stop or never start (MusicXML 4.0, ending, repeat).

The rows of brackets are those found in the corpus of music21; the order of playing is common practice, no source.
"""

import pytest
from music21 import converter, repeat

from engrave.layout.document import place_score
from engrave.marks.role import Role
from engrave.score.structure import View
from engrave.style.load import load_style
from engrave.theory.repeats import unfold
from tests.exchange.musicxml_helpers import FOUR, load, score
from tests.exchange.test_round_trips import loaded


def bar(location="right", *, ending="", repeat=""):
    """A barline; `ending` is "2 start", `repeat` a direction."""
    number, _, kind = ending.rpartition(" ")
    bracket = f'<ending number="{number.strip()}" type="{kind}"/>' if ending else ""
    sign = f'<repeat direction="{repeat}"/>' if repeat else ""
    return f'<barline location="{location}">{bracket}{sign}</barline>'


def left(ending="", repeat=""):
    return bar("left", ending=ending, repeat=repeat) + FOUR


FORWARD = left(repeat="forward")
BACK = bar(repeat="backward")
LAST = left("2 start") + bar(ending="2 discontinue")


def read(*bodies):
    """The endings of a file and the order in which its measures are played, from 1; nothing may be lost."""
    tree, losses = load(score(*bodies))
    assert losses == []
    infos = [measure.repeat for measure in loaded(tree).measures]
    return [info.ending for info in infos], [index + 1 for index in unfold(infos)]


def test_an_ending_that_is_discontinued_has_an_open_bracket():
    first = left("1 start") + bar(ending="1 stop", repeat="backward")
    tree, _ = load(score(FORWARD, first, LAST, FOUR))
    assert [measure.get("ending") for measure in tree["measures"]] == [None, 1, 2, None]
    assert "repeat" not in tree["measures"][2]
    (page,) = place_score(loaded(tree), load_style("")[0], View.STAFF).pages
    marks = [mark for group in page.groups for mark in group.marks if mark.role is Role.ENDING_BRACKET]
    hooks = [mark for mark in marks if mark.x1 == mark.x2]
    assert len(hooks) == 3  # at both ends of the first bracket, at the start of the second


def test_a_bracket_over_the_first_measure_only_reaches_to_the_repeat():
    first = left("1 start") + bar(ending="1 stop")
    assert read(FORWARD, first, FOUR, FOUR + BACK, LAST) == ([(), (1,), (1,), (1,), (2,)], [1, 2, 3, 4, 1, 5])


def test_an_ending_that_stops_without_a_start_is_one_measure():
    first = FOUR + bar(ending=" stop", repeat="backward")
    assert read(FORWARD, first, LAST) == ([(), (1,), (2,)], [1, 2, 1, 3])


def test_an_ending_that_never_stops_is_one_measure():
    first = left("1 start") + BACK
    assert read(FORWARD, first, left("2 start"), FOUR, FOUR)[0] == [(), (1,), (2,), (), ()]


def test_each_of_three_endings_is_reached():
    """Common practice, no source; music21 does not unfold such a repeat."""
    assert read(FORWARD, left("1 start") + BACK, left("2 start") + BACK, left("3 start"))[1] == [
        1,
        2,
        1,
        3,
        1,
        4,
    ]


def test_a_repeat_starts_in_the_last_ending():
    first = left("1 start") + bar(ending="1 stop", repeat="backward")
    second = bar("left", ending="2 start", repeat="forward") + FOUR + bar(ending="2 discontinue")
    assert read(FORWARD, first, second, FOUR + BACK)[1] == [1, 2, 1, 3, 4, 3, 4]


def test_repeats_at_the_other_side_of_a_barline():
    """The start at the end of the measure before, the end at the start of the next one."""
    assert read(FOUR + bar(repeat="forward"), FOUR, left(repeat="backward"))[1] == [1, 2, 2, 3]


@pytest.mark.parametrize(
    "bodies",
    [
        (FORWARD, left("1 start") + bar(ending="1 stop", repeat="backward"), LAST, FOUR),
        (
            FORWARD,
            left("1 start"),
            FOUR + bar(ending="1 stop", repeat="backward"),
            left("2 start"),
            FOUR + bar(ending="2 stop"),
        ),
        (FOUR, FORWARD, FOUR + BACK, FORWARD, FOUR + BACK),
        (
            FORWARD,
            left("1, 2 start") + bar(ending="1, 2 stop", repeat="backward"),
            left("3 start") + bar(ending="3 stop"),
        ),
    ],
)
def test_the_order_of_playing_is_that_of_music21(bodies):
    part = converter.parse(score(*bodies), format="musicxml").parts[0]
    names = [measure.number for measure in repeat.Expander(part).process().getElementsByClass("Measure")]
    assert read(*bodies)[1] == names
