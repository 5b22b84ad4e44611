"""A specimen sheet: every symbol large, on the lines it belongs to, with its name."""

from __future__ import annotations

from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

from engrave.fonts.face_files import MUSIC_FONT_FILE
from engrave.fonts.symbols import music_face

_SPACE = 40
"""Pixels to a staff space."""
_CELL = (360, 400)
_COLUMNS = 8
_LABEL = 15
_LINED = ("Clef", "timeSig", "rest", "notehead", "accidental", "repeat")


def draw_specimen(target: Path) -> None:
    """Write the sheet as a picture (PNG)."""
    face = music_face()
    names = face.names()
    rows = -(-len(names) // _COLUMNS)
    sheet = Image.new("L", (_CELL[0] * _COLUMNS, _CELL[1] * rows), 255)
    pen = ImageDraw.Draw(sheet)
    music = ImageFont.truetype(str(MUSIC_FONT_FILE), 4 * _SPACE)
    label = ImageFont.load_default(_LABEL)
    for number, name in enumerate(names):
        left, top = (number % _COLUMNS) * _CELL[0], (number // _COLUMNS) * _CELL[1]
        symbol = face.glyph(name)
        box = symbol.box
        origin_y = top + _CELL[1] / 2 + (box.bottom + box.top) / 2 * _SPACE
        origin_x = left + _CELL[0] / 2 - (box.left + box.right) / 2 * _SPACE
        if any(part in name for part in _LINED) and "Tab" not in name:
            for line in range(-2, 3):
                y = origin_y + line * _SPACE
                pen.line((left + 20, y, left + _CELL[0] - 20, y), fill=190, width=3)
        pen.text((origin_x, origin_y), symbol.character, font=music, fill=0, anchor="ls")
        pen.text((left + 8, top + 6), name, font=label, fill=110)
    sheet.save(target)
