"""What stands in a page's margins: running head, page number, copyright."""

from __future__ import annotations

from engrave.fonts.text_face import text_face
from engrave.marks.mark import Mark, Text
from engrave.marks.role import Role
from engrave.score.structure import Score
from engrave.style.sections import POINTS_PER_MM, Style
from engrave.style.words import TextStyle


def is_left_hand(number: int, style: Style) -> bool:
    """True for left-hand pages of a document with mirrored margins: the even ones."""
    return style.paper.mirrored and number % 2 == 0


def place_furniture(
    score: Score, number: int, count: int, left: float, width: float, style: Style
) -> list[Mark]:
    """The marks of page `number` of `count`, in points; `left` and `width` are the text area's."""
    marks: list[Mark] = []
    space = style.staff_space
    words = style.words
    bottom = style.paper.margin_bottom * POINTS_PER_MM
    top = (style.paper.height - style.paper.margin_top) * POINTS_PER_MM
    if count > 1:
        outer = 0.0 if is_left_hand(number, style) else 1.0
        marks.append(
            _set(
                Role.PAGE_NUMBER,
                str(number),
                words.page_number,
                left,
                width=width,
                share=outer,
                y=bottom * words.foot_height,
                space=space,
                most=words.furniture_width,
            )
        )
    if number > 1 and score.title:
        y = top + words.running_head.size * space * words.running_head_lift
        marks.append(
            _set(
                Role.RUNNING_HEAD,
                score.title,
                words.running_head,
                left,
                width=width,
                share=0.5,
                y=y,
                space=space,
                most=words.furniture_width,
            )
        )
    if number == 1 and score.copyright:
        marks.append(
            _set(
                Role.COPYRIGHT,
                score.copyright,
                words.copyright,
                left,
                width=width,
                share=0.5,
                y=bottom * words.foot_height,
                space=space,
                most=words.furniture_width,
            )
        )
    return marks


def _set(
    role: Role,
    text: str,
    style: TextStyle,
    left: float,
    width: float,
    share: float,
    y: float,
    space: float,
    most: float,
) -> Text:
    size = style.size * space
    natural = text_face(style.face).width(text, size)
    if natural > width * most:
        size *= width * most / natural
        natural = width * most
    return Text(role, left + (width - natural) * share, y, text, style.face, size)
