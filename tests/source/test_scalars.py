"""Plain scalars against the core schema of YAML 1.2.2, section 10.3.2."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engrave.source.scalars import resolve_scalar


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("null", None),
        ("~", None),
        ("", None),
        ("true", True),
        ("FALSE", False),
        ("12", 12),
        ("-3", -3),
        ("0o14", 12),
        ("0xC", 12),
        ("1.5", 1.5),
        (".5", 0.5),
        ("12e03", 12000.0),
        ("+.inf", math.inf),
    ],
)
def test_values_of_the_core_schema(text, value):
    assert resolve_scalar(text) == value
    assert type(resolve_scalar(text)) is type(value)


@pytest.mark.parametrize(
    "text",
    ["yes", "no", "on", "Off", "1:30", "2026-11-25", "1/4", "1_000", "0b11", "3 hammer-on", "G", "1/4."],
)
def test_what_other_versions_read_otherwise_stays_text(text):
    assert resolve_scalar(text) == text


@given(st.text(alphabet="0123456789.eE+-xo_:abcdefinrtuls ~", max_size=12))
def test_nothing_raises(text):
    resolve_scalar(text)


def test_endless_digits_stay_text():
    assert resolve_scalar("9" * 5000) == "9" * 5000
