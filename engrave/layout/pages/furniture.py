"""What stands in a page's margins: page number, running head, copyright. One painter for scores, handouts and books."""

from typing import NamedTuple

from engrave.fonts.text_face import text_face
from engrave.layout.text.apostrophes import printed_words
from engrave.marks.mark import Group, Mark, Text
from engrave.marks.role import Role
from engrave.style.sections import POINTS_PER_MM, Style
from engrave.style.words import TextStyle


class Furniture(NamedTuple):
    """The words in the margins of one page; "" for nothing."""

    number: str = ""
    head: str = ""
    foot: str = ""


class FurniturePlaces(NamedTuple):
    """Where they stand, in points: the text area, the height of the foot's line and of the running head.

    Shares of the free width: 0 left, 0.5 centred, 1 right. Sizes of text in points.
    """

    left: float
    width: float
    foot_y: float
    head_y: float
    number_share: float
    head_share: float
    number_style: TextStyle
    head_style: TextStyle
    foot_style: TextStyle
    most: float
    """Words that would take more than this share of the width are made smaller."""


def is_left_hand(number: int, style: Style) -> bool:
    """True for left-hand pages of a document with mirrored margins: the even ones."""
    return style.paper.mirrored and number % 2 == 0


def decide_number_share(is_left: bool) -> float:
    """Page numbers stand on the outer side: at the left of left-hand pages, else at the right (common practice, no source)."""
    return 0.0 if is_left else 1.0


def decide_foot(share: float, number: TextStyle, style: Style) -> float:
    """The height of the foot's line in points: at `share` of the bottom margin, or lower, clear of the music over it.

    A page number read as a fret of the last tab misleads (house rule). It stays on what printers can print, whatever the
    margin. `number` is in points.
    """
    bottom, words = style.paper.margin_bottom, style.words
    top = text_face(number.face).ink("0", number.size).top
    free = (bottom - words.foot_clearance) * POINTS_PER_MM - top
    return max(words.foot_least * POINTS_PER_MM, min(bottom * POINTS_PER_MM * share, free))


def decide_furniture(number: int, count: int, title: str, copyright_line: str = "") -> Furniture:
    """What the margins of page `number` of `count` say: numbers where there are several pages.

    The title is repeated on every page but the first, which alone has the copyright (common practice, no source).
    """
    return Furniture(
        number=str(number) if count > 1 else "",
        head=printed_words(title) if number > 1 else "",
        foot=printed_words(copyright_line) if number == 1 else "",
    )


def score_places(number: int, left: float, width: float, style: Style) -> FurniturePlaces:
    """Where the words stand on page `number` of a score whose text area starts at `left`, in points."""
    words, paper = style.words, style.paper
    head = _in_points(words.running_head, style)
    return FurniturePlaces(
        left=left,
        width=width,
        foot_y=decide_foot(words.foot_height, _in_points(words.page_number, style), style),
        head_y=(paper.height - paper.margin_top) * POINTS_PER_MM + head.size * words.running_head_lift,
        number_share=decide_number_share(is_left_hand(number, style)),
        head_share=0.5,
        number_style=_in_points(words.page_number, style),
        head_style=head,
        foot_style=_in_points(words.copyright, style),
        most=words.furniture_width,
    )


def book_places(number: int, left: float, width: float, style: Style) -> FurniturePlaces:
    """Where the words stand on page `number` of a book, whose even pages are left-hand ones in any style."""
    paper = style.paper
    return score_places(number, left, width, style)._replace(
        head_y=(paper.height - paper.margin_top * style.book.head_height) * POINTS_PER_MM,
        number_share=decide_number_share(number % 2 == 0),
    )


def handout_places(number: int, left: float, width: float, style: Style) -> FurniturePlaces:
    """Where the words stand on page `number` of a handout: the title in the foot, opposite the number."""
    foot = decide_foot(style.prose.foot_height, style.prose.about, style)
    share = decide_number_share(is_left_hand(number, style))
    about = style.prose.about
    return FurniturePlaces(
        left=left,
        width=width,
        foot_y=foot,
        head_y=foot,
        number_share=share,
        head_share=1.0 - share,
        number_style=about,
        head_style=about,
        foot_style=about,
        most=style.words.furniture_width,
    )


def place_furniture(said: Furniture, places: FurniturePlaces) -> Group:
    """The words in the margins of one page, in points."""
    pieces = (
        (Role.PAGE_NUMBER, said.number, places.number_style, places.number_share, places.foot_y),
        (Role.RUNNING_HEAD, said.head, places.head_style, places.head_share, places.head_y),
        (Role.COPYRIGHT, said.foot, places.foot_style, 0.5, places.foot_y),
    )
    marks: list[Mark] = []
    for role, text, kind, share, y in pieces:
        if not text:
            continue
        size = kind.size
        width = text_face(kind.face).width(text, size)
        most = places.width * places.most
        if width > most:
            size *= most / width
            width = most
        marks.append(Text(role, places.left + (places.width - width) * share, y, text, kind.face, size))
    return Group(0.0, 0.0, 1.0, tuple(marks))


def _in_points(kind: TextStyle, style: Style) -> TextStyle:
    return kind._replace(size=kind.size * style.staff_space)
