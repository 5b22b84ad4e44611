"""Random and damaged input against everything that reads, for some minutes.

    python -m tests.fuzz --minutes 10 --jobs 2          all readers, new cases each time
    python -m tests.fuzz --reader midi --seed 7         one reader, the cases of a seed
    python -m tests.fuzz --reader midi --seed 7 --case 1234     one case again, with all that it says
    python -m tests.fuzz --replay tests/fuzz/found/NAME.json    a case that was kept

First the cases of `corpus/` are tried. A failure is an exception that comes out of the command line, a hang (10 s of the
processor), memory, a result of ours that our own reader refuses, `check` and `make` that disagree, a sign in a message that
does something to a terminal, a file that is left over, half written or written over, nan and inf among the numbers of SVG and
PDF. Each is made small and put into `found/`, one for each place. Failures of the kinds that `known.txt` allows are counted,
and are no failure of this command. Slow cases (5 s) and large ones (400 MB) are named.

The exit status is 1 when something has failed.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from collections import Counter, defaultdict
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from tests.fuzz import corpus
from tests.fuzz.case import Case, from_json, to_json
from tests.fuzz.judge import MUCH, SLOW, Failure
from tests.fuzz.pool import Worker
from tests.fuzz.readers import READERS, SHARES, make_case
from tests.fuzz.reduce import reduce_case
from tests.fuzz.worker import SECONDS, Result

_EVERY = 300.0
"""Seconds after which a long run tells how far it is."""


class Tally:
    """What has been tried and found so far."""

    def __init__(self, known: set[str], seconds: float) -> None:
        """`known` are the keys of failures that may be; `seconds` may be spent on making one smaller."""
        self.known = known
        self.seconds = seconds
        self.cases: Counter[str] = Counter()
        self.refused: Counter[str] = Counter()
        self.time: defaultdict[str, float] = defaultdict(float)
        self.failed: Counter[str] = Counter()
        self.kinds: Counter[str] = Counter()
        self.keys: Counter[str] = Counter()
        self.expected: Counter[str] = Counter()
        self.notes: dict[str, str] = {}

    def add(self, reader: str, origin: str, result: Result) -> list[Failure]:
        """Count a result; the failures that are seen for the first time."""
        self.cases[reader] += 1
        self.time[reader] += result.total
        self.refused[reader] += result.refused
        if result.seconds > SLOW and not any(f.kind == "hang" for f in result.failures):
            self.notes[origin] = f"slow: {result.seconds:.1f} s"
        if result.memory > MUCH:
            self.notes[origin] = f"large: {result.memory // 10**6} MB"
        fresh = []
        for failure in result.failures:
            if failure.key in self.known:
                self.expected[failure.key] += 1
                continue
            if not self.keys[failure.key]:
                fresh.append(failure)
            self.keys[failure.key] += 1
            self.failed[reader] += 1
            self.kinds[failure.kind] += 1
        return fresh

    def report(self) -> Iterator[str]:
        """How many cases there were, a line for each reader, then what was noted."""
        yield f"{sum(self.cases.values())} cases, {sum(self.failed.values())} failures"
        for reader, count in self.cases.items():
            speed = count / max(self.time[reader], 1e-9)
            yield (
                f"{reader:10} {count:6} cases {speed:6.1f} per second of the processor, {100 * self.refused[reader] // count:3} % refused by it, "
                f"{self.failed[reader]} failures"
            )
        for key, count in self.keys.most_common():
            yield f"  {count:5} x {key}"
        if self.expected:
            yield f"known, and not counted: {sum(self.expected.values())} of {len(self.expected)} kinds"
        for origin, note in list(self.notes.items())[:20]:
            yield f"  {note}: {origin}"


def main() -> int:
    """Try cases until the time is over; the exit status."""
    options = _options()
    worker = Worker()
    try:
        if options.replay:
            return _show(from_json(Path(options.replay).read_text("utf-8")), worker)
        if options.case is not None:
            return _show(make_case(options.reader or "score", options.seed, options.case), worker)
        known, broken = replay_corpus(worker)
    finally:
        worker.close()
    tally = Tally(known, options.reduce)
    print(f"seed {options.seed}", flush=True)
    fuzz(options, tally)
    print("\n".join(tally.report()), flush=True)
    return 1 if broken or tally.keys else 0


def replay_corpus(worker: Worker) -> tuple[set[str], int]:
    """Try the cases that are kept: the keys of failures that are known, and how many fail that should not."""
    marks, broken = corpus.read_known(), 0
    known: set[str] = set()
    names = corpus.case_names()
    for name in names:
        failures = worker.run(corpus.read_case(name)).failures
        if name in marks:
            known.update(failure.key for failure in failures)
            known.add(corpus.read_key(name))
        elif failures:
            broken += 1
            print(f"corpus/{name}: {failures[0].key}\n{failures[0].detail}", flush=True)
    print(f"corpus: {len(names)} cases, {len(marks)} known to fail, {broken} failures", flush=True)
    return known - {""}, broken


def fuzz(options: argparse.Namespace, tally: Tally) -> None:
    """Give cases to the workers, one after the other, until the time is over."""
    workers = [Worker() for _ in range(options.jobs)]
    asked = _wanted(options)
    until = time.monotonic() + options.minutes * 60
    telling = time.monotonic() + _EVERY
    try:
        for worker in workers:
            worker.start(next(asked))
        while time.monotonic() < until:
            if time.monotonic() > telling:
                telling += _EVERY
                print("\n".join(tally.report()), flush=True)
            for worker in workers:
                result = worker.poll(0.05 if len(workers) > 1 else 1.0)
                if result is None:
                    continue
                reader, seed, case = worker.asked
                origin = f"--reader {reader} --seed {seed} --case {case}"
                fresh = tally.add(reader, origin, result)
                for failure in fresh:
                    _tell(make_case(*worker.asked), failure, origin, tally.seconds)
                worker.start(next(asked))
    finally:
        for worker in workers:
            worker.close()


def _wanted(options: argparse.Namespace) -> Iterator[tuple[str, int, int]]:
    """Readers in turn, each with its next number."""
    turns = (
        [options.reader] if options.reader else [name for name in READERS for _ in range(SHARES.get(name, 1))]
    )
    random.Random(options.seed).shuffle(turns)
    numbers: Counter[str] = Counter()
    while True:
        for reader in turns:
            yield reader, options.seed, numbers[reader]
            numbers[reader] += 1


def _tell(case: Case, failure: Failure, origin: str, seconds: float) -> None:
    """Make a failure small, keep it, and say so."""
    helper = Worker()

    def fails(candidate: Case) -> bool:
        return any(found.key == failure.key for found in helper.run(candidate).failures)

    try:
        if seconds and failure.kind not in ("hang", "died"):
            case = reduce_case(case, fails, seconds)
        elif seconds:
            case = reduce_case(case, fails, min(4 * SECONDS, 3 * seconds))
    finally:
        helper.close()
    path = corpus.keep_found(case, failure, origin)
    last = next((line for line in reversed(failure.detail.splitlines()) if line.strip()), "")
    print(f"{failure.key}\n    {last[:200]}\n    {path.name} ({case.size} bytes; {origin})", flush=True)


def _show(case: Case, worker: Worker) -> int:
    """Run one case and say everything about it."""
    print(to_json(case))
    result = worker.run(case)
    print(f"{result.seconds:.2f} s, {result.memory // 10**6} MB")
    for failure in result.failures:
        print(f"step {failure.step}: {failure.key}\n{failure.detail}")
    return 1 if result.failures else 0


def _options() -> Any:
    parser = argparse.ArgumentParser(
        prog="python -m tests.fuzz", description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("--minutes", type=float, default=2.0)
    parser.add_argument("--reader", choices=list(READERS), help="this reader alone")
    parser.add_argument(
        "--seed", type=int, default=int(time.time()) % 1_000_000, help="the same seed gives the same cases"
    )
    parser.add_argument("--jobs", type=int, default=1, help="processes")
    parser.add_argument(
        "--reduce",
        type=float,
        default=20.0,
        metavar="SECONDS",
        help="for making one failure smaller; 0: as it is",
    )
    parser.add_argument("--case", type=int, metavar="N", help="one case alone, with all that it says")
    parser.add_argument("--replay", metavar="FILE", help="a case that was kept")
    return parser.parse_args()


if __name__ == "__main__":
    sys.exit(main())
