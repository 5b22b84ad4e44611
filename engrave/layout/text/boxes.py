"""Boxes that are stacked down a column and cut into pages. Points; inside a box y = 0 is its top and x = 0 its left."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from engrave.breaking import PageCosts, SystemBox, fill_pages
from engrave.marks.mark import Group
from engrave.style.sections import POINTS_PER_MM, Style


class FlowBox(NamedTuple):
    """Something that no page break goes through.

    `gap` is the white over it at rest, which may shrink to `gap_least`. `keeps_next`: no page should end after it.
    `new_page`: a page starts with it. `measures`: left and right edge of each measure. `grows`: the white over it may
    become wider so that the page is filled.
    """

    height: float
    groups: tuple[Group, ...]
    gap: float = 0.0
    gap_least: float = 0.0
    keeps_next: bool = False
    new_page: bool = False
    measures: tuple[tuple[float, float], ...] = ()
    grows: bool = True


class FlowPage(NamedTuple):
    """The boxes of one page with the distance of each one's top from the top of the column."""

    boxes: tuple[tuple[FlowBox, float], ...]


def fill_columns(
    boxes: Sequence[FlowBox], first_height: float, height: float, most_gap: float, costs: PageCosts
) -> list[FlowPage]:
    """Cut `boxes` into pages of `height` points (the first has `first_height`), the white shared out."""
    systems = [SystemBox(b.height, b.gap_least, b.gap, b.keeps_next, b.grows) for b in boxes]
    forced = {index for index, box in enumerate(boxes) if index and box.new_page}
    pages = []
    for filled in fill_pages(systems, first_height, height, most_gap, forced, costs):
        placed = []
        top = 0.0
        for index, gap in zip(range(filled.first, filled.stop), filled.gaps, strict=True):
            top += gap
            placed.append((boxes[index], top))
            top += boxes[index].height
        pages.append(FlowPage(tuple(placed)))
    return pages


def move_groups(groups: Iterable[Group], x: float, y: float) -> tuple[Group, ...]:
    """Groups moved by (x, y) points."""
    return tuple(group._replace(x=group.x + x, y=group.y + y) for group in groups)


def join_beside(boxes: Sequence[tuple[FlowBox, float]]) -> FlowBox:
    """Boxes side by side, each with the x of its left edge, as one box; tops in line."""
    groups: list[Group] = []
    for box, x in boxes:
        groups.extend(move_groups(box.groups, x, 0.0))
    return FlowBox(max(box.height for box, _ in boxes), tuple(groups))


def join_down(boxes: Sequence[FlowBox]) -> FlowBox:
    """Boxes one under the other at their resting gaps, as one box."""
    groups: list[Group] = []
    top = 0.0
    for number, box in enumerate(boxes):
        top += box.gap if number else 0.0
        groups.extend(move_groups(box.groups, 0.0, -top))
        top += box.height
    return FlowBox(top, tuple(groups), boxes[0].gap, boxes[0].gap_least) if boxes else FlowBox(0.0, ())


def text_size(style: Style) -> tuple[float, float]:
    """Width and height of what the margins of a page leave, in points."""
    paper = style.paper
    width = paper.width - paper.margin_inner - paper.margin_outer
    return width * POINTS_PER_MM, (paper.height - paper.margin_top - paper.margin_bottom) * POINTS_PER_MM
