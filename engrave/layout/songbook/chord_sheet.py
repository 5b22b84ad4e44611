"""A song as a chord sheet: its words with the chord names over the syllables at which they change, in one column or two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from engrave.breaking import PageCosts
from engrave.fonts.symbols import music_face
from engrave.layout.page_filling import page_costs
from engrave.layout.pages.furniture import Furniture, place_furniture, score_places
from engrave.layout.pages.headings import place_heading
from engrave.layout.songbook.sheet_lines import SheetSetter, count_verses
from engrave.layout.songbook.strum_lines import place_strum_lines
from engrave.layout.systems.tempo_marks import decide_tempo_marks
from engrave.layout.text.boxes import FlowBox, FlowPage, fill_columns, join_down, move_groups
from engrave.marks.mark import Group, Page, PlacedDocument
from engrave.score.structure import Grids, Score
from engrave.style.sections import POINTS_PER_MM, Style


class NoWords(Exception):
    """The song has no words for a chord sheet."""


def place_chord_sheet(score: Score, style: Style) -> PlacedDocument:
    """The pages of a chord sheet, all as right-hand pages of a book. Raises NoWords."""
    paper = style.paper
    width = (paper.width - paper.margin_inner - paper.margin_outer) * POINTS_PER_MM
    height = (paper.height - paper.margin_top - paper.margin_bottom) * POINTS_PER_MM
    part = next((p for p in score.parts if count_verses(p)), None)
    if part is None:
        raise NoWords("this song has no lyrics for a chord sheet")
    head = join_down(
        [
            _set_head(score, width, style),
            *place_strum_lines(score, style, width, style.prose.body.size * style.book.sheet_words),
        ]
    )._replace(keeps_next=True)
    setter = SheetSetter(score, part, width, style)
    boxes = list(setter.set_verses())
    costs = page_costs(style)._replace(sparse_last=0.0, sparse_fill=0.0, ragged_fill=1.0)
    column = (width - style.book.sheet_column_gap) / 2
    needed = head.height + sum(box.height + box.gap for box in boxes)
    if setter.widest <= column and needed > height * style.book.sheet_column_fill:
        sides = _fill_two(boxes, head.height, height, costs)
    else:
        filled = fill_columns([head, *boxes], height, height, 0.0, costs)
        sides = [[(0.0, page)] for page in filled]
        head = head._replace(groups=())  # it stands among the boxes
    left, top = paper.margin_inner * POINTS_PER_MM, (paper.height - paper.margin_top) * POINTS_PER_MM
    pages = []
    for number, columns in enumerate(sides, start=1):
        groups = list(move_groups(head.groups, left, top)) if number == 1 else []
        for index, (start, column_page) in enumerate(columns):
            x = left + index * (column + style.book.sheet_column_gap)
            for box, below in column_page.boxes:
                groups.extend(move_groups(box.groups, x, top - start - below))
        if number == 1 and score.copyright:
            foot = Furniture(foot=score.copyright)
            groups.append(place_furniture(foot, score_places(1, left, width, style)))
        pages.append(Page(paper.width * POINTS_PER_MM, paper.height * POINTS_PER_MM, tuple(groups), number))
    return PlacedDocument(tuple(pages), score.title)


def _set_head(score: Score, width: float, style: Style) -> FlowBox:
    """Titles, capo and the key it gives, the shapes of the chords, and the tempo."""
    space = style.staff_space
    at_top = score if score.grids is Grids.NONE else replace(score, grids=Grids.TOP)
    heading = place_heading(at_top, width / space, style, says_key=True)
    groups = [Group(0.0, 0.0, space, heading.marks)]
    height = heading.height
    tempo = score.measures[0].tempo if score.measures else None
    if tempo is not None:
        marks, rise = decide_tempo_marks(tempo, width / space, style, music_face())
        below = height + style.book.sheet_tempo_gap + rise
        groups.append(Group(0.0, -below * space, space, marks))
        height = below + style.words.tempo.size * style.words.heading_foot
    return FlowBox(height * space, tuple(groups), keeps_next=True)


def _fill_two(
    boxes: Sequence[FlowBox], head: float, height: float, costs: PageCosts
) -> list[list[tuple[float, FlowPage]]]:
    """The columns of each page, two to a page, each with the distance of its top from the page's.

    Where one page is enough, both columns are as short as they can be.
    """
    gap = boxes[0].gap
    start = head + gap
    pages: list[list[tuple[float, FlowPage]]] = []
    rest = list(boxes)
    while rest:
        room = height - (0.0 if pages else start)
        columns = fill_columns(rest, room, room, 0.0, costs)
        if len(columns) <= 2:
            columns = _balance(rest, room, costs)
        pages.append([(0.0 if pages else start, column) for column in columns[:2]])
        rest = rest[sum(len(column.boxes) for column in columns[:2]) :]
    return pages


def _balance(boxes: Sequence[FlowBox], most: float, costs: PageCosts) -> list[FlowPage]:
    """Two columns that are as short as they can be without tearing what belongs together."""
    best = fill_columns(boxes, most, most, 0.0, costs)
    least = sum(box.height for box in boxes) / 2
    for _ in range(_HALVINGS):
        middle = (least + most) / 2
        tried = fill_columns(boxes, middle, middle, 0.0, costs)
        if len(tried) <= 2:
            best, most = tried, middle
        else:
            least = middle
    return best


_HALVINGS = 12
"""As often the height between too short and high enough is halved (algorithm)."""
