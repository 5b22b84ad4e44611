"""What stands on the lines of a part without strings: pitches, all of one event together, as `C4` or `C4+E4+G4`."""

from __future__ import annotations

import re

from engrave.exchange.text_tab.lines.remark import RemarkLog
from engrave.exchange.text_tab.reading.bars import Bar
from engrave.exchange.text_tab.reading.cells import Cell, Cluster, gather
from engrave.theory.pitch import parse_pitch

PLUS = "+"
"""What stands between the pitches of one event."""
PITCHES = "pitches"
"""The detail of a cell that holds its pitches, as the score language writes them."""
_PITCH = r"[A-Ga-g](?:##|#|bb|b)?-?\d"
_WORD = re.compile(rf"{_PITCH}(?:\+{_PITCH})*")
_STEP = re.compile(r"[-=_ ]*")


def read_pitch_cells(bar: Bar, log: RemarkLog) -> list[Cluster]:
    """The notes of a measure by column. The upper line is that of the upper voice; what is no pitch is dropped and remarked."""
    cells: list[Cell] = []
    for index, row in enumerate(bar.rows):
        position = 0
        while True:
            step = _STEP.match(row, position)
            position = step.end() if step else position
            if position >= len(row):
                break
            place = bar.starts[index] + position
            word = _WORD.match(row, position)
            if word is None:
                log.add(
                    "dropped",
                    bar.numbers[index],
                    place,
                    f'"{row[position]}" is not a pitch; write C4 or C4+E4',
                )
                position += 1
                continue
            names = PLUS.join(parse_pitch(name).name for name in word.group(0).split(PLUS))
            cell = Cell(index + 1, position, len(word.group(0)), 0, bar.numbers[index], place)
            cell.details[PITCHES] = names
            cells.append(cell)
            position = word.end()
    return gather(cells)
