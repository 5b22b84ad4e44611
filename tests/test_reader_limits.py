"""Every reader at its limits: the worst that it accepts is read in time that grows with the size and no faster.

What each case needed at its full size, as `python -m tests.benchmarks.reader_bounds` prints it, stands in `NEEDED`: at most
5 s of one processor and 400 MB beyond the program itself (house rule), or a refusal before that. Each case is tried here at
two sizes, one four times the other: a cost that grows with the square of the size takes sixteen times as long.
"""

import subprocess
import sys
from typing import NamedTuple

import pytest

from tests.benchmarks.reader_bounds import CASES
from tests.fuzz.seeds import ROOT


class Need(NamedTuple):
    """Seconds and megabytes at full size; which share of it takes long enough to be measured."""

    seconds: float
    megabytes: int
    share: float = 0.04


NEEDED = {}
SECONDS, MEGABYTES = 5, 400
SCRIPT = """
import sys, time
from tests.benchmarks.reader_bounds import CASES, measure
for row in sys.argv[1:]:
    name, share = row.split("=")
    few = min(measure(name, float(share) / 4) for _ in range(3))
    print(name, few, min(measure(name, float(share)) for _ in range(3)))
"""


def test_every_case_says_what_it_needs_and_that_is_within_the_limits():
    assert set(NEEDED) == set(CASES)
    assert all(need.seconds <= SECONDS and need.megabytes <= MEGABYTES for need in NEEDED.values())


@pytest.mark.parametrize("kind", sorted({name.partition("/")[0] for name in CASES}))
def test_four_times_as_much_takes_four_times_as_long_and_not_sixteen_times(kind):
    rows = [f"{name}={need.share}" for name, need in NEEDED.items() if name.startswith(f"{kind}/")]
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT, *rows], capture_output=True, text=True, check=False, cwd=ROOT
    )
    assert done.returncode == 0, done.stderr[-2000:]
    for line in done.stdout.splitlines():
        name, few, many = line.split()
        assert float(many) < 9 * float(few) + 0.1, f"{name}: {few} s, then {many} s"
