"""Input files: the one door through which they are opened, and the record of those that a run has opened.

The record belongs to whoever starts it with `recording_inputs`, and ends with that. It is what tells whether a result
would replace something that it is made from.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path
from typing import BinaryIO, NamedTuple


class InputFile(NamedTuple):
    """A file by what it is (device and number on it), whatever it is called."""

    device: int
    inode: int


Inputs = dict[InputFile, str]
"""The files that were opened, each with the path by which it was opened first."""
_OPENED: ContextVar[tuple[Inputs, ...]] = ContextVar("opened", default=())
"""The records that are being kept, each inside the one before it."""


@contextmanager
def recording_inputs() -> Iterator[Inputs]:
    """Record the files that are opened from here on; a record that is kept already has them too."""
    opened: Inputs = {}
    token = _OPENED.set((*_OPENED.get(), opened))
    try:
        yield opened
    finally:
        _OPENED.reset(token)


def open_input(path: str | Path) -> BinaryIO:
    """The file at `path`, opened for reading and recorded. Raises OSError, and ValueError for what is no path."""
    stream = Path(path).open("rb")  # noqa: SIM115
    note_stream(stream, str(path))
    return stream


def read_input(path: str | Path, most: int = -1) -> bytes:
    """The bytes of the file at `path`, the first `most` of them unless that is -1. Raises OSError and ValueError."""
    with open_input(path) as stream:
        return stream.read(most)


def note_stream(stream: BinaryIO, path: str = "") -> None:
    """Record what is read from an open stream, where that is a file; `path` leads to it."""
    try:
        found = os.fstat(stream.fileno())
    except (OSError, ValueError):  # a stream of a program's own
        return
    note_inputs(dict.fromkeys(_regular(found), path))


def note_path(path: str) -> None:
    """Record a file that will be opened later; what is none will be told when it is opened."""
    note_inputs(dict.fromkeys(_identify(path), path))


def note_inputs(files: Mapping[InputFile, str]) -> None:
    """Record files that were opened, here or in another process, with their paths."""
    for opened in _OPENED.get():
        for file, path in files.items():
            opened.setdefault(file, path)


def is_input(path: str | int) -> bool:
    """True when the file at `path` (or the open file of that number) has been opened for reading, by whatever name."""
    files = _identify(path)
    return any(file in opened for opened in _OPENED.get() for file in files)


def is_same_file(one: str, other: str) -> bool:
    """True when two paths lead to one file, by links too, whether it is there or not. Paths that cannot be are no files."""
    found = _identify(one)
    if found and found == _identify(other):
        return True
    try:
        return os.path.realpath(one) == os.path.realpath(other)
    except (OSError, ValueError):
        return False


def _identify(path: str | int) -> tuple[InputFile, ...]:
    try:
        return _regular(os.stat(path))
    except (OSError, ValueError):
        return ()


def _regular(found: os.stat_result) -> tuple[InputFile, ...]:
    """The file, unless it is none: terminals, pipes and devices may be read and written at once."""
    if not stat.S_ISREG(found.st_mode):
        return ()
    return (InputFile(found.st_dev, found.st_ino),)
