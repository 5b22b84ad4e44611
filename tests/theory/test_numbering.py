"""Measure numbers: a pickup at the start is 0, one inside the piece does not count (common practice, no source)."""

from engrave.theory.numbering import Numbering


def numbers(*measures):
    numbering = Numbering()
    return [numbering.number(**measure) for measure in measures]


def test_measures_count_from_one():
    assert numbers({}, {}, {}) == [1, 2, 3]


def test_a_pickup_at_the_start_is_zero():
    assert numbers({"pickup": True}, {}, {}) == [0, 1, 2]


def test_a_pickup_inside_the_piece_does_not_count():
    assert numbers({}, {"pickup": True}, {}) == [1, 2, 2]


def test_a_rest_of_several_measures_counts_all_of_them():
    assert numbers({}, {"measures": 8}, {}) == [1, 2, 10]


def test_an_author_s_own_number_is_counted_on_from():
    assert numbers({}, {"given": 40}, {}, {"given": 7, "pickup": True}, {}) == [1, 40, 41, 7, 8]
