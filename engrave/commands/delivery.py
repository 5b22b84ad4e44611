"""Results put where they belong: whole or not at all, and never over what they were made from."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path

from engrave.problems import NOWHERE, Problem, Severity
from engrave.source.files import STANDARD_INPUT

STANDARD_OUTPUT = "-"


def deliver(files: Mapping[str, bytes], sources: Iterable[str] = ()) -> tuple[list[Problem], list[str]]:
    """Write `files`, contents by path; what went wrong, and the paths written.

    A path that is one of `sources` is refused, and then nothing is written at all.
    """
    refused = [target for target in files for source in sources if is_same_file(target, source)]
    if refused:
        hint = "name another result with -o"
        what = "this is what the result is made from; it is not replaced"
        return [Problem(target, NOWHERE, Severity.ERROR, what, hint=hint) for target in refused], []
    problems, written = [], []
    for target, data in files.items():
        reason = _write(target, data)
        if reason:
            name = "standard output" if target == STANDARD_OUTPUT else target
            problems.append(Problem(name, NOWHERE, Severity.ERROR, f"cannot be written: {reason}"))
        else:
            written.append(target)
    return problems, written


def make_folders(targets: Iterable[str]) -> str:
    """Make the folders in which `targets` are to lie; why that cannot be, "" when it is done."""
    for folder in {Path(target).parent for target in targets}:
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            return f"the folder {folder} cannot be made: {error.strerror or error}"
    return ""


def is_same_file(one: str, other: str) -> bool:
    """True when two paths lead to one file, whether it is there or not; standard input and output are no files."""
    if STANDARD_INPUT in (one, other) or "\0" in one + other:
        return False
    return os.path.realpath(one) == os.path.realpath(other)


def _write(target: str, data: bytes) -> str:
    """Write a file whole or not at all; the reason when it cannot be. Raises BrokenPipeError."""
    try:
        if target == STANDARD_OUTPUT:
            with os.fdopen(os.dup(1), "wb") as stream:
                stream.write(data)
            return ""
        path = Path(os.path.realpath(target))  # a link stays a link
        if path.exists() and not path.is_file() and not path.is_dir():
            path.write_bytes(data)  # a device or a pipe cannot be replaced
        else:
            _replace(path, data)
    except BrokenPipeError:
        raise
    except (OSError, ValueError) as error:
        return getattr(error, "strerror", None) or str(error)
    return ""


def _replace(path: Path, data: bytes) -> None:
    """Write beside the target, then rename: a reader sees yesterday's file or today's."""
    handle, temporary = tempfile.mkstemp(prefix=".engrave-", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
        os.chmod(temporary, 0o666 & ~_umask())
        os.replace(temporary, path)
    finally:
        Path(temporary).unlink(missing_ok=True)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask
