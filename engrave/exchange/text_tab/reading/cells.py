"""What stands on the lines of one measure: frets with their signs."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from engrave.exchange.text_tab.lines.table import PAIRS, ReadingTable
from engrave.exchange.text_tab.lines.text_lines import Kind, RemarkLog
from engrave.exchange.text_tab.reading.measures import TabMeasure
from engrave.theory.bends import amount_label
from engrave.theory.harmonics import partial_at

HIGHEST_FRET = 36
"""The highest fret of the score language."""
_WIDEST_BEND = 6
"""Semitones of the widest bend of the score language."""
_SLIDES = {
    "slide-up": ("slide-from-below", "slide-away-up"),
    "slide-down": ("slide-from-above", "slide-away-down"),
}
_FORWARD = ("hammer-on", "pull-off", "tap", "left-hand-tap", "slurred-slide", "slide")
"""Marks that stand before the note they belong to, even when they touch the note before."""
_TAPS = ("tap", "left-hand-tap")
"""Those that belong to the note before them where no note follows at once."""
_STEP = re.compile(r"[-=_ ]*")
_DIGITS = re.compile(r"[0-9]+")
_TARGET = re.compile(r"\(?(?:(?P<part>1/2|1/4|3/4|[½¼¾]|full)|(?P<fret>[0-9]{1,2}))\)?")
_SHARES = {"½": "1/2", "¼": "1/4", "¾": "3/4"}
_FULL = 2
"""Semitones of a full bend."""
PITCHES = "pitches"
"""The detail of a cell that holds its pitches, as the score language writes them."""


@dataclass(slots=True)
class Cell:
    """One note: string (1 thinnest), column in its measure and columns it takes, fret (None: dead), marks, bend.

    `line` (from 1) and `text_column` (column from 0) say where it stands in the text. `bent` is the highest point of the
    bend in semitones. `left` and `right` are the columns of the brackets and of a sign that leads into it, else those of its
    first and last digit. `details` are what else the score language has keys for; `event_marks` belong to all that is
    struck with the note.
    """

    string: int
    column: int
    width: int
    fret: int | None
    line: int
    text_column: int
    marks: list[str] = field(default_factory=list)
    bend: str = ""
    bent: int = 0
    details: dict[str, str] = field(default_factory=dict)
    event_marks: list[str] = field(default_factory=list)
    left: int = 0
    right: int = 0

    def mark(self, name: str) -> None:
        """Add a mark, once."""
        if name not in self.marks:
            self.marks.append(name)


class Cluster(NamedTuple):
    """What is struck together: the column it starts at, and its notes, thinnest string first."""

    column: int
    cells: tuple[Cell, ...]


class RowReader:
    """Reads the strings of one part, measure after measure; a sign before a barline waits for the note after it."""

    def __init__(self, table: ReadingTable, log: RemarkLog) -> None:
        """Nothing read yet."""
        self._signs = table.signs
        self._log = log
        self._waiting: dict[int, str] = {}
        self._places: dict[int, tuple[int, int]] = {}
        """Where the signs stand that wait for a note, by string: line and column."""
        self._last: dict[int, Cell] = {}

    def read(self, measure: TabMeasure) -> list[Cell]:
        """The notes of a measure, string by string."""
        cells: list[Cell] = []
        for index, row in enumerate(measure.rows):
            cells.extend(_Row(self, index + 1, row, measure.numbers[index], measure.starts[index]).read())
        return cells

    def finish(self) -> None:
        """Tell of signs after which no note has come; a slide after the last note leads out of it."""
        for string, meaning in self._waiting.items():
            if meaning in _SLIDES and string in self._last:
                self._last[string].mark(_SLIDES[meaning][1])
            else:
                what = f"string {string}: no note follows this {meaning.replace('-', ' ')}"
                self._log.add("dropped", *self._places[string], what)
        self._waiting.clear()


class _Row:
    """One row while it is read."""

    def __init__(self, reader: RowReader, string: int, text: str, line: int, start: int) -> None:
        self.signs, self.log = reader._signs, reader._log
        self.waiting, self.places, self.lasts = reader._waiting, reader._places, reader._last
        self.string, self.text, self.line, self.start = string, text, line, start
        self.cells: list[Cell] = []
        self.pairs: list[tuple[str, str, int]] = []
        self.position = 0
        self.left: int | None = None
        """Where a sign stands that leads into the next note."""

    def read(self) -> list[Cell]:
        text = self.text
        while True:
            match = _STEP.match(text, self.position)
            self.position = match.end() if match else self.position
            if self.position >= len(text):
                break
            sign = text[self.position]
            if sign.isascii() and sign.isdigit():
                self._digits()
            else:
                self._sign(sign)
        for _, close, position in self.pairs:
            self.remark("doubted", position, f'"{close}" is missing')
        return self.cells

    def remark(self, kind: Kind, position: int, what: str) -> None:
        self.log.add(kind, self.line, self.start + position, f"string {self.string}: {what}")

    def _digits(self) -> None:
        match = _DIGITS.match(self.text, self.position)
        digits = match.group(0) if match else "0"
        if len(digits) > 2 or (len(digits) == 2 and int(digits) > HIGHEST_FRET):
            self.remark("doubted", self.position, f"{digits[:12]} is read as frets one after the other")
        start = self.position
        taken = 0
        while taken < len(digits):
            width = 2 if len(digits) - taken > 1 and int(digits[taken : taken + 2]) <= HIGHEST_FRET else 1
            self.note(int(digits[taken : taken + width]), start + taken, width)
            taken += width
        self.position = start + len(digits)

    def note(self, fret: int | None, column: int, width: int) -> None:
        """Add a note; what waits and what is open belongs to it."""
        cell = Cell(self.string, column, width, fret, self.line, self.start + column)
        cell.left = column if self.left is None else self.left
        cell.right = column + width - 1
        self.left = None
        before = self.lasts.get(self.string)
        waiting = self.waiting.pop(self.string, "")
        if waiting in _SLIDES:
            waiting = "slide" if before is not None else _SLIDES[waiting][0]
        if waiting:
            cell.mark(waiting)
            if waiting in ("hammer-on", "pull-off"):
                self._check_join(cell, before, waiting)
        for mark, _, _ in self.pairs:
            self._mark(cell, mark)
        self.cells.append(cell)
        self.lasts[self.string] = cell

    def _check_join(self, cell: Cell, before: Cell | None, name: str) -> None:
        if before is None:
            self.remark("doubted", cell.column, f"no note stands before this {name}")
        elif before.fret is not None and cell.fret is not None:
            rise = cell.fret - before.fret
            if rise == 0 or (rise > 0) != (name == "hammer-on"):
                what = f"this {name} goes from fret {before.fret} to fret {cell.fret}"
                self.remark("slip", cell.column, what)

    def _mark(self, cell: Cell, mark: str) -> None:
        if mark == "natural-harmonic":
            try:
                partial_at(float(cell.fret or 0))
            except ValueError:
                self.remark("doubted", cell.column, f"there is no harmonic at fret {cell.fret or 0}")
                return
        cell.mark(mark)

    def _sign(self, sign: str) -> None:
        """Read the sign at the present position, and step over it."""
        meaning = self.signs.get(sign)
        position = self.position
        self.places[self.string] = self.line, self.start + position
        self.position += 1
        if self.pairs and sign == self.pairs[-1][1]:
            self.pairs.pop()
            if self.cells and self.cells[-1].column + self.cells[-1].width == position:
                self.cells[-1].width += 1
                self.cells[-1].right = position
        elif meaning is None:
            self.remark("dropped", position, f'"{sign}" has no meaning here')
        elif meaning == "ignored":
            return
        elif meaning == "dead":
            self.note(None, position, 1)
        elif sign in PAIRS:
            self.pairs.append((meaning, PAIRS[sign], position))
            self.left = position if self.left is None else self.left
        elif meaning == "bend":
            self.position = position
            self._bend()
        elif meaning == "release":
            self.position = position
            self._release()
        elif meaning in _SLIDES:
            self._slide(meaning, position)
        else:
            self._plain(meaning, sign, position)

    def _plain(self, meaning: str, sign: str, position: int) -> None:
        """A mark that belongs to the note before it, or waits for the next."""
        touched = self._touched_at(position)
        following = self.text[position + 1 : position + 2]
        tapped = meaning in _TAPS and touched is not None and not (following.isdigit() or following in PAIRS)
        if (meaning not in _FORWARD or tapped) and (
            touched is not None or (meaning == "vibrato" and self.cells)
        ):
            cell = touched or self.cells[-1]
            self._mark(cell, meaning)
            if touched is not None:
                cell.width += 1
        elif self.waiting.setdefault(self.string, meaning) != meaning:
            self.remark("dropped", position, f'"{sign}" after another sign')

    def _touched_at(self, position: int) -> Cell | None:
        last = self.cells[-1] if self.cells else None
        return last if last is not None and last.column + last.width == position else None

    def _slide(self, meaning: str, position: int) -> None:
        """Between two notes a slide; before one a slide into it, after one a slide out of it."""
        into, out = _SLIDES[meaning]
        touched = self._touched_at(position)
        following = self.text[position + 1 : position + 2]
        reaches = following.isdigit() or self.signs.get(following) == "dead" or following in PAIRS
        if touched is not None and not reaches and following:
            touched.mark(out)
        elif touched is None and reaches:
            self.waiting[self.string] = into
            self.left = position
        else:
            self.waiting[self.string] = meaning

    def _bend(self) -> None:
        position = self.position
        self.position += 1
        cell = self._touched_at(position)
        if cell is None or cell.fret is None or cell.bend:
            self.remark("dropped", position, "no note stands before this bend")
            return
        semitones: Fraction = Fraction(_FULL)
        match = _TARGET.match(self.text, self.position)
        if match is not None:
            self.position = match.end()
            semitones = self._reach(cell, match, position)
        else:
            self.remark("guessed", position, "a bend without its goal is read as a full one")
        cell.bend, cell.bent = amount_label(semitones), int(semitones)
        cell.width = self.position - cell.column

    def _reach(self, cell: Cell, match: re.Match[str], position: int) -> Fraction:
        """How far a bend goes, in semitones."""
        part, fret = match["part"], match["fret"]
        if part:
            return Fraction(_FULL) * (1 if part == "full" else Fraction(_SHARES.get(part, part)))
        rise = int(fret) - (cell.fret or 0)
        if 0 < rise <= _WIDEST_BEND:
            return Fraction(rise)
        self.remark("doubted", position, f"no bend goes from fret {cell.fret} to {fret}; read as a full one")
        return Fraction(_FULL)

    def _release(self) -> None:
        position = self.position
        self.position += 1
        cell = self._touched_at(position)
        match = _TARGET.match(self.text, self.position)
        goal = int(match["fret"]) if match is not None and match["fret"] else None
        if cell is None or cell.fret is None or cell.bend.endswith("release") or "release" in cell.bend:
            self.remark("dropped", position, "no bend stands before this release")
            return
        if cell.bend:
            left = 0 if goal is None else goal - cell.fret
            partly = f" to {amount_label(Fraction(left))}" if 0 < left < cell.bent else ""
            cell.bend += f" release{partly}"
        elif goal is not None and 0 < cell.fret - goal <= _WIDEST_BEND:
            cell.bend = f"pre {amount_label(Fraction(cell.fret - goal))} release"
            cell.fret = goal
        else:
            self.remark("dropped", position, "no bend stands before this release")
            return
        if match is not None:
            self.position = match.end()
        cell.width = self.position - cell.column
