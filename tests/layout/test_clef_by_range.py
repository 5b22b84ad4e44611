"""Which clef a part stands in. The limit: Gould, Behind Bars, from memory; the choice of the other clef: house rule."""

from hypothesis import given
from hypothesis import strategies as st

from engrave.layout.clefs import decide_clef
from engrave.theory.clef import Clef, ledger_positions

PLACES = st.dictionaries(st.integers(5, 55), st.integers(1, 9), min_size=1)


def lines(place, clef):
    return len(ledger_positions(place - clef.bottom_line))


@given(PLACES, st.integers(1, 8))
def test_the_clef_changes_only_where_heads_pass_the_limit_and_then_for_fewer_lines(places, most):
    found = decide_clef(Clef.OCTAVE_TREBLE, places, most)
    beyond = {
        clef: sum(count * max(0, lines(place, clef) - most) for place, count in places.items())
        for clef in (Clef.OCTAVE_TREBLE, Clef.OCTAVE_BASS)
    }
    assert beyond[found] == min(beyond.values())
    if max(lines(place, Clef.OCTAVE_TREBLE) for place in places) <= most:
        assert found is Clef.OCTAVE_TREBLE


@given(PLACES, st.integers(1, 8))
def test_clefs_that_say_what_sounds_stay(places, most):
    assert decide_clef(Clef.TREBLE, places, most) is Clef.TREBLE


def test_all_notes_of_a_guitar_in_its_usual_tuning_below_fret_12_keep_the_treble_clef():
    e3, d6 = 23, 43
    assert decide_clef(Clef.OCTAVE_TREBLE, dict.fromkeys(range(e3, d6), 1), 4) is Clef.OCTAVE_TREBLE
