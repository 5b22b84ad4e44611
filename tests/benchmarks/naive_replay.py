"""The yardstick: placed marks drawn one by one with ReportLab's public canvas calls, nothing gathered."""

from __future__ import annotations

from io import BytesIO

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from engrave.fonts.face_files import FACE_NAMES, face_file
from engrave.fonts.symbols import music_face
from engrave.marks.mark import Curve, Glyph, Line, PlacedDocument, Polygon, Text


def register_faces() -> None:
    """Make the faces known to ReportLab, once."""
    for name in FACE_NAMES:
        pdfmetrics.registerFont(TTFont(f"replay-{name}", str(face_file(name))))


def replay(document: PlacedDocument) -> bytes:
    """The PDF of `document`, mark by mark."""
    buffer = BytesIO()
    music = music_face()
    canvas = Canvas(buffer, invariant=1, pageCompression=1, initialFontName="replay-serif")
    for page in document.pages:
        canvas.setPageSize((page.width, page.height))
        for group in page.groups:
            canvas.saveState()
            canvas.translate(group.x, group.y)
            canvas.scale(group.scale, group.scale)
            for mark in group.marks:
                _draw(canvas, mark, music)
            canvas.restoreState()
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _draw(canvas: Canvas, mark: object, music: object) -> None:
    if isinstance(mark, Line):
        canvas.setLineWidth(mark.width)
        canvas.setStrokeGray(mark.grey)
        canvas.setDash(*([list(mark.dash)] if mark.dash else []))
        canvas.line(mark.x1, mark.y1, mark.x2, mark.y2)
    elif isinstance(mark, Glyph):
        canvas.setFont("replay-music", mark.size * 4)
        canvas.drawString(mark.x, mark.y, music.glyph(mark.name).character)
    elif isinstance(mark, Text):
        canvas.setFont(f"replay-{mark.face}", mark.size)
        canvas.setFillGray(mark.grey)
        canvas.drawString(mark.x, mark.y, mark.text)
    elif isinstance(mark, Polygon):
        path = canvas.beginPath()
        path.moveTo(*mark.points[0])
        for point in mark.points[1:]:
            path.lineTo(*point)
        path.close()
        canvas.drawPath(path, stroke=0, fill=1)
    elif isinstance(mark, Curve):
        path = canvas.beginPath()
        path.moveTo(*mark.outer[0])
        path.curveTo(*mark.outer[1], *mark.outer[2], *mark.outer[3])
        path.lineTo(*mark.inner[3])
        path.curveTo(*mark.inner[2], *mark.inner[1], *mark.inner[0])
        path.close()
        canvas.drawPath(path, stroke=0, fill=1)
