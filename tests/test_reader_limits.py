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


NEEDED = {
    "musicxml/elements": Need(0.7, 65, 0.2),
    "musicxml/attributes": Need(0.0, 0, 0.2),
    "musicxml/lines": Need(0.0, 0, 0.2),
    "musicxml/references": Need(0.0, 0, 0.2),
    "musicxml/notes": Need(3.6, 106),
    "musicxml/chords": Need(1.6, 68),
    "musicxml/one-measure": Need(2.5, 95),
    "musicxml/odd-tuplets": Need(0.3, 11, 0.2),
    "musicxml/two-ratios": Need(3.2, 81),
    "musicxml/open-tuplets": Need(2.6, 83),
    "musicxml/comment": Need(0.0, 0, 0.2),
    "musicxml/voices": Need(2.4, 101),
    "musicxml/jumps": Need(1.2, 38),
    "musicxml/endings": Need(3.6, 41),
    "musicxml/spans": Need(2.5, 112),
    "musicxml/parts": Need(3.3, 83),
    "mxl/bomb": Need(1.6, 110),
    "mxl/members": Need(0.4, 12, 0.2),
    "midi/bytes": Need(2.8, 177),
    "midi/events": Need(2.3, 83),
    "midi/chords": Need(2.0, 82),
    "midi/tracks": Need(0.3, 13, 0.2),
    "midi/signatures": Need(2.3, 77),
    "tab/blocks": Need(2.9, 105),
    "tab/line": Need(2.9, 114),
    "tab/one-measure": Need(2.4, 126),
    "tab/rows": Need(0.2, 16, 0.2),
    "tab/pitches": Need(3.4, 114),
    "tab/words": Need(0.2, 12, 0.2),
    "tab/stops": Need(0.0, 6, 0.2),
    "yaml/measures": Need(2.8, 226),
    "yaml/maps": Need(1.7, 146),
    "yaml/row": Need(2.9, 227),
    "yaml/pitches": Need(2.3, 169),
    "yaml/chords": Need(3.9, 151),
    "yaml/graces": Need(2.2, 221),
    "yaml/drawn": Need(3.1, 181),
    "yaml/marks": Need(0.2, 52, 0.2),
    "yaml/verses": Need(0.3, 229, 0.2),
    "yaml/aliases": Need(1.7, 153),
    "yaml/brackets": Need(1.8, 196),
    "handout/items": Need(0.3, 13, 0.2),
    "handout/music": Need(4.2, 184),
    "handout/words": Need(0.8, 92, 0.2),
    "handout/links": Need(1.1, 99),
    "handout/brackets": Need(4.9, 65),
    "handout/pictures": Need(0.2, 10, 0.2),
    "songbook/songs": Need(0.2, 13, 0.2),
    "songbook/imprint": Need(0.8, 80, 0.2),
    "style/keys": Need(0.1, 1, 0.2),
    "style/list": Need(0.9, 55, 0.2),
    "hand/keys": Need(0.0, 1, 0.2),
    "table/words": Need(0.6, 38, 0.2),
    "picture/png": Need(0.1, 83, 0.2),
    "picture/chunks": Need(2.5, 0),
    "picture/jpeg": Need(0.0, 0, 0.2),
}
SECONDS, MEGABYTES = 5, 400
SCRIPT = """
import sys, time
from tests.benchmarks.reader_bounds import CASES, measure
for row in sys.argv[1:]:
    name, share = row.split("=")
    few = min(measure(name, float(share) / 4) for _ in range(2))
    print(name, few, min(measure(name, float(share)) for _ in range(2)))
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
