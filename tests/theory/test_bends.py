"""Bends: the words are house rules; the names of amounts common practice, no source; alters MusicXML 4.0, bend."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.theory.bends import BendKind, BendStep, amount_label, bend_alters, parse_bend

PRE, BEND, RELEASE, HOLD = BendKind.PRE_BEND, BendKind.BEND, BendKind.RELEASE, BendKind.HOLD
HALF = Fraction(1, 2)


@pytest.mark.parametrize(
    ("text", "steps"),
    [
        ("full", [(BEND, 2)]),
        ("quarter", [(BEND, HALF)]),
        ("half", [(BEND, 1)]),
        ("three quarters", [(BEND, 3 * HALF)]),
        ("  Full   Release ", [(BEND, 2), (RELEASE, 0)]),
        ("pre full", [(PRE, 2)]),
        ("pre full release", [(PRE, 2), (RELEASE, 0)]),
        ("full then release", [(BEND, 2), (RELEASE, 0)]),
        ("1/2 then full", [(BEND, 1), (BEND, 2)]),
        ("pre 1/2 then 1 1/2", [(PRE, 1), (BEND, 3)]),
        ("full then release then full", [(BEND, 2), (RELEASE, 0), (BEND, 2)]),
        ("full release then full", [(BEND, 2), (RELEASE, 0), (BEND, 2)]),
        ("1 1/2 hold", [(BEND, 3), (HOLD, 3)]),
        ("full hold release to 1/2 release", [(BEND, 2), (HOLD, 2), (RELEASE, 1), (RELEASE, 0)]),
        ("full release to three quarters then 2 1/2", [(BEND, 2), (RELEASE, 3 * HALF), (BEND, 5)]),
        ("3", [(BEND, 6)]),
    ],
)
def test_words_of_a_bend(text, steps):
    assert parse_bend(text) == tuple(steps)


@pytest.mark.parametrize(
    ("text", "steps"),
    [
        ("release", [(RELEASE, 0)]),
        ("release to 1/2 then full", [(RELEASE, 1), (BEND, 2)]),
        ("full hold", [(BEND, 2), (HOLD, 2)]),
    ],
)
def test_words_of_a_bend_held_over_a_tie(text, steps):
    assert parse_bend(text, held=True) == tuple(steps)


@pytest.mark.parametrize(
    ("text", "held", "message"),
    [
        ("", False, "write full"),
        ("   ", False, "write full"),
        ("fuller", False, '"fuller" is not understood; write full'),
        ("full up", False, '"up" is not understood'),
        ("pre", False, '"pre" is not understood'),
        ("pre release", False, '"pre release" is not understood'),
        ("full release to", False, '"to" is not understood'),
        ("1/3", False, '"1/3" is not an amount; amounts are 1/4'),
        ("1/0", False, "is not an amount"),
        ("2 3/2", False, "is not an amount"),
        ("0", False, "write release"),
        ("full release to 0", False, "write release"),
        ("3 1/4", False, "more than 3 whole steps"),
        ("4", False, "more than 3 whole steps"),
        ("9" * 5000, False, "the widest is 3 whole steps"),
        ("release", False, "no bend to release; write full release"),
        ("release to 1/2", False, "no bend to release"),
        ("full then full", False, "same amount; write full hold"),
        ("pre full then 1", False, "same amount"),
        ("full release release", False, "goes nowhere"),
        ("full release to full", False, "goes nowhere"),
        ("1/2 release to 1 1/2", False, "cannot rise; write ... then 1 1/2"),
        ("full then 1/2", False, "write release to 1/2"),
        ("full 1 1/2", False, '"then" is missing before "1 1/2"; write ... then 1 1/2'),
        ("full release 1/2", False, '"then" is missing'),
        ("then full", False, "between two steps"),
        ("full then", False, "between two steps"),
        ("1/2 then pre full", False, "before the first amount only"),
        ("pre full", True, "not struck"),
        ("hold", False, "write full hold"),
        ("hold", True, "without a word"),
        ("full hold hold", False, "twice"),
        ("full release hold", False, "no bend to hold"),
    ],
)
def test_what_is_refused_says_what_would_be_right(text, held, message):
    with pytest.raises(ValueError) as refused:
        parse_bend(text, held)
    assert message in str(refused.value)


@pytest.mark.parametrize(
    ("semitones", "label"),
    [
        (HALF, "1/4"),
        (1, "1/2"),
        (3 * HALF, "3/4"),
        (2, "full"),
        (5 * HALF, "1 1/4"),
        (3, "1 1/2"),
        (4, "2"),
        (6, "3"),
    ],
)
def test_labels_of_amounts(semitones, label):
    assert amount_label(Fraction(semitones)) == label


@pytest.mark.parametrize("semitones", [Fraction(0), Fraction(-2), Fraction(1, 3), Fraction(1, 4)])
def test_amounts_without_a_label(semitones):
    with pytest.raises(ValueError, match="such as"):
        amount_label(semitones)


@pytest.mark.parametrize(
    ("text", "alters"),
    [
        ("full", [2]),
        ("pre full release", [2, -2]),
        ("quarter", [HALF]),
        ("1/2 then full", [1, 1]),
        ("full hold release to 1/2 release", [2, 0, -1, -1]),
        ("full then release then full", [2, -2, 2]),
    ],
)
def test_a_release_is_the_way_back_and_not_zero(text, alters):  # MusicXML 4.0, bend
    assert bend_alters(parse_bend(text)) == alters


def test_a_release_over_a_tie_needs_what_is_held():
    steps = parse_bend("release", held=True)
    assert bend_alters(steps, Fraction(2)) == [-2]
    with pytest.raises(ValueError, match="held is how far"):
        bend_alters(steps)


AMOUNTS = st.builds(Fraction, st.integers(1, 12), st.just(2))


@st.composite
def bends(draw):
    """The words of a bend that makes sense, and the steps they stand for."""
    target = draw(AMOUNTS)
    pre = draw(st.booleans())
    words, steps = ["pre " * pre + amount_label(target)], [BendStep(PRE if pre else BEND, target)]
    for following in draw(st.lists(st.builds(Fraction, st.integers(0, 12), st.just(2)), max_size=5)):
        then = " then " if following > target else draw(st.sampled_from([" ", " then "]))
        if following == target:
            if steps[-1].kind is HOLD or target == 0:
                continue
            words += [then, "hold"]
            kind = HOLD
        elif following > target:
            words += [then, amount_label(following)]
            kind = BEND
        else:
            words += [then, f"release to {amount_label(following)}" if following else "release"]
            kind = RELEASE
        target = following
        steps.append(BendStep(kind, target))
    return "".join(words), tuple(steps)


@given(bends())
def test_composed_bends_are_read_back(bend):
    text, steps = bend
    assert parse_bend(text) == steps


@given(bends())
def test_alters_lead_to_the_last_target(bend):
    _, steps = bend
    alters = bend_alters(steps)
    assert sum(alters) == steps[-1].semitones
    signs = {PRE: 1, BEND: 1, RELEASE: -1, HOLD: 0}
    assert [(alter > 0) - (alter < 0) for alter in alters] == [signs[step.kind] for step in steps]


@given(AMOUNTS)
def test_labels_are_read_back(semitones):
    assert parse_bend(amount_label(semitones)) == ((BEND, semitones),)


WORDS = st.sampled_from(
    ["pre", "full", "1", "1/2", "2", "3", "release", "to", "then", "hold", "quarter", "quarters"]
)


@given(st.lists(WORDS, max_size=7))
def test_any_words_are_read_or_refused(words):
    try:
        steps = parse_bend(" ".join(words))
    except ValueError:
        return
    assert sum(bend_alters(steps)) == steps[-1].semitones
