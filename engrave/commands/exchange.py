"""Scores read from what others wrote, and written for others: each form by its module, loaded when it is wanted."""

from __future__ import annotations

import codecs
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from engrave.commands.outcome import Outcome, beside, write_result
from engrave.exchange.musicxml.reading.music import Unpitched
from engrave.exchange.printable import make_printable
from engrave.fingering.hand import load_hand
from engrave.problems import Location, Problem, ProblemLog, Severity
from engrave.products.on_instrument import Wish, find_parts, put_on_instrument
from engrave.products.stringing import find_instrument
from engrave.reading.load import file_log, read_text_score
from engrave.reading.settle import USUAL_HAND, settle
from engrave.requests.exchange import ReadRequest
from engrave.score.structure import Score
from engrave.source.file_kinds import find_kind
from engrave.source.files import LARGEST, read_bytes, read_text
from engrave.source.parse import parse_yaml
from engrave.source.tree import SourceMap
from engrave.style.load import load_style
from engrave.writing.dump import dump_score
from engrave.writing.rewrite import rewrite_score

if TYPE_CHECKING:
    from engrave.exchange.text_tab.lines.table import ReadingTable

_MOST = 64_000_000
"""Bytes: no larger file is read (house rule)."""


def read_document(request: ReadRequest) -> Outcome:
    """Read a foreign file and write its score, beside it unless the request says where."""
    path = request.file
    text, problems = read_foreign(path, request)
    outcome = Outcome(problems)
    if text is None:
        return outcome
    return write_result(path, request.output, beside(path, ".yaml"), text.encode("utf-8"), outcome)


def read_foreign(path: str, request: ReadRequest) -> tuple[str | None, tuple[Problem, ...]]:
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
        tree, remarks = read(data, request, path)
    except _WrongTable as error:
        return None, error.problems
    except ValueError as error:
        no_text = _no_text(data, path) if read is _read_text else ""
        return None, (_error(path, no_text or str(error)),)
    tree, changed = make_printable(tree)
    remarks = [*remarks, *(_warning(path, remark) for remark in changed)]
    text = dump_score(tree)
    if len(text.encode("utf-8")) > LARGEST:
        what = f"its score would be longer than {LARGEST:,} bytes, which is the most that is read"
        return None, (*remarks, _error(path, f"{what}; read some of its parts with --part"))
    score, wrong = _read_back(text, path, unstrung=bool(request.instrument))
    if wrong:
        return None, (*remarks, _error(path, f"what was read is not a valid score: {wrong}"))
    if request.instrument and score is not None:
        return _put_on(text, score, request, tuple(remarks))
    return text, tuple(remarks)


def _put_on(
    text: str, score: Score, request: ReadRequest, remarks: tuple[Problem, ...]
) -> tuple[str | None, tuple[Problem, ...]]:
    """The text of a score that was read, its parts put on the instrument that is asked for; pitches stay pitches."""
    log = ProblemLog(score.file)
    instrument = find_instrument(request.instrument, log)
    if instrument is None:
        return None, tuple(log.in_order())
    wanted = find_parts(score, (), log)
    wish = Wish(instrument, fits=request.fit)
    after = put_on_instrument(score, wanted, wish, load_hand(USUAL_HAND), log)
    if log.has_errors:
        return None, (*remarks, *log.in_order())
    settled = settle(after, log) if any(part.is_fretted for part in score.parts) else after
    rows = zip(score.parts, after.parts, settled.parts, strict=True)
    parts = tuple(placed if before.is_fretted else still_open for before, still_open, placed in rows)
    try:
        return rewrite_score(text, score, replace(after, parts=parts)), (*remarks, *log.in_order())
    except ValueError as error:
        return None, (*remarks, _error(score.file, str(error)))


def _read_back(text: str, path: str, unstrung: bool) -> tuple[Score | None, str]:
    """A score that was read, and the first error of it, or of the style that it brings; "" when there is none."""
    log = ProblemLog(path)
    score = read_text_score(text, log, unstrung)
    if score is not None and score.house_style is not None:
        _, log = load_style(score.style, path, score.house_style, score.language)
    wrong = next((problem.what for problem in log.problems if problem.severity is Severity.ERROR), "")
    return score, wrong


_Read = tuple[Mapping[str, Any], list[Problem]]


def _reader(data: bytes) -> Callable[[bytes, ReadRequest, str], _Read]:
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


def _read_musicxml(data: bytes, request: ReadRequest, path: str) -> _Read:
    from engrave.exchange.musicxml.reader import read_musicxml
    from engrave.exchange.musicxml.reading.losses import gather_losses

    _refuse_table(request)
    _refuse_midi(request)
    tree, losses = read_musicxml(data, request.parts, request.merge, request.unpitched)
    remarks = [_warning(path, what, where) for what, where in gather_losses(losses)]
    return tree, remarks


def _read_midi(data: bytes, request: ReadRequest, path: str) -> _Read:
    from engrave.exchange.midi.reader import read_midi

    _refuse_table(request)
    _refuse_xml(request)
    tree, remarks = read_midi(data, request.round_to.divisor, True, request.parts, request.swing)
    return tree, [_warning(path, remark) for remark in remarks]


def _read_text(data: bytes, request: ReadRequest, path: str) -> _Read:
    from engrave.exchange.text_tab.reader import read_text_tab

    _refuse_xml(request)
    _refuse_midi(request)
    found = read_text_tab(data, _table(request.table))
    remarks = [
        Problem(path, Location(remark.line, remark.column), Severity.WARNING, f"{remark.kind}: {remark.what}")
        for remark in found.notes
    ]
    return _take_parts(found.tree, request.parts), remarks


def _refuse_xml(request: ReadRequest) -> None:
    """Raise ValueError for options of MusicXML that would do nothing."""
    if request.merge or request.unpitched is not Unpitched.LEFT_OUT:
        flag = "--merge" if request.merge else "--unpitched"
        raise ValueError(f"{flag} is for MusicXML, and this file is something else")


def _refuse_midi(request: ReadRequest) -> None:
    """Raise ValueError for an option of MIDI that would do nothing."""
    if not request.swing:
        raise ValueError("--no-swing is for MIDI, and this file is something else")


def _refuse_table(request: ReadRequest) -> None:
    """Raise ValueError for a table that would do nothing."""
    if request.table:
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
    for name in wanted:
        named = [i for i, names in enumerate(words) if name.casefold() in names | {str(i + 1)}]
        if not named:
            there = ", ".join(f"{i + 1} {part.get('name', part['id'])}" for i, part in enumerate(parts))
            raise ValueError(f'the file has no part "{name}"; it has: {there}')
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


def _table(path: str) -> ReadingTable | None:
    """A reading table of the user's own, None where there is none. Raises _WrongTable when it cannot be read."""
    from engrave.exchange.text_tab.lines.table import read_own_table

    if not path:
        return None
    log = ProblemLog(f"the table {path}")
    text = read_text(path, log)
    tree = parse_yaml(text, log) if text is not None else None
    table = None
    if isinstance(tree, SourceMap):
        table = read_own_table(tree, log)
    elif not log.problems:
        what = "this is not a table of signs"
        log.error(
            Location(1, 1), what, hint='write the signs as in the shipped table: signs: {"v": pull-off}'
        )
    if log.has_errors:
        raise _WrongTable(log.in_order())
    return table


def _error(path: str, what: str) -> Problem:
    return Problem(path, Location(0, 0), Severity.ERROR, what)


def _warning(path: str, what: str, where: str = "") -> Problem:
    return Problem(path, Location(0, 0), Severity.WARNING, what, where)
