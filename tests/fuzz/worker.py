"""Cases run: each command in this process, with limits of time and memory, everything that it prints caught.

A command runs as `engrave.cli.main`, so an exception that comes out is seen as such. What it takes too long over is
stopped by a timer of processor time: the place where it was then is the place of the hang.
"""

from __future__ import annotations

import contextlib
import functools
import hashlib
import io
import os
import resource
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Iterator
from multiprocessing.connection import Connection
from pathlib import Path
from types import FrameType
from typing import Any, NamedTuple

from engrave import cli
from engrave.cli import main
from engrave.fingering.hand import load_hand
from engrave.parser import build_parser
from tests.fuzz.case import Case, Step
from tests.fuzz.judge import Failure, Ran, judge

SECONDS = 10
"""Of the processor for one command: more is a hang (house rule)."""
BYTES_A_SECOND = 50_000
"""Of documents, for each of which a command has a second more: a score of thousands of measures is large, not endless."""
MEMORY = 1_500_000_000
"""Bytes of address space for a worker (house rule)."""
_ROOT = Path(__file__).parents[2]


class Result(NamedTuple):
    """What became of a case."""

    failures: list[Failure]
    seconds: float
    """Of the processor, for the slowest command."""
    memory: int
    """Bytes at the worst moment."""
    refused: bool = False
    """A command said that the input is wrong."""
    total: float = 0.0
    """Seconds of the processor for all of it, making and judging too."""


class _Hang(BaseException):
    """A command has had all the time that it may have."""


def work(channel: Connection, scratch: str) -> None:
    """Run what comes through `channel`, until nothing comes: (reader, seed, number), or a case. Never returns otherwise."""
    os.setsid()
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    tempfile.tempdir = scratch
    from tests.fuzz.readers import make_case

    cli.build_parser = functools.cache(build_parser)  # the same for all runs, and slow to build
    while True:
        try:
            asked: Any = channel.recv()
        except EOFError:
            return
        if asked is None:
            return
        start = time.process_time()
        case = asked if isinstance(asked, Case) else make_case(*asked)
        channel.send(run_case(case, Path(scratch), channel, start))


def run_case(
    case: Case, scratch: Path, channel: Connection | None = None, start: float | None = None
) -> Result:
    """Run a case in a new folder under `scratch`; `channel` is told of each step, as its number, before it is run.

    `start` is how long the process had run when the case was begun to be made; None: now.
    """
    start = time.process_time() if start is None else start
    folder = Path(tempfile.mkdtemp(dir=scratch))
    _forget_peak()
    try:
        place = case.write(folder)
        ran: list[Ran | None] = []
        for number, step in enumerate(case.steps):
            before = ran[step.after] if step.after is not None else None
            if step.after is not None and (before is None or before.status or before.kind):
                ran.append(None)
                continue
            if channel is not None:
                channel.send(number)
            ran.append(run_step(step, place))
            last = ran[-1]
            if last is not None and last.kind in ("hang", "MemoryError"):
                ran.extend([None] * (len(case.steps) - len(ran)))
                break
        failures = judge(case, ran, place)
    finally:
        os.chdir(_ROOT)
        shutil.rmtree(folder, ignore_errors=True)
    seconds = max((done.seconds for done in ran if done), default=0.0)
    refused = any(done and done.status for done in ran)
    return Result(failures, seconds, _peak(), refused, time.process_time() - start)


def run_step(step: Step, place: Path) -> Ran:
    """Run one command in the folder `place`."""
    os.chdir(place)
    _forget_files()
    before = _contents(place)
    kind = where = detail = ""
    status = 0
    start = time.process_time()
    with _caught(place / step.stdin if step.stdin else Path(os.devnull)) as printed:
        try:
            with _timer(SECONDS + _size_of_documents(place) / BYTES_A_SECOND):
                status = main(step.arguments)
        except SystemExit as stop:
            status = stop.code if isinstance(stop.code, int) else 0 if stop.code is None else 1
        except _Hang as hang:
            kind, where, detail = "hang", find_place(hang), _told(hang)
        except KeyboardInterrupt:
            raise
        except BaseException as error:
            kind, where, detail = type(error).__name__, find_place(error), _told(error)
    seconds = time.process_time() - start
    after = _contents(place)
    changed = frozenset(name for name, digest in after.items() if before.get(name) != digest)
    return Ran(status, printed[0], printed[1], seconds, kind, where, detail, changed)


