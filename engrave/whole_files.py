"""Files written whole or not at all: beside their target first, under a name that tells whose it is, then renamed."""

from __future__ import annotations

import errno
import hashlib
import os
import platform
import re
import stat
import time
from contextlib import suppress
from functools import cache
from pathlib import Path

_NAME = re.compile(r"\.engrave-([0-9a-f]{8})-([0-9]+)-[0-9a-f]{12}")
"""An unfinished file: the machine and the process that write it, and chance."""
_LONGEST = 24 * 3600.0
"""Seconds after which nobody can still be writing a file (house rule)."""
_FLAGS = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
_NO_SYNC = (errno.EINVAL, errno.ENOSYS, errno.ENOTSUP)
"""What file systems answer that cannot wait for their disk (fsync(2))."""
_UNFINISHED: set[str] = set()
"""The unfinished files of this process, for the one who must end it at once."""


def replace_file(path: Path, data: bytes, is_lasting: bool = True) -> None:
    """Write a file: whoever reads it sees yesterday's or today's. Raises OSError, and leaves nothing behind then."""
    unfinished = stage_file(path, data, is_lasting)
    try:
        os.replace(unfinished, path)
    finally:
        discard(unfinished)


def stage_file(path: Path, data: bytes, is_lasting: bool = True) -> str:
    """Write what is to become the file `path` beside it; where. Raises OSError, and leaves nothing behind then.

    `is_lasting`: the disk has it before this returns, so that it outlasts a loss of power. A new file has the rights
    that every new file has, one that replaces another has those of that other.
    """
    unfinished = str(path.with_name(f".engrave-{_machine()}-{os.getpid()}-{os.urandom(6).hex()}"))
    _UNFINISHED.add(unfinished)
    try:
        handle = os.open(unfinished, _FLAGS, 0o666)
        try:
            rest = memoryview(data)
            while rest:
                rest = rest[os.write(handle, rest) :]
            if is_lasting:
                _synchronise(handle)
        finally:
            os.close(handle)
        with suppress(OSError):
            os.chmod(unfinished, stat.S_IMODE(os.stat(path).st_mode))
    except BaseException:
        discard(unfinished)
        raise
    return unfinished


def discard(unfinished: str) -> None:
    """Remove an unfinished file where it is still there; what cannot be removed now is left to a later run."""
    with suppress(OSError):
        os.unlink(unfinished)
    _UNFINISHED.discard(unfinished)


def discard_all() -> None:
    """Remove every unfinished file of this process."""
    for unfinished in tuple(_UNFINISHED):
        discard(unfinished)


def remove_leftovers(folder: str | Path) -> None:
    """Remove the unfinished files in `folder` of processes that were killed; those that are being written stay."""
    with suppress(OSError), os.scandir(folder) as entries:
        for entry in entries:
            match = _NAME.fullmatch(entry.name)
            if match is not None and _is_left(entry, match[1], int(match[2])):
                with suppress(OSError):
                    os.unlink(entry.path)


def _is_left(entry: os.DirEntry[str], machine: str, process: int) -> bool:
    """True for a file that nobody writes any more. Of other machines' processes its age alone tells."""
    if machine == _machine() and os.name == "posix":
        if process == os.getpid():
            return entry.path not in _UNFINISHED
        try:
            os.kill(process, 0)
        except ProcessLookupError:
            return True
        except (OSError, OverflowError):
            pass
    try:
        return time.time() - entry.stat().st_mtime > _LONGEST
    except OSError:
        return False


@cache
def _machine() -> str:
    """Eight letters for this machine, and where processes are numbered apart (containers), for this numbering."""
    try:
        numbering = os.readlink("/proc/self/ns/pid")
    except OSError:
        numbering = ""
    return hashlib.sha256(f"{platform.node()} {numbering}".encode()).hexdigest()[:8]


def _synchronise(handle: int) -> None:
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno not in _NO_SYNC:
            raise
