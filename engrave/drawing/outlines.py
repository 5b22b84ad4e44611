"""Letters and symbols as SVG shapes, each defined once in a file and used where it is needed."""

from __future__ import annotations

from engrave.fonts.outline import read_outline
from engrave.fonts.text_face import text_face


class OutlineLibrary:
    """Collects the shapes that one file uses."""

    def __init__(self) -> None:
        """No shapes yet."""
        self._paths: dict[str, str] = {}

    def use(self, face: str, text: str, size: float, x: float, y: float) -> str:
        """Elements that draw `text` from (x, y) at font size `size`, with y upwards."""
        measured = text_face(face)
        scale = size / measured.font.units_per_em
        pieces = []
        for character in text:
            name = f"{face}-{ord(character):x}"
            if name not in self._paths:
                self._paths[name] = _outline_path(face, character)
            if self._paths[name]:
                place = f'transform="translate({x:.4f} {y:.4f}) scale({scale:.8f})"'
                pieces.append(f'<use xlink:href="#{name}" {place}/>')
            x += measured.width(character, size)
        return "".join(pieces)

    def definitions(self) -> list[str]:
        """The shapes, to stand before what uses them."""
        shapes = [f'<path id="{name}" d="{path}"/>' for name, path in self._paths.items() if path]
        return ["<defs>", *shapes, "</defs>"]


def _outline_path(face: str, character: str) -> str:
    """The outline of a character in font units, y upwards."""
    font = text_face(face).font
    pieces = []
    for contour in read_outline(font, font.characters.glyph(ord(character))):
        pieces.append(f"M{contour.start[0]:g} {contour.start[1]:g}")
        for segment in contour.segments:
            if segment.control is None:
                pieces.append(f"L{segment.x:g} {segment.y:g}")
            else:
                pieces.append(f"Q{segment.control[0]:g} {segment.control[1]:g} {segment.x:g} {segment.y:g}")
        pieces.append("Z")
    return "".join(pieces)
