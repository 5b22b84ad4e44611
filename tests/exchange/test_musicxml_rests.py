"""Rests in MusicXML files: which of them are printed, which fill a measure, and which leave no voice behind.

`print-object` and `measure` are attributes of MusicXML 4.0 (note, rest); `forward` moves on without a rest.
"""

import pytest

from engrave.exchange.musicxml.reader import read_musicxml
from engrave.exchange.musicxml.writer import write_musicxml
from tests.exchange.musicxml_helpers import FOUR, attributes, load, measures, note, score
from tests.exchange.test_round_trips import differences, loaded
from tests.reading.helpers import read

BACK = "<backup><duration>16</duration></backup>"
QUARTERS = [{"1/4": "C4 D4 E4 F4"}]


def rest(length=4, kind="quarter", inside="", **keys):
    return note("rest", length, kind, **keys).replace("<rest/>", f"<rest{inside}/>")


def hidden(*rests):
    return "".join(rests).replace("<note>", '<note print-object="no">')


def whole_measure(**keys):
    return rest(16, "", ' measure="yes"', **keys).replace("<type></type>", "")


def test_rests_that_are_not_printed_leave_no_second_voice():
    assert measures(FOUR + BACK + hidden(rest(8, "half", voice=2) * 2)) == [{"notes": QUARTERS}]


def test_going_forward_leaves_no_second_voice():
    forward = "<forward><duration>16</duration><voice>2</voice></forward>"
    assert measures(FOUR + BACK + forward) == [{"notes": QUARTERS}]


def test_a_second_voice_of_printed_rests_stays():
    assert measures(FOUR + BACK + rest(8, "half", voice=2) * 2) == [
        {"notes": QUARTERS, "lower": [{"1/2": "rest rest"}]}
    ]


def test_a_first_voice_that_is_not_printed_makes_room_for_the_second():
    lower = FOUR.replace("<voice>1", "<voice>2")
    assert measures(FOUR, hidden(rest(16, "whole")) + BACK + lower)[1] == {"notes": QUARTERS}


def test_a_first_voice_with_a_printed_rest_stays_above():
    lower = FOUR.replace("<voice>1", "<voice>2")
    assert measures(FOUR, whole_measure() + BACK + lower)[1] == {"notes": "rest", "lower": QUARTERS}


def test_a_third_voice_of_rests_is_no_loss():
    voices = [FOUR.replace("<voice>1", f"<voice>{number}") for number in (1, 2)]
    assert load(score(BACK.join([*voices, rest(16, "whole", voice=3)])))[1] == []


def test_a_rest_that_fills_its_measure_and_a_whole_rest_come_back_as_written():
    found = measures(FOUR, whole_measure(), rest(16, "whole"))
    assert found[1:] == [{"notes": "rest"}, {"notes": [{"1/1": "rest"}]}]


def test_a_whole_rest_in_a_file_that_never_says_what_fills_a_measure_fills_it():
    """Common practice, no source: the sign of the whole rest stands for a silent measure of any length."""
    assert measures(FOUR, rest(16, "whole"))[1] == {"notes": "rest"}
    assert measures(attributes(time="3/4") + rest(12, "whole"), whole_measure())[0] == {"notes": "rest"}


def test_rests_of_a_silent_measure_stay_as_written():
    assert measures(FOUR, rest(8, "half") + rest() * 2)[1] == {
        "notes": [{"1/2": "rest"}, {"1/4": "rest rest"}]
    }


def test_a_fermata_over_a_rest_stays():
    music = note("C4", 12, "half", inner="<dot/>") + note("rest", notations="<fermata/>")
    found, losses = load(score(music))
    assert found["measures"] == [{"notes": [{"1/2.": "C4"}, {"1/4": "rest fermata"}]}]
    assert losses == []


def test_other_signs_over_a_rest_are_told():
    music = note("C4", 12, "half", inner="<dot/>") + note(
        "rest", notations="<articulations><accent/></articulations>"
    )
    assert [loss.what for loss in load(score(music))[1]] == ["accent on a rest"]


def test_gaps_are_filled_with_rests_that_show_the_beats():
    gap = "<forward><duration>{}</duration></forward>"
    waltz = attributes().replace("<beats>4<", "<beats>3<")
    eighths = measures(waltz + note("C4", 2, "eighth") + gap.format(8) + note("D4", 2, "eighth"))
    assert eighths[0]["notes"] == [{"1/8": "C4 rest"}, {"1/4": "rest"}, {"1/8": "rest D4"}]
    waits = measures(waltz + gap.format(8) + note("D4"))
    assert waits[0]["notes"] == [{"1/4": "rest rest D4"}]
    halves = measures(FOUR, note("C4", 2, "eighth") + gap.format(14), FOUR)
    assert halves[1]["notes"] == [{"1/8": "C4 rest"}, {"1/4": "rest"}, {"1/2": "rest"}]


@pytest.mark.parametrize(
    "around",
    ["text: soft", "dynamics: {3: p}", "chord: {1: A, 3: D}", "spans: {1: crescendo for 2 measures}"],
)
def test_words_and_signs_at_the_start_of_a_multiple_rest_come_back(around):
    found = read(
        f"score: 1\nmeasures:\n  - notes: [1/1: {{6: 0}}]\n  - {{{around}, multiple-rest: 4}}\n  - notes: [1/1: {{6: 0}}]\n"
    )
    tree, losses = read_musicxml(write_musicxml(found))
    assert losses == []
    assert differences(found, loaded(tree)) == {}
