"""Headings, paragraphs and lists as boxes: a line to a box, so that pages can be filled line by line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from engrave.fonts.text_face import text_face
from engrave.layout.text.boxes import FlowBox, join_down, move_groups
from engrave.layout.text.lines import TextFaces, TextLine, break_paragraph
from engrave.marks.mark import Box, Group, Line, Link, Mark, Polygon, Text
from engrave.marks.role import Role
from engrave.score.rich_text import PAGE, Block, Heading, ListBlock, Paragraph, Quote, Run, Typed
from engrave.style.sheets import ParagraphStyle, ProseStyle
from engrave.style.words import TextStyle

_ITEM_SIGN = "•"


class WordSetter:
    """Sets words in one language. `names` gives the words that an empty link to an example is printed as."""

    def __init__(
        self, style: ProseStyle, paragraphs: ParagraphStyle, language: str, names: Mapping[str, str]
    ) -> None:
        """Use the faces, sizes and distances of `style`, and break lines as `paragraphs` says."""
        self._style = style
        self._paragraphs = paragraphs
        self._language = language
        self._names = names

    def set_blocks(self, blocks: Sequence[Block], width: float, indent: float = 0.0) -> list[FlowBox]:
        """The boxes of `blocks` in a column of `width` points; everything stands `indent` to the right."""
        boxes: list[FlowBox] = []
        for block in blocks:
            boxes.extend(self._set_block(block, width, indent))
        return boxes

    def _set_block(self, block: Block, width: float, indent: float) -> list[FlowBox]:
        style = self._style
        if isinstance(block, Heading):
            return self._set_heading(block, width, indent)
        if isinstance(block, Paragraph):
            return self.set_paragraph(block.runs, width, indent, style.body, Role.BODY, style.paragraph_gap)
        if isinstance(block, ListBlock):
            return self._set_list(block, width, indent)
        if isinstance(block, Quote):
            return self.set_blocks(block.blocks, width, indent + style.list_indent)
        if isinstance(block, Typed):
            return self.set_typed(block.lines, width, indent)
        line = Line(Role.FORM_LINE, indent, 0.0, width, 0.0, style.rule)
        return [
            FlowBox(
                style.rule,
                (Group(0.0, 0.0, 1.0, (line,)),),
                style.paragraph_gap * style.rule_gap,
                style.paragraph_gap,
            )
        ]

    def _set_heading(self, block: Heading, width: float, indent: float) -> list[FlowBox]:
        """A heading stays whole, and with what follows it."""
        style = self._style
        kind = (style.heading_1, style.heading_2, style.heading_3)[min(block.level, 3) - 1]
        faces = TextFaces(kind.face, kind.face, kind.face, kind.face, kind.face)
        lines = break_paragraph(
            self._resolve(block.runs),
            width - indent,
            faces,
            kind.size,
            language="",
            style=self._paragraphs,
            justified=False,
        )
        boxes = [
            self._line_box(line, kind, indent, Role.HEADING, 0.0 if number else style.heading_gap)
            for number, line in enumerate(lines)
        ]
        return [box._replace(keeps_next=True, grows=number == 0) for number, box in enumerate(boxes)]

    def set_paragraph(
        self, runs: Sequence[Run], width: float, indent: float, kind: TextStyle, role: Role, gap: float
    ) -> list[FlowBox]:
        """A paragraph, line by line; its first two and its last two lines stay together."""
        style = self._style
        bold = kind.face if kind.face.endswith("bold") else f"{kind.face}-bold"
        faces = TextFaces(kind.face, bold, f"{kind.face}-italic", f"{kind.face}-bold-italic", style.code_face)
        lines = break_paragraph(
            self._resolve(runs),
            width - indent,
            faces,
            kind.size,
            language=self._language,
            style=self._paragraphs,
            justified=style.justified,
        )
        count = len(lines)
        return [
            self._line_box(line, kind, indent, role, 0.0 if number else gap)._replace(
                keeps_next=number + 1 < count and (number == 0 or number == count - 2)
            )
            for number, line in enumerate(lines)
        ]

    def _set_list(self, block: ListBlock, width: float, indent: float) -> list[FlowBox]:
        style = self._style
        boxes: list[FlowBox] = []
        inner = indent + style.list_indent
        for number, item in enumerate(block.items):
            sign = f"{block.start + number}." if block.ordered else _ITEM_SIGN
            rows = self.set_blocks(item, width, inner)
            if not rows:
                continue
            size = style.body.size
            x = inner - style.list_indent * style.list_sign_gap - text_face(style.body.face).width(sign, size)
            mark = Text(Role.LIST_SIGN, x, -self._ascent(style.body), sign, style.body.face, size)
            first = rows[0]
            gap = first.gap if number == 0 else style.item_gap
            rows[0] = first._replace(
                groups=(*first.groups, Group(0.0, 0.0, 1.0, (mark,))),
                gap=gap,
                gap_least=gap * style.least_gap,
            )
            boxes.extend(rows)
        return boxes

    def set_typed(self, lines: Sequence[str], width: float, indent: float = 0.0) -> list[FlowBox]:
        """Lines as they are typed, on a tint; those that are too long go on in the next line, further in."""
        style = self._style
        cell = text_face(style.typed.face).width("0", style.typed.size)
        room = max(1, int((width - indent - 2 * style.frame_pad) / cell))
        rows = [piece for line in lines for piece in wrap_typed(line, room, style.typed_turn)]
        pieces = decide_typed_pieces(rows, style.typed_lines)
        boxes = [
            self._typed_box(piece, width, indent, cell, (piece is pieces[0], piece is pieces[-1]))
            for piece in pieces
        ]
        gap = style.block_gap * style.least_gap
        return [boxes[0]._replace(gap=gap, gap_least=gap * style.least_gap), *boxes[1:]]

    def _typed_box(
        self, rows: Sequence[str], width: float, indent: float, cell: float, ends: tuple[bool, bool]
    ) -> FlowBox:
        """A piece of what is typed; `ends`: whether it is the first and the last, which have white at their edge."""
        style = self._style
        size, pad = style.typed.size, style.frame_pad
        top, bottom = (pad if end else 0.0 for end in ends)
        pitch = size * style.typed_pitch
        height = len(rows) * pitch + top + bottom
        corners = ((indent, 0.0), (width, 0.0), (width, -height), (indent, -height))
        marks: list[Mark] = [Polygon(Role.FRAME, corners, grey=style.frame_grey)]
        for number, row in enumerate(rows):
            words = row.lstrip(" ")
            x = indent + pad + (len(row) - len(words)) * cell
            y = -top - number * pitch - pitch * style.ascent
            if words:
                marks.append(Text(Role.BODY, x, y, words, style.typed.face, size))
        return FlowBox(height, (Group(0.0, 0.0, 1.0, tuple(marks)),))

    def _line_box(self, line: TextLine, kind: TextStyle, indent: float, role: Role, gap: float) -> FlowBox:
        ascent, height = self._ascent(kind), kind.size * self._style.line_pitch
        marks: list[Mark] = []
        for piece in line.pieces:
            if piece.text:
                marks.append(Text(role, indent + piece.x, -ascent, piece.text, piece.face, kind.size))
            if piece.link:
                box = Box(
                    indent + piece.x,
                    -ascent - kind.size * self._style.link_drop,
                    indent + piece.x + piece.width,
                    -ascent + kind.size * (1 - self._style.link_drop),
                )
                marks.append(Link(Role.LINK, box, piece.link.removeprefix("#").removeprefix(PAGE)))
        return FlowBox(
            height, (Group(0.0, 0.0, 1.0, tuple(marks)),), gap, gap * self._style.least_gap, grows=False
        )

    def _ascent(self, kind: TextStyle) -> float:
        """From the top of a line to its baseline."""
        return kind.size * (self._style.line_pitch + 1) / 2 * self._style.ascent

    def _resolve(self, runs: Sequence[Run]) -> list[Run]:
        """Runs with the words of links that have none of their own filled in."""
        return [
            run._replace(text=self._names.get(run.link[1:], run.text))
            if run.link.startswith("#") and run.text == run.link
            else run
            for run in runs
        ]


def decide_typed_pieces(rows: Sequence[str], most: int) -> list[Sequence[str]]:
    """Rows in pieces of at most `most`, between which a page may end.

    A piece ends at a blank row of its later half where there is one (common practice, no source).
    """
    pieces: list[Sequence[str]] = []
    start = 0
    while len(rows) - start > most:
        blanks = [row for row in range(start + most // 2, start + most) if not rows[row].strip()]
        stop = blanks[-1] + 1 if blanks else start + most
        pieces.append(rows[start:stop])
        start = stop
    return [*pieces, rows[start:]]


def wrap_typed(line: str, room: int, turn: int) -> list[str]:
    """A typed line in rows of at most `room` letters, broken at blanks where there are some; rows after the first stand `turn` letters further in."""
    inset = len(line) - len(line.lstrip(" "))
    rows = []
    while len(line) > room:
        cut = line.rfind(" ", inset + 1, room + 1)
        cut = cut if cut > inset else room
        rows.append(line[:cut].rstrip())
        inset = min(inset if rows[1:] else inset + turn, room // 2)
        line = " " * inset + line[cut:].lstrip()
    return [*rows, line]


def set_caption(
    setter: WordSetter, text: str, width: float, style: ProseStyle, is_centred: bool = False
) -> FlowBox:
    """A caption, whole, over `width` points; the lines of one under a centred picture are centred, too."""
    boxes = setter.set_paragraph((Run(text),), width, 0.0, style.caption, Role.CAPTION, style.caption_gap)
    if is_centred:
        boxes = [
            box._replace(groups=move_groups(box.groups, (width - _right_edge(box)) / 2, 0.0)) for box in boxes
        ]
    return join_down(boxes)


def _right_edge(box: FlowBox) -> float:
    """Where the text of one line ends."""
    texts = (mark for group in box.groups for mark in group.marks if isinstance(mark, Text))
    return max(
        (text.x + text_face(text.face).width(text.text.rstrip(), text.size) for text in texts), default=0.0
    )
