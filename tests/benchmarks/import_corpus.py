"""Imports every MusicXML file of a folder and accounts for every note: in the score, or among the losses.

python -m tests.benchmarks.import_corpus FOLDER            any folder with .mxl, .musicxml or .xml files in it
python -m tests.benchmarks.import_corpus FOLDER --jobs 1   one file after the other

A file is read when its tree is written as YAML and loaded again without an error; refused when the reader says why in a
ValueError. Everything else - another exception, a tree that is no score, a note that nobody told about, a file that takes
longer than the limit - is a crash, and the command ends with 1.
"""

from __future__ import annotations

import argparse
import re
import signal
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from multiprocessing import Pool
from pathlib import Path
from types import FrameType
from typing import NamedTuple

from engrave.exchange.musicxml.reader import Loss, read_musicxml
from engrave.exchange.musicxml.reading.parts import to_partwise
from engrave.exchange.musicxml.reading.source import open_source
from engrave.problems import ProblemLog
from engrave.reading.load import read_text_score
from engrave.score.structure import Score
from engrave.writing.dump import dump_score

SUFFIXES = (".mxl", ".musicxml", ".xml")
LIMIT = 60
"""Seconds that a file may take (house rule)."""
SHOWN = 5
"""How many of the slowest files are shown (house rule)."""
CUT = 200
"""Characters of a message that are shown (house rule)."""


class Outcome(NamedTuple):
    """What became of one file. `state`: read, refused or crashed, `why` in words; seconds are those of the processor in the reader."""

    name: str
    state: str
    why: str = ""
    seconds: float = 0.0
    written: int = 0
    kept: int = 0
    lost: int = 0
    losses: int = 0


class TooSlow(Exception):
    """A file took longer than the limit."""


@contextmanager
def time_limit() -> Iterator[None]:
    """Raises TooSlow in the middle of whatever takes longer than LIMIT seconds."""

    def stop(number: int, frame: FrameType | None) -> None:
        raise TooSlow(f"longer than {LIMIT} s")

    signal.signal(signal.SIGALRM, stop)
    signal.alarm(LIMIT)
    try:
        yield
    finally:
        signal.alarm(0)


def count_written(data: bytes) -> int:
    """The notes of the file, as it counts them: each part of a tie and each grace note is one, rests are none."""
    root = to_partwise(open_source(data))
    rows = (measure.all("note") for part in root.all("part") for measure in part.all("measure"))
    return sum(not note.has("rest") for row in rows for note in row)


def count_kept(score: Score) -> int:
    """The notes of the score, counted in the same way."""
    events = [e for p in score.parts for m in p.measures for v in m.voices for e in v.events]
    graces = [g for e in events for side in (e.before, e.after) if side for g in side.events]
    return sum(len(event.notes) for event in events + graces)


def count_told(losses: Sequence[Loss], unit: str) -> int:
    """How many notes (`unit` "note") were told as lost, or heads ("more head") as added."""
    found = (re.match(rf"(\d+) {unit}s?: ", loss.what) for loss in losses)
    return sum(int(match.group(1)) for match in found if match)


def account(path: Path, name: str) -> Outcome:
    """Import one file, write it, load it and count."""
    data = path.read_bytes()
    start = time.process_time()
    tree, losses = read_musicxml(data)
    seconds = time.process_time() - start
    log = ProblemLog(name)
    score = read_text_score(dump_score(tree), log)
    if score is None or log.has_errors:
        return Outcome(name, "crashed", f"no score: {'; '.join(str(p) for p in log.in_order()[:2])}", seconds)
    written, lost = count_written(data), count_told(losses, "note")
    kept = count_kept(score) - count_told(losses, "more head")
    state, why = "read", ""
    if kept + lost != written:
        state, why = "crashed", f"{written} notes written, {kept} kept, {lost} told as lost"
    return Outcome(name, state, why, seconds, written, kept, lost, len(losses))


def try_file(task: tuple[Path, str]) -> Outcome:
    """The outcome of one file, whatever happens."""
    path, name = task
    start = time.process_time()
    try:
        with time_limit():
            return account(path, name)
    except ValueError as error:
        return Outcome(name, "refused", str(error), time.process_time() - start)
    except Exception as error:  # the one place that must survive everything
        return Outcome(name, "crashed", f"{type(error).__name__}: {error}", time.process_time() - start)


def print_table(outcomes: Sequence[Outcome]) -> None:
    """The counts, then what was refused or crashed and why."""
    for state in ("refused", "crashed"):
        for row in outcomes:
            if row.state == state:
                print(f"{state}: {row.name}: {row.why[:CUT]}")
    states = [row.state for row in outcomes]
    counts = {
        "files": len(outcomes),
        "read": states.count("read"),
        "refused": states.count("refused"),
        "crashed": states.count("crashed"),
        "notes written": sum(row.written for row in outcomes),
        "notes kept": sum(row.kept for row in outcomes),
        "notes lost, all told": sum(row.lost for row in outcomes),
        "losses told": sum(row.losses for row in outcomes),
    }
    for name, count in counts.items():
        print(f"{name:<24}{count:>10}")
    print(f"{'seconds of reading':<24}{sum(row.seconds for row in outcomes):>10.1f}")
    for row in sorted(outcomes, key=lambda row: -row.seconds)[:SHOWN]:
        print(f"{'slow':<24}{row.seconds:>10.2f}  {row.name} ({row.written} notes)")


def main() -> int:
    """Import and print; 1 when something crashed."""
    parser = argparse.ArgumentParser(description="Imports all MusicXML files of a folder and counts notes.")
    parser.add_argument("folder", type=Path, help="any folder; files are looked for at every depth")
    parser.add_argument("--jobs", type=int, default=2, help="processes side by side (2)")
    wish = parser.parse_args()
    files = sorted(path for path in wish.folder.rglob("*") if path.suffix in SUFFIXES and path.is_file())
    if not files:
        print(f"there is no file with {', '.join(SUFFIXES)} in {wish.folder}", file=sys.stderr)
        return 1
    tasks = [(path, str(path.relative_to(wish.folder))) for path in files]
    with Pool(max(1, wish.jobs)) as pool:
        outcomes = pool.map(try_file, tasks, chunksize=1)
    print_table(outcomes)
    return 1 if any(row.state == "crashed" for row in outcomes) else 0


if __name__ == "__main__":
    sys.exit(main())
