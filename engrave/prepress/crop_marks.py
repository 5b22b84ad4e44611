"""How crop marks are drawn, read from styles/prepress/crop-marks.yaml, which says what each number is and its source."""

from __future__ import annotations

from functools import lru_cache
from typing import Annotated, NamedTuple

from engrave.settings.kinds import Number
from engrave.settings.shipped import read_record, read_tree, shipped_file

Millimetres = Annotated[float, Number(0, 100, "mm")]
Points = Annotated[float, Number(0, 10, "points")]


class CropMarks(NamedTuple):
    """`length` of a mark and `room` beyond it to the sheet's edge in millimetres; `width` of its line in points."""

    length: Millimetres
    width: Points
    room: Millimetres


@lru_cache(maxsize=1)
def read_crop_marks() -> CropMarks:
    """Those that travel with the program."""
    path = shipped_file("prepress", "crop-marks.yaml")
    return read_record(CropMarks, read_tree(path), path.name)
