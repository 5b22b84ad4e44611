"""The `tab` of a measure: a block of rows lined up by column, as people draw tab."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from engrave.problems import Location
from engrave.reading.context import Context
from engrave.reading.drafts import DraftVoice
from engrave.reading.voices import VoiceReader
from engrave.score.structure import Tuplet
from engrave.source.tree import SourceMap
from engrave.theory.duration import DENOMINATORS, NoteValue, TupletRatio, note_value

_ROW_BELOW = re.compile(r"\s+([1-8]|lower|rhythm)\s")
"""How a line starts that is a row of a drawn tab."""
_ROW = re.compile(r"\s*(\S+)")
_RHYTHM = re.compile(r"(?:(\d+)(?::(\d+))?\()|(\d+)(\.{0,2})|(\))|([^\s\-|])")
_CELL = re.compile(r"([hp/\\]?)(\d{1,2}|[xX]|=)(~?)")
_FILLER = re.compile(r"[\s\-|]+")
_BEFORE = {"h": "hammer-on", "p": "pull-off", "/": "slide", "\\": "slide"}
_USUAL_NORMAL = {2: 3, 3: 2, 4: 3, 5: 4, 6: 4, 7: 4, 9: 8}
_REACH = 1
"""A cell may stand this many columns beside its rhythm."""


@dataclass(slots=True, eq=False)
class _Token:
    """One value of a rhythm row, with the tuplets that open before and close after it."""

    column: int
    value: NoteValue
    opens: list[tuple[int, int]]
    closes: int = 0


class _Cell(NamedTuple):
    string: int
    column: int
    text: str
    location: Location


class DrawnTabReader:
    """Reads the drawn tabs of one part into its voices."""

    def __init__(self, context: Context, upper: VoiceReader, lower: VoiceReader) -> None:
        """The readers of the part's two voices."""
        self._context = context
        self._upper = upper
        self._lower = lower

    def read(self, text: str, location: Location) -> list[DraftVoice]:
        """One or two voices from a drawn tab."""
        if self._has_run_together(text, location):
            self._context.error(
                location,
                "the rows of this tab have run together",
                "write tab: | and start the rows on the next line",
            )
            return []
        rhythm: list[_Token] = []
        bass: list[_Token] = []
        has_bass = False
        cells: list[_Cell] = []
        seen: set[str] = set()
        has_tabs = False
        for number, line in enumerate(text.splitlines()):
            if not line.strip():
                continue
            row_location = self._row_location(line, number, location)
            if "\t" in line:
                has_tabs = True
                self._context.error(
                    row_location, "this row has a tab in it", "line up its columns with spaces"
                )
                continue
            name, start = self._row_name(line)
            if name in seen:
                self._context.error(row_location, f'the row "{name}" is written twice in this tab')
                continue
            seen.add(name)
            if name == "rhythm":
                rhythm = self._rhythm_row(line, start, row_location)
            elif name == "lower":
                bass, has_bass = self._rhythm_row(line, start, row_location), True
            elif name.isdigit() and 1 <= int(name) <= max(1, self._context.instrument.strings):
                cells.extend(self._string_row(line, start, int(name), row_location))
            else:
                known = ["rhythm", "lower", *map(str, range(1, self._context.instrument.strings + 1))]
                self._context.error(
                    row_location,
                    f'"{name}" is not a row of a drawn tab',
                    self._context.log.suggest(name, known),
                )
        if has_tabs:
            return []
        if not rhythm:
            self._context.error(
                location, "the tab has no rhythm row", "start it with a line such as: rhythm 4 8 8 2"
            )
            return []
        upper, lower = self._share(cells, rhythm, bass)
        voices = [self._fill(self._upper, rhythm, upper, location)]
        if has_bass:
            voices.append(self._fill(self._lower, bass, lower, location))
        else:
            self._lower.skip()
        return voices

    def _has_run_together(self, text: str, location: Location) -> bool:
        """True for a tab without the sign | after its key, whose lines the parser joins to one."""
        lines = self._context.lines
        below = lines[location.line] if 0 < location.line < len(lines) else ""
        start = lines[location.line - 1][location.column - 1 :] if 0 < location.line <= len(lines) else ""
        return "\n" not in text.strip() and start.startswith("rhythm") and _ROW_BELOW.match(below) is not None

    def _row_location(self, line: str, number: int, location: Location) -> Location:
        """Where a row stands in the file: YAML takes the indentation of a block away."""
        index = location.line + number
        lines = self._context.lines
        if index < len(lines) and lines[index].rstrip().endswith(line.strip()):
            return Location(
                index + 1, lines[index].index(line.strip()) - (len(line) - len(line.lstrip())) + 1
            )
        return location

    @staticmethod
    def _row_name(line: str) -> tuple[str, int]:
        match = _ROW.match(line)
        return (match.group(1), match.end()) if match else ("", 0)

    def _rhythm_row(self, line: str, start: int, row: Location) -> list[_Token]:
        tokens: list[_Token] = []
        opens: list[tuple[int, int]] = []
        depth = 0
        for match in _RHYTHM.finditer(line, start):
            actual, normal, denominator, dots, closing, stray = match.groups()
            location = Location(row.line, row.column + match.start())
            if actual:
                count = int(actual)
                opens.append((count, int(normal) if normal else _USUAL_NORMAL.get(count, max(1, count - 1))))
                depth += 1
            elif denominator:
                value = self._value(int(denominator), len(dots), location)
                tokens.append(_Token(match.start(), value, opens))
                opens = []
            elif closing and depth and tokens:
                tokens[-1].closes += 1
                depth -= 1
            else:
                self._context.error(
                    location,
                    f'"{stray or closing}" does not belong in a rhythm row',
                    "write 4 for a quarter, 8. for a dotted eighth, 3(8 8 8) for a triplet",
                )
        if depth:
            self._context.error(
                row, "a tuplet in this rhythm row is not closed", "write ) after its last value"
            )
        return tokens

    def _value(self, denominator: int, dots: int, location: Location) -> NoteValue:
        if denominator not in DENOMINATORS:
            self._context.error(
                location, f"{denominator} is not a note value", "values are 1, 2, 4, 8, 16, 32 and 64"
            )
            return note_value(4)
        return note_value(denominator, dots)

    def _string_row(self, line: str, start: int, string: int, row: Location) -> Iterator[_Cell]:
        position = start
        while position < len(line):
            filler = _FILLER.match(line, position)
            if filler:
                position = filler.end()
                continue
            location = Location(row.line, row.column + position)
            match = _CELL.match(line, position)
            if match is None:
                self._context.error(
                    location,
                    f'"{line[position]}" does not belong on a string',
                    "write a fret, x, or = for a held note",
                )
                position += 1
                continue
            yield _Cell(string, match.start(2), _fret_text(match), location)
            position = match.end()

    def _share(
        self, cells: list[_Cell], rhythm: list[_Token], bass: list[_Token]
    ) -> tuple[dict[int, list[_Cell]], dict[int, list[_Cell]]]:
        """Which cells belong to which token of the two rhythm rows, by the token's column."""
        upper: dict[int, list[_Cell]] = {}
        lower: dict[int, list[_Cell]] = {}
        for cell in cells:
            above, below = _nearest(rhythm, cell.column), _nearest(bass, cell.column)
            if above is None and below is None:
                self._context.error(
                    cell.location,
                    f'"{cell.text}" stands under no value of the rhythm',
                    "line its first digit up with the value",
                )
            elif above is None and below is not None:
                lower.setdefault(below, []).append(cell)
            elif above is not None:
                upper.setdefault(above, []).append(cell)
        for column in [token.column for token in bass]:
            shared = _nearest(rhythm, column)
            if shared is not None and column not in lower and shared in upper:
                thickest = max(upper[shared], key=lambda cell: cell.string)
                upper[shared].remove(thickest)
                lower[column] = [thickest]
        return upper, lower

    def _fill(
        self, reader: VoiceReader, tokens: list[_Token], cells: dict[int, list[_Cell]], location: Location
    ) -> DraftVoice:
        voice = reader.start(location)
        number = 0
        for token in tokens:
            for actual, normal in token.opens:
                number += 1
                reader.open_tuplet(Tuplet(number, TupletRatio(actual, normal, token.value)))
            mine = cells.get(token.column, [])
            if mine:
                content = SourceMap(mine[0].location)
                for cell in sorted(mine, key=lambda cell: cell.string):
                    if str(cell.string) in content:
                        what = f"string {cell.string} has two frets under one value of the rhythm"
                        self._context.error(cell.location, what)
                    else:
                        content.put(str(cell.string), cell.location, cell.text, cell.location)
                reader.add(token.value, content, mine[0].location)
            else:
                reader.add(token.value, None, location)
            for _ in range(token.closes):
                reader.close_tuplet()
        return voice


def _nearest(tokens: list[_Token], column: int) -> int | None:
    """The column of the token within reach of `column`, the nearest first."""
    within = [token.column for token in tokens if abs(token.column - column) <= _REACH]
    return min(within, key=lambda candidate: abs(candidate - column)) if within else None


def _fret_text(match: re.Match[str]) -> str:
    before, fret, after = match.groups()
    if fret == "=":
        return "tie"
    words = [fret.lower()]
    if before:
        words.append(_BEFORE[before])
    if after:
        words.append("vibrato")
    return " ".join(words)
