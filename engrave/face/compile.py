"""The drawings compiled to a TrueType file and a file of metrics."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.cu2quPen import Cu2QuPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from shapely.geometry.polygon import orient

import engrave.face.accidentals
import engrave.face.articulations
import engrave.face.clefs
import engrave.face.dynamics
import engrave.face.flags
import engrave.face.fretted
import engrave.face.heads
import engrave.face.rests
import engrave.face.small_notes
import engrave.face.structure
import engrave.face.time_signatures  # noqa: F401  # importing a family registers its drawings
from engrave.face.code_points import CODE_POINTS, TEXT_ALIASES, anchors
from engrave.face.refit import refit_ring
from engrave.face.registry import DRAWINGS
from engrave.face.shapes import Shape, bodies, is_speck

FAMILY = "Engrave Music"
UNITS_PER_EM = 4000
SPACE = UNITS_PER_EM // 4
"""Font units to a staff space (SMuFL: 4 spaces to the em)."""
_CURVE_ERROR = 0.0003 * SPACE
_EPOCH = 3786825600
"""Fixed time stamp (2024-01-01, in seconds since 1904), so that the same drawings give the same bytes."""
_LICENCE = "This font is licensed under the SIL Open Font License, Version 1.1: https://openfontlicense.org"


def compile_glyph(shape: Shape) -> Any:
    """A TrueType outline: outer contours clockwise, holes the other way."""
    collector = TTGlyphPen(None)
    pen = Cu2QuPen(collector, _CURVE_ERROR, reverse_direction=False)
    for body in bodies(shape):
        turned = orient(body, -1)
        for ring in [turned.exterior, *(hole for hole in turned.interiors if not is_speck(hole))]:
            pieces = refit_ring(np.array(ring.coords))
            pen.moveTo(_units(pieces[0].points[0]))
            for piece in pieces:
                points = [_units(point) for point in piece.points[1:]]
                if len(points) == 1:
                    pen.lineTo(points[0])
                else:
                    pen.curveTo(*points)
            pen.closePath()
    return collector.glyph()


def _units(point: tuple[float, float]) -> tuple[float, float]:
    return point[0] * SPACE, point[1] * SPACE


def build_face(font_file: Path, metrics_file: Path) -> None:
    """Write the face and its metrics. Raises KeyError for a drawing without a code point."""
    glyphs = {".notdef": TTGlyphPen(None).glyph(), "space": TTGlyphPen(None).glyph()}
    advances = {".notdef": (SPACE, 0), "space": (SPACE, 0)}
    characters = {0x20: "space"}
    for name in sorted(DRAWINGS, key=CODE_POINTS.__getitem__):
        glyph = compile_glyph(DRAWINGS[name]())
        internal = f"uni{CODE_POINTS[name]:04X}" if name[0].isdigit() else name
        glyphs[internal] = glyph
        characters[CODE_POINTS[name]] = internal
        glyph.recalcBounds(None)
        advances[internal] = (_advance(name, glyph), glyph.xMin)
    for code_point, name in TEXT_ALIASES.items():
        characters[code_point] = name
    _save(font_file, glyphs, advances, characters)
    metrics_file.write_text(_metrics(glyphs, advances), "utf-8")


def _advance(name: str, glyph: Any) -> int:
    """Wavy pieces join end to end at their period; all else advances by its ink."""
    periods = {"guitarVibratoStroke": 0.86, "guitarWideVibratoStroke": 1.05, "wiggleArpeggiatoUp": 1.0}
    if name in periods:
        return round(periods[name] * SPACE)
    side = 0.12 * SPACE if name.startswith("csym") else 0
    side = 0.10 * SPACE if name == "timeSigPlus" else side
    return int(glyph.xMax + side + 0.5)


def _save(
    font_file: Path, glyphs: dict[str, Any], advances: dict[str, Any], characters: dict[int, str]
) -> None:
    builder = FontBuilder(UNITS_PER_EM, isTTF=True)
    builder.setupGlyphOrder(list(glyphs))
    builder.setupCharacterMap(characters)
    builder.setupGlyf(glyphs)
    builder.setupHorizontalMetrics(advances)
    builder.setupHorizontalHeader(ascent=UNITS_PER_EM, descent=-UNITS_PER_EM)
    builder.setupNameTable(
        {
            "familyName": FAMILY,
            "styleName": "Regular",
            "uniqueFontIdentifier": "EngraveMusic-Regular",
            "fullName": FAMILY,
            "psName": "EngraveMusic-Regular",
            "version": "Version 1.000",
            "licenseDescription": _LICENCE,
            "licenseInfoURL": "https://openfontlicense.org",
        }
    )
    builder.setupOS2(
        sTypoAscender=UNITS_PER_EM,
        sTypoDescender=-UNITS_PER_EM,
        usWinAscent=2 * UNITS_PER_EM,
        usWinDescent=2 * UNITS_PER_EM,
    )
    builder.setupPost()
    builder.font["head"].created = _EPOCH
    builder.font["head"].modified = _EPOCH
    builder.font.recalcTimestamp = False
    builder.font.save(font_file)


def _metrics(glyphs: dict[str, Any], advances: dict[str, Any]) -> str:
    """The metrics file: one line a symbol, everything in staff spaces."""
    lines = []
    for name in sorted(DRAWINGS):
        internal = f"uni{CODE_POINTS[name]:04X}" if name[0].isdigit() else name
        glyph = glyphs[internal]
        box = [round(value / SPACE, 3) for value in (glyph.xMin, glyph.yMin, glyph.xMax, glyph.yMax)]
        entry = {
            "codepoint": CODE_POINTS[name],
            "advance": round(advances[internal][0] / SPACE, 3),
            "box": box,
            "anchors": anchors(name, box[0], box[2]),
        }
        lines.append(f"{json.dumps(name)}: {json.dumps(entry)}")
    body = ",\n".join(lines)
    return f'{{"family": {json.dumps(FAMILY)}, "unitsPerEm": {UNITS_PER_EM}, "glyphs": {{\n{body}\n}}}}\n'
