"""The rows of marks and fingers: their entries go to the notes under them."""

from __future__ import annotations

import re
from collections.abc import Sequence

from engrave.exchange.text_tab.lines import rows
from engrave.exchange.text_tab.lines.rows import Entry
from engrave.exchange.text_tab.lines.text_lines import RemarkLog
from engrave.exchange.text_tab.reading.cells import HIGHEST_FRET, PITCHES, Cell
from engrave.exchange.text_tab.reading.fill import Item, item_starts
from engrave.exchange.text_tab.reading.row_reading import onset_of
from engrave.exchange.text_tab.reading.timing import Timed, TimedMeasure
from engrave.score.sign_list import MARKS
from engrave.theory.bends import parse_bar_move, parse_bend
from engrave.theory.pitch import parse_pitch

_TARGET = re.compile(r"(?:(?P<string>[1-8])|(?P<word>lower|upper|all)): ?")
_FINGER = re.compile(r"(?:(?P<string>[1-8]):)?(?P<sign>[0-4TtpimacPIMAC])")
_NUMBERED = ("trill", "artificial-harmonic", "tapped-harmonic", "touched-harmonic")
_NEAR = 1
_NODE = re.compile(r"[0-9]{1,2}\.[0-9]{1,2}")


def mark_notes(timed: Timed, measure: TimedMeasure, log: RemarkLog) -> None:
    """Give the notes of one part in one measure the marks that stand over them."""
    for entry in timed.draft.entries:
        if entry.row in (rows.FINGERS, rows.PLUCK, rows.MARKS):
            try:
                for piece in _pieces(entry):
                    _mark(entry, piece, timed, measure)
            except ValueError as error:
                what = f'"{entry.text[:40]}" in the row {entry.row}: {error}'
                log.add("dropped", entry.line, entry.column, what)


def _pieces(entry: Entry) -> list[tuple[str, str, str]]:
    """(string, "lower", "upper", "all" or "", word, amount) for each thing that an entry says. Raises ValueError."""
    pieces: list[tuple[str, str, str]] = []
    for text in entry.text.split(","):
        if entry.row != rows.MARKS:
            finger = _FINGER.fullmatch(text)
            if finger is None:
                raise ValueError("write a finger, or string:finger")
            name = "finger" if entry.row == rows.FINGERS else "pluck"
            pieces.append((finger["string"] or "?", name, finger["sign"]))
            continue
        target = _TARGET.match(text.strip())
        word = text.strip()[target.end() if target else 0 :]
        name, _, amount = word.partition(" ")
        pieces.append(((target["string"] or target["word"]) if target else "", name, amount.strip()))
    return pieces


def _mark(entry: Entry, piece: tuple[str, str, str], timed: Timed, measure: TimedMeasure) -> None:
    """Do what one piece says. Raises ValueError."""
    target, name, amount = piece
    cells = _cells_at(entry, timed)
    if not target and len(cells) == 1 and PITCHES not in cells[0].details:
        target = "?"
    if not target.isdigit() and target != "?":
        if name not in MARKS or amount:
            raise ValueError("this is not a mark")
        if cells and target in ("", "all"):
            cells[0].event_marks.append(name)
        else:
            items, index = _item_at(entry, timed, measure, target)
            if items[index].tied and any(PITCHES in cell.details for cell in items[index].cells):
                raise ValueError("what is held without strings has no marks of its own")
            items[index] = items[index]._replace(marks=(*items[index].marks, name))
        return
    string = int(target) if target.isdigit() else cells[0].string if cells else 0
    cell = next((cell for cell in cells if cell.string == string), None)
    _check(name, amount)
    if cell is None:
        items, index = _item_at(entry, timed, measure, "", string)
        items[index] = items[index]._replace(held=(*items[index].held, (string, name, amount)))
    else:
        _mark_cell(cell, name, amount)


def _check(name: str, amount: str) -> None:
    """Raises ValueError for what no note can carry."""
    if name == "bend":
        parse_bend(amount, not amount.startswith("pre"))
    elif name == "vibrato-bar":
        parse_bar_move(amount)
    elif name == "pitch":
        parse_pitch(amount)
    elif (name in _NUMBERED and amount) or name == "fret":
        if not amount.isdigit() or int(amount) > HIGHEST_FRET:
            raise ValueError("a fret is missing")
    elif name == "natural-harmonic" and amount:
        if not _NODE.fullmatch(amount):
            raise ValueError("the place of a harmonic is missing")
    elif name not in (*MARKS, "finger", "pluck"):
        raise ValueError("this is not a mark")


def _cells_at(entry: Entry, timed: Timed) -> Sequence[Cell]:
    """The notes that are struck under an entry."""
    column = entry.column - timed.draft.measure.column
    clusters = sorted(timed.draft.clusters, key=lambda cluster: abs(cluster.column - column))
    if clusters and abs(clusters[0].column - column) <= _NEAR:
        exact = [place for place, _ in timed.onsets if place == column]
        return () if exact and clusters[0].column != column else clusters[0].cells
    return ()


def _mark_cell(cell: Cell, name: str, amount: str) -> None:
    if name == "bend":
        cell.bend = amount
    elif name == "fret":
        cell.fret = int(amount)
        cell.mark("dead")
    elif amount:
        cell.details[name] = amount
    else:
        cell.mark(name)


def _item_at(
    entry: Entry, timed: Timed, measure: TimedMeasure, voice: str, string: int = 0
) -> tuple[list[Item], int]:
    """The events of a voice ("upper", "lower", "" for any) and the number of the one that stands under an entry.

    `string`: it must hold this string. Raises ValueError when there is none.
    """
    onset, _ = onset_of(entry, timed, measure)
    voices = [
        items for items, name in ((timed.items, "upper"), (timed.lower or [], "lower")) if voice in ("", name)
    ]
    for items in voices:
        starts = item_starts(items)
        if onset in starts:
            index = starts.index(onset)
            strings = [cell.string for cell in items[index].cells]
            held = strings if items[index].tied else items[index].ties
            if not string or string in held:
                return items, index
    raise ValueError("no note or rest stands here")
