"""The front door of layout: a score and a style become pages of placed marks."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from engrave.breaking import FilledPage, PageCosts, SystemBox, ease_turns, fill_pages
from engrave.fonts.symbols import music_face
from engrave.layout.explained_signs import place_explained_signs
from engrave.layout.music_setter import MusicSetter, Sheet, measure_sheet
from engrave.layout.pages.furniture import (
    Furniture,
    decide_furniture,
    is_left_hand,
    place_furniture,
    score_places,
)
from engrave.layout.pages.headings import place_heading
from engrave.layout.pages.turns import hands_are_free
from engrave.layout.staves import plan_staves
from engrave.layout.systems.system import StackedMarks, System
from engrave.marks.mark import Group, Page, PlacedDocument
from engrave.score.seen import seen_in
from engrave.score.structure import ExplainSigns, NewLine, Score, View
from engrave.style.sections import POINTS_PER_MM, Style


def place_score(
    score: Score,
    style: Style,
    view: View | None = None,
    examples: Mapping[str, Score] | None = None,
    in_book: bool = False,
    first_turned: int = 0,
) -> PlacedDocument:
    """Lay out `score` on pages. `view` outranks what the score says. Pure: same input, same output.

    `examples` of signs, by name, are explained after the music. `in_book`: all pages are laid out as right-hand ones,
    without page numbers and running heads, which are the book's business. `first_turned`: the first page (from 1) after
    which a leaf is turned, and then every second one; 0 where that is not known. Pages end there, if they can, where
    the hands are free.
    """
    score = seen_in(score, view)
    face = music_face()
    plans = plan_staves(score, view, style.staff)
    sheet = measure_sheet(plans, style)
    heading = _heading_as_system(score, sheet, style)
    explained: list[System] = []
    if examples:
        width = sheet.line + sheet.bracket_room
        is_new = score.explain_signs is ExplainSigns.NEW
        explained = place_explained_signs(examples, view or score.view, width, style, face, is_new)
    setter = MusicSetter(score, plans, style, face, sheet)
    systems, starts = _build_systems(setter, score, style, sheet, [*heading, *explained])
    systems.extend(explained)
    pages = _fill(
        score,
        style,
        sheet,
        heading,
        systems=systems,
        starts=starts,
        in_book=in_book,
        first_turned=first_turned,
    )
    credits = score.credits
    author = ", ".join(
        dict.fromkeys(name for name in (credits.music, credits.words, credits.arrangement) if name)
    )
    return PlacedDocument(
        pages, style.wordbook.title(score.title), author, score.language or style.wordbook.language
    )


def _build_systems(
    setter: MusicSetter, score: Score, style: Style, sheet: Sheet, others: Sequence[System]
) -> tuple[list[System], list[int]]:
    """The systems, looser than usual where the whole piece then still stands on one page beside `others`."""
    breaking = style.breaking
    height = sheet.height / sheet.space
    room = height - sum(system.height + system.gaps(breaking)[1] for system in others)
    room += breaking.system_gap  # nothing stands over the first
    starts_page = any(measure.new is NewLine.PAGE for measure in score.measures[1:])
    if not starts_page and setter.guess_lines() * setter.guess_height() < room:
        frames = setter.break_lines(is_roomy=True)
        if len(frames) * setter.guess_height() < room:
            systems, starts = setter.build(frames)
            if sum(system.height + system.gaps(breaking)[1] for system in systems) < room:
                return systems, starts
    return setter.build(setter.break_lines())


def _heading_as_system(score: Score, sheet: Sheet, style: Style) -> list[System]:
    """The titles as what comes before the first system; nothing where there are none."""
    heading = place_heading(score, sheet.line + sheet.bracket_room, style)
    if not heading.marks:
        return []
    return [System((StackedMarks(0.0, heading.marks, -sheet.bracket_room),), heading.height, keeps_next=True)]


def _fill(
    score: Score,
    style: Style,
    sheet: Sheet,
    heading: list[System],
    systems: list[System],
    starts: list[int],
    in_book: bool,
    first_turned: int,
) -> tuple[Page, ...]:
    space, breaking = sheet.space, style.breaking
    if heading and systems:
        under_titles = systems[0]._replace(
            gap=breaking.title_gap, gap_least=breaking.title_gap_least, grows=False
        )
        systems = [*heading, under_titles, *systems[1:]]
    boxes = [_box(system, space, style) for system in systems or heading]
    ahead = len(heading)
    forced = {
        number + ahead
        for number, first in enumerate(starts)
        if number and score.measures[first].new is NewLine.PAGE
    }
    costs = page_costs(style, breaking.lone_system_penalty, breaking.lone_last_penalty)
    height = sheet.height - _head_room(score, style)
    most = breaking.system_gap_most * space

    def fill(breaks: set[int]) -> list[FilledPage]:
        return fill_pages(boxes, sheet.height, height, most, breaks, costs)

    filled = fill(forced)
    if first_turned and len(filled) > 1:
        free = [
            bool(stop) and hands_are_free(score, stop - 1, breaking.turn_rest) for stop in [*starts[1:], 0]
        ]
        free = [False] * ahead + free + [True] * (len(systems) - ahead - len(starts))
        filled = ease_turns(filled, first_turned, free, forced, fill, look_back=breaking.turn_look_back)
    filled = filled or [FilledPage(0, 0, ())]
    return tuple(
        _build_page(
            score,
            style,
            sheet,
            systems or heading,
            page=page,
            number=number,
            count=len(filled),
            in_book=in_book,
        )
        for number, page in enumerate(filled, start=1)
    )


def _box(system: System, space: float, style: Style) -> SystemBox:
    least, gap = system.gaps(style.breaking)
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


def _head_room(score: Score, style: Style) -> float:
    """Points under the running head of every page but the first."""
    return (
        style.words.running_head.size * style.staff_space * style.words.running_head_gap
        if score.title
        else 0.0
    )


def _build_page(
    score: Score,
    style: Style,
    sheet: Sheet,
    systems: list[System],
    page: FilledPage,
    number: int,
    count: int,
    in_book: bool,
) -> Page:
    paper, space = style.paper, sheet.space
    is_left = is_left_hand(number, style) and not in_book
    left_margin = paper.margin_outer if is_left else paper.margin_inner
    left = left_margin * POINTS_PER_MM
    top = (paper.height - paper.margin_top) * POINTS_PER_MM
    groups: list[Group] = []
    if number > 1:
        top -= _head_room(score, style)
    for index, gap in zip(range(page.first, page.stop), page.gaps, strict=True):
        top -= gap
        x = left + sheet.bracket_room * space
        groups.extend(
            Group(x + layer.x * space, top + layer.y * space, space * layer.scale, layer.marks)
            for layer in systems[index].layers
        )
        top -= systems[index].height * space
    said = decide_furniture(number, count, score.title, score.copyright)
    if in_book:
        said = Furniture(foot=said.foot)
    if said.foot or not in_book:
        groups.append(place_furniture(said, score_places(number, left, sheet.width, style)))
    return Page(paper.width * POINTS_PER_MM, paper.height * POINTS_PER_MM, tuple(groups), number)
