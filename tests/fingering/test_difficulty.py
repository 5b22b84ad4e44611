"""How hard a measure is: more to do is never easier."""

import pytest

from engrave.fingering.difficulty import rate_measures, rate_piece, rate_score
from engrave.fingering.hand import load_hand
from tests.fingering.hands import USUAL
from tests.fingering.scores import read


def rate(measures, head="", hand=USUAL):
    score = read(measures, head)
    return rate_measures(score, score.parts[0], hand)


def test_rests_are_not_hard():
    assert [m.number for m in rate("  - notes: rest")] == [0.0]


def test_the_same_notes_faster_are_harder():
    slow, fast = (
        rate("  - notes: [1/8: [E4, F4, G4, A4, B4, C5, D5, E5]]", f"tempo: 1/4 = {n}") for n in (60, 180)
    )
    assert fast[0].number > slow[0].number
    assert fast[0].mostly.startswith("speed")


def test_shifts_make_a_measure_harder():
    calm = rate("  - notes: [1/4: [{1: 5}, {1: 7}, {1: 5}, {1: 7}]]")
    wild = rate("  - notes: [1/4: [{1: 1}, {1: 13}, {1: 1}, {1: 13}]]")
    assert wild[0].shifts > calm[0].shifts
    assert wild[0].number > calm[0].number


def test_stretches_make_a_measure_harder():
    assert rate("  - notes: [1/1: {6: 1, 2: 5}]")[0].stretches == pytest.approx(1.0, abs=0.01)
    assert rate("  - notes: [1/1: {6: 1, 2: 2}]")[0].stretches == 0.0


def test_barres_make_a_measure_harder():
    barre = rate("  - notes: [1/1: {6: 1, 5: 3, 4: 3, 3: 2, 2: 1, 1: 1}]")[0]
    assert barre.barres == 1.0
    assert barre.number > rate("  - notes: [1/1: {6: 0, 5: 2, 4: 2, 3: 1, 2: 0, 1: 0}]")[0].number


@pytest.mark.parametrize("frets", ["{6: 1, 1: 7}", "{6: 1, 1: 12}, {1: 0}", "{6: 1, 5: 3, 4: 5, 3: 7, 2: 9}"])
def test_what_no_hand_can_reach_is_as_hard_as_can_be(frets):
    (measure,) = rate(f"  - {{time: {frets.count('}')}/2, notes: [1/2: [{frets}]]}}")
    assert measure.number == 10.0
    assert measure.mostly == "out of reach"


def test_a_bass_that_cannot_be_held_is_out_of_reach_too():
    (measure,) = rate("  - {notes: [1/4: [{1: 1}, {1: 12}, {1: 12}, {1: 12}]], lower: [1/1: {6: 1}]}")
    assert measure.mostly == "out of reach"


def test_wide_bends_make_a_measure_harder():
    bent = [rate(f"  - notes: [1/1: {{2: 15 bend {amount}}}]")[0] for amount in ("1/2", "full", "1 1/2", "2")]
    assert [measure.bends for measure in bent] == [0.25, 0.5, 0.75, 1.0]
    assert sorted({measure.number for measure in bent}) == [measure.number for measure in bent]
    assert bent[-1].mostly == "bends"


def test_tuplets_and_ties_make_the_rhythm_harder():
    even = rate("  - notes: [1/4: [{1: 0}, {1: 0}, {1: 0}, {1: 0}]]")[0]
    odd = rate("  - notes: [3 in 2 of 1/4: [{1: 0}, {1: 0}, {1: 0}], 1/2: {1: 0}]")[0]
    assert odd.rhythm == 0.75
    assert even.rhythm == 0.0


def test_numbers_stay_between_0_and_10():
    wild = "  - notes: [1/32: [" + ", ".join("{1: 1}, {6: 20}" for _ in range(16)) + "]]"
    for hand in ("beginner", "intermediate", "advanced"):
        (measure,) = rate(wild, "tempo: 1/4 = 200", load_hand(hand))
        assert 5 < measure.number <= 10


def test_what_is_hard_for_a_beginner_is_easier_for_others():
    text = "  - notes: [1/8: [{1: 1}, {1: 5}, {1: 8}, {1: 1}, {2: 3}, {2: 8}, {3: 2}, {3: 9}]]"
    numbers = [
        rate(text, "tempo: 1/4 = 100", load_hand(h))[0].number
        for h in ("beginner", "intermediate", "advanced")
    ]
    assert numbers == sorted(numbers, reverse=True)
    assert numbers[0] > numbers[-1]


def test_the_hardest_part_counts():
    head = "parts:\n  - {id: a, instrument: guitar}\n  - {id: b, instrument: guitar}"
    score = read(
        "  - parts: {a: {notes: rest}, b: {notes: [1/16: [" + ", ".join(["{1: 1}"] * 16) + "]]}}", head
    )
    (measure,) = rate_score(score, USUAL)
    assert measure.number == rate_measures(score, score.parts[1], USUAL)[0].number


def test_a_piece_is_as_hard_as_its_hardest_quarter():
    measures = rate(
        "  - notes: [1/1: {1: 0}]\n" * 3 + "  - notes: [1/16: [" + ", ".join(["{1: 1}"] * 16) + "]]"
    )
    assert rate_piece(measures) == measures[3].number
