"""The systems of one score shared out to pages."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from engrave.breaking import FilledPage, PageCosts, SystemBox, ease_turns, fill_pages
from engrave.layout.music_setter import Sheet
from engrave.layout.pages.turns import hands_are_free
from engrave.layout.systems.system import System
from engrave.score.structure import NewLine, Score
from engrave.style.sections import Style


class Filled(NamedTuple):
    """Pages of `systems`, titles and explained signs among them.

    `blank` is the share of its height that stays white at the foot of the worst page, the last one left out.
    """

    systems: Sequence[System]
    pages: Sequence[FilledPage]
    blank: float


class PageFiller:
    """Shares out the systems of one score, whichever way its lines are broken."""

    def __init__(
        self, score: Score, style: Style, sheet: Sheet, heading: Sequence[System], explained: Sequence[System]
    ) -> None:
        """The `heading` stands before the music, the `explained` signs after it."""
        self._score, self._style, self._sheet = score, style, sheet
        self._heading, self._explained = tuple(heading), tuple(explained)
        breaking = style.breaking
        self._costs = page_costs(style, breaking.lone_system_penalty, breaking.lone_last_penalty)
        self._height = sheet.height - head_room(score, style)

    @property
    def others(self) -> tuple[System, ...]:
        """What stands on the pages beside the music."""
        return (*self._heading, *self._explained)

    def fill(self, systems: Sequence[System], starts: Sequence[int], first_turned: int = 0) -> Filled:
        """The pages of `systems`; `starts` are their first measures. `first_turned` as in `document.place_score`."""
        style, ahead = self._style, len(self._heading)
        breaking = style.breaking
        whole = [*systems, *self._explained]
        if self._heading and whole:
            under_titles = whole[0]._replace(
                gap=breaking.title_gap, gap_least=breaking.title_gap_least, grows=False
            )
            whole = [*self._heading, under_titles, *whole[1:]]
        whole = whole or list(self._heading)
        boxes = [self._box(system) for system in whole]
        forced = {
            number + ahead
            for number, first in enumerate(starts)
            if number and self._score.measures[first].new is NewLine.PAGE
        }

        def fill(breaks: set[int]) -> list[FilledPage]:
            most = breaking.system_gap_most * self._sheet.space
            return fill_pages(boxes, self._sheet.height, self._height, most, breaks, self._costs)

        pages = fill(forced)
        if first_turned and len(pages) > 1:
            free = [
                bool(stop) and hands_are_free(self._score, stop - 1, breaking.turn_rest)
                for stop in [*starts[1:], 0]
            ]
            free = [False] * ahead + free + [True] * len(self._explained)
            pages = ease_turns(pages, first_turned, free, forced, fill, look_back=breaking.turn_look_back)
        blanks = [self._blank(boxes, page) for page in pages[:-1] if page.stop not in forced]
        return Filled(whole, pages or [FilledPage(0, 0, ())], max(blanks, default=0.0))

    def _blank(self, boxes: Sequence[SystemBox], page: FilledPage) -> float:
        height = self._height if page.first else self._sheet.height
        filled = sum(box.height for box in boxes[page.first : page.stop]) + sum(page.gaps)
        return 1 - filled / height

    def _box(self, system: System) -> SystemBox:
        space = self._sheet.space
        least, gap = system.gaps(self._style.breaking)
        return SystemBox(system.height * space, least * space, gap * space, system.keeps_next, system.grows)


def page_costs(style: Style, lone_system: float = 0.0, lone_last: float = 0.0) -> PageCosts:
    """What the page search of `style` weighs, with the cost of one thing alone on a page and on the last."""
    breaking = style.breaking
    return PageCosts(
        breaking.page_fill_weight,
        lone_system,
        breaking.ragged_page_fill,
        breaking.sparse_page_penalty,
        breaking.sparse_page_fill,
        lone_last,
        last_foot=breaking.last_foot_weight,
        overfull=breaking.overfull_weight,
    )


def head_room(score: Score, style: Style) -> float:
    """Points under the running head of every page but the first."""
    return (
        style.words.running_head.size * style.staff_space * style.words.running_head_gap
        if score.title
        else 0.0
    )
