"""Scores read from what others wrote, and written for others: each form by its module, loaded when it is wanted."""

from __future__ import annotations

import codecs
import re
from collections.abc import Callable, Mapping, Sequence
from importlib import import_module
from pathlib import Path
from typing import Any, NamedTuple

from engrave.diagnostics.problem import Place, Problem, ProblemLog, Severity
from engrave.playing.performance import perform
from engrave.playing.unheard import UNHEARD, UNHEARD_IN_MIDI, find_unheard
from engrave.products.exchange_wish import Foreign, ReadWish, WriteWish
from engrave.reading.load import file_log, load_score, read_text_score
from engrave.resources import data_folder
from engrave.score.excerpt import choose_parts, find_measures
from engrave.score.structure import Score
from engrave.source.file_kinds import find_kind
from engrave.source.files import read_bytes, read_text
from engrave.source.parse import parse_yaml
from engrave.source.tree import SourceMap
from engrave.writing.dump import dump_score

_MOST = 64_000_000
"""Bytes: no larger file is read (house rule)."""


def read_foreign(path: str, wish: ReadWish) -> tuple[str | None, tuple[Problem, ...]]:
    """The YAML text of a foreign file, None when it cannot be read; what was lost or doubted as warnings."""
    log = file_log(path)
    data = read_bytes(path, log, _MOST, (".txt", ".tab", *_PROMISES))
    if data is None:
        return None, tuple(log.in_order())
    if not data.strip():
        return None, (_error(log.file, "the file is empty"),)
    path = log.file
    read = _reader(data)
    try:
        tree, remarks, comments = read(data, wish, path)
    except _WrongTable as error:
        return None, error.problems
    except ValueError as error:
        no_text = _no_text(data, path) if read is _read_text else ""
        return None, (_error(path, no_text or str(error)),)
    text = dump_score(tree, comments)
    log = ProblemLog(path)
    read_text_score(text, log)
    if log.has_errors:
        first = next(problem for problem in log.problems if problem.severity is Severity.ERROR)
        return None, (*remarks, _error(path, f"what was read is not a valid score: {first.what}"))
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


def _no_text(data: bytes, path: str) -> str:
    """Why a file in which no tab was found never was a typed tab; "" when it may be one."""
    if re.search(rb"^(score|handout|songbook|paper):", data, re.MULTILINE):
        return f"this is a document of Engrave already; engrave make {path} draws it"
    kind = find_kind(data, path)
    if kind is not None and not kind.is_read:
        return f"this is {kind.words}, not plain text, MusicXML or MIDI"
    promised = _PROMISES.get(Path(path).suffix.lower())
    if promised:
        return f"this is not a {promised} file, though its name ends like one"
    if b"\0" in data and not data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "this is not plain text, MusicXML or MIDI"
    return ""


_PROMISES = {".mid": "MIDI", ".midi": "MIDI", ".musicxml": "MusicXML", ".xml": "MusicXML", ".mxl": "MusicXML"}


def _read_musicxml(data: bytes, wish: ReadWish, path: str) -> _Read:
    reader = import_module("engrave.exchange.musicxml.reader")
    _refuse_table(wish)
    tree, losses = reader.read_musicxml(data, wish.parts)
    gather = import_module("engrave.exchange.musicxml.reading.losses").gather_losses
    remarks = [_warning(path, what, where) for what, where in gather(losses)]
    return tree, remarks, {}


def _read_midi(data: bytes, wish: ReadWish, path: str) -> _Read:
    reader = import_module("engrave.exchange.midi.reader")
    _refuse_table(wish)
    tree, remarks = reader.read_midi(data, wish.finest, True, wish.parts)
    return tree, [_warning(path, remark) for remark in remarks], {}


def _read_text(data: bytes, wish: ReadWish, path: str) -> _Read:
    reader = import_module("engrave.exchange.text_tab.reader")
    found = reader.read_text_tab(data, _table(wish.table))
    remarks = [
        Problem(path, Place(remark.line, remark.column), Severity.WARNING, f"{remark.kind}: {remark.what}")
        for remark in found.notes
    ]
    return _take_parts(found.tree, wish.parts), remarks, dict(getattr(found, "comments", {}))


def _refuse_table(wish: ReadWish) -> None:
    """Raise ValueError for a table that would do nothing."""
    if wish.table:
        raise ValueError("--table is for typed tab, and this file is something else")


