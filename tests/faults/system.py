"""A system that does something else at the n-th operation on the files of a folder, and what stands in that folder."""

from __future__ import annotations

import errno
import io
import multiprocessing.process
import os
import signal
from contextlib import contextmanager
from pathlib import Path

REASONS = (errno.ENOSPC, errno.EACCES, errno.EIO, errno.EINTR, errno.EROFS, errno.EDQUOT)
_BY_PATH = [(os, name) for name in ("open", "replace", "unlink", "mkdir", "chmod", "scandir")] + [
    (io, "open")
]
_BY_NUMBER = [(os, "write"), (os, "fsync"), (os, "close")]


class Operations:
    """The operations on files below `folder`, counted; `at(name)` is called before each of them is done."""

    def __init__(self, folder, act):
        self.folder, self.act, self.names, self.numbers = str(folder), act, [], set()

    def _concerns(self, path):
        return isinstance(path, str | os.PathLike) and os.path.abspath(path).startswith(self.folder)

    def by_path(self, name, original):
        def done(path, *rest, **named):
            if not self._concerns(path):
                return original(path, *rest, **named)
            self.names.append(name)
            self.act(len(self.names))
            found = original(path, *rest, **named)
            if name == "os.open":
                self.numbers.add(found)
            return found

        return done

    def by_number(self, name, original):
        def done(number, *rest):
            if number not in self.numbers:
                return original(number, *rest)
            self.names.append(name)
            if name == "os.close":
                self.numbers.discard(number)
                original(number)  # a file is closed even where that fails (POSIX, close)
                return self.act(len(self.names))
            self.act(len(self.names))
            return original(number, *rest)

        return done

    def process(self, original):
        def started(process):
            self.names.append("start")
            self.act(len(self.names))
            return original(process)

        return started


@contextmanager
def acting(folder, act):
    """Call `act(n)` before the n-th operation on the files of `folder`; the operations."""
    seen = Operations(folder, act)
    start = multiprocessing.process.BaseProcess.start
    kept = [(place, name, getattr(place, name)) for place, name in (*_BY_PATH, *_BY_NUMBER)]
    try:
        for place, name, original in kept:
            wrap = seen.by_number if (place, name) in _BY_NUMBER else seen.by_path
            setattr(place, name, wrap(f"{place.__name__}.{name}", original))
        multiprocessing.process.BaseProcess.start = seen.process(start)
        yield seen
    finally:
        multiprocessing.process.BaseProcess.start = start
        for place, name, original in kept:
            setattr(place, name, original)


def watching(folder):
    """The operations, nothing done to them."""
    return acting(folder, lambda n: None)


def failing(folder, at, reason, also_later=False):
    """Operation number `at` fails for `reason`, and those after it where the fault is a lasting one."""

    def act(n):
        if n == at or (also_later and n > at):
            raise OSError(reason, os.strerror(reason))

    return acting(folder, act)


def run_stopped(arguments, folder, at, number):
    """The exit status of the command `arguments` when signal `number` arrives at operation `at`, in a process of its own."""
    child = os.fork()
    if child:
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    status = 99
    try:
        from engrave.cli import main
        from engrave.stopping import stop_quietly

        os.dup2(os.open(os.path.join(folder, "..", "said"), os.O_WRONLY | os.O_CREAT | os.O_TRUNC), 2)
        for each in (signal.SIGINT, signal.SIGTERM):
            signal.signal(each, signal.SIG_DFL)
        stop_quietly()
        with acting(folder, lambda n: os.kill(os.getpid(), number) if n == at else None):
            status = main([*arguments, "--quiet"])
    finally:
        os._exit(status)


def contents(folder):
    """Every file below `folder` by its name, those of the cache apart."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(Path(folder).rglob("*"))
        if path.is_file() and "kept" not in path.parts
    }


def unfinished(folder):
    """The files in `folder` and below that nobody would know what to do with."""
    found = (path for path in Path(folder).rglob("*") if path.name.startswith((".engrave-", "tmp")))
    return [str(path.relative_to(folder)) for path in found]
