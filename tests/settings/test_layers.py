"""Settings read into frozen records by the annotations of their fields. House rules."""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated, NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.problems import ProblemLog
from engrave.settings.kinds import Having, Keys, Number, OneOf, Words, kinds_of, take_apart
from engrave.settings.layers import Layering, build, copy_values
from engrave.settings.shipped import form_of, read_record
from engrave.source.parse import parse_yaml


class Inner(NamedTuple):
    """A record in a record, with a field that need not be said."""

    wide_gap: float
    side: Annotated[str, OneOf(("above", "below"), "a side")] = "above"


@dataclass(frozen=True, slots=True)
class Outer:
    """One field of each kind."""

    size: Annotated[float, Number(1, 5, "mm")]
    count: int
    is_loud: bool
    value: Fraction
    name: Words
    slot: Annotated[str, Having("{}", "the number")]
    pair: tuple[float, float]
    several: tuple[str, ...]
    words: frozenset[str]
    inner: Inner
    by_name: Mapping[str, Inner]
    shares: Annotated[Mapping[str, float], Keys(("low", "high"))]


WHOLE = """size: 2
count: 3
is-loud: true
value: 1/16
name: Fret
slot: "at {}"
pair: [1, 2.5]
several: [b, a]
words: [x, y]
inner: {wide-gap: 4}
by-name: {one: {wide-gap: 0, side: below}}
shares: {low: 0.1, high: 0.9}
"""
FORM = form_of(Outer, "a test")


def whole(text=WHOLE):
    return read_record(Outer, parse_yaml(text, ProblemLog("f")), "f")


def faults(text):
    """What is wrong with `text`, laid over the whole."""
    values = {}
    Layering(FORM, ProblemLog("f"), {}).lay(parse_yaml(WHOLE, ProblemLog("f")), values)
    log = ProblemLog("f")
    Layering(FORM, log, {}).lay(parse_yaml(text, log), values)
    return [str(problem) for problem in log.in_order()]


def test_every_kind_of_field_is_filled():
    found = whole()
    assert (found.size, found.count, found.is_loud, found.value) == (2.0, 3, True, Fraction(1, 16))
    assert (found.pair, found.several, found.words) == ((1.0, 2.5), ("b", "a"), frozenset("xy"))
    assert (found.inner, found.by_name["one"]) == (Inner(4.0), Inner(0.0, "below"))
    assert dict(found.shares) == {"low": 0.1, "high": 0.9}


def test_mappings_are_frozen_too():
    with pytest.raises(TypeError):
        whole().shares["low"] = 1


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("size: 6", "f:1:7: size must be a number from 1 to 5 mm"),
        ("size: wide", "f:1:7: size must be a number from 1 to 5 mm"),
        ("size: .nan", 'f:1:7: "size" must be a number, not .nan; write it in digits'),
        ("count: 1.5", "f:1:8: count must be a whole number"),
        ("count: true", "f:1:8: count must be a whole number"),
        ("count: -1", "f:1:8: count may not be negative"),
        ("is-loud: 1", "f:1:10: is-loud must be true or false"),
        ("is_loud: true", 'f:1:1: "is_loud" is not a section of a test; did you mean "is-loud"?'),
        ("value: a half", "f:1:8: value must be a fraction; for example: 1/16"),
        ("name: ' '", "f:1:7: name must be words"),
        ("name: 5", 'f:1:7: name must be words; put it in quotation marks: "5"'),
        ("slot: at", "f:1:7: slot must have {} where the number stands"),
        ("pair: [1]", "f:1:7: pair must be a list of 2 numbers"),
        ("pair: [1, -2]", "f:1:11: pair may not be negative"),
        ("several: a", "f:1:10: several must be a list of words"),
        ("words: [1]", 'f:1:9: words must be words; put it in quotation marks: "1"'),
        ("inner: 3", "f:1:8: inner must be a mapping of wide-gap and side; for example: {wide-gap: 4}"),
        ("inner: {side: belo}", 'f:1:15: "belo" is not a side; did you mean "below"?'),
        ("inner: {widegap: 3}", 'f:1:9: "widegap" is not known in inner; did you mean "wide-gap"?'),
        ("by-name: {on: {}}", 'f:1:11: "on" is not known in by-name; did you mean "one"?'),
        ("by-name: {one: {wide-gap: x}}", "f:1:27: by-name: one: wide-gap must be a number"),
        ("shares: {mid: 1}", 'f:1:10: "mid" is not known in shares; known here: high, low'),
    ],
)
def test_a_fault_is_told_with_its_place_and_what_would_be_right(text, told):
    assert faults(text) == [told]


def test_all_faults_are_told_at_once():
    assert len(faults("size: 9\ncount: x\ninner: {wide-gap: -1, side: 2}\nodd: 1\n")) == 5


@pytest.mark.parametrize("line", WHOLE.splitlines())
def test_what_is_missing_is_named(line):
    with pytest.raises(ValueError, match=f"^f: {line.partition(':')[0]}.* is missing"):
        whole(WHOLE.replace(line + "\n", ""))


def test_everything_missing_is_named_at_once():
    log = ProblemLog("f")
    build(kinds_of(Outer), {"inner": {}, "shares": {"low": 1.0}}, log, FORM)
    told = [problem.what for problem in log.problems]
    assert {"size is missing", "inner: wide-gap is missing", "shares: high is missing"} <= set(told)
    assert len(told) == len(kinds_of(Outer))


def test_values_laid_over_a_copy_leave_the_first_ones_alone():
    values = {"inner": {"wide_gap": 4.0}}
    tree = parse_yaml("inner: {wide-gap: 7}", ProblemLog("f"))
    over = copy_values(values)
    Layering(FORM, ProblemLog("f"), {}).lay(tree, over)
    assert (values["inner"]["wide_gap"], over["inner"]["wide_gap"]) == (4.0, 7.0)


@given(st.floats(allow_nan=False), st.floats(0, 10), st.floats(10, 100), st.booleans())
def test_a_number_is_refused_just_when_it_is_outside_its_limits(value, least, most, is_open):
    inside = least <= value <= most and not (is_open and value == least)
    assert (Number(least, most, is_open=is_open).fault(value) == "") == inside


def test_a_field_that_no_setting_can_be_is_a_mistake_of_the_program():
    with pytest.raises(TypeError, match="no setting can be"):
        take_apart(complex)
