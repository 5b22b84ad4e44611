"""Braces before parts that belong together (Gould, Behind Bars, from memory, where no other source is named)."""

import pytest

from engrave.exchange.musicxml.reader import read_musicxml
from engrave.exchange.musicxml.writer import write_musicxml
from engrave.marks.mark import Curve
from engrave.marks.role import Role
from engrave.score.structure import View
from engrave.writing.dump import dump_score
from engrave.writing.score_tree import score_tree
from tests.exchange.musicxml_writer_helpers import check_form
from tests.layout.placed_marks import boxes, place_text
from tests.reading.helpers import problems, read


def score(*braces, instrument="voice", lyrics=""):
    parts = "".join(
        f"  - {{id: p{i}, instrument: {instrument}{f', brace: {brace}' if brace else ''}}}\n"
        for i, brace in enumerate(braces)
    )
    notes = "".join(f"      p{i}: {{notes: [1/1: G4]{lyrics}}}\n" for i in range(len(braces)))
    return f"score: 1\nparts:\n{parts}measures:\n  - parts:\n{notes}"


def curves(text, view=View.STAFF):
    return [box for mark, box in place_text(text, view) if isinstance(mark, Curve)]


def names(text):
    return [mark.text for mark, _ in place_text(text) if mark.role is Role.PART_NAME]


def test_a_brace_spans_the_staves_of_its_parts_and_stands_left_of_them():
    halves = curves(score("", "Organ", "Organ"))
    assert len(halves) == 2
    lines = boxes(place_text(score("", "Organ", "Organ")), Role.STAFF_LINE)
    assert max(box.right for box in halves) < min(box.left for box in lines)
    heights = [box.top - box.bottom for box in halves]
    assert heights[0] == pytest.approx(heights[1])
    assert min(heights) > 4.0


def test_the_brace_has_one_name():
    assert names(score("", "Organ", "Organ")) == ["P0", "Organ"]


def test_barlines_run_through_the_staves_of_a_brace_but_not_through_words():
    def longest(text):
        lines = boxes(place_text(text), Role.BARLINE)
        first = min(box.left for box in lines)
        return max(box.top - box.bottom for box in lines if box.left > first + 1.0)

    assert longest(score("Organ", "Organ")) > 10.0
    assert longest(score("", "")) < 5.0
    assert longest(score("Choir", "Choir", lyrics=", lyrics: Ah")) < 5.0


def test_a_brace_stands_left_of_brackets():
    marks = place_text(score("Duo", "Duo", instrument="guitar"), View.STAFF_AND_TAB)
    halves = [box for mark, box in marks if isinstance(mark, Curve)]
    others = [box for mark, box in marks if mark.role is Role.SYSTEM_BRACKET and not isinstance(mark, Curve)]
    assert len(halves) == 2
    assert max(box.right for box in halves) < min(box.left for box in others)


@pytest.mark.parametrize("braces", [("Organ", ""), ("Organ", "", "Organ"), ("Organ", "Harp")])
def test_a_brace_around_one_part_is_doubted_and_not_drawn(braces):  # the language's own
    found = problems(score(*braces))
    assert found
    assert all("so none is drawn" in problem for problem in found)
    assert not curves(score(*braces))


@pytest.mark.parametrize("braces", [("Organ", "Organ"), ("", "Harp", "Harp", "Organ", "Organ"), ("", "")])
def test_braces_go_through_both_forms(braces):  # MusicXML 4.0, part-group
    own = read(score(*braces))
    again = read(dump_score(score_tree(own)))
    assert tuple(part.brace for part in again.parts) == braces
    data = write_musicxml(own)
    check_form(data)
    tree, losses = read_musicxml(data)
    assert not losses
    assert tuple(part.brace for part in read(dump_score(tree)).parts) == braces
