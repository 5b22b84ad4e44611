"""The operators of one page (ISO 32000-1, annex A), many marks at a time.

All ink is black or grey and nothing covers anything, so marks may be painted in any order: they are gathered by
line width, font and size, which makes pages several times quicker to draw and smaller than mark by mark.
"""

from __future__ import annotations

from engrave.drawing.pdf.fonts import FontOperators
from engrave.fonts.symbols import MusicFace
from engrave.marks.mark import Anchor, Curve, Glyph, Group, Line, Link, Picture, Polygon, Text

THINNEST = 0.25
"""Points: no line is thinner, so that every printer shows it (common practice, no source)."""
_EM = 4.0
"""Staff spaces to an em of the music face (SMuFL)."""


def write_group(group: Group, fonts: FontOperators, music: MusicFace) -> list[str]:
    """The operators that paint a group, its unit set by one transformation."""
    strokes: dict[tuple[float, tuple[float, float] | None, float], list[str]] = {}
    fills: dict[float, list[str]] = {}
    texts: dict[tuple[str, float, float], list[str]] = {}
    least = THINNEST / group.scale
    for mark in group.marks:
        if isinstance(mark, Line):
            key = (max(mark.width, least), mark.dash, mark.grey)
            path = f"{mark.x1:.4f} {mark.y1:.4f} m {mark.x2:.4f} {mark.y2:.4f} l"
            strokes.setdefault(key, []).append(path)
        elif isinstance(mark, Glyph):
            text = music.glyph(mark.name).character
            _add_text(texts, fonts, "music", text, size=mark.size * _EM, x=mark.x, y=mark.y, grey=mark.grey)
        elif isinstance(mark, Text):
            _add_text(texts, fonts, mark.face, mark.text, size=mark.size, x=mark.x, y=mark.y, grey=mark.grey)
        elif isinstance(mark, Polygon):
            fills.setdefault(mark.grey, []).append(_polygon(mark))
        elif isinstance(mark, Curve):
            fills.setdefault(0.0, []).append(_bow(mark))
    return [
        f"q {group.scale:.6f} 0 0 {group.scale:.6f} {group.x:.4f} {group.y:.4f} cm",
        *_paint_strokes(strokes),
        *_paint_fills(fills),
        *_paint_texts(texts),
        "Q",
    ]


def group_links(group: Group) -> list[Link]:
    """The links of a group; they are no ink but areas of the page."""
    return [mark for mark in group.marks if isinstance(mark, Link)]


def group_pictures(group: Group) -> list[Picture]:
    """The pictures of a group; they are no operators of our own."""
    return [mark for mark in group.marks if isinstance(mark, Picture)]


def group_anchors(group: Group) -> list[Anchor]:
    """The places of a group that links lead to."""
    return [mark for mark in group.marks if isinstance(mark, Anchor)]


def _add_text(
    texts: dict[tuple[str, float, float], list[str]],
    fonts: FontOperators,
    face: str,
    text: str,
    size: float,
    x: float,
    y: float,
    grey: float,
) -> None:
    pieces = fonts.pieces(face, text)
    if len(pieces) == 1:
        (piece,) = pieces
        place = f"1 0 {piece.slant:g} 1 {x:.4f} {y:.4f} Tm"
        texts.setdefault((piece.font, size, grey), []).append(f"{place} {piece.shown}")
        return
    run = []
    slant = None
    for piece in pieces:
        if piece.slant != slant:  # the pen goes on by itself while the lean stays
            slant = piece.slant
            run.append(f"1 0 {slant:g} 1 {x + piece.before * size:.4f} {y:.4f} Tm")
        run.append(f"{piece.font} {size:.4f} Tf {piece.shown}")
    texts.setdefault(("", size, grey), []).append(" ".join(run))


def _paint_strokes(strokes: dict[tuple[float, tuple[float, float] | None, float], list[str]]) -> list[str]:
    code = []
    for (width, dash, grey), paths in strokes.items():
        pattern = f"[{dash[0]:.4f} {dash[1]:.4f}] 0 d" if dash else "[] 0 d"
        code.append(f"{grey:g} G {width:.4f} w {pattern}")
        code.extend(paths)
        code.append("S")
    return code


def _paint_fills(fills: dict[float, list[str]]) -> list[str]:
    code = []
    for grey, paths in fills.items():
        code.append(f"{grey:g} g")
        code.extend(paths)
    return code


def _paint_texts(texts: dict[tuple[str, float, float], list[str]]) -> list[str]:
    if not texts:
        return []
    code = ["BT"]
    for (name, size, grey), runs in texts.items():
        code.append(f"{grey:g} g")
        if name:
            code.append(f"{name} {size:.4f} Tf")
        code.extend(runs)
    code.append("ET")
    return code


def _polygon(mark: Polygon) -> str:
    (x, y), *rest = mark.points
    corners = " ".join(f"{px:.4f} {py:.4f} l" for px, py in rest)
    return f"{x:.4f} {y:.4f} m {corners} h f"


def _bow(mark: Curve) -> str:
    (x, y), *outer = mark.outer
    back = mark.inner[::-1]
    there = " ".join(f"{px:.4f} {py:.4f}" for px, py in outer)
    here = " ".join(f"{px:.4f} {py:.4f}" for px, py in back[1:])
    return f"{x:.4f} {y:.4f} m {there} c {back[0][0]:.4f} {back[0][1]:.4f} l {here} c h f"
