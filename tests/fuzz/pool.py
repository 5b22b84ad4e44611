"""Worker processes: each runs thousands of cases and is started anew when it dies, hangs or has grown."""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import shutil
import signal
import tempfile
import time
from multiprocessing.connection import Connection
from typing import Any

from tests.fuzz.case import Case
from tests.fuzz.judge import MUCH, Failure
from tests.fuzz.worker import SECONDS, Result, work

_PATIENCE = 15
"""Times the limit of processor time that a command may take by the clock, for a machine that does other things too."""
_CASES = 3000
"""A worker retires after so many."""


class Worker:
    """One process. `start` gives it something to do, `poll` says what became of it."""

    def __init__(self) -> None:
        """The process is started with the first case."""
        self.asked: Any = None
        self._process: Any = None
        self._channel: Connection | None = None
        self._scratch = ""
        self._done = 0
        self._step = 0
        self._since = 0.0

    def start(self, asked: Any) -> None:
        """Run a case, or the one that (reader, seed, number) stands for."""
        if self._process is None:
            self._begin()
        assert self._channel is not None
        self.asked, self._step, self._since = asked, 0, time.monotonic()
        self._channel.send(asked)

    def poll(self, seconds: float) -> Result | None:
        """What became of the case; None when it is not done after `seconds`."""
        assert self._channel is not None
        until = time.monotonic() + seconds
        while True:
            try:
                while self._channel.poll(max(0.0, min(0.5, until - time.monotonic()))):
                    told = self._channel.recv()
                    if isinstance(told, Result):
                        return self._finish(told)
                    self._step, self._since = told, time.monotonic()
            except (EOFError, OSError):
                return self._lost("died", f"the process ended: {self._how_it_ended()}")
            if time.monotonic() - self._since > SECONDS * _PATIENCE:
                return self._lost("hang", "stopped from outside")
            if time.monotonic() >= until:
                return None

    def run(self, asked: Any) -> Result:
        """Run a case and wait for it."""
        self.start(asked)
        while (result := self.poll(1.0)) is None:
            pass
        return result

    def close(self) -> None:
        """End the process and those that it has started; take its folder away."""
        if self._process is not None:
            with contextlib.suppress(ProcessLookupError, PermissionError):
                os.killpg(self._process.pid, signal.SIGKILL)
            self._process.kill()
            self._process.join()
            self._process = None
        if self._channel is not None:
            self._channel.close()
            self._channel = None
        shutil.rmtree(self._scratch, ignore_errors=True)

    def _begin(self) -> None:
        self._scratch = tempfile.mkdtemp(prefix="engrave-fuzz-")
        context = multiprocessing.get_context("spawn")
        self._channel, far = context.Pipe()
        self._process = context.Process(target=work, args=(far, self._scratch))
        self._process.start()
        far.close()
        self._done = 0

    def _finish(self, result: Result) -> Result:
        self._done += 1
        if self._done >= _CASES or result.memory > MUCH or any(f.kind == "hang" for f in result.failures):
            self.close()
        return result

    def _lost(self, kind: str, detail: str) -> Result:
        self.close()
        reader = self.asked.reader if isinstance(self.asked, Case) else self.asked[0]
        failure = Failure(kind, f"{reader} step {self._step}", detail, self._step)
        return Result([failure], float(SECONDS), 0, False, float(SECONDS))

    def _how_it_ended(self) -> str:
        self._process.join(5)
        return f"status {self._process.exitcode}"
