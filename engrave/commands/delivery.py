"""Results put where they belong: whole or not at all, and never over what they were made from."""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import NamedTuple

from engrave.problems import NOWHERE, Problem, Severity
from engrave.source.files import is_folder
from engrave.source.inputs import is_input, is_same_file
from engrave.whole_files import discard, remove_leftovers, stage_file

STANDARD_OUTPUT = "-"
_STANDARD_OUTPUT_NUMBER = 1


def deliver(files: Mapping[str, bytes], replaceable: str = "") -> tuple[list[Problem], list[str]]:
    """Write the `files` of one result, contents by path; what went wrong, and the paths written.

    A path that leads to something the result is made from is refused, unless it is `replaceable`, and so are two that lead
    to one file; then nothing is written at all. All files are written beside their targets before the first of them takes
    its place: where one cannot be written, all stay what they were. Raises BrokenPipeError for standard output.
    """
    refused = [*_refuse_inputs(files, replaceable), *_refuse_doubles(files)]
    if refused:
        return refused, []
    staged: list[_Staged] = []
    failed: dict[str, str] = {}
    written: list[str] = []
    for folder in {os.path.dirname(path) for path in _paths(files)}:
        remove_leftovers(folder)
    try:
        for target, data in files.items():
            with _failures(target, failed):
                staged.append(_stage(target, data))
        # What cannot be replaced (a pipe) cannot be taken back either, so that it comes first.
        for file in sorted(staged, key=lambda file: bool(file.unfinished)):
            if failed:
                break
            with _failures(file.target, failed):
                file.finish()
                written.append(file.target)
    finally:
        for file in staged:
            discard(file.unfinished)
    return _tell(failed, written, len(files)), [target for target in files if target in written]


class _Staged(NamedTuple):
    """A file ready to take its place. `unfinished` is where it lies, "" for what is written straight to its target."""

    target: str
    unfinished: str
    finish: Callable[[], None]


def _stage(target: str, data: bytes) -> _Staged:
    """A file written beside its target, unless that is a pipe or a device. Raises OSError and ValueError."""
    if target == STANDARD_OUTPUT:
        return _Staged(target, "", lambda: _print(data))
    try:
        there = os.stat(target)
    except FileNotFoundError:
        there = None
    if there is not None:
        if stat.S_ISDIR(there.st_mode):
            raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR))
        if not stat.S_ISREG(there.st_mode):
            return _Staged(target, "", lambda: _fill(target, data))
        if not os.access(target, os.W_OK):
            raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))
    # A symbolic link stays one. A hard link to an old result does not: the new file takes this name alone and the other
    # name keeps the old contents, as with every program that writes beside its target and renames. Writing into the file
    # itself would keep both names together, but a reader, or a loss of power, could then meet half a result.
    path = Path(os.path.realpath(target))
    unfinished = stage_file(path, data)
    return _Staged(target, unfinished, lambda: os.replace(unfinished, path))


def _print(data: bytes) -> None:
    with os.fdopen(os.dup(_STANDARD_OUTPUT_NUMBER), "wb") as stream:
        stream.write(data)


def _fill(target: str, data: bytes) -> None:
    with open(target, "wb") as stream:
        stream.write(data)


@contextmanager
def _failures(target: str, failed: dict[str, str]) -> Iterator[None]:
    """Note in `failed` why `target` cannot be written. A reader of standard output that has gone is another's business."""
    try:
        yield
    except (OSError, ValueError) as error:
        if isinstance(error, BrokenPipeError) and target == STANDARD_OUTPUT:
            raise
        failed[target] = getattr(error, "strerror", None) or str(error)


def _tell(failed: Mapping[str, str], written: Iterable[str], count: int) -> list[Problem]:
    """A word for every file that could not be written; of many with one reason, for the first of them."""
    problems = []
    for reason in dict.fromkeys(failed.values()):
        first, *others = (target for target, why in failed.items() if why == reason)
        more = f", nor can {len(others)} more files of this result" if len(others) > 1 else ""
        more = f", nor can {_name(others[0])}" if len(others) == 1 else more
        hint = ""
        if len(failed) < count:
            names = [_name(target) for target in written]
            some = ", ".join(names) if len(names) <= _FEW else f"{len(names)} other files of this result"
            hint = f"written: {some}" if written else "nothing was written"
        problems.append(_error(first, f"cannot be written{more}: {reason}", hint))
    return problems


_FEW = 3
"""Files that are worth naming; of more their number is told (house rule)."""


def _paths(files: Iterable[str]) -> Iterator[str]:
    """Where the files lie, links followed; what is no path is told where it is written."""
    for target in files:
        with suppress(OSError, ValueError):
            if target != STANDARD_OUTPUT:
                yield os.path.realpath(target)


def _refuse_inputs(files: Iterable[str], replaceable: str) -> Iterator[Problem]:
    """A word for every file that the result is made from."""
    for target in files:
        here: str | int = _STANDARD_OUTPUT_NUMBER if target == STANDARD_OUTPUT else target
        if is_input(here) and not (replaceable and is_same_file(target, replaceable)):
            what = "this is what the result is made from; it is not replaced"
            yield _error(target, what, "give the result another name")


def _refuse_doubles(files: Iterable[str]) -> Iterator[Problem]:
    """A word for every file that another of the result leads to as well."""
    seen: set[str] = set()
    for target in files:
        for path in _paths([target]):
            if path in seen:
                what = "two files of the result cannot be one file"
                yield _error(target, what, "give one of them another name")
            seen.add(path)


def _name(target: str) -> str:
    return "standard output" if target == STANDARD_OUTPUT else target


def _error(target: str, what: str, hint: str) -> Problem:
    return Problem(_name(target), NOWHERE, Severity.ERROR, what, hint=hint)


def is_free(target: Path) -> bool:
    """True when nothing is at `target`; names that no file can have are refused when they are written."""
    try:
        return not target.exists()
    except (OSError, ValueError):
        return True


def holds(target: Path, data: bytes) -> bool:
    """True when `target` is a file with these bytes and no others."""
    try:
        return target.is_file() and target.read_bytes() == data
    except OSError:
        return False


def make_folders(targets: Iterable[str]) -> list[Path]:
    """Make the folders in which `targets` are to lie; those that were not there, the inner ones first. Raises OSError."""
    made: list[Path] = []
    try:
        for folder in {Path(target).parent for target in targets}:
            missing = [place for place in (folder, *folder.parents) if not is_folder(place)]
            for place in reversed(missing):
                place.mkdir(exist_ok=True)
                made.insert(0, place)
    except OSError:
        remove_folders(made)
        raise
    return made


def remove_folders(folders: Iterable[Path]) -> None:
    """Remove folders where they are empty."""
    for folder in folders:
        with suppress(OSError):
            folder.rmdir()
