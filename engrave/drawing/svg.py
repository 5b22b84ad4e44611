"""A page drawn as SVG (W3C SVG 1.1). Letters and symbols are shapes, so that it looks the same everywhere."""

from __future__ import annotations

from base64 import b64encode
from html import escape

from engrave.fonts.font_file import FontFile
from engrave.fonts.outline import read_outline
from engrave.fonts.symbols import MusicFace, music_face
from engrave.fonts.text_face import text_face
from engrave.marks.mark import (
    Anchor,
    Curve,
    Glyph,
    Group,
    Line,
    Link,
    Mark,
    Page,
    Picture,
    PlacedDocument,
    Polygon,
    Source,
)
from engrave.marks.turn import turn_matrix


class OutlineLibrary:
    """Collects the shapes that one file uses."""

    def __init__(self) -> None:
        """No shapes yet."""
        self._paths: dict[str, str] = {}

    def use(self, face: str, text: str, size: float, x: float, y: float) -> str:
        """Elements that draw `text` from (x, y) at font size `size`, with y upwards."""
        measured = text_face(face)
        pieces = []
        for character in text:
            used = measured.setting_face(character)
            scale = size / used.font.units_per_em
            name = f"{used.name}-{ord(character):x}"
            if name not in self._paths:
                self._paths[name] = _outline_path(used.font, character)
            if self._paths[name]:
                lean = f" matrix(1 0 {used.slant:g} 1 0 0)" if used.slant else ""
                place = f'transform="translate({x:.4f} {y:.4f}) scale({scale:.8f}){lean}"'
                pieces.append(f'<use xlink:href="#{name}" {place}/>')
            x += measured.width(character, size)
        return "".join(pieces)

    def definitions(self) -> list[str]:
        """The shapes, to stand before what uses them."""
        shapes = [f'<path id="{name}" d="{path}"/>' for name, path in self._paths.items() if path]
        return ["<defs>", *shapes, "</defs>"]


def _outline_path(font: FontFile, character: str) -> str:
    """The outline of a character in font units, y upwards."""
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


_THINNEST = 0.25
"""Points, as in print."""

_PNG = b"\x89PNG"
"""How a PNG file starts (W3C PNG specification)."""


def draw_svg(page: Page, document: PlacedDocument) -> str:
    """One page as a self-contained file; every mark has its role as class and its source as data attributes."""
    outlines = OutlineLibrary()
    music = music_face()
    body = [line for group in page.groups for line in _draw_group(group, page.height, outlines, music)]
    width, height = page.width, page.height
    language = f' xml:lang="{escape(document.language)}"' if document.language else ""
    head = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="{width:.3f}pt" '
        f'height="{height:.3f}pt" viewBox="0 0 {width:.3f} {height:.3f}"{language}>',
        f"<title>{escape(document.title or 'Untitled')}</title>",
        f'<rect width="{width:.3f}" height="{height:.3f}" fill="white"/>',
    ]
    return "\n".join([*head, *outlines.definitions(), *body, "</svg>", ""])


def _draw_group(group: Group, page_height: float, outlines: OutlineLibrary, music: MusicFace) -> list[str]:
    down = page_height - group.y
    lines = [
        f'<g transform="translate({group.x:.4f} {down:.4f}) scale({group.scale:.6f} {-group.scale:.6f})">'
    ]
    least = _THINNEST / group.scale
    for mark in group.marks:
        lines.append(_draw_mark(mark, least, outlines, music))
    lines.append("</g>")
    return lines


def _draw_mark(mark: Mark, least: float, outlines: OutlineLibrary, music: MusicFace) -> str:
    about = f'class="{mark.role.value}"{_source_attributes(mark.source)}'
    if isinstance(mark, Line):
        dash = f' stroke-dasharray="{mark.dash[0]:.4f} {mark.dash[1]:.4f}"' if mark.dash else ""
        return (
            f'<line {about} x1="{mark.x1:.4f}" y1="{mark.y1:.4f}" x2="{mark.x2:.4f}" y2="{mark.y2:.4f}" '
            f'stroke="{_colour(mark.grey)}" stroke-width="{max(mark.width, least):.4f}"{dash}/>'
        )
    if isinstance(mark, Glyph):
        text = music.glyph(mark.name).character
        grey = f' fill="{_colour(mark.grey)}"' if mark.grey else ""
        return f"<g {about}{grey}>{outlines.use('music', text, mark.size * 4, mark.x, mark.y)}</g>"
    if isinstance(mark, Polygon):
        points = " ".join(f"{x:.4f},{y:.4f}" for x, y in mark.points)
        return f'<polygon {about} points="{points}" fill="{_colour(mark.grey)}"/>'
    if isinstance(mark, Curve):
        return f'<path {about} d="{_bow(mark)}"/>'
    if isinstance(mark, Link):
        box = mark.box
        return (
            f'<a xlink:href="{escape(mark.target)}"><rect {about} x="{box.left:.4f}" y="{box.bottom:.4f}" '
            f'width="{box.right - box.left:.4f}" height="{box.top - box.bottom:.4f}" fill="none"/></a>'
        )
    if isinstance(mark, Anchor):
        return f'<g id="{escape(mark.name, quote=True)}" {about}/>'
    if isinstance(mark, Picture):
        box, alt = mark.box, escape(mark.alt, quote=True)
        kind = "png" if mark.data.startswith(_PNG) else "jpeg"
        address = f"data:image/{kind};base64,{b64encode(mark.data).decode('ascii')}"
        return (
            f'<image {about} width="1" height="1" preserveAspectRatio="none" transform="{_picture_matrix(mark)}" '
            f'xlink:href="{address}"><title>{alt}</title></image>'
        )
    label = escape(mark.text, quote=True)
    shapes = outlines.use(mark.face, mark.text, mark.size, mark.x, mark.y)
    return f'<g {about} aria-label="{label}" fill="{_colour(mark.grey)}">{shapes}</g>'


def _picture_matrix(mark: Picture) -> str:
    """From the unit square with y downwards, in which SVG draws a picture, to its box with y upwards."""
    a, b, c, d, e, f = turn_matrix(mark.turn)
    width, height = mark.box.right - mark.box.left, mark.box.top - mark.box.bottom
    numbers = (
        a * width,
        b * height,
        -c * width,
        -d * height,
        mark.box.left + (c + e) * width,
        mark.box.bottom + (d + f) * height,
    )
    return f"matrix({' '.join(f'{number:.4f}' for number in numbers)})"


def _bow(mark: Curve) -> str:
    (x, y), *outer = mark.outer
    back = mark.inner[::-1]
    there = " ".join(f"{px:.4f} {py:.4f}" for px, py in outer)
    here = " ".join(f"{px:.4f} {py:.4f}" for px, py in back[1:])
    return f"M{x:.4f} {y:.4f}C{there}L{back[0][0]:.4f} {back[0][1]:.4f}C{here}Z"


def _colour(grey: float) -> str:
    level = round(grey * 255)
    return "black" if level == 0 else f"#{level:02x}{level:02x}{level:02x}"


def _source_attributes(source: Source) -> str:
    pieces = []
    if source.line:
        pieces.append(f' data-line="{source.line}" data-column="{source.column}"')
    if source.part:
        pieces.append(f' data-part="{escape(source.part, quote=True)}"')
    if source.measure:
        pieces.append(f' data-measure="{source.measure}"')
    if source.beat:
        pieces.append(f' data-beat="{source.beat}"')
    return "".join(pieces)
