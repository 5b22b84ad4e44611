"""The book's own pages: cover, imprint, dividers, contents and indexes; and what stands in the margins of all."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from typing import NamedTuple

from engrave.documents.method import Method
from engrave.documents.songbook import Songbook
from engrave.fonts.text_face import text_face
from engrave.fonts.text_setting import wrap, wrap_evenly
from engrave.layout.page_filling import page_costs
from engrave.layout.pages.furniture import Furniture, book_places, is_left_hand, place_furniture
from engrave.layout.text.apostrophes import printed_words
from engrave.layout.text.boxes import FlowBox, fill_columns, move_groups
from engrave.layout.text.rich_text import WordSetter
from engrave.marks.mark import Anchor, Box, Group, Link, Mark, Page, Text
from engrave.marks.role import Role
from engrave.style.sections import POINTS_PER_MM, Style
from engrave.style.wordbook import fill
from engrave.style.words import TextStyle

_LEADER = "."


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


def _numbers(row: Row) -> str:
    return ", ".join(str(page) for page in row.pages)


class BookPages:
    """Lays out the pages of a book that are no songs."""

    def __init__(self, book: Songbook | Method, style: Style) -> None:
        """Use the words of `book` and the distances of `style`."""
        self.book = book
        self._style = style
        paper = style.paper
        self.width = (paper.width - paper.margin_inner - paper.margin_outer) * POINTS_PER_MM
        self.height = (paper.height - paper.margin_top - paper.margin_bottom) * POINTS_PER_MM

    def cover(self) -> Page:
        """Title, subtitle and author."""
        prose, book, cover = self._style.prose, self.book, self._style.book
        y = self._style.paper.height * POINTS_PER_MM * self._style.book.cover_height
        marks: list[Mark] = []
        for text, kind, role, size, gap in (
            (book.title, prose.title, Role.TITLE, prose.title.size * cover.cover_title, cover.cover_pitch),
            (book.subtitle, prose.heading_1, Role.SUBTITLE, prose.heading_1.size, cover.cover_subtitle_gap),
            (
                book.author,
                prose.body,
                Role.CREDIT,
                prose.body.size * cover.cover_author,
                cover.cover_author_gap,
            ),
        ):
            for number, line in enumerate(
                wrap_evenly(printed_words(text), kind.face, size, self.width) if text else ()
            ):
                y -= size * (cover.cover_pitch if number else gap)
                x = self._left() + (self.width - text_face(kind.face).width(line, size)) / 2
                marks.append(Text(role, x, y, line, kind.face, size))
        return self._page((Group(0.0, 0.0, 1.0, tuple(marks)),))

    def imprint(self) -> Page:
        """Words at the foot of the back of the cover."""
        language = self.book.language or self._style.wordbook.language
        setter = WordSetter(self._style.prose, self._style.paragraphs, language, {})
        boxes = setter.set_blocks(self.book.imprint, self.width)
        height = sum(box.height + (box.gap if number else 0.0) for number, box in enumerate(boxes))
        y = self._style.paper.margin_bottom * POINTS_PER_MM + height
        groups: list[Group] = []
        for number, box in enumerate(boxes):
            y -= box.gap if number else 0.0
            groups.extend(move_groups(box.groups, self._left(), y))
            y -= box.height
        return self._page(tuple(groups))

    def divider(self, title: str) -> Page:
        """The title of a section of the book, alone on its page."""
        kind = self._style.prose.title
        y = self._style.paper.height * POINTS_PER_MM * self._style.book.cover_height
        marks: list[Mark] = []
        for line in wrap_evenly(printed_words(title), kind.face, kind.size, self.width):
            x = self._left() + (self.width - text_face(kind.face).width(line, kind.size)) / 2
            marks.append(Text(Role.TITLE, x, y, line, kind.face, kind.size))
            y -= kind.size * self._style.book.cover_pitch
        return self._page((Group(0.0, 0.0, 1.0, tuple(marks)),))

    def lists(self, sections: Sequence[tuple[str, str, Sequence[Row]]]) -> list[Page]:
        """Contents or indexes, (title, anchor, rows) each, one after the other over as many pages as they need.

        The heading of a group that goes on over a page is repeated.
        """
        entries: list[_Entry] = []
        for title, anchor, rows in sections:
            entries.append(_Entry(self._section_head(title, anchor, is_first=not entries)))
            entries.extend(self._entries(rows))
        costs = page_costs(self._style)._replace(ragged_fill=1.0)
        while True:
            filled = fill_columns([entry.box for entry in entries], self.height, self.height, 0.0, costs)
            starts = accumulate(len(page.boxes) for page in filled[:-1])
            torn = next((start for start in starts if entries[start].under is not None), None)
            if torn is None:
                break
            entries.insert(torn, _Entry(self._repeated(entries[torn].under)))
        top = (self._style.paper.height - self._style.paper.margin_top) * POINTS_PER_MM
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
        numbers = {_numbers(row) for row in rows}
        widest = max((text_face(body.face).width(number, body.size) for number in numbers), default=0.0)
        widest = min(widest, self.width * self._style.book.leader_end)
        for start, stop in zip(starts, [*starts[1:], len(rows)], strict=True):
            count = stop - start
            heading = rows[start] if rows[start].is_heading else None
            for number, row in enumerate(rows[start:stop]):
                keeps = (
                    count <= self._style.book.whole_group
                    or number < self._style.book.together
                    or number >= count - self._style.book.together
                )
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
        height = kind.size * self._style.book.section_pitch
        gap = 0.0 if is_first else height
        return FlowBox(height, (Group(0.0, 0.0, 1.0, marks),), gap, gap, keeps_next=True)

    def _row(self, row: Row, numbers: float = 0.0) -> FlowBox:
        """One row; all leaders end left of the widest page numbers, which take `numbers` points, or of the row's own."""
        kind = self._style.prose.heading_3 if row.is_heading else self._style.prose.body
        book = self._style.book
        size, face = kind.size, text_face(kind.face)
        height = size * self._style.prose.line_pitch
        indent = book.indent * row.depth
        number = _numbers(row)
        number_left = self.width - face.width(number, size)
        lines = wrap(
            printed_words(row.text), kind.face, size, number_left - indent - 4 * book.leader_pitch
        ) or [""]
        marks: list[Mark] = []
        for index, line in enumerate(lines):
            hanging = indent + (book.indent if index else 0.0)
            marks.append(Text(Role.CONTENTS, hanging, -size - index * height, line, kind.face, size))
        y = -size - (len(lines) - 1) * height
        if number:
            end = min(number_left, self.width - numbers) - book.leader_gap
            start = indent + (book.indent if len(lines) > 1 else 0.0) + face.width(lines[-1], size)
            marks.extend(self._leaders(start + book.leader_gap, end, y, kind))
            marks.append(Text(Role.CONTENTS, number_left, y, number, kind.face, size))
        if row.target:
            box = Box(indent, -height * len(lines), self.width, 0.0)
            marks.append(Link(Role.LINK, box, row.target))
        gap = size * book.group_gap if row.is_heading or row.apart else book.row_gap
        return FlowBox(height * len(lines), (Group(0.0, 0.0, 1.0, tuple(marks)),), gap, gap)

    def _leaders(self, left: float, right: float, y: float, kind: TextStyle) -> list[Text]:
        """Dots that stand under each other on every line."""
        pitch = self._style.book.leader_pitch
        first = -(-left // pitch) * pitch
        count = int((right - first) // pitch)
        return [
            Text(Role.LEADER, first + number * pitch, y, _LEADER, kind.face, kind.size)
            for number in range(max(0, count))
        ]

    def blank(self) -> Page:
        """A page with nothing on it."""
        return self._page(())

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the sheet in points."""
        paper = self._style.paper
        return paper.width * POINTS_PER_MM, paper.height * POINTS_PER_MM

    def furniture(self, number: int, head: str) -> Group:
        """The page number on the outer side and the running head, for the final page `number`."""
        left = self.shift(number) + self._left()
        places = book_places(number, left, self.width, self._style)
        return place_furniture(Furniture(str(number), head), places)

    def shift(self, number: int) -> float:
        """How far to the right the content of page `number` moves from where a right-hand page has it, in points."""
        paper = self._style.paper
        mirrored = is_left_hand(number, self._style)
        return (paper.margin_outer - paper.margin_inner) * POINTS_PER_MM if mirrored else 0.0

    def _left(self) -> float:
        return self._style.paper.margin_inner * POINTS_PER_MM

    def _page(self, groups: tuple[Group, ...]) -> Page:
        paper = self._style.paper
        return Page(paper.width * POINTS_PER_MM, paper.height * POINTS_PER_MM, groups)
