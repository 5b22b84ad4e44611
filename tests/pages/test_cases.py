"""Small cases, one a rule: their placed marks are compared with the accepted dumps in tests/pages/cases/.

`python -m pytest tests/pages --accept` takes the pages as they are now for right; read the diff of the dumps before it is
committed.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.pages.case_files import (
    CASES,
    SOURCES,
    case_names,
    dump_case,
    dump_file,
    read_accepted,
    read_rule,
    show_changes,
)
from tests.pages.dump import number

NAMES = case_names()


@pytest.mark.parametrize("name", NAMES)
def test_the_pages_of_a_case_are_as_accepted(name, request):
    dump = dump_case(name)
    if request.config.getoption("accept"):
        dump_file(name).write_text(dump, "utf-8")
    changes = show_changes(read_accepted(name), dump)
    if changes:
        pytest.fail(f"{read_rule(name)}\n{changes}", pytrace=False)


def test_every_dump_has_its_case(request):
    orphans = {path for path in CASES.glob("*.txt") if path.stem not in NAMES}
    if request.config.getoption("accept"):
        for path in orphans:
            path.unlink()
    assert [path.name for path in orphans if path.exists()] == []


@pytest.mark.parametrize("name", NAMES)
def test_every_case_says_its_rule_and_the_source(name):
    rule, _, source = read_rule(name).partition("Source: ")
    assert len(rule.split()) > 4
    assert any(known in source for known in SOURCES), f"one of: {', '.join(SOURCES)}"


@given(st.floats(-1000, 1000))
def test_numbers_of_a_dump_are_stable(value):
    """Noise in the last bits, as it differs between machines, does not show."""
    steps = round(value * 8) / 8
    assert number(steps + 1e-10) == number(steps) == number(steps - 1e-10)
    assert number(-1e-10) == "0.00"
    assert abs(float(number(value)) - value) < 0.0051
