"""Signs that last, and dynamics, as they are written and refused."""

from fractions import Fraction

import pytest

from tests.reading.helpers import problems, read

NOTES = "    notes: [1/4: [{3: 0}, {3: 2}, {2: 0}, {2: 1}]]\n"


def part(rows):
    return read("score: 1\nmeasures:\n" + "".join(f"  - {row}\n{NOTES}" for row in rows)).parts[0]


def test_a_span_lasts_for_a_sum_of_note_values_or_for_measures():
    spans = (
        part(["spans: {1: palm-mute for 1/4 + 1/8., 3: [let-ring for 2 measures, position 5 for 1/2]}"])
        .measures[0]
        .spans
    )
    assert [(s.onset, s.name, s.detail, s.length, s.measures) for s in spans] == [
        (Fraction(0), "palm-mute", "", Fraction(7, 16), 0),
        (Fraction(1, 2), "let-ring", "", Fraction(0), 2),
        (Fraction(1, 2), "position", "5", Fraction(1, 2), 0),
    ]


def test_dynamics_stand_at_their_beats():
    dynamics = part(["dynamics: {1: mf, 2.5: sfz}"]).measures[0].dynamics
    assert [(d.onset, d.text) for d in dynamics] == [(Fraction(0), "mf"), (Fraction(3, 8), "sfz")]


@pytest.mark.parametrize(
    ("row", "message"),
    [
        (
            "spans: {2: palm-mut for 1/4}",
            '"palm-mut" is not a line (palm-mute, barre ...) (Guitar, measure 1, beat 2); did you mean "palm-mute"?',
        ),
        ("spans: {1: palm-mute}", '"palm-mute" does not say how long it lasts'),
        ("spans: {1: barre for 1/4}", "a barre needs the number of its fret"),
        ("spans: {1: position 40 for 1/4}", "a position needs the number of its fret, 1 to 24"),
        ("spans: {1: let-ring 3 for 1/4}", '"3" does not belong to let-ring'),
        ("spans: {1: let-ring for 1/5}", "1/5"),
        ("spans: {9: let-ring for 1/4}", "there is no beat 9 in 4/4"),
        ("dynamics: {2: mff}", '"mff" is not a dynamic (Guitar, measure 1, beat 2); did you mean'),
    ],
)
def test_wrong_spans_and_dynamics_are_refused_where_they_stand(row, message):
    found = problems(f"score: 1\nmeasures:\n  - {row}\n{NOTES}")
    assert len(found) == 1
    assert message in found[0]
    assert found[0].startswith("f:3:")


@pytest.mark.parametrize(
    ("row", "message"),
    [
        (
            "spans: {1: [palm-mute for 1/2, palm-mute for 1/4]}",
            "palm-mute starts while palm-mute still holds",
        ),
        (
            "spans: {1: crescendo for 2 measures, 3: diminuendo for 1/2}",
            "diminuendo starts while crescendo still holds",
        ),
        ("spans: {1: barre 5 for 1/2, 2: half-barre 7 for 1/2}", "half-barre starts while barre still holds"),
    ],
)
def test_signs_that_contradict_each_other_are_refused(row, message):
    found = problems(f"score: 1\nmeasures:\n  - {row}\n{NOTES}")
    assert len(found) == 1
    assert message in found[0]
    assert "it starts in measure 1, beat 1" in found[0]


def test_signs_that_follow_each_other_are_no_contradiction():
    assert (
        problems(
            f"score: 1\nmeasures:\n  - spans: {{1: crescendo for 1/2, 3: [diminuendo for 1/2, palm-mute for 1/4]}}\n{NOTES}"
        )
        == []
    )
