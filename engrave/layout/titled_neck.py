"""A neck diagram with its title over it, as it is drawn in the room that there is."""

from __future__ import annotations

from typing import NamedTuple

from engrave.fonts.text_face import text_face
from engrave.fonts.text_setting import wrap
from engrave.layout.neck_diagram import (
    NeckExtent,
    NeckLook,
    decide_fret_pitch,
    decide_lying,
    measure_neck,
    place_neck,
)
from engrave.marks.mark import Mark, Source, Text
from engrave.marks.role import Role
from engrave.style.sections import POINTS_PER_MM, Style
from engrave.theory.neck_diagram import NeckDiagram


class NeckItem(NamedTuple):
    """A diagram with its title in lines, as measured; `x` from the left of its row, `width` of the wider of the two."""

    diagram: NeckDiagram
    look: NeckLook
    extent: NeckExtent
    title: tuple[str, ...]
    width: float
    x: float = 0.0


def fit_neck(diagram: NeckDiagram, left_handed: bool, width: float, height: float, style: Style) -> NeckItem:
    """A diagram as it is drawn in `width` and `height` staff spaces, its frets nearer where they must.

    Raises ValueError that says what would be right where it has no room.
    """
    numbers = style.necks
    is_lying = decide_lying(diagram, numbers)
    usual = NeckLook(numbers, numbers.fret_pitch, is_lying, left_handed, style.words.says_h)
    title = _title(diagram, style)
    extent = measure_neck(diagram, usual)
    if not is_lying:
        height -= title_height(len(_wrapped(title, extent, width, style)), style)
    try:
        length, room = (extent.width, width) if is_lying else (extent.height, height)
        pitch = decide_fret_pitch(diagram.rows, length, room, numbers)
    except ValueError as error:
        in_mm = style.staff_space / POINTS_PER_MM
        across = "width" if is_lying else "height"
        raise ValueError(
            f"{diagram.rows} frets need {float(str(error)) * in_mm:.0f} mm and the {across} here is "
            f"{room * in_mm:.0f} mm; show fewer frets"
        ) from None
    look = usual._replace(fret_pitch=pitch)
    extent = measure_neck(diagram, look)
    if extent.width > width:
        in_mm = style.staff_space / POINTS_PER_MM
        raise ValueError(
            f"{diagram.strings} strings need {extent.width * in_mm:.0f} mm and the width here is "
            f"{width * in_mm:.0f} mm; show fewer strings, or write direction: lying"
        )
    lines = _wrapped(title, extent, width, style)
    face = text_face(style.necks.title.face)
    widest = max((face.width(line, style.necks.title.size) for line in lines), default=0.0)
    return NeckItem(diagram, look, extent, lines, max(extent.width, widest))


def fit_over_music(diagram: NeckDiagram, left_handed: bool, style: Style) -> NeckItem:
    """A diagram as it stands over music. Raises ValueError where it has no room."""
    paper, space = style.paper, style.staff_space / POINTS_PER_MM
    width = (paper.width - paper.margin_inner - paper.margin_outer) / space
    height = (paper.height - paper.margin_top - paper.margin_bottom) / space
    numbers = style.necks
    return fit_neck(
        diagram, left_handed, width * numbers.over_music_width, height * numbers.over_music_height, style
    )


def _title(diagram: NeckDiagram, style: Style) -> str:
    if diagram.title is not None:
        return diagram.title
    return style.wordbook.neck_title(diagram.words) if diagram.words is not None else ""


def _wrapped(title: str, extent: NeckExtent, width: float, style: Style) -> tuple[str, ...]:
    words = style.necks.title
    room = min(width, max(extent.width, style.necks.title_width))
    return tuple(wrap(title, words.face, words.size, room)) if title.strip() else ()


def title_height(lines: int, style: Style) -> float:
    """From the top of the letters of a title of so many lines to the neck; 0 without a title."""
    if not lines:
        return 0.0
    words = style.necks.title
    capitals = text_face(words.face).ink("H", words.size).top
    return capitals + (lines - 1) * words.size * style.necks.title_pitch + style.necks.title_gap


def place_item(
    item: NeckItem, x: float, corner: float, baseline: float, style: Style, *, source: Source
) -> list[Mark]:
    """One neck and its title in a column that starts at `x`: its upper edge at `corner`, the title's last line on `baseline`."""
    words = style.necks.title
    face = text_face(words.face)
    middle = x + item.width / 2
    marks: list[Mark] = []
    for number, line in enumerate(reversed(item.title)):
        y = baseline + number * words.size * style.necks.title_pitch
        at = middle - face.width(line, words.size) / 2
        marks.append(Text(Role.NECK_TITLE, at, y, line, words.face, words.size, source=source))
    left = middle - item.extent.width / 2 + item.extent.left
    return [*marks, *place_neck(item.diagram, item.look, left, corner, source)]
