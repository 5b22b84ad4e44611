"""The book's own pages: cover, imprint, dividers, contents and indexes; and what stands in the margins of all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import accumulate
from typing import NamedTuple

from engrave.documents.songbook import Songbook
from engrave.fonts.text_face import text_face
from engrave.fonts.text_setting import wrap
from engrave.layout.document import page_costs
from engrave.layout.text.boxes import FlowBox, fill_columns, move_groups
from engrave.layout.text.rich_text import WordSetter
from engrave.marks.mark import Anchor, Box, Group, Link, Mark, Page, Text
from engrave.marks.role import Role
from engrave.style.sections import Style
from engrave.style.wordbook import fill
from engrave.style.words import TextStyle

_POINTS = 72 / 25.4
_COVER_HEIGHT = 0.62
"""Where the title stands on the cover, as a share of the sheet's height (house rule)."""
_COVER_SIZE = 1.6
"""Size of the cover's title, as a share of the title's (house rule)."""
_LEADER_GAP = 5.0
"""White at both ends of a row of leaders, in points (house rule)."""
_LEADER = "."
_LEADER_PITCH = 4.5
"""Distance of the dots of a leader, in points (house rule)."""
_INDENT = 14.0
"""Indent of songs under the section they belong to, in points (house rule)."""


_WHOLE = 9
"""Groups of so few rows, the heading among them, are not torn apart (house rule)."""
_TOGETHER = 3
"""Of a longer group so many rows stay together before and after a page break (house rule)."""


class Row(NamedTuple):
    """One line of contents or of an index. `target` is what a link leads to; headings start a group.

    `apart`: white stands over it as over a heading.
    """

    text: str
    pages: tuple[int, ...] = ()
    target: str = ""
    depth: int = 0
    is_heading: bool = False
    apart: bool = False


class _Entry(NamedTuple):
    """A box of a list, and the heading of the group that it goes on with, if it does."""

    box: FlowBox
    under: Row | None = None


