"""Rests that take time and are not printed (the language's own; in MusicXML 4.0 print-object of note)."""

from hypothesis import given
from hypothesis import strategies as st

from engrave.exchange.musicxml.reader import read_musicxml
from engrave.exchange.musicxml.writer import write_musicxml
from engrave.exchange.text_tab.writer import write_text_tab
from engrave.marks.role import Role
from engrave.score.structure import View
from engrave.writing.dump import dump_score
from engrave.writing.score_tree import score_tree
from tests.exchange.musicxml_writer_helpers import check_form
from tests.layout.placed_marks import boxes, place_text
from tests.reading.helpers import problems, read

EVENTS = st.lists(st.sampled_from(["3:0", "2:1", "hidden-rest", "rest"]), min_size=4, max_size=4)


def text(upper, lower=""):
    second = f"\n    lower: [{lower}]" if lower else ""
    return f"score: 1\nmeasures:\n  - notes: [{upper}]{second}\n"


@given(EVENTS)
def test_all_but_hidden_rests_are_printed_and_stand_where_visible_ones_would(events):
    hidden = text(f"1/4: {' '.join(events)}")
    for view in (View.STAFF, View.RHYTHM_TAB):
        marks = place_text(hidden, view)
        assert len(boxes(marks, Role.REST)) == events.count("rest")
    seen, unseen = place_text(hidden.replace("hidden-rest", "rest")), place_text(hidden)
    assert [box.left for box in boxes(seen, Role.NOTEHEAD)] == [
        box.left for box in boxes(unseen, Role.NOTEHEAD)
    ]


def test_beside_a_voice_of_hidden_rests_the_other_has_its_stems_as_if_alone():
    alone = place_text(text("1/4: 1:0 3:0 2:1 4:2"))
    beside = place_text(text("1/4: 1:0 3:0 2:1 4:2", "1/2: hidden-rest hidden-rest"))
    assert boxes(alone, Role.STEM) == boxes(beside, Role.STEM)


@given(EVENTS, EVENTS)
def test_hidden_rests_go_through_both_forms(upper, lower):
    if "3:0" not in upper + lower and "2:1" not in upper + lower:
        return
    own = text(
        f"1/4: {' '.join(upper)}", "1/4: " + " ".join(lower).replace("3:0", "6:0").replace("2:1", "5:2")
    )
    score = read(own)
    rewritten = read(dump_score(score_tree(score)))
    assert hidden_of(rewritten) == hidden_of(score)
    data = write_musicxml(score)
    check_form(data)
    back = read(dump_score(read_musicxml(data)[0]))
    if all(":" in " ".join(voice) for voice in (upper, lower)):
        assert hidden_of(back) == hidden_of(score)


def hidden_of(score):
    return [[event.hidden for event in voice.events] for voice in score.parts[0].measures[0].voices]


def test_typed_tab_tells_that_they_are_printed_there():
    _, losses = write_text_tab(read(text("1/4: 3:0 hidden-rest 2:1 rest")))
    assert any("hidden rests" in str(loss) for loss in losses)


def test_a_misspelt_one_is_told():
    problem, *_ = problems(text("1/4: 3:0 hiden-rest 2:1 rest"))
    assert '"hidden-rest"' in problem
