"""Changes of clef as they are written (the language's own rules)."""

import pytest

from engrave.score.structure import ClefAt
from engrave.theory.clef import Clef
from tests.reading.helpers import problems, read


def score(clef, instrument="voice"):
    return f"score: 1\ninstrument: {instrument}\nmeasures:\n  - clef: {clef}\n    notes: rest\n"


def clefs(text):
    return [at[:2] for at in read(text).parts[0].measures[0].clefs]


def test_a_clef_holds_from_the_start_of_its_measure_or_from_a_beat():
    assert clefs(score("bass")) == [(0, Clef.BASS)]
    assert clefs(score("{2.5: tenor, 1: alto}"))[1][1] is Clef.TENOR


def test_a_misspelt_clef_is_told_with_the_right_word():
    (problem,) = problems(score("tennor"))
    assert problem.startswith("f:4:11:")
    assert "tenor" in problem.split(";")[1]


@pytest.mark.parametrize(
    ("instrument", "clef", "right"),
    [
        ("guitar", "bass", "octave-bass"),
        ("voice", "octave-bass", "bass"),
        ("bass", "octave-treble", "treble"),
    ],
)
def test_a_clef_that_would_be_read_in_another_octave_is_doubted(instrument, clef, right):
    (problem,) = problems(score(clef, instrument))
    assert "warning" in problem
    assert problem.endswith(f"write {right}")
    assert not problems(score(right, instrument))


def test_clefs_go_through_the_writer():
    from engrave.writing.dump import dump_score
    from engrave.writing.score_tree import score_tree

    text = score("{1: alto, 3: treble}")
    again = read(dump_score(score_tree(read(text))))
    assert [ClefAt(*at[:2]) for at in again.parts[0].measures[0].clefs] == [
        ClefAt(*at[:2]) for at in read(text).parts[0].measures[0].clefs
    ]