def _take_parts(tree: Mapping[str, Any], wanted: Sequence[str]) -> Mapping[str, Any]:
    """A score's tree with some of its parts, by name, id or number; none wanted is all. Raises ValueError."""
    if not wanted:
        return tree
    instrument = tree.get("instrument", "guitar")
    alone = {"id": instrument if isinstance(instrument, str) else instrument.get("name", "guitar")}
    parts = tree.get("parts", [alone])
    words = [{part["id"].casefold(), part.get("name", part["id"]).casefold()} for part in parts]
    chosen = set()
    for wish in wanted:
        named = [i for i, names in enumerate(words) if wish.casefold() in names | {str(i + 1)}]
        if not named:
            there = ", ".join(f"{i + 1} {part.get('name', part['id'])}" for i, part in enumerate(parts))
            raise ValueError(f'the file has no part "{wish}"; it has: {there}')
        chosen.update(named)
    if len(chosen) == len(parts):
        return tree
    kept = [part for index, part in enumerate(parts) if index in chosen]
    ids = {part["id"] for part in kept}
    measures = [
        {**measure, "parts": {key: own for key, own in measure["parts"].items() if key in ids}}
        if "parts" in measure
        else measure
        for measure in tree["measures"]
    ]
    return {**tree, "parts": kept, "measures": measures}


class _WrongTable(ValueError):
    """A table of signs that cannot be read, with the reasons."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__("\n".join(map(str, problems)))
        self.problems = tuple(problems)


def _table(path: str) -> Any:
    """A reading table of the user's own, None where there is none. Raises _WrongTable when it cannot be read."""
    if not path:
        return None
    log = ProblemLog(f"the table {path}")
    text = read_text(path, log)
    tree = parse_yaml(text, log) if text is not None else None
    table = None
    if isinstance(tree, SourceMap):
        table = import_module("engrave.exchange.text_tab.lines.table").read_own_table(tree, log)
    elif not log.problems:
        what = "this is not a table of signs"
        log.error(Place(1, 1), what, hint='write the signs as in the shipped table: signs: {"v": pull-off}')
    if log.has_errors:
        raise _WrongTable(log.in_order())
    return table


class Written(NamedTuple):
    """A score in another form, None when something is wrong; what it cannot carry as warnings; words about it."""

    data: bytes | None
    problems: tuple[Problem, ...]
    remarks: tuple[str, ...] = ()


_Losses = list[tuple[str, str]]
"""What a form cannot carry, and where in the music."""


def write_foreign(path: str, wish: WriteWish) -> Written:
    """The score at `path` in another form."""
    score, log = load_score(path)
    problems = log.in_order()
    if score is None:
        return Written(None, tuple(problems))
    first, stop = 0, len(score.measures)
    try:
        score = choose_parts(score, wish.parts)
        if wish.measures:
            first, stop = find_measures(score, wish.measures)
        data, lost, remarks = _write(score, wish, first, stop, Path(path).stem)
    except (ValueError, ImportError) as error:
        return Written(None, (*problems, _error(path, str(error))))
    return Written(data, (*problems, *(_warning(path, what, where) for what, where in lost)), remarks)


def _write(
    score: Score, wish: WriteWish, first: int, stop: int, name: str
) -> tuple[bytes, _Losses, tuple[str, ...]]:
    form = wish.form
    if form in (Foreign.MUSICXML, Foreign.MXL):
        writer = import_module("engrave.exchange.musicxml.writer")
        data = writer.write_musicxml(score)
        return (writer.write_mxl(data, f"{name}.musicxml") if form is Foreign.MXL else data), [], ()
    if form is Foreign.MIDI:
        writer = import_module("engrave.exchange.midi.writer")
        lost = _unheard(score, first, stop, UNHEARD_IN_MIDI)
        return writer.write_midi(score, first, stop, wish.repeats), lost, ()
    if form is Foreign.TEXT:
        writer = import_module("engrave.exchange.text_tab.writer")
        text, changes = writer.write_text_tab(score, wish.width)
        return text.encode("utf-8"), [(change, "") for change in changes], ()
    try:
        render = import_module("engrave.hearing.render")
    except ImportError as error:
        raise ImportError(f"sound needs numpy; install it with {_how_to_install()}") from error
    levels = import_module("engrave.hearing.levels")
    sound = render.render_wav(perform(score, first, stop, wish.repeats), wish.tempo_scale, wish.click)
    remarks = (str(levels.measure_levels(sound)), levels.CAUTION)
    return sound, _unheard(score, first, stop, UNHEARD), remarks


def _how_to_install() -> str:
    """The command that installs what sound needs: in a checkout by its folder, else by the package's name."""
    is_checkout = (data_folder() / "pyproject.toml").is_file()
    return 'pip install ".[listen]"' if is_checkout else 'pip install "engrave[listen]"'


def _unheard(score: Score, first: int, stop: int, signs: frozenset[str]) -> _Losses:
    names = import_module("engrave.exchange.measure_names")
    return [
        (what, f"{part}, {names.name_measures(numbers)}" if part else names.name_measures(numbers))
        for what, part, numbers in find_unheard(score, first, stop, signs)
    ]


def _error(path: str, what: str) -> Problem:
    return Problem(path, Place(0, 0), Severity.ERROR, what)


def _warning(path: str, what: str, where: str = "") -> Problem:
    return Problem(path, Place(0, 0), Severity.WARNING, what, where)
