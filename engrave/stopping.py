"""A program stopped from outside: quietly, with nothing half done left behind, whatever it is doing."""

from __future__ import annotations

import os
import signal
import sys
from contextlib import suppress
from types import FrameType

STOPPED = 128
"""What a shell adds to the number of a signal for the exit status (POSIX, 2.8.2): 130 from the keyboard, 143 by `kill`."""
_SIGNALS = [getattr(signal, name) for name in ("SIGINT", "SIGTERM", "SIGHUP") if hasattr(signal, name)]


def stop_quietly() -> None:
    """From here on this process ends at once when it is stopped. What its caller has told it to ignore, it ignores."""
    threads = sys.modules.get("threading")  # where nobody has loaded it, there is but one thread
    if threads is not None and threads.current_thread() is not threads.main_thread():
        return
    for number in _SIGNALS:
        if signal.getsignal(number) in (signal.SIG_DFL, signal.default_int_handler):
            signal.signal(number, _stop)


def _stop(number: int, frame: FrameType | None) -> None:
    """End this process, the processes that work for it, and its unfinished files.

    Not by an exception: that would come out of whatever line is running, of libraries too, which may swallow it. What is not
    loaded yet has left nothing behind.
    """
    multiprocessing = sys.modules.get("multiprocessing")
    for process in getattr(multiprocessing, "active_children", list)():
        process.kill()
    whole_files = sys.modules.get("engrave.whole_files")
    getattr(whole_files, "discard_all", list)()
    os._exit(STOPPED + number)


def leave(end: SystemExit) -> None:
    """End the program as `end` says, without taking the interpreter apart, which is a thirtieth of a page's time.

    Everything written is closed by then. Where other processes were started, or something is still to be printed and
    cannot be, it ends in the usual way.
    """
    if isinstance(end.code, int) and "multiprocessing" not in sys.modules:
        with suppress(OSError, ValueError):
            for stream in (sys.stdout, sys.stderr):
                if stream is not None:
                    stream.flush()
            os._exit(end.code)
    raise end
