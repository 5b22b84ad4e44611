"""Source files read: every way in which that can fail has one clear message."""

from __future__ import annotations

import difflib
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from engrave.problems import NOWHERE, Location, ProblemLog
from engrave.source.inputs import is_same_file, note_stream, read_input

LARGEST = 1_500_000
"""Bytes of a source file, at most: some 20,000 measures, as many as are read in a few seconds."""
STANDARD_INPUT = "-"
DOCUMENT_ENDINGS = (".yaml", ".yml")
PATHS_START = "paths start from the folder of this file"
"""The hint for a path in a document that leads nowhere, where no file is like it."""


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
            Location(line, column),
            f"byte 0x{data[error.start]:02X} is not UTF-8",
            hint="save the file as UTF-8",
        )
        return None
    if "\x00" in text:
        before_text = text[: text.index("\x00")]
        location = Location(before_text.count("\n") + 1, len(before_text) - before_text.rfind("\n"))
        log.error(location, "the file holds a null character", hint="this is not a text file")
        return None
    return text


def read_bytes(path: str, log: ProblemLog, most: int, endings: Sequence[str] = ()) -> bytes | None:
    """The bytes of the file at `path` (`-`: standard input), at most `most` of them. None, and why in `log`.

    `endings`: how files end that may be meant where there is none at `path`.
    """
    data = _read(path, log, most + 1, endings)
    if data is not None and len(data) > most:
        what = f"the file holds more than {most:,} bytes"
        log.error(NOWHERE, what, hint="split it into several")
        return None
    return data


def _read(path: str, log: ProblemLog, count: int, endings: Sequence[str]) -> bytes | None:
    try:
        if path == STANDARD_INPUT:
            if sys.stdin is None:
                log.error(NOWHERE, "standard input is closed")
                return None
            note_stream(sys.stdin.buffer)
            return sys.stdin.buffer.read(count)
        file = Path(path)
        if file.is_dir():
            log.error(NOWHERE, "this is a folder, not a file")
            return None
        return read_input(file, count)
    except FileNotFoundError:
        log.error(NOWHERE, "there is no such file", hint=suggest_file(Path(path), endings=endings))
    except PermissionError:
        log.error(NOWHERE, "the file may not be read")
    except (OSError, ValueError) as error:
        log.error(NOWHERE, f"the file cannot be read: {getattr(error, 'strerror', None) or error}")
    return None


def is_file(path: str | Path) -> bool:
    """True for a file; False for what is none, and for names that no file can have."""
    try:
        return Path(path).is_file()
    except (OSError, ValueError):
        return False


def is_folder(path: str | Path) -> bool:
    """True for a folder; False for what is none, and for names that no folder can have."""
    try:
        return Path(path).is_dir()
    except (OSError, ValueError):
        return False


def is_stream(path: str | Path) -> bool:
    """True for a pipe or a device, which has no name to be completed."""
    try:
        return Path(path).exists() and not (is_file(path) or is_folder(path))
    except (OSError, ValueError):
        return False


_LIKE = 0.6
"""Likeness (Ratcliff-Obershelp) from which on a file may be the one that was meant (house rule)."""


def suggest_file(path: Path, asking: str = "", endings: Sequence[str] = ()) -> str:
    """The hint for a file that is not there: the one most like it in its folder, never the file `asking` itself.

    `endings`: only files that end so are suggested; () for any.
    """
    folder = path.parent
    if not is_folder(folder):
        return f'there is no folder "{folder}" either'
    try:
        names = sorted(name for name in os.listdir(folder) if is_file(folder / name))
    except OSError:
        return ""
    allowed = [name for name in names if not endings or Path(name).suffix.lower() in endings]
    if asking:
        allowed = [name for name in allowed if not is_same_file(str(folder / name), asking)]
    likeness = {name: _likeness(path.name, name) for name in allowed}
    best = max(allowed, key=lambda name: likeness[name], default="")
    if not best or likeness[best] < _LIKE:
        return ""
    return f'did you mean "{best}"?'


def _likeness(wanted: str, found: str) -> float:
    """How like two names are: their stems count, and a little whether they end alike."""
    one, other = Path(wanted.casefold()), Path(found.casefold())
    ratio = difflib.SequenceMatcher(None, one.stem, other.stem).ratio()
    return ratio + (0.05 if one.suffix == other.suffix and ratio >= _LIKE else 0.0)
