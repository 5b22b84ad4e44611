"""Slurs find their ends: `end-slur` ends the innermost open `slur`, and phrases are a pair of their own (house rule)."""

import pytest
from hypothesis import given

from engrave.score.excerpt import excerpt
from engrave.score.lead_sheet import as_lead_sheet
from engrave.score.slurs import EventAt, Slur, outermost_last, resolve_slurs
from engrave.score.used_signs import used_signs
from engrave.writing.dump import dump_score
from engrave.writing.score_tree import score_tree
from tests.reading.helpers import problems, read
from tests.score.slur_music import slurred_scores


def slurs(text, part=0):
    return resolve_slurs(read(text).parts[part].measures)


def one(notes, lower=""):
    low = f", lower: {lower}" if lower else ""
    return f"score: 1\nmeasures:\n  - {{notes: {notes}{low}}}\n"


def at(event, measure=0, voice=0):
    return EventAt(measure, voice, event)


def test_a_slur_leads_from_note_to_note():
    assert slurs(one("[1/4: [3:0 slur, 3:2, 2:0 end-slur, 2:1]]")) == (Slur(at(0), at(2)),)


def test_inner_slurs_end_first():
    found = slurs(one("[1/4: [3:0 slur, 3:2 slur, 2:0 end-slur, 2:1 end-slur]]"))
    assert set(found) == {Slur(at(0), at(3)), Slur(at(1), at(2))}


def test_one_note_ends_a_slur_and_starts_the_next():
    found = slurs(one("[1/4: [3:0 slur, 3:2, 2:0 slur end-slur, 2:1 end-slur]]"))
    assert found == (Slur(at(0), at(2)), Slur(at(2), at(3)))


def test_phrases_may_cross_slurs():
    found = slurs(one("[1/4: [3:0 phrase, 3:2 slur, 2:0 end-phrase, 2:1 end-slur]]"))
    assert set(found) == {Slur(at(0), at(2)), Slur(at(1), at(3))}


def test_slurs_go_over_measures_and_rests_voice_by_voice():
    text = (
        "score: 1\nmeasures:\n  - {notes: [1/2: [3:0, 3:2 slur]], lower: [1/1: 6:3 slur]}\n"
        "  - {notes: [1/2: [rest, 3:0 end-slur]], lower: [1/1: 6:1 end-slur]}\n"
    )
    assert set(slurs(text)) == {Slur(at(1), at(1, 1)), Slur(at(0, voice=1), at(0, 1, 1))}


def test_grace_notes_carry_slurs():
    assert slurs(one("[grace 1/8: 3:2 slur, 1/1: 3:4 end-slur]")) == (Slur(at(0), at(1)),)


@pytest.mark.parametrize(
    "note", ["{3: 0, 2: 1, marks: slur}", "{3: 0 slur, 2: 1}", "3:0+2:1 slur", "{3: 0 slur, 2: 1 slur}"]
)
def test_a_slur_is_that_of_the_whole_event_wherever_it_is_written(note):
    assert slurs(one(f"[1/2: [{note}, 3:2 end-slur]]")) == (Slur(at(0), at(1)),)


def test_voices_and_drawn_tab_have_slurs():
    sung = "score: 1\ninstrument: voice\nmeasures:\n  - {notes: [1/2: [C4 slur, D4 end-slur]], lyrics: Ah}\n"
    assert slurs(sung) == (Slur(at(0), at(1)),)
    assert slurs(one("[1/2: 3:0 slur, 1/2: tie end-slur]")) == (Slur(at(0), at(1)),)


def test_what_lies_in_another_slur_comes_before_it():
    outer, inner, beside = Slur(at(0), at(9)), Slur(at(0), at(4)), Slur(at(5), at(9))
    assert outermost_last([outer, inner, beside]) == [inner, beside, outer]


@pytest.mark.parametrize(
    ("notes", "told"),
    [
        ("[1/4: [3:0 slur, 3:2, 2:0, 2:1]]", "f:3:20: this slur has no end (Guitar, measure 1, beat 1); write end-slur at its last note"),
        ("[1/4: [3:0, 3:2 end-phrase, 2:0, 2:1]]", "f:3:25: this end-phrase has no start (Guitar, measure 1, beat 2); write phrase at its first note, before this one"),
        ("[1/4: [3:0 phrase, rest end-phrase, 2:0, 2:1]]", "f:3:32: a rest has no end-phrase (Guitar, measure 1, beat 2); write it at a note"),
    ],
)  # fmt: skip
def test_loose_ends_are_mistakes(notes, told):
    assert told in problems(one(notes))


def test_a_mistake_of_form_elsewhere_makes_no_slur_loose():
    text = "score: 1\nmeasures:\n  - notes: [1/1: 3:0 slur]\n  - notes: [1/1: 3:0 end-slurr]\n"
    (told,) = problems(text)
    assert 'did you mean "end-slur"' in told


def test_an_excerpt_leaves_out_slurs_that_it_cuts():
    text = "score: 1\nmeasures:\n  - notes: [1/1: 3:0 slur]\n  - notes: [1/2: [3:0 end-slur slur, 3:2 end-slur]]\n"
    (part,) = excerpt(read(text), 1, 2).parts
    assert resolve_slurs(part.measures) == (Slur(at(0), at(1)),)


def test_slurs_are_explained_once():
    assert used_signs(read(one("[1/2: [3:0 phrase, 3:2 end-phrase]]"))) == ("slur",)


@given(slurred_scores())
def test_a_lead_sheet_and_the_writer_keep_all_slurs(text):
    score = read(text)
    found = resolve_slurs(score.parts[0].measures)
    again = read(dump_score(score_tree(score)))
    assert resolve_slurs(again.parts[0].measures) == found
    tune = as_lead_sheet(score)
    assert set(resolve_slurs(tune.parts[0].measures)) == {slur for slur in found if slur.voice == 0}
