"""The worst files that the readers accept, each read in a process of its own: seconds of the processor and memory.

python -m tests.benchmarks.reader_bounds                every case at full size
python -m tests.benchmarks.reader_bounds midi/events    one case, by its name
python -m tests.benchmarks.reader_bounds --share 0.1    a tenth of the size: how the numbers grow

A case ends as a tree, or as a refusal in words. The last column tells which; anything else is printed as it is.
"""

from __future__ import annotations

import argparse
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from engrave.exchange.midi.reader import read_midi
from engrave.exchange.musicxml.reader import read_musicxml
from engrave.exchange.text_tab.lines.table import read_own_table
from engrave.exchange.text_tab.reader import read_text_tab
from engrave.fingering.hand import load_hand
from engrave.fingering.hand_files import WrongHand
from engrave.problems import ProblemLog
from engrave.products.lay_out import collector_paused
from engrave.products.product import open_source
from engrave.products.registry import product_of
from engrave.reading.load import read_text_score
from engrave.reading.pictures import read_picture
from engrave.requests.pages import Looks
from engrave.source.files import decode
from engrave.source.parse import parse_yaml
from engrave.source.tree import SourceMap
from engrave.style.load import load_style
from tests.benchmarks import document_files, reader_files
from tests.test_check_agrees import png

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


def _read_document(data: bytes) -> None:
    """A handout or a book as far as its records; the songs of a book are read apart."""
    Path("document.yaml").write_bytes(data)
    Path("song.yaml").write_text(document_files.SONG, "utf-8")
    Path("small.png").write_bytes(png(4, 4))
    source, log = open_source("document.yaml")
    with collector_paused():
        if source is None or product_of(source.kind).read(source, Looks()) is None:
            told = source.problems if source is not None else log.in_order()
            raise ValueError(f"{told[0].what} ({len(told)} problems)")


def _read_style(data: bytes) -> None:
    Path("own.yaml").write_bytes(data)
    style, log = load_style("own.yaml")
    if style is None:
        raise ValueError(f"{log.in_order()[0].what} ({len(log.in_order())} problems)")


def _read_hand(data: bytes) -> None:
    Path("own.yaml").write_bytes(data)
    try:
        load_hand("own.yaml")
    except WrongHand as error:
        raise ValueError(f"{error.problems[0].what} ({len(error.problems)} problems)") from error


def _read_table(data: bytes) -> None:
    log = ProblemLog("table")
    tree = parse_yaml(data.decode(), log)
    assert isinstance(tree, SourceMap)
    read_own_table(tree, log)


def _read_picture(data: bytes) -> None:
    Path("picture").write_bytes(data)
    read_picture(Path("picture"))


CASES = {**reader_files.CASES, **document_files.CASES}
READERS: dict[str, Callable[[bytes], object]] = {
    "musicxml": read_musicxml,
    "mxl": read_musicxml,
    "midi": read_midi,
    "tab": read_text_tab,
    "yaml": _read_yaml,
    "handout": _read_document,
    "songbook": _read_document,
    "style": _read_style,
    "hand": _read_hand,
    "table": _read_table,
    "picture": _read_picture,
}


def measure(name: str, share: float) -> float:
    """Seconds of the processor for a case at a share of its size, in a folder of its own."""
    data = CASES[name](share)
    here = Path.cwd()
    with tempfile.TemporaryDirectory() as scratch:
        os.chdir(scratch)
        try:
            start = time.process_time()
            with suppress(ValueError):
                READERS[name.partition("/")[0]](data)
            return time.process_time() - start
        finally:
            os.chdir(here)


def read_case(name: str, share: float, memory: int, seconds: int) -> str:
    """Read one case in this process, which must not need more than `memory` bytes and `seconds`; a line of numbers."""
    data = CASES[name](share)
    scratch = tempfile.TemporaryDirectory()
    os.chdir(scratch.name)
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
