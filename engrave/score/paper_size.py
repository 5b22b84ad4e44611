"""The sheet a document is printed on, as its author or its printer asks for it: sides in millimetres, upright or lying."""

from __future__ import annotations

import re
from enum import Enum
from typing import NamedTuple

from engrave.problems import did_you_mean

SIZES: dict[str, tuple[float, float]] = {
    "A3": (297.0, 420.0),
    "A4": (210.0, 297.0),
    "A5": (148.0, 210.0),
    "Letter": (215.9, 279.4),
    "Legal": (215.9, 355.6),
}
"""Sheets by name, upright (ISO 216; ANSI/ASME Y14.1 for Letter; Legal: common practice, no source)."""
_BY_NAME = {name.lower(): size for name, size in SIZES.items()}
_SIZE = re.compile(r"(\d{1,6}(?:\.\d{1,6})?)\s*[x×]\s*(\d{1,6}(?:\.\d{1,6})?)(?:\s*mm)?")
LEAST_SIDE, MOST_SIDE = 60.0, 1200.0
"""Millimetres between which a side of a sheet may lie (house rule)."""


class Orientation(Enum):
    """How a sheet lies: on its short side or on its long one."""

    PORTRAIT = "portrait"
    LANDSCAPE = "landscape"


class PaperSize(NamedTuple):
    """What is asked of the sheet. `sides` are width and height, None for the style's; `orientation` None for as they are."""

    sides: tuple[float, float] | None = None
    orientation: Orientation | None = None

    def over(self, other: PaperSize) -> PaperSize:
        """What is asked here, and what `other` asks where nothing is."""
        return PaperSize(self.sides or other.sides, self.orientation or other.orientation)

    def applied_to(self, sides: tuple[float, float]) -> tuple[float, float]:
        """Width and height of the sheet where the style's is `sides`."""
        width, height = self.sides or sides
        if self.orientation is not None and (width > height) != (self.orientation is Orientation.LANDSCAPE):
            return height, width
        return width, height

    @property
    def text(self) -> str:
        """The sides as they are written: a name, or "210x297"; "" where none are asked for."""
        if self.sides is None:
            return ""
        named = next((name for name, sides in SIZES.items() if sides == self.sides), "")
        return named or "x".join(f"{side:.10g}" for side in self.sides)


AS_USUAL = PaperSize()
"""Nothing is asked for."""


def parse_size(text: str) -> tuple[float, float]:
    """Width and height of a sheet in millimetres from "A4", "Letter" or "210x297". Raises ValueError."""
    words = text.strip()
    size = _BY_NAME.get(words.lower())
    if size is not None:
        return size
    match = _SIZE.fullmatch(words)
    if match is None:
        hint = did_you_mean(words, SIZES) if words.isalnum() else "write A4, Letter or 210x297"
        raise ValueError(f'"{text}" is not a paper size; {hint}')
    size = float(match[1]), float(match[2])
    if not all(LEAST_SIDE <= side <= MOST_SIDE for side in size):
        raise ValueError(
            f"a sheet of {size[0]:g} x {size[1]:g} mm cannot be printed; sides must be {LEAST_SIDE:g} to {MOST_SIDE:g} mm"
        )
    return size
