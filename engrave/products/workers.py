"""Work shared among processes, each at the end of a pipe of its own: nothing else is asked of the system.

Where processes cannot be started, or end before their work is done, it is done here, and a remark says so.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from multiprocessing.process import BaseProcess
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

Job = TypeVar("Job")
Result = TypeVar("Result")

_NOT_STARTED = "no other processes can be used here, so all songs were made one after the other"
_ENDED = "a process ended before its song was done, so that was made again"
_LEAVE = 5.0
"""Seconds that a process with nothing left to do may take to end (house rule)."""
_UNAVAILABLE = (OSError, ImportError, NotImplementedError, AssertionError)
"""What Python raises where there are no pipes, no processes, or where a process may have none of its own."""


class _Worker(NamedTuple):
    process: BaseProcess
    pipe: Connection


class Workers:
    """A number of processes, to be used in a `with` statement: at its end none of them is left."""

    def __init__(self, count: int, remark: Callable[[str], None]) -> None:
        """Up to `count` processes, none for less than two; `remark` is told what went otherwise."""
        self._remark = remark
        self._missing = count if count > 1 else 0
        self._workers: list[_Worker] = []

    def __enter__(self) -> Workers:
        return self

    def __exit__(self, kind: object, *error: object) -> None:
        for worker in self._workers:
            if kind is None:
                with suppress(OSError):
                    worker.pipe.send(None)
            else:
                worker.process.kill()
        for worker in tuple(self._workers):
            worker.process.join(_LEAVE)
            _end(worker)

    def map(self, function: Callable[[Job], Result], jobs: Sequence[Job]) -> Iterator[Result]:
        """What `function` makes of each job, in their order. Raises what it raises."""
        waiting = iter(range(len(jobs)))
        busy: dict[Connection, tuple[_Worker, int]] = {}
        done: dict[int, Result] = {}
        lost: set[int] = set()

        def hand_out(worker: _Worker) -> None:
            """The next job to a process; what has not reached it is lost."""
            for number in waiting:
                try:
                    worker.pipe.send((function, jobs[number]))
                except OSError:
                    lost.add(number)
                    self._give_up(worker)
                else:
                    busy[worker.pipe] = worker, number
                return

        def collect() -> None:
            """The next results, and jobs for the processes that have nothing to do now."""
            for pipe in _wait(list(busy)):
                worker, number = busy.pop(pipe)
                try:
                    is_done, result = pipe.recv()
                except (EOFError, OSError):
                    lost.add(number)
                    self._give_up(worker)
                    continue
                if is_done:
                    done[number] = result
                else:
                    lost.add(number)  # what went wrong is raised when it is made here
                hand_out(worker)

        self._start_for(len(jobs))
        for worker in tuple(self._workers):
            hand_out(worker)
        for number in range(len(jobs)):
            while number not in done and number not in lost and busy:
                collect()
            if number in done:
                yield done.pop(number)
                continue
            if number not in lost:
                next(waiting, None)  # no process is left to take it
            yield function(jobs[number])

    def _start_for(self, count: int) -> None:
        """Start what processes `count` jobs can use and there are not yet; one job alone is done here."""
        try:
            while self._missing and len(self._workers) < count > 1:
                self._workers.append(_start())
                self._missing -= 1
        except _UNAVAILABLE:
            self._missing = 0
            if not self._workers:
                self._remark(_NOT_STARTED)

    def _give_up(self, worker: _Worker) -> None:
        """Do without a process that has ended by itself."""
        self._remark(_ENDED)
        worker.process.join(_LEAVE)
        self._workers.remove(worker)
        _end(worker)


def _start() -> _Worker:
    """A process that waits for jobs. Raises one of `_UNAVAILABLE`."""
    here, there = multiprocessing.Pipe()
    try:
        process = multiprocessing.Process(target=_serve, args=(there,), daemon=True)
        process.start()
    except BaseException:
        here.close()
        raise
    finally:
        there.close()
    return _Worker(process, here)


def _end(worker: _Worker) -> None:
    """Nothing of a process is left."""
    worker.process.kill()
    worker.process.join()
    worker.process.close()
    worker.pipe.close()


def _wait(pipes: list[Connection]) -> list[Any]:
    """Those of `pipes` that have something to say, or have been left."""
    from multiprocessing.connection import wait

    return wait(pipes)


def _serve(pipe: Connection) -> None:
    """Work until there is none, or nobody to work for. Whoever started this process is the one who is stopped."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    with suppress(RuntimeError):  # no threads here: the end of the pipe tells the same, a little later
        threading.Thread(target=_end_with_parent, daemon=True).start()
    with suppress(EOFError, OSError):
        while (task := pipe.recv()) is not None:
            function, job = task
            try:
                answer = True, function(job)
            except Exception:  # it is raised where the job is done again
                answer = False, None
            pipe.send(answer)


def _end_with_parent() -> None:
    """End at once when the process that started this one has ended, however that came about."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
