"""Frets changed in a drawn tab, its columns kept."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from engrave.score.structure import Note, Voice
from engrave.writing.music_tree import played_events

_ROW = re.compile(r"\s*([1-8])(?=[\s\-|])")
_CELL = re.compile(r"(?P<how>[hp/\\]?)(?P<fret>[0-9]{1,2}|[xX]|=)(?P<shake>~?)(?P<gap>[\s\-|]*)")


def change_frets(tab: str, before: Sequence[Voice], after: Sequence[Voice]) -> str | None:
    """`tab` with the frets of `after`; None where more than frets differs, or a longer number finds no room."""
    pairs = _by_string(before, after)
    if pairs is None:
        return None
    rows = []
    for line in tab.split("\n"):
        name = _ROW.match(line)
        row = line if name is None else _change_row(line, name.end(), pairs.get(int(name.group(1)), []))
        if row is None:
            return None
        rows.append(row)
    return "\n".join(rows)


def _by_string(before: Sequence[Voice], after: Sequence[Voice]) -> dict[int, list[tuple[Note, Note]]] | None:
    """The notes of each string in order of time, as they were and are; None where more than frets differs."""
    found: list[tuple[Fraction, tuple[Note, Note]]] = []
    for old, new in zip(before, after, strict=True):
        for was, now in zip(played_events(old), played_events(new), strict=True):
            if len(was.notes) != len(now.notes) or was.techniques != now.techniques:
                return None
            found.extend((was.onset, pair) for pair in zip(was.notes, now.notes))
    strings: dict[int, list[tuple[Note, Note]]] = {}
    for _, (one, other) in sorted(found, key=lambda entry: entry[0]):
        if (one.string, _how(one)) != (other.string, _how(other)):
            return None
        strings.setdefault(one.string, []).append((one, other))
    return strings


def _how(note: Note) -> tuple[object, ...]:
    return [technique.sign for technique in note.techniques], note.finger, note.tie_from, note.chosen


def _change_row(line: str, start: int, notes: Sequence[tuple[Note, Note]]) -> str | None:
    lead = re.compile(r"[\s\-|]*").match(line, start)
    first = lead.end() if lead is not None else start
    cells = list(_CELL.finditer(line, first))
    if len(cells) != len(notes):
        return None
    row = line[:first]
    for cell, (was, now) in zip(cells, notes):
        fret, gap = cell["fret"], cell["gap"]
        if fret == "=" or was.fret == now.fret:
            pass
        elif not fret.isdigit() or line != line.rstrip():
            return None
        else:
            fret = str(now.fret)
            grows = len(fret) - len(cell["fret"])
            at_end = cell.end() == len(line)
            if grows > 0 and not at_end and len(gap) <= grows:
                return None
            gap = gap[grows:] if grows > 0 else (gap[:1] or " ") * -grows + gap
        row += f"{cell['how']}{fret}{cell['shake']}{gap}"
    return row.rstrip() if line == line.rstrip() else line