def _size_of_documents(folder: Path) -> int:
    """Bytes of the documents in a folder."""
    return sum(path.stat().st_size for path in folder.rglob("*.yaml") if path.is_file())


def _forget_files() -> None:
    """Forget what was read from files of the case before: each command line is a process of its own for its user."""
    forget = getattr(load_hand, "cache_clear", None)
    if forget is not None:
        forget()


def find_place(error: BaseException) -> str:
    """File and function of the innermost frame that is the program's own; of an endless recursion, its commonest."""
    frames = traceback.extract_tb(error.__traceback__)
    own = [f"{f.filename.rpartition('/engrave/')[2]}:{f.name}" for f in frames if "/engrave/" in f.filename]
    if not own:
        return f"{Path(frames[-1].filename).name}:{frames[-1].name}"
    return Counter(own).most_common(1)[0][0] if isinstance(error, RecursionError) else own[-1]


def _told(error: BaseException) -> str:
    """The traceback, its middle left out where it is long."""
    lines = traceback.format_exception(error)
    if len(lines) > 24:
        lines = [*lines[:6], "  ...\n", *lines[-14:]]
    return "".join(lines)[-6000:]


@contextlib.contextmanager
def _timer(seconds: float) -> Iterator[None]:
    """Raise `_Hang` in what runs inside after too much of the processor's time."""

    def stop(number: int, frame: FrameType | None) -> None:
        raise _Hang(f"stopped after {seconds:.0f} s")

    old = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, old)


@contextlib.contextmanager
def _caught(typed: Path) -> Iterator[list[str]]:
    """The standard streams led to files, down to their numbers; afterwards the list holds what was printed."""
    printed: list[str] = []
    files = [tempfile.TemporaryFile() for _ in range(2)]  # noqa: SIM115 - closed below
    kept = [os.dup(number) for number in range(3)]
    streams = (sys.stdin, sys.stdout, sys.stderr)
    source = os.open(typed, os.O_RDONLY)
    try:
        for number, handle in enumerate((source, *(file.fileno() for file in files))):
            os.dup2(handle, number)
        sys.stdin = io.TextIOWrapper(io.FileIO(0, closefd=False), "utf-8")
        sys.stdout, sys.stderr = (
            io.TextIOWrapper(
                io.FileIO(n, "w", closefd=False), "utf-8", "backslashreplace", write_through=True
            )
            for n in (1, 2)
        )
        yield printed
    finally:
        for stream in (sys.stdout, sys.stderr):
            stream.flush()
        sys.stdin, sys.stdout, sys.stderr = streams
        for number, handle in enumerate(kept):
            os.dup2(handle, number)
            os.close(handle)
        os.close(source)
        for file in files:
            file.seek(0)
            printed.append(file.read(5_000_000).decode("utf-8", "replace"))
            file.close()


def _contents(folder: Path) -> dict[str, str]:
    """A digest of each file, by its path."""
    return {
        str(path.relative_to(folder)): hashlib.md5(path.read_bytes(), usedforsecurity=False).hexdigest()
        for path in folder.rglob("*")
        if path.is_file()
    }


def _forget_peak() -> None:
    """Start anew to look for the most memory that is used."""
    with contextlib.suppress(OSError):
        Path("/proc/self/clear_refs").write_text("5")


def _peak() -> int:
    """Bytes in memory at the worst moment since then (a system that does not tell: since the start)."""
    with contextlib.suppress(OSError, ValueError):
        for line in Path("/proc/self/status").read_text("utf-8").splitlines():
            if line.startswith("VmHWM:"):
                return int(line.split()[1]) * 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