class BookPages:
    """Lays out the pages of a book that are no songs."""

    def __init__(self, book: Songbook, style: Style) -> None:
        """Use the words of `book` and the distances of `style`."""
        self._book = book
        self._style = style
        paper = style.paper
        self.width = (paper.width - paper.margin_inner - paper.margin_outer) * _POINTS
        self.height = (paper.height - paper.margin_top - paper.margin_bottom) * _POINTS

    def cover(self) -> Page:
        """Title, subtitle and author."""
        prose, book = self._style.prose, self._book
        y = self._style.paper.height * _POINTS * _COVER_HEIGHT
        marks: list[Mark] = []
        for text, kind, role, size, gap in (
            (book.title, prose.title, Role.TITLE, prose.title.size * _COVER_SIZE, 1.2),
            (book.subtitle, prose.heading_1, Role.SUBTITLE, prose.heading_1.size, 1.6),
            (book.author, prose.body, Role.CREDIT, prose.body.size * 1.2, 3.0),
        ):
            for number, line in enumerate(wrap(text, kind.face, size, self.width) if text else ()):
                y -= size * (1.2 if number else gap)
                x = self._left() + (self.width - text_face(kind.face).width(line, size)) / 2
                marks.append(Text(role, x, y, line, kind.face, size))
        return self._page((Group(0.0, 0.0, 1.0, tuple(marks)),))

    def imprint(self) -> Page:
        """Words at the foot of the back of the cover."""
        setter = WordSetter(self._style.prose, self._book.language or self._style.wordbook.language, {})
        boxes = setter.set_blocks(self._book.imprint, self.width)
        height = sum(box.height + (box.gap if number else 0.0) for number, box in enumerate(boxes))
        y = self._style.paper.margin_bottom * _POINTS + height
        groups: list[Group] = []
        for number, box in enumerate(boxes):
            y -= box.gap if number else 0.0
            groups.extend(move_groups(box.groups, self._left(), y))
            y -= box.height
        return self._page(tuple(groups))

    def divider(self, title: str) -> Page:
        """The title of a section of the book, alone on its page."""
        kind = self._style.prose.title
        y = self._style.paper.height * _POINTS * _COVER_HEIGHT
        marks: list[Mark] = []
        for line in wrap(title, kind.face, kind.size, self.width):
            x = self._left() + (self.width - text_face(kind.face).width(line, kind.size)) / 2
            marks.append(Text(Role.TITLE, x, y, line, kind.face, kind.size))
            y -= kind.size * 1.2
        return self._page((Group(0.0, 0.0, 1.0, tuple(marks)),))

    def lists(self, sections: Sequence[tuple[str, str, Sequence[Row]]]) -> list[Page]:
        """Contents or indexes, (title, anchor, rows) each, one after the other over as many pages as they need.

        The heading of a group that goes on over a page is repeated.
        """
        entries: list[_Entry] = []
        for title, anchor, rows in sections:
            entries.append(_Entry(self._section_head(title, anchor, is_first=not entries)))
            entries.extend(self._entries(rows))
        costs = replace(page_costs(self._style), ragged_fill=1.0)
        while True:
            filled = fill_columns([entry.box for entry in entries], self.height, self.height, 0.0, costs)
            starts = accumulate(len(page.boxes) for page in filled[:-1])
            torn = next((start for start in starts if entries[start].under is not None), None)
            if torn is None:
                break
            entries.insert(torn, _Entry(self._repeated(entries[torn].under)))
        top = (self._style.paper.height - self._style.paper.margin_top) * _POINTS
        return [
            self._page(
                tuple(g for box, y in page.boxes for g in move_groups(box.groups, self._left(), top - y))
            )
            for page in filled
        ]

    def _entries(self, rows: Sequence[Row]) -> list[_Entry]:
        """Rows as boxes, those of one group kept together."""
        starts = [index for index, row in enumerate(rows) if row.is_heading or row.apart or index == 0]
        entries: list[_Entry] = []
        body = self._style.prose.body
        numbers = {str(page) for row in rows for page in row.pages}
        widest = max((text_face(body.face).width(number, body.size) for number in numbers), default=0.0)
        for start, stop in zip(starts, [*starts[1:], len(rows)], strict=True):
            count = stop - start
            heading = rows[start] if rows[start].is_heading else None
            for number, row in enumerate(rows[start:stop]):
                keeps = count <= _WHOLE or number < _TOGETHER or number >= count - _TOGETHER
                box = self._row(row, widest)._replace(keeps_next=keeps and number + 1 < count)
                entries.append(_Entry(box, heading if number else None))
        return entries

    def _repeated(self, heading: Row | None) -> FlowBox:
        """The heading of a group at the top of the page on which it goes on."""
        assert heading is not None
        text = fill(self._style.wordbook.page.continued, heading.text)
        return self._row(Row(text, is_heading=True))._replace(keeps_next=True, new_page=True)

    def _section_head(self, title: str, anchor: str, is_first: bool) -> FlowBox:
        kind = self._style.prose.heading_1
        marks = (
            Text(Role.HEADING, 0.0, -kind.size, title, kind.face, kind.size),
            Anchor(Role.LINK, 0.0, 0.0, anchor),
        )
        gap = 0.0 if is_first else kind.size * 1.8
        return FlowBox(kind.size * 1.8, (Group(0.0, 0.0, 1.0, marks),), gap, gap, keeps_next=True)

    def _row(self, row: Row, numbers: float = 0.0) -> FlowBox:
        """One row; leaders end left of the widest page number, which takes `numbers` points, or of the row's own."""
        kind = self._style.prose.heading_3 if row.is_heading else self._style.prose.body
        size, face = kind.size, text_face(kind.face)
        height = size * self._style.prose.line_pitch
        indent = _INDENT * row.depth
        number = ", ".join(str(page) for page in row.pages)
        number_left = self.width - face.width(number, size)
        lines = wrap(row.text, kind.face, size, number_left - indent - 4 * _LEADER_PITCH) or [""]
        marks: list[Mark] = []
        for index, line in enumerate(lines):
            hanging = indent + (_INDENT if index else 0.0)
            marks.append(Text(Role.CONTENTS, hanging, -size - index * height, line, kind.face, size))
        y = -size - (len(lines) - 1) * height
        if number:
            end = min(number_left, self.width - numbers) - _LEADER_GAP
            start = indent + (_INDENT if len(lines) > 1 else 0.0) + face.width(lines[-1], size)
            marks.extend(self._leaders(start + _LEADER_GAP, end, y, kind))
            marks.append(Text(Role.CONTENTS, number_left, y, number, kind.face, size))
        if row.target:
            box = Box(indent, -height * len(lines), self.width, 0.0)
            marks.append(Link(Role.LINK, box, row.target))
        gap = size * 0.9 if row.is_heading or row.apart else 1.0
        return FlowBox(height * len(lines), (Group(0.0, 0.0, 1.0, tuple(marks)),), gap, gap)

    def _leaders(self, left: float, right: float, y: float, kind: TextStyle) -> list[Text]:
        """Dots that stand under each other on every line."""
        first = -(-left // _LEADER_PITCH) * _LEADER_PITCH
        count = int((right - first) // _LEADER_PITCH)
        return [
            Text(Role.LEADER, first + number * _LEADER_PITCH, y, _LEADER, kind.face, kind.size)
            for number in range(max(0, count))
        ]

    def blank(self) -> Page:
        """A page with nothing on it."""
        return self._page(())

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the sheet in points."""
        paper = self._style.paper
        return paper.width * _POINTS, paper.height * _POINTS

    def furniture(self, number: int, head: str) -> Group:
        """The page number on the outer side and the running head, for the final page `number`."""
        style, space = self._style, self._style.staff_space
        paper, words = style.paper, style.words
        left = self.shift(number) + self._left()
        marks: list[Mark] = []
        bottom = paper.margin_bottom * _POINTS * 0.55
        size = words.page_number.size * space
        text = str(number)
        width = text_face(words.page_number.face).width(text, size)
        x = left if self.is_left(number) else left + self.width - width
        marks.append(Text(Role.PAGE_NUMBER, x, bottom, text, words.page_number.face, size))
        if head:
            size = words.running_head.size * space
            shown = wrap(head, words.running_head.face, size, self.width * 0.9)[0]
            width = text_face(words.running_head.face).width(shown, size)
            y = (paper.height - paper.margin_top * 0.55) * _POINTS
            marks.append(
                Text(
                    Role.RUNNING_HEAD,
                    left + (self.width - width) / 2,
                    y,
                    shown,
                    words.running_head.face,
                    size,
                )
            )
        return Group(0.0, 0.0, 1.0, tuple(marks))

    def is_left(self, number: int) -> bool:
        """True for left-hand pages: the even ones."""
        return number % 2 == 0

    def shift(self, number: int) -> float:
        """How far to the right the content of page `number` moves from where a right-hand page has it, in points."""
        paper = self._style.paper
        mirrored = paper.mirrored and self.is_left(number)
        return (paper.margin_outer - paper.margin_inner) * _POINTS if mirrored else 0.0

    def _left(self) -> float:
        return self._style.paper.margin_inner * _POINTS

    def _page(self, groups: tuple[Group, ...]) -> Page:
        paper = self._style.paper
        return Page(paper.width * _POINTS, paper.height * _POINTS, groups)
