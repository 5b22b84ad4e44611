"""The worst files that the readers accept, each read in a process of its own: seconds of the processor and memory.

python -m tests.benchmarks.reader_bounds                every case at full size
python -m tests.benchmarks.reader_bounds midi/events    one case, by its name
python -m tests.benchmarks.reader_bounds --share 0.1    a tenth of the size: how the numbers grow

A case ends as a tree, or as a refusal in words. The last column tells which; anything else is printed as it is.
"""

from __future__ import annotations

import argparse
import resource
import subprocess
import sys
import time
from collections.abc import Callable

from engrave.exchange.midi.reader import read_midi
from engrave.exchange.musicxml.reader import read_musicxml
from engrave.exchange.text_tab.reader import read_text_tab
from engrave.problems import ProblemLog
from engrave.products.lay_out import collector_paused
from engrave.reading.load import read_text_score
from engrave.source.files import decode
from tests.benchmarks.reader_files import CASES

MOST_MEMORY = 2 * 1024**3
"""Bytes of address space that a case may ask for (house rule: twice what is thought right)."""
MOST_SECONDS = 600
"""Seconds of the processor after which a case is stopped (house rule)."""


def _read_yaml(data: bytes) -> None:
    log = ProblemLog("case")
    text = decode(data, log)
    with collector_paused():
        if text is None or read_text_score(text, log) is None:
            raise ValueError(f"{log.in_order()[0].what} ({len(log.in_order())} problems)")


READERS: dict[str, Callable[[bytes], object]] = {
    "musicxml": read_musicxml,
    "mxl": read_musicxml,
    "midi": read_midi,
    "tab": read_text_tab,
    "yaml": _read_yaml,
}


def read_case(name: str, share: float, memory: int, seconds: int) -> str:
    """Read one case in this process, which must not need more than `memory` bytes and `seconds`; a line of numbers."""
    data = CASES[name](share)
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    resource.setrlimit(resource.RLIMIT_AS, (memory, resource.RLIM_INFINITY))
    start = time.process_time()
    spent = int(start) + 1
    resource.setrlimit(resource.RLIMIT_CPU, (spent + seconds, resource.RLIM_INFINITY))
    try:
        READERS[name.partition("/")[0]](data)
        end = "a tree"
    except ValueError as error:
        end = f"refused: {error}"[:90]
    taken = time.process_time() - start
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    return f"{len(data) / 1e6:8.1f} MB {taken:8.1f} s {peak - before:8} MB more  {end}"


def main() -> int:
    """Read the cases one after the other; 1 when one ended neither as a tree nor as a refusal."""
    parser = argparse.ArgumentParser(
        description="Reads the worst allowed files and measures time and memory."
    )
    parser.add_argument("case", nargs="*", help=f"of: {', '.join(CASES)}")
    parser.add_argument("--share", type=float, default=1.0, help="of the full size (1)")
    parser.add_argument("--here", action="store_true", help="in this process: for one case")
    wish = parser.parse_args()
    if wish.here:
        print(read_case(wish.case[0], wish.share, MOST_MEMORY, MOST_SECONDS))
        return 0
    failed = False
    for name in wish.case or CASES:
        command = [
            sys.executable,
            "-m",
            "tests.benchmarks.reader_bounds",
            name,
            "--share",
            str(wish.share),
            "--here",
        ]
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        last = (done.stderr.strip().splitlines() or [f"stopped by signal {-done.returncode}"])[-1]
        print(f"{name:<22}{done.stdout.rstrip() if not done.returncode else f'FAILED: {last}'}", flush=True)
        failed = failed or bool(done.returncode)
    return int(failed)


if __name__ == "__main__":
    sys.exit(main())
