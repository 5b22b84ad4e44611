"""Each item of a handout as boxes in a column; a score is a box for each of its systems."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from engrave.documents import handout as records
from engrave.documents.handout import Item, LeftOut
from engrave.documents.paper import Paper
from engrave.fonts.symbols import MusicFace
from engrave.layout.blank_sheet import place_systems
from engrave.layout.explained_signs import place_explained_signs
from engrave.layout.handout.difficulty_strip import place_difficulty
from engrave.layout.handout.recordings import place_recording, put_beside
from engrave.layout.music_setter import MusicSetter, Sheet, measure_sheet
from engrave.layout.pages.grid_rows import place_grid_rows
from engrave.layout.pages.neck_rows import place_neck_rows
from engrave.layout.staves import plan_staves
from engrave.layout.systems.system import System
from engrave.layout.text.boxes import FlowBox, join_beside, join_down
from engrave.layout.text.rich_text import WordSetter, set_caption
from engrave.layout.titled_neck import NeckItem, fit_neck
from engrave.marks.mark import Anchor, Box, Group, Line, Picture, Polygon, Source, Text
from engrave.marks.role import Role
from engrave.score.seen import seen_in
from engrave.score.structure import Grids, Score, View
from engrave.style.sections import POINTS_PER_MM, Style
from engrave.theory.instrument import Instrument


def set_music(
    score: Score,
    view: View | None,
    width: float,
    style: Style,
    face: MusicFace,
    left_out: LeftOut | None = None,
) -> list[FlowBox]:
    """The systems of `score` in a column of `width` points, each a box; what is `left_out` is for somebody to write in.

    Raises MusicTooWide.
    """
    setter, sheet = _prepare(score, view, width, style, face, left_out=left_out)
    systems, _ = setter.build(setter.break_lines())
    shift = sheet.bracket_room * sheet.space
    return [*_grids_at_top(score, width, style), *(set_system(s, sheet.space, shift, style) for s in systems)]


def _grids_at_top(score: Score, width: float, style: Style) -> list[FlowBox]:
    """The shapes of the chords that occur, over music that wants them at its head; nothing for other music."""
    named = {chord.name for part in score.parts for content in part.measures for chord in content.chords}
    shapes = [shape for shape in score.shapes if shape.name in named or not named]
    if score.grids is not Grids.TOP or not shapes:
        return []
    space = style.staff_space
    marks, height = place_grid_rows(shapes, score.left_handed, width / space, 0.0, style)
    return [FlowBox(height * space, (Group(0.0, 0.0, space, tuple(marks)),), keeps_next=True)]


def music_fits(item: records.Music, width: float, style: Style, face: MusicFace) -> bool:
    """True when no measure of an example is wider than `width` points."""
    setter, _ = _prepare(item.score, item.view, width, style, face, left_out=item.left_out)
    return setter.fits(setter.break_lines())


def _prepare(
    score: Score,
    view: View | None,
    width: float,
    style: Style,
    face: MusicFace,
    left_out: LeftOut | None,
) -> tuple[MusicSetter, Sheet]:
    view = View.TAB if left_out is LeftOut.RHYTHM else view
    score = seen_in(score, view)
    plans = plan_staves(score, view, style.staff)
    if left_out in (LeftOut.FRETS, LeftOut.NOTES):
        of_tabs = left_out is LeftOut.FRETS
        plans = tuple(replace(plan, is_blank=plan.is_tab is of_tabs) for plan in plans)
    sheet = measure_sheet(plans, style, width)
    return MusicSetter(score, plans, style, face, sheet), sheet


def set_system(system: System, space: float, shift: float, style: Style) -> FlowBox:
    """One system as a box; `space` is a staff space in points."""
    groups = tuple(
        Group(shift + layer.x * space, layer.y * space, space * layer.scale, layer.marks)
        for layer in system.layers
    )
    least, gap = system.gaps(style.breaking)
    measures = tuple((shift + left * space, shift + right * space) for left, right in system.measures)
    return FlowBox(
        system.height * space, groups, gap * space, least * space, system.keeps_next, measures=measures
    )


class ItemSetter:
    """Sets the items of one handout in a column of `width` points."""

    def __init__(
        self,
        words: WordSetter,
        examples: Mapping[str, Score],
        width: float,
        style: Style,
        spoken: Mapping[str, Style],
        face: MusicFace,
        strings: Instrument | None = None,
        prefix: str = "",
    ) -> None:
        """`examples` are the examples of the signs explained, by sign; `spoken` is the style by the music's language.

        `strings` are those of the music. `prefix` stands before the numbers of examples: "3." in the third chapter.
        """
        self._words = words
        self._examples = examples
        self._width = width
        self._style = style
        self._spoken = spoken
        self._face = face
        self._strings = strings
        self._prefix = prefix

    def set(self, item: Item) -> list[FlowBox]:
        """The boxes of one item."""
        if isinstance(item, records.Words):
            return self._words.set_blocks(item.blocks, self._width)
        if isinstance(item, records.Music):
            return self._music(item, self._width)
        if isinstance(item, records.TypedMusic):
            return self._typed(item)
        if isinstance(item, records.Necks):
            return self._necks(item, self._width)
        if isinstance(item, records.Beside):
            return self._beside(item)
        if isinstance(item, records.BoxedText):
            return [self._note(item)]
        if isinstance(item, records.Picture):
            return [self._picture(item)]
        if isinstance(item, records.Signs):
            return self._signs()
        if isinstance(item, records.Blank):
            return self._blank(item)
        if isinstance(item, records.Shapes):
            return [self._shapes(item)]
        return [FlowBox(0.0, (), new_page=True)]

    def _music(self, item: records.Music, width: float) -> list[FlowBox]:
        """The systems, the last one together with the caption."""
        aside = place_recording(item.recording, self._style) if item.recording is not None else None
        room = width - (aside.width + aside.quiet if aside is not None else 0.0)
        spoken = self._spoken[item.score.language]
        systems = set_music(item.score, item.view, room, spoken, self._face, left_out=item.left_out)
        if aside is not None:
            first = next(
                index for index, box in enumerate(systems) if box.measures
            )  # under grids at the head
            systems[first] = put_beside(systems[first], aside, width)
        gap = self._style.prose.block_gap
        target = link_target(item.name)
        systems[0] = systems[0]._replace(
            groups=(*systems[0].groups, *target), gap=gap, gap_least=gap * self._style.prose.least_gap
        )
        if len(systems) <= self._style.prose.whole_systems:
            systems = [box._replace(keeps_next=True) for box in systems[:-1]] + systems[-1:]
            systems = [box._replace(grows=number == 0) for number, box in enumerate(systems)]
        if item.difficulty:
            systems[-1] = systems[-1]._replace(keeps_next=True)
            lines = [box.measures for box in systems]
            strip = place_difficulty(item.difficulty, item.level, lines, self._style)
            systems.append(strip._replace(grows=False))
        if item.number:
            caption = set_caption(self._words, self._caption(item), width, self._style.prose)
            caption = caption._replace(grows=False)
            systems[-1] = systems[-1]._replace(keeps_next=True)
            systems.append(caption)
        return systems

    def _typed(self, item: records.TypedMusic) -> list[FlowBox]:
        """What is typed, and the music with it."""
        typed = self._words.set_typed(item.lines, self._width)
        if item.music is None:
            return typed
        return [*typed[:-1], typed[-1]._replace(keeps_next=True), *self._music(item.music, self._width)]

    def _necks(
        self, item: records.Necks, width: float, beside: Sequence[records.Necks] = ()
    ) -> list[FlowBox]:
        """Rows of necks, the last one together with the caption; in line with those `beside` it.

        Raises ValueError where one has no room.
        """
        style = self._style
        space, gap = style.staff_space, style.prose.block_gap
        items = fit_necks(item, width, style)
        lines = [len(neck.title) for other in beside for neck in fit_necks(other, width, style)[:1]]
        boxes = [
            FlowBox(height * space, (Group(0.0, 0.0, space, tuple(marks)),), style.necks.row_gap * space)
            for marks, height in place_neck_rows(
                items, width / space, style, place_of(item), max(lines, default=0)
            )
        ]
        least = gap * style.prose.least_gap
        target = link_target(item.name)
        boxes[0] = boxes[0]._replace(groups=(*boxes[0].groups, *target), gap=gap, gap_least=least)
        if item.number:
            boxes[-1] = boxes[-1]._replace(keeps_next=True)
            boxes.append(set_caption(self._words, self._caption(item), width, style.prose))
        return boxes

    def _caption(self, item: records.Music | records.Necks) -> str:
        book = self._style.wordbook
        word = f"{book.page.example} {self._prefix}{item.number}"
        return book.labelled(word, item.caption) if item.caption else word

    def _beside(self, item: records.Beside) -> list[FlowBox]:
        """Examples in columns of one width, each row of them never torn apart; as many in a row as have room."""
        gap, gap_above = self._style.prose.beside_gap, self._style.prose.block_gap
        count = self._columns(item)
        width = beside_width(self._width, count, self._style)
        boxes = []
        for first in range(0, len(item.items), count):
            row = item.items[first : first + count]
            necks = [example for example in row if isinstance(example, records.Necks)]
            columns = [
                (
                    join_down(
                        self._music(example, width)
                        if isinstance(example, records.Music)
                        else self._necks(example, width, necks)
                    ),
                    number * (width + gap),
                )
                for number, example in enumerate(row)
            ]
            least = gap_above * self._style.prose.least_gap
            boxes.append(join_beside(columns)._replace(gap=gap_above, gap_least=least))
        return boxes

    def _columns(self, item: records.Beside) -> int:
        """How many examples stand in a row: all, or as many as leave the rows alike, so that no measure is too wide."""
        total = len(item.items)
        music = [example for example in item.items if isinstance(example, records.Music)]
        for rows in range(1, total):
            count = -(-total // rows)
            width = beside_width(self._width, count, self._style)
            if all(
                music_fits(example, width, self._spoken[example.score.language], self._face)
                for example in music
            ):
                return count
        return 1

    def _note(self, item: records.BoxedText) -> FlowBox:
        """Words on a tint, with what they are over them."""
        prose = self._style.prose
        pad = prose.frame_pad
        inner = self._width - 2 * pad
        boxes = self._words.set_blocks(item.blocks, inner)
        say = self._style.wordbook.page
        label = {"tip": say.tip, "caution": say.caution}[item.kind]
        size = prose.heading_3.size
        head = FlowBox(
            size * prose.line_pitch,
            (Group(0.0, 0.0, 1.0, (Text(Role.HEADING, 0.0, -size, label, prose.heading_3.face, size),)),),
        )
        content = join_down([head, *boxes])
        height = content.height + 2 * pad
        tint = Polygon(
            Role.FRAME,
            ((0.0, 0.0), (self._width, 0.0), (self._width, -height), (0.0, -height)),
            grey=prose.frame_grey,
        )
        below: list[Polygon] = [tint]
        if item.kind == "caution":
            corners = (
                (0.0, 0.0),
                (self._style.prose.caution_bar, 0.0),
                (self._style.prose.caution_bar, -height),
                (0.0, -height),
            )
            below.append(Polygon(Role.FRAME, corners))
        words = tuple(group._replace(x=group.x + pad, y=group.y - pad) for group in content.groups)
        gap = prose.block_gap
        return FlowBox(
            height, (Group(0.0, 0.0, 1.0, tuple(below)), *words), gap, gap * self._style.prose.least_gap
        )

    def _picture(self, item: records.Picture) -> FlowBox:
        prose = self._style.prose
        width = min(item.width * POINTS_PER_MM, self._width) if item.width else self._width
        height = width * item.pixels[1] / item.pixels[0]
        left = (self._width - width) / 2
        box = Box(left, -height, left + width, 0.0)
        picture = Picture(Role.PICTURE, box, item.data, item.alt, turn=item.turn)
        boxes = [FlowBox(height, (Group(0.0, 0.0, 1.0, (picture,)),))]
        if item.caption:
            boxes.append(set_caption(self._words, item.caption, self._width, prose, is_centred=True))
        return join_down(boxes)._replace(
            gap=prose.block_gap, gap_least=prose.block_gap * self._style.prose.least_gap
        )

    def _signs(self) -> list[FlowBox]:
        return self.set_signs(self._examples)

    def set_signs(self, examples: Mapping[str, Score], only_new: bool = False) -> list[FlowBox]:
        """Signs explained by `examples`, row by row."""
        space = self._style.staff_space
        width = self._width / space
        rows = place_explained_signs(
            examples,
            View.STAFF_AND_TAB,
            width,
            self._style,
            self._face,
            only_new=only_new,
            instrument=self._strings,
        )
        return [set_system(row, space, 0.0, self._style) for row in rows]

    def _blank(self, item: records.Blank) -> list[FlowBox]:
        """Empty systems, each a box."""
        width = self._width / POINTS_PER_MM
        paper = Paper(width, 0.0, (item.kind,), item.instrument, measures=item.measures)
        boxes = []
        gap = self._style.blank.system_gap * POINTS_PER_MM
        for number in range(item.systems):
            marks, height = place_systems(paper, self._style)
            above = self._style.blank.system_gap_least * POINTS_PER_MM if number == 0 else gap
            boxes.append(
                FlowBox(
                    height * POINTS_PER_MM,
                    (Group(0.0, 0.0, POINTS_PER_MM, marks),),
                    above,
                    above * self._style.prose.least_gap,
                    grows=number == 0 or item.systems > self._style.prose.whole_systems,
                )
            )
        return boxes

    def _shapes(self, item: records.Shapes) -> FlowBox:
        space, gap = self._style.staff_space, self._style.prose.block_gap
        marks, height = place_grid_rows(
            item.shapes, item.left_handed, self._width / space, 0.0, self._style, item.columns
        )
        return FlowBox(
            height * space, (Group(0.0, 0.0, space, tuple(marks)),), gap, gap * self._style.prose.least_gap
        )


def beside_width(width: float, count: int, style: Style) -> float:
    """How wide each of `count` examples is that share `width` points."""
    return (width - style.prose.beside_gap * (count - 1)) / count


def fit_necks(item: records.Necks, width: float, style: Style) -> list[NeckItem]:
    """The necks of an item as they are drawn in `width` points. Raises ValueError for one that has no room."""
    paper, space = style.paper, style.staff_space
    height = (paper.height - paper.margin_top - paper.margin_bottom) * POINTS_PER_MM
    return [
        fit_neck(diagram, item.left_handed, width / space, height / space, style) for diagram in item.diagrams
    ]


def place_of(item: records.Necks) -> Source:
    """The source of what is drawn for an item."""
    return Source(item.location.line, item.location.column)


def link_target(name: str) -> tuple[Group, ...]:
    """Where links to the music called `name` lead: its top left corner; nothing for music without a name."""
    return (Group(0.0, 0.0, 1.0, (Anchor(Role.LINK, 0.0, 0.0, name),)),) if name else ()


def form_line(x1: float, x2: float, y: float, style: Style) -> Line:
    """A ruled line to write on, in points."""
    return Line(Role.FORM_LINE, x1, y, x2, y, style.prose.form_line)
