"""Faults of form that look like slips of typing get the sentence of the slip."""

import pytest

from tests.reading.helpers import problems


@pytest.mark.parametrize(
    ("notes", "message"),
    [
        ("[1/4 2:1, 1/2.: 2:3]", 'f:3:13: a colon is missing after "1/4" (measure 1); write 1/4: 2:1'),
        ("[1/2.. 2:1 2:3]", 'a colon is missing after "1/2.." (measure 1); write 1/2..: 2:1 2:3'),
        (
            "[3 in 2 of 1/8 2:1 2:3 2:0]",
            'a colon is missing after "3 in 2 of 1/8" (measure 1); write 3 in 2 of 1/8: 2:1 2:3 2:0',
        ),
        (
            "[grace 1/8 2:1, 1/1: 2:3]",
            'a colon is missing after "grace 1/8" (measure 1); write grace 1/8: 2:1',
        ),
    ],
)
def test_a_duration_without_its_colon_is_told_so(notes, message):
    found = problems(f"score: 1\nmeasures:\n  - notes: {notes}\n")
    assert len(found) == 1, found
    assert message in found[0]
