"""Scores read from what others wrote, and written for others: each form by its module, loaded when it is wanted."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from importlib import import_module
from pathlib import Path
from typing import Any

from engrave.diagnostics.problem import Place, Problem, ProblemLog, Severity
from engrave.playing.performance import perform
from engrave.products.exchange_wish import Foreign, ReadWish, WriteWish
from engrave.reading.load import load_score, read_text_score
from engrave.score.excerpt import find_measures
from engrave.score.structure import Score
from engrave.source.parse import parse_yaml
from engrave.source.tree import SourceMap
from engrave.writing.dump import dump_score

_MOST = 64_000_000
"""Bytes: no larger file is read (house rule)."""


def read_foreign(path: str, wish: ReadWish) -> tuple[str | None, tuple[Problem, ...]]:
    """The YAML text of a foreign file, None when it cannot be read; what was lost or doubted as warnings."""
    try:
        if Path(path).stat().st_size > _MOST:
            return None, (_error(path, f"the file is larger than {_MOST // 1_000_000} MB"),)
        data = Path(path).read_bytes()
    except OSError as error:
        return None, (_error(path, f"cannot be read: {error.strerror or error}"),)
    try:
        tree, remarks, comments = _reader(data)(data, wish, path)
    except ValueError as error:
        return None, (_error(path, str(error)),)
    text = dump_score(tree, comments)
    log = ProblemLog(path)
    read_text_score(text, log)
    if log.has_errors:
        first = next(problem for problem in log.problems if problem.severity is Severity.ERROR)
        return None, (*remarks, _error(path, f"what was read makes no score: {first.what}"))
    return text, tuple(remarks)


_Read = tuple[Mapping[str, Any], list[Problem], dict[int, str]]


def _reader(data: bytes) -> Callable[[bytes, ReadWish, str], _Read]:
    """What reads a file, by how it starts."""
    start = data[:4096].lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n\0")
    if data.startswith(b"MThd"):
        return _read_midi
    if data.startswith(b"PK") or start.startswith(b"<"):
        return _read_musicxml
    return _read_text


def _read_musicxml(data: bytes, wish: ReadWish, path: str) -> _Read:
    reader = import_module("engrave.exchange.musicxml.reader")
    tree, losses = reader.read_musicxml(data, wish.parts)
    gather = import_module("engrave.exchange.musicxml.reader_losses").gather_losses
    remarks = [_warning(path, what, where) for what, where in gather(losses)]
    return tree, remarks, {}


def _read_midi(data: bytes, wish: ReadWish, path: str) -> _Read:
    reader = import_module("engrave.exchange.midi.reader")
    tree, remarks = reader.read_midi(data, wish.grid, True, wish.parts)
    return tree, [_warning(path, remark) for remark in remarks], {}


def _read_text(data: bytes, wish: ReadWish, path: str) -> _Read:
    reader = import_module("engrave.exchange.text_tab.reader")
    found = reader.read_text_tab(data, _table(wish.table))
    remarks = [
        Problem(path, Place(remark.line, remark.column), Severity.WARNING, f"{remark.kind}: {remark.what}")
        for remark in found.notes
    ]
    return found.tree, remarks, dict(getattr(found, "comments", {}))


def _table(path: str) -> Mapping[str, Any] | None:
    """A reading table of the user's own. Raises ValueError when it cannot be read."""
    if not path:
        return None
    try:
        text = Path(path).read_text("utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise ValueError(f"the table {path} cannot be read: {error}") from error
    log = ProblemLog(path)
    tree = parse_yaml(text, log)
    if not isinstance(tree, SourceMap):
        raise ValueError("; ".join(str(problem) for problem in log.problems) or f"{path} is no table")
    return tree


def write_foreign(path: str, wish: WriteWish) -> tuple[bytes | None, tuple[Problem, ...]]:
    """The score at `path` in another form, None when something is wrong; what cannot be carried as warnings."""
    score, log = load_score(path)
    problems = log.in_order()
    if score is None:
        return None, tuple(problems)
    first, stop = 0, len(score.measures)
    if wish.measures:
        try:
            first, stop = find_measures(score, wish.measures)
        except ValueError as error:
            return None, (*problems, _error(path, str(error)))
    try:
        data, lost = _write(score, wish, first, stop, Path(path).stem)
    except (ValueError, ImportError) as error:
        return None, (*problems, _error(path, str(error)))
    return data, (*problems, *(_warning(path, what) for what in lost))


def _write(score: Score, wish: WriteWish, first: int, stop: int, name: str) -> tuple[bytes, list[str]]:
    form = wish.form
    if form in (Foreign.MUSICXML, Foreign.MXL):
        writer = import_module("engrave.exchange.musicxml.writer")
        data = writer.write_musicxml(score)
        return (writer.write_mxl(data, f"{name}.musicxml") if form is Foreign.MXL else data), []
    if form is Foreign.MIDI:
        writer = import_module("engrave.exchange.midi.writer")
        return writer.write_midi(score, first, stop, wish.repeats), []
    if form is Foreign.TEXT:
        writer = import_module("engrave.exchange.text_tab.writer")
        text, lost = writer.write_text_tab(score, wish.width)
        return text.encode("utf-8"), list(lost)
    try:
        render = import_module("engrave.hearing.render")
    except ImportError as error:
        raise ImportError("hearing a score needs numpy; install engrave[listen]") from error
    performance = perform(score, first, stop, wish.repeats)
    return render.render_wav(performance, wish.tempo_scale, wish.click), []


def _error(path: str, what: str) -> Problem:
    return Problem(path, Place(0, 0), Severity.ERROR, what)


def _warning(path: str, what: str, where: str = "") -> Problem:
    return Problem(path, Place(0, 0), Severity.WARNING, what, where)
