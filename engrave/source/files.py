"""Source files read: every way in which that can fail has one clear message."""

from __future__ import annotations

import sys
from pathlib import Path

from engrave.diagnostics.problem import NOWHERE, Place, ProblemLog

LARGEST = 10_000_000
"""Bytes of a source file, at most: some 100,000 measures."""
STANDARD_INPUT = "-"


def read_text(path: str, log: ProblemLog) -> str | None:
    """The text of the file at `path` (`-`: standard input). None when it cannot be read; the reason is in `log`."""
    data = read_bytes(path, log, LARGEST)
    if data is None:
        return None
    return decode(data, log)


def decode(data: bytes, log: ProblemLog) -> str | None:
    """UTF-8 bytes (RFC 3629), a byte order mark taken off. None when they are not; the first wrong byte is in `log`."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        line = before.count(b"\n") + 1
        column = len(before[before.rfind(b"\n") + 1 :].decode("utf-8", "replace")) + 1
        log.error(
            Place(line, column), f"byte 0x{data[error.start]:02X} is not UTF-8", hint="save the file as UTF-8"
        )
        return None
    if "\x00" in text:
        before_text = text[: text.index("\x00")]
        place = Place(before_text.count("\n") + 1, len(before_text) - before_text.rfind("\n"))
        log.error(place, "the file holds a null character", hint="this is not a text file")
        return None
    return text


def read_bytes(path: str, log: ProblemLog, most: int) -> bytes | None:
    """The bytes of the file at `path` (`-`: standard input), at most `most` of them. None, and why in `log`."""
    data = _read(path, log, most + 1)
    if data is not None and len(data) > most:
        what = f"the file holds more than {most // 1_000_000} million bytes"
        log.error(NOWHERE, what, hint="split it into several")
        return None
    return data


def _read(path: str, log: ProblemLog, count: int) -> bytes | None:
    try:
        if path == STANDARD_INPUT:
            if sys.stdin is None:
                log.error(NOWHERE, "standard input is closed")
                return None
            return sys.stdin.buffer.read(count)
        file = Path(path)
        if file.is_dir():
            log.error(NOWHERE, "this is a folder, not a file")
            return None
        with file.open("rb") as stream:
            return stream.read(count)
    except FileNotFoundError:
        log.error(NOWHERE, "there is no such file")
    except PermissionError:
        log.error(NOWHERE, "the file may not be read")
    except (OSError, ValueError) as error:
        log.error(NOWHERE, f"the file cannot be read: {getattr(error, 'strerror', None) or error}")
    return None
