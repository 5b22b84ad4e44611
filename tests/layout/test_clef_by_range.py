"""Which clefs a part stands in. The limit: Gould, Behind Bars, from memory; the choice of the other clef: house rule."""

from itertools import pairwise, product

from hypothesis import given
from hypothesis import strategies as st

from engrave.layout.clefs import Range, decide_clefs
from engrave.theory.clef import Clef, ledger_positions

TREBLE, BASS = Clef.OCTAVE_TREBLE, Clef.OCTAVE_BASS
PLACES = st.dictionaries(st.integers(5, 55), st.integers(1, 9), max_size=4)
MEASURES = st.lists(st.builds(Range, PLACES, st.booleans()), min_size=1, max_size=6)
LOW_E, TOP = 16, 46
"""An eight-string guitar's lowest string as it may be tuned, and its 15th fret, as written, in letters above C0."""


def lines(place, clef):
    return len(ledger_positions(place - clef.bottom_line))


def cost(measures, clefs, most, change):
    beyond = sum(
        count * max(0, lines(place, clef) - most) ** 2
        for measure, clef in zip(measures, clefs, strict=True)
        for place, count in measure.places.items()
    )
    return beyond + change * sum(before is not after for before, after in pairwise(clefs))


def is_free(measures, clefs):
    """No clef changes under a tie."""
    return all(clefs[i] is clefs[i - 1] or not measures[i].is_held for i in range(1, len(clefs)))


@given(MEASURES, st.integers(1, 8), st.integers(0, 40))
def test_no_other_choice_of_clefs_costs_less(measures, most, change):
    found = decide_clefs(TREBLE, measures, most, change)
    assert is_free(measures, found)
    ways = [way for way in product((TREBLE, BASS), repeat=len(measures)) if is_free(measures, way)]
    assert cost(measures, found, most, change) == min(cost(measures, way, most, change) for way in ways)


@given(MEASURES, st.integers(1, 8))
def test_music_within_the_limit_keeps_the_clef_of_its_instrument(measures, most):
    if all(lines(place, TREBLE) <= most for measure in measures for place in measure.places):
        assert set(decide_clefs(TREBLE, measures, most, 0)) == {TREBLE}


@given(MEASURES, st.integers(1, 8))
def test_clefs_that_say_what_sounds_stay(measures, most):
    assert set(decide_clefs(Clef.TREBLE, measures, most, 0)) == {Clef.TREBLE}


def test_a_low_riff_and_a_high_answer_have_each_their_clef_if_they_are_long_enough():
    riff, answer = Range({LOW_E: 8}), Range({TOP: 8})
    assert decide_clefs(TREBLE, [riff, answer, riff], 4, 20) == [BASS, TREBLE, BASS]
    assert decide_clefs(TREBLE, [riff, Range({TOP: 1}), riff], 4, 80) == [BASS] * 3
    assert decide_clefs(TREBLE, [riff, answer._replace(is_held=True)], 4, 20) in ([BASS] * 2, [TREBLE] * 2)
