"""Techniques as records: the words that they are typed in, and back."""

import ast
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.score.short_form import BEND, PLUCKS, WITH_AMOUNT, parse_fret, technique_texts
from engrave.score.sign_list import MARKS, TOUCHED_HARMONICS, SignName
from engrave.score.techniques import (
    Bend,
    NaturalHarmonic,
    Plain,
    Pluck,
    RightFinger,
    StoppedHarmonic,
    Trill,
    VibratoBar,
    amount_words,
    is_of_event,
    parse_technique,
    technique_words,
)
from engrave.theory.bends import BarMove, BarMoveKind, BendKind, BendStep, amount_label

ROOT = Path(__file__).parents[2] / "engrave"
QUARTERS = st.integers(1, 12).map(lambda quarters: Fraction(quarters, 2))
"""Bends in semitones, as the language has them: quarters of a whole step, up to three whole steps."""


@st.composite
def bends(draw):
    """Words of a bend in their plain order: amounts rise, releases fall, nothing is held twice."""
    top = draw(QUARTERS)
    words = [draw(st.sampled_from(["", "pre "])) + amount_label(top)]
    for _ in range(draw(st.integers(0, 3))):
        kind = draw(st.sampled_from(["hold", "release", "rise"]))
        if kind == "hold" and top and not words[-1].endswith("hold"):
            words.append("hold")
        elif kind == "release" and top:
            goal = draw(st.integers(0, int(top * 2) - 1).map(lambda quarters: Fraction(quarters, 2)))
            words.append(f"release to {amount_label(goal)}" if goal else "release")
            top = goal
        elif kind == "rise" and top < 6:
            top = draw(st.integers(int(top * 2) + 1, 12).map(lambda quarters: Fraction(quarters, 2)))
            words.append(f"then {amount_label(top)}")
    return " ".join(words)


BAR_MOVES = st.one_of(
    st.sampled_from(["vibrato", "dip", "dive", "scoop"]),
    st.builds(
        lambda kind, far: f"{kind} {amount_label(far)}", st.sampled_from(["dip", "dive", "scoop"]), QUARTERS
    ),
)
TEXTS = st.one_of(
    st.sampled_from([sign.value for sign in MARKS]),
    bends().map("bend {}".format),
    BAR_MOVES.map("vibrato-bar {}".format),
    st.integers(1, 24).map("trill {}".format),
    st.sampled_from(PLUCKS).map("pluck {}".format),
    st.builds(
        "{} {}".format, st.sampled_from([sign.value for sign in TOUCHED_HARMONICS]), st.integers(1, 24)
    ),
    st.integers(10, 240).map(lambda tenths: f"natural-harmonic {tenths / 10:g}"),
    st.sampled_from(["pitch F#4", "pitch C4+Eb4+G4"]),
)
"""Every technique in words, as it is written."""


@given(TEXTS)
def test_the_words_of_every_technique_come_back_the_same(text):
    sign, _, amount = text.partition(" ")
    technique = parse_technique(SignName(sign), amount)
    assert technique_words(technique) == text
    assert parse_technique(technique.sign, amount_words(technique)) == technique


@given(st.lists(TEXTS.filter(lambda text: not text.startswith(("pitch", "natural"))), max_size=4))
def test_what_is_typed_after_a_fret_comes_back_the_same(texts):
    words = [text.removeprefix("pluck ") for text in texts]
    own = [text.split()[0] for text in texts if " " in text]
    if len(set(own)) < len(own):  # the same word with an amount cannot be typed twice
        return
    typed = parse_fret(" ".join(["5", *words])).typed
    techniques = [parse_technique(mark.sign, mark.amount) for mark in typed.marks]
    assert technique_texts(techniques) == words


@pytest.mark.parametrize(
    ("typed", "record"),
    [
        ("bend full", Bend((BendStep(BendKind.BEND, Fraction(2)),))),
        ("vibrato-bar dip 1/2", VibratoBar(BarMove(BarMoveKind.DIP, Fraction(1)))),
        ("trill 7", Trill(7)),
        ("trill", Plain(SignName.TRILL)),
        ("pluck a", Pluck(RightFinger.RING)),
        ("tapped-harmonic 17", StoppedHarmonic(SignName.TAPPED_HARMONIC, 17)),
        ("natural-harmonic 2.7", NaturalHarmonic(2.7)),
        ("hammer-on", Plain(SignName.HAMMER_ON)),
    ],
)
def test_a_technique_is_a_record_of_what_is_played(typed, record):
    sign, _, amount = typed.partition(" ")
    assert parse_technique(SignName(sign), amount) == record


@pytest.mark.parametrize(
    ("one", "other"),
    [("bend half", "bend 1/2"), ("bend 1", "bend full"), ("bend full then release", "bend full release")],
)
def test_other_words_for_the_same_bend_make_the_same_record(one, other):
    records = [parse_technique(BEND, text.removeprefix("bend ")) for text in (one, other)]
    assert records[0] == records[1]
    assert technique_words(records[0]) == other


def test_records_of_different_signs_are_never_equal():
    records = [
        Trill(7),
        StoppedHarmonic(SignName.TAPPED_HARMONIC, 7),
        NaturalHarmonic(7.0),
        Plain(SignName.TRILL),
    ]
    assert len(set(records)) == len(records)


@pytest.mark.parametrize(
    "sign", [sign for sign in MARKS if sign not in WITH_AMOUNT and sign != "natural-harmonic"]
)
def test_a_sign_that_says_all_has_no_amount(sign):
    with pytest.raises(ValueError, match="has no amount"):
        parse_technique(sign, "5")


def test_only_what_is_said_of_a_whole_event_belongs_to_it():
    assert is_of_event(Plain(SignName.ACCENT))
    assert is_of_event(Plain(SignName.TRILL))
    assert not is_of_event(Trill(7))
    assert not is_of_event(Plain(SignName.HAMMER_ON))


PARSERS = {"parse_technique", "parse_bend", "parse_bar_move"}
MAY_PARSE = ("score", "reading", "theory", "exchange/text_tab/reading", "exchange/musicxml/reading")
"""Where words become records: what an author typed is read once, what comes from elsewhere is checked."""


def test_words_are_read_into_techniques_only_where_scores_are_read():
    found = []
    for path in sorted(ROOT.rglob("*.py")):
        where = path.relative_to(ROOT).as_posix()
        if where.startswith(tuple(f"{folder}/" for folder in MAY_PARSE)):
            continue
        names = {
            getattr(node, "id", getattr(node, "attr", getattr(node, "name", "")))
            for node in ast.walk(ast.parse(path.read_text("utf-8")))
        }
        found += [(where, name) for name in names & PARSERS]
    assert found == []


def test_no_technique_has_an_amount_as_text():
    """Outside the language's own words, nothing asks a record for an `amount`."""
    found = []
    for folder in (
        "layout",
        "playing",
        "fingering",
        "writing",
        "exchange/musicxml/writing",
        "exchange/text_tab/writing",
    ):
        for path in sorted((ROOT / folder).rglob("*.py")):
            tree = ast.parse(path.read_text("utf-8"))
            if any(isinstance(node, ast.Attribute) and node.attr == "amount" for node in ast.walk(tree)):
                found.append(path.relative_to(ROOT).as_posix())
    assert found == []
