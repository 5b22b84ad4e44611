"""Which function draws which symbol."""

from __future__ import annotations

from collections.abc import Callable

from engrave.face.shapes import Shape

Drawing = Callable[[], Shape]

DRAWINGS: dict[str, Drawing] = {}
"""The drawing of every symbol by its SMuFL name, in the order of drawing."""


def symbol(name: str) -> Callable[[Drawing], Drawing]:
    """Register a function as the drawing of the symbol called `name`."""

    def register(drawing: Drawing) -> Drawing:
        DRAWINGS[name] = drawing
        return drawing

    return register


def draw(name: str) -> Shape:
    """The shape of a symbol, in staff spaces. Raises KeyError."""
    return DRAWINGS[name]()
