"""Typed tab of any kind is read or refused, within bounds of time."""

import contextlib
import time

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from engrave.exchange.text_tab.reader import read_text_tab
from engrave.problems import ProblemLog
from engrave.reading.load import read_text_score
from tests.exchange.text_tab_helpers import tab

QUIET = {"deadline": None, "suppress_health_check": list(HealthCheck)}


@pytest.mark.parametrize("text", ["", "hello", "-----\n-----\n", "a - b - c\n" * 6])
def test_text_without_tab_is_refused(text):
    with pytest.raises(ValueError, match="no tab"):
        read_text_tab(text.encode())


def test_more_than_five_megabytes_are_refused():
    with pytest.raises(ValueError, match="bytes"):
        read_text_tab(b"-" * 2_000_001)


@pytest.mark.parametrize(
    "row",
    ["|" + "-0" * 5000 + "-|", "|" + "0-|" * 3000, "|" + "(" * 9000, "|-" + "7b9r7" * 2000 + "-" * 9000],
)
def test_long_lines_take_bounded_time(row):
    start = time.process_time()
    with contextlib.suppress(ValueError):
        read_text_tab(("\n".join([row] * 6)).encode())
    assert time.process_time() - start < 10


def check(data):
    try:
        found = read_text_tab(data)
    except ValueError:
        return
    log = ProblemLog("f")
    score = read_text_score(yaml.safe_dump(found.tree, sort_keys=False, allow_unicode=True), log)
    assert score is not None, [str(p) for p in log.in_order()]


@given(st.text(max_size=400))
@settings(max_examples=100, **QUIET)
def test_any_text_is_read_or_refused(text):
    check(text.encode("utf-8", "surrogatepass"))


@given(st.lists(st.text("-|0123457hpb/\\~x()<>r*:. ", min_size=8, max_size=40), min_size=4, max_size=9))
@settings(max_examples=200, **QUIET)
def test_any_rows_of_signs_are_read_or_refused(rows):
    check("\n".join("|----" + row + "------" for row in rows).encode())


GOOD = (
    "Song\nCapo 2\nTuning: drop D\nTime: 4/4\n\n[Verse]\n   Am  C/G\n   1 & 2 & 3 e & a 4\n"
    + tab({1: "|-0---0---2-2-2-2-0-|", 2: "|-5h7-7b9r7-<12>-x~-|"})
    + "   q q q q\nBass\n"
    + tab({1: "|:-0-2-3-5-:|-0-12-|"}, 4, "GDAE")
    + "3/4\n   q. e q 3(e e e)\nGuitar\n"
    + tab({1: "||*-0-2-3-5-*|| x3"})
)


@given(
    st.lists(st.tuples(st.integers(0, len(GOOD) - 1), st.integers(0, 3), st.text(max_size=3)), max_size=25)
)
@settings(max_examples=300, **QUIET)
def test_mutated_tab_is_read_or_refused(changes):
    text = GOOD
    for place, cut, new in changes:
        text = text[:place] + new + text[place + cut :]
    check(text.encode("utf-8", "surrogatepass"))
